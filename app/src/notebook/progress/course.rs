//! How each word was counted from day to day: what is known, what comes and goes, and the same words then and now.

use std::collections::hash_map::Entry;
use std::collections::{BTreeMap, HashMap};

use jiff::civil::Date;
use rusqlite::Connection;
use serde::Serialize;

use super::super::counting::InSql;
use super::super::{Result, time};
use super::span::DaySpan;
use super::tally;

/// Days in a row on which a word is counted right at the first try for it to be held for known.
const HOLDS: usize = 3;
/// Days between two tries of a word, from which on they are "then" and "now".
const APART: i64 = 14;

/// One word from its first day to its last. On each day its first try counts.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct WordCourse {
    /// The word.
    pub word: String,
    /// The first day.
    #[serde(with = "time::iso")]
    pub first: Date,
    /// The last.
    #[serde(with = "time::iso")]
    pub last: Date,
    /// Whether it was counted right on the first day.
    pub right_first: bool,
    /// Whether it was on each of its latest days, at most three, the last one last.
    pub latest: Vec<bool>,
}

/// Where a word stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum WordStanding {
    /// Counted right on its last three days.
    Holds,
    /// Right the last time, but missed before, and not yet right three days in a row.
    Fragile,
    /// Right each time so far, on one day or two.
    SoFar,
    /// Not right the last time.
    NotYet,
}

impl WordCourse {
    /// Whether it was counted right on its last day.
    pub fn right_last(&self) -> bool {
        self.latest.last() == Some(&true)
    }

    /// Whether its first and its last day are two weeks apart or more.
    pub fn then_and_now(&self) -> bool {
        self.first
            .until(self.last)
            .is_ok_and(|span| i64::from(span.get_days()) >= APART)
    }

    /// Where it stands: every word stands somewhere. One that never missed is not called fragile for having been met once or
    /// twice.
    pub fn stands(&self) -> WordStanding {
        match (self.right_last(), self.latest.iter().all(|r| *r)) {
            (false, _) => WordStanding::NotYet,
            (_, true) if self.latest.len() == HOLDS => WordStanding::Holds,
            (_, true) if self.right_first => WordStanding::SoFar,
            _ => WordStanding::Fragile,
        }
    }

    fn next(&mut self, day: Date, right: bool) {
        if day == self.last {
            return;
        }
        self.last = day;
        self.latest.push(right);
        if self.latest.len() > HOLDS {
            self.latest.remove(0);
        }
    }
}

/// Every word that was counted in some days, by the alphabet.
///
/// # Errors
/// A database that cannot be read.
pub fn courses(db: &Connection, learner: i64, span: DaySpan) -> Result<Vec<WordCourse>> {
    let (from, to) = tally::bounds(span);
    let sql = InSql::of(db, learner)?;
    let mut query = db.prepare(&format!(
        "SELECT item, day, child = said FROM (SELECT item, day, at, child, {} AS said FROM {}
             WHERE learner = ? AND undone = 0 AND day >= ? AND day <= ?)
         WHERE child IS NOT NULL AND said IS NOT NULL ORDER BY day, at",
        sql.said(),
        sql.from
    ))?;
    let mut rows = query.query([learner, from, to])?;
    let mut names: HashMap<i64, String> = HashMap::new();
    let mut all: BTreeMap<String, WordCourse> = BTreeMap::new();
    while let Some(row) = rows.next()? {
        let Some(day) = time::day_of(row.get(1)?) else { continue };
        let (item, right): (i64, bool) = (row.get(0)?, row.get(2)?);
        let word = match names.entry(item) {
            Entry::Occupied(known) => known.into_mut(),
            Entry::Vacant(new) => new.insert(word(db, item)?),
        };
        match all.get_mut(word) {
            Some(course) => course.next(day, right),
            None => drop(all.insert(word.clone(), WordCourse::begin(word, day, right))),
        }
    }
    Ok(all.into_values().collect())
}

impl WordCourse {
    fn begin(word: &str, day: Date, right: bool) -> WordCourse {
        WordCourse {
            word: word.to_owned(),
            first: day,
            last: day,
            right_first: right,
            latest: vec![right],
        }
    }
}

fn word(db: &Connection, item: i64) -> Result<String> {
    Ok(db.query_row("SELECT word FROM item WHERE n = ?", [item], |row| row.get(0))?)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn three_days_in_a_row_hold_and_a_first_try_decides_a_day() {
        let day = |n: i8| jiff::civil::date(2026, 10, n);
        let mut ship = WordCourse::begin("ship", day(1), false);
        assert_eq!(ship.stands(), WordStanding::NotYet);
        ship.next(day(1), true);
        assert_eq!(ship.stands(), WordStanding::NotYet, "a second try on the same day");
        ship.next(day(8), true);
        assert_eq!(ship.stands(), WordStanding::Fragile);
        ship.next(day(9), true);
        assert_eq!((ship.stands(), ship.then_and_now()), (WordStanding::Fragile, false));
        ship.next(day(15), true);
        assert_eq!((ship.stands(), ship.then_and_now()), (WordStanding::Holds, true));
        ship.next(day(16), false);
        assert_eq!(ship.stands(), WordStanding::NotYet);
        assert_eq!(WordCourse::begin("pig", day(2), true).stands(), WordStanding::SoFar);
    }
}
