//! From a recording to a judgement: features, model, hypotheses, words.

mod align;
mod among;
mod apart;
mod blind;
mod count;
mod decide;
mod drawn;
mod frame;
mod heard;
mod judge;
mod listen;
mod model;
mod package;
mod settings;

use std::fmt;

use soundbead_data::{Rules, Sound};

use crate::audio::Recording;
use crate::judgement::{Judgement, ModelId, Speaking, Target};
use align::{Lattice, NEVER};
use frame::Mel;
use heard::Gathered;
pub use listen::Evidence;
pub use model::ModelError;
use model::{Model, classes_of};
use package::Package;
use settings::Settings;

/// What is inside the ear, for measuring it, fitting it and holding it to the training framework. No promise is made of
/// what stands here: it changes with the network.
#[cfg(feature = "measure")]
pub mod inside {
    pub use super::align::Lattice;
    pub use super::apart::ApartCalibration;
    pub use super::blind::{BlindCalibration, GIVEN_UP, MOST, Vocabulary, count_among};
    pub use super::count::{Calibration, Slip, near, readings, sounds_of};
    pub use super::decide::{Decision, MEASURES, Measures, RIGHT_TO_WRONG, log_odds};
    pub use super::frame::{FRAME, FRAME_WIDTH, MELS, Mel};
    pub use super::judge::{LIKE_ITS_SOUND, SURE_OF_COUNT};
    pub use super::model::{CLASSES, Mark, Model, PathWeights, SILENCE, Scores, class_of};
    pub use super::package::{SHIPPED, seal, weights_of};
    pub use super::settings::{Bounds, RightCalibration, Settings};
}

/// Longest stretch that is judged as one word, in seconds; a word drawn out by a patient child takes about six.
pub const LONGEST_S: f32 = 15.0;

/// Why there is no judgement.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum EarError {
    /// Nothing that sounds like speech was found.
    NoSpeech,
    /// The speech is longer than one word can be; seconds found.
    TooLong(u32),
    /// A target or choice without sounds.
    NoSounds,
    /// The recording is too short for the sounds asked about.
    TooShort,
}

impl fmt::Display for EarError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            EarError::NoSpeech => {
                f.write_str("no speech was found in the recording; record again, closer to the microphone")
            }
            EarError::TooLong(s) => {
                write!(
                    f,
                    "the speech is {s} s long, more than one word; record one word, or give its start and end"
                )
            }
            EarError::NoSounds => f.write_str("the target has no sounds; name at least one"),
            EarError::TooShort => f.write_str("the recording is too short for so many sounds; record the whole word"),
        }
    }
}

impl std::error::Error for EarError {}

/// Listens. Made once, it keeps its working space between words.
pub struct Ear {
    model: Model,
    mel: Mel,
    settings: Settings,
    id: ModelId,
    samples: Vec<f32>,
    frames: Vec<f32>,
}

impl Ear {
    /// Loads the model that comes with the program.
    ///
    /// # Errors
    /// When its weights or its calibration are broken, or do not belong together.
    pub fn new() -> Result<Ear, ModelError> {
        Ok(Ear::of(Package::shipped()?))
    }

    /// Listens with another model than the program's own, from the bytes of its package.
    ///
    /// # Errors
    /// When its weights or its calibration are broken, or do not belong together.
    #[cfg(feature = "measure")]
    pub fn from_package(bytes: &[u8]) -> Result<Ear, ModelError> {
        Ok(Ear::of(Package::from_bytes(bytes)?))
    }

    /// Listens with a network that has no calibration of its own yet, and with one that was fitted on another: where fitting
    /// begins.
    ///
    /// # Errors
    /// When the weights are broken.
    #[cfg(feature = "measure")]
    pub fn uncalibrated(weights: &[u8], settings: Settings) -> Result<Ear, ModelError> {
        Ok(Ear::of(Package::uncalibrated(weights, settings)?))
    }

    fn of(package: Package) -> Ear {
        Ear {
            model: package.model,
            mel: Mel::new(1.0),
            settings: package.settings,
            id: package.id,
            samples: Vec::new(),
            frames: Vec::new(),
        }
    }

