//! A word into its sounds: what the recording is weighed against.

use soundbead_data::sound::Sound;
use soundbead_data::spelling;
use soundbead_data::word::{self, Overrides, Source, Word};
use soundbead_dsp::judgement::Target;

/// A target and where its sounds come from.
pub struct Asked {
    /// What the ear is asked about.
    pub target: Target,
    /// Where the sounds come from; `None` when they were given by hand.
    pub source: Option<Source>,
}

/// What to listen for, from a word, or sounds, or both (the sounds then win and the word gives the letters).
///
/// `None` when neither is given: the count is blind. An error is one line about the word.
pub fn resolve(word: Option<&str>, sounds: Option<&[Sound]>, overrides: &Overrides) -> Result<Option<Asked>, String> {
    let (variants, source) = match (word, sounds) {
        (None, None) => return Ok(None),
        (_, Some(sounds)) => (vec![sounds.to_vec()], None),
        (Some(word), None) => {
            let found = word::find(word, overrides).map_err(|e| e.to_string())?;
            (variants(&found), Some(found.source))
        }
    };
    let letters = variants
        .iter()
        .map(|v| word.map_or_else(Vec::new, |w| letters(w, v)))
        .collect();
    Ok(Some(Asked {
        target: Target { variants, letters },
        source,
    }))
}

/// Each way of saying the word, as sounds, without doubles that differ in stress alone.
pub fn variants(word: &Word) -> Vec<Vec<Sound>> {
    let mut out: Vec<Vec<Sound>> = Vec::new();
    for said in &word.variants {
        if !out.iter().any(|v| v == said.sounds()) {
            out.push(said.sounds().to_vec());
        }
    }
    out
}

/// The letters that spell each stretch of sounds; empty when the two cannot be tied together.
pub fn letters(word: &str, sounds: &[Sound]) -> Vec<(String, std::ops::Range<usize>)> {
    let boxes = spelling::boxes(word, sounds).unwrap_or_default();
    boxes.into_iter().map(|b| (b.letters, b.sounds)).collect()
}
