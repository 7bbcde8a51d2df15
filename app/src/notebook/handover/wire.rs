//! The members of an archive, as they are read out of a notebook: one JSON value a line, in the order of ids, so that the
//! same content always gives the same bytes.

use std::collections::HashSet;
use std::io::Write;

use jiff::civil::Date;
use rusqlite::types::Value as Sql;
use rusqlite::{Connection, params, params_from_iter};
use serde::{Deserialize, Serialize};
use soundbead_dsp::judgement::Judgement;

use super::super::attempt::{Attempt, COLUMNS, FROM, OWN, check, whole};
use super::super::bounds::{CheckResult, CheckedRow};
use super::super::history::Earlier;
use super::super::skipped::Skipped;
use super::super::{Content, Id, Moment, NotebookError, Result, goal, naming, note, session, time, voice, writing};
use super::Handover;

/// The members that hold rows, by name.
pub mod member {
    /// The learner, one line.
    pub const LEARNER: &str = "learner.json";
    /// Sessions.
    pub const SESSIONS: &str = "sessions.jsonl";
    /// Attempts with what was judged of them.
    pub const ATTEMPTS: &str = "attempts.jsonl";
    /// What a child wrote.
    pub const WRITING: &str = "writing.jsonl";
    /// Articulation notes.
    pub const NOTES: &str = "notes.jsonl";
    /// Goals.
    pub const GOALS: &str = "goals.jsonl";
    /// The ear's settings for a voice, of earlier versions.
    pub const ENROLMENTS: &str = "enrolments.jsonl";
    /// Vowels that were measured.
    pub const VOWELS: &str = "vowels.jsonl";
    /// What the parent says of choices of spelling.
    pub const CHOICES: &str = "choices.jsonl";
    /// Earlier states of rows.
    pub const HISTORY: &str = "history.jsonl";
    /// Rows that were removed.
    pub const GONE: &str = "gone.jsonl";

    /// All of them, in the order in which they are read: what a line speaks of comes before it.
    pub const ALL: [&str; 11] = [
        LEARNER, SESSIONS, ATTEMPTS, WRITING, NOTES, GOALS, ENROLMENTS, VOWELS, CHOICES, HISTORY, GONE,
    ];
}

/// Whether archives of this version have this member.
pub fn has(version: u32, member: &str) -> bool {
    match member {
        member::WRITING | member::CHOICES => version >= 3,
        member::GOALS => version >= 4,
        _ => true,
    }
}

/// A line of `attempts.jsonl`.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct AttemptLine {
    /// The attempt.
    pub attempt: Attempt,
    /// What the ear found; none when it was not asked.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub judgement: Option<Judgement>,
}

/// A line of `gone.jsonl`: a row that was taken out.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct GoneLine {
    /// The row's name.
    pub id: Id,
    /// When.
    pub changed: Moment,
}

impl CheckedRow for AttemptLine {
    fn check(&self) -> CheckResult {
        check::attempt(&self.attempt, self.judgement.as_ref())
    }

    fn state(&self) -> (Id, Moment) {
        (self.attempt.id, self.attempt.changed)
    }

    fn times(&mut self) -> (Vec<&mut Moment>, Option<&mut Date>) {
        let Attempt {
            at,
            changed,
            day,
            edits,
            ..
        } = &mut self.attempt;
        let rulings = edits.rulings.iter_mut().map(|r| &mut r.at);
        let given = rulings.chain(edits.taken_back.iter_mut().map(|t| &mut t.at));
        // Rulings of the first notebooks have no time.
        let given = given.filter(|at| **at != Moment::default());
        ([at, changed].into_iter().chain(given).collect(), Some(day))
    }
}

impl CheckedRow for GoneLine {
    fn check(&self) -> CheckResult {
        Ok(())
    }

    fn state(&self) -> (Id, Moment) {
        (self.id, self.changed)
    }

    fn times(&mut self) -> (Vec<&mut Moment>, Option<&mut Date>) {
        (vec![&mut self.changed], None)
    }
}

/// One line of JSON.
///
/// # Errors
/// When it cannot be written.
pub fn line(to: &mut dyn Write, value: &impl Serialize) -> Result<()> {
    let written = serde_json::to_writer(&mut *to, value).map_err(std::io::Error::from);
    let written = written.and_then(|()| to.write_all(b"\n"));
    written.map_err(|e| NotebookError::refused(format_args!("the archive cannot be written: {e}")))
}

