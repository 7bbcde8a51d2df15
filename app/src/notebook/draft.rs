//! What was begun and not finished: a note as it is typed, a drill that was broken off.

use rusqlite::{Connection, OptionalExtension, params};

use super::{Id, Moment, Notebook, Result, learner};

fn owner(db: &Connection, learner: Option<Id>) -> Result<Option<i64>> {
    learner.map(|id| learner::number(db, id)).transpose()
}

impl Notebook {
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
