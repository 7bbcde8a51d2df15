//! Attempts in the order of time, picked by what a reviewer looks for.

use jiff::civil::Date;
use rusqlite::types::Value;
use rusqlite::{Connection, OptionalExtension, params_from_iter};
use soundbead_data::Sound;
use soundbead_dsp::judgement::{Speaking, Verdict};

use super::attempt::{COLUMNS, FROM};
use super::counting::InSql;
use super::{Attempt, Id, Notebook, Result, code, learner, time};

/// What attempts are looked for; with nothing set, all of a learner's.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Filter {
    /// Words that have this sound.
    pub sound: Option<Sound>,
    /// This word, in any pronunciation.
    pub word: Option<String>,
    /// The program's verdict.
    pub verdict: Option<Verdict>,
    /// The way of speaking.
    pub speaking: Option<Speaking>,
    /// Those where person and program disagree.
    pub disagreed: bool,
    /// Those on which nobody has ruled yet.
    pub unruled: bool,
    /// Those where the child pushed more or fewer counters than sounds were said.
    pub miscounted: bool,
    /// Not before this day.
    pub from: Option<Date>,
    /// Not after this day.
    pub to: Option<Date>,
}

/// Which stretch of a list, counted from its start.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct ListRange {
    /// How many to pass over.
    pub skip: u64,
    /// How many to give at most.
    pub take: u64,
}

impl Filter {
    /// Where the attempts are read from: only miscounts may have to be counted anew.
    fn counting(&self, db: &Connection, learner: i64) -> Result<InSql> {
        match self.miscounted {
            true => InSql::of(db, learner),
            false => Ok(InSql::PLAIN),
        }
    }

    /// The condition on the table of attempts, and the values for its question marks.
    fn condition(&self, learner: i64, said: &str) -> (String, Vec<Value>) {
        let mut parts = vec!["learner = ? AND undone = 0".to_owned()];
        let mut values: Vec<Value> = vec![learner.into()];
        let mut put = |part: &str, value: Option<Value>| {
            if let Some(value) = value {
                parts.push(part.to_owned());
                values.push(value);
            }
        };
        put("day >= ?", self.from.map(|d| time::day_number(d).into()));
        put("day <= ?", self.to.map(|d| time::day_number(d).into()));
        put("verdict = ?", self.verdict.map(|v| code::of_verdict(v).into()));
        put("speaking = ?", self.speaking.map(|w| code::of_way(w).into()));
        put(
            "item IN (SELECT item FROM item_sound WHERE sound = ?)",
            self.sound.map(|s| (s.index() as i64).into()),
        );
        put(
            "item IN (SELECT n FROM item WHERE word = ?)",
            self.word.clone().map(Value::from),
        );
        let mut flag = |on: bool, part: &str| {
            if on {
                parts.push(part.to_owned());
            }
        };
        flag(self.disagreed, "ruling <> 4 AND verdict <> 4 AND ruling <> verdict");
        flag(self.unruled, "ruling IS NULL");
        flag(self.miscounted, &format!("child <> {said}"));
        (parts.join(" AND "), values)
    }
}

impl Notebook {
    /// A learner's attempts that the filter picks, the latest first.
    ///
    /// # Errors
    /// When there is no such learner.
    pub fn attempts(&self, learner: Id, filter: &Filter, page: ListRange) -> Result<Vec<Attempt>> {
        let learner = learner::number(&self.db, learner)?;
        let sql = filter.counting(&self.db, learner)?;
        let (condition, mut values) = filter.condition(learner, &sql.said());
        // What is passed over is counted in the index alone; only the page's rows are read.
        let mut query = self.db.prepare(&format!(
            "SELECT {COLUMNS} FROM {FROM} WHERE a.n IN
                 (SELECT n FROM {} WHERE {condition} ORDER BY day DESC, at DESC LIMIT ? OFFSET ?)
             ORDER BY a.day DESC, a.at DESC, a.n DESC",
            sql.from
        ))?;
        let number = |n: u64| Value::from(i64::try_from(n).unwrap_or(i64::MAX));
        values.extend([number(page.take), number(page.skip)]);
        let mut rows = query.query(params_from_iter(values))?;
        let mut all = Vec::new();
        while let Some(row) = rows.next()? {
            all.extend(self.skipped.row(Attempt::read(row))?);
        }
        Ok(all)
    }

