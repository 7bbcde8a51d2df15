//! When a pattern of earlier months was seen last, to the day, and what came since.

use std::collections::hash_map::Entry;
use std::collections::{BTreeSet, HashMap};

use jiff::civil::Date;
use rusqlite::Connection;
use serde::Serialize;
use soundbead_data::Rules;
use soundbead_data::miscount::{AskedWord, Cause, WordShape};

use super::super::counting::InSql;
use super::super::{Result, code, time};
use super::span::DaySpan;
use super::tally;

/// When a cause was seen last, and how often the words that it touches were tried after that day.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct LastSeen {
    /// The cause.
    pub cause: Cause,
    /// The last day on which a word was counted as it would have it.
    #[serde(with = "time::iso")]
    pub day: Date,
    /// Tries after that day at words that it touches.
    pub tries: u64,
    /// Different words among them.
    pub words: usize,
}

/// A count of a word that was said with as many sounds as it has.
struct PlainCount {
    item: i64,
    day: Date,
    child: u16,
}

/// Each of these causes that was seen at all in a span.
///
/// # Errors
/// When the database cannot be read.
pub fn last_seen(
    db: &Connection,
    learner: i64,
    (span, rules): (DaySpan, &Rules),
    causes: &[Cause],
) -> Result<Vec<LastSeen>> {
    if causes.is_empty() {
        return Ok(Vec::new());
    }
    let counts = plain_counts(db, learner, span)?;
    let mut shapes: HashMap<i64, Option<WordShape>> = HashMap::new();
    for count in &counts {
        if let Entry::Vacant(new) = shapes.entry(count.item) {
            new.insert(shape(db, count.item, rules)?);
        }
    }
    let of = |cause: &Cause| seen(*cause, &counts, &shapes);
    Ok(causes.iter().filter_map(of).collect())
}

fn seen(cause: Cause, counts: &[PlainCount], shapes: &HashMap<i64, Option<WordShape>>) -> Option<LastSeen> {
    let touched = |count: &PlainCount| shapes.get(&count.item)?.as_ref()?.by(cause);
    let hits = counts
        .iter()
        .filter(|c| touched(c).is_some_and(|by| by.contains(&c.child)));
    let day = hits.map(|c| c.day).max()?;
    let after = || counts.iter().filter(|c| c.day > day && touched(c).is_some());
    Some(LastSeen {
        cause,
        day,
        tries: after().count() as u64,
        words: after().map(|c| c.item).collect::<BTreeSet<_>>().len(),
    })
}

fn plain_counts(db: &Connection, learner: i64, span: DaySpan) -> Result<Vec<PlainCount>> {
    let (from, to) = tally::bounds(span);
    let sql = InSql::of(db, learner)?;
    let mut query = db.prepare(&format!(
        "SELECT item, day, child FROM {} WHERE learner = ? AND undone = 0 AND day >= ? AND day <= ?
             AND child IS NOT NULL AND {} = {}",
        sql.from,
        sql.said(),
        sql.expected
    ))?;
    let mut rows = query.query([learner, from, to])?;
    let mut all = Vec::new();
    while let Some(row) = rows.next()? {
        let Some(day) = time::day_of(row.get(1)?) else { continue };
        let (item, child) = (row.get(0)?, row.get(2)?);
        all.push(PlainCount { item, day, child });
    }
    Ok(all)
}

/// A word's shape under some rules; none where the word cannot be read.
fn shape(db: &Connection, item: i64, rules: &Rules) -> Result<Option<WordShape>> {
    let (word, sounds): (String, String) =
        db.query_row("SELECT word, sounds FROM item WHERE n = ?", [item], |row| {
            Ok((row.get(0)?, row.get(1)?))
        })?;
    let sounds = code::sounds(&sounds).ok();
    Ok(sounds.map(|sounds| WordShape::new(&AskedWord { word, sounds }, rules)))
}
