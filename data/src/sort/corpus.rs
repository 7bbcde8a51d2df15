//! The word list with the letters of each sound and the parts of each word, and a look at one place in a word.

use std::collections::HashMap;

use super::Member;
use crate::Sound;
use crate::chain::{Listed, WordList, common};
use crate::lexicon::Pronunciation;
use crate::parts::{self, DividedWord, Ending, Joins, Piece, PieceRole};
use crate::rule::Fire;
use crate::spelling::{self, LetterBox};
use crate::{syllable, which};

/// A word with its boxes and parts.
#[derive(Clone, Debug, PartialEq)]
pub struct CorpusWord {
    /// In small letters.
    pub word: String,
    /// The way of being said that is meant here.
    pub said: Pronunciation,
    /// Which of the word's ways that is: 0 for the first, more for the others of a word that is said in several (*wind*).
    pub way: usize,
    /// Its letters over its sounds.
    pub boxes: Vec<LetterBox>,
    /// How common it is; see [`crate::lexicon::Entry::zipf`].
    pub zipf: f32,
    /// Its syllables; *fire* and *hour* have one, as in [`crate::rule::Fire::One`].
    pub syllables: usize,
    /// Its parts.
    pub apart: DividedWord,
    /// The word and ending that it is made from.
    pub ending: Option<Ending>,
    /// For each box, the places of its letters in the word.
    places: Vec<Vec<usize>>,
}

impl CorpusWord {
    /// Whether it is a form of another word (-s, -ed, -ing, -er or -est of comparing), so that its spelling is the other's.
    pub fn inflected(&self) -> bool {
        self.ending.as_ref().is_some_and(Ending::inflects)
    }

    /// Whether box `at` of another way of saying this word has the same letters over the same sounds here.
    pub(super) fn does_the_same(&self, other: &CorpusWord, at: usize) -> bool {
        let wanted = &other.boxes[at];
        let sounds = |known: &CorpusWord, b: &LetterBox| known.said.sounds()[b.sounds.clone()].to_vec();
        let same = |b: &LetterBox| b == wanted && sounds(self, b) == sounds(other, wanted);
        self.boxes.iter().any(same)
    }
}

/// A word list made ready for sorting. A word whose letters cannot be tied to its sounds is left out.
pub struct Corpus {
    words: Vec<CorpusWord>,
    /// The further ways of words that mean two things (*wind*, *close*), each with its own sounds.
    others: Vec<CorpusWord>,
    by_word: HashMap<String, usize>,
}

impl Corpus {
    /// Divides every word of the list into its boxes and its parts. Takes a second or two for the common words.
    pub fn new(list: &WordList) -> Corpus {
        let (mut words, mut others) = (Vec::new(), Vec::new());
        for listed in list.words() {
            let mut ways = ways(&listed);
            if ways.is_empty() {
                continue;
            }
            others.extend(ways.split_off(1));
            words.append(&mut ways);
        }
        let by_word = words.iter().enumerate();
        let by_word = by_word
            .map(|(i, k): (usize, &CorpusWord)| (k.word.clone(), i))
            .collect();
        Corpus { words, others, by_word }
    }

    /// The words, in the list's order.
    pub fn words(&self) -> &[CorpusWord] {
        &self.words
    }

    /// The words with every way of saying those that mean two things: *wind* stands twice.
    pub(super) fn ways(&self) -> impl Iterator<Item = &CorpusWord> {
        self.words.iter().chain(&self.others)
    }

    /// The word of a member of a sort, said as it is there; `None` for a word that the list lacks.
    pub fn known(&self, member: &Member) -> Option<&CorpusWord> {
        let same = |k: &&CorpusWord| k.word == member.word && k.way == member.way;
        match member.way {
            0 => self.word(&member.word),
            _ => self.others.iter().find(same),
        }
    }

    /// The word of this spelling, said in its first way.
    pub fn word(&self, spelling: &str) -> Option<&CorpusWord> {
        self.by_word.get(spelling).map(|&i| &self.words[i])
    }
}

/// A listed word in its first way of being said and in the others in which it means something else; none where its letters
/// cannot be tied to its sounds.
fn ways(listed: &Listed) -> Vec<CorpusWord> {
    let meant = which::ask(&listed.spelling).unwrap_or_default();
    let means_more = |said: &Pronunciation| meant.iter().any(|way| way.said.sounds() == said.sounds());
    let variants = listed.variants.iter().enumerate();
    let chosen = variants.filter(|(number, said)| *number == 0 || means_more(said));
    let known = chosen.filter_map(|(_, said)| known(listed, said));
    let mut found: Vec<CorpusWord> = known.collect();
    for (way, known) in found.iter_mut().enumerate() {
        known.way = way;
    }
    found
}

fn known(listed: &Listed, said: &Pronunciation) -> Option<CorpusWord> {
    let boxes = spelling::boxes(&listed.spelling, said.sounds())?;
    Some(CorpusWord {
        syllables: syllable::count(&listed.spelling, said, Fire::One),
        places: spelling::places(&boxes),
        boxes,
        apart: parts::take_apart(&listed.spelling),
        ending: parts::ending(&listed.spelling),
        word: listed.spelling.to_string(),
        zipf: listed.zipf,
        said: said.clone(),
        way: 0,
    })
}

