//! `soundbead rules`: the rules by which sounds are counted.

use clap::Args;
use soundbead_data::Rules;

use super::options;
use crate::answer;
use crate::fault::Fault;
use crate::page::{OutputPage, TextTone};

#[derive(Args)]
#[command(after_help = MORE)]
pub struct RulesArgs {
    #[command(flatten)]
    counting: options::CountingArgs,
    /// The rules in force, as one JSON object
    #[arg(long)]
    json: bool,
}

const MORE: &str = "\
For example:
  $ soundbead rules --rules phonics
  Teachers count some sounds differently. ...
  ...
  r_vowels ...
  ...";

impl RulesArgs {
    /// Shows every rule, those in force marked.
    ///
    /// # Errors
    /// One line for what was asked and cannot be done, or when nothing can be written to standard output.
    pub fn run(self, page: &mut OutputPage) -> Result<(), Fault> {
        let rules = self.counting.rules()?;
        if self.json {
            return Ok(page.json(&answer::rules_map(&rules))?);
        }
        show(page, &rules)
    }
}

/// Every rule: its values with the one in force marked, its reason and an example; then the sets.
fn show(page: &mut OutputPage, rules: &Rules) -> Result<(), Fault> {
    page.paragraph(
        0,
        "Teachers count some sounds differently. Each habit is a rule; choose with --rule NAME=VALUE.",
    )?;
    page.line("")?;
    for (info, (name, value)) in Rules::about().iter().zip(rules.iter()) {
        let values: Vec<String> = info.values.iter().map(|v| mark(page, v, value)).collect();
        let space = " ".repeat(22usize.saturating_sub(info.values.iter().map(|v| v.len() + 3).sum()));
        let name = page.tone(TextTone::Strong, &format!("{name:10}"));
        page.line(&format!("{name} {}{space} {}", values.join(" "), info.example))?;
        page.paragraph(11, info.reason)?;
    }
    page.line("")?;
    page.line("The value in [ ] is in force. Whole sets of rules, chosen with --rules SET:")?;
    for (name, what) in Rules::SETS {
        let here = if Rules::named(name).as_ref() == Some(rules) {
            "  [in force]"
        } else {
            ""
        };
        page.line(&format!("{}{here}", page.tone(TextTone::Strong, &format!("{name:10}"))))?;
        page.paragraph(11, what)?;
    }
    Ok(())
}

fn mark(page: &OutputPage, value: &str, now: &str) -> String {
    if value == now {
        page.tone(TextTone::Strong, &format!("[{value}]"))
    } else {
        format!(" {value} ")
    }
}
