//! Goals: what a learner is to have in hand, by when, and the evidence that settles it.

use std::fmt;

use jiff::civil::Date;
use rusqlite::{Connection, params};
use serde::{Deserialize, Serialize};
use soundbead_data::course::Choice;
use soundbead_data::{Sound, inventory};

use super::bounds::{self, CheckResult, CheckedRow};
use super::note::Settled;
use super::skipped::Skipped;
use super::{Author, Id, Moment, Notebook, NotebookError, Result, history, learner, time};

/// What a goal is about.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum GoalSubject {
    /// A sound.
    Sound(Sound),
    /// A choice of spelling, by its name.
    Choice(String),
}

/// Writes it for people: `the sound th (this)`, `ck, k or c`.
impl fmt::Display for GoalSubject {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            GoalSubject::Sound(sound) => write!(f, "the sound {}", inventory::of(*sound).shown()),
            GoalSubject::Choice(name) => f.write_str(name),
        }
    }
}

/// What of a goal can change.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct GoalBody {
    /// What it is about.
    pub about: GoalSubject,
    /// The day by which it is to be reached; none where that is left open.
    #[serde(default, skip_serializing_if = "Option::is_none", with = "time::iso_or_none")]
    pub by: Option<Date>,
    /// What will settle it, such as `9 of 10 words right in two dictations`.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub evidence: String,
    /// That it was settled, and by what.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub settled: Option<Settled>,
}

/// A goal.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Goal {
    /// Its name in every notebook.
    pub id: Id,
    /// Who set it.
    pub author: Author,
    /// When it was set.
    pub made: Moment,
    /// The day, on the calendar of who set it.
    #[serde(with = "time::iso")]
    pub day: Date,
    /// What it says.
    pub body: GoalBody,
    /// When it last changed.
    pub changed: Moment,
}

impl GoalBody {
    /// A goal about this, with nothing else said.
    pub fn about(about: GoalSubject) -> GoalBody {
        GoalBody {
            about,
            by: None,
            evidence: String::new(),
            settled: None,
        }
    }

    /// Whether it is open and its day has passed.
    pub fn is_late(&self, today: Date) -> bool {
        self.settled.is_none() && self.by.is_some_and(|by| by < today)
    }

    fn check(&self) -> CheckResult {
        if let GoalSubject::Choice(name) = &self.about {
            bounds::short("the choice of spelling", name)?;
        }
        bounds::short("the evidence that settles a goal", &self.evidence)?;
        self.settled.as_ref().map_or(Ok(()), Settled::check)
    }
}

impl Goal {
    fn read(row: &rusqlite::Row) -> Result<Goal> {
        let wrong = |e: String| NotebookError::refused(format_args!("a goal cannot be read: {e}"));
        let author: String = row.get(1)?;
        Ok(Goal {
            id: row.get(0)?,
            author: Author::ALL
                .iter()
                .copied()
                .find(|a| a.name() == author)
                .unwrap_or(Author::Parent),
            made: row.get(2)?,
            day: time::day_of(row.get(3)?).ok_or_else(|| wrong("it has no day".into()))?,
            body: serde_json::from_str(&row.get::<_, String>(4)?).map_err(|e| wrong(e.to_string()))?,
            changed: row.get(5)?,
        })
    }
}

impl CheckedRow for Goal {
    fn check(&self) -> CheckResult {
        self.body.check()
    }

    fn state(&self) -> (Id, Moment) {
        (self.id, self.changed)
    }

    fn times(&mut self) -> (Vec<&mut Moment>, Option<&mut Date>) {
        let settled = self.body.settled.as_mut().map(|s| &mut s.at);
        let moments = [&mut self.made, &mut self.changed].into_iter().chain(settled);
        (moments.collect(), Some(&mut self.day))
    }
}

const SELECT: &str = "SELECT id, author, made, day, body, changed, learner FROM goal";

/// Puts a goal in as it stands.
pub(super) fn insert(db: &Connection, learner: i64, goal: &Goal) -> Result<()> {
    db.execute(
        "INSERT INTO goal (id, learner, author, made, day, body, changed) VALUES (?, ?, ?, ?, ?, ?, ?)",
        params![
            goal.id,
            learner,
            goal.author.name(),
            goal.made,
            time::day_number(goal.day),
            history::body(&goal.body),
            goal.changed
        ],
    )?;
    Ok(())
}

/// Puts a goal's new state in the place of the old.
pub(super) fn update(db: &Connection, id: Id, body: &GoalBody, changed: Moment) -> Result<()> {
    db.execute(
        "UPDATE goal SET body = ?, changed = ? WHERE id = ?",
        params![history::body(body), changed, id],
    )?;
    Ok(())
}

