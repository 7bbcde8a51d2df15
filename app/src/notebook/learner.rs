//! The children who learn.

use jiff::civil::Date;
use rusqlite::{Connection, OptionalExtension, params};
use serde::{Deserialize, Serialize};
use soundbead_data::Rules;
use soundbead_data::rule::RuleError;

use super::bounds::{CheckResult, CheckedRow};
use super::{Id, Moment, Notebook, NotebookError, Result, history};

/// Most letters of a learner's name.
pub(super) const LONGEST_NAME: usize = 80;

/// A child who learns.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Learner {
    /// Its name in every notebook.
    pub id: Id,
    /// What the family calls the child.
    pub name: String,
    /// The family's name, which tells two children of one name apart; empty where it is not needed.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub family: String,
    /// The counting rules this child is taught.
    pub rules: Rules,
    /// When the child was added.
    pub made: Moment,
    /// When name or rules last changed.
    pub changed: Moment,
}

/// What of a learner can change.
#[derive(Serialize)]
struct LearnerState<'a> {
    name: &'a str,
    #[serde(skip_serializing_if = "str::is_empty")]
    family: &'a str,
    rules: String,
}

impl Learner {
    /// What of the learner can change, as history keeps it.
    pub(super) fn state(&self) -> String {
        history::body(&LearnerState {
            name: &self.name,
            family: &self.family,
            rules: self.rules.to_string(),
        })
    }

    /// What the learner is called among all of them: by name alone, or with the family's where another has the name too; where
    /// that is not known or another has both, with the day on which the learner was added, or else with the id. No two are called alike.
    pub fn called(&self, all: &[Learner]) -> String {
        let others = || all.iter().filter(|l| l.id != self.id);
        let taken = |name: &str| {
            let name = name.to_lowercase();
            others().any(|l| l.name.to_lowercase() == name || l.full_name().to_lowercase() == name)
        };
        let full = self.full_name();
        if !taken(&self.name) {
            return self.name.clone();
        }
        if !self.family.is_empty() && !taken(&full) {
            return full;
        }
        let day = self.made.day();
        let alike = |l: &Learner| l.full_name().to_lowercase() == full.to_lowercase() && l.made.day() == day;
        match others().any(alike) {
            false => format!("{full}, added {}", day.strftime("%-d %b %Y")),
            true => format!("{full}, id {:.8}", self.id.to_string()),
        }
    }

    /// What the learner is called where families stand beside each other: with the family's name where it is known.
    pub fn at_desk(&self, all: &[Learner]) -> String {
        match self.called(all) {
            alone if alone == self.name => self.full_name(),
            called => called,
        }
    }

    /// The name, and the family's where it is known.
    pub fn full_name(&self) -> String {
        match self.family.is_empty() {
            true => self.name.clone(),
            false => format!("{} {}", self.name, self.family),
        }
    }

    fn read(row: &rusqlite::Row) -> Result<Learner> {
        Ok(Learner {
            id: row.get(0)?,
            name: row.get(1)?,
            rules: row
                .get::<_, String>(2)?
                .parse()
                .map_err(|e: RuleError| NotebookError::refused(e))?,
            made: row.get(3)?,
            changed: row.get(4)?,
            family: row.get(5)?,
        })
    }
}

impl CheckedRow for Learner {
    fn check(&self) -> CheckResult {
        let family = tidy(&self.family).map_err(|e| e.to_string())?;
        match tidy_name(&self.name).map_err(|e| e.to_string())? == self.name && family == self.family {
            true => Ok(()),
            false => Err("the learner's name has stray space in it".into()),
        }
    }

    fn state(&self) -> (Id, Moment) {
        (self.id, self.changed)
    }

    fn times(&mut self) -> (Vec<&mut Moment>, Option<&mut Date>) {
        (vec![&mut self.made, &mut self.changed], None)
    }
}

const SELECT: &str = "SELECT id, name, rules, made, changed, family FROM learner";

/// The name as it is kept: without space around it, runs of space made one.
pub(super) fn tidy_name(name: &str) -> Result<String> {
    let name = tidy(name)?;
    if name.is_empty() {
        return Err(needs_name());
    }
    Ok(name)
}

fn needs_name() -> NotebookError {
    NotebookError::refused("a learner needs a name; type one, such as Juno")
}

/// The same for a name that may be empty.
fn tidy(name: &str) -> Result<String> {
    let name = name.split_whitespace().collect::<Vec<_>>().join(" ");
    if name.chars().any(char::is_control) {
        return Err(needs_name());
    }
    match name.chars().count() {
        n if n > LONGEST_NAME => Err(NotebookError::refused(format_args!(
            "a name of {n} letters is too long; at most {LONGEST_NAME} can be kept"
        ))),
        _ => Ok(name),
    }
}

/// The number of a learner's row.
pub(super) fn number(db: &Connection, id: Id) -> Result<i64> {
    let found = db
        .query_row("SELECT n FROM learner WHERE id = ?", [id], |row| row.get(0))
        .optional()?;
    found.ok_or_else(|| NotebookError::refused("this learner is not in the notebook"))
}

/// The rules that the learner of this number is taught.
pub(super) fn rules(db: &Connection, number: i64) -> Result<Rules> {
    let text: String = db.query_row("SELECT rules FROM learner WHERE n = ?", [number], |row| row.get(0))?;
    text.parse().map_err(|e: RuleError| NotebookError::refused(e))
}

