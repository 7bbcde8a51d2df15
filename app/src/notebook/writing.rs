//! What the child wrote for a word, kept as it was written.
//!
//! What a misspelling shows is worked out from it when it is looked at (`soundbead_data::writing`) and never kept, so that
//! better reading mends old records. Letters in the boxes of a lesson stay with their attempt ([`super::Edits::letters`]); lists
//! and evidence have both.

mod find;
mod rows;

use jiff::civil::Date;
use rusqlite::{Connection, params};
use serde::{Deserialize, Serialize};
use soundbead_data::word::{self, Overrides};
use soundbead_data::writing::{self, SpellingAnalysis, WrittenError};

pub use find::{Readings, WritingFilter, course_day};
pub(super) use rows::{find, insert, pick, update};

use super::bounds::{CheckResult, CheckedRow, Clock, short};
use super::{Id, Moment, Notebook, NotebookError, Result, history, learner, session, time};

/// Most letters of one try: a word has 45 at most, and a slip of the keys some more.
pub(super) const LONGEST_TRY: usize = 100;
/// Most tries at one word.
pub(super) const MOST_TRIES: usize = 20;

/// Where the child wrote.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum WritingSource {
    /// At the keys, a word that was said to it.
    #[default]
    Dictation,
    /// On paper; the parent typed it in.
    Paper,
    /// In the boxes of a lesson, a box a sound.
    Boxes,
}

impl WritingSource {
    /// Every one.
    pub const ALL: &'static [WritingSource] = &[WritingSource::Dictation, WritingSource::Paper, WritingSource::Boxes];

    /// `dictation`, `paper` or `boxes`.
    pub fn name(self) -> &'static str {
        match self {
            WritingSource::Dictation => "dictation",
            WritingSource::Paper => "paper",
            WritingSource::Boxes => "boxes",
        }
    }
}

/// Whether the child was helped: by a hint, a shown answer, or someone who told it.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Help {
    /// It was not.
    #[default]
    None,
    /// After the first try, which is its own.
    AfterFirst,
    /// Before the first try: no try is its own.
    BeforeFirst,
}

impl Help {
    /// Every one.
    pub const ALL: &'static [Help] = &[Help::None, Help::AfterFirst, Help::BeforeFirst];

    /// `none`, `after-first` or `before-first`.
    pub fn name(self) -> &'static str {
        match self {
            Help::None => "none",
            Help::AfterFirst => "after-first",
            Help::BeforeFirst => "before-first",
        }
    }
}

/// A word as the child wrote it, to be kept.
#[derive(Clone, Debug, PartialEq)]
pub struct NewWriting {
    /// The sitting it belongs to, if to one.
    pub session: Option<Id>,
    /// The word that was meant.
    pub word: String,
    /// What was written, first to last, as it was written.
    pub tries: Vec<String>,
    /// Where; letters in boxes are kept with their attempt, not here.
    pub source: WritingSource,
    /// Whether the child was helped.
    pub help: Help,
    /// The day on the family's calendar.
    pub day: Date,
}

/// A word as the child wrote it.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Writing {
    /// Its name in every notebook; that of the attempt for letters in boxes.
    pub id: Id,
    /// The sitting it belongs to, if to one.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub session: Option<Id>,
    /// The word that was meant, in small letters.
    pub word: String,
    /// What was written, first to last, as it was written; at least one. The first never changes.
    pub tries: Vec<String>,
    /// Where.
    pub source: WritingSource,
    /// Whether the child was helped.
    pub help: Help,
    /// The day on the family's calendar.
    #[serde(with = "time::iso")]
    pub day: Date,
    /// When it was kept.
    pub kept_at: Moment,
    /// When it last changed: another try, help, or taken back and brought again.
    pub changed: Moment,
}

/// What of a row can change.
#[derive(Serialize)]
struct WritingState<'a> {
    tries: &'a [String],
    help: Help,
}

impl Writing {
    /// What was written first.
    pub fn first(&self) -> &str {
        self.tries.first().map_or("", String::as_str)
    }

    /// What was written last.
    pub fn last(&self) -> &str {
        self.tries.last().map_or("", String::as_str)
    }

    /// Whether the first try is the child's own.
    pub fn own(&self) -> bool {
        self.help != Help::BeforeFirst
    }

    /// What the first try shows.
    ///
    /// # Errors
    /// When it cannot be read as one word, or the word has no sounds.
    pub fn reading(&self, overrides: &Overrides) -> std::result::Result<SpellingAnalysis, WrittenError> {
        let word = word::find(&self.word, overrides).map_err(WrittenError::Text)?;
        writing::read(&word, self.first())
    }

    /// What can change in it, as history keeps it.
    pub(super) fn state(&self) -> String {
        history::body(&WritingState {
            tries: &self.tries,
            help: self.help,
        })
    }

