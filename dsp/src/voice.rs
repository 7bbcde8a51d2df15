//! Where the word is in a recording, and how good the recording is.
//!
//! A frame of 10 ms stands out if, in some group of its sixteen mel bands, its power lies well above the noise floor.
//! The floor is taken from the recording's own quiet frames. This is a log-spectral relative of the statistical
//! detectors that go back to Sohn, Kim and Sung (1999), IEEE Signal Processing Letters 6, 1-3. Frames that stand out
//! make stretches; the strongest voiced stretch is the word's core; and its neighbours are taken in or left out by what
//! they are: a soft final f or a burst after a stop's closure belongs to the word, a click, a breath, a far voice or a
//! chair does not.
//!
//! ```
//! use soundbead_dsp::{audio::Clip, voice};
//! let silence = Clip { samples: vec![0.0; 16_000] };
//! assert!(voice::find(&silence).word.is_none());
//! ```

mod floor;
mod frames;
mod stretch;

use std::fmt;

use serde::{Deserialize, Serialize};

use crate::audio::{Clip, RATE, Recording};
use frames::{Frames, HOP};
pub use stretch::LeftOut;
use stretch::Stretch;

/// Longest pause between two sounds said apart that still belong to one word, in seconds.
pub const FARTHEST_S: f32 = 1.2;
/// Speech softer than this, in dBFS, is too quiet.
pub const QUIET_DBFS: f32 = -45.0;
/// Signal-to-noise below this, in dB, is noisy.
pub const NOISY_DB: f32 = 15.0;

/// The level given where there is no sound at all, in dBFS: under any that 24 bits can hold.
const NOTHING_DBFS: f32 = -160.0;
/// Signal-to-noise is given between these, in dB: outside them the figure would be chance.
const SNR_DB: [f32; 2] = [-20.0, 100.0];
/// Speech is under way at an edge of the recording where the first frame lies within this of the loudest, in dB, ...
const EDGE_UNDER_PEAK_DB: f32 = 25.0;
/// ... and stands so far out of the noise, in dB.
const EDGE_EXCESS_DB: f32 = 10.0;
/// Milliseconds in a frame.
const FRAME_MS: f32 = 10.0;

/// A range of samples at 16 kHz, `end` not included.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Span {
    /// First sample.
    pub start: usize,
    /// One past the last.
    pub end: usize,
}

impl Span {
    /// Length in seconds.
    pub fn seconds(&self) -> f32 {
        self.end.saturating_sub(self.start) as f32 / RATE as f32
    }
}

/// What there is of speech in a clip.
#[derive(Debug, Clone, PartialEq)]
pub struct Voice {
    /// Stretches of speech, in order: one for a word said whole, one a sound where sounds are said apart.
    pub spans: Vec<Span>,
    /// The whole word, from the first span's start to the last one's end. None if there is no speech.
    pub word: Option<Span>,
    /// Level of the noise between 120 Hz and 7.6 kHz, in dB below full scale (a full-scale sine is at -3).
    pub noise_dbfs: f32,
    /// Level of the speech in the same band, in dBFS; -160 if there is none.
    pub level_dbfs: f32,
    /// Signal-to-noise in dB, the noise taken out of the signal. None without speech, or where no noise could be heard.
    pub snr_db: Option<f32>,
    /// Speech is under way at the very first samples.
    pub starts_clipped: bool,
    /// Speech is under way at the very last.
    pub ends_cut: bool,
    /// Other sounds that were heard, and what they were taken for.
    pub left_out: Vec<(Span, LeftOut)>,
}

/// What a person should know before trusting what is found in a recording.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[non_exhaustive]
pub enum Warning {
    /// Nothing that sounds like speech.
    NoSpeech,
    /// Speech below [`QUIET_DBFS`].
    TooQuiet,
    /// Signal-to-noise below [`NOISY_DB`].
    Noisy,
    /// The recording level was too high.
    Clipped,
    /// The word had begun before the recording did.
    StartsClipped,
    /// The recording stopped before the word did.
    EndsCut,
    /// More than one stretch of speech.
    SeveralStretches,
    /// The file is damaged or ends early.
    DamagedFile,
}

