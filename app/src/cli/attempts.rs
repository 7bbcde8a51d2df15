//! `soundbead attempts`: what was said, the latest first.

use serde_json::{Value, json};

use super::args::Given;
use super::who::Who;
use crate::answer;
use crate::fault::Fault;
use crate::notebook::{Attempt, Filter, Notebook, Page as Stretch, Ruling};
use crate::page::{Page, pad};

/// How many are shown when nothing is said.
const USUAL: u64 = 50;

/// Reads the options and lists.
pub fn run(mut given: Given, page: &mut Page) -> Result<(), Fault> {
    let (mut who, mut filter, mut most) = (Who::default(), Filter::default(), USUAL);
    while let Some(arg) = given.next()? {
        let wrong = |flag: &str, e: &dyn std::fmt::Display| Fault::input(format_args!("--{flag}: {e}"));
        match who.take(arg, 1, &mut given)? {
            None => {}
            Some("word") => filter.word = Some(given.text()?.trim().to_lowercase()),
            Some("sounds") => filter.sound = Some(given.text()?.parse().map_err(|e| wrong("sounds", &e))?),
            Some("speaking") => filter.speaking = Some(given.text()?.parse().map_err(|e| wrong("speaking", &e))?),
            Some("verdict") => filter.verdict = Some(given.text()?.parse().map_err(|e| wrong("verdict", &e))?),
            Some("disagree") => filter.disagreed = true,
            Some("length") => {
                let text = given.text()?;
                most = text
                    .parse()
                    .map_err(|_| wrong("length", &format_args!("`{text}` is no number of attempts")))?;
            }
            Some(flag) => return Err(given.strange(flag)),
        }
    }
    let notebook = Notebook::open()?;
    let learner = who.learner(0, &notebook, &given)?;
    let span = who.span()?;
    (filter.from, filter.to) = (span.from, span.to);
    let all = notebook.count_attempts(learner.id, &filter)?;
    let shown = notebook.attempts(learner.id, &filter, Stretch { skip: 0, take: most })?;
    if who.json {
        return shown.iter().try_for_each(|a| Ok(page.json(&as_json(&notebook, a)?)?));
    }
    for attempt in &shown {
        page.line(&in_a_line(attempt))?;
    }
    let count = shown.len() as u64;
    if count < all {
        page.line(&format!("The latest {count} of {all}; --length N shows more."))?;
    } else if all == 0 {
        page.line(&format!("No such attempts of {} are in the notebook.", learner.name))?;
    }
    Ok(())
}

fn in_a_line(a: &Attempt) -> String {
    let number = |n: Option<u16>| n.map_or("-".to_owned(), |n| n.to_string());
    let verdict = a.verdict.map_or("not judged", |v| v.name());
    let each = |r: &Ruling| format!("   {}: {}", r.by, r.verdict.name());
    let rulings: String = a.edits.rulings.iter().map(each).collect();
    format!(
        "{}  {} expected {}  child {}  heard {}  {}{rulings}",
        a.at.local(),
        pad(&a.word, 14),
        a.expected_now,
        number(a.edits.child),
        number(a.heard),
        pad(verdict, 10),
    )
    .trim_end()
    .to_owned()
}

/// One attempt for a program.
fn as_json(notebook: &Notebook, a: &Attempt) -> Result<Value, Fault> {
    let path = a.recording.map(|r| notebook.recording_path(r)).filter(|p| p.is_file());
    Ok(json!({
        "id": a.id, "session": a.session, "at": a.at.to_string(), "day": a.day.to_string(), "word": a.word,
        "sounds": answer::names(&a.sounds), "before": a.before, "speaking": a.speaking.name(),
        "expected": a.expected, "expected_now": a.expected_now, "said": a.said(), "child": a.edits.child, "heard": a.heard, "verdict": a.verdict.map(|v| v.name()),
        "sure": a.sure, "rulings": a.edits.rulings, "pointed": a.edits.pointed, "letters": a.edits.letters,
        "model": a.model, "rules": answer::rules_map(&a.rules), "recording": path,
    }))
}