/// The learner of this id, if there is one.
pub(super) fn find(db: &Connection, id: Id) -> Result<Option<Learner>> {
    let mut query = db.prepare(&format!("{SELECT} WHERE id = ?"))?;
    let mut rows = query.query([id])?;
    rows.next()?.map(Learner::read).transpose()
}

/// Refuses a name that another learner of the same family has, in whatever letters.
fn free(db: &Connection, (name, family): (&str, &str), own: Option<Id>) -> Result<()> {
    let mut query = db.prepare(SELECT)?;
    let mut rows = query.query([])?;
    while let Some(row) = rows.next()? {
        // One that cannot be read has no name that could be taken.
        let Ok(other) = Learner::read(row) else { continue };
        let alike = |a: &str, b: &str| a.to_lowercase() == b.to_lowercase();
        if Some(other.id) != own && alike(&other.name, name) && alike(&other.family, family) {
            return Err(NotebookError::refused(format_args!(
                "there is a learner named {} already; choose another name, or say of which family",
                other.name
            )));
        }
    }
    Ok(())
}

/// Puts a learner in as it stands.
pub(super) fn insert(db: &Connection, learner: &Learner) -> Result<()> {
    db.execute(
        "INSERT INTO learner (id, name, family, rules, made, changed) VALUES (?, ?, ?, ?, ?, ?)",
        params![
            learner.id,
            learner.name,
            learner.family,
            learner.rules.to_string(),
            learner.made,
            learner.changed
        ],
    )?;
    Ok(())
}

/// Puts a learner's new state in the place of the old.
pub(super) fn update(db: &Connection, learner: &Learner) -> Result<()> {
    db.execute(
        "UPDATE learner SET name = ?, family = ?, rules = ?, changed = ? WHERE id = ?",
        params![
            learner.name,
            learner.family,
            learner.rules.to_string(),
            learner.changed,
            learner.id
        ],
    )?;
    Ok(())
}

impl Notebook {
    /// Everyone in the notebook, by name.
    ///
    /// # Errors
    /// When the database cannot be read.
    pub fn learners(&self) -> Result<Vec<Learner>> {
        let mut query = self.db.prepare(SELECT)?;
        let mut rows = query.query([])?;
        let mut all = Vec::new();
        while let Some(row) = rows.next()? {
            all.extend(self.skipped.row(Learner::read(row))?);
        }
        all.sort_by_cached_key(|l| (l.name.to_lowercase(), l.id));
        Ok(all)
    }

    /// One learner; none when there is no such one.
    ///
    /// # Errors
    /// When the database cannot be read.
    pub fn learner(&self, id: Id) -> Result<Option<Learner>> {
        find(&self.db, id)
    }

    /// Adds a learner.
    ///
    /// # Errors
    /// When the name is empty, too long or taken.
    pub fn add_learner(&mut self, name: &str, rules: &Rules) -> Result<Learner> {
        self.add_learner_of("", name, rules)
    }

    /// Adds a learner of a family: two of one name are told apart by it.
    ///
    /// # Errors
    /// When the name is empty, or one of the two is too long; or when both are taken.
    pub fn add_learner_of(&mut self, family: &str, name: &str, rules: &Rules) -> Result<Learner> {
        let (name, family) = (tidy_name(name)?, tidy(family)?);
        let change = self.writing()?;
        free(&change, (&name, &family), None)?;
        let now = Moment::now();
        let learner = Learner {
            id: Id::fresh(&change)?,
            name,
            family,
            rules: rules.clone(),
            made: now,
            changed: now,
        };
        insert(&change, &learner)?;
        change.commit()?;
        Ok(learner)
    }

    /// Gives a learner another name or other rules.
    ///
    /// # Errors
    /// As [`Notebook::add_learner`], and when there is no such learner.
    pub fn change_learner(&mut self, id: Id, name: &str, rules: &Rules) -> Result<Learner> {
        let name = tidy_name(name)?;
        self.alter(id, |old| Learner {
            name,
            rules: rules.clone(),
            ..old
        })
    }

    /// Gives a learner another name and family.
    ///
    /// # Errors
    /// As [`Notebook::add_learner_of`], and when there is no such learner.
    pub fn name_learner(&mut self, id: Id, family: &str, name: &str) -> Result<Learner> {
        let (name, family) = (tidy_name(name)?, tidy(family)?);
        self.alter(id, |old| Learner { name, family, ..old })
    }

    fn alter(&mut self, id: Id, how: impl FnOnce(Learner) -> Learner) -> Result<Learner> {
        let change = self.writing()?;
        let number = number(&change, id)?;
        let old = find(&change, id)?.ok_or_else(|| NotebookError::refused("no such learner"))?;
        let new = Learner {
            changed: Moment::after(old.changed),
            ..how(old.clone())
        };
        // Two of one name may have come by hand-over: what else changes of them is not refused for it.
        if (&new.name, &new.family) != (&old.name, &old.family) {
            free(&change, (&new.name, &new.family), Some(id))?;
        }
        if new.state() == old.state() {
            return Ok(old);
        }
        history::keep(&change, number, id, old.changed, &old.state())?;
        update(&change, &new)?;
        change.commit()?;
        Ok(new)
    }
}
