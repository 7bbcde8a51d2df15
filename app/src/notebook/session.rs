//! One sitting: a lesson, an afternoon.

use jiff::civil::Date;
use rusqlite::{Connection, OptionalExtension, params};
use serde::{Deserialize, Serialize};

use super::bounds::{self, CheckResult, CheckedRow};
use super::skipped::Skipped;
use super::{Id, Moment, Notebook, NotebookError, Result, history, learner, time};

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
    /// A line on how it went; none where nobody said.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub went: Option<String>,
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
            went: row.get(5)?,
            changed: row.get(6)?,
        })
    }
}

impl CheckedRow for Session {
    fn check(&self) -> CheckResult {
        bounds::short("the plan's title", &self.plan)?;
        bounds::short(
            "the line on how a lesson went",
            self.went.as_deref().unwrap_or_default(),
        )
    }

    fn state(&self) -> (Id, Moment) {
        (self.id, self.changed)
    }

    fn times(&mut self) -> (Vec<&mut Moment>, Option<&mut Date>) {
        let moments = [&mut self.began, &mut self.changed].into_iter().chain(&mut self.ended);
        (moments.collect(), Some(&mut self.day))
    }
}

/// That something was said or written in a session `s`.
pub(super) const HELD: &str = "(EXISTS (SELECT 1 FROM attempt WHERE session = s.n AND undone = 0)
     OR EXISTS (SELECT 1 FROM writing WHERE session = s.n AND undone = 0))";

const SELECT: &str = "SELECT id, began, day, ended, plan, went, changed FROM session";

/// Puts a session in as it stands.
pub(super) fn insert(db: &Connection, learner: i64, s: &Session) -> Result<()> {
    db.execute(
        "INSERT INTO session (id, learner, began, day, ended, plan, went, changed) VALUES (?, ?, ?, ?, ?, ?, ?, ?)",
        params![
            s.id,
            learner,
            s.began,
            time::day_number(s.day),
            s.ended,
            s.plan,
            s.went,
            s.changed
        ],
    )?;
    Ok(())
}

/// A session; none when there is no such one.
pub(super) fn find(db: &Connection, id: Id) -> Result<Option<Session>> {
    let mut query = db.prepare(&format!("{SELECT} WHERE id = ?"))?;
    let mut rows = query.query([id])?;
    rows.next()?.map(Session::read).transpose()
}

/// Puts what can change of a session in the place of what was there.
pub(super) fn update(db: &Connection, s: &Session) -> Result<()> {
    db.execute(
        "UPDATE session SET ended = ?, went = ?, changed = ? WHERE id = ?",
        params![s.ended, s.went, s.changed, s.id],
    )?;
    Ok(())
}

impl Session {
    /// Puts two states of one session together: the later stands, and what it does not say is the other's.
    pub(super) fn joined(&self, other: &Session) -> Session {
        let rank = |s: &Session| (s.changed, s.went.clone(), s.ended);
        let (stands, loses) = if rank(self) >= rank(other) {
            (self, other)
        } else {
            (other, self)
        };
        Session {
            ended: stands.ended.or(loses.ended),
            went: stands.went.clone().or_else(|| loses.went.clone()),
            ..stands.clone()
        }
    }
}

/// The number of a session's row and of its learner's.
pub(super) fn numbers(db: &Connection, id: Id) -> Result<(i64, i64)> {
    let found = db.query_row("SELECT n, learner FROM session WHERE id = ?", [id], |row| {
        Ok((row.get(0)?, row.get(1)?))
    });
    let missing = || NotebookError::refused("this session is not in the notebook");
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
    /// A line on how it went; none where nobody said.
    pub went: Option<String>,
}

impl Notebook {
    /// A learner's sessions of some days in which something was said or written, the earliest first.
    ///
    /// # Errors
    /// When there is no such learner.
    pub fn lessons(&self, learner: Id, from: Option<Date>, to: Option<Date>) -> Result<Vec<HeldLesson>> {
        let number = learner::number(&self.db, learner)?;
        let day = |date: Option<Date>, open: i64| date.map_or(open, time::day_number);
        let mut query = self.db.prepare(&format!(
            "SELECT id, day, plan, went FROM session s WHERE learner = ? AND day >= ? AND day <= ? AND {HELD}
             ORDER BY began"
        ))?;
        let mut rows = query.query([number, day(from, 0), day(to, i64::MAX)])?;
        let mut all = Vec::new();
        while let Some(row) = rows.next()? {
            let day = time::day_of(row.get(1)?).ok_or_else(|| NotebookError::refused("a session has no day"))?;
            all.push(HeldLesson {
                session: row.get(0)?,
                day,
                plan: row.get(2)?,
                went: row.get::<_, Option<String>>(3)?.filter(|line| !line.is_empty()),
            });
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

    /// Says in a line how a lesson went; what was said before is kept (see [`Notebook::earlier`]).
    ///
    /// # Errors
    /// When there is no such session, or the line is too long.
    pub fn say_how_it_went(&mut self, session: Id, line: &str) -> Result<()> {
        let line = line.split_whitespace().collect::<Vec<_>>().join(" ");
        bounds::short("the line on how a lesson went", &line).map_err(NotebookError::refused)?;
        let change = self.writing()?;
        let (_, learner) = numbers(&change, session)?;
        let old = find(&change, session)?.ok_or_else(|| NotebookError::refused("no such session"))?;
        if old.went.as_deref().unwrap_or_default() == line {
            return Ok(());
        }
        if let Some(went) = &old.went {
            let body = history::body(&serde_json::json!({ "went": went }));
            history::keep(&change, learner, session, old.changed, &body)?;
        }
        let new = Session {
            went: Some(line),
            changed: Moment::after(old.changed),
            ..old
        };
        update(&change, &new)?;
        Ok(change.commit()?)
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
            went: None,
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
