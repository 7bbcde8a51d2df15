//! `soundbead learner`: the children in the notebook.

use serde_json::json;

use super::args::{Common, Given};
use super::who::{self, Who};
use crate::answer;
use crate::fault::Fault;
use crate::notebook::{Filter, Learner, Notebook};
use crate::page::{Page, pad};
use crate::say::many;

/// Lists, adds, renames or erases.
pub fn run(mut given: Given, page: &mut Page) -> Result<(), Fault> {
    let (mut who, mut common, mut yes) = (Who::default(), Common::default(), None);
    while let Some(arg) = given.next()? {
        match who.take(arg, 3, &mut given)? {
            None => {}
            Some("yes") => yes = Some(given.text()?),
            Some(flag) if common.take(flag, &mut given)? => {}
            Some(flag) => return Err(given.strange(flag)),
        }
    }
    let mut notebook = Notebook::open()?;
    let word = |at: usize| who.words.get(at).map(String::as_str);
    match word(0).unwrap_or("list") {
        "list" => list(page, &notebook, who.json),
        "add" => {
            let name = word(1).ok_or_else(|| given.missing("the learner's name"))?;
            let added = notebook.add_learner(name, &common.rules()?)?;
            one(page, &added, "is in the notebook now", who.json)
        }
        "rename" => {
            let learner = who.learner(1, &notebook, &given)?;
            let name = word(2).ok_or_else(|| given.missing("the new name"))?;
            let changed = notebook.change_learner(learner.id, name, &learner.rules)?;
            one(page, &changed, &format!("was {}", learner.name), who.json)
        }
        "erase" => {
            let learner = who.learner(1, &notebook, &given)?;
            erase(page, &mut notebook, &learner, yes.as_deref())
        }
        other => Err(Fault::input(format_args!(
            "`{}` is nothing that can be done with a learner; there are list, add, rename and erase",
            crate::fault::one_line(other)
        ))),
    }
}

fn as_json(learner: &Learner) -> serde_json::Value {
    json!({"id": learner.id, "name": learner.name, "rules": answer::rules_map(&learner.rules),
        "made": learner.made.to_string()})
}

fn one(page: &mut Page, learner: &Learner, what: &str, as_line: bool) -> Result<(), Fault> {
    if as_line {
        return Ok(page.json(&as_json(learner))?);
    }
    page.line(&format!("{} {what}.", learner.name))?;
    Ok(page.paragraph(0, &format!("Counted by the rules {}.", learner.rules))?)
}

fn list(page: &mut Page, notebook: &Notebook, as_lines: bool) -> Result<(), Fault> {
    let all = notebook.learners()?;
    if all.is_empty() && !as_lines {
        return Ok(page.line("Nobody is in the notebook yet; `soundbead learner add NAME` adds a learner.")?);
    }
    for learner in all {
        let attempts = notebook.count_attempts(learner.id, &Filter::default())?;
        if as_lines {
            let mut line = as_json(&learner);
            line["attempts"] = attempts.into();
            page.json(&line)?;
        } else {
            let name = pad(&learner.name, 24);
            let attempts = many(attempts, "attempt");
            page.line(&format!("{name} {attempts:>16}   id {}", who::short(&learner)))?;
        }
    }
    Ok(())
}

/// Erases, once the name was typed again.
fn erase(page: &mut Page, notebook: &mut Notebook, learner: &Learner, yes: Option<&str>) -> Result<(), Fault> {
    if yes != Some(learner.name.as_str()) {
        let attempts = many(notebook.count_attempts(learner.id, &Filter::default())?, "attempt");
        return Err(Fault::input(format_args!(
            "this would erase {name} for good, with {attempts} and their recordings; to do it, type the name again: \
             soundbead learner erase \"{name}\" --yes \"{name}\"",
            name = learner.name
        )));
    }
    let erased = notebook.erase(learner.id)?;
    page.line(&format!(
        "{} is erased: {}, {}, {}.",
        learner.name,
        many(erased.attempts, "attempt"),
        many(erased.notes, "note"),
        many(erased.recordings, "recording")
    ))?;
    Ok(page.paragraph(
        0,
        "Hand-overs, reports and copies that you made elsewhere are still there.",
    )?)
}
