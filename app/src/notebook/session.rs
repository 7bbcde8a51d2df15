//! One sitting: a lesson, an afternoon.

use jiff::civil::Date;
use rusqlite::{Connection, OptionalExtension, params};
use serde::{Deserialize, Serialize};

use super::bounds::{self, CheckResult, CheckedRow};
use super::skipped::Skipped;
use super::{Id, Moment, Notebook, NotebookError, Result, learner, time};

/// A sitting with one learner.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Session {
    /// Its name in every notebook.
    pub id: Id,
    /// When it began.
    pub began: Moment,
    /// The day on the family's calendar.
    #[serde(with = "time::iso")]
    pub day: Date,
    /// When it was ended; none while it goes on, or when it was broken off.
    pub ended: Option<Moment>,
    /// The lesson plan it followed, by its title; empty when there was none.
    pub plan: String,
    /// When it last changed.
    pub changed: Moment,
}

/// What is said of a session as it begins.
#[derive(Clone, Debug, Default)]
pub struct NewSession {
    /// The lesson plan's title, or empty.
    pub plan: String,
    /// When it began, when that was not now: for what was recorded earlier.
    pub began: Option<(Moment, Date)>,
}

impl Session {
    fn read(row: &rusqlite::Row) -> Result<Session> {
        Ok(Session {
            id: row.get(0)?,
            began: row.get(1)?,
            day: time::day_of(row.get(2)?).ok_or_else(|| NotebookError::refused("a session has no day"))?,
            ended: row.get(3)?,
            plan: row.get(4)?,
            changed: row.get(5)?,
        })
    }
}

impl CheckedRow for Session {
    fn check(&self) -> CheckResult {
        bounds::short("the plan's title", &self.plan)
    }

    fn state(&self) -> (Id, Moment) {
        (self.id, self.changed)
    }

    fn times(&mut self) -> (Vec<&mut Moment>, Option<&mut Date>) {
        let moments = [&mut self.began, &mut self.changed].into_iter().chain(&mut self.ended);
        (moments.collect(), Some(&mut self.day))
    }
}

const SELECT: &str = "SELECT id, began, day, ended, plan, changed FROM session";

/// Puts a session in as it stands.
pub(super) fn insert(db: &Connection, learner: i64, s: &Session) -> Result<()> {
    db.execute(
        "INSERT INTO session (id, learner, began, day, ended, plan, changed) VALUES (?, ?, ?, ?, ?, ?, ?)",
        params![
            s.id,
            learner,
            s.began,
            time::day_number(s.day),
            s.ended,
            s.plan,
            s.changed
        ],
    )?;
    Ok(())
}

/// The number of a session's row and of its learner's.
pub(super) fn numbers(db: &Connection, id: Id) -> Result<(i64, i64)> {
    let found = db.query_row("SELECT n, learner FROM session WHERE id = ?", [id], |row| {
        Ok((row.get(0)?, row.get(1)?))
    });
    let missing = || NotebookError::refused("this session is not in the notebook (any more)");
    found.optional()?.ok_or_else(missing)
}

/// Every session of a learner, the latest first.
pub(super) fn all(db: &Connection, learner: i64, skipped: &Skipped) -> Result<Vec<Session>> {
    let mut query = db.prepare(&format!("{SELECT} WHERE learner = ? ORDER BY began DESC, id"))?;
    let mut rows = query.query([learner])?;
    let mut all = Vec::new();
    while let Some(row) = rows.next()? {
        all.extend(skipped.row(Session::read(row))?);
    }
    Ok(all)
}

/// A session in which something was said or written.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct HeldLesson {
    /// The session.
    pub session: Id,
    /// The day on the family's calendar.
    pub day: Date,
    /// The plan's title; empty when there was none.
    pub plan: String,
}

impl Notebook {
    /// A learner's sessions of some days in which something was said or written, the earliest first.
    ///
    /// # Errors
    /// When there is no such learner.
    pub fn lessons(&self, learner: Id, from: Option<Date>, to: Option<Date>) -> Result<Vec<HeldLesson>> {
        let number = learner::number(&self.db, learner)?;
        let day = |date: Option<Date>, open: i64| date.map_or(open, time::day_number);
        let mut query = self.db.prepare(
            "SELECT id, day, plan FROM session s WHERE learner = ? AND day >= ? AND day <= ?
                 AND (EXISTS (SELECT 1 FROM attempt WHERE session = s.n AND undone = 0)
                     OR EXISTS (SELECT 1 FROM writing WHERE session = s.n AND undone = 0))
             ORDER BY began",
        )?;
        let mut rows = query.query([number, day(from, 0), day(to, i64::MAX)])?;
        let mut all = Vec::new();
        while let Some(row) = rows.next()? {
            let day = time::day_of(row.get(1)?).ok_or_else(|| NotebookError::refused("a session has no day"))?;
            let (session, plan) = (row.get(0)?, row.get(2)?);
            all.push(HeldLesson { session, day, plan });
        }
        Ok(all)
    }

    /// A learner's sessions, the latest first.
    ///
    /// # Errors
    /// When there is no such learner.
    pub fn sessions(&self, learner: Id) -> Result<Vec<Session>> {
        all(&self.db, learner::number(&self.db, learner)?, &self.skipped)
    }

    /// Begins a session.
    ///
    /// # Errors
    /// When there is no such learner.
    pub fn begin_session(&mut self, learner: Id, new: &NewSession) -> Result<Session> {
        let change = self.writing()?;
        let number = learner::number(&change, learner)?;
        let (began, day) = new.began.unwrap_or_else(|| (Moment::now(), time::today()));
        let session = Session {
            id: Id::fresh(&change)?,
            began,
            day,
            ended: None,
            plan: new.plan.chars().take(bounds::LONGEST).collect(),
            changed: began,
        };
        bounds::Clock::now().allow_day(began, day)?;
        insert(&change, number, &session)?;
        change.commit()?;
        Ok(session)
    }

    /// Ends a session; what was undone in it is then forgotten for good.
    ///
    /// # Errors
    /// When there is no such session.
    pub fn end_session(&mut self, session: Id) -> Result<()> {
        let change = self.writing()?;
        let (number, _) = numbers(&change, session)?;
        change.execute(
            "UPDATE session SET ended = ?1, changed = max(changed + 1, ?1) WHERE n = ?2",
            params![Moment::now(), number],
        )?;
        change.commit()?;
        self.forget_undone_of(Some(number), Moment(i64::MAX))
    }
}
