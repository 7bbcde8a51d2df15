//! One recording, and what should be said of it before it is judged.

use soundbead_dsp::audio::Recording;
use soundbead_dsp::voice::{Quality, Warning};

use crate::mic::MicFault;

/// A room louder than this, in dBFS, is noted before the first word. The voice of a child half a metre away reaches a
/// usual headset or laptop at about -30 to -20 (common practice, no source).
pub const NOISY_ROOM_DBFS: f32 = -45.0;

/// What ended a recording.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum EndedBy {
    /// It was quiet again.
    Quiet,
    /// Someone stopped it.
    ByHand,
    /// It was as long as it may be.
    Longest,
    /// No voice was noticed while it was waited for.
    NobodySpoke,
    /// The microphone failed; what had come is kept.
    Lost(MicFault),
    /// It was a file.
    File,
}

/// One recording.
#[derive(Clone, Debug)]
pub struct Take {
    /// The sound.
    pub recording: Recording,
    /// How good it is.
    pub quality: Quality,
    /// What ended it.
    pub ended: EndedBy,
    /// Noise of the room as it was checked, in dBFS.
    pub room_dbfs: Option<f32>,
    /// Frames that were lost on the way.
    pub missed: u64,
}

impl Take {
    /// A take from a file that was brought in.
    pub fn from_file(recording: Recording) -> Take {
        let voice = soundbead_dsp::voice::find(&recording.clip);
        Take {
            quality: soundbead_dsp::voice::quality(&recording, &voice),
            recording,
            ended: EndedBy::File,
            room_dbfs: None,
            missed: 0,
        }
    }

    /// What a parent and a child should know of it, in plain words; nothing if it is good.
    pub fn notes(&self) -> Vec<String> {
        let mut notes: Vec<String> = Vec::new();
        match &self.ended {
            EndedBy::Lost(fault) => notes.push(format!("{fault} What was recorded until then is kept.")),
            EndedBy::Longest => notes.push("The recording was stopped because it had become long.".into()),
            _ => {}
        }
        if self.missed > 0 {
            notes.push("The computer was too busy and missed a moment of the sound. Say it again.".into());
        }
        notes.extend(self.quality.warnings.iter().filter_map(|w| said(*w)).map(str::to_owned));
        notes
    }

    /// Whether saying it again would help.
    pub fn again(&self) -> bool {
        !self.notes().is_empty()
    }
}

/// A warning to a child and a parent. Several stretches of speech are no fault: sounds may be said apart.
fn said(warning: Warning) -> Option<&'static str> {
    Some(match warning {
        Warning::NoSpeech => "No voice was heard. Say the word again.",
        Warning::TooQuiet => "That was very soft. Come a little closer and say it again.",
        Warning::Noisy => "The room was loud beside the voice. Find a quieter place, or come closer.",
        Warning::Clipped => "That was too loud, and the tops of the sound were cut off. Sit back a little.",
        Warning::StartsClipped => "The start of the word is missing. Wait a moment before you speak.",
        Warning::EndsCut => "The end of the word is missing. Wait a moment before you stop.",
        Warning::DamagedFile => "The file is damaged. Only a part of it could be read.",
        _ => return None,
    })
}