    /// Which model this is: a hash of its weights and its calibration as they were loaded.
    pub fn id(&self) -> ModelId {
        self.id
    }

    /// The settings, for calibration.
    #[cfg(feature = "measure")]
    pub fn settings(&self) -> &Settings {
        &self.settings
    }

    /// The settings, to try others; the id stays.
    #[cfg(feature = "measure")]
    pub fn settings_mut(&mut self) -> &mut Settings {
        &mut self.settings
    }

    /// Judges what was said against the target, or counts blindly when there is none.
    ///
    /// # Errors
    /// As [`Ear::listen`], and for a target without sounds or with more than the recording can hold.
    pub fn judge(
        &mut self,
        recording: &Recording,
        target: Option<&Target>,
        speaking: Speaking,
        rules: &Rules,
    ) -> Result<Judgement, EarError> {
        let evidence = self.listen(recording, speaking)?;
        self.judge_evidence(&evidence, target, speaking, rules)
    }

    /// [`Ear::judge`] for what has been listened to already.
    ///
    /// # Errors
    /// As [`Ear::judge`].
    pub fn judge_evidence(
        &self,
        evidence: &Evidence,
        target: Option<&Target>,
        speaking: Speaking,
        rules: &Rules,
    ) -> Result<Judgement, EarError> {
        let heard = self.gather(evidence, target, speaking, rules)?;
        Ok(self.settle(heard, evidence, speaking))
    }

    /// What is known of the evidence once it was held against the target, before anything is decided.
    fn gather(
        &self,
        evidence: &Evidence,
        target: Option<&Target>,
        speaking: Speaking,
        rules: &Rules,
    ) -> Result<Gathered, EarError> {
        if target.is_some_and(|t| t.variants.is_empty() || t.variants.iter().any(Vec::is_empty)) {
            return Err(EarError::NoSounds);
        }
        Ok(match (speaking, target) {
            (Speaking::Separate, _) => self.judge_apart(evidence, target, rules),
            (_, Some(target)) => self.judge_target(evidence, target, rules)?,
            (_, None) => self.judge_blind(evidence, rules),
        })
    }

    fn settle(&self, heard: Gathered, evidence: &Evidence, speaking: Speaking) -> Judgement {
        heard.settle(self.id, &self.settings, speaking, evidence.quality.clone())
    }

    /// Which of several words was said: one probability a choice. Each choice is a list of pronunciations.
    ///
    /// # Errors
    /// As [`Ear::judge`].
    pub fn compare(&mut self, recording: &Recording, choices: &[Vec<Vec<Sound>>]) -> Result<Vec<f32>, EarError> {
        let evidence = self.listen(recording, Speaking::Whole)?;
        self.compare_evidence(&evidence, choices)
    }

    /// [`Ear::compare`] for what has been listened to already.
    ///
    /// # Errors
    /// As [`Ear::judge`].
    pub fn compare_evidence(&self, evidence: &Evidence, choices: &[Vec<Vec<Sound>>]) -> Result<Vec<f32>, EarError> {
        if choices.is_empty() || choices.iter().any(|c| c.is_empty() || c.iter().any(Vec::is_empty)) {
            return Err(EarError::NoSounds);
        }
        let lattice = Lattice::new(&evidence.scores, self.model.path());
        let best = |choice: &Vec<Vec<Sound>>| {
            let score = |sounds: &Vec<Sound>| {
                let fits = lattice.score(&classes_of(sounds)) + self.settings.each_sound * sounds.len() as f32;
                fits * self.settings.compare + self.liked(evidence, &lattice, sounds)
            };
            choice.iter().map(score).fold(f32::MIN, f32::max)
        };
        let scores: Vec<f32> = choices.iter().map(best).collect();
        let top = scores.iter().fold(f32::MIN, |m, s| m.max(*s));
        if top < NEVER * self.settings.compare / 2.0 {
            return Err(EarError::TooShort);
        }
        let sum: f32 = scores.iter().map(|s| (s - top).exp()).sum();
        Ok(scores.iter().map(|s| (s - top).exp() / sum).collect())
    }
}
