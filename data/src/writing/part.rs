//! Which parts of a word a misspelling broke: prefix, base, ending and where they join, and letters that have to be known by heart.

use std::fmt;

use super::figures::SpellingCounts;
use super::place::{self, SoundContext};
use super::{Finding, SpellingAnalysis, WrittenSound};
use crate::chain::common;
use crate::lexicon;
use crate::parts::Join;
use crate::which;

pub(crate) mod shape;

use shape::WordStructure;

/// A part of a word that a misspelling broke.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub enum BrokenPart {
    /// An ending such as `-ed`, with its hyphen.
    Ending(&'static str),
    /// A prefix such as `un-`, with its hyphen.
    Prefix(&'static str),
    /// What is left without prefix and ending, in a word that has one.
    Base,
    /// The last letter doubled before an ending, or not (hopping).
    Doubling,
    /// The silent e dropped before an ending, or not (hoping).
    DropsE,
    /// y that becomes i before an ending, or not (happiest).
    YToI,
    /// Another word was written that is said the same.
    Homophone,
    /// ck, tch, dge, ff, ll, ss or zz after a short vowel.
    AfterShortVowel(String),
    /// Letters of which one is silent (kn, mb).
    Silent(String),
    /// Letters that spell the sound in few words (the ai of said).
    Irregular(String),
    /// A consonant left out beside another.
    Cluster,
    /// One word written as two.
    Apart,
}

impl fmt::Display for BrokenPart {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            BrokenPart::Ending(form) => write!(f, "ending {form}"),
            BrokenPart::Prefix(form) => write!(f, "prefix {form}"),
            BrokenPart::Base => f.write_str("base"),
            BrokenPart::Doubling => f.write_str("doubling"),
            BrokenPart::DropsE => f.write_str("e dropped"),
            BrokenPart::YToI => f.write_str("y to i"),
            BrokenPart::Homophone => f.write_str("homophone"),
            BrokenPart::AfterShortVowel(letters) => write!(f, "short vowel before {letters}"),
            BrokenPart::Silent(letters) => write!(f, "silent letter in {letters}"),
            BrokenPart::Irregular(letters) => write!(f, "irregular part {letters}"),
            BrokenPart::Cluster => f.write_str("consonant cluster"),
            BrokenPart::Apart => f.write_str("written as two words"),
        }
    }
}

/// Spellings that stand after a short vowel only.
const AFTER_SHORT: [&str; 7] = ["ck", "tch", "dge", "ff", "ll", "ss", "zz"];
/// Letters with a share of the sound's spellings below this have to be known word by word.
const RARE: f32 = 0.012;
/// A word written by chance is no homophone: it has to be this common (about once in three million words).
const KNOWN_ZIPF: f32 = 2.5;

/// The parts that `reading` broke, from the whole word to its letters, without repeats.
pub(super) fn broken(reading: &SpellingAnalysis) -> Vec<BrokenPart> {
    let mut parts = Vec::new();
    if reading.right() {
        return parts;
    }
    if reading.wrote.contains(' ') {
        parts.push(BrokenPart::Apart);
    }
    if homophone(reading) {
        parts.push(BrokenPart::Homophone);
    }
    if let Some(shape) = WordStructure::of(&reading.word, &reading.said) {
        parts.extend(shaped(reading, &shape));
    }
    for (at, written) in reading.sounds.iter().enumerate() {
        for part in by_sound(reading, at, written) {
            if !parts.contains(&part) {
                parts.push(part);
            }
        }
    }
    parts
}

/// Whether what was written is another word that is said the same.
fn homophone(reading: &SpellingAnalysis) -> bool {
    let entry = lexicon::look_up(&reading.wrote).filter(|e| reading.wrote != reading.word && e.zipf() >= KNOWN_ZIPF);
    // Duc and Bel are names, and matt is how British books write matte: a child who writes them meant no other word.
    let known = entry.filter(|_| common(&reading.wrote) && which::american(&reading.wrote).is_none());
    known.is_some_and(|e| e.variants().any(|said| said.sounds() == reading.said.sounds()))
}

