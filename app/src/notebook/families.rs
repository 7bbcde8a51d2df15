//! All learners at a glance: what is new since a consultant last looked, and what most wants an ear.

use std::collections::HashSet;

use jiff::civil::Date;
use rusqlite::{Connection, OptionalExtension, params};
use soundbead_data::course::{self, CourseWords, WrittenTry};

use super::attempt::{COLUMNS, FROM};
use super::writing::{Readings, WritingFilter, course_day};
use super::{Attempt, HeldLesson, Learner, ListRange, Moment, Notebook, NotebookError, Result, learner, time};

/// Recordings of a learner that are named.
const NAMED: usize = 3;
/// Under which it is kept when the desk was last cleared.
const VISIT: &str = "desk visit";
/// Days back in which words that were written may have come due: a word that is right grows rarer soon.
const DUE_WITHIN: i64 = 90;
/// Writing of one learner that is looked at for what is due.
const MOST_WRITING: u64 = 500;

/// One learner on the consultant's desk.
#[derive(Clone, Debug, PartialEq)]
pub struct DeskEntry {
    /// The learner.
    pub learner: Learner,
    /// The last lesson, whenever it was.
    pub last: Option<HeldLesson>,
    /// Lessons since the day asked for: days on which something was said or written.
    pub lessons: usize,
    /// Attempts since then.
    pub attempts: u64,
    /// Attempts since then on which the program is unsure and nobody has ruled.
    pub unsure: u64,
    /// Attempts since then that were judged and on which nobody has ruled, unsure or not.
    pub unruled: u64,
    /// Attempts since then on which person and program, or two people, differ.
    pub apart: u64,
    /// Notes since then.
    pub notes: u64,
    /// The recordings since then most worth hearing, at most three, the first first: where people differ, where person and program
    /// differ, where the program is unsure, then where it is least sure of a slip.
    pub worth: Vec<Attempt>,
    /// Words to write that are due.
    pub due: Vec<String>,
}

impl DeskEntry {
    /// Whether there is nothing new.
    pub fn is_quiet(&self) -> bool {
        self.lessons == 0 && self.attempts == 0 && self.notes == 0
    }
}

impl Notebook {
    /// Every learner since a day: those with most that is unsure and unruled first, then by name.
    ///
    /// # Errors
    /// When the database cannot be read.
    pub fn families(&self, since: Date, today: Date) -> Result<Vec<DeskEntry>> {
        let all = self.learners()?.into_iter();
        let mut entries = all
            .map(|l| self.desk_entry(l, since, today))
            .collect::<Result<Vec<_>>>()?;
        entries.sort_by_key(|e| (std::cmp::Reverse((e.unsure, e.unruled)), e.is_quiet()));
        Ok(entries)
    }

    /// When the desk was last cleared.
    ///
    /// # Errors
    /// When the database cannot be read.
    pub fn last_visit(&self) -> Result<Option<Moment>> {
        Ok(self.draft(None, VISIT)?.map(|(_, at)| at))
    }

    /// Says that all there is has been looked at.
    ///
    /// # Errors
    /// When the database cannot be written.
    pub fn clear_desk(&mut self) -> Result<()> {
        self.keep_draft(None, VISIT, "seen")
    }

    fn desk_entry(&self, who: Learner, since: Date, today: Date) -> Result<DeskEntry> {
        let number = learner::number(&self.db, who.id)?;
        let lessons = self.lessons(who.id, Some(since), None)?;
        let last = match lessons.last() {
            Some(lesson) => Some(lesson.clone()),
            None => last_lesson(&self.db, number)?,
        };
        let day = time::day_number(since);
        let [attempts, unsure, unruled, apart] = numbers(&self.db, number, day)?;
        let notes = "SELECT count(*) FROM note WHERE learner = ? AND day >= ?";
        Ok(DeskEntry {
            last,
            lessons: lessons.iter().map(|l| l.day).collect::<HashSet<_>>().len(),
            attempts,
            unsure,
            unruled,
            apart,
            notes: self
                .db
                .query_row(notes, [number, day], |row| row.get::<_, i64>(0))?
                .unsigned_abs(),
            worth: worth(&self.db, number, day)?,
            due: self.due_words(&who, today)?,
            learner: who,
        })
    }

