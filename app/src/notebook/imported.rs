//! Recordings that were made before they came into the notebook: marked as such, never twice, and taken back together.
//!
//! Each day of an import is a session of its own with the title [`IMPORTED`] or [`IMPORTED_TIMED`], so the mark goes along in every
//! hand-over.

use std::collections::{BTreeMap, BTreeSet};

use jiff::civil::Date;
use rusqlite::params;
use serde::{Deserialize, Serialize};

use super::{Content, Id, Moment, NewSession, Notebook, NotebookError, Result, learner, time};

/// The title of a session whose recordings were made before they came into the notebook, on a day of which no hour is known.
pub const IMPORTED: &str = "Imported recordings";
/// The title of one whose recordings have their files' times.
pub const IMPORTED_TIMED: &str = "Imported recordings with their times";

/// Whether a session of this title holds imported recordings.
pub fn is_imported(plan: &str) -> bool {
    plan == IMPORTED || plan == IMPORTED_TIMED
}

/// Under which the last import of a learner is remembered.
const LAST: &str = "import";

/// One import under way: its sessions, one a day; two where only some recordings of a day have a time.
#[derive(Debug, Default)]
pub struct ImportRun(BTreeMap<(Date, bool), Id>);

/// What is remembered of the last import, so that it can be taken back.
#[derive(Default, Serialize, Deserialize)]
struct LastImport {
    sessions: Vec<Id>,
    /// The attempts that were taken back; none while it stands.
    #[serde(default)]
    taken_back: Vec<Id>,
}

impl Notebook {
    /// Whether a learner's attempt at this word, on this day and with this very sound, is here.
    ///
    /// # Errors
    /// When there is no such learner.
    pub fn has_attempt(&self, learner: Id, word: &str, day: Date, sound: Content) -> Result<bool> {
        let number = learner::number(&self.db, learner)?;
        Ok(self.db.query_row(
            "SELECT EXISTS (SELECT 1 FROM attempt a JOIN item i ON i.n = a.item
                 WHERE a.recording = ? AND a.learner = ? AND a.day = ? AND a.undone = 0 AND i.word = ?)",
            params![sound, number, time::day_number(day), word],
            |row| row.get(0),
        )?)
    }

    /// A learner's sessions of imported recordings.
    ///
    /// # Errors
    /// When there is no such learner.
    pub fn imported_sessions(&self, learner: Id) -> Result<BTreeSet<Id>> {
        let all = self.sessions(learner)?;
        Ok(all.iter().filter(|s| is_imported(&s.plan)).map(|s| s.id).collect())
    }

    /// The session of an import for recordings of that day, whose times are known (`timed`) or not. What was begun is remembered
    /// first, so that an import that is broken off can be taken back too.
    ///
    /// # Errors
    /// When there is no such learner, or the day cannot be.
    pub fn import_session(
        &mut self,
        learner: Id,
        run: &mut ImportRun,
        (at, day): (Moment, Date),
        timed: bool,
    ) -> Result<Id> {
        if let Some(session) = run.0.get(&(day, timed)) {
            return Ok(*session);
        }
        let new = NewSession {
            plan: if timed { IMPORTED_TIMED } else { IMPORTED }.to_owned(),
            began: Some((at, day)),
        };
        let session = self.begin_session(learner, &new)?.id;
        run.0.insert((day, timed), session);
        let last = LastImport {
            sessions: run.0.values().copied().collect(),
            taken_back: Vec::new(),
        };
        self.remember_import(learner, &last)?;
        Ok(session)
    }

    /// Takes the last import of a learner back; gives how many attempts that were. They are gone for good a day later.
    ///
    /// # Errors
    /// When nothing was imported, or it is taken back already.
    pub fn take_back_import(&mut self, learner: Id) -> Result<usize> {
        let mut last = self.last_import(learner)?;
        let nothing = || NotebookError::refused("nothing of the last import is left to take back");
        if !last.taken_back.is_empty() {
            return Err(nothing());
        }
        for session in &last.sessions {
            for attempt in self.attempts_of(*session)? {
                self.take_back(attempt.id)?;
                last.taken_back.push(attempt.id);
            }
        }
        if last.taken_back.is_empty() {
            return Err(nothing());
        }
        self.remember_import(learner, &last)?;
        Ok(last.taken_back.len())
    }

    /// Brings back the import that was taken back; gives how many attempts that are.
    ///
    /// # Errors
    /// When none was taken back, or it is gone for good.
    pub fn bring_back_import(&mut self, learner: Id) -> Result<usize> {
        let last = self.last_import(learner)?;
        if last.taken_back.is_empty() {
            return Err(NotebookError::refused("no import was taken back"));
        }
        for id in &last.taken_back {
            let attempt = self.attempt(*id)?;
            let attempt = attempt
                .ok_or_else(|| NotebookError::refused("that import is gone for good; import the folder again"))?;
            self.redo(&attempt)?;
        }
        let count = last.taken_back.len();
        let stands = LastImport {
            taken_back: Vec::new(),
            ..last
        };
        self.remember_import(learner, &stands)?;
        Ok(count)
    }

    /// Whether the last import of a learner stands, or was taken back; none where nothing was imported of late.
    ///
    /// # Errors
    /// When the notebook cannot be read.
    pub fn import_stands(&self, learner: Id) -> Result<Option<bool>> {
        let found = self.draft(Some(learner), LAST)?;
        let read = found.and_then(|(text, _)| serde_json::from_str::<LastImport>(&text).ok());
        Ok(read.map(|last| last.taken_back.is_empty()))
    }

    fn remember_import(&mut self, learner: Id, last: &LastImport) -> Result<()> {
        let text = serde_json::to_string(last).map_err(NotebookError::refused)?;
        self.keep_draft(Some(learner), LAST, &text)
    }

    fn last_import(&self, learner: Id) -> Result<LastImport> {
        let found = self.draft(Some(learner), LAST)?;
        let read = found.and_then(|(text, _)| serde_json::from_str(&text).ok());
        read.ok_or_else(|| NotebookError::refused("nothing was imported yet"))
    }
}
