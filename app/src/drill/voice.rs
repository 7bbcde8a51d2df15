//! The model voice for whoever leads a lesson: a word whole, drawn out or sound by sound, played by the one player.
//!
//! The word is put together on a thread of its own. Which of its counted sounds is heard just now is known as long as it plays,
//! so that a bead can light with it.

use std::path::PathBuf;

use soundbead_data::chain::Unit;
use soundbead_data::inventory::SoundEntry;
use soundbead_dsp::audio::Clip;
use soundbead_dsp::judgement::Speaking;

use super::dictation::DictatedWord;
use super::{LessonWord, model};
use crate::ask::aloud;
use crate::ask::say::{self, ModelWord};
use crate::equipment::Equipment;
use crate::later::{Later, WorkResult};
use crate::playback::{PlayedPart, Sounding};
use crate::store;

/// What is said where the model voice is offered.
pub const A_COMPUTER_VOICE: &str = "A computer voice.";
/// The same where it is your own recording, if you made one.
pub const YOURS_OR_A_COMPUTER_VOICE: &str = "Your own recording where there is one, else a computer voice.";
/// The same where it reads sentences too.
pub const READS_WORD_BY_WORD: &str =
    "Your own recording where there is one, else a computer voice. It reads a sentence word by word.";
/// The same where the word itself is the parent's own recording.
pub const YOUR_OWN_VOICE: &str = "Your own recording. Drawn out, or sound by sound: a computer voice.";
/// What is said when there is no voice for a word.
const CANNOT: &str = "The computer voice cannot say this one. Say it yourself.";

/// A word, or a sound, on its way to the loudspeaker or sounding.
#[derive(Default)]
pub struct WordVoice {
    coming: Option<Later<Option<ModelWord>>>,
    sounding: Option<Sounding>,
    /// From when to when each counted sound is heard, in seconds; of what is sounding.
    counted_s: Vec<[f32; 2]>,
    fault: Option<String>,
}

impl WordVoice {
    /// Says the word of a lesson.
    pub fn say(&mut self, at: &mut Equipment, word: &LessonWord, speaking: Speaking) {
        let (spelling, sounds) = (word.spelling.clone(), word.sounds.clone());
        let units: Vec<usize> = word.units.iter().map(|unit: &Unit| unit.sounds().count()).collect();
        self.begin(at, move || say::model_of(&spelling, &sounds, &units, speaking));
    }

    /// Says a word that is dictated: in the parent's own recording where there is one, else as was chosen, or as
    /// its sentence has it.
    pub fn say_asked(&mut self, at: &mut Equipment, asked: &DictatedWord) {
        let (asked, folder): (DictatedWord, PathBuf) = (asked.clone(), at.folder.to_owned());
        self.begin(at, move || {
            if let Some(own) = model::of(&folder, &asked.word) {
                let (samples, counted_s) = (own.samples, Vec::new());
                return Some(ModelWord { samples, counted_s });
            }
            let own = store::overrides_in(&folder).unwrap_or_default();
            if let Some(way) = asked.way() {
                return say::model_of(&asked.word, way.sounds(), &vec![1; way.sounds().len()], Speaking::Whole);
            }
            aloud::model_of_asked(&asked.word, asked.sentence.as_deref(), &own)
        });
    }

    /// Reads a sentence, word by word; `asked` is the word in it that a child is to write.
    pub fn say_sentence(&mut self, at: &mut Equipment, text: &str, asked: Option<&str>) {
        let (text, asked, folder) = (text.to_owned(), asked.map(str::to_owned), at.folder.to_owned());
        self.begin(at, move || {
            let own = store::overrides_in(&folder).unwrap_or_default();
            aloud::model_of_sentence(&text, asked.as_deref(), &own)
        });
    }

    /// Says one sound alone.
    pub fn say_sound(&mut self, at: &mut Equipment, entry: &'static SoundEntry) {
        self.begin(at, move || {
            let samples = say::model_of_sound(&entry.arpabet)?;
            let counted_s = Vec::new();
            Some(ModelWord { samples, counted_s })
        });
    }

    /// Plays a recording of the parent's in the voice's place.
    pub fn play(&mut self, at: &mut Equipment, own: &Clip) {
        self.silence(at);
        self.sounding = Some(at.playback.play(&own.samples, PlayedPart::WHOLE, at.wake));
    }

    /// Plays what `make` makes, on a thread of its own.
    pub fn begin(&mut self, at: &mut Equipment, make: impl FnOnce() -> Option<ModelWord> + Send + 'static) {
        self.silence(at);
        self.coming = Some(Later::start(at.wake.clone(), "Making the word", move |_| make()));
    }

    /// Stops it.
    pub fn silence(&mut self, at: &mut Equipment) {
        if self.sounding.is_some() {
            at.playback.stop();
        }
        *self = WordVoice::default();
    }

    /// Takes in what came; whether something sounds or is about to.
    pub fn poll(&mut self, at: &mut Equipment) -> bool {
        match self.coming.as_mut().and_then(Later::take) {
            Some(WorkResult::Done(Some(word))) => {
                self.coming = None;
                self.sounding = Some(at.playback.play(&word.samples, PlayedPart::WHOLE, at.wake));
                self.counted_s = word.counted_s;
            }
            Some(WorkResult::Done(None) | WorkResult::Failed | WorkResult::Cancelled) => {
                (self.coming, self.fault) = (None, Some(CANNOT.to_owned()));
            }
            None => {}
        }
        let Some(sounding) = self.sounding else {
            return self.coming.is_some();
        };
        at.playback.poll();
        if let Some(fault) = at.playback.take_fault(sounding) {
            self.fault = Some(fault.to_string());
        }
        if !at.playback.plays(sounding) {
            self.sounding = None;
        }
        self.sounding.is_some()
    }

    /// Whether something sounds, or is about to.
    pub fn speaks(&self) -> bool {
        self.coming.is_some() || self.sounding.is_some()
    }

    /// The counted sound that is heard now, from 0.
    pub fn counted_now(&self, at: &Equipment) -> Option<usize> {
        let now = at.playback.position_s(self.sounding?)?;
        self.counted_s.iter().position(|[from, to]| (*from..*to).contains(&now))
    }

    /// Why nothing was heard.
    pub fn fault(&self) -> Option<&str> {
        self.fault.as_deref()
    }
}
