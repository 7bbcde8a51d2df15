//! Attempts in the order of time, picked by what a reviewer looks for.

use jiff::civil::Date;
use rusqlite::types::Value;
use rusqlite::{Connection, OptionalExtension, params_from_iter};
use soundbead_data::Sound;
use soundbead_dsp::judgement::{Speaking, Verdict};

use super::attempt::{COLUMNS, FROM};
use super::counting::InSql;
use super::since::OpenWork;
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
    /// Those where person and program, or two people, disagree.
    pub disagreed: bool,
    /// Those on which nobody has ruled yet.
    pub unruled: bool,
    /// Those that the program judged, unsure or not.
    pub judged: bool,
    /// Those where the child pushed more or fewer counters than sounds were said.
    pub miscounted: bool,
    /// Those that the consultant's desk looks at for what wants a ruling.
    pub open: Option<OpenWork>,
    /// Not before this day.
    pub from: Option<Date>,
    /// Not after this day.
    pub to: Option<Date>,
}

/// Attempts that follow each other in the list and were made on one day, in one lesson.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct AttemptRun {
    /// The day.
    pub day: Date,
    /// What its lesson was to be about, where that was said; several lessons of one day are one run where their attempts lie
    /// between each other.
    pub plans: Vec<String>,
    /// How many attempts.
    pub attempts: u64,
}

/// Which stretch of a list, counted from its start.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct ListRange {
    /// How many to pass over.
    pub skip: u64,
    /// How many to give at most.
    pub take: u64,
}

/// What a person ruled otherwise than the program, both being sure; or two people who could tell ruled otherwise than each other. What
/// such two agree on is kept as unsure, so their rulings are looked at.
pub(super) const APART: &str =
    "(ruling <> 4 AND verdict <> 4 AND ruling <> verdict) OR (ruling = 4 AND CASE WHEN json_valid(edits) THEN
     (SELECT count(DISTINCT json_extract(value, '$.verdict')) FROM json_each(edits, '$.rulings')
         WHERE json_extract(value, '$.verdict') <> 'unsure') > 1 ELSE 0 END)";

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
        flag(self.disagreed, &format!("({APART})"));
        flag(self.unruled, "ruling IS NULL");
        flag(self.judged, "verdict IS NOT NULL");
        flag(self.miscounted, &format!("child <> {said}"));
        if let Some((part, bounds)) = self.open.map(OpenWork::condition) {
            parts.push(part.to_owned());
            values.extend(bounds.map(Value::from));
        }
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

    /// How the attempts that the filter picks are parted into days and lessons, the latest first: in the order of
    /// [`Notebook::attempts`].
    ///
    /// # Errors
    /// When there is no such learner.
    pub fn attempt_runs(&self, learner: Id, filter: &Filter) -> Result<Vec<AttemptRun>> {
        let learner = learner::number(&self.db, learner)?;
        let sql = filter.counting(&self.db, learner)?;
        let (condition, values) = filter.condition(learner, &sql.said());
        let mut query = self.db.prepare(&format!(
            "SELECT a.day, s.plan, count(*), min(a.at), max(a.at)
             FROM (SELECT day, at, session FROM {} WHERE {condition}) a JOIN session s ON s.n = a.session
             GROUP BY a.day, a.session ORDER BY a.day DESC, max(a.at) DESC",
            sql.from
        ))?;
        let mut rows = query.query(params_from_iter(values))?;
        let mut runs: Vec<AttemptRun> = Vec::new();
        let mut earliest: i64 = 0;
        while let Some(row) = rows.next()? {
            // A day that cannot be read stands with the one above it; the list says what is wrong.
            let day = time::day_of(row.get(0)?)
                .or(runs.last().map(|r| r.day))
                .unwrap_or_default();
            let (plan, attempts): (String, i64) = (row.get(1)?, row.get(2)?);
            let (first, last): (i64, i64) = (row.get(3)?, row.get(4)?);
            let plans = Some(plan).filter(|p| !p.is_empty());
            match runs.last_mut() {
                Some(run) if run.day == day && last >= earliest => {
                    run.attempts += attempts.unsigned_abs();
                    run.plans.extend(plans);
                    earliest = earliest.min(first);
                }
                _ => {
                    runs.push(AttemptRun {
                        day,
                        plans: plans.into_iter().collect(),
                        attempts: attempts.unsigned_abs(),
                    });
                    earliest = first;
                }
            }
        }
        Ok(runs)
    }

    /// The number of an attempt in the list that the filter makes, the latest being 0; none where it is not in it.
    ///
    /// # Errors
    /// When there is no such learner.
    pub fn place_of(&self, learner: Id, filter: &Filter, id: Id) -> Result<Option<u64>> {
        let number = learner::number(&self.db, learner)?;
        let sql = filter.counting(&self.db, number)?;
        let (condition, mut values) = filter.condition(number, &sql.said());
        let key = self
            .db
            .query_row("SELECT day, at, n FROM attempt WHERE id = ?", [id], |row| {
                Ok([row.get::<_, i64>(0)?, row.get(1)?, row.get(2)?])
            });
        let Some(key) = key.optional()? else { return Ok(None) };
        values.extend(key.map(Value::from));
        let found = self.db.query_row(
            &format!(
                "SELECT count(*), ifnull(max(n = {}), 0) FROM {} WHERE {condition} AND (day, at, n) >= (?, ?, ?)",
                key[2], sql.from
            ),
            params_from_iter(values),
            |row| Ok((row.get::<_, i64>(0)?, row.get::<_, bool>(1)?)),
        )?;
        Ok(found.1.then(|| (found.0 - 1).unsigned_abs()))
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
