//! What the model voice is asked to say, for both faces.

use std::sync::OnceLock;

use soundbead_data::inventory::{Arpabet, Stress};
use soundbead_data::lexicon::{self, Pronunciation};
use soundbead_data::sound::Sound;
use soundbead_data::word::{self, Overrides, Source};
use soundbead_dsp::judgement::Speaking;
use soundbead_dsp::say::{LONGEST, ModelSpeech, ModelVoice, SayError};

use crate::fault::Fault;

/// What is to be said.
#[derive(Clone, Debug)]
pub enum SayRequest {
    /// A word; its sounds where the dictionary's are not meant.
    Word {
        /// As it is spelled.
        word: String,
        /// How it is said, where that is given by hand.
        sounds: Option<Pronunciation>,
        /// Whole, drawn out or sound by sound.
        speaking: Speaking,
    },
    /// One sound alone.
    Sound(Arpabet),
}

/// What was said, and where its sounds come from.
#[derive(Clone, Debug)]
pub struct SayAnswer {
    /// The samples.
    pub said: ModelSpeech,
    /// The sounds; of one sound alone, that one.
    pub sounds: Pronunciation,
    /// Where the word's sounds come from; none when they were given by hand.
    pub source: Option<Source>,
}

/// The model voice; opened once.
///
/// # Errors
/// When its bank is broken.
fn voice() -> Result<&'static ModelVoice, SayError> {
    static VOICE: OnceLock<Result<ModelVoice, SayError>> = OnceLock::new();
    VOICE.get_or_init(ModelVoice::new).as_ref().map_err(SayError::clone)
}

impl SayRequest {
    /// Says it; `own` are the family's own pronunciations.
    ///
    /// # Errors
    /// One line about the word, or about sounds that cannot be said.
    pub fn answer(&self, own: &Overrides) -> Result<SayAnswer, Fault> {
        match self {
            SayRequest::Word { word, sounds, speaking } => {
                let (sounds, source) = way(word, sounds.as_ref(), own)?;
                let said = voice().and_then(|v| v.word(&sounds, *speaking)).map_err(fault)?;
                Ok(SayAnswer { said, sounds, source })
            }
            SayRequest::Sound(sound) => {
                let weak = sound.stress() == Some(Stress::Weak);
                let said = voice().and_then(|v| v.sound(sound.sounds(), weak)).map_err(fault)?;
                let stress = if weak { 0 } else { 1 };
                let sounds = Pronunciation::new(sound.sounds().to_vec(), &[stress]);
                Ok(SayAnswer {
                    said,
                    sounds,
                    source: None,
                })
            }
        }
    }
}

/// The samples of a word said in just these sounds, for a lesson whose word has them; none when they cannot be said.
///
/// The stress is the dictionary's where it has the word in these sounds; otherwise the first vowel carries it.
pub fn model_of(word: &str, sounds: &[Sound]) -> Option<Vec<f32>> {
    let entry = lexicon::look_up(word);
    let known = entry.and_then(|entry| entry.variants().find(|way| way.sounds() == sounds));
    let way = known.unwrap_or_else(|| {
        let first = sounds.iter().position(|sound| sound.is_vowel());
        let stress: Vec<u8> = (0..sounds.len()).map(|at| u8::from(Some(at) == first)).collect();
        Pronunciation::new(sounds.to_vec(), &stress)
    });
    let said = voice().and_then(|v| v.word(&way, Speaking::Whole)).ok()?;
    Some(said.samples)
}

/// Whether a word in these sounds can be said.
pub fn can_say(sounds: &[Sound]) -> bool {
    (1..=LONGEST).contains(&sounds.len()) && voice().is_ok()
}

/// The samples of one sound of the inventory alone, for its card; none when it cannot be said.
pub fn model_of_sound(sound: &Arpabet) -> Option<Vec<f32>> {
    let request = SayRequest::Sound(sound.clone());
    Some(request.answer(&Overrides::default()).ok()?.said.samples)
}

/// How the word is said: as given, or in the first way that it is found in.
fn way(word: &str, given: Option<&Pronunciation>, own: &Overrides) -> Result<(Pronunciation, Option<Source>), Fault> {
    if let Some(given) = given {
        word::normal(word).map_err(Fault::input)?;
        return Ok((given.clone(), None));
    }
    let found = word::find(word, own).map_err(Fault::input)?;
    let first = found.variants.into_iter().next();
    let first =
        first.ok_or_else(|| Fault::input(format_args!("{word}: no sounds are known; give them with --sounds")))?;
    Ok((first, Some(found.source)))
}

fn fault(e: SayError) -> Fault {
    match e {
        SayError::Bank(_) => Fault::internal(e),
        _ => Fault::input(e),
    }
}
