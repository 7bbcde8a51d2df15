//! What a learner's attempts add up to: how often the child's count agrees with the word's, where it does not, and what of
//! that is a pattern and what may be chance.
//!
//! Every share comes with how many attempts it rests on and its 95 % interval by Wilson (1927). Counts are held against
//! the sounds that were said, by the learner's rules as they are now; see `counting.rs` in the folder above.

mod again;
mod agree;
mod course;
mod fared;
mod last;
mod practice;
mod span;
mod sum;
mod tally;
mod told;
mod trend;
mod vowels;
mod whole;

use jiff::civil::Date;
use soundbead_data::{Sound, miscount};
use soundbead_dsp::judgement::Verdict;

use super::{Id, Notebook, Result, learner};

pub use again::CountedAgain;
pub use agree::Agreement;
pub use course::{WordCourse, WordStanding};
pub use fared::SoundFared;
pub use last::LastSeen;
pub use practice::{Practice, practice, to_try};
pub use soundbead_data::miscount::{Before, Cause, Claim, LEAST_ATTEMPTS, LEAST_WORDS, Month, Pattern, SoundRest};
pub use soundbead_data::share::{Share, wilson};
pub use span::DaySpan;
pub use sum::{ClusterRow, Counts, SoundRow, Sums, WayRow};
pub use told::{Confusion, HeardOtherwise, confusions};
pub use trend::{TrendPeriod, TrendPoint, gathered};
pub use vowels::{VowelMonth, vowel_months};
pub use whole::Progress;

impl Notebook {
    /// Adds a learner's attempts up.
    ///
    /// # Errors
    /// When there is no such learner.
    pub fn progress(&self, learner: Id, span: DaySpan) -> Result<Progress> {
        let number = learner::number(&self.db, learner)?;
        let tallies = tally::load(&self.db, number, span)?;
        let mut sums = sum::sums(&tallies);
        // What two people who differ agree on is kept as unsure, so the tally does not tell.
        let apart = self.ruled_apart(learner, span.from, span.to)?;
        let sure = apart.iter().filter(|a| a.verdict.is_some_and(|v| v != Verdict::Unsure));
        sums.disagreed += sure.count() as u64;
        let patterns = miscount::patterns(&tallies.shapes, &tallies.counts, tallies.latest());
        let past: Vec<Cause> = patterns
            .iter()
            .filter(|p| p.before.is_some())
            .map(|p| p.cause)
            .collect();
        let rules = learner::rules(&self.db, number)?;
        Ok(Progress {
            last_seen: last::last_seen(&self.db, number, (span, &rules), &past)?,
            attempts: tallies.rows.iter().map(|t| t.attempts).sum(),
            words: tallies.words(),
            sums,
            patterns,
            sounds: miscount::sounds(&tallies.shapes, &tallies.counts, tallies.latest()),
            by_rules: tallies.by_rules,
        })
    }

    /// Agreement over time, one point for each day, week or month that has attempts, the earliest first.
    ///
    /// # Errors
    /// When there is no such learner.
    pub fn trend(&self, learner: Id, span: DaySpan, step: TrendPeriod) -> Result<Vec<TrendPoint>> {
        trend::trend(&self.db, learner::number(&self.db, learner)?, span, step)
    }

    /// First counts that missed, and what came after them.
    ///
    /// # Errors
    /// When there is no such learner.
    pub fn again(&self, learner: Id, span: DaySpan) -> Result<CountedAgain> {
        again::again(&self.db, learner::number(&self.db, learner)?, span)
    }

    /// How each word was counted from day to day, by the alphabet.
    ///
    /// # Errors
    /// When there is no such learner.
    pub fn word_courses(&self, learner: Id, span: DaySpan) -> Result<Vec<WordCourse>> {
        course::courses(&self.db, learner::number(&self.db, learner)?, span)
    }

    /// Which sounds people heard in the place of which, where a ruling tells the sounds; the most frequent first.
    ///
    /// # Errors
    /// When there is no such learner.
    pub fn confusions(&self, learner: Id, span: DaySpan) -> Result<Vec<Confusion>> {
        told::confusions(&self.db, learner::number(&self.db, learner)?, span)
    }

    /// The latest words in which a person heard other sounds than their own, each once, at most so many.
    ///
    /// # Errors
    /// When there is no such learner.
    pub fn heard_otherwise(&self, learner: Id, span: DaySpan, most: usize) -> Result<Vec<HeardOtherwise>> {
        told::otherwise(&self.db, learner::number(&self.db, learner)?, span, most)
    }

    /// How a sound fared since a day, by its place in the word.
    ///
    /// # Errors
    /// When there is no such learner.
    pub fn sound_fared(&self, learner: Id, sound: Sound, since: Date) -> Result<Vec<SoundFared>> {
        let each = self.sound_fared_since_each(learner, sound, &[since])?;
        Ok(each.into_iter().flatten().collect())
    }

    /// How a sound fared since each of these days, in their order.
    ///
    /// # Errors
    /// When there is no such learner.
    pub fn sound_fared_since_each(&self, learner: Id, sound: Sound, since: &[Date]) -> Result<Vec<Vec<SoundFared>>> {
        fared::fared(&self.db, learner::number(&self.db, learner)?, sound, since)
    }

    /// The models that judged, by name and version, the earliest first.
    ///
    /// # Errors
    /// When there is no such learner.
    pub fn models(&self, learner: Id, span: DaySpan) -> Result<Vec<String>> {
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