/// Parts of a word that has a prefix or an ending.
fn shaped(reading: &SpellingAnalysis, shape: &WordStructure) -> Vec<BrokenPart> {
    let mut parts = Vec::new();
    let (first, end) = shape.base;
    let wrong = |from: usize, to: usize| reading.sounds[from..to].iter().any(|w| w.finding != Finding::Kept);
    let added = |from: usize, to: usize| reading.added.iter().any(|a| (from..to).contains(&a.after));
    if let Some(form) = shape.prefix.filter(|_| wrong(0, first) || added(0, first)) {
        parts.push(BrokenPart::Prefix(form));
    }
    let join = join(reading, shape);
    // What fails at the join is not counted against the base or the ending once more.
    let taken = match join {
        Some(BrokenPart::DropsE) => end.saturating_sub(2)..end,
        Some(BrokenPart::YToI) => end - 1..end + 1,
        Some(_) => end - 1..end,
        None => 0..0,
    };
    let wrong_out = |from: usize, to: usize| (from..to).any(|at| !taken.contains(&at) && wrong(at, at + 1));
    if wrong_out(first, end) || added(first, end) {
        parts.push(BrokenPart::Base);
    }
    let last = reading.of();
    let behind = reading
        .added
        .iter()
        .any(|a| a.after > end || (a.after == end && join.is_none()));
    if let Some(form) = shape.ending.filter(|_| wrong_out(end, last) || behind) {
        parts.push(BrokenPart::Ending(form));
    }
    parts.extend(join);
    parts
}

/// The rule of joining that was broken, if one was.
fn join(reading: &SpellingAnalysis, shape: &WordStructure) -> Option<BrokenPart> {
    shape.ending?;
    let last = &reading.sounds[shape.base.1 - 1];
    let doubled = |letters: &str| letters.len() == 2 && letters.as_bytes()[0] == letters.as_bytes()[1];
    let whole = shape.ending.is_some_and(|form| {
        let ending = form.trim_start_matches('-');
        reading.wrote.ends_with(&format!("{}{ending}", shape.stem))
    });
    let wrong = last.finding != Finding::Kept;
    let found = match shape.join {
        Join::DropsE if whole || (wrong && doubled(&last.wrote)) => BrokenPart::DropsE,
        Join::Doubles if wrong && last.finding != Finding::Omitted => BrokenPart::Doubling,
        Join::YToI if wrong && last.wrote.contains('y') => BrokenPart::YToI,
        Join::Plain if wrong && doubled(&last.wrote) && !doubled(&last.letters) => BrokenPart::Doubling,
        _ => return None,
    };
    Some(found)
}

/// What the finding at one sound breaks.
fn by_sound(reading: &SpellingAnalysis, at: usize, written: &WrittenSound) -> Vec<BrokenPart> {
    let letters = written.letters.clone();
    let mut found = Vec::new();
    if written.finding != Finding::Kept {
        if AFTER_SHORT.contains(&letters.as_str()) && after_short_vowel(reading, at) {
            found.push(BrokenPart::AfterShortVowel(letters));
        } else if silent(&letters) {
            found.push(BrokenPart::Silent(letters));
        } else if rare(reading, at) {
            found.push(BrokenPart::Irregular(letters));
        }
        if written.finding == Finding::Omitted && beside_consonant(reading, at) {
            found.push(BrokenPart::Cluster);
        }
    }
    found
}

fn after_short_vowel(reading: &SpellingAnalysis, at: usize) -> bool {
    at > 0 && SoundContext::of(&reading.said, at, at + 1, None).to_string().as_bytes()[1] == b's'
}

/// Spellings of a consonant with a letter that is not heard.
fn silent(letters: &str) -> bool {
    const SILENT: [&str; 18] = [
        "kn", "gn", "wr", "mb", "mn", "ps", "rh", "sc", "st", "sw", "tw", "gh", "gu", "bt", "lf", "lk", "sl", "wh",
    ];
    SILENT.contains(&letters)
}

/// Whether the word's own letters at a sound spell it in few words.
fn rare(reading: &SpellingAnalysis, at: usize) -> bool {
    let own = &reading.sounds[at].letters;
    let same = |k: &usize| reading.sounds[*k].letters == *own;
    let first = (0..=at).rev().take_while(same).last().unwrap_or(at);
    let end = (at..reading.of()).take_while(same).last().unwrap_or(at) + 1;
    let weak = reading.said.sounds()[at].is_vowel() && !place::is_loud(&reading.said, at);
    let bare = own.replace(['\'', '-'], "");
    let share = |first: usize, end: usize| {
        let place = SoundContext::of(&reading.said, first, end, None);
        SpellingCounts::builtin().share_of(bare.as_bytes(), &reading.said.sounds()[first..end], place)
    };
    // Neighbors with the same letters are one box over several sounds, or two boxes of one.
    !bare.is_empty() && !weak && share(at, at + 1).max(share(first, end)) < RARE
}

fn beside_consonant(reading: &SpellingAnalysis, at: usize) -> bool {
    let sounds = reading.said.sounds();
    let consonant = |at: Option<usize>| at.and_then(|at| sounds.get(at)).is_some_and(|s| !s.is_vowel());
    !sounds[at].is_vowel() && (consonant(at.checked_sub(1)) || consonant(Some(at + 1)))
}
