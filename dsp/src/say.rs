//! The model voice: any word, drawn out or sound by sound, and each sound alone, without a network or a service.
//!
//! A bank of recordings of one synthetic voice is part of the program (`dsp/voice`, with a card). A word that stands in
//! it is played as it was recorded. Every other word is put together from stretches of recordings: of all the ways to
//! cover its sounds the cheapest is taken, by how well each stretch fits its place and how well it joins the next (Hunt
//! and Black 1996, "Unit selection in a concatenative speech synthesis system using a large speech database", Proc.
//! ICASSP, vol. I, 373-376). Joins lie in the middle of a sound or in the closure of a stop, and the pitch is evened out
//! afterwards. The same word gives the same samples every time.
//!
//! ```
//! use soundbead_data::lexicon;
//! use soundbead_dsp::{judgement::Speaking, say::ModelVoice};
//!
//! let voice = ModelVoice::new()?;
//! let pig = lexicon::look_up("pig").and_then(|entry| entry.variants().next()).unwrap();
//! let whole = voice.word(&pig, Speaking::Whole)?;
//! let drawn = voice.word(&pig, Speaking::Stretched)?;
//! assert_eq!(whole.sounds.len(), 3);
//! assert!(drawn.samples.len() > whole.samples.len());
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```

mod bank;
mod choose;
mod join;
mod pace;
mod sentence;
mod tune;

use std::fmt;
use std::ops::Range;

use soundbead_data::lexicon::Pronunciation;
use soundbead_data::sound::Sound;

use crate::judgement::Speaking;
use bank::{Bank, Item, Phone};
pub use pace::DRAWN_OUT;
pub use sentence::SaidSentence;

/// Bytes of the bank that comes with the program.
pub const SIZE: usize = bank::SIZE;
/// Most sounds that are said at once; the dictionary's longest word has about thirty.
pub const LONGEST: usize = 40;

/// Why something cannot be said.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum SayError {
    /// There is no sound in it.
    NoSounds,
    /// More than [`LONGEST`] sounds.
    TooLong(usize),
    /// The bank has no recording of this sound.
    NoSound(Sound),
    /// The bank cannot be read; which part of it.
    Bank(&'static str),
}

impl fmt::Display for SayError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            SayError::NoSounds => f.write_str("there is no sound to say; name at least one"),
            SayError::TooLong(n) => write!(f, "{n} sounds are too many to say at once; the most is {LONGEST}"),
            SayError::NoSound(sound) => write!(f, "the model voice has no recording of {sound}; choose another sound"),
            SayError::Bank(part) => write!(
                f,
                "the model voice is broken: {part}; make it again with dsp/training/say"
            ),
        }
    }
}

impl std::error::Error for SayError {}

/// Where the samples come from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Made {
    /// One recording, as the voice spoke it.
    Recorded,
    /// Put together from this many stretches of recordings.
    Joined(usize),
}

/// Something said.
#[derive(Clone, Debug)]
pub struct ModelSpeech {
    /// Mono, [`crate::audio::RATE`], no sample beyond full scale.
    pub samples: Vec<f32>,
    /// Where each sound lies in the samples, in order.
    pub sounds: Vec<Range<usize>>,
    /// How it was made.
    pub made: Made,
}

/// The model voice.
pub struct ModelVoice {
    bank: Bank<'static>,
}

impl ModelVoice {
    /// The voice that comes with the program.
    ///
    /// # Errors
    /// [`SayError::Bank`] when its bank is broken.
    pub fn new() -> Result<ModelVoice, SayError> {
        Ok(ModelVoice { bank: Bank::shipped()? })
    }

    /// A voice with another bank, to measure it before it is part of the program.
    ///
    /// # Errors
    /// [`SayError::Bank`] when it is broken.
    #[cfg(feature = "measure")]
    pub fn from_bank(bytes: &'static [u8]) -> Result<ModelVoice, SayError> {
        Ok(ModelVoice {
            bank: Bank::from_bytes(bytes)?,
        })
    }

    /// Says a word.
    ///
    /// # Errors
    /// When there are no sounds, or more than [`LONGEST`], or the bank is broken.
    pub fn word(&self, word: &Pronunciation, speaking: Speaking) -> Result<ModelSpeech, SayError> {
        match word.sounds().len() {
            0 => return Err(SayError::NoSounds),
            n if n > LONGEST => return Err(SayError::TooLong(n)),
            _ => {}
        }
        match speaking {
            Speaking::Whole => self.whole(word),
            Speaking::Stretched => Ok(pace::drawn_out(word.sounds(), &self.whole(word)?)),
            Speaking::Separate => self.apart(word),
        }
    }

    /// Says one sound alone: one of the dictionary's 39, or a vowel with r (`AA R`). `weak` is the quiet form of AH and ER.
    ///
    /// A stop or an affricate is its burst, with no more than 30 ms of voice after it.
    ///
    /// # Errors
    /// When there is no sound, or the bank has none like it.
    pub fn sound(&self, sounds: &[Sound], weak: bool) -> Result<ModelSpeech, SayError> {
        let first = *sounds.first().ok_or(SayError::NoSounds)?;
        let item = self.bank.single(sounds, weak).ok_or(SayError::NoSound(first))?;
        let samples = pace::at_least(self.bank.samples(item)?, first, weak);
        Ok(ModelSpeech {
            sounds: std::iter::once(0..samples.len()).collect(),
            samples,
            made: Made::Recorded,
        })
    }

    /// Says a word sound by sound as it is counted: each of `units`, ranges of the word's sounds, alone with silence around it.
    ///
    /// Sounds that count as one are said as one: `ar` in *barn*, where the rules have it so. The answer has one place a unit.
    ///
    /// # Errors
    /// When there is no unit, or one without a sound, or the bank has no sound like it.
    pub fn counted(&self, word: &Pronunciation, units: &[Range<usize>]) -> Result<ModelSpeech, SayError> {
        if units.is_empty() {
            return Err(SayError::NoSounds);
        }
        let pieces: Result<Vec<ModelSpeech>, SayError> = units.iter().map(|unit| self.unit(word, unit)).collect();
        Ok(pace::apart(&pieces?))
    }

    /// Sounds that count as one: recorded as one where the bank has them so, otherwise put together.
    fn unit(&self, word: &Pronunciation, unit: &Range<usize>) -> Result<ModelSpeech, SayError> {
        let sounds = word.sounds().get(unit.clone()).ok_or(SayError::NoSounds)?;
        let stress = &word.stress()[unit.clone()];
        let weak = stress.iter().all(|stress| *stress == 0);
        match self.sound(sounds, weak) {
            Err(SayError::NoSound(_)) if sounds.len() > 1 => {
                let mut said = self.joined(&Pronunciation::new(sounds.to_vec(), stress))?;
                said.sounds = std::iter::once(0..said.samples.len()).collect();
                Ok(said)
            }
            said => said,
        }
    }

    /// Whether the word is played as it was recorded.
    pub fn has_recorded(&self, word: &Pronunciation) -> bool {
        self.bank.word(word).is_some()
    }

    fn whole(&self, word: &Pronunciation) -> Result<ModelSpeech, SayError> {
        match self.bank.word(word) {
            Some(item) => self.recorded(item),
            None => self.joined(word),
        }
    }

    fn recorded(&self, item: &Item) -> Result<ModelSpeech, SayError> {
        let phones = self.bank.phones_of(item);
        Ok(ModelSpeech {
            samples: self.bank.samples(item)?,
            sounds: inner(phones).iter().map(|p| p.start..p.end).collect(),
            made: Made::Recorded,
        })
    }

    /// Puts a word together, whether or not the bank has it whole.
    fn joined(&self, word: &Pronunciation) -> Result<ModelSpeech, SayError> {
        let stretches = choose::stretches(&self.bank, word)?;
        let mut said = join::join(&self.bank, &stretches)?;
        if stretches.len() > 1 {
            said.samples = tune::even(&said.samples);
        }
        Ok(said)
    }

    fn apart(&self, word: &Pronunciation) -> Result<ModelSpeech, SayError> {
        let one = |(sound, stress): (&Sound, &u8)| self.sound(&[*sound], *stress == 0);
        let pieces: Result<Vec<ModelSpeech>, SayError> = word.sounds().iter().zip(word.stress()).map(one).collect();
        Ok(pace::apart(&pieces?))
    }
}

/// The phones of a recording without the silence on both sides.
fn inner(phones: &[Phone]) -> &[Phone] {
    &phones[1..phones.len() - 1]
}