    /// Words that were written wrong in the last weeks and are due again.
    fn due_words(&self, who: &Learner, today: Date) -> Result<Vec<String>> {
        let filter = WritingFilter {
            from: today.checked_sub(jiff::Span::new().days(DUE_WITHIN)).ok(),
            ..WritingFilter::default()
        };
        let page = ListRange {
            skip: 0,
            take: MOST_WRITING,
        };
        let mut rows = self.writings(who.id, &filter, page)?;
        rows.retain(|row| row.own() && CourseWords::builtin().get(&row.word).is_some());
        let overrides = self.overrides()?;
        let mut readings = Readings::new(&overrides);
        let tries: Vec<WrittenTry> = rows
            .iter()
            .rev()
            .filter_map(|row| WrittenTry::of(course_day(row.day), readings.first(row)?))
            .collect();
        Ok(course::due(&tries, course_day(today)))
    }
}

/// The last session in which something was said or written.
fn last_lesson(db: &Connection, number: i64) -> Result<Option<HeldLesson>> {
    let found = db.query_row(
        "SELECT id, day, plan FROM session s WHERE learner = ?
             AND (EXISTS (SELECT 1 FROM attempt WHERE session = s.n AND undone = 0)
                 OR EXISTS (SELECT 1 FROM writing WHERE session = s.n AND undone = 0))
         ORDER BY began DESC LIMIT 1",
        [number],
        |row| Ok((row.get(0)?, row.get::<_, i64>(1)?, row.get(2)?)),
    );
    let Some((session, day, plan)) = found.optional()? else {
        return Ok(None);
    };
    let day = time::day_of(day).ok_or_else(|| NotebookError::refused("a session has no day"))?;
    Ok(Some(HeldLesson { session, day, plan }))
}

/// Attempts since a day: all, unsure and unruled, unruled, and those on which someone differs from someone.
fn numbers(db: &Connection, number: i64, day: i64) -> Result<[u64; 4]> {
    let found = db.query_row(
        "SELECT count(*), ifnull(sum(verdict = 4 AND ruling IS NULL), 0), ifnull(sum(verdict IS NOT NULL AND ruling IS NULL), 0),
             ifnull(sum(ruling <> 4 AND verdict <> 4 AND ruling <> verdict), 0)
         FROM attempt WHERE learner = ? AND undone = 0 AND day >= ?",
        params![number, day],
        |row| {
            let count = |i: usize| row.get::<_, i64>(i).map(i64::unsigned_abs);
            Ok([count(0)?, count(1)?, count(2)?, count(3)?])
        },
    );
    let mut all = found?;
    all[3] += people_apart(db, number, day)?;
    Ok(all)
}

/// Attempts on which two people ruled otherwise: what they agree on is then kept as unsure.
fn people_apart(db: &Connection, number: i64, day: i64) -> Result<u64> {
    let mut query = db.prepare(&format!(
        "SELECT {COLUMNS} FROM {FROM} WHERE a.learner = ? AND a.undone = 0 AND a.day >= ? AND a.ruling = 4"
    ))?;
    let mut rows = query.query([number, day])?;
    let mut apart = 0;
    while let Some(row) = rows.next()? {
        apart += u64::from(Attempt::read(row)?.edits.people_differ());
    }
    Ok(apart)
}

fn worth(db: &Connection, number: i64, day: i64) -> Result<Vec<Attempt>> {
    let mut query = db.prepare(&format!(
        "SELECT {COLUMNS}, CASE
             WHEN a.ruling = 4 AND instr(a.edits, '\"by\":\"parent\"') > 0 AND instr(a.edits, '\"by\":\"consultant\"') > 0 THEN 0
             WHEN a.ruling <> 4 AND a.verdict <> 4 AND a.ruling <> a.verdict THEN 1
             WHEN a.ruling IS NULL AND a.verdict = 4 THEN 2
             WHEN a.ruling IS NULL AND a.verdict > 0 THEN 3 END AS rank
         FROM {FROM} WHERE a.learner = ? AND a.undone = 0 AND a.day >= ? AND a.recording IS NOT NULL AND rank IS NOT NULL
         ORDER BY rank, a.sure, a.at DESC LIMIT ?"
    ))?;
    let mut rows = query.query([number, day, NAMED as i64])?;
    let mut all = Vec::new();
    while let Some(row) = rows.next()? {
        all.push(Attempt::read(row)?);
    }
    Ok(all)
}
