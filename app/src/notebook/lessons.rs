//! Lessons as a list: when, what was planned, what was done, a line on how it went.

use std::collections::BTreeSet;

use jiff::civil::Date;
use rusqlite::{OptionalExtension, params};
use soundbead_data::share::Share;

use super::imported::{IMPORTED, IMPORTED_TIMED};
use super::note::{self, NoteSubject};
use super::session::HELD;
use super::{DoneBeside, Id, ListRange, Notebook, NotebookError, Result, learner, time};

/// A lesson that was held.
#[derive(Clone, Debug, PartialEq)]
pub struct LessonRow {
    /// Its session.
    pub session: Id,
    /// The day on the family's calendar.
    pub day: Date,
    /// What was planned: the plan's title or its words; empty where nothing was.
    pub plan: String,
    /// The words that were said or counted, in order, each once.
    pub words: Vec<String>,
    /// How often they were tried.
    pub attempts: usize,
    /// First counts that were right, of those that were made.
    pub counted: Share,
    /// Words that were written, in a dictation or on paper; those of its day that are kept with no lesson too, where it is the last of
    /// that day.
    pub written: u64,
    /// What was done besides, told by the notes of its day, where it is the last of that day.
    pub beside: DoneBeside,
    /// A line on how it went; none where nobody said.
    pub went: Option<String>,
}

impl Notebook {
    /// A learner's lessons, the latest first.
    ///
    /// # Errors
    /// When there is no such learner.
    pub fn lesson_list(&self, learner: Id, page: ListRange) -> Result<Vec<LessonRow>> {
        let number = learner::number(&self.db, learner)?;
        let mut query = self.db.prepare(&format!(
            "SELECT id, day, plan, went, (SELECT count(*) FROM writing WHERE session = s.n AND undone = 0) FROM session s
             WHERE learner = ? AND {HELD} ORDER BY began DESC, id LIMIT ? OFFSET ?"
        ))?;
        let most = |n: u64| i64::try_from(n).unwrap_or(i64::MAX);
        let mut rows = query.query(params![number, most(page.take), most(page.skip)])?;
        let mut all = Vec::new();
        while let Some(row) = rows.next()? {
            let day = time::day_of(row.get(1)?).ok_or_else(|| NotebookError::refused("a session has no day"))?;
            let mut lesson = LessonRow {
                session: row.get(0)?,
                day,
                plan: row.get(2)?,
                words: Vec::new(),
                attempts: 0,
                counted: Share::default(),
                written: row.get::<_, i64>(4)?.unsigned_abs(),
                beside: DoneBeside::default(),
                went: row.get::<_, Option<String>>(3)?.filter(|line| !line.is_empty()),
            };
            self.add_up(&mut lesson)?;
            if self.last_of_day(number, day)? == Some(lesson.session) {
                lesson.written += self.written_in_none(number, day)?;
                lesson.beside = self.beside(number, Some(day), Some(day))?;
            }
            all.push(lesson);
        }
        Ok(all)
    }

    /// The last lesson of a day: what was done on that day and is kept with no lesson belongs to it. Old recordings that were taken in
    /// are no lesson.
    fn last_of_day(&self, learner: i64, day: Date) -> Result<Option<Id>> {
        let found = self.db.query_row(
            &format!(
                "SELECT id FROM session s WHERE learner = ? AND day = ? AND plan NOT IN (?, ?) AND {HELD}
                 ORDER BY began DESC, id LIMIT 1"
            ),
            params![learner, time::day_number(day), IMPORTED, IMPORTED_TIMED],
            |row| row.get(0),
        );
        Ok(found.optional()?)
    }

    /// How many words of a day are kept with no lesson: a dictation is kept by its learner and day alone.
    fn written_in_none(&self, learner: i64, day: Date) -> Result<u64> {
        let count: i64 = self.db.query_row(
            "SELECT count(*) FROM writing WHERE learner = ? AND undone = 0 AND day = ? AND session IS NULL",
            params![learner, time::day_number(day)],
            |row| row.get(0),
        )?;
        Ok(count.unsigned_abs())
    }

    /// Puts what was done into a lesson.
    fn add_up(&self, lesson: &mut LessonRow) -> Result<()> {
        let mut seen = BTreeSet::new();
        for attempt in self.attempts_of(lesson.session)? {
            lesson.attempts += 1;
            if attempt.edits.child.is_some() && attempt.said().is_some() {
                lesson.counted.of += 1;
                lesson.counted.hits += u64::from(attempt.child_right());
            }
            if seen.insert(attempt.word.clone()) {
                lesson.words.push(attempt.word);
            }
        }
        Ok(())
    }

    /// What a learner did beside counting and writing on some days.
    ///
    /// # Errors
    /// When there is no such learner.
    pub fn done_beside(&self, learner: Id, from: Option<Date>, to: Option<Date>) -> Result<DoneBeside> {
        self.beside(learner::number(&self.db, learner)?, from, to)
    }

    fn beside(&self, learner: i64, from: Option<Date>, to: Option<Date>) -> Result<DoneBeside> {
        let (kind, about) = NoteSubject::Learner.parts();
        let day = |date: Option<Date>, open: i64| date.map_or(open, time::day_number);
        let notes = note::pick(
            &self.db,
            "learner = ? AND kind = ? AND about = ? AND day >= ? AND day <= ?",
            params![learner, kind, about, day(from, 0), day(to, i64::MAX)],
            &self.skipped,
        )?;
        Ok(DoneBeside::of(notes.iter().map(|note| note.body.text.as_str())))
    }
}
