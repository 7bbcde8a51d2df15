//! What to teach next: the choices that a writer of English has to make, their order, where a child stands, and a week's lesson.
//!
//! Pure: evidence in, proposal out. No clock and no files; a day is a number that the caller counts.
//!
//! ```
//! use soundbead_data::course::{Choice, CourseWords, set};
//!
//! let words = CourseWords::builtin();
//! let first = set(words, 0);
//! assert!((25..=40).contains(&first.len()));
//! assert!(words.get("jumped").unwrap().meets(Choice::EdEnding));
//! ```
//!
//! - [`Choice`]: what is chosen (ck, k or c; whether to double), and which choices come before which.
//! - [`CourseWords`]: the common words, each with the choices that it meets; [`CourseWords::known`] also of rarer ones, which are
//!   evidence once they were written.
//! - [`CourseWord::shows`] and [`CourseWord::fits`]: which of them lessons teach with.
//! - [`set`]: the words to write, so that every choice is met in three words at least; [`Sitting`] asks them and stops early.
//! - [`standing`]: in how many words each choice was met, and kept at the latest try and at the first; with an interval.
//! - [`due`], [`secure`], [`propose`]: what comes again today, what is known for good, what the week holds.

mod choice;
mod plain;
mod plan;
mod sitting;
mod small;
mod standing;
mod turns;
mod words;

pub use choice::Choice;
pub use plan::{NamedChoices, Proposal, due, propose, secure, taught};
pub use sitting::{Sitting, set};
pub use small::is_function_word;
pub use standing::{ShareInterval, Standing, interval, standing};
pub use turns::varied;
pub use words::{CourseWord, CourseWords};

use crate::writing::SpellingAnalysis;

/// One word written on one day, without help: of the tries at it in that sitting, the first.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct WrittenTry {
    /// Day number, counted by the caller; later days are higher.
    pub day: i64,
    /// The word, in small letters.
    pub word: String,
    /// For each choice that the word meets, whether the word's own letters were kept.
    pub kept: Vec<(Choice, bool)>,
}

impl WrittenTry {
    /// What a misspelling (or the word written right) shows of the choices that the word meets; `None` for a word of which
    /// [`CourseWords::known`] has none.
    pub fn of(day: i64, reading: &SpellingAnalysis) -> Option<WrittenTry> {
        let entry = CourseWords::known(&reading.word)?;
        // Ways of saying it that differ in weak vowels alone have their sounds in the same places. Of a family's own way nothing
        // is known but whether the whole word was right.
        let alike = reading.of() == entry.said.sounds().len();
        let kept = |range: &std::ops::Range<usize>| match alike {
            true => reading.kept_at(range.clone()),
            false => reading.right(),
        };
        Some(WrittenTry {
            day,
            word: reading.word.clone(),
            kept: entry.met.iter().map(|(choice, at)| (*choice, kept(at))).collect(),
        })
    }

    /// Whether every choice was kept.
    pub fn right(&self) -> bool {
        self.kept.iter().all(|(_, kept)| *kept)
    }
}

#[cfg(test)]
mod tests;