    /// Whether `newer` drops something that this says: only then is it kept as history.
    pub(super) fn loses_to(&self, newer: &Writing) -> bool {
        !newer.tries.starts_with(&self.tries) || (self.help != Help::None && self.help != newer.help)
    }
}

impl CheckedRow for Writing {
    fn check(&self) -> CheckResult {
        if !(1..=MOST_TRIES).contains(&self.tries.len()) {
            return Err(format!(
                "{} tries at one word; 1 to {MOST_TRIES} can be kept",
                self.tries.len()
            ));
        }
        for text in &self.tries {
            let tidied = tidy(text).map_err(|e| e.to_string())?;
            if tidied != *text {
                return Err("what was written has stray space around it".into());
            }
        }
        if self.source == WritingSource::Boxes {
            return Err("letters in boxes are kept with their attempt".into());
        }
        match word::normal(&self.word).map_err(|e| e.to_string())? == self.word {
            true => short("the word", &self.word),
            false => Err("its word is not in small letters".into()),
        }
    }

    fn times(&mut self) -> (Vec<&mut Moment>, Option<&mut Date>) {
        (vec![&mut self.kept_at, &mut self.changed], Some(&mut self.day))
    }

    fn state(&self) -> (Id, Moment) {
        (self.id, self.changed)
    }
}

/// The letters of boxes as one word. The second part of a split vowel (`a_e`, `a-e`, `a e`) goes after the box that follows it.
pub fn joined(boxes: &[String]) -> String {
    let mut word = String::new();
    let mut late = String::new();
    for text in boxes.iter().map(|t| t.trim()).filter(|t| !t.is_empty()) {
        let (first, second) = text.split_once(['_', '-', ' ', '\u{2026}']).unwrap_or((text, ""));
        word.push_str(first);
        word.push_str(&late);
        late = second.to_owned();
    }
    word + &late
}

/// Refuses what is no try; the text is kept as it is, less the space around it.
pub(super) fn tidy(text: &str) -> Result<String> {
    let text = text.trim();
    if text.is_empty() {
        return Err(NotebookError::refused(
            "nothing was written; a word that was left out is not kept",
        ));
    }
    if text.chars().any(char::is_control) {
        return Err(NotebookError::refused(
            "what was written has a sign in it that cannot be seen; type it anew",
        ));
    }
    match text.chars().count() {
        n if n > LONGEST_TRY => Err(NotebookError::refused(format_args!(
            "{n} letters were written for one word; at most {LONGEST_TRY} can be kept: one word at a time"
        ))),
        _ => Ok(text.to_owned()),
    }
}

/// The row that a new one makes.
fn fresh(db: &Connection, new: &NewWriting) -> Result<Writing> {
    if new.source == WritingSource::Boxes {
        return Err(NotebookError::refused("letters in boxes are kept with their attempt"));
    }
    if !(1..=MOST_TRIES).contains(&new.tries.len()) {
        return Err(NotebookError::refused(format_args!(
            "{} tries at one word; 1 to {MOST_TRIES} can be kept",
            new.tries.len()
        )));
    }
    let now = Moment::now();
    Ok(Writing {
        id: Id::fresh(db)?,
        session: new.session,
        word: word::normal(&new.word).map_err(NotebookError::refused)?,
        tries: new.tries.iter().map(|t| tidy(t)).collect::<Result<_>>()?,
        source: new.source,
        help: new.help,
        day: new.day,
        kept_at: now,
        changed: now,
    })
}

fn missing() -> NotebookError {
    NotebookError::refused("this writing is not in the notebook")
}

impl Notebook {
    /// Keeps a word as the child wrote it; it is on the disk when this returns.
    ///
    /// # Errors
    /// When there is no such learner or session, no word, nothing written, or too much.
    pub fn keep_writing(&mut self, learner: Id, new: &NewWriting) -> Result<Writing> {
        let mut kept = self.keep_writings(learner, std::slice::from_ref(new))?;
        kept.pop().ok_or_else(missing)
    }

    /// Keeps several at once, all or none: a list from paper. They have one `kept_at`.
    ///
    /// # Errors
    /// As [`Notebook::keep_writing`].
    pub fn keep_writings(&mut self, learner: Id, new: &[NewWriting]) -> Result<Vec<Writing>> {
        let change = self.writing()?;
        let number = learner::number(&change, learner)?;
        let mut kept = Vec::with_capacity(new.len());
        let mut at = None;
        for new in new {
            let mut row = fresh(&change, new)?;
            row.kept_at = *at.get_or_insert(row.kept_at);
            row.changed = row.kept_at;
            row.check().map_err(NotebookError::refused)?;
            Clock::now().allow_day(row.kept_at, row.day)?;
            insert(&change, number, &row)?;
            kept.push(row);
        }
        change.commit()?;
        Ok(kept)
    }

