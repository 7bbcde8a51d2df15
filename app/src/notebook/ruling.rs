//! What a person who listened says was said; it stands above what the program heard.

use serde::{Deserialize, Serialize};
use soundbead_data::Sound;
use soundbead_dsp::judgement::Verdict;

use super::code;
use super::note::Author;

/// A person's ruling on one attempt.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Ruling {
    /// How what was said compares with the word; [`Verdict::Unsure`]: listened, and cannot tell.
    #[serde(with = "code::verdict_text")]
    pub verdict: Verdict,
    /// The sounds that were said, where the person tells them; empty when not.
    #[serde(with = "code::sounds_text", default, skip_serializing_if = "Vec::is_empty")]
    pub sounds: Vec<Sound>,
    /// Who says so.
    pub by: Author,
}
