//! What a learner's attempts add up to: how often the child's count agrees with the word's, where it does not, and what of
//! that is a pattern and what may be chance.
//!
//! Every share comes with how many attempts it rests on and its 95 % interval by Wilson (1927). Counts are held against
//! the count expected by the rules that were in force at each attempt.

mod agree;
mod pattern;
mod practice;
mod shape;
mod sum;
mod tally;
mod told;
mod trend;
mod vowels;
mod wilson;

use jiff::civil::Date;
use rusqlite::params;
use serde::Serialize;
use soundbead_data::Rules;

use super::{Id, Notebook, Result, learner};

pub use agree::Agreement;
pub use pattern::{Cause, Claim, LEAST_ATTEMPTS, LEAST_WORDS, Pattern};
pub use practice::{Practice, practice};
pub use sum::{ClusterRow, Counts, SoundRow, Sums, WayRow};
pub use told::{Confusion, confusions};
pub use trend::{Step, TrendPoint};
pub use vowels::{VowelMonth, vowel_months};
pub use wilson::{Share, wilson};

/// From which day to which; open ends reach to the first and the last attempt.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Span {
    /// The first day.
    pub from: Option<Date>,
    /// The last day.
    pub to: Option<Date>,
}

/// What a learner's attempts add up to.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Progress {
    /// Attempts in all.
    pub attempts: u64,
    /// Different words among them.
    pub words: usize,
    /// Agreement by sound, place, cluster, length and way of speaking.
    #[serde(flatten)]
    pub sums: Sums,
    /// Miscounts that may have one cause, the surest first.
    pub patterns: Vec<Pattern>,
}

impl Notebook {
    /// Adds a learner's attempts up.
    ///
    /// # Errors
    /// When there is no such learner.
    pub fn progress(&self, learner: Id, span: Span) -> Result<Progress> {
        let number = learner::number(&self.db, learner)?;
        let tallies = tally::load(&self.db, number, span)?;
        Ok(Progress {
            attempts: tallies.rows.iter().map(|t| t.attempts).sum(),
            words: tallies.words(),
            sums: sum::sums(&tallies),
            patterns: pattern::patterns(&tallies),
        })
    }

    /// Agreement over time, one point for each day, week or month that has attempts, the earliest first.
    ///
    /// # Errors
    /// When there is no such learner.
    pub fn trend(&self, learner: Id, span: Span, step: Step) -> Result<Vec<TrendPoint>> {
        trend::trend(&self.db, learner::number(&self.db, learner)?, span, step)
    }

    /// Which sounds people heard in the place of which, where a ruling tells the sounds; the most frequent first.
    ///
    /// # Errors
    /// When there is no such learner.
    pub fn confusions(&self, learner: Id, span: Span) -> Result<Vec<Confusion>> {
        told::confusions(&self.db, learner::number(&self.db, learner)?, span)
    }

    /// How many attempts were counted by other rules than these.
    ///
    /// # Errors
    /// When there is no such learner.
    pub fn attempts_by_other_rules(&self, learner: Id, span: Span, rules: &Rules) -> Result<u64> {
        let number = learner::number(&self.db, learner)?;
        let (from, to) = tally::bounds(span);
        let count: i64 = self.db.query_row(
            "SELECT count(*) FROM attempt WHERE learner = ? AND undone = 0 AND day >= ? AND day <= ?
                 AND rules NOT IN (SELECT n FROM rules WHERE text = ?)",
            params![number, from, to, rules.to_string()],
            |row| row.get(0),
        )?;
        Ok(count.unsigned_abs())
    }

    /// The models that judged, by name and version, the earliest first.
    ///
    /// # Errors
    /// When there is no such learner.
    pub fn models(&self, learner: Id, span: Span) -> Result<Vec<String>> {
        let number = learner::number(&self.db, learner)?;
        let (from, to) = tally::bounds(span);
        let mut query = self.db.prepare(
            "SELECT model FROM attempt WHERE learner = ? AND undone = 0 AND day >= ? AND day <= ? AND model <> ''
             GROUP BY model ORDER BY min(at)",
        )?;
        let names = query.query_map([number, from, to], |row| row.get(0))?;
        Ok(names.collect::<rusqlite::Result<_>>()?)
    }
}
