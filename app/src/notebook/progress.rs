//! What a learner's attempts add up to: how often the child's count agrees with the word's, where it does not, and what of
//! that is a pattern and what may be chance.
//!
//! Every share comes with how many attempts it rests on and its 95 % interval by Wilson (1927). Counts are held against
//! the sounds that were said, by the learner's rules as they are now; see `counting.rs` in the folder above.

mod agree;
mod cause;
mod pattern;
mod practice;
mod shape;
mod span;
mod sum;
mod tally;
mod told;
mod trend;
mod vowels;
mod whole;
mod wilson;

use super::{Id, Notebook, Result, learner};

pub use agree::Agreement;
pub use cause::Cause;
pub use pattern::{Claim, LEAST_ATTEMPTS, LEAST_WORDS, Pattern};
pub use practice::{Practice, practice};
pub use span::Span;
pub use sum::{ClusterRow, Counts, SoundRow, Sums, WayRow};
pub use told::{Confusion, confusions};
pub use trend::{Step, TrendPoint, gathered};
pub use vowels::{VowelMonth, vowel_months};
pub use whole::Progress;
pub use wilson::{Share, wilson};

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
            by_rules: tallies.by_rules,
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

    /// The models that judged, by name and version, the earliest first.
    ///
    /// # Errors
    /// When there is no such learner.
    pub fn models(&self, learner: Id, span: Span) -> Result<Vec<String>> {
        let number = learner::number(&self.db, learner)?;
        let (from, to) = tally::bounds(span);
        // From one name to the next by the index, so that it does not matter how often each judged.
        let mut query = self.db.prepare(
            "WITH RECURSIVE name (model) AS (
                 SELECT min(model) FROM attempt WHERE learner = ?1 AND undone = 0 AND model > ''
                 UNION ALL
                 SELECT (SELECT min(model) FROM attempt WHERE learner = ?1 AND undone = 0 AND model > name.model)
                     FROM name WHERE name.model IS NOT NULL)
             SELECT model, (SELECT min(day) FROM attempt
                     WHERE learner = ?1 AND undone = 0 AND model = name.model AND day >= ?2 AND day <= ?3) AS first
                 FROM name WHERE model IS NOT NULL AND first IS NOT NULL ORDER BY first, model",
        )?;
        let names = query.query_map([number, from, to], |row| row.get(0))?;
        Ok(names.collect::<rusqlite::Result<_>>()?)
    }
}