    /// How many attempts the filter picks.
    ///
    /// # Errors
    /// When there is no such learner.
    pub fn count_attempts(&self, learner: Id, filter: &Filter) -> Result<u64> {
        let learner = learner::number(&self.db, learner)?;
        let sql = filter.counting(&self.db, learner)?;
        let (condition, values) = filter.condition(learner, &sql.said());
        let sql = format!("SELECT count(*) FROM {} WHERE {condition}", sql.from);
        let count: i64 = self.db.query_row(&sql, params_from_iter(values), |row| row.get(0))?;
        Ok(count.unsigned_abs())
    }

    /// The attempts of some days on which two people ruled otherwise, the latest first.
    ///
    /// # Errors
    /// When there is no such learner.
    pub fn ruled_apart(&self, learner: Id, from: Option<Date>, to: Option<Date>) -> Result<Vec<Attempt>> {
        let number = learner::number(&self.db, learner)?;
        let day = |date: Option<Date>, open: i64| date.map_or(open, time::day_number);
        // Where people differ nothing is settled, so the index leaves few rows to look at.
        let mut query = self.db.prepare(&format!(
            "SELECT {COLUMNS} FROM {FROM} WHERE a.learner = ? AND a.undone = 0 AND a.day >= ? AND a.day <= ? AND a.ruling = ?
             ORDER BY a.day DESC, a.at DESC, a.n DESC"
        ))?;
        let unsure = code::of_verdict(Verdict::Unsure);
        let mut rows = query.query([number, day(from, 0), day(to, i64::MAX), unsure])?;
        let mut all = Vec::new();
        while let Some(row) = rows.next()? {
            all.extend(self.skipped.row(Attempt::read(row))?);
        }
        all.retain(|a| a.edits.people_differ());
        Ok(all)
    }

    /// The words a learner has said that begin with `start`, by the alphabet, each once; at most `most`.
    ///
    /// # Errors
    /// When there is no such learner.
    pub fn words_said(&self, learner: Id, start: &str, most: u16) -> Result<Vec<String>> {
        let number = learner::number(&self.db, learner)?;
        let mut query = self.db.prepare(
            "SELECT DISTINCT word FROM item WHERE substr(word, 1, length(?1)) = ?1
                 AND EXISTS (SELECT 1 FROM attempt WHERE item = item.n AND learner = ?2 AND undone = 0)
             ORDER BY word LIMIT ?3",
        )?;
        let words = query.query_map((start, number, most), |row| row.get(0))?;
        Ok(words.collect::<rusqlite::Result<_>>()?)
    }

    /// The attempts of a session, in the order in which they were made.
    ///
    /// # Errors
    /// When the database cannot be read.
    pub fn attempts_of(&self, session: Id) -> Result<Vec<Attempt>> {
        let mut query = self.db.prepare(&format!(
            "SELECT {COLUMNS} FROM {FROM} WHERE s.id = ? AND a.undone = 0 ORDER BY a.at, a.n"
        ))?;
        let mut rows = query.query([session])?;
        let mut all = Vec::new();
        while let Some(row) = rows.next()? {
            all.extend(self.skipped.row(Attempt::read(row))?);
        }
        Ok(all)
    }

    /// The learner whose session this is.
    ///
    /// # Errors
    /// When the database cannot be read.
    pub fn learner_of(&self, session: Id) -> Result<Option<Id>> {
        let found = self.db.query_row(
            "SELECT l.id FROM session s JOIN learner l ON l.n = s.learner WHERE s.id = ?",
            [session],
            |row| row.get(0),
        );
        Ok(found.optional()?)
    }
}
