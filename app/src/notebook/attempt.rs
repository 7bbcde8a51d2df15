//! One word said once: what was asked, what was counted, what was heard, what people say of it.

pub(super) mod check;
mod rows;
mod rulings;

use jiff::civil::Date;
use rusqlite::{Connection, OptionalExtension, Row};
use serde::{Deserialize, Serialize};
use soundbead_data::{Rules, Sound};
use soundbead_dsp::audio::Clip;
use soundbead_dsp::judgement::{Judgement, Speaking, Verdict};

pub(super) use rows::{COLUMNS, FROM, OWN, find, insert, update};

use super::{
    Author, Content, Cued, IMPORTED, Id, Moment, Notebook, NotebookError, Result, Ruling, TakenBack, bounds, code,
    counting, history, learner, recording, session, time,
};
use crate::storage;

/// One word said once.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Attempt {
    /// Its name in every notebook.
    pub id: Id,
    /// The session it belongs to.
    pub session: Id,
    /// When.
    pub at: Moment,
    /// The day on the family's calendar.
    #[serde(with = "time::iso")]
    pub day: Date,
    /// The word that was to be said.
    pub word: String,
    /// Its sounds, in the pronunciation that fits best.
    pub sounds: Vec<Sound>,
    /// The word before it in the chain, if it followed one.
    pub before: Option<String>,
    /// How it was to be said.
    pub speaking: Speaking,
    /// The counting rules in force.
    pub rules: Rules,
    /// The id of the model that judged, or its name from the time before models had ids; empty when nothing was judged.
    pub model: String,
    /// How many sounds it has by those rules.
    pub expected: u16,
    /// How many it has by the learner's rules as they are now: what the child's count is held against.
    #[serde(skip)]
    pub expected_now: u16,
    /// Whether of its time the day alone is known, as of most recordings that were made before they came into the notebook. `at` then
    /// stands for the order alone.
    #[serde(skip)]
    pub day_alone: bool,
    /// How many the program heard; none when nothing was judged.
    #[serde(skip)]
    pub heard: Option<u16>,
    /// The program's verdict; none when nothing was judged.
    #[serde(skip)]
    pub verdict: Option<Verdict>,
    /// How probable that verdict is, 0 to 1; none for "unsure".
    #[serde(skip)]
    pub sure: Option<f64>,
    /// The recording, if there is one.
    pub recording: Option<Content>,
    /// What people add.
    pub edits: Edits,
    /// When what people add last changed.
    pub changed: Moment,
}

/// What people add to an attempt, then and later.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct Edits {
    /// Whether help came before the word was said: it was heard from the program, or an earlier try at it was looked at. None where
    /// nobody knows, as for recordings that were brought in.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub cued: Option<Cued>,
    /// How many counters the child pushed, at the first try.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub child: Option<u16>,
    /// The child's first answer to "which sound changed?".
    #[serde(skip_serializing_if = "Option::is_none")]
    pub pointed: Option<Pointed>,
    /// The letters the child wrote at the first try, box by box, as they were written.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub letters: Vec<String>,
    /// What came after the first answers.
    #[serde(skip_serializing_if = "AfterFirst::is_empty")]
    pub after: AfterFirst,
    /// What people who listened say, at most one ruling each, in the order of [`super::Author::ALL`].
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub rulings: Vec<Ruling>,
    /// Rulings that were taken back, so that a hand-over does not bring them again.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub taken_back: Vec<TakenBack>,
}

/// What came after the child's first answers, after a hint: only what differs from them.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct AfterFirst {
    /// The last count.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub child: Option<u16>,
    /// The last answer to "which sound changed?".
    #[serde(skip_serializing_if = "Option::is_none")]
    pub pointed: Option<Pointed>,
    /// The letters as they were written last, box by box.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub letters: Vec<String>,
    /// The answers that the program showed.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub shown: Vec<ShownAnswer>,
}

/// An answer that the program showed to the child.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum ShownAnswer {
    /// How many sounds the word has.
    Count,
    /// Which sound changed.
    Which,
    /// The letters.
    Letters,
}