/// Whether box `at` is the weak er of *fire*: an r without a vowel letter of its own, right behind a moving vowel.
fn is_tail_of_fire(boxes: &[LetterBox], sounds: &[Sound], at: usize) -> bool {
    let said = |at: usize| sounds[boxes[at].sounds.start].arpabet();
    let bare = matches!(boxes[at].letters.as_str(), "r" | "re") && said(at) == "ER";
    bare && at > 0 && matches!(said(at - 1), "AY" | "AW")
}

/// Box `at` of a word.
#[derive(Clone, Copy)]
pub(super) struct BoxSpot<'c> {
    pub corpus: &'c Corpus,
    pub known: &'c CorpusWord,
    pub at: usize,
}

impl<'c> BoxSpot<'c> {
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
        let mut words = pieces.filter(|p| p.role == PieceRole::Base && common(&p.text));
        // Nor is a letter that the end of the base was changed to: the i of *happiness*.
        let letters = self.letters();
        let doubled = letters.len() == 2 && letters[..1] == letters[1..];
        let kept = |p: &Piece| p.text.ends_with(letters) || (doubled && p.text.ends_with(&letters[..1]));
        self.last() || (!self.letters().contains('_') && words.any(|p| p.letters.end == after && kept(p)))
    }

    /// Whether the box begins a later part of its word: the ch of *discharge*.
    pub fn begins_part(&self) -> bool {
        let first = self.known.places[self.at].first();
        first.is_some_and(|first| self.known.apart.seams().any(|seam| seam == *first))
    }

    /// Whether two parts meet inside the box: the ll of *really*.
    pub fn over_seam(&self) -> bool {
        let places = &self.known.places[self.at];
        self.known
            .apart
            .seams()
            .any(|seam| places.iter().skip(1).any(|p| *p == seam))
    }

    /// Whether the box is the last consonant of a word that stands in the word by itself, before another or before an ending
    /// that joins words: the n of *own* in *owner*, the k of *make* in *makeup*.
    pub fn closes_word(&self) -> bool {
        let after = self.known.places[self.at].last().map_or(0, |p| p + 1);
        let split = usize::from(self.in_split());
        self.known.apart.pieces.windows(2).any(|two| {
            let words = |p: &Piece| {
                p.part
                    .is_none_or(|part| part.joins == Some(Joins::Words) || part.joins.is_none())
            };
            let here = two[0].letters.end == after || two[0].letters.end == after + split;
            here && two[0].role == PieceRole::Base && common(&two[0].text) && words(&two[1])
        })
    }

    /// The box before or after.
    pub fn beside(&self, by: isize) -> Option<BoxSpot<'c>> {
        let at = self.at.checked_add_signed(by)?;
        (at < self.known.boxes.len()).then_some(BoxSpot { at, ..*self })
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

    /// Whether the box is the weak er of *fire*, which is no beat of its own.
    pub fn tail_of_fire(&self) -> bool {
        is_tail_of_fire(&self.known.boxes, self.known.said.sounds(), self.at)
    }

    /// Whether the vowel of the box bears main or second stress.
    pub fn stressed(&self) -> bool {
        self.known.said.stress()[self.known.boxes[self.at].sounds.clone()]
            .iter()
            .any(|&mark| mark > 0)
    }

    /// The word that this one is made from, where it is in the list.
    pub fn base(&self) -> Option<(&'c Ending, &'c CorpusWord)> {
        let ending = self.known.ending.as_ref()?;
        Some((ending, self.corpus.word(&ending.base)?))
    }

    pub fn member(&self, heading: String) -> Member {
        Member {
            word: self.known.word.clone(),
            letters: self.letters().to_owned(),
            sounds: self.known.boxes[self.at].sounds.clone(),
            heading,
            way: self.known.way,
            zipf: self.known.zipf,
            syllables: self.known.syllables,
            rule: None,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// One word a spelling, in the list's order, each found again by its spelling; what has two ways stands once here.
    #[test]
    fn the_words_are_those_of_the_list() {
        let list = WordList::default();
        let corpus = Corpus::new(&list);
        let spelled: Vec<&str> = corpus.words().iter().map(|k| k.word.as_str()).collect();
        for common in ["cat", "wind", "ship", "rabbit"] {
            assert_eq!(spelled.iter().filter(|w| **w == common).count(), 1, "{common}");
        }
        let listed = list.words();
        let mut rest = listed.iter();
        for known in corpus.words() {
            assert!(
                rest.any(|l| l.spelling == known.word),
                "{} is not where the list has it",
                known.word
            );
            assert_eq!(corpus.word(&known.word).map(|k| &k.word), Some(&known.word));
        }
        assert!(corpus.ways().count() > corpus.words().len());
    }

    /// Common practice, no source.
    #[test]
    fn a_vowel_is_short_by_its_letter_and_its_sound() {
        let corpus = Corpus::new(&WordList::default());
        let short = |word: &str| {
            let known = corpus.word(word).unwrap();
            let spots = (0..known.boxes.len()).map(|at| BoxSpot {
                corpus: &corpus,
                known,
                at,
            });
            let vowel = spots.into_iter().find(BoxSpot::vowel).unwrap();
            vowel.short()
        };
        for word in ["cat", "want", "bed", "pig", "gym", "dog", "cup", "push"] {
            assert!(short(word), "{word}");
        }
        for word in [
            "baby", "ball", "he", "kind", "my", "go", "music", "head", "boat", "cake",
        ] {
            assert!(!short(word), "{word}");
        }
    }
}
