//! What a later change took the place of: kept, so that no correction loses the one before it.

use jiff::civil::Date;
use rusqlite::{Connection, params};
use serde::{Deserialize, Serialize};
use serde_json::Value;

use super::bounds::{CheckResult, CheckedRow};
use super::{Id, Moment, Notebook, Result};

/// An earlier state of a learner's name, an attempt's ruling, or a note.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Earlier {
    /// Whose state it was.
    pub of: Id,
    /// When that state was made.
    pub changed: Moment,
    /// What it said.
    pub body: Value,
}

impl CheckedRow for Earlier {
    fn check(&self) -> CheckResult {
        Ok(())
    }

    fn state(&self) -> (Id, Moment) {
        (self.of, self.changed)
    }

    fn times(&mut self) -> (Vec<&mut Moment>, Option<&mut Date>) {
        (vec![&mut self.changed], None)
    }
}

/// A state as JSON text: the same state always gives the same text.
pub(super) fn body(state: &impl Serialize) -> String {
    serde_json::to_string(state).expect("the notebook's own types can be written as JSON")
}

/// Keeps an earlier state; one that is kept already is not kept twice.
pub(super) fn keep(db: &Connection, learner: i64, of: Id, changed: Moment, body: &str) -> Result<()> {
    db.execute(
        "INSERT INTO history (learner, of, changed, body) VALUES (?, ?, ?, ?) ON CONFLICT DO NOTHING",
        params![learner, of, changed, body],
    )?;
    Ok(())
}

/// Remembers that a row was taken out, and when.
pub(super) fn gone(db: &Connection, learner: i64, id: Id, changed: Moment) -> Result<()> {
    db.execute("DELETE FROM history WHERE of = ?", [id])?;
    db.execute(
        "INSERT INTO gone (id, learner, changed) VALUES (?, ?, ?)
         ON CONFLICT DO UPDATE SET changed = max(changed, excluded.changed)",
        params![id, learner, changed],
    )?;
    Ok(())
}

/// Keeps that a state's time was moved from `was` to `now`, because a wrong clock had shown it (see `bounds`). When the
/// same state comes again, it is put to the same time.
pub(super) fn keep_moved(db: &Connection, learner: i64, of: Id, was: Moment, now: Moment) -> Result<()> {
    keep(db, learner, of, now, &moved_from(was))
}

/// Where the state of this time was moved to, if it was.
pub(super) fn moved(db: &Connection, of: Id, was: Moment) -> Result<Option<Moment>> {
    let found = db.query_row(
        "SELECT min(changed) FROM history WHERE of = ? AND body = ?",
        params![of, moved_from(was)],
        |row| row.get(0),
    )?;
    Ok(found)
}

fn moved_from(was: Moment) -> String {
    body(&serde_json::json!({ MOVED: was }))
}

/// The one field of the body that says from which time a state was moved.
const MOVED: &str = "dated";

impl Notebook {
    /// The earlier states of a learner, an attempt or a note, the latest first.
    ///
    /// # Errors
    /// When the database cannot be read.
    pub fn earlier(&self, of: Id) -> Result<Vec<Earlier>> {
        let mut query = self
            .db
            .prepare("SELECT changed, body FROM history WHERE of = ? ORDER BY changed DESC, body")?;
        let mut rows = query.query([of])?;
        let mut all = Vec::new();
        while let Some(row) = rows.next()? {
            let body: Value = serde_json::from_str(&row.get::<_, String>(1)?).unwrap_or_default();
            if body.get(MOVED).is_some() {
                continue;
            }
            all.push(Earlier {
                of,
                changed: row.get(0)?,
                body,
            });
        }
        Ok(all)
    }
}
