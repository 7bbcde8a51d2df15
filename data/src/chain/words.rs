//! Which words a chain or list may use.

use std::borrow::Cow;
use std::collections::HashSet;

use super::known::{BlockList, is_common};
use crate::lexicon::{self, Pronunciation};
use crate::which;
use crate::word::{Overrides, normal};

/// From which words chains and lists are made.
#[derive(Clone, Debug, PartialEq, Eq, Default)]
pub enum Range {
    /// Words that a child of 8 to 12 may meet: about 28,000, without names, abbreviations and British spellings.
    #[default]
    Common,
    /// Every word of the dictionary without a mark in it, names too.
    Dictionary,
    /// These and no others, as they are found by [`crate::word::find`].
    Given(Vec<String>),
}

/// A word list: its range, less what is blocked, said as the family says it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct WordList {
    /// From which words.
    pub range: Range,
    /// What is kept out of them.
    pub block: BlockList,
    /// The family's own ways of saying words.
    pub overrides: Overrides,
}

impl Default for WordList {
    /// The common words without those of the built-in block list.
    fn default() -> Self {
        WordList {
            range: Range::Common,
            block: BlockList::builtin(),
            overrides: Overrides::default(),
        }
    }
}

/// A word of a list.
#[derive(Clone, Debug, PartialEq)]
pub struct Listed {
    /// In small letters.
    pub spelling: Cow<'static, str>,
    /// Every way of saying it that can stand alone; at least one.
    pub variants: Vec<Pronunciation>,
    /// As [`lexicon::Entry::zipf`]; 0 where the dictionary lacks the word.
    pub zipf: f32,
}

impl WordList {
    /// The words, each once; in the dictionary's order, or in the order given.
    pub fn words(&self) -> Vec<Listed> {
        match &self.range {
            Range::Given(words) => self.given(words),
            Range::Common => {
                let mut words = self.of_dictionary(is_common);
                words.retain(|listed| which::american(&listed.spelling).is_none());
                words
            }
            Range::Dictionary => self.of_dictionary(|_| true),
        }
    }

    fn of_dictionary(&self, in_range: impl Fn(usize) -> bool) -> Vec<Listed> {
        let entries = lexicon::words().enumerate().filter(|(number, _)| in_range(*number));
        let entries = entries.map(|(_, entry)| entry);
        let plain = entries.filter(|e| !e.spelling().contains(['\'', '-']) && !self.block.blocks(e.spelling()));
        plain
            .map(|entry| Listed {
                spelling: Cow::Borrowed(entry.spelling()),
                variants: match self.overrides.get_exact(entry.spelling()) {
                    Some(own) => vec![own.clone()],
                    None => standing_alone(which::sorted(entry.spelling(), entry.variants().collect())),
                },
                zipf: entry.zipf(),
            })
            .collect()
    }

    fn given(&self, words: &[String]) -> Vec<Listed> {
        let mut seen = HashSet::new();
        let spellings = words.iter().filter_map(|word| normal(word).ok());
        let fresh = spellings.filter(|word| !self.block.blocks(word) && seen.insert(word.clone()));
        fresh.filter_map(|word| listed(&word, &self.overrides)).collect()
    }
}

/// `word` as it would be listed, whatever the list; `None` when it is no word.
pub(super) fn listed(word: &str, overrides: &Overrides) -> Option<Listed> {
    let found = crate::word::find(word, overrides).ok()?;
    Some(Listed {
        zipf: lexicon::look_up(&found.spelling).map_or(0.0, |e| e.zipf()),
        spelling: Cow::Owned(found.spelling),
        variants: standing_alone(found.variants),
    })
}

/// The ways of saying a word by itself: those without any stress (T AH of *to*) are left out where another has one.
fn standing_alone(mut variants: Vec<Pronunciation>) -> Vec<Pronunciation> {
    let stressed = |said: &Pronunciation| said.stress().iter().any(|&mark| mark > 0);
    if variants.len() > 1 && variants.iter().any(stressed) {
        variants.retain(stressed);
    }
    variants
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn large_enough_and_without_names_and_short_forms() {
        let words = WordList::default().words();
        assert!(words.len() >= 20_000, "{}", words.len());
        let has = |word: &str| words.binary_search_by(|w| w.spelling.as_ref().cmp(word)).is_ok();
        for word in [
            "pig",
            "peg",
            "chess",
            "igloo",
            "scarecrow",
            "dye",
            "a",
            "volcano",
            "knight",
        ] {
            assert!(has(word), "{word}");
        }
        for word in [
            "london", "sarah", "june", "mr", "tv", "kg", "b", "don't", "kill", "stupid", "sexy", "die",
        ] {
            assert!(!has(word), "{word}");
        }
    }

    #[test]
    fn a_weak_form_does_not_stand_alone() {
        let to = listed("to", &Overrides::default()).unwrap();
        assert_eq!(
            to.variants.iter().map(ToString::to_string).collect::<Vec<_>>(),
            ["T UW1"]
        );
    }
}
