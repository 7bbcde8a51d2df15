//! `soundbead attempts`: what was said, the latest first.

use clap::Args;
use serde_json::{Value, json};
use soundbead_data::Sound;
use soundbead_dsp::judgement::{Speaking, Verdict};

use super::{options, values};
use crate::answer;
use crate::fault::Fault;
use crate::notebook::{Attempt, Filter, ListRange as Stretch, Notebook, Ruling};
use crate::page::{OutputPage, pad};

#[derive(Args)]
#[command(after_help = MORE)]
pub struct AttemptsArgs {
    /// The learner's name
    learner: String,
    /// Of this word alone
    #[arg(long)]
    word: Option<String>,
    /// Of words that have this sound
    #[arg(long = "sounds", value_name = "SOUND", value_parser = values::sound)]
    sound: Option<Sound>,
    /// Of what the program found
    #[arg(long, value_parser = values::verdict(), ignore_case = true)]
    verdict: Option<Verdict>,
    /// How the word was to be said
    #[arg(long, value_name = "HOW", value_parser = values::speaking(), ignore_case = true)]
    speaking: Option<Speaking>,
    /// Where a person ruled otherwise than the program, or two people otherwise than each other
    #[arg(long)]
    disagree: bool,
    #[command(flatten)]
    days: options::DaysArgs,
    /// At most N of them
    #[arg(long, alias = "length", value_name = "N", default_value = "50", value_parser = values::number("a number of attempts", 1..=1_000_000_u64))]
    most: u64,
    /// One JSON object a line, with the recording's path
    #[arg(long)]
    json: bool,
}

const MORE: &str = "\
For example:
  $ soundbead attempts Juno --word shed
  ...  shed         expected 3, child 4, heard 3  ...";

impl AttemptsArgs {
    /// Lists what was said.
    ///
    /// # Errors
    /// One line for what was asked and cannot be done, or when nothing can be written to standard output.
    pub fn run(self, page: &mut OutputPage) -> Result<(), Fault> {
        let span = self.days.span()?;
        let filter = Filter {
            word: self.word.map(|w| w.trim().to_lowercase()),
            sound: self.sound,
            speaking: self.speaking,
            verdict: self.verdict,
            disagreed: self.disagree,
            from: span.from,
            to: span.to,
            ..Filter::default()
        };
        let notebook = Notebook::open()?;
        let learner = options::learner(&notebook, &self.learner)?;
        let all = notebook.count_attempts(learner.id, &filter)?;
        let latest = Stretch {
            skip: 0,
            take: self.most,
        };
        let shown = notebook.attempts(learner.id, &filter, latest)?;
        let imported = notebook.imported_sessions(learner.id)?;
        options::cautions(&notebook);
        if self.json {
            return shown
                .iter()
                .try_for_each(|a| Ok(page.json(&as_json(&notebook, a, imported.contains(&a.session))?)?));
        }
        for attempt in &shown {
            let mark = if imported.contains(&attempt.session) {
                "  imported"
            } else {
                ""
            };
            page.line(&format!("{}{mark}", in_a_line(attempt)))?;
        }
        let count = shown.len() as u64;
        if count < all {
            page.line(&format!("The latest {count} of {all}; --most N shows more."))?;
        } else if all == 0 {
            page.line(&format!("No such attempts of {} are in the notebook.", learner.name))?;
        }
        Ok(())
    }
}

/// The sign before each is the beginning of its id, by which a note can be written on it.
fn in_a_line(a: &Attempt) -> String {
    let number = |n: Option<u16>| n.map_or("-".to_owned(), |n| n.to_string());
    let verdict = a.verdict.map_or("not judged", |v| v.name());
    let each = |r: &Ruling| format!("  {}: {}", r.by, r.verdict.name());
    let rulings: String = a.edits.rulings.iter().map(each).collect();
    format!(
        "{}  {}  {} expected {}, child {}, heard {}  {}{rulings}",
        options::sign(&a.id),
        a.when(),
        pad(&a.word, 12),
        a.expected_now,
        number(a.edits.child),
        number(a.heard),
        pad(verdict, 10),
    )
    .trim_end()
    .to_owned()
}

/// One attempt for a program.
fn as_json(notebook: &Notebook, a: &Attempt, imported: bool) -> Result<Value, Fault> {
    let path = a.recording.map(|r| notebook.recording_path(r)).filter(|p| p.is_file());
    Ok(json!({
        "id": a.id, "session": a.session, "at": a.moment().map(|at| at.to_string()), "day": a.day.to_string(), "word": a.word,
        "sounds": answer::names(&a.sounds), "before": a.before, "speaking": a.speaking.name(),
        "expected": a.expected, "expected_now": a.expected_now, "said": a.said(), "child": a.edits.child, "heard": a.heard, "verdict": a.verdict.map(|v| v.name()),
        "sure": a.sure, "rulings": a.edits.rulings, "pointed": a.edits.pointed, "letters": a.edits.letters,
        "after": a.edits.after, "imported": imported,
        "model": a.model, "rules": answer::rules_map(&a.rules), "recording": path,
    }))
}
