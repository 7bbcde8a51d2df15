//! Words that look like slips are asked about, on standard error or on a page that tells of them, and used as they are.
//!
//! It is a question and no refusal: sounds and sheets of a word that is none are what a lesson with made-up words needs, every
//! answer says where its sounds come from, and a family's own word (`soundbead word WORD --set`) is never asked about. Where an
//! answer would call the slip itself right, as the target of a child's writing, `soundbead writing --add` does not keep it.

use std::collections::BTreeSet;

use soundbead_data::lexicon::Pronunciation;
use soundbead_data::which;
use soundbead_data::word::{self, Overrides, Source};

use crate::target::{doubt, question};

/// Questions that are asked at once: a list that is no list of English words would ask for ever.
const MOST: usize = 20;

/// Asks about each word that looks like a slip, once, on standard error.
pub fn ask<'a>(words: impl IntoIterator<Item = &'a str>, own: &Overrides) {
    questions(words, own)
        .iter()
        .for_each(|question| eprintln!("soundbead: {question}"));
}

/// Says on standard error which words no dictionary has and no word is near, so that their sounds are guessed; one line for all.
pub fn say_guessed<'a>(words: impl IntoIterator<Item = &'a str>, own: &Overrides) {
    if let Some(line) = guessed(words, own) {
        eprintln!("soundbead: {line}");
    }
}

fn guessed<'a>(words: impl IntoIterator<Item = &'a str>, own: &Overrides) -> Option<String> {
    let words: BTreeSet<String> = words
        .into_iter()
        .filter_map(|text| word::find(text, own).ok())
        .filter(|found| found.source == Source::Guess && doubt(found).is_none_or(|doubt| doubt.meant.is_none()))
        .map(|found| found.spelling)
        .collect();
    let first = words.first()?;
    let named: Vec<&str> = words.iter().take(MOST).map(String::as_str).collect();
    let (are, their) = if words.len() == 1 {
        ("is", "its")
    } else {
        ("are", "their")
    };
    Some(format!(
        "{} {are} in no dictionary, and {their} sounds are guessed from the letters. `soundbead word {first} --set SOUNDS` says \
         how it is said.",
        named.join(", ")
    ))
}

/// What a command does with a word that is said in two ways: which it takes, and how the other is chosen.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum WhichTaken {
    /// The way that fits the recording best.
    Best,
    /// The first way, unless sounds are given.
    First,
    /// Either may stand in a chain, unless one stands behind the word.
    Either,
    /// The first way is printed, unless another stands behind the word.
    Printed,
}

/// Says of each word that is said in two ways that mean two things which way is taken and how to choose, once, on standard error.
/// Nothing is said of a word that the family has its own way for.
pub fn ways<'a>(words: impl IntoIterator<Item = &'a str>, own: &Overrides, taken: WhichTaken) {
    way_lines(words, own, taken)
        .iter()
        .for_each(|line| eprintln!("soundbead: {line}"));
}

/// The same as lines, by the alphabet: for pages that tell of the words themselves.
pub fn way_lines<'a>(words: impl IntoIterator<Item = &'a str>, own: &Overrides, taken: WhichTaken) -> Vec<String> {
    let words: BTreeSet<String> = words.into_iter().map(|word| word.trim().to_lowercase()).collect();
    let asked = words.iter().filter(|word| own.get(word).is_none());
    asked
        .filter_map(|word| Some((word, which::ask(word)?)))
        .filter_map(|(word, ways)| {
            let [first, other, ..] = ways else { return None };
            let named = [first, other].map(|way| format!("{} ({})", sounds(&way.said), way.cue));
            let behind = format!("{word}:{}", sounds(&other.said).replace(' ', "-"));
            let given = format!("--sounds \"{}\"", sounds(&other.said));
            let then = match taken {
                WhichTaken::Best => format!("What fits the recording best is taken; {given} names one."),
                WhichTaken::First => format!("The first is said; {given} says the other."),
                WhichTaken::Either => format!("Either may stand in the chain; {behind} keeps to the second."),
                WhichTaken::Printed => format!("The first is printed; {behind} prints the other."),
            };
            Some(format!("{word} is said {} or {}. {then}", named[0], named[1]))
        })
        .take(MOST)
        .collect()
}

fn sounds(said: &Pronunciation) -> String {
    let names: Vec<&str> = said.sounds().iter().map(|sound| sound.arpabet()).collect();
    names.join(" ")
}

/// A line for each word that looks like a slip, by the alphabet: for pages that tell of the words themselves.
pub fn questions<'a>(words: impl IntoIterator<Item = &'a str>, own: &Overrides) -> Vec<String> {
    let words: BTreeSet<&str> = words.into_iter().map(str::trim).collect();
    let mut doubts = words.into_iter().filter_map(|word| question(word, own));
    let asked = doubts.by_ref().take(MOST).map(|doubt| {
        format!(
            "{doubt} If it is right, `soundbead word {} --set SOUNDS` makes it your own.",
            doubt.spelling
        )
    });
    let mut lines: Vec<String> = asked.collect();
    if doubts.next().is_some() {
        lines.push(format!("More words may be slips; only the first {MOST} are named."));
    }
    lines
}

#[cfg(test)]
mod tests {
    use super::*;

    /// That read is said in two ways is common practice, no source.
    #[test]
    fn a_word_said_in_two_ways_is_told_with_the_way_to_choose() {
        let mut own = Overrides::default();
        let told = way_lines(["Read", "pig", "read "], &own, WhichTaken::First);
        let [line] = &told[..] else { panic!("{told:?}") };
        assert!(
            line.starts_with("read is said R IY D (") && line.contains(" or R EH D ("),
            "{line}"
        );
        assert!(
            line.ends_with("The first is said; --sounds \"R EH D\" says the other."),
            "{line}"
        );
        own.set("read", "R EH1 D").unwrap();
        assert!(way_lines(["read"], &own, WhichTaken::First).is_empty());
    }
}
