//! Articulation notes: how a sound, a word or one attempt was said, or anything about the learner.

mod form;

use std::fmt;

use jiff::civil::Date;
use rusqlite::{Connection, params};
use serde::{Deserialize, Serialize};
use soundbead_data::Sound;

pub use form::{Author, Cued, HowOften, Lips, Manner, Place, Voice, WhereInWord};

use super::bounds::{CheckResult, CheckedRow, short};
use super::skipped::Skipped;
use super::{Id, Moment, Notebook, NotebookError, Result, history, learner, time};

/// Most letters of a note's free text.
pub(super) const LONGEST_TEXT: usize = 20_000;

/// What a note is on.
#[derive(Clone, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum NoteSubject {
    /// The learner altogether.
    Learner,
    /// A sound.
    Sound(Sound),
    /// A word.
    Word(String),
    /// One attempt.
    Attempt(Id),
}

impl NoteSubject {
    /// As the database keeps it: a kind, and what it is.
    pub(super) fn parts(&self) -> (i64, String) {
        match self {
            NoteSubject::Learner => (0, String::new()),
            NoteSubject::Sound(sound) => (1, sound.arpabet().to_owned()),
            NoteSubject::Word(word) => (2, word.clone()),
            NoteSubject::Attempt(id) => (3, id.to_string()),
        }
    }

    fn of(kind: i64, about: String) -> std::result::Result<NoteSubject, String> {
        match kind {
            0 => Ok(NoteSubject::Learner),
            1 => about
                .parse()
                .map(NoteSubject::Sound)
                .map_err(|e: soundbead_data::sound::NotASound| e.to_string()),
            2 => Ok(NoteSubject::Word(about)),
            3 => about.parse().map(NoteSubject::Attempt),
            other => Err(format!("a note is on {other}, which is nothing known")),
        }
    }
}

/// Writes it for people: `the sound TH`, `the word moth`.
impl fmt::Display for NoteSubject {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            NoteSubject::Learner => f.write_str("the learner"),
            NoteSubject::Sound(sound) => write!(f, "the sound {sound}"),
            NoteSubject::Word(word) => write!(f, "the word {word}"),
            NoteSubject::Attempt(_) => f.write_str("one attempt"),
        }
    }
}

/// What a note says. All may be left out, but not everything at once.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct NoteBody {
    /// Where in the mouth.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub place: Option<Place>,
    /// How the air came out.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub manner: Option<Manner>,
    /// Whether the voice was on.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub voice: Option<Voice>,
    /// What the lips did.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub lips: Option<Lips>,
    /// Where in the word.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub position: Option<WhereInWord>,
    /// How regularly.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub how_often: Option<HowOften>,
    /// Whether the child had been helped.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub cued: Option<Cued>,
    /// In one's own words.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub text: String,
}

impl NoteBody {
    /// Whether nothing is said at all.
    pub fn is_empty(&self) -> bool {
        let bare = NoteBody {
            text: String::new(),
            ..self.clone()
        };
        bare == NoteBody::default() && self.text.trim().is_empty()
    }

    /// The structured part in a line, such as `tongue at the teeth, at the start, now and then`; empty if there is none.
    pub fn in_a_line(&self) -> String {
        let mut parts: Vec<String> = Vec::new();
        let mut push = |part: Option<String>| parts.extend(part);
        push(self.place.map(|x| x.to_string()));
        push(self.manner.map(|x| x.to_string()));
        push(self.voice.map(|x| x.to_string()));
        push(self.lips.map(|x| format!("lips {x}")));
        push(self.position.map(|x| x.to_string()));
        push(self.how_often.map(|x| x.to_string()));
        push(self.cued.map(|x| x.to_string()));
        parts.join(", ")
    }
}

