//! What is done with one word of a lesson.

use std::sync::Arc;

use soundbead_dsp::judgement::{Judgement, Speaking, Verdict};

use super::picture::Picture;
use crate::notebook::{Author, Id};
use crate::recorder::Take;

/// Where the child is with a word.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub enum Step {
    /// Hears it and puts down a bead for each sound, then says it back.
    #[default]
    Beads,
    /// Looks at the three counts and listens again.
    Look,
    /// Shows which sound changed since the word before.
    Which,
    /// Writes the letters of each sound.
    Letters,
}

/// What a try has come to with the ear.
#[derive(Clone, Debug)]
pub enum Heard {
    /// The ear's judgement.
    Judged(Box<Judgement>),
    /// The ear could not judge it; its own line.
    Not(String),
}

/// Whether a try is in the notebook.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Kept {
    /// As this attempt.
    As(Id),
    /// There is no learner in hand, so nothing is kept.
    Nowhere,
    /// It could not be written; why.
    Failed(String),
}

/// One recording of a word and what was heard in it.
#[derive(Clone, Debug)]
pub struct Try {
    /// Tells it from the lesson's other recordings; the lesson gives it.
    pub number: u64,
    /// The recording.
    pub take: Take,
    /// How it was to be said.
    pub speaking: Speaking,
    /// What the ear made of it.
    pub heard: Heard,
    /// Its waveform and spectrogram.
    pub picture: Picture,
    /// Where it is kept.
    pub kept: Kept,
}

impl Try {
    /// The judgement, if there is one.
    pub fn judgement(&self) -> Option<&Judgement> {
        match &self.heard {
            Heard::Judged(judgement) => Some(judgement),
            Heard::Not(_) => None,
        }
    }
}

/// Which bead the child says changed, and whether it is the one.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Pointed {
    /// The bead, from 0: on the earlier word's string for a sound that went, on this word's for any other.
    pub at: usize,
    /// Whether it is the one that changed.
    pub right: bool,
}

/// What has been done with one word.
#[derive(Clone, Debug, Default)]
pub struct Work {
    /// Where the child is.
    pub step: Step,
    /// Beads on the string.
    pub beads: usize,
    /// The latest recording.
    pub latest: Option<Arc<Try>>,
    /// A person's ruling on it, and whose it is.
    pub ruling: Option<(Verdict, Author)>,
    /// What the child says changed.
    pub pointed: Option<Pointed>,
    /// The letters in each box; empty until something is typed.
    pub letters: Vec<String>,
    /// Whether the letters were looked at since they changed.
    pub checked: bool,
}

impl Work {
    /// Whether the child has answered anything that is to be kept, with or without a recording.
    pub fn answered(&self) -> bool {
        let counted = self.beads > 0 && self.step != Step::Beads;
        counted || self.pointed.is_some() || self.letters.iter().any(|t| !t.is_empty())
    }

    /// Whether anything has been done.
    pub(super) fn begun(&self) -> bool {
        self.beads > 0 || self.latest.is_some() || self.step != Step::Beads
    }
}
