//! Which letters spell which sounds: the sound boxes of a word.
//!
//! ```
//! use soundbead_data::{lexicon, spelling};
//!
//! let said = lexicon::look_up("chess").unwrap().variants().next().unwrap();
//! let boxes = spelling::boxes("chess", said.sounds()).unwrap();
//! assert_eq!(boxes.iter().map(|b| b.letters.as_str()).collect::<Vec<_>>(), ["ch", "e", "ss"]);
//! ```
//!
//! Every letter is in exactly one box and the boxes are in the order of the sounds. A box mostly holds one sound;
//! it holds two where letters that cannot be divided spell two (x over K S, qu over K W, u over Y UW, the
//! o of *one* over W AH, the le of *little* over AH L). A silent letter shares the box of a neighbour.
//!
//! What English spellings there are is written down by hand (`data/build-lexicon/spellings.txt`); how likely each is
//! at the start, inside and at the end of a word is learned from the dictionary by expectation-maximisation
//! over all ways of dividing each word (`data/build-lexicon/train_spelling.rs`). The likeliest division wins.
//!
//! Where teachers differ, these choices hold (common practice, no source):
//! - Doubled letters are one box (chess, le**tt**er), and so are ck, tch, dge.
//! - A final silent e with one consonant box before it makes a split vowel when the vowel says its name:
//!   m|a_e|k, th|e_e|m, h|o_e|m, c|u_e|t, b|a_e|th, also ch|a_e|s where the e softens nothing; i_e may say IY
//!   (m|a|ch|i_e|n). The same before r, whatever r does to the vowel: c|a_e|r, h|e_e|r, f|i_e|r, m|o_e|r.
//! - Any other silent e goes with the consonant before it: h|a|ve, s|o|me, d|a|n|ce, h|ou|se, ch|a|n|ge, t|a|s|te.
//! - -ed is one box when it says T or D (j|u|m|p|ed, p|l|ay|ed, and b|a|k|ed, not b|a_e|k|d), two when it says IH D
//!   (w|a|n|t|e|d). After i, e, o or u only the d is the ending: c|r|ie|d.
//! - A silent consonant joins its neighbour consonant (kn, wr, gn, mb, st in *listen*, sl in *island*); a silent l or gh
//!   joins its vowel (w|al|k, c|oul|d, n|igh|t, d|augh|t|er); a silent h joins the vowel after it (hou|r).
//! - The i of -tion, -sion, -cial is with the consonant: s|t|a|ti|o|n, v|i|si|o|n, s|p|e|ci|a|l.
//! - The u that keeps a g hard is with the g (gu|e|ss, gu|i_e|d).
//! - A vowel and the r after it are two boxes where the dictionary has two sounds (c|a|r), one where it has ER (b|ir|d).
//! - An apostrophe or hyphen goes with the letter after it (d|o|n|'t).

use std::sync::OnceLock;

use crate::Sound;
use crate::joined;

pub mod lattice;
mod letter_box;

use lattice::Inventory;
pub use letter_box::LetterBox;
pub(crate) use letter_box::places;

/// The learned spellings that come with the program.
fn learned() -> &'static Inventory {
    static LEARNED: OnceLock<Inventory> = OnceLock::new();
    LEARNED.get_or_init(|| {
        Inventory::from_learned(include_str!("../tables/spellings.tsv"))
            .expect("the table is checked by this crate's tests")
    })
}

/// Divides `word` into boxes for the pronunciation `sounds`, in sound order.
///
/// Capitals are read as small letters. `None` when the spelling cannot be told from the sounds: the word has signs other
/// than the 26 letters, apostrophe and hyphen, or its letters do not spell these sounds in any way the
/// inventory knows (*mr*, *colonel*). Takes about a microsecond for a common word.
pub fn boxes(word: &str, sounds: &[Sound]) -> Option<Vec<LetterBox>> {
    boxes_with(learned(), word, sounds)
}

/// How likely it is that the small letters of `word` (a to z) spell `sounds`: the log-likelihood (natural) of the likeliest
/// division, or `None` when there is none.
pub(crate) fn fit(word: &str, sounds: &[Sound]) -> Option<f32> {
    learned().best(word.as_bytes(), sounds, &[]).map(|(_, log)| log)
}