/// A goal and its learner's number.
pub(super) fn find(db: &Connection, id: Id) -> Result<Option<(Goal, i64)>> {
    let mut query = db.prepare(&format!("{SELECT} WHERE id = ?"))?;
    let mut rows = query.query([id])?;
    let Some(row) = rows.next()? else { return Ok(None) };
    Ok(Some((Goal::read(row)?, row.get(6)?)))
}

/// A learner's goals, those that were set last first.
pub(super) fn all(db: &Connection, learner: i64, skipped: &Skipped) -> Result<Vec<Goal>> {
    let mut query = db.prepare(&format!("{SELECT} WHERE learner = ? ORDER BY made DESC, id"))?;
    let mut rows = query.query([learner])?;
    let mut all = Vec::new();
    while let Some(row) = rows.next()? {
        all.extend(skipped.row(Goal::read(row))?);
    }
    Ok(all)
}

impl Notebook {
    /// A learner's goals: the open ones first, those of the nearest day before those of later days and of none; then those that
    /// are settled, the last one first.
    ///
    /// # Errors
    /// When there is no such learner.
    pub fn goals(&self, learner: Id) -> Result<Vec<Goal>> {
        let mut all = all(&self.db, learner::number(&self.db, learner)?, &self.skipped)?;
        let late = Date::MAX;
        all.sort_by_key(|g| match &g.body.settled {
            None => (false, g.body.by.unwrap_or(late), 0),
            Some(settled) => (true, late, -settled.at.0),
        });
        Ok(all)
    }

    /// Sets a goal.
    ///
    /// # Errors
    /// When there is no such learner or choice, or the goal cannot be kept as it is.
    pub fn set_goal(&mut self, learner: Id, author: Author, body: &GoalBody) -> Result<Goal> {
        body.check().map_err(NotebookError::refused)?;
        if let GoalSubject::Choice(name) = &body.about
            && Choice::find(name).is_none()
        {
            return Err(NotebookError::refused(format_args!(
                "there is no choice of spelling `{}`",
                crate::fault::one_line(name)
            )));
        }
        let change = self.writing()?;
        let number = learner::number(&change, learner)?;
        let now = Moment::now();
        let goal = Goal {
            id: Id::fresh(&change)?,
            author,
            made: now,
            day: time::today(),
            body: body.clone(),
            changed: now,
        };
        insert(&change, number, &goal)?;
        change.commit()?;
        Ok(goal)
    }

    /// Changes what a goal says: its day, its evidence, or that it is settled. The earlier state is kept.
    ///
    /// # Errors
    /// When there is no such goal, or it cannot be kept so.
    pub fn change_goal(&mut self, id: Id, body: &GoalBody) -> Result<()> {
        body.check().map_err(NotebookError::refused)?;
        let change = self.writing()?;
        let (old, learner) = find(&change, id)?.ok_or_else(missing)?;
        if old.body == *body {
            return Ok(());
        }
        history::keep(&change, learner, id, old.changed, &history::body(&old.body))?;
        update(&change, id, body, Moment::after(old.changed))?;
        Ok(change.commit()?)
    }

    /// Takes a goal out. Gives it back, so that [`Notebook::restore_goal`] can undo that.
    ///
    /// # Errors
    /// When there is no such goal.
    pub fn remove_goal(&mut self, id: Id) -> Result<Goal> {
        let change = self.writing()?;
        let (goal, learner) = find(&change, id)?.ok_or_else(missing)?;
        change.execute("DELETE FROM goal WHERE id = ?", [id])?;
        history::gone(&change, learner, id, Moment::after(goal.changed))?;
        change.commit()?;
        Ok(goal)
    }

    /// Puts back a goal that was taken out.
    ///
    /// # Errors
    /// When there is no such learner, or the goal is there.
    pub fn restore_goal(&mut self, learner: Id, goal: &Goal) -> Result<()> {
        let change = self.writing()?;
        let number = learner::number(&change, learner)?;
        let went = change.query_row(
            "SELECT ifnull(max(changed), 0) FROM gone WHERE id = ?",
            [goal.id],
            |r| r.get(0),
        )?;
        let goal = Goal {
            changed: Moment::after(went),
            ..goal.clone()
        };
        insert(&change, number, &goal)?;
        change.execute("DELETE FROM gone WHERE id = ?", [goal.id])?;
        Ok(change.commit()?)
    }
}

fn missing() -> NotebookError {
    NotebookError::refused("this goal is not in the notebook")
}
