//! Articulation notes: how a sound, a word or one attempt was said, or anything about the learner.

mod form;

use std::fmt;

use jiff::civil::Date;
use rusqlite::{Connection, params};
use serde::{Deserialize, Serialize};
use soundbead_data::Sound;

pub use form::{Author, Cued, HowOften, Lips, Manner, Place, Voice, WhereInWord};

use super::bounds::{CheckResult, CheckedRow, few, short};
use super::skipped::Skipped;
use super::{Id, Moment, Notebook, NotebookError, Result, beside, history, learner, time};

/// Most letters of a note's free text.
pub(super) const LONGEST_TEXT: usize = 20_000;
/// Where a recording ends at the latest, in milliseconds: ten minutes, as in a hand-over.
const LONGEST_MS: u32 = 600_000;

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

/// Writes it as the command line does: `the sound TH`, `the word moth`.
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
    /// The moment of the attempt's recording that it is about.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub moment: Option<NotedMoment>,
    /// In one's own words.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub text: String,
    /// What people answered, the earliest first.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub answers: Vec<NoteAnswer>,
    /// That it was settled, and by what.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub settled: Option<Settled>,
}

/// From where to where in a recording, in milliseconds from its start.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct NotedMoment {
    /// Where it begins.
    pub from_ms: u32,
    /// Where it ends.
    pub to_ms: u32,
}

/// An answer to a note.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct NoteAnswer {
    /// When it was given.
    pub at: Moment,
    /// Who gave it.
    pub by: Author,
    /// What it says.
    pub text: String,
}

/// That something was settled.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Settled {
    /// When.
    pub at: Moment,
    /// Who says so.
    pub by: Author,
    /// The evidence that settled it.
    pub evidence: String,
}

impl Settled {
    /// Whether it can be kept.
    pub(super) fn check(&self) -> CheckResult {
        if self.evidence.trim().is_empty() {
            return Err("nothing is settled without evidence; say what settled it".into());
        }
        short("the evidence", &self.evidence)
    }
}

impl NotedMoment {
    /// In seconds.
    pub fn seconds(self) -> (f32, f32) {
        (self.from_ms as f32 / 1_000.0, self.to_ms as f32 / 1_000.0)
    }

    /// The moment between two times in seconds.
    pub fn of_seconds((from_s, to_s): (f32, f32)) -> NotedMoment {
        let ms = |s: f32| (s.max(0.0) * 1_000.0).round() as u32;
        NotedMoment {
            from_ms: ms(from_s),
            to_ms: ms(to_s),
        }
    }
}

impl NoteBody {
    /// Whether nothing is said at all.
    pub fn is_empty(&self) -> bool {
        let bare = NoteBody {
            text: String::new(),
            moment: None,
            answers: Vec::new(),
            settled: None,
            ..self.clone()
        };
        bare == NoteBody::default() && self.text.trim().is_empty()
    }

    /// Whether the note is settled.
    pub fn is_settled(&self) -> bool {
        self.settled.is_some()
    }

    /// Puts the answers of both states together.
    pub(super) fn join_answers(&mut self, other: &NoteBody) {
        self.answers.extend(other.answers.iter().cloned());
        self.answers.sort();
        self.answers.dedup();
    }

    /// Whether `newer` drops or replaces something that was said here: an answer that came besides does not.
    pub(super) fn loses_to(&self, newer: &NoteBody) -> bool {
        let without = |body: &NoteBody| NoteBody {
            answers: Vec::new(),
            ..body.clone()
        };
        without(self) != without(newer) || self.answers.iter().any(|a| !newer.answers.contains(a))
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
    /// Whether it is neither answered nor settled, though somebody wrote it: what the program kept of something done asks nothing.
    pub fn waits(&self) -> bool {
        self.body.answers.is_empty() && !self.body.is_settled() && !self.is_record()
    }

    /// Whether the program kept it of something done: a sort, a reading minute, a mixed sentence.
    pub fn is_record(&self) -> bool {
        self.on == NoteSubject::Learner && beside::is_record(&self.body.text)
    }

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
        let answers = self.body.answers.iter_mut().map(|a| &mut a.at);
        let settled = self.body.settled.as_mut().map(|s| &mut s.at);
        let moments = [&mut self.made, &mut self.changed]
            .into_iter()
            .chain(answers)
            .chain(settled);
        (moments.collect(), Some(&mut self.day))
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
    let texts = body.answers.iter().map(|a| &a.text).chain([&body.text]);
    if let Some(n) = texts.map(|t| t.chars().count()).find(|n| *n > LONGEST_TEXT) {
        return Err(NotebookError::refused(format_args!(
            "a note of {n} letters is too long; at most {LONGEST_TEXT} can be kept"
        )));
    }
    besides(body).map_err(NotebookError::refused)
}

/// Whether the moment, the answers and the settling of a note can be kept.
fn besides(body: &NoteBody) -> CheckResult {
    if let Some(moment) = body.moment
        && (moment.from_ms >= moment.to_ms || moment.to_ms > LONGEST_MS)
    {
        return Err("the moment that a note points at ends before it begins, or lies beyond any recording".into());
    }
    few("answers", body.answers.len())?;
    if body.answers.iter().any(|a| a.text.trim().is_empty()) {
        return Err("an answer is empty; write something first".into());
    }
    body.settled.as_ref().map_or(Ok(()), Settled::check)
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
        let change = self.writing()?;
        let (old, learner) = find(&change, id)?.ok_or_else(missing)?;
        // Answers that came while it was being changed stay.
        let mut body = body.clone();
        body.join_answers(&old.body);
        check(&body)?;
        if old.body == body {
            return Ok(());
        }
        history::keep(&change, learner, id, old.changed, &history::body(&old.body))?;
        update(&change, id, &body, Moment::after(old.changed))?;
        Ok(change.commit()?)
    }

    /// Answers a note.
    ///
    /// # Errors
    /// When there is no such note, or the answer is empty or too long.
    pub fn answer_note(&mut self, id: Id, by: Author, text: &str) -> Result<()> {
        let answer = NoteAnswer {
            at: Moment::now(),
            by,
            text: text.trim().to_owned(),
        };
        self.edit_note(id, |body| body.answers.push(answer))
    }

    /// Settles a note, with the evidence that settled it; or, without evidence, opens it again.
    ///
    /// # Errors
    /// When there is no such note, or the evidence is empty or too long.
    pub fn settle_note(&mut self, id: Id, by: Author, evidence: Option<&str>) -> Result<()> {
        let settled = evidence.map(|evidence| Settled {
            at: Moment::now(),
            by,
            evidence: evidence.trim().to_owned(),
        });
        self.edit_note(id, |body| body.settled = settled)
    }

    fn edit_note(&mut self, id: Id, edit: impl FnOnce(&mut NoteBody)) -> Result<()> {
        let change = self.writing()?;
        let (old, learner) = find(&change, id)?.ok_or_else(missing)?;
        let mut body = old.body.clone();
        edit(&mut body);
        check(&body)?;
        if old.body.loses_to(&body) {
            history::keep(&change, learner, id, old.changed, &history::body(&old.body))?;
        }
        update(&change, id, &body, Moment::after(old.changed))?;
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
    NotebookError::refused("this note is not in the notebook")
}
