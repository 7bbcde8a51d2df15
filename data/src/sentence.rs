//! Sentences for dictation, built from given words.
//!
//! Most are written by hand (`data/tables/dictation.txt`, some 6,100 words), so that each reads naturally and shows which
//! word is meant. For other words a sentence is built from frames: words, what they may be said of and the frames are chosen
//! by hand too (`data/tables/sentences.toml`); as many of the given words as fit go in, the other places are filled with
//! short, common ones. Every word of every sentence is in the dictionary. Built sentences are a little silly at times; none
//! is unkind.
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

mod agree;
mod dice;
mod fill;
mod form;
mod frame;
mod sense;
mod table;
mod written;

use std::collections::HashSet;

use dice::Dice;
use fill::{Built, fill};
use sense::WordSense;
use table::SentenceTable;
use written::Collection;

/// Most sentences that are made at a time.
pub const MOST: usize = 200;
/// Frames that are tried for each sentence.
const TRIES: usize = 64;
/// Frames that are tried where the first few give nothing: *an* needs a vowel after it.
const MANY_TRIES: usize = 640;
/// Given words that are looked at for each sentence; enough for any lesson.
const POOL: usize = 40;

/// One sentence.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Sentence {
    /// 4 to 12 words, a capital letter first, a full stop or a question mark last.
    pub text: String,
    /// Whether a person wrote it; otherwise it was built from a frame and may sound odd.
    pub by_hand: bool,
    /// The given words that stand in it, in small letters, in the order in which they were given; at least one.
    pub uses: Vec<String>,
}

/// What came out.
#[derive(Clone, Debug, PartialEq, Eq, Default)]
pub struct MadeSentences {
    /// No two alike; fewer than asked for only when the given words allow no more, or more than [`MOST`] were asked for.
    pub sentences: Vec<Sentence>,
    /// Given words that have no sentence and no frame, trimmed: for these a family writes its own sentence.
    pub left_out: Vec<String>,
    /// Words that could be used but stand in no sentence, in small letters: more sentences would use them.
    pub unused: Vec<String>,
}

/// Makes up to `count` sentences (at most [`MOST`]) that between them use every given word that can be used, if there are
/// enough of them. A sentence written by hand comes before one that is built. Words not used yet come first; when all are used, they come round again.
///
/// Capitals and blanks around a word do not matter, and a word that is given twice counts once. Regular and irregular forms
/// are known (*foxes*, *mice*, *jumped*, *jumping*, *bigger*). The same arguments give the same sentences; another `seed`
/// gives others. Nothing panics or fails: a text that is no word is left out.
pub fn sentences(words: &[&str], count: usize, seed: u64) -> MadeSentences {
    let table = table::builtin();
    let collection = written::collection();
    let (known, left_out) = sorted_out(table, collection, words);
    let mut maker = Maker {
        table,
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

/// The given words that have a sentence or stand in the table, in small letters, and those that do not, each once.
fn sorted_out(table: &SentenceTable, collection: &Collection, words: &[&str]) -> (Vec<String>, Vec<String>) {
    let (mut known, mut left_out) = (Vec::new(), Vec::new());
    let mut seen = HashSet::new();
    for word in words.iter().map(|word| word.trim()).filter(|word| !word.is_empty()) {
        let small = word.to_lowercase();
        if seen.insert(small.clone()) {
            match collection.has(&small) || table.by_text.contains_key(&small) {
                true => known.push(small),
                false => left_out.push(word.to_owned()),
            }
        }
    }
    (known, left_out)
}

struct Maker<'a> {
    table: &'static SentenceTable,
    collection: &'static Collection,
    dice: Dice,
    known: &'a [String],
    /// Texts that were made already.
    seen: HashSet<String>,
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

    /// Uses every known word once more, as far as `count` goes.
    fn round(&mut self, count: usize, made: &mut Vec<Sentence>) {
        let mut fresh: Vec<&str> = self.known.iter().map(String::as_str).collect();
        self.dice.shuffle(&mut fresh);
        while let Some(word) = fresh.pop().filter(|_| made.len() < count) {
            let by_hand = self.written(word, &fresh);
            let found = by_hand
                .clone()
                .or_else(|| self.best(word, &fresh).map(|b| (b.text, b.words)));
            let Some((text, words)) = found else {
                continue;
            };
            fresh.retain(|word| !words.iter().any(|w| w == word));
            let uses = self.known.iter().filter(|word| words.contains(word)).cloned().collect();
            self.seen.insert(text.clone());
            made.push(Sentence {
                text,
                by_hand: by_hand.is_some(),
                uses,
            });
        }
    }

    /// A sentence written for `word` that was not given yet: one that holds most of the `others`, by chance among equals.
    fn written(&mut self, word: &str, others: &[&str]) -> Option<(String, Vec<String>)> {
        let mut fresh: Vec<_> = self
            .collection
            .of(word)
            .filter(|s| !self.seen.contains(&s.text))
            .collect();
        self.dice.shuffle(&mut fresh);
        let held = |words: &[String]| others.iter().filter(|other| words.iter().any(|w| w == *other)).count();
        let best = fresh.into_iter().max_by_key(|sentence| held(&sentence.words))?;
        Some((best.text.clone(), best.words.clone()))
    }

    /// The best of some sentences with `word`; the rest is filled with `others` where they fit.
    fn best(&mut self, word: &str, others: &[&str]) -> Option<Built> {
        let places = self.places(word);
        let mut pool: Vec<&WordSense> = others
            .iter()
            .rev()
            .take(POOL)
            .flat_map(|other| self.senses(other))
            .collect();
        let mut best: Option<Built> = None;
        for tried in 0..MANY_TRIES.min(MANY_TRIES * places.len()) {
            if tried >= TRIES && best.is_some() {
                break;
            }
            let (word, frame, at) = places[self.dice.below(places.len())];
            self.dice.shuffle(&mut pool);
            let built = fill(self.table, &self.table.frames[frame], (at, word), &pool, &mut self.dice);
            let new = built.filter(|b| !self.seen.contains(&b.text));
            best = match (best, new) {
                (Some(old), Some(new)) if new.score > old.score => Some(new),
                (old, new) => old.or(new),
            };
        }
        best
    }

    fn senses(&self, word: &str) -> impl Iterator<Item = &'static WordSense> {
        let table = self.table;
        table
            .by_text
            .get(word)
            .into_iter()
            .flatten()
            .map(|&place| &table.words[place])
    }

    /// Every place of every frame where some sense of `word` may stand.
    fn places(&self, word: &str) -> Vec<(&'static WordSense, usize, usize)> {
        let mut places = Vec::new();
        for sense in self.senses(word) {
            for (number, frame) in self.table.frames.iter().enumerate() {
                places.extend(frame.takes(sense).map(|at| (sense, number, at)));
            }
        }
        places
    }
}
