//! A box of letters, and where in its word they stand.

use std::ops::Range;

/// One box: the letters that spell one sound, or two that cannot be parted (seldom three: the u of *february*).
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LetterBox {
    /// The letters, small, with any apostrophe or hyphen; `a_e` for a split vowel, whose consonant is the next box.
    pub letters: String,
    /// Which of the word's sounds they spell; never empty.
    pub sounds: Range<usize>,
}

/// For each box, the places of its letters in the word.
pub(crate) fn places(boxes: &[LetterBox]) -> Vec<Vec<usize>> {
    let (mut at, mut owed) = (0, None);
    let mut places: Vec<Vec<usize>> = Vec::new();
    for (number, b) in boxes.iter().enumerate() {
        let waiting: Option<usize> = owed.take();
        let front = b.letters.split('_').next().unwrap_or_default().len();
        places.push((at..at + front).collect());
        at += front;
        if let Some(split) = waiting {
            places[split].push(at);
            at += 1;
        }
        if b.letters.contains('_') {
            owed = Some(number);
        }
    }
    places
}