impl AfterFirst {
    /// Whether nothing came after the first answers.
    pub fn is_empty(&self) -> bool {
        *self == AfterFirst::default()
    }
}

/// An answer to "which sound changed?".
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Pointed {
    /// The counter that the child pointed at, the first being 0.
    pub at: u16,
    /// Whether it was the one.
    pub right: bool,
}

impl Edits {
    /// Whether `newer` drops or replaces something that was said here: only then is this state kept as history.
    pub(super) fn loses_to(&self, newer: &Edits) -> bool {
        fn lost<T: PartialEq>(old: &Option<T>, new: &Option<T>) -> bool {
            old.is_some() && old != new
        }
        lost(&self.child, &newer.child)
            || lost(&self.pointed, &newer.pointed)
            || self.rulings.iter().any(|r| newer.ruling_by(r.by) != Some(r))
            || (!self.letters.is_empty() && self.letters != newer.letters)
            || (!self.after.is_empty() && self.after != newer.after)
    }
}

/// An attempt to be written down. All but `word` and `sounds` may be left as [`NewAttempt::default`] has them.
#[derive(Clone, Debug, Default)]
pub struct NewAttempt<'a> {
    /// The word that was to be said, small letters.
    pub word: &'a str,
    /// Its sounds. The judgement's own choice among the variants goes before them.
    pub sounds: &'a [Sound],
    /// The word before it in the chain, if it followed one.
    pub before: Option<&'a str>,
    /// How it was to be said.
    pub speaking: Speaking,
    /// The counting rules in force.
    pub rules: Rules,
    /// How many counters the child pushed, if that is known yet.
    pub child: Option<u16>,
    /// What the ear found, if it was asked.
    pub judgement: Option<&'a Judgement>,
    /// The model's name, for a judgement that does not have its id.
    pub model: &'a str,
    /// The recording, if it is to be kept.
    pub clip: Option<&'a Clip>,
    /// When it was, when that was not now: for what was recorded earlier.
    pub at: Option<(Moment, Date)>,
    /// Whether help came before it was said, if that is known.
    pub cued: Option<Cued>,
}

impl Attempt {
    /// How many sounds were said, by the learner's rules: the word's own, or what a person or else the program heard
    /// where that settles it. None where fewer or more were said and nobody knows how many.
    pub fn said(&self) -> Option<u16> {
        // What the program heard, it counted by the rules of that time.
        let heard = self.heard.filter(|_| !self.recounted());
        counting::said(self.expected_now, heard, self.verdict, self.edits.ruled())
    }

    /// How many sounds the program heard, where that is settled: said apart or drawn out the count stands by itself, in a whole
    /// word it has to go with the verdict. "3" beside "unsure" would be taken for a count.
    pub fn settled_count(&self) -> Option<u16> {
        let heard = self.heard?;
        let whole = self.speaking == Speaking::Whole;
        let settled = |verdict: Verdict| verdict.settles(heard.into(), self.expected.into());
        self.verdict.filter(|_| whole).is_none_or(settled).then_some(heard)
    }

    /// Whether the child pushed as many counters as sounds were said.
    pub fn child_right(&self) -> bool {
        self.edits.child.is_some() && self.edits.child == self.said()
    }

    /// Whether the child pushed more or fewer counters than sounds were said.
    pub fn miscounted(&self) -> bool {
        self.edits
            .child
            .zip(self.said())
            .is_some_and(|(child, said)| child != said)
    }

    /// When it was said, for people: `2026-11-25 14:30` where this machine is, or the day where no more is known.
    pub fn when(&self) -> String {
        match self.day_alone {
            true => self.day.to_string(),
            false => self.at.local(),
        }
    }

    /// The hour at which it was said, such as `14:30`; none where the day alone is known.
    pub fn hour(&self) -> Option<String> {
        let local = self.moment()?.local();
        local.split_once(' ').map(|(_, hour)| hour.to_owned())
    }

    /// The moment at which it was said; none where the day alone is known.
    pub fn moment(&self) -> Option<Moment> {
        (!self.day_alone).then_some(self.at)
    }