/// [`boxes`] with another inventory (for measuring one).
pub fn boxes_with(inventory: &Inventory, word: &str, sounds: &[Sound]) -> Option<Vec<LetterBox>> {
    let word = word.to_lowercase().replace(['\u{2019}', '\u{02bc}'], "'");
    if !word.bytes().all(|b| b.is_ascii_lowercase() || b == b'\'' || b == b'-') {
        return None;
    }
    let letters: Vec<u8> = word.bytes().filter(u8::is_ascii_lowercase).collect();
    let path = inventory.best_path(&letters, sounds, &[])?;
    let path = match seams_across(inventory, &path, &word) {
        // Letters of two parts are in one box only where there is no other way.
        seams if !seams.is_empty() => {
            let along = |seams: &[usize]| inventory.best_path(&letters, sounds, seams);
            // One sound over a doubled letter (the mm of im-mediate) must not keep the other seams from being heeded.
            let single = || along(&outside_doubled(&letters, &seams));
            along(&seams).or_else(single).unwrap_or(path)
        }
        _ => path,
    };
    let mut made = BoxBuilder {
        word: word.as_bytes(),
        at: 0,
        sound: 0,
        boxes: Vec::new(),
        owed: None,
    };
    path.iter().for_each(|&unit| made.push(inventory.unit(unit)));
    Some(made.finish())
}

/// The seams that do not part a doubled letter.
fn outside_doubled(letters: &[u8], seams: &[usize]) -> Vec<usize> {
    let parts = |at: &&usize| at.checked_sub(1).and_then(|before| letters.get(before)) != letters.get(**at);
    seams.iter().filter(parts).copied().collect()
}

/// The letters before which a part of the word begins, if the path has a unit that may lie across one; looking for parts takes
/// many times as long as finding a path, so it is not done for a word whose units are all plain.
fn seams_across(inventory: &Inventory, path: &[usize], word: &str) -> Vec<usize> {
    let mut seams: Vec<usize> = ending_after_mark(word).into_iter().collect();
    let last = path.len().saturating_sub(1);
    let doubtful = |(i, &number): (usize, &usize)| {
        let unit = inventory.unit(number);
        let vowel = |at: Option<&u8>| at.is_some_and(|b| b"aeiouy".contains(b));
        let bytes = unit.letters.as_bytes();
        let takes_e = bytes.len() > 1 && bytes[0] == b'e' && (vowel(bytes.get(1)) || !unit.sounds[0].is_vowel());
        let silent_e = unit.split || (unit.only == lattice::Only::Final && bytes.len() > 1);
        (silent_e && i + 2 < last) || (takes_e && i > 0 && i < last)
    };
    if path.iter().enumerate().any(doubtful) {
        seams.extend(joined::walls(word));
    }
    seams
}

/// The first letter of 've, 'll, 're, 's, 'd or 'm: what stands before is a word of its own.
fn ending_after_mark(word: &str) -> Option<usize> {
    let (front, back) = word.split_once('\'')?;
    let ending = matches!(back, "ve" | "ll" | "re" | "s" | "d" | "m");
    ending.then(|| front.bytes().filter(u8::is_ascii_lowercase).count())
}

/// The boxes made so far from the front of a word.
struct BoxBuilder<'w> {
    word: &'w [u8],
    at: usize,
    sound: usize,
    boxes: Vec<LetterBox>,
    /// The box of a split vowel whose e is still to come, once the next box is done.
    owed: Option<usize>,
}

impl BoxBuilder<'_> {
    fn push(&mut self, unit: &lattice::Grapheme) {
        let waiting = self.owed.take();
        let end = self.sound + unit.sounds.len();
        let len = if unit.split { 1 } else { unit.letters.len() };
        let letters = self.take(len);
        self.boxes.push(LetterBox {
            letters,
            sounds: self.sound..end,
        });
        self.sound = end;
        if let Some(vowel) = waiting {
            let e = self.take(1);
            self.boxes[vowel]
                .letters
                .push_str(&e.replace(|c: char| !c.is_ascii_lowercase(), ""));
            // A hyphen or apostrophe before the e would break the box's writing, so it stays with the consonant.
            let marks: String = e.chars().filter(|c| !c.is_ascii_lowercase()).collect();
            self.boxes[vowel + 1].letters.push_str(&marks);
        }
        if unit.split {
            self.boxes.last_mut().expect("just pushed").letters.push('_');
            self.owed = Some(self.boxes.len() - 1);
        }
    }

    /// The next `count` letters with the marks before and between them.
    fn take(&mut self, count: usize) -> String {
        let (mut text, mut left) = (String::new(), count);
        while left > 0 {
            let byte = self.word[self.at];
            left -= usize::from(byte.is_ascii_lowercase());
            text.push(char::from(byte));
            self.at += 1;
        }
        text
    }

    fn finish(mut self) -> Vec<LetterBox> {
        // A mark at the very end (dogs') has no letter after it.
        let rest = self.word[self.at..].iter().map(|&b| char::from(b));
        if let Some(last) = self.boxes.last_mut() {
            last.letters.extend(rest);
        }
        self.boxes
    }
}

#[cfg(test)]
mod tests;
