//! Agreement over time.

use jiff::ToSpan;
use jiff::civil::{Date, Weekday};
use rusqlite::Connection;
use serde::Serialize;

use super::super::counting::InSql;
use super::super::{Result, time};
use super::agree::Agreement;
use super::span::DaySpan;
use super::tally;
use soundbead_data::share::Share;

/// How long one point of a trend is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum TrendPeriod {
    /// A day.
    Day,
    /// A week, from Monday (ISO 8601).
    Week,
    /// A month.
    Month,
}

impl TrendPeriod {
    /// The first day of the step that `day` is in.
    fn begin(self, day: Date) -> Date {
        match self {
            TrendPeriod::Day => day,
            TrendPeriod::Week => {
                let days = i64::from(day.weekday().since(Weekday::Monday));
                day.checked_sub(days.days()).unwrap_or(day)
            }
            TrendPeriod::Month => day.first_of_month(),
        }
    }
}

/// A day, week or month.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct TrendPoint {
    /// Its first day.
    #[serde(with = "time::iso")]
    pub begins: Date,
    /// The child's count against the sounds that were said.
    pub child: Agreement,
    /// The program's verdicts other than "unsure": how many were "same", of how many.
    pub said_right: Share,
    /// Attempts, counted or not.
    pub attempts: u64,
}

/// Points of single days put together to longer steps.
pub fn gathered(days: &[TrendPoint], step: TrendPeriod) -> Vec<TrendPoint> {
    let mut points: Vec<TrendPoint> = Vec::new();
    for day in days {
        let begins = step.begin(day.begins);
        match points.last_mut().filter(|p| p.begins == begins) {
            Some(point) => point.add(day),
            None => points.push(TrendPoint { begins, ..day.clone() }),
        }
    }
    points
}

impl TrendPoint {
    fn add(&mut self, other: &TrendPoint) {
        self.child.right += other.child.right;
        self.child.fewer += other.child.fewer;
        self.child.more += other.child.more;
        self.said_right.hits += other.said_right.hits;
        self.said_right.of += other.said_right.of;
        self.attempts += other.attempts;
    }
}

/// One point for each step that has attempts, the earliest first.
///
/// # Errors
/// When the database cannot be read.
pub fn trend(db: &Connection, learner: i64, span: DaySpan, step: TrendPeriod) -> Result<Vec<TrendPoint>> {
    let (from, to) = tally::bounds(span);
    let sql = InSql::of(db, learner)?;
    let mut query = db.prepare(&format!(
        "SELECT day, sum(child = said), sum(child < said), sum(child > said), sum(verdict = 0), sum(verdict < 4), count(*)
         FROM (SELECT day, child, verdict, {} AS said FROM {}
             WHERE learner = ? AND undone = 0 AND day >= ? AND day <= ?) GROUP BY day ORDER BY day",
        sql.said(),
        sql.from
    ))?;
    let mut rows = query.query([learner, from, to])?;
    let mut days: Vec<TrendPoint> = Vec::new();
    while let Some(row) = rows.next()? {
        let count = |i: usize| -> Result<u64> { Ok(row.get::<_, Option<i64>>(i)?.unwrap_or(0).unsigned_abs()) };
        let Some(begins) = time::day_of(row.get(0)?) else {
            continue;
        };
        let child = Agreement {
            right: count(1)?,
            fewer: count(2)?,
            more: count(3)?,
        };
        let said_right = Share {
            hits: count(4)?,
            of: count(5)?,
        };
        days.push(TrendPoint {
            begins,
            child,
            said_right,
            attempts: count(6)?,
        });
    }
    Ok(gathered(&days, step))
}