/// The days asked for as a condition on `column`, and its values.
pub fn days(what: &Handover, column: &str) -> (String, Vec<Sql>) {
    let (mut text, mut values) = (String::new(), Vec::new());
    for (sign, day) in [(">=", what.from), ("<=", what.to)] {
        if let Some(day) = day {
            text += &format!(" AND {column} {sign} ?");
            values.push(Sql::from(time::day_number(day)));
        }
    }
    (text, values)
}

/// Writes `sessions.jsonl`.
///
/// # Errors
/// When the database cannot be read, or the member cannot be written.
pub fn sessions(
    db: &Connection,
    learner: i64,
    what: &Handover,
    to: &mut dyn Write,
    skipped: &Skipped,
) -> Result<HashSet<Id>> {
    let inside = |s: &session::Session| what.from.is_none_or(|d| s.day >= d) && what.to.is_none_or(|d| s.day <= d);
    let (condition, values) = days(what, "a.day");
    // A session of an earlier day goes along when an attempt or writing of these days belongs to it.
    let mut held: HashSet<Id> = HashSet::new();
    for table in ["attempt", "writing"] {
        let sql = format!(
            "SELECT DISTINCT s.id FROM {table} a JOIN session s ON s.n = a.session WHERE a.learner = ?{condition}"
        );
        let values = [vec![learner.into()], values.clone()].concat();
        let mut query = db.prepare(&sql)?;
        let found = query.query_map(params_from_iter(values), |row| row.get(0))?;
        held.extend(found.collect::<rusqlite::Result<Vec<Id>>>()?);
    }
    let mut all = session::all(db, learner, skipped)?;
    all.retain(|s| inside(s) || held.contains(&s.id));
    all.sort_by_key(|s| s.id);
    all.iter().try_for_each(|s| line(to, s))?;
    Ok(all.into_iter().map(|s| s.id).collect())
}

/// Writes `attempts.jsonl`: those that `seen`, which is told of every attempt, wants.
///
/// # Errors
/// When the database cannot be read, or the member cannot be written; and those of `seen`.
pub fn attempts(
    db: &Connection,
    learner: i64,
    what: &Handover,
    to: &mut dyn Write,
    skipped: &Skipped,
    mut seen: impl FnMut(&Attempt) -> bool,
) -> Result<u64> {
    let (condition, values) = days(what, "a.day");
    let mut query = db.prepare(&format!(
        "SELECT {COLUMNS}, j.body FROM {FROM} LEFT JOIN judgement j ON j.attempt = a.n
         WHERE a.learner = ? AND a.undone = 0{condition} ORDER BY a.id"
    ))?;
    let mut rows = query.query(params_from_iter([vec![learner.into()], values].concat()))?;
    let mut count = 0;
    while let Some(row) = rows.next()? {
        let read = || {
            let judgement = row
                .get::<_, Option<String>>(OWN)?
                .map(|text| whole(&text))
                .transpose()?;
            let attempt = Attempt::read(row)?;
            Ok(AttemptLine { attempt, judgement })
        };
        if let Some(read) = skipped.row(read())?
            && seen(&read.attempt)
        {
            line(to, &read)?;
            count += 1;
        }
    }
    Ok(count)
}

/// Writes `writing.jsonl`: what was written on these days. Gives the rows' names.
///
/// # Errors
/// When the database cannot be read, or the member cannot be written.
pub fn writing(
    db: &Connection,
    learner: i64,
    what: &Handover,
    to: &mut dyn Write,
    skipped: &Skipped,
) -> Result<Vec<Id>> {
    let (condition, values) = days(what, "w.day");
    let mut all = writing::pick(db, learner, &condition, values, skipped)?;
    all.sort_by_key(|w| w.id);
    all.iter().try_for_each(|w| line(to, w))?;
    Ok(all.into_iter().map(|w| w.id).collect())
}

/// Writes `choices.jsonl`.
///
/// # Errors
/// When the database cannot be read, or the member cannot be written.
pub fn choices(db: &Connection, learner: i64, to: &mut dyn Write) -> Result<()> {
    naming::all(db, learner)?.iter().try_for_each(|n| line(to, n))
}

