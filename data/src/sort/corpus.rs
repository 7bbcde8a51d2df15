//! The word list with the letters of each sound, and a look at one place in a word.

use std::collections::HashMap;

use super::Member;
use crate::Sound;
use crate::chain::WordList;
use crate::lexicon::Pronunciation;
use crate::spelling::{self, LetterBox};

/// A word with its boxes.
#[derive(Clone, Debug, PartialEq)]
pub struct Known {
    /// In small letters.
    pub word: String,
    /// Its first way of being said.
    pub said: Pronunciation,
    /// Its letters over its sounds.
    pub boxes: Vec<LetterBox>,
    /// How common it is; see [`crate::lexicon::Entry::zipf`].
    pub zipf: f32,
    /// Vowels in it.
    pub syllables: usize,
}

/// A word list made ready for sorting. A word whose letters cannot be tied to its sounds is left out.
pub struct Corpus {
    words: Vec<Known>,
    by_word: HashMap<String, usize>,
}

impl Corpus {
    /// Divides every word of the list into its boxes. Takes a fraction of a second.
    pub fn new(list: &WordList) -> Corpus {
        let known = list.words().into_iter().filter_map(|listed| {
            let said = listed.variants.into_iter().next()?;
            Some(Known {
                boxes: spelling::boxes(&listed.spelling, said.sounds())?,
                syllables: said.sounds().iter().filter(|s| s.is_vowel()).count(),
                word: listed.spelling.into_owned(),
                zipf: listed.zipf,
                said,
            })
        });
        let words: Vec<Known> = known.collect();
        let by_word = words.iter().enumerate().map(|(i, k)| (k.word.clone(), i)).collect();
        Corpus { words, by_word }
    }

    /// The words, in the list's order.
    pub fn words(&self) -> &[Known] {
        &self.words
    }

    /// The word of this spelling.
    pub fn word(&self, spelling: &str) -> Option<&Known> {
        self.by_word.get(spelling).map(|&i| &self.words[i])
    }
}

/// Box `at` of a word.
#[derive(Clone, Copy)]
pub(super) struct Spot<'c> {
    pub corpus: &'c Corpus,
    pub known: &'c Known,
    pub at: usize,
}

impl<'c> Spot<'c> {
    pub fn letters(&self) -> &'c str {
        &self.known.boxes[self.at].letters
    }

    pub fn sounds(&self) -> &'c [Sound] {
        &self.known.said.sounds()[self.known.boxes[self.at].sounds.clone()]
    }

    /// Whether the box spells exactly these sounds.
    pub fn says(&self, sounds: &str) -> bool {
        sounds.split(' ').eq(self.sounds().iter().map(|s| s.arpabet()))
    }

    pub fn first(&self) -> bool {
        self.at == 0
    }

    pub fn last(&self) -> bool {
        self.at + 1 == self.known.boxes.len()
    }

    /// The box before or after.
    pub fn beside(&self, by: isize) -> Option<Spot<'c>> {
        let at = self.at.checked_add_signed(by)?;
        (at < self.known.boxes.len()).then_some(Spot { at, ..*self })
    }

    /// The letter that is written next: the e of a split vowel when the box stands inside one.
    pub fn next_letter(&self) -> Option<char> {
        if self.beside(-1).is_some_and(|b| b.letters().contains('_')) {
            return Some('e');
        }
        self.beside(1)?.letters().chars().next()
    }

    /// Whether the next letter is one of these.
    pub fn before_letter(&self, letters: &str) -> bool {
        self.next_letter().is_some_and(|c| letters.contains(c))
    }

    /// Whether it is one short vowel, written with one letter.
    pub fn short(&self) -> bool {
        let name = self.sounds().first().map_or("", |s| s.arpabet());
        let spelt = self.letters();
        self.sounds().len() == 1
            && match spelt {
                "a" => name == "AE",
                "e" => name == "EH",
                "i" | "y" => name == "IH",
                "o" => matches!(name, "AA" | "AO"),
                "u" => matches!(name, "AH" | "UH"),
                _ => false,
            }
    }

    /// Whether a short vowel written with one letter stands right before.
    pub fn after_short(&self) -> bool {
        self.beside(-1).is_some_and(|b| b.short())
    }

    /// Whether there is a vowel in the box.
    pub fn vowel(&self) -> bool {
        self.sounds().iter().any(|s| s.is_vowel())
    }

    pub fn one_syllable(&self) -> bool {
        self.known.syllables == 1
    }

    /// Whether the vowel of the box bears main or second stress.
    pub fn stressed(&self) -> bool {
        self.known.said.stress()[self.known.boxes[self.at].sounds.clone()]
            .iter()
            .any(|&mark| mark > 0)
    }

    pub fn member(&self, heading: String) -> Member {
        Member {
            word: self.known.word.clone(),
            letters: self.letters().to_owned(),
            sounds: self.known.boxes[self.at].sounds.clone(),
            heading,
            zipf: self.known.zipf,
            syllables: self.known.syllables,
        }
    }
}
