//! The first half of hearing: the word is found, cut out and scored, before anything is asked about it.

use std::sync::OnceLock;

use super::apart::{self, Lift};
use super::drawn;
use super::frame::FRAME;
use super::model::{HeardChannels, Scores};
use super::{Ear, EarError, LONGEST_S};
use crate::audio::{Clip, RATE, Recording};
use crate::judgement::Speaking;
use crate::voice::{self, Quality, Span};

/// Samples kept on each side of the word: real where the recording has them, else near-silence (150 ms).
pub(super) const MARGIN: usize = 2400;
/// Recordings up to this long are heard whole, in seconds.
const WHOLE_S: f64 = 2.0;
/// Peak of the hiss that stands for silence, as a share of the recording's peak: the hiss's power is then 60 dB under it.
const FAINT: f32 = 1.7e-3;
/// Most that the hiss may rise to where the room is noisy, as a share of the peak (14 dB under it): the word stays louder.
const LOUDEST_HISS: f32 = 0.2;
/// Least peak that the hiss is measured by (full scale is 1), so that digital silence gets some too.
const LEAST_PEAK: f32 = 1e-6;

/// What was heard in one recording, before anything is asked about it.
#[derive(Clone, Debug)]
pub struct Evidence {
    /// Log-probabilities over time.
    pub(super) scores: Scores,
    /// Spectra, for the sixth listener.
    pub(super) frames: Vec<f32>,
    /// What the sixth listener hears in them whatever is asked, once it was needed: asked about many words it hears once.
    pub(super) listened: OnceLock<HeardChannels>,
    /// How good the recording is.
    pub(super) quality: Quality,
    /// How far each frame stands out of the recording's quiet; only for sounds said apart.
    pub(super) lift: Vec<Lift>,
    pub(super) place: FramePlace,
    /// Of sounds said apart: the same joined, heard as one word.
    pub(super) joined: Option<Box<Evidence>>,
}

/// Where the scored frames lie in the recording.
#[derive(Clone, Debug)]
pub(super) struct FramePlace {
    /// Seconds from the recording's start to the first frame (negative where silence was put before it).
    offset_s: f32,
    /// Length of the recording in seconds.
    end_s: f32,
    /// Which of the recording's frames were scored, in order; none where all were.
    kept: Option<Vec<usize>>,
}

impl FramePlace {
    /// Seconds from the recording's start to the start of a frame.
    pub fn at(&self, frame: usize) -> f32 {
        let frame = self.kept.as_ref().map_or(frame, |kept| {
            let past_last = || kept.last().map_or(frame, |last| last + 1);
            kept.get(frame).copied().unwrap_or_else(past_last)
        });
        (self.offset_s + (frame * FRAME) as f32 / RATE as f32).clamp(0.0, self.end_s)
    }
}

impl Ear {
    /// Finds the word in a recording and scores its frames: everything that does not depend on what is asked.
    ///
    /// # Errors
    /// When there is no speech, or more than one word of it.
    pub fn listen(&mut self, recording: &Recording, speaking: Speaking) -> Result<Evidence, EarError> {
        let voice = voice::find(&recording.clip);
        let word = voice.word.ok_or(EarError::NoSpeech)?;
        let span = heard_span(&recording.clip, word, speaking);
        if span.seconds() > LONGEST_S {
            return Err(EarError::TooLong(span.seconds().round() as u32));
        }
        // The model was trained on words laid on near-silence; sounds said apart are counted against the room's noise.
        let noise_dbfs = match speaking {
            Speaking::Separate => voice.noise_dbfs,
            _ => f32::NEG_INFINITY,
        };
        let place = cut(&recording.clip.samples, span, noise_dbfs, &mut self.samples);
        self.mel.frames(&self.samples, &mut self.frames);
        let mut scores = Scores::default();
        self.model.score(&self.frames, &mut scores);
        let heard = Evidence {
            scores,
            frames: self.frames.clone(),
            listened: OnceLock::new(),
            lift: match speaking {
                Speaking::Separate => apart::lift(&self.frames),
                _ => Vec::new(),
            },
            place,
            quality: voice::quality(recording, &voice),
            joined: None,
        };
        Ok(match speaking {
            Speaking::Whole => heard,
            Speaking::Stretched => {
                let kept = drawn::held(&heard.scores);
                self.heard_anew(&heard, kept)
            }
            Speaking::Separate => self.with_joined(heard),
        })
    }

