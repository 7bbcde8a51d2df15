//! What is done with one word of a lesson.

use std::sync::Arc;

use serde::{Deserialize, Serialize};
use soundbead_dsp::judgement::{Judgement, Speaking, Verdict};

use super::picture::Picture;
use super::task::Task;
use crate::notebook::{Author, Cued, Id};
use crate::recorder::Take;

/// Where the child is with a word.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub enum WordStep {
    /// Hears it and puts down a bead for each sound, then says it back.
    #[default]
    Beads,
    /// Looks at the beads beside the recording, listens again, and may put the beads right.
    Look,
    /// Shows which sound changed since the word before.
    Which,
    /// Writes the letters of each sound.
    Letters,
}

/// What a try has come to with the ear.
#[derive(Clone, Debug)]
pub enum EarOutcome {
    /// The ear's judgement.
    Judged(Box<Judgement>),
    /// The ear could not judge it; its own line.
    Not(String),
}

/// Whether a try is in the notebook.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum TryKept {
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
    /// Whether help came before it; none where nobody knows, as for a file.
    pub cued: Option<Cued>,
    /// What the ear made of it.
    pub heard: EarOutcome,
    /// Another whole word, where that was clearly said in its place.
    pub other_word: Option<String>,
    /// Its waveform and spectrogram.
    pub picture: Picture,
    /// Where it is kept.
    pub kept: TryKept,
}

impl Try {
    /// The judgement, if there is one.
    pub fn judgement(&self) -> Option<&Judgement> {
        match &self.heard {
            EarOutcome::Judged(judgement) => Some(judgement),
            EarOutcome::Not(_) => None,
        }
    }
}

/// Which bead the child says changed, and whether it is the one.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct PointedBead {
    /// The bead, from 0: on the earlier word's string for a sound that went, on this word's for any other.
    pub at: usize,
    /// Whether that string is the earlier word's.
    pub earlier: bool,
    /// Whether it is the one that changed.
    pub right: bool,
}

/// What has been done with one word.
#[derive(Clone, Debug, Default)]
pub struct WordWork {
    /// Where the child is.
    pub step: WordStep,
    /// Beads on the string.
    pub beads: usize,
    /// How many sounds the word has.
    pub count: Task<usize>,
    /// The latest recording.
    pub latest: Option<Arc<Try>>,
    /// A person's ruling on it, and whose it is.
    pub ruling: Option<(Verdict, Author)>,
    /// Which sound changed.
    pub which: Task<PointedBead>,
    /// The letters in each box, as they are typed.
    pub letters: Vec<String>,
    /// The letters as they were given for an answer.
    pub spelled: Task<Vec<String>>,
}

impl WordWork {
    /// Whether the child has answered anything that is to be kept, with or without a recording. Beads and letters that were not
    /// given are no answer.
    pub fn answered(&self) -> bool {
        self.count.first().is_some() || self.which.first().is_some() || self.spelled.first().is_some()
    }

    /// Whether the letters in the boxes are those that were looked at last.
    pub fn checked(&self) -> bool {
        self.spelled.last() == Some(&self.letters)
    }

    /// Whether anything has been done.
    pub(super) fn begun(&self) -> bool {
        self.beads > 0 || self.latest.is_some() || self.step != WordStep::Beads
    }
}
