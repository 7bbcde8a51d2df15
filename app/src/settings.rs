//! Counting rules from the names that people write.

use soundbead_data::Rules;

use crate::fault::nearest;

/// The set of rules that is named, in small or capital letters; the default set when none is.
///
/// # Errors
/// One line with the sets that there are.
pub fn set(name: Option<&str>) -> Result<Rules, String> {
    name.map_or(Ok(Rules::default()), |name| {
        Rules::named(&name.trim().to_lowercase()).ok_or_else(|| no_set(name))
    })
}

/// `rules` with each `NAME=VALUE` set.
///
/// # Errors
/// One line when a change is not so written, names no rule or no value of it, or a rule is named twice.
pub fn changed(mut rules: Rules, changes: &[String]) -> Result<Rules, String> {
    let mut named: Vec<String> = Vec::new();
    for change in changes {
        let (name, value) = change.split_once('=').ok_or_else(|| {
            format!("found `{change}`, wanted NAME=VALUE, such as r_vowels=one; `soundbead rules` lists them")
        })?;
        let (name, value) = (name.trim().to_lowercase(), value.trim().to_lowercase());
        rules.set(&name, &value).map_err(|e| rule_fault(&name, &e))?;
        if named.contains(&name) {
            return Err(format!("`{name}` is set twice; leave one out"));
        }
        named.push(name);
    }
    Ok(rules)
}

/// What is said of a rule that cannot be set, with the name that was probably meant.
pub fn rule_fault(name: &str, error: &impl std::fmt::Display) -> String {
    let known = Rules::about().iter().map(|r| r.name);
    match nearest(name, known).filter(|meant| *meant != name) {
        Some(meant) => format!("{error} (did you mean `{meant}`?)"),
        None => error.to_string(),
    }
}

fn no_set(name: &str) -> String {
    let names: Vec<&str> = Rules::SETS.iter().map(|(n, _)| *n).collect();
    format!(
        "there is no set of rules named `{name}`; there are: {}",
        names.join(", ")
    )
}
