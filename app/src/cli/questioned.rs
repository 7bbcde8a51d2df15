//! Words that look like slips are asked about, on standard error or on a page that tells of them, and used as they are.
//!
//! It is a question and no refusal: sounds and sheets of a word that is none are what a lesson with made-up words needs, every
//! answer says where its sounds come from, and a family's own word (`soundbead word WORD --set`) is never asked about. Where an
//! answer would call the slip itself right, as the target of a child's writing, `soundbead writing --add` does not keep it.

use std::collections::BTreeSet;

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
