//! What was begun and not finished: a note as it is typed, a drill that was broken off.

use rusqlite::{Connection, OptionalExtension, params};

use super::{Id, Learner, Moment, Notebook, Result, learner};

fn owner(db: &Connection, learner: Option<Id>) -> Result<Option<i64>> {
    learner.map(|id| learner::number(db, id)).transpose()
}

/// Under which it is kept that a learner was the last in hand. It belongs to the learner, and is erased with them.
const IN_HAND: &str = "in hand";

impl Notebook {
    /// Remembers that this learner is in hand.
    ///
    /// # Errors
    /// When there is no such learner.
    pub fn take_in_hand(&mut self, learner: Id) -> Result<()> {
        self.keep_draft(Some(learner), IN_HAND, "yes")
    }

    /// The learner who was in hand last, or the only one there is; none when nobody is known.
    ///
    /// # Errors
    /// When the database cannot be read.
    pub fn last_in_hand(&self) -> Result<Option<Learner>> {
        let mut last = None;
        let mut all = self.learners()?;
        for learner in &all {
            let since = self.draft(Some(learner.id), IN_HAND)?.map(|(_, since)| since);
            if since.is_some() && since > last.as_ref().map(|(since, _)| *since) {
                last = since.map(|since| (since, learner.clone()));
            }
        }
        let alone = if all.len() == 1 { all.pop() } else { None };
        Ok(last.map(|(_, learner)| learner).or(alone))
    }

    /// Keeps `text` under `key` for a learner (or for nobody), in the place of what was there. Empty text removes it.
    ///
    /// # Errors
    /// When there is no such learner.
    pub fn keep_draft(&mut self, learner: Option<Id>, key: &str, text: &str) -> Result<()> {
        let change = self.writing()?;
        let number = owner(&change, learner)?;
        change.execute("DELETE FROM draft WHERE learner IS ? AND key = ?", params![number, key])?;
        if !text.is_empty() {
            change.execute(
                "INSERT INTO draft (learner, key, text, changed) VALUES (?, ?, ?, ?)",
                params![number, key, text, Moment::now()],
            )?;
        }
        Ok(change.commit()?)
    }

    /// What is kept under `key`, and since when.
    ///
    /// # Errors
    /// When there is no such learner.
    pub fn draft(&self, learner: Option<Id>, key: &str) -> Result<Option<(String, Moment)>> {
        let number = owner(&self.db, learner)?;
        let found = self.db.query_row(
            "SELECT text, changed FROM draft WHERE learner IS ? AND key = ?",
            params![number, key],
            |row| Ok((row.get(0)?, row.get(1)?)),
        );
        Ok(found.optional()?)
    }
}
