//! `soundbead desk`: all learners at a glance, for a consultant who looks in now and then.

use clap::Args;
use jiff::Zoned;
use jiff::civil::Date;
use serde_json::{Value, json};

use super::{options, values};
use crate::ask::desk::{self, DeskAnswer, desk, why};
use crate::fault::Fault;
use crate::notebook::{Attempt, DUE_WITHIN, DeskEntry, Learner, Notebook};
use crate::page::{OutputPage, TextTone};
use crate::wording;

#[derive(Args)]
#[command(after_help = MORE)]
pub struct DeskArgs {
    /// What is new from this day on; without it, since the desk was last cleared, or the last four weeks
    #[arg(long, value_name = "DAY", value_parser = values::day)]
    since: Option<Date>,
    /// Says that all of this has been looked at: the next desk has what comes in from now on
    #[arg(long)]
    clear: bool,
    /// Takes the last --clear back, then shows the desk
    #[arg(long, conflicts_with = "clear")]
    unclear: bool,
    /// One JSON object a learner
    #[arg(long)]
    json: bool,
}

const MORE: &str = "\
Every learner, those with most to hear first: the last lesson, what is new, how
many recordings the program is unsure of and nobody has ruled on, where two
people or person and program differ, three recordings most worth hearing, and
words to write that are due. What wants a ruling stays for four weeks, also
when the desk was cleared. Nothing is changed but by --clear, which --unclear
takes back.

For example:
  $ soundbead desk
  Since ...
  ...";

impl DeskArgs {
    /// Shows the desk.
    ///
    /// # Errors
    /// One line for what was asked and cannot be done, or when nothing can be written to standard output.
    pub fn run(self, page: &mut OutputPage) -> Result<(), Fault> {
        let today = Zoned::now().date();
        if let Some(day) = self.since.filter(|day| *day > today) {
            return Err(Fault::input(format_args!(
                "--since {day} is a day to come, and nothing is new from then on; give one up to today"
            )));
        }
        let mut notebook = Notebook::open()?;
        if self.unclear && !notebook.unclear_desk()? {
            return Err(Fault::input(
                "the desk was never cleared, so there is nothing to take back",
            ));
        }
        let DeskAnswer {
            since,
            seen,
            entries: all,
            ..
        } = desk(&notebook, self.since, today)?;
        if self.json {
            all.iter().try_for_each(|e| page.json(&as_json(e)))?;
        } else {
            show(page, &all, (since.day(), today))?;
        }
        if self.clear {
            notebook.clear_desk(seen)?;
        }
        Ok(())
    }
}

fn show(page: &mut OutputPage, all: &[DeskEntry], (since, today): (Date, Date)) -> Result<(), Fault> {
    if all.is_empty() {
        return Ok(page.line("No learner is in the notebook yet; `soundbead learner add NAME` adds one.")?);
    }
    page.line(&format!("Since {since}"))?;
    let learners: Vec<Learner> = all.iter().map(|e| e.learner.clone()).collect();
    for entry in all {
        page.line("")?;
        one(page, entry, (&entry.learner.at_desk(&learners), today))?;
    }
    page.line("")?;
    Ok(page.paragraph(0, wording::CAUTION)?)
}

fn one(page: &mut OutputPage, e: &DeskEntry, (called, today): (&str, Date)) -> Result<(), Fault> {
    let name = page.tone(TextTone::Strong, called);
    let last = match &e.last {
        None => desk::no_lesson(e).to_owned(),
        Some(lesson) => {
            let plan = wording::planned(&lesson.plan).map_or(String::new(), |plan| format!(", {plan}"));
            format!("last lesson {}{plan}", lesson.day)
        }
    };
    let gap = e.last.as_ref().and_then(|lesson| wording::long_gap(lesson.day, today));
    let gap = gap.map_or(String::new(), |gap| format!("; {gap}"));
    page.line(&format!("{name}: {last}{gap}"))?;
    page.paragraph(2, &desk::new(e))?;
    if e.unruled + e.apart > 0 {
        let line = format!(
            "To rule on: {} unsure, {} in all; heard differently: {}.",
            e.unsure, e.unruled, e.apart
        );
        page.paragraph(2, &line)?;
    }
    for line in desk::open(e, today) {
        page.paragraph(2, &line)?;
    }
    for a in &e.worth {
        page.paragraph(4, &in_a_line(a))?;
    }
    if !e.due.is_empty() {
        let line = format!("Due to write, of the last {DUE_WITHIN} days: {}.", desk::due(e));
        page.paragraph(2, &line)?;
    }
    Ok(())
}

fn in_a_line(a: &Attempt) -> String {
    format!("{}  {}  {}: {}", options::sign(&a.id), a.day, a.word, why(a))
}

fn as_json(e: &DeskEntry) -> Value {
    let worth: Vec<Value> = e
        .worth
        .iter()
        .map(|a| json!({"id": a.id, "day": a.day.to_string(), "word": a.word, "why": why(a)}))
        .collect();
    json!({
        "learner": e.learner.name, "id": e.learner.id,
        "last": e.last.as_ref().map(|l| json!({"day": l.day.to_string(), "plan": l.plan})),
        "lessons": e.lessons, "attempts": e.attempts, "notes": e.notes,
        "unsure": e.unsure, "unruled": e.unruled, "apart": e.apart, "worth_hearing": worth, "due": e.due,
        "late_goals": e.late, "unanswered_notes": e.unanswered,
    })
}