    /// Whether the learner's rules count the word otherwise now than when it was said.
    pub fn recounted(&self) -> bool {
        self.expected_now != self.expected
    }

    /// Whether a person ruled otherwise than the program, both being sure, or two people otherwise than each other.
    pub fn disagreed(&self) -> bool {
        let both = self.edits.ruled().zip(self.verdict);
        let with_program = both.is_some_and(|(r, v)| r != v && r != Verdict::Unsure && v != Verdict::Unsure);
        with_program || self.edits.people_differ()
    }

    /// Puts what a list of attempts shows of a judgement into the attempt.
    pub(super) fn sum_up(&mut self, judgement: Option<&Judgement>) {
        let Some(judgement) = judgement else { return };
        self.heard = Some(u16::try_from(judgement.heard).unwrap_or(u16::MAX));
        self.verdict = judgement.verdict;
        self.sure = judgement.sure().map(f64::from);
    }

    pub(super) fn read(row: &Row) -> Result<Attempt> {
        let wrong = |e: String| NotebookError::refused(format_args!("an attempt cannot be read: {e}"));
        let text = |i: usize| row.get::<_, String>(i);
        let (word, sounds) = (text(4)?, code::sounds(&text(5)?).map_err(wrong)?);
        let (expected, then, now) = (row.get(10)?, text(8)?, text(17)?);
        let read = |rules: &str| rules.parse::<Rules>().map_err(|e| wrong(e.to_string()));
        let expected_now = match then == now {
            true => expected,
            false => counting::expected(&word, &sounds, &read(&now)?),
        };
        Ok(Attempt {
            id: row.get(0)?,
            session: row.get(1)?,
            at: row.get(2)?,
            day: time::day_of(row.get(3)?).ok_or_else(|| wrong("it has no day".into()))?,
            word,
            sounds,
            before: row.get(6)?,
            speaking: code::way(row.get(7)?).ok_or_else(|| wrong("it has no way of speaking".into()))?,
            rules: read(&then)?,
            model: row.get(9)?,
            expected,
            expected_now,
            day_alone: row.get_ref(18)?.as_str().is_ok_and(|plan| plan == IMPORTED),
            heard: row.get(11)?,
            verdict: row.get::<_, Option<i64>>(12)?.and_then(code::verdict),
            sure: row.get(13)?,
            recording: row.get(14)?,
            edits: serde_json::from_str(&text(15)?).map_err(|e| wrong(e.to_string()))?,
            changed: row.get(16)?,
        })
    }
}

/// A judgement as it was kept.
pub(super) fn whole(text: &str) -> Result<Judgement> {
    let read = serde_json::from_str(text);
    read.map_err(|e| NotebookError::refused(format_args!("what the ear found cannot be read: {e}")))
}

fn missing() -> NotebookError {
    NotebookError::refused("this attempt is not in the notebook")
}

/// The id of the model that judged; its name where the judgement has none.
fn model(new: &NewAttempt) -> String {
    let named = |judgement: &Judgement| judgement.model.map_or(new.model.to_owned(), |id| id.to_string());
    new.judgement.map_or_else(String::new, named)
}

/// A new attempt of a learner as a row, before it has a recording.
fn fresh(db: &Connection, session: Id, learner: i64, new: &NewAttempt) -> Result<Attempt> {
    let chosen = new
        .judgement
        .map(|j| j.expected_sounds.as_slice())
        .filter(|s| !s.is_empty());
    let sounds = chosen.unwrap_or(new.sounds);
    if new.word.trim().is_empty() || sounds.is_empty() {
        return Err(NotebookError::refused(
            "an attempt needs the word that was to be said, and its sounds",
        ));
    }
    let (at, day) = new.at.unwrap_or_else(|| (Moment::now(), time::today()));
    let count = |rules: &Rules| counting::expected(new.word, sounds, rules);
    let judged = new.judgement.and_then(|j| j.expected);
    let expected = judged.map_or_else(|| count(&new.rules), |n| u16::try_from(n).unwrap_or(u16::MAX));
    let own = learner::rules(db, learner)?;
    Ok(Attempt {
        id: Id::fresh(db)?,
        session,
        at,
        day,
        word: new.word.trim().to_owned(),
        sounds: sounds.to_vec(),
        before: new.before.map(str::to_owned),
        speaking: new.speaking,
        rules: new.rules.clone(),
        model: model(new),
        expected,
        expected_now: if own == new.rules { expected } else { count(&own) },
        day_alone: session::find(db, session)?.is_some_and(|s| s.plan == IMPORTED),
        heard: None,
        verdict: None,
        sure: None,
        recording: None,
        edits: Edits {
            cued: new.cued,
            child: new.child,
            ..Edits::default()
        },
        changed: at,
    })
}

