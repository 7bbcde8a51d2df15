//! Resonances of the vocal tract (formants) in a vowel, and which vowel they come nearest to.
//!
//! Made for children first. A high voice's harmonics sample the spectrum thinly. Four resonances and a slope are
//! therefore fitted to the levels of the harmonics themselves, starting from every published vowel (see
//! `formant/fit.rs`). Whispered or unvoiced sound has no harmonics and gives no reading rather than a guess.
//!
//! ```no_run
//! use soundbead_dsp::{audio, formant::{self, VoiceKind}, voice};
//! let said = audio::decode("ee.wav".as_ref())?;
//! if let Some(span) = voice::find(&said.clip).word {
//!     let reading = formant::vowel(&said.clip, span, VoiceKind::Child);
//!     for near in reading.nearest.iter().take(2) {
//!         println!("{} {:.0} %", near.vowel.arpabet(), 100.0 * near.probability);
//!     }
//! }
//! # Ok::<(), audio::AudioError>(())
//! ```

mod fit;
mod harmonics;

use soundbead_data::norm::NORMS;
pub use soundbead_data::norm::VoiceKind;
use soundbead_data::sound::Sound;

use crate::audio::{Clip, RATE};
use crate::pitch::{self, Pitch};
use crate::voice::Span;
use fit::{HarmonicFrame, POLES, Prior, ResonanceFit};

/// Harmonics are read up to here in this voice, in Hz: just past the fourth resonance, which lies near 3.5 kHz in a man.
fn ceiling(voice: VoiceKind) -> f32 {
    4000.0 * voice.tract_scale() as f32
}

/// One frame of a formant track.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Formants {
    /// Middle of the frame, in seconds from the clip's start.
    pub time_s: f32,
    /// Pitch in Hz.
    pub f0: f32,
    /// F1, F2, F3 in Hz.
    pub hz: [f32; 3],
    /// Their bandwidths in Hz; coarse, since harmonics seldom fall on a resonance's flanks.
    pub bandwidth: [f32; 3],
    /// 0 to 1: how periodic the frame is and how well resonances explain its harmonics.
    pub confidence: f32,
}

/// How near a reading comes to a vowel.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Near {
    /// The vowel; only the twelve of the norms are weighed.
    pub vowel: Sound,
    /// Probability among the twelve, each held equally likely beforehand.
    pub probability: f32,
}

/// What a vowel is called, as far as its formants tell.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum VowelName {
    /// This one.
    One(Sound),
    /// One of these two, the likelier first: neighbors overlap, in one talker and between talkers.
    Between(Sound, Sound),
}

/// A vowel is called by one name where it is so many times as likely as the next. A wrong name given to a good vowel does
/// harm, "between two" does not. At twice, every mean of the table is called by its own name, and none of those of 1952 or
/// of 1995 by a wrong one.
const LEAD_OF_ONE: f32 = 2.0;

/// What to call a vowel whose neighbors are `nearest` (likeliest first, as from [`nearest`]); `None` if there are none.
pub fn named(nearest: &[Near]) -> Option<VowelName> {
    match nearest {
        [first, second, ..] if first.probability < LEAD_OF_ONE * second.probability => {
            Some(VowelName::Between(first.vowel, second.vowel))
        }
        [first, ..] => Some(VowelName::One(first.vowel)),
        [] => None,
    }
}

/// What was read from a vowel.
#[derive(Debug, Clone, PartialEq)]
pub struct VowelReading {
    /// Frames with a voice, every 10 ms; may be empty.
    pub track: Vec<Formants>,
    /// Median F1, F2, F3 of the steadiest half of the confident frames, in Hz. None if there are fewer than three.
    pub steady: Option<[f32; 3]>,
    /// Median pitch of the track, in Hz.
    pub f0: Option<f32>,
    /// Vowels, likeliest first; empty without `steady`.
    pub nearest: Vec<Near>,
}

/// Samples around the span that the first and last frames see, so that they see whole periods (20 ms).
const MARGIN: usize = 320;
/// Fewest harmonics that resonances are fitted to: four resonances and a slope need more than five points.
const FEWEST_HARMONICS: usize = 6;
/// A fit that leaves so many dB unexplained has 1/e of the confidence: a choice.
const POOR_FIT_DB: f64 = 6.0;
/// Fits whose F1 and F2 lie nearer than this (as logarithms: 4 %) are one.
const SAME_FIT: f32 = 0.04;
/// Fits of a frame that are kept, best first.
const MOST_FITS: usize = 4;
/// Fewest confident frames that a vowel is read from (30 ms).
const FEWEST_FRAMES: usize = 3;
/// First resonance of a neutral tube of a man's length, in Hz; the others are its odd multiples (Fant 1960).
const TUBE_HZ: f64 = 500.0;

