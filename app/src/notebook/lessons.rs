//! Lessons as a list: when, what was planned, what was done, a line on how it went.

use std::collections::BTreeSet;

use jiff::civil::Date;
use rusqlite::params;
use soundbead_data::share::Share;

use super::{Id, ListRange, Notebook, NotebookError, Result, learner, time};

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
    /// Words that were written, in a dictation or on paper.
    pub written: u64,
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
        let mut query = self.db.prepare(
            "SELECT id, day, plan, went, (SELECT count(*) FROM writing WHERE session = s.n AND undone = 0) FROM session s
             WHERE learner = ? AND (EXISTS (SELECT 1 FROM attempt WHERE session = s.n AND undone = 0)
                 OR EXISTS (SELECT 1 FROM writing WHERE session = s.n AND undone = 0))
             ORDER BY began DESC, id LIMIT ? OFFSET ?",
        )?;
        let most = |n: u64| i64::try_from(n).unwrap_or(i64::MAX);
        let mut rows = query.query(params![number, most(page.take), most(page.skip)])?;
        let mut all = Vec::new();
        while let Some(row) = rows.next()? {
            let day = time::day_of(row.get(1)?).ok_or_else(|| NotebookError::refused("a session has no day"))?;
            let session = row.get(0)?;
            let mut lesson = LessonRow {
                session,
                day,
                plan: row.get(2)?,
                words: Vec::new(),
                attempts: 0,
                counted: Share::default(),
                written: row.get::<_, i64>(4)?.unsigned_abs(),
                went: row.get::<_, Option<String>>(3)?.filter(|line| !line.is_empty()),
            };
            self.add_up(&mut lesson)?;
            all.push(lesson);
        }
        Ok(all)
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
}
