//! Sentences for dictation.
//!
//! All are written by hand (`data/tables/dictation.txt`, some 6,600 words), so that each reads naturally and shows which word
//! is meant. A word of which nobody wrote gets none, and the answer says so. Putting words into frames was tried for
//! these and for more sentences of a word; about half of 200 such sentences read oddly, so it was given up.
//!
//! ```
//! use soundbead_data::sentence::sentences;
//!
//! let made = sentences(&["fox", "duck", "hopped", "itch", "Snorb"], 4, 7);
//! assert_eq!(made.sentences.len(), 4);
//! assert!(made.sentences[0].text.ends_with('.') && !made.sentences[0].uses.is_empty());
//! assert_eq!(made.left_out, ["Snorb"]);
//! assert!(made.unused.is_empty());
//! ```

pub mod aloud;
mod dice;
mod written;

use std::collections::HashSet;

use dice::Dice;
use written::{Collection, WrittenSentence};

use crate::lexicon::Pronunciation;
use crate::which;

/// Most sentences that are given at a time.
pub const MOST: usize = 200;

/// One sentence.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Sentence {
    /// 4 to 12 words, a capital letter first, a full stop or a question mark last.
    pub text: String,
    /// The given words that stand in it, in small letters, in the order in which they were given; at least one.
    pub uses: Vec<String>,
}

/// What came out.
#[derive(Clone, Debug, PartialEq, Eq, Default)]
pub struct MadeSentences {
    /// No two alike; fewer than asked for only when no more are written with the given words, or more than [`MOST`] were
    /// asked for.
    pub sentences: Vec<Sentence>,
    /// Given words that have no sentence, trimmed: for these a family writes its own.
    pub left_out: Vec<String>,
    /// Words that have a sentence but stand in none of these, in small letters: more sentences would use them.
    pub unused: Vec<String>,
}

/// Finds up to `count` sentences (at most [`MOST`]) that between them use every given word that has one, if there are
/// enough of them. Words not used yet come first; when all are used, they come round again. For each word the sentences
/// that were written for it come before those in which it happens to stand.
///
/// Capitals and blanks around a word do not matter, and a word that is given twice counts once. The same arguments give the
/// same sentences; another `seed` gives others. Nothing panics or fails: a text that is no word is left out.
pub fn sentences(words: &[&str], count: usize, seed: u64) -> MadeSentences {
    let collection = written::collection();
    let (known, left_out) = sorted_out(collection, words);
    let mut maker = Maker {
        collection,
        dice: Dice::new(seed),
        known: &known,
        seen: HashSet::new(),
    };
    let made = maker.make(count.min(MOST));
    let used: HashSet<&String> = made.iter().flat_map(|sentence| &sentence.uses).collect();
    let unused = known.iter().filter(|word| !used.contains(word)).cloned().collect();
    MadeSentences {
        sentences: made,
        left_out,
        unused,
    }
}

/// A sentence in which `word` is said as `said`, written for it if there is one; none where nobody wrote one. Of a word that is
/// said in one way only, any of its sentences. Another `seed` gives another.
///
/// ```
/// use soundbead_data::{sentence, which};
///
/// let ways = which::ask("wind").unwrap();
/// let turned = sentence::said_so("wind", &ways[1].said, 0).unwrap();
/// assert_eq!(turned, "Please wind the string around your hand.");
/// ```
pub fn said_so(word: &str, said: &Pronunciation, seed: u64) -> Option<&'static str> {
    let word = word.trim().to_lowercase();
    let way = which::ask(&word).map(|ways| ways.iter().position(|way| way.said.sounds() == said.sounds()));
    let collection = written::collection();
    let mut dice = Dice::new(seed);
    let mut draw = |among: Vec<&'static WrittenSentence>| {
        let fit = |sentence: &&WrittenSentence| way.is_none_or(|way| way.is_some() && sentence.way(&word) == way);
        let fitting: Vec<_> = among.into_iter().filter(fit).collect();
        (!fitting.is_empty()).then(|| fitting[dice.below(fitting.len())].text.as_str())
    };
    draw(collection.written_for(&word).collect()).or_else(|| draw(collection.in_passing(&word).collect()))
}

/// The given words that have a sentence, in small letters, and those that do not, each once.
fn sorted_out(collection: &Collection, words: &[&str]) -> (Vec<String>, Vec<String>) {
    let (mut known, mut left_out) = (Vec::new(), Vec::new());
    let mut seen = HashSet::new();
    for word in words.iter().map(|word| word.trim()).filter(|word| !word.is_empty()) {
        let small = word.to_lowercase();
        if seen.insert(small.clone()) {
            match collection.has(&small) {
                true => known.push(small),
                false => left_out.push(word.to_owned()),
            }
        }
    }
    (known, left_out)
}

struct Maker<'a> {
    collection: &'static Collection,
    dice: Dice,
    known: &'a [String],
    /// Texts that were given already.
    seen: HashSet<&'static str>,
}

impl Maker<'_> {
    fn make(&mut self, count: usize) -> Vec<Sentence> {
        let mut made: Vec<Sentence> = Vec::new();
        while made.len() < count {
            let before = made.len();
            self.round(count, &mut made);
            if made.len() == before {
                break;
            }
        }
        made
    }

    /// Uses every known word once more, as far as `count` goes and there are sentences.
    fn round(&mut self, count: usize, made: &mut Vec<Sentence>) {
        let mut fresh: Vec<&str> = self.known.iter().map(String::as_str).collect();
        self.dice.shuffle(&mut fresh);
        while let Some(word) = fresh.pop().filter(|_| made.len() < count) {
            let Some(found) = self.find(word, &fresh) else {
                continue;
            };
            fresh.retain(|word| !found.words.iter().any(|w| w == word));
            let uses = self.known.iter().filter(|word| found.words.contains(word));
            self.seen.insert(&found.text);
            made.push(Sentence {
                text: found.text.clone(),
                uses: uses.cloned().collect(),
            });
        }
    }

    /// A sentence with `word` that was not given yet, if one is left: one that was written for it if possible, and of these
    /// one that holds most of the `others`, by chance among equals.
    fn find(&mut self, word: &str, others: &[&str]) -> Option<&'static WrittenSentence> {
        let collection = self.collection;
        self.pick(collection.written_for(word), others)
            .or_else(|| self.pick(collection.in_passing(word), others))
    }

    fn pick(
        &mut self,
        among: impl Iterator<Item = &'static WrittenSentence>,
        others: &[&str],
    ) -> Option<&'static WrittenSentence> {
        let mut fresh: Vec<_> = among.filter(|s| !self.seen.contains(s.text.as_str())).collect();
        self.dice.shuffle(&mut fresh);
        let held = |words: &[String]| others.iter().filter(|other| words.iter().any(|w| w == *other)).count();
        fresh.into_iter().max_by_key(|sentence| held(&sentence.words))
    }
}
