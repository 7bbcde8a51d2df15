//! What a person who listened says was said; it stands above what the program heard.

use serde::{Deserialize, Serialize};
use soundbead_data::Sound;
use soundbead_dsp::judgement::Verdict;

use super::Moment;
use super::note::Author;

/// A person's ruling on one attempt.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Ruling {
    /// How what was said compares with the word; [`Verdict::Unsure`]: listened, and cannot tell.
    pub verdict: Verdict,
    /// The sounds that were said, where the person tells them; empty when not.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub sounds: Vec<Sound>,
    /// Who says so.
    pub by: Author,
    /// When it was given. Of two by one person, the later stands.
    #[serde(default)]
    pub at: Moment,
}

/// A ruling that its giver took back.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct TakenBack {
    /// Whose it was.
    pub by: Author,
    /// When it was taken back.
    pub at: Moment,
}

impl Ruling {
    /// A ruling given now, without the sounds.
    pub fn new(verdict: Verdict, by: Author) -> Ruling {
        Ruling {
            verdict,
            sounds: Vec::new(),
            by,
            at: Moment::now(),
        }
    }

    /// The same, telling the sounds that were said.
    pub fn telling(self, sounds: Vec<Sound>) -> Ruling {
        Ruling { sounds, ..self }
    }

    pub(super) fn says(&self, other: &Ruling) -> bool {
        (self.verdict, &self.sounds) == (other.verdict, &other.sounds)
    }
}
