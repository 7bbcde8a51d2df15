//! The word's own letters, sound by sound: what would be written if nothing went wrong.

use super::figures::MOST_SOUNDS;
use crate::lexicon::Pronunciation;
use crate::spelling::{self, LetterBox};

/// One of the word's own boxes.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct OwnBox {
    /// As the sound boxes show it: `dge`, `a_e`, `'t`.
    pub shown: String,
    /// Its letters alone; of a split vowel both.
    pub letters: Vec<u8>,
    /// Whether the next box stands between the two letters.
    pub split: bool,
    /// Which sounds it spells; never empty.
    pub sounds: std::ops::Range<usize>,
}

/// All boxes of a word said in one way, in order.
#[derive(Clone, Debug, Default, PartialEq)]
pub(super) struct OwnBoxes {
    pub boxes: Vec<OwnBox>,
}

/// The letters of some boxes in a row, in the order in which the word has them.
pub(super) struct BoxRun {
    pub letters: Vec<u8>,
    /// Number of sounds.
    pub sounds: usize,
    /// For each letter, the box it belongs to, counted from the first of the run.
    pub owner: Vec<usize>,
}

impl OwnBoxes {
    /// The boxes of `word`; `None` where its letters cannot be tied to these sounds.
    pub fn of(word: &str, said: &Pronunciation) -> Option<OwnBoxes> {
        let boxes = spelling::boxes(word, said.sounds())?;
        Some(OwnBoxes {
            boxes: boxes.into_iter().flat_map(apart).map(OwnBox::new).collect(),
        })
    }

    /// The box whose first sound is `sound`.
    pub fn starting(&self, sound: usize) -> Option<&OwnBox> {
        self.boxes.iter().find(|b| b.sounds.start == sound)
    }

    /// The box that holds `sound`.
    pub fn holding(&self, sound: usize) -> Option<&OwnBox> {
        self.boxes.iter().find(|b| b.sounds.contains(&sound))
    }

    /// Letters of the longest box.
    pub fn longest(&self) -> usize {
        self.boxes.iter().map(|b| b.letters.len()).max().unwrap_or(0)
    }

    /// `count` boxes from the one that starts with `sound` on, if they are there and no split vowel reaches into or out of them.
    pub fn run_of_letters(&self, sound: usize, count: usize) -> Option<BoxRun> {
        let first = self.boxes.iter().position(|b| b.sounds.start == sound)?;
        let boxes = self.boxes.get(first..first + count)?;
        let cut = |at: Option<usize>| at.and_then(|at| self.boxes.get(at)).is_some_and(|b| b.split);
        if cut(first.checked_sub(1)) || cut(Some(first + count - 1)) {
            return None;
        }
        let (mut letters, mut owner, mut owed) = (Vec::new(), Vec::new(), None);
        for (number, held) in boxes.iter().enumerate() {
            let shown = if held.split {
                &held.letters[..1]
            } else {
                &held.letters[..]
            };
            letters.extend(shown);
            owner.extend(vec![number; shown.len()]);
            if let Some(vowel) = owed.take() {
                letters.push(b'e');
                owner.push(vowel);
            }
            owed = held.split.then_some(number);
        }
        let sounds = boxes.iter().map(|b| b.sounds.len()).sum();
        Some(BoxRun { letters, sounds, owner })
    }
}

/// The g and the u of *language* apart: each spells its own sound, so each can be kept.
fn apart(held: LetterBox) -> Vec<LetterBox> {
    if held.letters != "gu" || held.sounds.len() != 2 {
        return vec![held];
    }
    let one = |letters: &str, at: usize| LetterBox {
        letters: letters.to_owned(),
        sounds: at..at + 1,
    };
    vec![one("g", held.sounds.start), one("u", held.sounds.start + 1)]
}

impl OwnBox {
    fn new(held: LetterBox) -> OwnBox {
        OwnBox {
            letters: held.letters.bytes().filter(u8::is_ascii_lowercase).collect(),
            split: held.letters.contains('_'),
            shown: held.letters,
            sounds: held.sounds,
        }
    }

    /// Whether these letters begin with all of the box's, one after another.
    pub fn is_plain(&self, letters: &[u8]) -> bool {
        let short = self.sounds.len() <= MOST_SOUNDS && !self.letters.is_empty();
        short && !self.split && letters.starts_with(&self.letters)
    }

    /// A box of letters that were laid on these sounds by force; `a_e` is a split vowel.
    pub fn forced(letters: Vec<u8>, (first, count): (usize, usize)) -> OwnBox {
        OwnBox::new(LetterBox {
            letters: letters.iter().map(|&l| char::from(l)).collect(),
            sounds: first..first + count,
        })
    }

    /// Puts letters that spell nothing behind the others.
    pub fn append(&mut self, letters: &[u8]) {
        self.letters.extend(letters);
        self.shown.extend(letters.iter().map(|&l| char::from(l)));
    }
}