/// Frames below this confidence are kept in the track but not weighed: a choice.
pub const CONFIDENT: f32 = 0.35;

/// Reads the vowel in a span of a clip. Never fails: without a voice the reading is empty.
pub fn vowel(clip: &Clip, span: Span, voice: VoiceKind) -> VowelReading {
    let end = span.end.min(clip.samples.len());
    let start = span.start.min(end);
    let (from, to) = (start.saturating_sub(MARGIN), (end + MARGIN).min(clip.samples.len()));
    let part = &clip.samples[from..to];
    let pitches = pitch::track(part);
    let offset = from as f32 / RATE as f32;
    let inside = |f: &Formants| f.time_s * RATE as f32 >= start as f32 && f.time_s * (RATE as f32) < end as f32;
    let track: Vec<Formants> = follow(part, &pitches, voice)
        .into_iter()
        .map(|f| Formants {
            time_s: f.time_s + offset,
            ..f
        })
        .filter(inside)
        .collect();
    let steady = steady(&track);
    let f0 = pitch::median(&pitches).filter(|_| !track.is_empty());
    let nearest = steady.map(|s| nearest(s, voice)).unwrap_or_default();
    VowelReading {
        track,
        steady,
        f0,
        nearest,
    }
}

/// Vowels of a group, likeliest first, for F1, F2, F3 in Hz: normal densities of their logarithms.
pub fn nearest(hz: [f32; 3], voice: VoiceKind) -> Vec<Near> {
    let mut scores: Vec<(Sound, f64)> = NORMS
        .iter()
        .filter(|n| n.voice == voice)
        .map(|n| {
            let d: [f64; 3] = std::array::from_fn(|i| f64::from(hz[i].max(1.0) / n.means_hz[i]).ln());
            let [a, b, c, e, f, i] = n.covariance.map(|x| f64::from(x) * 1e-4);
            let det = a * (e * i - f * f) - b * (b * i - f * c) + c * (b * f - e * c);
            // The inverse by cofactors.
            let inv = [
                e * i - f * f,
                c * f - b * i,
                b * f - c * e,
                a * i - c * c,
                b * c - a * f,
                a * e - b * b,
            ];
            let q = inv[0] * d[0] * d[0]
                + inv[3] * d[1] * d[1]
                + inv[5] * d[2] * d[2]
                + 2.0 * (inv[1] * d[0] * d[1] + inv[2] * d[0] * d[2] + inv[4] * d[1] * d[2]);
            (n.vowel, -0.5 * (q / det + det.ln()))
        })
        .collect();
    scores.sort_by(|x, y| y.1.total_cmp(&x.1));
    let top = scores.first().map_or(0.0, |s| s.1);
    let sum: f64 = scores.iter().map(|s| (s.1 - top).exp()).sum();
    scores
        .iter()
        .map(|s| Near {
            vowel: s.0,
            probability: ((s.1 - top).exp() / sum) as f32,
        })
        .collect()
}

/// Frames to either side that are fitted together with one, 20 ms away: a moving pitch then shows more of the spectrum.
const BESIDE: usize = 2;

fn follow(samples: &[f32], pitches: &[Pitch], voice: VoiceKind) -> Vec<Formants> {
    let read = |p: &Pitch| {
        let middle = (p.time_s * RATE as f32) as usize;
        let (f0, h) = harmonics::measure(samples, middle, p.hz?, ceiling(voice))?;
        (h.len() >= FEWEST_HARMONICS).then(|| (f0, HarmonicFrame::new(&h)))
    };
    let frames: Vec<Option<(f32, HarmonicFrame)>> = pitches.iter().map(read).collect();
    let options: Vec<Vec<ResonanceFit>> = (0..frames.len()).map(|t| fits(&frames, t, voice)).collect();
    let path = smoothest(&options);
    let mut out = Vec::new();
    for (t, pick) in path.into_iter().enumerate() {
        let (Some(i), Some((f0, _))) = (pick, &frames[t]) else {
            continue;
        };
        let fit = &options[t][i];
        let confidence = pitches[t].strength * (-(fit.rms_db / POOR_FIT_DB).powi(2)).exp() as f32;
        out.push(Formants {
            time_s: pitches[t].time_s,
            f0: *f0,
            hz: std::array::from_fn(|k| fit.hz(k)),
            bandwidth: std::array::from_fn(|k| fit.bandwidth(k)),
            confidence,
        });
    }
    out
}

