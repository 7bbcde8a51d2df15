//! The sorts themselves. What each rule expects is common practice of spelling lessons, without one source; how often it
//! holds is counted on the word list.

use super::Sort;
use super::corpus::BoxSpot;

mod by_place;
mod consonants;
mod endings;
mod one_spelling;
mod sets;
mod vowels;
mod word_ends;

/// A rule: where it speaks, which column it expects there.
macro_rules! rule {
    ($when:literal, $then:literal, $applies:expr) => {
        crate::sort::Rule {
            when: $when,
            then: $then,
            applies: $applies,
        }
    };
}

/// A place in which lessons have no rule: which spellings are found there, and how often.
macro_rules! choice {
    ($when:literal, $applies:expr) => {
        crate::sort::Rule {
            when: $when,
            then: "",
            applies: $applies,
        }
    };
}

/// A sort of places in words: name, title, columns, what is looked for, rules.
macro_rules! places {
    ($name:literal, $title:literal, $columns:expr, $find:expr, $rules:expr $(,)?) => {
        crate::sort::Sort {
            name: $name,
            title: $title,
            columns: $columns,
            source: crate::sort::SortSource::Base($find),
            rules: $rules,
        }
    };
}

pub(super) use sets::cues;

use {choice, places, rule};

/// The box's letters as heading when it spells one of these rows of sounds.
fn spelled(spot: &BoxSpot<'_>, sounds: &[&str]) -> Option<String> {
    spot.says_any(sounds).then(|| spot.with_e())
}

/// Whether the box ends its word and follows a short vowel in its only syllable.
fn short_close(spot: &BoxSpot<'_>) -> bool {
    spot.last() && spot.one_syllable() && spot.after_short()
}

/// Whether the box ends a word of one syllable after anything else.
fn other_close(spot: &BoxSpot<'_>) -> bool {
    spot.last() && spot.one_syllable() && !spot.after_short() && !spot.first()
}

/// Whether the box ends a word of more than one syllable.
fn long_close(spot: &BoxSpot<'_>) -> bool {
    spot.last() && !spot.one_syllable()
}

/// Whether one consonant box, and nothing more, follows the vowel.
fn before_last(spot: &BoxSpot<'_>) -> bool {
    spot.beside(1).is_some_and(|next| next.last() && !next.vowel())
}

/// Whether a consonant and a vowel follow, so that the vowel ends its syllable. Not where the consonant ends a word inside the
/// word: *own-er*, *make-up*.
fn open(spot: &BoxSpot<'_>) -> bool {
    spot.beside(1)
        .is_some_and(|c| !c.vowel() && !c.closes_word() && c.beside(1).is_some_and(|v| v.vowel()))
}

fn in_one(spot: &BoxSpot<'_>) -> bool {
    spot.one_syllable()
}

fn ends(spot: &BoxSpot<'_>) -> bool {
    spot.ends()
}

/// Whether the next box says one of these.
fn before(spot: &BoxSpot<'_>, sounds: &[&str]) -> bool {
    spot.beside(1).is_some_and(|next| next.says_any(sounds))
}

/// Whether the box before says one of these.
fn after(spot: &BoxSpot<'_>, sounds: &[&str]) -> bool {
    spot.beside(-1).is_some_and(|last| last.says_any(sounds))
}

const SOFT: &str = "eiy";

/// Every sort, in the order in which they are shown.
pub(super) fn all() -> &'static [Sort] {
    use std::sync::LazyLock;
    static ALL: LazyLock<Vec<Sort>> = LazyLock::new(|| {
        let groups = [
            consonants::sorts(),
            word_ends::sorts(),
            endings::sorts(),
            vowels::sorts(),
            by_place::sorts(),
            one_spelling::sorts(),
            sets::sorts(),
        ];
        groups.into_iter().flatten().collect()
    });
    &ALL
}
