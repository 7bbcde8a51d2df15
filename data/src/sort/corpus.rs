//! The word list with the letters of each sound and the parts of each word, and a look at one place in a word.

use std::collections::HashMap;

use super::Member;
use crate::Sound;
use crate::chain::{WordList, common};
use crate::lexicon::Pronunciation;
use crate::parts::{self, Apart, Ending, Role};
use crate::spelling::{self, LetterBox};

/// A word with its boxes and parts.
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
    /// Its parts.
    pub apart: Apart,
    /// The word and ending that it is made from.
    pub ending: Option<Ending>,
    /// For each box, the places of its letters in the word.
    places: Vec<Vec<usize>>,
}

impl Known {
    /// Whether it is a form of another word (-s, -ed, -ing, -er or -est of comparing), so that its spelling is the other's.
    pub fn inflected(&self) -> bool {
        self.ending.as_ref().is_some_and(Ending::inflects)
    }
}

/// A word list made ready for sorting. A word whose letters cannot be tied to its sounds is left out.
pub struct Corpus {
    words: Vec<Known>,
    by_word: HashMap<String, usize>,
}

impl Corpus {
    /// Divides every word of the list into its boxes and its parts. Takes a second or two for the common words.
    pub fn new(list: &WordList) -> Corpus {
        let known = list.words().into_iter().filter_map(|listed| {
            let said = listed.variants.into_iter().next()?;
            let boxes = spelling::boxes(&listed.spelling, said.sounds())?;
            Some(Known {
                places: parts::places(&boxes),
                boxes,
                syllables: said.sounds().iter().filter(|s| s.is_vowel()).count(),
                apart: parts::take_apart(&listed.spelling),
                ending: parts::ending(&listed.spelling),
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

    /// Whether the box spells one of these rows of sounds.
    pub fn says_any(&self, rows: &[&str]) -> bool {
        rows.iter().any(|row| self.says(row))
    }

    pub fn first(&self) -> bool {
        self.at == 0
    }

    pub fn last(&self) -> bool {
        self.at + 1 == self.known.boxes.len()
    }

    /// Whether the box's letters end the word or a part of it: the ay of *play* and of *player*.
    pub fn ends(&self) -> bool {
        let after = self.known.places[self.at].last().map_or(0, |p| p + 1);
        // The end of a base that is no word alone (dic of diction) is no place that a child can see.
        let pieces = self.known.apart.pieces.iter();
        let mut words = pieces.filter(|p| p.role == Role::Base && common(&p.text));
        self.last() || (!self.letters().contains('_') && words.any(|p| p.letters.end == after))
    }

    /// The box before or after.
    pub fn beside(&self, by: isize) -> Option<Spot<'c>> {
        let at = self.at.checked_add_signed(by)?;
        (at < self.known.boxes.len()).then_some(Spot { at, ..*self })
    }

    /// Whether it stands inside a split vowel: the k of *make*.
    pub fn in_split(&self) -> bool {
        self.beside(-1).is_some_and(|b| b.letters().contains('_'))
    }

    /// The letters, with the e of a split vowel where that e also says how they sound: the ce of *face*, the ge of *age*.
    pub fn with_e(&self) -> String {
        let marked = ["c", "g", "s", "z", "v"].contains(&self.letters());
        let e = if marked && self.in_split() { "e" } else { "" };
        format!("{}{e}", self.letters())
    }

    /// The letter that is written next: the e of a split vowel when the box stands inside one.
    pub fn next_letter(&self) -> Option<char> {
        if self.in_split() {
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
                // The a of want and watch is short too.
                "a" => name == "AE" || (matches!(name, "AA" | "AO") && self.after_w()),
                "e" => name == "EH",
                "i" | "y" => name == "IH",
                "o" => matches!(name, "AA" | "AO"),
                "u" => matches!(name, "AH" | "UH"),
                _ => false,
            }
    }

    /// Whether a w sound (w, wh, qu) is written right before.
    pub fn after_w(&self) -> bool {
        self.beside(-1)
            .is_some_and(|b| b.sounds().last().is_some_and(|s| s.arpabet() == "W") && !b.vowel())
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

    /// The word that this one is made from, where it is in the list.
    pub fn base(&self) -> Option<(&'c Ending, &'c Known)> {
        let ending = self.known.ending.as_ref()?;
        Some((ending, self.corpus.word(&ending.base)?))
    }

    pub fn member(&self, heading: String) -> Member {
        Member {
            word: self.known.word.clone(),
            letters: self.letters().to_owned(),
            sounds: self.known.boxes[self.at].sounds.clone(),
            heading,
            zipf: self.known.zipf,
            syllables: self.known.syllables,
            rule: None,
        }
    }
}