impl Warning {
    /// A fixed name for programs.
    pub fn name(self) -> &'static str {
        match self {
            Warning::NoSpeech => "no_speech",
            Warning::TooQuiet => "too_quiet",
            Warning::Noisy => "noisy",
            Warning::Clipped => "clipped",
            Warning::StartsClipped => "starts_clipped",
            Warning::EndsCut => "ends_cut",
            Warning::SeveralStretches => "several_stretches",
            Warning::DamagedFile => "damaged_file",
        }
    }
}

impl fmt::Display for Warning {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Warning::NoSpeech => "no speech was found; check the microphone and say the word again",
            Warning::TooQuiet => "the voice is very soft; move closer to the microphone",
            Warning::Noisy => "the room is loud beside the voice; find a quieter place or move closer",
            Warning::Clipped => "the recording is too loud and its peaks are cut off; move back a little",
            Warning::StartsClipped => "the word starts before the recording does; wait a moment before speaking",
            Warning::EndsCut => "the recording stops before the word ends; wait a moment before stopping",
            Warning::SeveralStretches => "there is more than one stretch of speech, with pauses between",
            Warning::DamagedFile => "the file is damaged or ends early; only what could be read was used",
        })
    }
}

/// How good a recording is.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Quality {
    /// Level of the speech, in dBFS; see [`Voice::level_dbfs`].
    pub level_dbfs: f32,
    /// Signal-to-noise in dB, if it could be told.
    pub snr_db: Option<f32>,
    /// Whether the source is clipped.
    pub clipped: bool,
    /// Seconds of speech, pauses not counted.
    pub speech_s: f32,
    /// What is wrong with it, worst first; empty if nothing is.
    pub warnings: Vec<Warning>,
}

/// Finds the speech in a clip of any length. Never panics; samples that are not finite count as zero.
pub fn find(clip: &Clip) -> Voice {
    if clip.samples.iter().all(|x| x.is_finite()) {
        return find_in(&clip.samples);
    }
    let mended: Vec<f32> = clip
        .samples
        .iter()
        .map(|&x| if x.is_finite() { x } else { 0.0 })
        .collect();
    find_in(&mended)
}

fn find_in(samples: &[f32]) -> Voice {
    let frames = frames::measure(samples);
    let Some(mut floor) = floor::find(&frames) else {
        return nothing(NOTHING_DBFS);
    };
    let mut stretches = stretch::all(&frames, &floor);
    let mut core = stretch::main(&stretches);
    if core.is_none()
        && let Some(lower) = floor::under_speech(&frames)
    {
        floor = lower;
        stretches = stretch::all(&frames, &floor);
        core = stretch::main(&stretches);
    }
    let Some(core) = core.or_else(|| stretch::edge_to_edge(&frames, &stretches)) else {
        return only_noise(&stretches, &floor, samples.len());
    };
    let reasons = choose(&stretches, core);
    let mut left_out = Vec::new();
    let mut kept = Vec::new();
    for (s, reason) in stretches.drain(..).zip(reasons) {
        match reason {
            Some(why) => left_out.push((s.span(samples.len()), why)),
            None => kept.push(s),
        }
    }
    summarise(&frames, &floor, samples.len(), kept, left_out)
}

fn nothing(noise_dbfs: f32) -> Voice {
    Voice {
        spans: Vec::new(),
        word: None,
        noise_dbfs,
        level_dbfs: NOTHING_DBFS,
        snr_db: None,
        starts_clipped: false,
        ends_cut: false,
        left_out: Vec::new(),
    }
}

fn only_noise(stretches: &[Stretch], floor: &floor::Floor, len: usize) -> Voice {
    let left_out = stretches.iter().map(|s| (s.span(len), LeftOut::Noise)).collect();
    Voice {
        left_out,
        ..nothing(floor.level())
    }
}