    /// Adds a later try at the same word, or that help was given. The tries before it stay.
    ///
    /// # Errors
    /// When there is no such row, nothing was written, or there are too many tries.
    pub fn add_try(&mut self, id: Id, written: Option<&str>, help: Help) -> Result<Writing> {
        let written = written.map(tidy).transpose()?;
        let change = self.writing()?;
        let (old, learner) = find(&change, id)?.ok_or_else(missing)?;
        let mut new = old.clone();
        new.tries.extend(written);
        if new.tries.len() > MOST_TRIES {
            return Err(NotebookError::refused(format_args!(
                "there are {MOST_TRIES} tries at this word; no more can be kept"
            )));
        }
        new.help = help;
        if old.state() == new.state() {
            return Ok(old);
        }
        if old.loses_to(&new) {
            history::keep(&change, learner, id, old.changed, &old.state())?;
        }
        new.changed = Moment::after(old.changed);
        update(&change, &new)?;
        change.commit()?;
        Ok(new)
    }

    /// One row; none when there is no such one. Those that were taken back are found until they are forgotten.
    ///
    /// # Errors
    /// When the database cannot be read.
    pub fn writing_row(&self, id: Id) -> Result<Option<Writing>> {
        Ok(find(&self.db, id)?.map(|(row, _)| row))
    }

    /// Takes a row back: it is in no list and no evidence from then on. [`Notebook::redo_writing`] brings it back until its session
    /// is ended, or a day later; then it is gone.
    ///
    /// # Errors
    /// When there is no such row (any more).
    pub fn take_back_writing(&mut self, id: Id) -> Result<()> {
        self.mark_writing(id, 1)
    }

    /// Brings back a row that was taken back.
    ///
    /// # Errors
    /// When there is no such row (any more).
    pub fn redo_writing(&mut self, id: Id) -> Result<()> {
        self.mark_writing(id, 0)
    }

    fn mark_writing(&mut self, id: Id, undone: i64) -> Result<()> {
        let change = self.writing()?;
        let marked = change.execute(
            "UPDATE writing SET undone = ?1, changed = max(changed + 1, ?2) WHERE id = ?3",
            params![undone, Moment::now(), id],
        )?;
        if marked == 0 {
            return Err(missing());
        }
        Ok(change.commit()?)
    }
}

impl Notebook {
    /// Forgets the rows that were taken back before `before`, in one session or in all.
    pub(super) fn forget_undone_writing(&mut self, session: Option<i64>, before: Moment) -> Result<()> {
        let found = undone(&self.db, session, before)?;
        if found.is_empty() {
            return Ok(());
        }
        let change = self.writing()?;
        for (id, learner) in found {
            forget(&change, learner, id, Moment::now())?;
        }
        Ok(change.commit()?)
    }
}

/// The rows that were taken back before `before`, with their learners' numbers.
fn undone(db: &Connection, session: Option<i64>, before: Moment) -> Result<Vec<(Id, i64)>> {
    let mut query = db.prepare(
        "SELECT id, learner FROM writing WHERE undone = 1 AND changed < ?1 AND (?2 IS NULL OR session = ?2)",
    )?;
    let found = query.query_map(params![before, session], |row| Ok((row.get(0)?, row.get(1)?)))?;
    Ok(found.collect::<rusqlite::Result<_>>()?)
}

/// Takes a row out for good, as of `when`.
pub(super) fn forget(db: &Connection, learner: i64, id: Id, when: Moment) -> Result<()> {
    db.execute("DELETE FROM writing WHERE id = ?", [id])?;
    history::gone(db, learner, id, when)
}

/// The number of the session that a row belongs to, which must be the learner's.
fn session_number(db: &Connection, learner: i64, row: &Writing) -> Result<Option<i64>> {
    let Some(id) = row.session else { return Ok(None) };
    let (number, owner) = session::numbers(db, id)?;
    if owner != learner {
        return Err(NotebookError::refused("this session is another learner's"));
    }
    Ok(Some(number))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn boxes(texts: &[&str]) -> Vec<String> {
        texts.iter().map(|t| (*t).to_owned()).collect()
    }

    #[test]
    fn boxes_are_one_word() {
        for (texts, word) in [
            (&["c", "a_e", "k"][..], "cake"),
            (&["b", "r", "i", "ge"], "brige"),
            (&["s", "t", ""], "st"),
            (&["", " "], ""),
            (&["m", "a-e"], "mae"),
        ] {
            assert_eq!(joined(&boxes(texts)), word, "{texts:?}");
        }
    }

    #[test]
    fn what_is_no_try_has_a_line_and_what_is_one_stays_as_written() {
        for wrong in ["", " \t", "a\u{7}b", &"x".repeat(LONGEST_TRY + 1)] {
            let why = tidy(wrong).unwrap_err().to_string();
            assert!(why.lines().count() == 1 && !why.is_empty(), "{wrong:?}: {why}");
        }
        for kept in ["Brige", "br1ge", "\u{1f600}", "a way", "caf\u{e9}"] {
            assert_eq!(tidy(&format!(" {kept}\n")).unwrap(), kept);
        }
    }
}
