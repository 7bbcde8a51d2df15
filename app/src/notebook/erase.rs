//! Erasing a learner: every row, every recording that nobody else has, every draft, and what the database would keep of
//! them in its free pages and its log.
//!
//! The program's own copies of the notebook that hold the learner go too. What a disk keeps of overwritten files below the
//! file system, and copies made elsewhere (hand-overs, reports), are beyond this program.

use std::collections::HashSet;
use std::fs;
use std::io::ErrorKind;
use std::path::Path;

use rusqlite::Connection;

use super::error::fault;
use super::leftover::{STAGING, entries};
use super::{Content, Id, Notebook, NotebookError, Result, learner, recording};
use crate::storage;

/// There while an erasure is not finished; what is left of it is done when the notebook is next opened.
const UNFINISHED: &str = "erase-unfinished";

/// What was erased.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Erased {
    /// Attempts, those taken back among them.
    pub attempts: u64,
    /// Notes.
    pub notes: u64,
    /// Words as they were written, those taken back among them.
    pub writings: u64,
    /// Files of recordings.
    pub recordings: u64,
}

impl Notebook {
    /// Erases a learner for good. There is no undo: ask the person first, by the learner's name.
    ///
    /// # Errors
    /// When there is no such learner, or another program holds the notebook so that its old pages cannot be cleared;
    /// the learner is out of the notebook then, and the clearing is done when it is next opened.
    pub fn erase(&mut self, learner: Id) -> Result<Erased> {
        let number = learner::number(&self.db, learner)?;
        let marker = self.folder.join(UNFINISHED);
        storage::private_file(&marker).map_err(fault(&marker))?;
        let change = self.writing()?;
        let mut erased = rows(&change, number)?;
        change.commit()?;
        erased.recordings = self.clear()?;
        Ok(erased)
    }

    /// Finishes an erasure that was broken off, if there is one and nobody else is at the notebook.
    pub(super) fn finish_erasing(&mut self) -> Result<()> {
        if !self.folder.join(UNFINISHED).exists() {
            return Ok(());
        }
        match self.clear() {
            // It stays unfinished, and is tried again next time; nothing of it can be seen in the notebook.
            Err(NotebookError::Refused(_)) => Ok(()),
            other => other.map(|_| ()),
        }
    }

    /// Removes files that no row speaks of, and clears the database's free pages and log. Gives how many files.
    fn clear(&mut self) -> Result<u64> {
        let folder = self.folder.clone();
        // Recordings are written and their rows made under the same hold, so none is on its way now.
        let held = self.writing()?;
        let removed = remove_strays(&folder, &used(&held)?)?;
        held.commit()?;
        self.db.execute_batch("VACUUM").map_err(|_| in_use())?;
        let busy: i64 = self
            .db
            .query_row("PRAGMA wal_checkpoint(TRUNCATE)", [], |row| row.get(0))?;
        if busy != 0 {
            return Err(in_use());
        }
        super::backup::forget_erased(&self.db, &folder)?;
        match fs::remove_file(folder.join(UNFINISHED)) {
            Err(e) if e.kind() != ErrorKind::NotFound => Err(fault(&folder.join(UNFINISHED))(e)),
            _ => Ok(removed),
        }
    }
}

fn in_use() -> NotebookError {
    NotebookError::refused(
        "the learner is erased, but another program has the notebook open, so its free pages still hold old words; close \
         that program: they are cleared when the notebook is next opened",
    )
}

/// Takes out every row of a learner; gives how many there were.
fn rows(db: &Connection, learner: i64) -> Result<Erased> {
    // The tally first: the triggers then find nothing to count down.
    db.execute("DELETE FROM tally WHERE learner = ?", [learner])?;
    db.execute(
        "DELETE FROM judgement WHERE attempt IN (SELECT n FROM attempt WHERE learner = ?)",
        [learner],
    )?;
    let attempts = db.execute("DELETE FROM attempt WHERE learner = ?", [learner])?;
    let notes = db.execute("DELETE FROM note WHERE learner = ?", [learner])?;
    let writings = db.execute("DELETE FROM writing WHERE learner = ?", [learner])?;
    for table in [
        "goal",
        "named",
        "draft",
        "enrolment",
        "vowel",
        "history",
        "gone",
        "session",
    ] {
        db.execute(&format!("DELETE FROM {table} WHERE learner = ?"), [learner])?;
    }
    db.execute("DELETE FROM learner WHERE n = ?", [learner])?;
    // Words that only this learner was asked.
    db.execute_batch(
        "DELETE FROM item_sound WHERE item NOT IN (SELECT item FROM attempt);
         DELETE FROM item WHERE n NOT IN (SELECT item FROM attempt);
         DELETE FROM rules WHERE n NOT IN (SELECT rules FROM attempt);",
    )?;
    Ok(Erased {
        attempts: attempts as u64,
        notes: notes as u64,
        writings: writings as u64,
        recordings: 0,
    })
}

/// Every recording of which a row speaks.
fn used(db: &Connection) -> Result<HashSet<Content>> {
    let mut query = db.prepare(
        "SELECT recording FROM attempt WHERE recording IS NOT NULL
         UNION ALL SELECT recording FROM vowel WHERE recording IS NOT NULL",
    )?;
    let all = query.query_map([], |row| row.get(0))?;
    Ok(all.collect::<rusqlite::Result<_>>()?)
}

/// Removes every file among the recordings that is not a used one's, and what was left of hand-overs half read.
fn remove_strays(notebook: &Path, used: &HashSet<Content>) -> Result<u64> {
    let mut removed = 0;
    for folder in entries(&notebook.join(recording::FOLDER))? {
        for file in entries(&folder)? {
            let name = file.file_name().unwrap_or_default().to_string_lossy().into_owned();
            let content = name.strip_suffix(".wav").and_then(|stem| stem.parse().ok());
            if !content.is_some_and(|c| used.contains(&c)) {
                fs::remove_file(&file).map_err(fault(&file))?;
                removed += 1;
            }
        }
        // Only an empty one goes.
        let _ = fs::remove_dir(&folder);
    }
    for entry in entries(notebook)? {
        let name = entry.file_name().unwrap_or_default().to_string_lossy().into_owned();
        if name.starts_with(STAGING) && entry.is_dir() {
            fs::remove_dir_all(&entry).map_err(fault(&entry))?;
        } else if name.starts_with(storage::UNFINISHED) {
            fs::remove_file(&entry).map_err(fault(&entry))?;
        }
    }
    Ok(removed)
}
