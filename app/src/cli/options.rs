//! What several commands take.

use clap::Args;
use jiff::civil::Date;
use soundbead_data::Rules;
use soundbead_dsp::judgement::Speaking;

use super::values;
use crate::fault::{Fault, nearest, one_line};
use crate::notebook::progress::DaySpan;
use crate::notebook::{Id, Learner, Notebook};
use crate::settings;
use crate::sheet::save::NotSaved;

#[derive(Args)]
pub struct CountingArgs {
    /// A counting rule, such as r_vowels=one; may be given many times (`soundbead rules` lists them)
    #[arg(long = "rule", value_name = "NAME=VALUE")]
    changes: Vec<String>,
    /// A set of rules: phoneme (when nothing is given) or phonics
    #[arg(long = "rules", value_name = "SET")]
    rule_set: Option<String>,
}

impl CountingArgs {
    /// Whether any rule was given.
    pub fn any(&self) -> bool {
        self.rule_set.is_some() || !self.changes.is_empty()
    }

    /// These rules with what the options change in them; a set takes the place of all.
    ///
    /// # Errors
    /// One line when a rule or one of its values is not known.
    pub fn over(&self, rules: &Rules) -> Result<Rules, Fault> {
        let start = match &self.rule_set {
            Some(_) => {
                settings::set(self.rule_set.as_deref()).map_err(|e| Fault::input(format_args!("--rules: {e}")))?
            }
            None => rules.clone(),
        };
        settings::changed(start, &self.changes).map_err(|e| Fault::input(format_args!("--rule: {e}")))
    }

    /// The rules that the options make.
    ///
    /// # Errors
    /// One line when a rule or one of its values is not known.
    pub fn rules(&self) -> Result<Rules, Fault> {
        let set = settings::set(self.rule_set.as_deref()).map_err(|e| Fault::input(format_args!("--rules: {e}")))?;
        settings::changed(set, &self.changes).map_err(|e| Fault::input(format_args!("--rule: {e}")))
    }
}

#[derive(Args)]
pub struct SpeakingArgs {
    /// How the word was said: as usual (whole, when nothing is given), each sound held (stretched), or sound by sound
    /// with gaps (separate)
    #[arg(long, value_name = "HOW", value_parser = values::speaking(), ignore_case = true, hide_possible_values = true)]
    speaking: Option<Speaking>,
}

impl SpeakingArgs {
    /// The way of speaking; whole words when nothing is said.
    pub fn speaking(&self) -> Speaking {
        self.speaking.unwrap_or_default()
    }
}

#[derive(Args)]
pub struct DaysArgs {
    /// From this day on: 2026-11-25
    #[arg(long, value_name = "DAY", value_parser = values::day)]
    from: Option<Date>,
    /// Up to this day
    #[arg(long, value_name = "DAY", value_parser = values::day)]
    to: Option<Date>,
}

impl DaysArgs {
    /// The days asked for.
    ///
    /// # Errors
    /// One line when the last day comes before the first.
    pub fn span(&self) -> Result<DaySpan, Fault> {
        if self.from.zip(self.to).is_some_and(|(from, to)| from > to) {
            return Err(Fault::input("--from is after --to; no day lies between"));
        }
        Ok(DaySpan {
            from: self.from,
            to: self.to,
        })
    }
}

/// The fault for a file that was not written, with the way out that the command line has.
pub fn not_saved(why: NotSaved) -> Fault {
    match why {
        NotSaved::There(_) => Fault::input(format_args!(
            "{why}; choose another name, or --force puts the new one in its place"
        )),
        NotSaved::Cannot(line) => Fault::input(line),
    }
}

/// Says on standard error what people should know of the notebook that was read.
pub fn cautions(notebook: &Notebook) {
    notebook
        .cautions()
        .iter()
        .for_each(|line| eprintln!("soundbead: {line}"));
}

/// The learner of this name, in whatever letters; or of this id, or its beginning, where two have one name.
///
/// # Errors
/// One line when no learner, or more than one, is called so, or when the notebook cannot be read.
pub fn learner(notebook: &Notebook, name: &str) -> Result<Learner, Fault> {
    let all = notebook.learners()?;
    cautions(notebook);
    let wanted = name.trim().to_lowercase();
    let same = |l: &&Learner| {
        let names = [l.name.clone(), l.full_name(), l.called(&all)];
        names.iter().any(|name| name.to_lowercase() == wanted)
    };
    let by_name: Vec<&Learner> = all.iter().filter(same).collect();
    match by_name[..] {
        [one] => return Ok(one.clone()),
        [first, second, ..] => {
            return Err(Fault::input(format_args!(
                "two learners are named {}: {} and {}; say which, or give the beginning of its id, {} or {}",
                first.name,
                first.called(&all),
                second.called(&all),
                short(first),
                short(second)
            )));
        }
        [] => {}
    }
    let by_id: Vec<&Learner> = all
        .iter()
        .filter(|l| name.len() >= 6 && l.id.to_string().starts_with(name))
        .collect();
    if let [one] = by_id[..] {
        return Ok(one.clone());
    }
    let hint = nearest(name, all.iter().map(|l| l.name.as_str())).map(|m| format!(" (did you mean `{m}`?)"));
    let none = if all.is_empty() {
        "; `soundbead learner add NAME` adds one"
    } else {
        "; `soundbead learner` lists them"
    };
    Err(Fault::input(format_args!(
        "there is no learner named `{}`{}{none}",
        one_line(name),
        hint.unwrap_or_default()
    )))
}

/// The beginning of an id, enough to tell learners apart.
pub fn short(learner: &Learner) -> String {
    learner.id.to_string().chars().take(8).collect()
}

/// The beginning of an attempt's id: as a rule enough to tell one learner's attempts apart.
pub fn sign(id: &Id) -> String {
    id.to_string().chars().take(6).collect()
}
