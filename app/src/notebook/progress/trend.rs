//! Agreement over time.

use jiff::ToSpan;
use jiff::civil::{Date, Weekday};
use rusqlite::Connection;
use serde::Serialize;

use super::super::{Result, time};
use super::agree::Agreement;
use super::{Span, tally};

/// How long one point of a trend is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Step {
    /// A day.
    Day,
    /// A week, from Monday (ISO 8601).
    Week,
    /// A month.
    Month,
}

impl Step {
    /// The first day of the step that `day` is in.
    fn begin(self, day: Date) -> Date {
        match self {
            Step::Day => day,
            Step::Week => {
                let days = i64::from(day.weekday().since(Weekday::Monday));
                day.checked_sub(days.days()).unwrap_or(day)
            }
            Step::Month => day.first_of_month(),
        }
    }
}

/// A day, week or month.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct TrendPoint {
    /// Its first day.
    #[serde(with = "time::iso")]
    pub begins: Date,
    /// The child's count against the expected one.
    pub child: Agreement,
    /// The program's verdicts other than "unsure": how many were "same", of how many.
    pub said_right: super::Share,
    /// Attempts, counted or not.
    pub attempts: u64,
}

/// One point for each step that has attempts, the earliest first.
pub fn trend(db: &Connection, learner: i64, span: Span, step: Step) -> Result<Vec<TrendPoint>> {
    let (from, to) = tally::bounds(span);
    let mut query = db.prepare(
        "SELECT day, sum(child = expected), sum(child < expected), sum(child > expected), sum(verdict = 0),
             sum(verdict < 4), count(*)
         FROM attempt WHERE learner = ? AND undone = 0 AND day >= ? AND day <= ? GROUP BY day ORDER BY day",
    )?;
    let mut rows = query.query([learner, from, to])?;
    let mut points: Vec<TrendPoint> = Vec::new();
    while let Some(row) = rows.next()? {
        let count = |i: usize| -> Result<u64> { Ok(row.get::<_, Option<i64>>(i)?.unwrap_or(0).unsigned_abs()) };
        let Some(day) = time::day_of(row.get(0)?) else { continue };
        let begins = step.begin(day);
        if points.last().is_none_or(|p| p.begins != begins) {
            points.push(TrendPoint {
                begins,
                child: Agreement::default(),
                said_right: super::Share::default(),
                attempts: 0,
            });
        }
        let Some(point) = points.last_mut() else { continue };
        point.child.right += count(1)?;
        point.child.fewer += count(2)?;
        point.child.more += count(3)?;
        point.said_right.hits += count(4)?;
        point.said_right.of += count(5)?;
        point.attempts += count(6)?;
    }
    Ok(points)
}
