//! What the parent says of the choices of spelling: taught, or not, whatever the writing shows.

use rusqlite::{Connection, OptionalExtension, params};
use serde::{Deserialize, Serialize};
use soundbead_data::course::{Choice, NamedChoices};

use super::{Id, Moment, Notebook, Result, learner};

/// What is said of one choice.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Naming {
    /// The choice's name.
    pub choice: String,
    /// Whether it was taught; none where that was taken back.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub taught: Option<bool>,
    /// When that was said.
    pub changed: Moment,
}

/// Everything said of choices, by name; what was taken back too.
pub(super) fn all(db: &Connection, learner: i64) -> Result<Vec<Naming>> {
    let mut query = db.prepare("SELECT choice, taught, changed FROM named WHERE learner = ? ORDER BY choice")?;
    let all = query.query_map([learner], |row| {
        Ok(Naming {
            choice: row.get(0)?,
            taught: row.get(1)?,
            changed: row.get(2)?,
        })
    })?;
    Ok(all.collect::<rusqlite::Result<_>>()?)
}

/// What was said of one choice last.
pub(super) fn of(db: &Connection, learner: i64, choice: &str) -> Result<Option<Naming>> {
    let found = db.query_row(
        "SELECT taught, changed FROM named WHERE learner = ? AND choice = ?",
        params![learner, choice],
        |row| {
            Ok(Naming {
                choice: choice.to_owned(),
                taught: row.get(0)?,
                changed: row.get(1)?,
            })
        },
    );
    Ok(found.optional()?)
}

/// Puts what is said of a choice in the place of what was said before.
pub(super) fn put(db: &Connection, learner: i64, naming: &Naming) -> Result<()> {
    db.execute(
        "INSERT INTO named (learner, choice, taught, changed) VALUES (?, ?, ?, ?)
         ON CONFLICT DO UPDATE SET taught = excluded.taught, changed = excluded.changed",
        params![learner, naming.choice, naming.taught, naming.changed],
    )?;
    Ok(())
}

impl Notebook {
    /// The choices that the parent says were taught, and those that were not. Choices of a later version are passed over.
    ///
    /// # Errors
    /// When there is no such learner.
    pub fn named_choices(&self, learner: Id) -> Result<NamedChoices> {
        let mut named = NamedChoices::default();
        for naming in all(&self.db, learner::number(&self.db, learner)?)? {
            match (Choice::find(&naming.choice), naming.taught) {
                (Some(choice), Some(true)) => named.taught.insert(choice),
                (Some(choice), Some(false)) => named.not_taught.insert(choice),
                _ => false,
            };
        }
        Ok(named)
    }

    /// Says that a choice was taught, that it was not, or (none) that the writing is to decide again. Gives what was said before, by
    /// which this is undone.
    ///
    /// # Errors
    /// When there is no such learner.
    pub fn name_choice(&mut self, learner: Id, choice: Choice, taught: Option<bool>) -> Result<Option<bool>> {
        let change = self.writing()?;
        let number = learner::number(&change, learner)?;
        let old = of(&change, number, choice.name())?;
        let was = old.as_ref().and_then(|old| old.taught);
        if was != taught {
            let naming = Naming {
                choice: choice.name().to_owned(),
                taught,
                changed: old.map_or_else(Moment::now, |old| Moment::after(old.changed)),
            };
            put(&change, number, &naming)?;
            change.commit()?;
        }
        Ok(was)
    }
}
