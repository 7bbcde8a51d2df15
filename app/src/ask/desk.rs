//! All learners at a glance, for a consultant who looks in now and then.

use jiff::civil::Date;

use crate::notebook::{Attempt, DESK_DAYS, DeskEntry, DeskSeen, NewFrom, Notebook, OpenWork, Result};
use crate::say::many;
use crate::wording;

/// From which day on things are new.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum DeskSince {
    /// A day that was asked for.
    Asked(Date),
    /// What was seen when the desk was last cleared.
    Visit(DeskSeen),
    /// The last four weeks: the desk was never cleared.
    Weeks(Date),
}

/// The desk.
#[derive(Clone, Debug, PartialEq)]
pub struct DeskAnswer {
    /// From which day on things are new.
    pub since: DeskSince,
    /// Which attempts are looked at for what wants a ruling.
    pub open: OpenWork,
    /// How far it is seen by this.
    pub seen: DeskSeen,
    /// Every learner: those with most that is unsure and unruled first.
    pub entries: Vec<DeskEntry>,
}

impl DeskSince {
    /// The day.
    pub fn day(self) -> Date {
        match self {
            DeskSince::Asked(day) | DeskSince::Weeks(day) => day,
            DeskSince::Visit(seen) => seen.at.day(),
        }
    }
}

/// The desk since a day, or since it was last cleared, or for the last four weeks.
///
/// # Errors
/// When the database cannot be read.
pub fn desk(notebook: &Notebook, since: Option<Date>, today: Date) -> Result<DeskAnswer> {
    let since = match (since, notebook.last_visit()?) {
        (Some(day), _) => DeskSince::Asked(day),
        (None, Some(seen)) => DeskSince::Visit(seen),
        (None, None) => {
            let back = jiff::Span::new().days(DESK_DAYS);
            DeskSince::Weeks(today.checked_sub(back).unwrap_or(today))
        }
    };
    let from = match since {
        DeskSince::Asked(day) | DeskSince::Weeks(day) => NewFrom::Day(day),
        DeskSince::Visit(seen) => NewFrom::Seen(seen),
    };
    Ok(DeskAnswer {
        seen: notebook.desk_seen()?,
        open: OpenWork::of(from, today),
        entries: notebook.families(from, today)?,
        since,
    })
}

/// What is said in the place of a last lesson where there was none.
pub fn no_lesson(e: &DeskEntry) -> &'static str {
    match e.is_quiet() {
        true => "no lesson yet",
        // What was written on paper or recorded before came in without one.
        false => "no lesson yet; what is new comes from paper or from older recordings",
    }
}

/// What is new, in a line.
pub fn new(e: &DeskEntry) -> String {
    if e.is_quiet() {
        return "Nothing new.".to_owned();
    }
    let (lessons, attempts, notes) = (
        many(e.lessons, "lesson"),
        many(e.attempts, "attempt"),
        many(e.notes, "note"),
    );
    format!("New: {lessons}, {attempts}, {notes}.")
}

/// Due words that are named.
const NAMED: usize = 6;

/// The words to write that are due, as many as can be read; the rest is counted.
pub fn due(e: &DeskEntry) -> String {
    let named: Vec<&str> = e.due.iter().take(NAMED).map(String::as_str).collect();
    match e.due.len().saturating_sub(NAMED) {
        0 => named.join(", "),
        more => format!("{}, and {more} more", named.join(", ")),
    }
}

/// What else is open, a line each: goals whose day has passed, and notes that wait for an answer.
pub fn open(e: &DeskEntry, today: Date) -> Vec<String> {
    let goals = e.late.iter().map(|goal| wording::goal(goal, today));
    let notes = (e.unanswered > 0).then(|| format!("Without an answer: {} by the parent.", many(e.unanswered, "note")));
    goals.chain(notes).collect()
}

/// Why a recording is worth hearing: what the program and people say of it.
pub fn why(a: &Attempt) -> String {
    let verdict = a.verdict.map_or("not judged", |v| wording::verdict(v).short);
    let each: Vec<String> = a
        .edits
        .rulings
        .iter()
        .map(|r| format!("{}: {}", r.by, wording::verdict(r.verdict).short))
        .collect();
    match each.is_empty() {
        true => format!("program: {verdict}"),
        false => format!("program: {verdict}; {}", each.join("; ")),
    }
}