/// Writes `notes.jsonl`: those written on these days, and those on attempts of these days. Gives their names.
///
/// # Errors
/// When the database cannot be read, or the member cannot be written.
pub fn notes(db: &Connection, learner: i64, what: &Handover, to: &mut dyn Write, skipped: &Skipped) -> Result<Vec<Id>> {
    let (own, mut values) = days(what, "day");
    let (of_attempt, more) = days(what, "a.day");
    values.insert(0, learner.into());
    values.extend(more);
    let on_attempt = format!(
        "kind = 3 AND EXISTS (SELECT 1 FROM attempt a WHERE lower(hex(a.id)) = about AND a.undone = 0{of_attempt})"
    );
    let condition = format!("learner = ? AND ((kind <> 3{own}) OR ({on_attempt}))");
    let mut all = note::pick(db, &condition, params_from_iter(values), skipped)?;
    all.sort_by_key(|n| n.id);
    all.iter().try_for_each(|n| line(to, n))?;
    Ok(all.into_iter().map(|n| n.id).collect())
}

/// Writes `goals.jsonl`; gives their names.
///
/// # Errors
/// When the database cannot be read, or the member cannot be written.
pub fn goals(db: &Connection, learner: i64, to: &mut dyn Write, skipped: &Skipped) -> Result<Vec<Id>> {
    let mut all = goal::all(db, learner, skipped)?;
    all.sort_by_key(|g| g.id);
    all.iter().try_for_each(|g| line(to, g))?;
    Ok(all.into_iter().map(|g| g.id).collect())
}

/// Writes `vowels.jsonl`; gives the recordings they were measured on.
///
/// # Errors
/// When the database cannot be read, or the member cannot be written.
pub fn vowels(
    db: &Connection,
    learner: i64,
    what: &Handover,
    to: &mut dyn Write,
    skipped: &Skipped,
) -> Result<Vec<Content>> {
    let mut all = voice::vowels(db, learner, skipped)?;
    all.retain(|v| what.from.is_none_or(|d| v.day >= d) && what.to.is_none_or(|d| v.day <= d));
    all.sort_by_key(|v| v.id);
    all.iter().try_for_each(|v| line(to, v))?;
    Ok(all.into_iter().filter_map(|v| v.recording).collect())
}

/// Writes `enrolments.jsonl`.
///
/// # Errors
/// When the database cannot be read, or the member cannot be written.
pub fn enrolments(db: &Connection, learner: i64, to: &mut dyn Write) -> Result<()> {
    let mut all = voice::enrolments(db, learner)?;
    all.sort_by_key(|e| e.id);
    all.iter().try_for_each(|e| line(to, e))
}

/// Writes `history.jsonl`: the earlier states of rows that go along.
///
/// # Errors
/// When the database cannot be read, or the member cannot be written.
pub fn history(
    db: &Connection,
    learner: i64,
    along: &HashSet<Id>,
    to: &mut dyn Write,
    skipped: &Skipped,
) -> Result<()> {
    let mut query = db.prepare("SELECT of, changed, body FROM history WHERE learner = ? ORDER BY of, changed, body")?;
    let mut rows = query.query([learner])?;
    while let Some(row) = rows.next()? {
        let body = serde_json::from_str(&row.get::<_, String>(2)?);
        let body = body.map_err(|e| NotebookError::refused(format_args!("an earlier state cannot be read: {e}")));
        let (of, changed) = (row.get(0)?, row.get(1)?);
        if !along.contains(&of) {
            continue;
        }
        let Some(body) = skipped.row(body)? else { continue };
        line(to, &Earlier { of, changed, body })?;
    }
    Ok(())
}

/// Writes `gone.jsonl`.
///
/// # Errors
/// When the database cannot be read, or the member cannot be written.
pub fn gone(db: &Connection, learner: i64, to: &mut dyn Write) -> Result<()> {
    let mut query = db.prepare("SELECT id, changed FROM gone WHERE learner = ? ORDER BY id")?;
    let mut rows = query.query(params![learner])?;
    while let Some(row) = rows.next()? {
        let (id, changed) = (row.get(0)?, row.get(1)?);
        line(to, &GoneLine { id, changed })?;
    }
    Ok(())
}
