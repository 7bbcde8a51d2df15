//! What was written for a word: the question, and the answer as people and programs get it.

use serde::Serialize;
use soundbead_data::word::{self, Overrides, Source, Word};
use soundbead_data::writing::{self, Finding, SpellingAnalysis};

use crate::target::{Doubt, doubt};
use crate::wording::misspelling;

/// A word, and what was written for it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct WroteRequest {
    /// The word that was meant, as it was typed.
    pub word: String,
    /// What was written for it, as it was typed.
    pub wrote: String,
}

/// The answer, in the order of the command-line contract.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct WroteAnswer {
    /// The word that was meant.
    pub word: String,
    /// What was written.
    pub wrote: String,
    /// What was written for each sound of the pronunciation that fits best, in order.
    pub sounds: Vec<SoundAnswer>,
    /// Letters that stand for no sound.
    pub added: Vec<AddedAnswer>,
    /// How many of the sounds what was written stands for.
    pub represented: usize,
    /// How many sounds the word has.
    pub of: usize,
    /// Whether a reader would say the word from it.
    pub readable: bool,
    /// The parts of the word that broke.
    pub parts: Vec<String>,
    /// What they show, a sentence each.
    #[serde(skip)]
    pub shows: Vec<String>,
    /// `guess` or `override`, where the sounds are not the dictionary's.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub source: Option<&'static str>,
    /// The word that was most likely meant, where WORD itself looks misspelled.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub meant: Option<String>,
    /// The question about it, in words.
    #[serde(skip)]
    pub asks: Option<String>,
}

/// One sound of the answer.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct SoundAnswer {
    /// ARPAbet.
    pub sound: &'static str,
    /// The word's own letters for it.
    pub letters: String,
    /// What was written for it; empty when nothing was.
    pub wrote: String,
    /// `kept`, `omitted`, `spelled_otherwise`, `near_sound`, `other_sound` or `swapped`.
    pub finding: &'static str,
    /// The same in plain words.
    #[serde(skip)]
    pub says: String,
    /// With `spelled_otherwise`: whether the dictionary spells the sound so in such a place.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub fits_here: Option<bool>,
}

/// Letters of the answer that stand for no sound.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct AddedAnswer {
    /// The letters.
    pub wrote: String,
    /// After how many sounds they stand.
    pub after: usize,
}

impl WroteRequest {
    /// Reads what was written, by the family's pronunciations where it has its own.
    ///
    /// # Errors
    /// One line: what of the word or the writing cannot be used, and what to do.
    pub fn answer(&self, overrides: &Overrides) -> Result<WroteAnswer, String> {
        let word = word::find(&self.word, overrides).map_err(|e| format!("WORD: {e}"))?;
        let reading = writing::read(&word, &self.wrote).map_err(|e| e.to_string())?;
        Ok(WroteAnswer::new(&word, reading))
    }
}

impl WroteAnswer {
    fn new(word: &Word, reading: SpellingAnalysis) -> WroteAnswer {
        let doubt = doubt(word);
        WroteAnswer {
            source: (word.source != Source::Dictionary).then(|| word.source.name()),
            asks: doubt.as_ref().and_then(Doubt::asks),
            meant: doubt.and_then(|doubt| doubt.meant),
            ..WroteAnswer::of(reading)
        }
    }

    /// What a reading shows, whatever the word's sounds come from.
    pub fn of(reading: SpellingAnalysis) -> WroteAnswer {
        let sounds = reading.sounds.iter().map(|w| SoundAnswer {
            sound: w.sound.arpabet(),
            letters: w.letters.clone(),
            wrote: w.wrote.clone(),
            finding: w.finding.name(),
            says: misspelling::letters(w),
            fits_here: match w.finding {
                Finding::SpelledOtherwise { fits_here } => Some(fits_here),
                _ => None,
            },
        });
        let added = reading.added.iter().map(|a| AddedAnswer {
            wrote: a.wrote.clone(),
            after: a.after,
        });
        let shows = reading
            .parts
            .iter()
            .filter_map(|part| misspelling::of_part(part, &reading));
        WroteAnswer {
            shows: shows.collect(),
            sounds: sounds.collect(),
            added: added.collect(),
            represented: reading.represented(),
            of: reading.of(),
            readable: reading.readable,
            parts: reading.parts.iter().map(ToString::to_string).collect(),
            source: None,
            meant: None,
            asks: None,
            word: reading.word,
            wrote: reading.wrote,
        }
    }
}