/// Different fits of one frame, best first, at most four: from every vowel's norm, and from a neutral tube.
fn fits(frames: &[Option<(f32, HarmonicFrame)>], t: usize, voice: VoiceKind) -> Vec<ResonanceFit> {
    let Some((_, this)) = &frames[t] else { return Vec::new() };
    let mut group = vec![this];
    let beside = [t.checked_sub(BESIDE), Some(t + BESIDE)];
    group.extend(
        beside
            .into_iter()
            .flatten()
            .filter_map(|u| Some(&frames.get(u)?.as_ref()?.1)),
    );
    let neutral: [f64; POLES] = std::array::from_fn(|k| TUBE_HZ * voice.tract_scale() * (2 * k + 1) as f64);
    let norms = NORMS
        .iter()
        .filter(|n| n.voice == voice)
        .map(|n| (n.means_hz.map(f64::from), true));
    let fit = |(start, known)| {
        let prior = Prior::new(start, known);
        Some((fit::from_start(&group[..1], &prior, start)?, prior))
    };
    let mut all: Vec<(ResonanceFit, Prior)> = norms.chain([(neutral, false)]).filter_map(fit).collect();
    all.sort_by(|a, b| a.0.cost.total_cmp(&b.0.cost));
    let mut kept: Vec<(ResonanceFit, Prior)> = Vec::new();
    for f in all {
        let same = |k: &(ResonanceFit, Prior)| (0..2).all(|i| (k.0.hz(i) / f.0.hz(i)).ln().abs() < SAME_FIT);
        if kept.len() < MOST_FITS && !kept.iter().any(same) {
            kept.push(f);
        }
    }
    let mut joint: Vec<ResonanceFit> = kept
        .iter()
        .filter_map(|(f, prior)| fit::from_fit(&group, prior, f))
        .collect();
    joint.sort_by(|a, b| a.cost.total_cmp(&b.cost));
    joint
}

/// Cost of a move of a formant by a factor of e from one frame to the next.
const MOVE: f64 = 40.0;

/// The path through the frames' fits that explains them best without leaps (Viterbi's algorithm).
fn smoothest(options: &[Vec<ResonanceFit>]) -> Vec<Option<usize>> {
    let mut back: Vec<Vec<usize>> = Vec::with_capacity(options.len());
    let mut costs: Vec<Vec<f64>> = Vec::with_capacity(options.len());
    for (t, now) in options.iter().enumerate() {
        let before: &[ResonanceFit] = if t == 0 { &[] } else { &options[t - 1] };
        let step = |i: usize, f: &ResonanceFit| {
            (0..3)
                .map(|k| MOVE * f64::from(f.hz(k) / before[i].hz(k)).ln().abs())
                .sum::<f64>()
        };
        let (mut cost, mut from) = (Vec::new(), Vec::new());
        for f in now {
            let last = (0..before.len()).map(|i| (i, costs[t - 1][i] + step(i, f)));
            let (i, c) = last.min_by(|a, b| a.1.total_cmp(&b.1)).unwrap_or((0, 0.0));
            cost.push(c + f.cost);
            from.push(i);
        }
        costs.push(cost);
        back.push(from);
    }
    let mut path = vec![None; options.len()];
    let mut state: Option<usize> = None;
    for t in (0..options.len()).rev() {
        // A run of voiced frames ends here: start from its cheapest end.
        let here = state.or_else(|| (0..costs[t].len()).min_by(|&a, &b| costs[t][a].total_cmp(&costs[t][b])));
        path[t] = here;
        state = here.map(|i| back[t][i]).filter(|_| t > 0 && !options[t - 1].is_empty());
    }
    path
}

/// Median of the frames about which the track moves least.
fn steady(track: &[Formants]) -> Option<[f32; 3]> {
    let sure: Vec<&Formants> = track.iter().filter(|f| f.confidence >= CONFIDENT).collect();
    if sure.len() < FEWEST_FRAMES {
        return None;
    }
    let moves = |i: usize| {
        let (a, b) = (sure[i.saturating_sub(1)], sure[(i + 1).min(sure.len() - 1)]);
        (0..2).map(|k| (b.hz[k] / a.hz[k]).ln().abs()).sum::<f32>()
    };
    let mut order: Vec<usize> = (0..sure.len()).collect();
    order.sort_by(|&a, &b| moves(a).total_cmp(&moves(b)));
    order.truncate((sure.len() / 2).max(FEWEST_FRAMES));
    Some(std::array::from_fn(|k| {
        let mut hz: Vec<f32> = order.iter().map(|&i| sure[i].hz[k]).collect();
        hz.sort_by(f32::total_cmp);
        hz[hz.len() / 2]
    }))
}
