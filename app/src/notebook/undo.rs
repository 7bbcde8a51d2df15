//! Taking the last attempt back, and forgetting for good what was taken back.

use rusqlite::{Connection, OptionalExtension, params};

use super::skipped::Skipped;
use super::{Attempt, Content, Id, Moment, Notebook, Result, history, note, recording, session};

impl Notebook {
    /// Takes back the last attempt of a session, and gives it; none when there is none (left).
    ///
    /// It is in no list and no count from then on, and [`Notebook::redo`] brings it back until the session is ended (or a
    /// day later, when it never is); then it and its recording are gone.
    ///
    /// # Errors
    /// When there is no such session.
    pub fn undo_last(&mut self, session: Id) -> Result<Option<Attempt>> {
        let Some(last) = self.attempts_of(session)?.pop() else {
            return Ok(None);
        };
        self.mark(session, last.id, 1)?;
        Ok(Some(last))
    }

    /// Takes one attempt back, as [`Notebook::undo_last`] does the last.
    ///
    /// # Errors
    /// When there is no such attempt (any more).
    pub fn take_back(&mut self, id: Id) -> Result<()> {
        match self.attempt(id)? {
            Some(attempt) => self.mark(attempt.session, id, 1),
            None => Err(super::NotebookError::refused("this attempt is gone for good")),
        }
    }

    /// Brings back an attempt that was taken back.
    ///
    /// # Errors
    /// When there is no such attempt (any more).
    pub fn redo(&mut self, undone: &Attempt) -> Result<()> {
        self.mark(undone.session, undone.id, 0)
    }

    fn mark(&mut self, session: Id, id: Id, undone: i64) -> Result<()> {
        let change = self.writing()?;
        session::numbers(&change, session)?;
        let marked = change.execute(
            "UPDATE attempt SET undone = ?1, changed = max(changed + 1, ?2) WHERE id = ?3",
            params![undone, Moment::now(), id],
        )?;
        if marked == 0 {
            return Err(super::NotebookError::refused("this attempt is gone for good"));
        }
        Ok(change.commit()?)
    }

    /// Forgets what was taken back before `before`.
    pub(super) fn forget_undone(&mut self, before: Moment) -> Result<()> {
        self.forget_undone_of(None, before)
    }

    /// As [`Notebook::forget_undone`], in one session.
    pub(super) fn forget_undone_of(&mut self, session: Option<i64>, before: Moment) -> Result<()> {
        self.forget_undone_writing(session, before)?;
        let mut query = self
            .db
            .prepare("SELECT id FROM attempt WHERE undone = 1 AND changed < ?1 AND (?2 IS NULL OR session = ?2)")?;
        let found = query.query_map(params![before, session], |row| row.get(0))?;
        let found: Vec<Id> = found.collect::<rusqlite::Result<_>>()?;
        drop(query);
        if found.is_empty() {
            return Ok(());
        }
        let change = self.writing()?;
        let mut recordings = Vec::new();
        for id in found {
            recordings.extend(forget(&change, id, Moment::now())?.recording);
        }
        change.commit()?;
        self.remove_unused(&recordings).map(|_| ())
    }

    /// Removes those of the recordings of which no row speaks; gives how many.
    pub(super) fn remove_unused(&mut self, recordings: &[Content]) -> Result<u64> {
        let folder = self.folder.clone();
        // Held so that no other program keeps the same recording just now.
        let held = self.writing()?;
        let mut removed = 0;
        for content in recordings {
            if !super::voice::recording_is_used(&held, *content)? {
                recording::remove(&folder, *content)?;
                removed += 1;
            }
        }
        held.commit()?;
        Ok(removed)
    }
}

/// What was taken out with an attempt.
#[derive(Default)]
pub(super) struct Forgotten {
    /// Its recording, which another attempt may have too.
    pub recording: Option<Content>,
    /// Rows: the attempt itself and the notes on it.
    pub rows: u64,
}

/// Takes an attempt out with all that hangs on it, as of `when`.
pub(super) fn forget(db: &Connection, id: Id, when: Moment) -> Result<Forgotten> {
    // By its columns, so that one that cannot be read goes too.
    let found = db.query_row("SELECT n, learner, recording FROM attempt WHERE id = ?", [id], |row| {
        Ok((row.get(0)?, row.get(1)?, row.get(2)?))
    });
    let Some((n, learner, recording)): Option<(i64, i64, _)> = found.optional()? else {
        return Ok(Forgotten::default());
    };
    let mut rows = 1;
    for note in note::pick(
        db,
        "learner = ? AND kind = 3 AND about = ?",
        params![learner, id.to_string()],
        &Skipped::default(),
    )? {
        db.execute("DELETE FROM note WHERE id = ?", [note.id])?;
        history::gone(db, learner, note.id, when.max(note.changed))?;
        rows += 1;
    }
    db.execute("DELETE FROM attempt WHERE n = ?", [n])?;
    history::gone(db, learner, id, when)?;
    Ok(Forgotten { recording, rows })
}
