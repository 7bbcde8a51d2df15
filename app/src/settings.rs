//! Raw flags into the rules in force.

use soundbead_data::Rules;
use soundbead_data::lexicon::Pronunciation;
use soundbead_data::sound::Sound;

use crate::fault::{Fault, nearest};

/// The rules of the set `set` (the default set when none is named), then each `NAME=VALUE` in order.
pub fn rules(set: Option<&str>, changes: &[String]) -> Result<Rules, Fault> {
    let mut rules = match set {
        None => Rules::default(),
        Some(name) => Rules::named(name).ok_or_else(|| Fault::input(no_set(name)))?,
    };
    for change in changes {
        let (name, value) = change.split_once('=').ok_or_else(|| {
            Fault::input(format_args!(
                "--rule takes NAME=VALUE, such as r_vowels=one, but found `{change}`; `soundbead rules` lists them"
            ))
        })?;
        rules
            .set(name.trim(), value.trim())
            .map_err(|e| Fault::input(rule_fault(name.trim(), &e)))?;
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

/// Reads sounds in ARPAbet, divided by spaces or commas.
pub fn sounds(text: &str) -> Result<Vec<Sound>, String> {
    let names = text
        .split(|c: char| c.is_whitespace() || c == ',')
        .filter(|n| !n.is_empty());
    let sounds = names
        .map(|n| n.parse::<Sound>().map_err(|e| e.to_string()))
        .collect::<Result<Vec<_>, _>>()?;
    match sounds.len() {
        0 => Err("no sounds were given; write them in ARPAbet, such as \"P IH G\"".into()),
        n if n > LONGEST => Err(format!(
            "{n} sounds are more than a word has; at most {LONGEST} can be asked about"
        )),
        _ => Ok(sounds),
    }
}

/// Reads sounds as [`sounds`] does, and the stress digits of its vowels. With no digit the first vowel is stressed.
pub fn pronunciation(text: &str) -> Result<Pronunciation, String> {
    let sounds = sounds(text)?;
    let names = text
        .split(|c: char| c.is_whitespace() || c == ',')
        .filter(|n| !n.is_empty());
    let mut stress: Vec<u8> = names
        .map(|n| n.bytes().last().filter(u8::is_ascii_digit).map_or(0, |d| d - b'0'))
        .collect();
    let marked = text.bytes().any(|b| b.is_ascii_digit());
    if let Some(first) = sounds.iter().position(|s| s.is_vowel()).filter(|_| !marked) {
        stress[first] = 1;
    }
    Ok(Pronunciation::new(sounds, &stress))
}

/// Most sounds in one word; the dictionary's longest entries have about thirty.
pub const LONGEST: usize = 40;
