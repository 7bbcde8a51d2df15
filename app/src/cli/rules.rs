//! `soundbead rules`: the rules by which sounds are counted.

use soundbead_data::Rules;

use super::args::{Common, Given, Next};
use crate::answer;
use crate::fault::Fault;
use crate::page::{Page, Tone};

/// Shows every rule: its values with the one in force marked, its reason and an example.
pub fn run(mut given: Given, page: &mut Page) -> Result<(), Fault> {
    let mut common = Common::default();
    while let Some(arg) = given.next()? {
        match arg {
            Next::Flag(flag) if common.take(flag, &mut given)? => {}
            Next::Flag(flag) => return Err(given.strange(flag)),
            Next::Value(more) => return Err(given.too_many(&more)),
        }
    }
    let rules = common.rules()?;
    if common.json {
        return Ok(page.json(&answer::rules_map(&rules))?);
    }
    page.paragraph(
        0,
        "Teachers count some sounds differently. Each habit is a rule; choose with --rule NAME=VALUE.",
    )?;
    page.line("")?;
    for (info, (name, value)) in Rules::about().iter().zip(rules.iter()) {
        let values: Vec<String> = info.values.iter().map(|v| mark(page, v, value)).collect();
        let space = " ".repeat(22usize.saturating_sub(info.values.iter().map(|v| v.len() + 3).sum()));
        let name = page.tone(Tone::Strong, &format!("{name:10}"));
        page.line(&format!("{name} {}{space} {}", values.join(" "), info.example))?;
        page.paragraph(11, info.reason)?;
    }
    page.line("")?;
    page.line("The value in [ ] is in force. Whole sets of rules, chosen with --rules SET:")?;
    for (name, what) in Rules::SETS {
        let here = if Rules::named(name).as_ref() == Some(&rules) {
            "  [in force]"
        } else {
            ""
        };
        page.line(&format!("{}{here}", page.tone(Tone::Strong, &format!("{name:10}"))))?;
        page.paragraph(11, what)?;
    }
    Ok(())
}

fn mark(page: &Page, value: &str, now: &str) -> String {
    if value == now {
        page.tone(Tone::Strong, &format!("[{value}]"))
    } else {
        format!(" {value} ")
    }
}
