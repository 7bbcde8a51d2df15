//! What the model voice is asked to say, for both faces.

use std::ops::Range;
use std::sync::OnceLock;

use soundbead_data::inventory::{Arpabet, Stress};
use soundbead_data::lexicon::{self, Pronunciation};
use soundbead_data::sound::Sound;
use soundbead_data::word::{self, Overrides, Source};
use soundbead_dsp::audio::RATE;
use soundbead_dsp::judgement::Speaking;
use soundbead_dsp::say::{ModelSpeech, ModelVoice, SayError};

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
pub(super) fn voice() -> Result<&'static ModelVoice, SayError> {
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

/// What stays of the quiet before a word, in samples: 20 ms, so that it begins at once and with no click.
const LEAD: usize = RATE as usize / 50;

/// The word of a lesson as the model voice says it.
#[derive(Clone, Debug, PartialEq)]
pub struct ModelWord {
    /// Mono, 16 kHz.
    pub samples: Vec<f32>,
    /// From when to when each counted sound is heard, in seconds.
    pub counted_s: Vec<[f32; 2]>,
}

/// A word said in just these sounds, `units` being how many of them count as one, in order; none when they cannot be said.
///
/// The stress is the dictionary's where it has the word in these sounds; otherwise the first vowel carries it.
pub fn model_of(word: &str, sounds: &[Sound], units: &[usize], speaking: Speaking) -> Option<ModelWord> {
    let way = stressed(word, sounds);
    let counted = ranges(units, sounds.len())?;
    let said = match speaking {
        Speaking::Separate => voice().and_then(|v| v.counted(&way, &counted)).ok()?,
        _ => voice().and_then(|v| v.word(&way, speaking)).ok()?,
    };
    // Said by itself, a counted sound has one place; within the word its sounds have a place each.
    let place = |(at, unit): (usize, &Range<usize>)| match speaking {
        Speaking::Separate => said.sounds.get(at).cloned(),
        _ => Some(said.sounds.get(unit.start)?.start..said.sounds.get(unit.end - 1)?.end),
    };
    let places: Vec<Range<usize>> = counted.iter().enumerate().map(place).collect::<Option<_>>()?;
    let quiet = places.first()?.start.saturating_sub(LEAD);
    let seconds = |at: usize| (at - quiet) as f32 / RATE as f32;
    Some(ModelWord {
        samples: said.samples[quiet..].to_vec(),
        counted_s: places.iter().map(|p| [seconds(p.start), seconds(p.end)]).collect(),
    })
}

/// A word by its spelling, whole, in the first way that it is found in; none when it cannot be said.
pub fn model_of_spelling(word: &str, own: &Overrides) -> Option<ModelWord> {
    let (sounds, _) = way(word, None, own).ok()?;
    model_of(word, sounds.sounds(), &vec![1; sounds.sounds().len()], Speaking::Whole)
}

/// The sounds with the word's stress.
fn stressed(word: &str, sounds: &[Sound]) -> Pronunciation {
    let entry = lexicon::look_up(word);
    let known = entry.and_then(|entry| entry.variants().find(|way| way.sounds() == sounds));
    known.unwrap_or_else(|| {
        let first = sounds.iter().position(|sound| sound.is_vowel());
        let stress: Vec<u8> = (0..sounds.len()).map(|at| u8::from(Some(at) == first)).collect();
        Pronunciation::new(sounds.to_vec(), &stress)
    })
}

/// Lengths, one after the other, as ranges; none unless they are `all` together and none of them is 0.
fn ranges(lengths: &[usize], all: usize) -> Option<Vec<Range<usize>>> {
    let mut from = 0;
    let each = |length: &usize| {
        from += length;
        from - length..from
    };
    let ranges: Vec<Range<usize>> = lengths.iter().map(each).collect();
    (from == all && !lengths.contains(&0)).then_some(ranges)
}

/// Opens the voice, so that the first word does not wait for it.
pub fn warm() {
    // A broken bank is told with the first word that is asked for.
    let _ = voice();
}

/// The samples of one sound of the inventory alone, for its card; none when it cannot be said.
///
/// Two sounds that lessons name as one, long u, are put together.
pub fn model_of_sound(sound: &Arpabet) -> Option<Vec<f32>> {
    let weak = sound.stress() == Some(Stress::Weak);
    let alone = voice().and_then(|v| v.sound(sound.sounds(), weak));
    let both = || {
        let stress: Vec<u8> = sound.sounds().iter().map(|s| u8::from(s.is_vowel())).collect();
        voice().and_then(|v| v.word(&Pronunciation::new(sound.sounds().to_vec(), &stress), Speaking::Whole))
    };
    match alone {
        Err(SayError::NoSound(_)) if sound.sounds().len() > 1 => Some(both().ok()?.samples),
        alone => Some(alone.ok()?.samples),
    }
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

pub(super) fn fault(e: SayError) -> Fault {
    match e {
        SayError::Bank(_) => Fault::internal(e),
        _ => Fault::input(e),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Common practice, no source: lessons that count ar as one sound say barn b, ar, n.
    #[test]
    fn a_word_is_said_as_it_is_counted_and_each_counted_sound_has_its_time() {
        let barn = [Sound::B, Sound::AA, Sound::R, Sound::N];
        let three = model_of("barn", &barn, &[1, 2, 1], Speaking::Separate).unwrap();
        let four = model_of("barn", &barn, &[1, 1, 1, 1], Speaking::Separate).unwrap();
        assert_eq!((three.counted_s.len(), four.counted_s.len()), (3, 4));
        for speaking in [Speaking::Whole, Speaking::Stretched, Speaking::Separate] {
            let said = model_of("barn", &barn, &[1, 2, 1], speaking).unwrap();
            let end = said.samples.len() as f32 / RATE as f32;
            assert!(
                said.counted_s.iter().all(|[a, b]| a < b && *b <= end),
                "{:?}",
                said.counted_s
            );
            assert!(
                said.counted_s.windows(2).all(|w| w[0][1] <= w[1][0]),
                "{:?}",
                said.counted_s
            );
        }
        // Said one by one there is quiet between them.
        assert!(three.counted_s.windows(2).all(|w| w[1][0] - w[0][1] > 0.3));
        assert_eq!(
            model_of("barn", &barn, &[1, 2], Speaking::Separate),
            None,
            "a sound would be left out"
        );
    }

    #[test]
    fn every_sound_with_a_card_is_said_alone() {
        for entry in soundbead_data::inventory::cards() {
            let said = model_of_sound(&entry.arpabet).unwrap_or_default();
            let loudest = said.iter().fold(0f32, |most, x| most.max(x.abs()));
            assert!(
                loudest > 0.01 && said.len() < 2 * RATE as usize,
                "{}: {loudest}",
                entry.ipa
            );
        }
    }
}
