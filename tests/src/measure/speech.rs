//! Words cut from read sentences.

use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;

use serde::Deserialize;
use serde::de::DeserializeOwned;
use soundbead_data::Sound;
use soundbead_dsp::audio::{RATE, Recording, SourceRecording};
use soundbead_dsp::judgement::Target;

/// Age from which on nobody is a child, in years.
const CHILD: u32 = 13;

/// A reading to tell a word from.
#[derive(Clone, Debug, Deserialize)]
pub struct Neighbour {
    /// Its spelling.
    #[serde(default)]
    pub word: String,
    /// Its sounds, ARPAbet.
    pub sounds: Vec<String>,
}

/// One word of the list.
#[derive(Clone, Debug, Deserialize)]
pub struct ReadWord {
    /// The speaker's number.
    pub speaker: String,
    /// The speaker's age in years.
    pub age: u32,
    /// Spelling.
    #[serde(default)]
    pub word: String,
    /// The dictionary's sounds, ARPAbet.
    #[serde(alias = "sounds")]
    pub phones: Vec<String>,
    /// First sample.
    pub start: usize,
    /// One past the last.
    pub end: usize,
    /// Silence before, ms.
    #[serde(alias = "before_ms")]
    pub gap_before_ms: i64,
    /// Silence after, ms.
    #[serde(alias = "after_ms")]
    pub gap_after_ms: i64,
    /// Real words one sound away: `fewer`, `more`, `changed`.
    #[serde(default)]
    pub neighbours: BTreeMap<String, Neighbour>,
    /// Whether the speaker was kept from training (only in the alignment of the training speech).
    #[serde(default)]
    pub held_out: bool,
}

impl ReadWord {
    /// A child is under 13, as in the figures to beat.
    pub fn is_child(&self) -> bool {
        self.age < CHILD
    }

    /// At least 40 ms of silence on both sides, and two or more sounds.
    pub fn is_apart(&self) -> bool {
        self.gap_before_ms >= 40 && self.gap_after_ms >= 40 && self.phones.len() >= 2
    }

    /// The dictionary's sounds.
    pub fn sounds(&self) -> Vec<Sound> {
        parse(&self.phones)
    }
}

/// ARPAbet names to sounds; names that are none are left out.
pub fn parse(names: &[String]) -> Vec<Sound> {
    names.iter().filter_map(|n| n.parse().ok()).collect()
}

/// What is asked about where only the sounds are known.
pub fn asked(sounds: &[Sound]) -> Target {
    Target {
        variants: vec![sounds.to_vec()],
        letters: Vec::new(),
    }
}

/// A speaker of a list of sentences.
#[derive(Deserialize)]
struct CorpusReader {
    speaker: String,
    age: u32,
}

/// The speakers under 13 of a list of sentences, one JSON object a line.
///
/// # Errors
/// One line: the file, the line and what is wrong with it.
pub fn children(path: &Path) -> Result<BTreeSet<String>, String> {
    let readers: Vec<CorpusReader> = lines(path)?;
    let children = readers.into_iter().filter(|r| r.age < CHILD);
    Ok(children.map(|r| r.speaker).collect())
}

/// Reads a list of words, one JSON object a line.
///
/// # Errors
/// One line: the file, the line and what is wrong with it.
pub fn words(path: &Path) -> Result<Vec<ReadWord>, String> {
    lines(path)
}

fn lines<T: DeserializeOwned>(path: &Path) -> Result<Vec<T>, String> {
    let text = std::fs::read_to_string(path).map_err(|e| format!("{}: {e}", path.display()))?;
    let line =
        |(i, l): (usize, &str)| serde_json::from_str(l).map_err(|e| format!("{} line {}: {e}", path.display(), i + 1));
    text.lines().enumerate().map(line).collect()
}

/// The long recording that words are cut from.
///
/// # Errors
/// When it cannot be decoded.
pub fn source(path: &Path) -> Result<SourceRecording, String> {
    SourceRecording::open(path).map_err(|e| e.to_string())
}

/// The word as the program cuts it out of a longer recording: from the given times outwards to where it falls quiet.
pub fn cut(source: &SourceRecording, word: &ReadWord) -> Option<Recording> {
    let rate = f64::from(RATE);
    let (start, end) = source.near(word.start as f64 / rate, word.end as f64 / rate);
    source.cut(start, end).ok()
}

/// Samples of near silence before and after a word that is cut out by itself (175 ms).
const QUIET: usize = 2800;
/// The hiss there: its greatest value, where the word's peak is 0.5 (about 60 dB under it).
const HISS: f32 = 8.7e-4;

/// The samples `start` to `end`, by themselves on near silence, whatever stands beside them: a word as by a list's times.
pub fn bare(source: &SourceRecording, start: usize, end: usize) -> Option<Recording> {
    let seconds = |at: usize| at as f64 / f64::from(RATE);
    let cut = source.cut(seconds(start), seconds(end)).ok()?;
    let peak = cut.clip.samples.iter().fold(1e-4f32, |m, x| m.max(x.abs()));
    // The generator of Numerical Recipes, 2nd ed., section 7.1: the same hiss every time.
    let mut seed = start as u32 | 1;
    let mut hiss = || {
        seed = seed.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
        HISS * ((seed >> 8) as f32 / (1u32 << 23) as f32 - 1.0)
    };
    let silence = std::iter::repeat_n(0.0, QUIET);
    let word = cut.clip.samples.iter().map(|x| 0.5 * x / peak);
    let samples = silence.clone().chain(word).chain(silence).map(|x| x + hiss()).collect();
    Recording::from_samples(samples).ok()
}
