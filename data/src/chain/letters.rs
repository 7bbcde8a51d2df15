//! What a changed sound does to the letters.

use super::{Change, Unit};
use crate::lexicon::Pronunciation;
use crate::spelling;

/// The letters over a changed sound.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LetterChange {
    /// Over the sound that goes; `None` when one is added, or when letters cannot be tied to sounds.
    pub from: Option<String>,
    /// Over the sound that comes; likewise.
    pub to: Option<String>,
    /// Whether any other sound is spelled differently in the two words (*kit*, *cat*).
    pub others: bool,
}

/// What a change does to the letters of two words, given the letters over each of their sounds.
pub(super) fn letters(change: &Change, mut was: Vec<String>, mut is: Vec<String>) -> LetterChange {
    let from = change.from.and_then(|_| take(&mut was, change.at));
    let to = change.to.and_then(|_| take(&mut is, change.at));
    LetterChange {
        from,
        to,
        others: was != is,
    }
}

/// The letters over each counted sound; empty when they cannot be told.
pub(super) fn over_units(word: &str, said: &Pronunciation, units: &[Unit]) -> Vec<String> {
    let Some(boxes) = spelling::boxes(word, said.sounds()) else {
        return Vec::new();
    };
    let mut end = 0;
    let spans = units.iter().map(|unit| {
        let start = end;
        end += unit.sounds().count();
        start..end
    });
    let over = |span: std::ops::Range<usize>| {
        let touching = boxes
            .iter()
            .filter(|b| b.sounds.start < span.end && span.start < b.sounds.end);
        touching.map(|b| b.letters.as_str()).collect()
    };
    spans.map(over).collect()
}

fn take(letters: &mut Vec<String>, at: usize) -> Option<String> {
    (at < letters.len()).then(|| letters.remove(at))
}
