//! What a person may do in the review, by key or by button.

use soundbead_data::Sound;
use soundbead_dsp::judgement::Verdict;

/// What a person does.
#[derive(Clone, Debug, PartialEq)]
pub enum ReviewIntent {
    /// So many rows on.
    Step(i64),
    /// Play all of it, at this speed.
    Play(f32),
    /// Play a part, in seconds.
    PlayPart(f32, f32),
    /// Rule, with the sounds where they are told; or take the ruling back.
    Rule(Option<Verdict>, Vec<Sound>),
    /// Undo the last ruling.
    Undo,
    /// Write a note on the attempt, or stop.
    Note,
    /// Put the same word's attempts side by side, or stop.
    Compare,
}
