//! What came after a first count that missed. First tries count; this stands beside them.

use rusqlite::Connection;
use serde::Serialize;

use super::super::attempt::{AfterFirst, Edits, ShownAnswer};
use super::super::counting::InSql;
use super::super::{NotebookError, Result};
use super::span::DaySpan;
use super::tally;

/// First counts that missed, and what came after.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize)]
pub struct CountedAgain {
    /// First counts that missed.
    pub missed: u64,
    /// Of them, those that were counted again.
    pub again: u64,
    /// Of these, those that were right in the end.
    pub right: u64,
    /// First counts that missed where the program showed the count.
    pub shown: u64,
}

/// Adds up over the attempts of some days.
///
/// # Errors
/// A database that cannot be read.
pub fn again(db: &Connection, learner: i64, span: DaySpan) -> Result<CountedAgain> {
    let (from, to) = tally::bounds(span);
    let sql = InSql::of(db, learner)?;
    // What came after is looked for only where the first count missed, which the index tells.
    let mut query = db.prepare(&format!(
        "SELECT a.edits, m.said FROM (SELECT n, child, {} AS said FROM {}
             WHERE learner = ? AND undone = 0 AND day >= ? AND day <= ?) m
         JOIN attempt a ON a.n = m.n WHERE m.child <> m.said",
        sql.said(),
        sql.from
    ))?;
    let mut rows = query.query([learner, from, to])?;
    let mut sum = CountedAgain::default();
    while let Some(row) = rows.next()? {
        let (text, said): (String, u16) = (row.get(0)?, row.get(1)?);
        sum.missed += 1;
        if text.contains("\"after\":") {
            let edits: Edits = serde_json::from_str(&text).map_err(NotebookError::refused)?;
            sum.put(&edits.after, said);
        }
    }
    Ok(sum)
}

impl CountedAgain {
    fn put(&mut self, after: &AfterFirst, said: u16) {
        self.again += u64::from(after.child.is_some());
        self.right += u64::from(after.child == Some(said));
        self.shown += u64::from(after.shown.contains(&ShownAnswer::Count));
    }
}
