//! `soundbead learner`: the children in the notebook.

use clap::{Args, Subcommand};
use serde_json::json;

use super::options;
use crate::answer;
use crate::fault::Fault;
use crate::notebook::{Filter, Learner, Notebook};
use crate::page::{OutputPage, pad};
use crate::say::many;

#[derive(Args)]
#[command(after_help = MORE)]
pub struct LearnerArgs {
    #[command(subcommand)]
    deed: Option<LearnerCommand>,
    /// One JSON object a line
    #[arg(long, global = true)]
    json: bool,
}

#[derive(Subcommand)]
enum LearnerCommand {
    /// The learners and their attempts; so too when nothing is said
    List,
    /// Adds a learner, and the counting rules that the learner is taught
    Add {
        /// The learner's name, in quotes where it is several words
        name: String,
        /// The family's name, where two learners have one name
        #[arg(long, value_name = "NAME")]
        family: Option<String>,
        #[command(flatten)]
        counting: options::CountingArgs,
    },
    /// Shows the counting rules that a learner is taught, or changes them
    Rules {
        /// The learner's name
        learner: String,
        #[command(flatten)]
        counting: options::CountingArgs,
    },
    /// Gives a learner another name
    Rename {
        /// The learner's name
        learner: String,
        /// The new name
        new: String,
        /// The family's name, where two learners have one name; "" takes it away
        #[arg(long, value_name = "NAME")]
        family: Option<String>,
    },
    /// Erases a learner for good
    Erase {
        /// The learner's name
        learner: String,
        /// The name once more: without it nothing is erased
        #[arg(long, value_name = "NAME")]
        yes: Option<String>,
    },
}

const MORE: &str = "\
Erasing removes every attempt, written word, note, draft and recording of the
learner from this computer's notebook, and clears what the database would keep
of them. It cannot be undone. Hand-overs and reports that you made elsewhere are
not touched. A learner's own counting rules hold in `soundbead count --learner`,
and when they change, what is shown of earlier lessons is counted anew. Where
two learners have one name, give the beginning of the id that the list shows.
The notebook lies in SOUNDBEAD_HOME, or where your system keeps programs' data.

For example:
  $ soundbead learner add Mary
  Mary is in the notebook now.
  ...
  $ soundbead learner
  ...";

impl LearnerArgs {
    /// Lists, adds, renames or erases.
    ///
    /// # Errors
    /// One line for what was asked and cannot be done, or when nothing can be written to standard output.
    pub fn run(self, page: &mut OutputPage) -> Result<(), Fault> {
        let mut notebook = Notebook::open()?;
        match self.deed.unwrap_or(LearnerCommand::List) {
            LearnerCommand::List => list(page, &notebook, self.json),
            LearnerCommand::Add { name, family, counting } => {
                let family = family.unwrap_or_default();
                let added = notebook.add_learner_of(&family, &name, &counting.rules()?)?;
                one(page, &added, "is in the notebook now", self.json)?;
                match self.json {
                    true => Ok(()),
                    false => told_apart(page, &notebook.learners()?, &added),
                }
            }
            LearnerCommand::Rules { learner, counting } => {
                let learner = options::learner(&notebook, &learner)?;
                let rules = counting.over(&learner.rules)?;
                let changed = notebook.change_learner(learner.id, &learner.name, &rules)?;
                let what = match changed.rules == learner.rules {
                    true => "counts as before",
                    false => "counts otherwise now; what is shown of earlier lessons is counted anew",
                };
                one(page, &changed, what, self.json)
            }
            LearnerCommand::Rename { learner, new, family } => {
                let learner = options::learner(&notebook, &learner)?;
                let before = learner.called(&notebook.learners()?);
                let family = family.unwrap_or_else(|| learner.family.clone());
                let changed = notebook.name_learner(learner.id, &family, &new)?;
                one(page, &changed, &format!("was {before}"), self.json)
            }
            LearnerCommand::Erase { learner, yes } => {
                let learner = options::learner(&notebook, &learner)?;
                erase(page, &mut notebook, &learner, yes.as_deref(), self.json)
            }
        }
    }
}

fn as_json(learner: &Learner) -> serde_json::Value {
    json!({"id": learner.id, "name": learner.name, "family": learner.family, "rules": answer::rules_map(&learner.rules),
        "made": learner.made.to_string()})
}

fn one(page: &mut OutputPage, learner: &Learner, what: &str, as_line: bool) -> Result<(), Fault> {
    if as_line {
        return Ok(page.json(&as_json(learner))?);
    }
    page.line(&format!("{} {what}.", learner.full_name()))?;
    Ok(page.paragraph(0, &format!("Counted by the rules {}.", learner.rules))?)
}

/// Where others have the name too, how they are told apart from now on.
fn told_apart(page: &mut OutputPage, all: &[Learner], added: &Learner) -> Result<(), Fault> {
    let alike = |l: &&Learner| l.name.to_lowercase() == added.name.to_lowercase();
    let called: Vec<String> = all.iter().filter(alike).map(|l| l.called(all)).collect();
    match called.len() {
        0 | 1 => Ok(()),
        _ => Ok(page.paragraph(
            0,
            &format!(
                "There is more than one {} now; they are called: {}.",
                added.name,
                called.join("; ")
            ),
        )?),
    }
}

fn list(page: &mut OutputPage, notebook: &Notebook, as_lines: bool) -> Result<(), Fault> {
    let all = notebook.learners()?;
    options::cautions(notebook);
    if all.is_empty() && !as_lines {
        return Ok(page.line("Nobody is in the notebook yet; `soundbead learner add NAME` adds a learner.")?);
    }
    for learner in all.clone() {
        let attempts = notebook.count_attempts(learner.id, &Filter::default())?;
        if as_lines {
            let mut line = as_json(&learner);
            line["attempts"] = attempts.into();
            page.json(&line)?;
        } else {
            let name = pad(&learner.called(&all), 24);
            let attempts = many(attempts, "attempt");
            page.line(&format!("{name} {attempts:>16}   id {}", options::short(&learner)))?;
        }
    }
    Ok(())
}

/// Erases, once the name was typed again.
fn erase(
    page: &mut OutputPage,
    notebook: &mut Notebook,
    learner: &Learner,
    yes: Option<&str>,
    json: bool,
) -> Result<(), Fault> {
    let called = learner.called(&notebook.learners()?);
    if yes.is_none_or(|yes| yes != learner.name && yes != called) {
        let attempts = many(notebook.count_attempts(learner.id, &Filter::default())?, "attempt");
        return Err(Fault::input(format_args!(
            "this would erase {name} for good, with {attempts} and their recordings; to do it, type the name again: \
             soundbead learner erase \"{name}\" --yes \"{name}\"",
            name = called
        )));
    }
    let erased = notebook.erase(learner.id)?;
    if json {
        return Ok(page.json(
            &json!({"erased": learner.name, "attempts": erased.attempts, "notes": erased.notes,
            "writings": erased.writings, "recordings": erased.recordings}),
        )?);
    }
    page.line(&format!(
        "{} is erased: {}, {}, {}, {}.",
        learner.name,
        many(erased.attempts, "attempt"),
        many(erased.notes, "note"),
        many(erased.writings, "written word"),
        many(erased.recordings, "recording")
    ))?;
    Ok(page.paragraph(
        0,
        "The program's own copies of the notebook with that name in them are gone too. Hand-overs, reports and copies that \
         you made elsewhere are still there.",
    )?)
}