impl Notebook {
    /// Writes an attempt down. When this returns, it and its recording are on the disk.
    ///
    /// # Errors
    /// When there is no such session, no word, or no room.
    pub fn record(&mut self, session: Id, new: &NewAttempt) -> Result<Attempt> {
        let wav = new.clip.map(|clip| storage::wav(&clip.samples));
        let (folder, skipped) = (self.folder.clone(), self.skipped.clone());
        let change = self.writing()?;
        let numbers = session::numbers(&change, session)?;
        let mut attempt = fresh(&change, session, numbers.1, new)?;
        check::attempt(&attempt, new.judgement).map_err(NotebookError::refused)?;
        bounds::Clock::now().allow_day(attempt.at, attempt.day)?;
        // The file goes first: a row never speaks of a recording that is not there. Both happen while no other program
        // can write, so a file without a row is never one whose row is on its way (see `erase`).
        attempt.recording = wav
            .map(|bytes| recording::keep(&folder, &bytes, &skipped))
            .transpose()?;
        attempt.sum_up(new.judgement);
        insert(&change, numbers, &attempt, new.judgement)?;
        change.commit()?;
        Ok(attempt)
    }

    /// One attempt; none when there is no such one.
    ///
    /// # Errors
    /// When the database cannot be read.
    pub fn attempt(&self, id: Id) -> Result<Option<Attempt>> {
        Ok(find(&self.db, id)?.map(|(attempt, ..)| attempt))
    }

    /// All that the ear found in an attempt; none when it was not asked.
    ///
    /// # Errors
    /// When the database cannot be read.
    pub fn judgement(&self, id: Id) -> Result<Option<Judgement>> {
        let found = self.db.query_row(
            "SELECT body FROM judgement WHERE attempt = (SELECT n FROM attempt WHERE id = ?)",
            [id],
            |row| row.get::<_, String>(0),
        );
        found.optional()?.map(|text| whole(&text)).transpose()
    }

    /// Changes what people add to an attempt. What is dropped or replaced is kept (see [`Notebook::earlier`]).
    ///
    /// # Errors
    /// When there is no such attempt.
    pub fn edit(&mut self, id: Id, edit: impl FnOnce(&mut Edits)) -> Result<Attempt> {
        let change = self.writing()?;
        let (mut attempt, n, learner) = find(&change, id)?.ok_or_else(missing)?;
        let (old, was) = (attempt.edits.clone(), attempt.changed);
        edit(&mut attempt.edits);
        if attempt.edits == old {
            return Ok(attempt);
        }
        check::edits(&attempt.edits).map_err(NotebookError::refused)?;
        if old.loses_to(&attempt.edits) {
            history::keep(&change, learner, id, was, &history::body(&old))?;
        }
        attempt.changed = Moment::after(was);
        update(&change, n, &attempt.edits, attempt.changed)?;
        change.commit()?;
        Ok(attempt)
    }

    /// Writes down what a person who listened says, beside what others say.
    ///
    /// # Errors
    /// When there is no such attempt.
    pub fn rule(&mut self, id: Id, ruling: Ruling) -> Result<Attempt> {
        self.edit(id, |edits| edits.rule(ruling))
    }

    /// Takes a person's ruling back.
    ///
    /// # Errors
    /// When there is no such attempt.
    pub fn take_back_ruling(&mut self, id: Id, by: Author) -> Result<Attempt> {
        self.edit(id, |edits| edits.take_back_ruling(by))
    }
}
