//! The child's string: a bead for each word of each lesson, and for each word written on a day, for good.

use std::collections::{BTreeMap, BTreeSet};

use jiff::civil::Date;
use rusqlite::{OptionalExtension, params};

use super::time::day_of;
use super::{Id, Notebook, Result, learner};

/// The words of each day on which there are beads, oldest first.
pub type BeadDays = Vec<(Date, Vec<String>)>;

/// What is on a child's string.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct BeadString {
    /// How many.
    pub count: usize,
    /// The words that they are for, each once.
    pub words: BTreeSet<String>,
}

impl BeadString {
    /// A word, and in how many lessons or on how many days it was worked on.
    fn add(&mut self, (word, times): (String, i64)) {
        self.count += usize::try_from(times).unwrap_or(0);
        self.words.insert(word);
    }
}

impl Notebook {
    /// The beads of a learner, without those of one sitting.
    ///
    /// # Errors
    /// When there is no such learner, or the database cannot be read.
    pub fn beads(&self, learner: Id, besides: Option<Id>) -> Result<BeadString> {
        let number = learner::number(&self.db, learner)?;
        let session = |id: Id| {
            let found = self
                .db
                .query_row("SELECT n FROM session WHERE id = ?", [id], |row| row.get::<_, i64>(0));
            found.optional()
        };
        let besides = besides.map(session).transpose()?.flatten();
        let mut query = self.db.prepare(
            "SELECT item.word, COUNT(DISTINCT attempt.session) FROM attempt JOIN item ON item.n = attempt.item
             WHERE attempt.learner = ?1 AND attempt.undone = 0 AND attempt.session IS NOT ?2 GROUP BY item.word",
        )?;
        let rows = query.query_map(params![number, besides], |row| {
            Ok((row.get::<_, String>(0)?, row.get::<_, i64>(1)?))
        })?;
        let mut beads = BeadString::default();
        rows.into_iter().try_for_each(|row| row.map(|row| beads.add(row)))?;
        let mut written = self
            .db
            .prepare("SELECT word, COUNT(DISTINCT day) FROM writing WHERE learner = ? AND undone = 0 GROUP BY word")?;
        let rows = written.query_map([number], |row| Ok((row.get::<_, String>(0)?, row.get::<_, i64>(1)?)))?;
        rows.into_iter().try_for_each(|row| row.map(|row| beads.add(row)))?;
        Ok(beads)
    }

    /// The words of each day on which a learner has beads, oldest first: a word once for each lesson, and once for the day it was
    /// written on, in the order in which they were worked on.
    ///
    /// # Errors
    /// As [`Notebook::beads`].
    pub fn bead_days(&self, learner: Id) -> Result<BeadDays> {
        let number = learner::number(&self.db, learner)?;
        let mut query = self.db.prepare(
            "SELECT min(attempt.day), item.word, min(attempt.at) AS first FROM attempt JOIN item ON item.n = attempt.item
             WHERE attempt.learner = ?1 AND attempt.undone = 0 GROUP BY attempt.session, item.word
             UNION ALL SELECT day, word, min(kept_at) AS first FROM writing
             WHERE learner = ?1 AND undone = 0 GROUP BY day, word ORDER BY first",
        )?;
        let mut rows = query.query([number])?;
        let mut days: BTreeMap<Date, Vec<String>> = BTreeMap::new();
        while let Some(row) = rows.next()? {
            if let Some(day) = day_of(row.get(0)?) {
                days.entry(day).or_default().push(row.get(1)?);
            }
        }
        Ok(days.into_iter().collect())
    }
}