/// A note.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Note {
    /// Its name in every notebook.
    pub id: Id,
    /// What it is on.
    pub on: NoteSubject,
    /// Who wrote it.
    pub author: Author,
    /// When it was written.
    pub made: Moment,
    /// The day, on the writer's calendar.
    #[serde(with = "time::iso")]
    pub day: Date,
    /// What it says.
    pub body: NoteBody,
    /// When it last changed.
    pub changed: Moment,
}

/// A note to be written.
#[derive(Clone, Debug, PartialEq)]
pub struct NewNote {
    /// What it is on.
    pub on: NoteSubject,
    /// Who writes it.
    pub author: Author,
    /// What it says.
    pub body: NoteBody,
}

impl Note {
    fn read(row: &rusqlite::Row) -> Result<Note> {
        let wrong = |e: String| NotebookError::refused(format_args!("a note cannot be read: {e}"));
        let author: String = row.get(3)?;
        Ok(Note {
            id: row.get(0)?,
            on: NoteSubject::of(row.get(1)?, row.get(2)?).map_err(wrong)?,
            author: Author::ALL
                .iter()
                .copied()
                .find(|a| a.name() == author)
                .unwrap_or(Author::Parent),
            made: row.get(4)?,
            day: time::day_of(row.get(5)?).ok_or_else(|| wrong("it has no day".into()))?,
            body: serde_json::from_str(&row.get::<_, String>(6)?).map_err(|e| wrong(e.to_string()))?,
            changed: row.get(7)?,
        })
    }
}

impl CheckedRow for Note {
    fn check(&self) -> CheckResult {
        fits(&self.on, &self.body)
    }

    fn state(&self) -> (Id, Moment) {
        (self.id, self.changed)
    }

    fn times(&mut self) -> (Vec<&mut Moment>, Option<&mut Date>) {
        (vec![&mut self.made, &mut self.changed], Some(&mut self.day))
    }
}

const SELECT: &str = "SELECT id, kind, about, author, made, day, body, changed, learner FROM note";

/// Refuses a note that says nothing, or too much.
pub(super) fn check(body: &NoteBody) -> Result<()> {
    if body.is_empty() {
        return Err(NotebookError::refused(
            "the note is empty; choose or type something first",
        ));
    }
    match body.text.chars().count() {
        n if n > LONGEST_TEXT => Err(NotebookError::refused(format_args!(
            "a note of {n} letters is too long; at most {LONGEST_TEXT} can be kept"
        ))),
        _ => Ok(()),
    }
}

/// Whether a note on this can be kept.
fn fits(on: &NoteSubject, body: &NoteBody) -> CheckResult {
    check(body).map_err(|e| e.to_string())?;
    match on {
        NoteSubject::Word(word) => short("the word", word),
        _ => Ok(()),
    }
}

/// Puts a note in as it stands.
pub(super) fn insert(db: &Connection, learner: i64, note: &Note) -> Result<()> {
    let (kind, about) = note.on.parts();
    let (day, body) = (time::day_number(note.day), history::body(&note.body));
    db.execute(
        "INSERT INTO note (id, learner, kind, about, author, made, day, body, changed)
         VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?)",
        params![
            note.id,
            learner,
            kind,
            about,
            note.author.name(),
            note.made,
            day,
            body,
            note.changed
        ],
    )?;
    Ok(())
}

/// Puts a note's new text in the place of the old.
pub(super) fn update(db: &Connection, id: Id, body: &NoteBody, changed: Moment) -> Result<()> {
    db.execute(
        "UPDATE note SET body = ?, changed = ? WHERE id = ?",
        params![history::body(body), changed, id],
    )?;
    Ok(())
}

/// A note and its learner's number.
pub(super) fn find(db: &Connection, id: Id) -> Result<Option<(Note, i64)>> {
    let mut query = db.prepare(&format!("{SELECT} WHERE id = ?"))?;
    let mut rows = query.query([id])?;
    let Some(row) = rows.next()? else { return Ok(None) };
    Ok(Some((Note::read(row)?, row.get(8)?)))
}