/// Walks outwards from the core on both sides; each stretch is judged by its distance from what is already the word.
fn choose(stretches: &[Stretch], core: usize) -> Vec<Option<LeftOut>> {
    let mut reasons = vec![None; stretches.len()];
    let loud = stretches[core].voiced_peak.max(stretches[core].peak);
    let mut edge = stretches[core].start;
    for i in (0..core).rev() {
        let s = &stretches[i];
        reasons[i] = stretch::verdict(s, edge.saturating_sub(s.end) as f32 * FRAME_MS, loud);
        if reasons[i].is_none() {
            edge = s.start;
        }
    }
    edge = stretches[core].end;
    for i in core + 1..stretches.len() {
        let s = &stretches[i];
        reasons[i] = stretch::verdict(s, s.start.saturating_sub(edge) as f32 * FRAME_MS, loud);
        if reasons[i].is_none() {
            edge = s.end;
        }
    }
    reasons
}

fn summarise(
    frames: &Frames,
    floor: &floor::Floor,
    len: usize,
    kept: Vec<Stretch>,
    left_out: Vec<(Span, LeftOut)>,
) -> Voice {
    let speech = || kept.iter().flat_map(|s| s.start..s.end);
    let power = |db: f32| 10f32.powf(db / 10.0);
    let level_dbfs = stretch::mean_level(frames, speech()).unwrap_or(NOTHING_DBFS);
    let noise_dbfs = floor.level();
    let snr_db = floor
        .heard
        .then(|| 10.0 * ((power(level_dbfs) - power(noise_dbfs)).max(1e-12) / power(noise_dbfs)).log10())
        .map(|db| db.clamp(SNR_DB[0], SNR_DB[1]));
    // Two frames: a recording that starts in the middle of a sound is loud from its first samples.
    let peak = kept.iter().map(|s| s.peak).fold(NOTHING_DBFS, f32::max);
    let at_edge = |t: usize| {
        frames.level.get(t).is_some_and(|&l| l > peak - EDGE_UNDER_PEAK_DB) && floor.sharp[t] > EDGE_EXCESS_DB
    };
    let starts_clipped = kept.first().is_some_and(|s| s.start == 0) && at_edge(0);
    let ends_cut = kept.last().is_some_and(|s| s.end >= frames.len() - 1) && at_edge(frames.len().saturating_sub(2));
    let spans = join(&kept, len);
    let word = spans.first().zip(spans.last()).map(|(a, b)| Span {
        start: a.start,
        end: b.end,
    });
    Voice {
        spans,
        word,
        noise_dbfs,
        level_dbfs,
        snr_db,
        starts_clipped,
        ends_cut,
        left_out,
    }
}

/// Stretches parted by no more than a stop's closure are one.
fn join(kept: &[Stretch], len: usize) -> Vec<Span> {
    let mut spans: Vec<Span> = Vec::new();
    let closure = (stretch::CLOSURE_MS / FRAME_MS) as usize * HOP;
    for s in kept {
        let span = s.span(len);
        match spans.last_mut() {
            Some(last) if span.start <= last.end + closure => last.end = span.end,
            _ => spans.push(span),
        }
    }
    spans
}

/// Sums a recording's quality up from what was found in it.
pub fn quality(rec: &Recording, voice: &Voice) -> Quality {
    let mut warnings = Vec::new();
    let mut note = |yes: bool, w: Warning| {
        if yes {
            warnings.push(w);
        }
    };
    let any = voice.word.is_some();
    note(!any, Warning::NoSpeech);
    note(rec.truncated, Warning::DamagedFile);
    note(rec.clipped, Warning::Clipped);
    note(voice.starts_clipped, Warning::StartsClipped);
    note(voice.ends_cut, Warning::EndsCut);
    note(any && voice.level_dbfs < QUIET_DBFS, Warning::TooQuiet);
    note(any && voice.snr_db.is_some_and(|s| s < NOISY_DB), Warning::Noisy);
    note(voice.spans.len() > 1, Warning::SeveralStretches);
    Quality {
        level_dbfs: voice.level_dbfs,
        snr_db: voice.snr_db,
        clipped: rec.clipped,
        speech_s: voice.spans.iter().map(Span::seconds).sum(),
        warnings,
    }
}