    /// The frames that are `kept` alone, scored as a word.
    fn heard_anew(&mut self, heard: &Evidence, kept: Vec<usize>) -> Evidence {
        let frames = drawn::thinned(&heard.frames, &kept);
        let mut scores = Scores::default();
        self.model.score(&frames, &mut scores);
        Evidence {
            scores,
            frames,
            listened: OnceLock::new(),
            lift: Vec::new(),
            place: FramePlace {
                kept: Some(kept),
                ..heard.place
            },
            quality: heard.quality.clone(),
            joined: None,
        }
    }

    fn with_joined(&mut self, mut heard: Evidence) -> Evidence {
        let pieces = apart::pieces(&heard.scores, &heard.lift, &self.settings.apart).cuts;
        if pieces.len() > 1 {
            let kept = drawn::joined(&heard.scores, &pieces);
            heard.joined = Some(Box::new(self.heard_anew(&heard, kept)));
        }
        heard
    }
}

impl Evidence {
    /// Takes from sounds said apart what they are joined, so that the pieces speak alone.
    #[cfg(feature = "measure")]
    pub fn take_joined(&mut self) -> Option<Evidence> {
        self.joined.take().map(|joined| *joined)
    }
}

/// What of the recording is heard. A short recording is heard from end to end: in so little time there is hardly room for
/// anything but the word, and a weak first or last sound is safer with the model than with the search for speech. Of sounds
/// said apart all are heard, however long it takes: a soft one is easily taken for a click or a breath.
fn heard_span(clip: &Clip, word: Span, speaking: Speaking) -> Span {
    if speaking == Speaking::Separate || clip.seconds() <= WHOLE_S {
        Span {
            start: 0,
            end: clip.samples.len(),
        }
    } else {
        word
    }
}

/// Copies the word with its margins, in whole frames, into `out`.
fn cut(samples: &[f32], span: Span, noise_dbfs: f32, out: &mut Vec<f32>) -> FramePlace {
    let first = span.start as isize - MARGIN as isize;
    let wanted = (span.end + MARGIN) as isize - first;
    let length = (wanted as usize).next_multiple_of(FRAME);
    let inside = &samples[first.max(0) as usize..(span.end + MARGIN).min(samples.len())];
    let peak = inside.iter().fold(0.0f32, |m, x| m.max(x.abs()));
    // Where the recording has nothing, a hiss of `noise_dbfs` stands for silence: a fixed one, so that the same recording
    // always gives the same answer. A hiss even between -a and a has the power a^2 / 3.
    let faint = FAINT * peak;
    let noise = (3f32.sqrt() * 10f32.powf(noise_dbfs / 20.0)).clamp(faint, LOUDEST_HISS * peak.max(LEAST_PEAK));
    let mut hiss = hiss();
    out.clear();
    for i in 0..length as isize {
        let real = usize::try_from(first + i).ok().and_then(|at| samples.get(at)).copied();
        let h = hiss();
        out.push(real.map_or(noise * h, |x| x + faint * h));
    }
    FramePlace {
        offset_s: first as f32 / RATE as f32,
        end_s: samples.len() as f32 / RATE as f32,
        kept: None,
    }
}

/// Numbers even between -1 and 1, always the same ones (the multiplier is that of Numerical Recipes, 2nd ed., section 7.1).
fn hiss() -> impl FnMut() -> f32 {
    let mut seed = 1u32;
    move || {
        seed = seed.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
        (seed >> 8) as f32 / (1u32 << 23) as f32 - 1.0
    }
}