/// The notes that a condition on the table picks, the latest first.
pub(super) fn pick(
    db: &Connection,
    condition: &str,
    values: impl rusqlite::Params,
    skipped: &Skipped,
) -> Result<Vec<Note>> {
    let mut query = db.prepare(&format!("{SELECT} WHERE {condition} ORDER BY made DESC, id"))?;
    let mut rows = query.query(values)?;
    let mut all = Vec::new();
    while let Some(row) = rows.next()? {
        all.extend(skipped.row(Note::read(row))?);
    }
    Ok(all)
}

impl Notebook {
    /// Every note about a learner, the latest first.
    ///
    /// # Errors
    /// When there is no such learner.
    pub fn notes(&self, learner: Id) -> Result<Vec<Note>> {
        pick(
            &self.db,
            "learner = ?",
            [learner::number(&self.db, learner)?],
            &self.skipped,
        )
    }

    /// The notes on one thing, the latest first.
    ///
    /// # Errors
    /// When there is no such learner.
    pub fn notes_on(&self, learner: Id, on: &NoteSubject) -> Result<Vec<Note>> {
        let (kind, about) = on.parts();
        let number = learner::number(&self.db, learner)?;
        pick(
            &self.db,
            "learner = ? AND kind = ? AND about = ?",
            params![number, kind, about],
            &self.skipped,
        )
    }

    /// Writes a note.
    ///
    /// # Errors
    /// When it says nothing or too much, or there is no such learner.
    pub fn add_note(&mut self, learner: Id, new: &NewNote) -> Result<Note> {
        fits(&new.on, &new.body).map_err(NotebookError::refused)?;
        let change = self.writing()?;
        let number = learner::number(&change, learner)?;
        let now = Moment::now();
        let note = Note {
            id: Id::fresh(&change)?,
            on: new.on.clone(),
            author: new.author,
            made: now,
            day: time::today(),
            body: new.body.clone(),
            changed: now,
        };
        insert(&change, number, &note)?;
        change.commit()?;
        Ok(note)
    }

    /// Changes what a note says; the earlier text is kept (see [`Notebook::earlier`]).
    ///
    /// # Errors
    /// As [`Notebook::add_note`], and when there is no such note.
    pub fn change_note(&mut self, id: Id, body: &NoteBody) -> Result<()> {
        check(body)?;
        let change = self.writing()?;
        let (old, learner) = find(&change, id)?.ok_or_else(missing)?;
        if old.body == *body {
            return Ok(());
        }
        history::keep(&change, learner, id, old.changed, &history::body(&old.body))?;
        update(&change, id, body, Moment::after(old.changed))?;
        Ok(change.commit()?)
    }

    /// Takes a note out, with its earlier texts. Gives it back, so that [`Notebook::restore_note`] can undo that.
    ///
    /// # Errors
    /// When there is no such note.
    pub fn remove_note(&mut self, id: Id) -> Result<Note> {
        let change = self.writing()?;
        let (note, learner) = find(&change, id)?.ok_or_else(missing)?;
        change.execute("DELETE FROM note WHERE id = ?", [id])?;
        history::gone(&change, learner, id, Moment::after(note.changed))?;
        change.commit()?;
        Ok(note)
    }

    /// Puts back a note that was taken out.
    ///
    /// # Errors
    /// When there is no such learner, or the note is there.
    pub fn restore_note(&mut self, learner: Id, note: &Note) -> Result<()> {
        let change = self.writing()?;
        let number = learner::number(&change, learner)?;
        let went = change.query_row(
            "SELECT ifnull(max(changed), 0) FROM gone WHERE id = ?",
            [note.id],
            |r| r.get(0),
        )?;
        let note = Note {
            changed: Moment::after(went),
            ..note.clone()
        };
        insert(&change, number, &note)?;
        change.execute("DELETE FROM gone WHERE id = ?", [note.id])?;
        Ok(change.commit()?)
    }
}

fn missing() -> NotebookError {
    NotebookError::refused("this note is not in the notebook (any more)")
}
