//! Sounds said one by one, with gaps: counting the pieces.
//!
//! Speech and silence take turns; a piece lasts at least 30 ms and a gap at least 120 ms (the closure of a stop is
//! mostly shorter than that). Witnesses speak for speech in a frame: the model's belief; how far the louder bands rise
//! over the recording's own quiet, which steady noise does not lift; and how far the band groups lie outside what that
//! noise does by chance, which shows a weak f or s. The probability of each count comes from the best way to lay so many
//! pieces on the frames.

mod noise;

use serde::{Deserialize, Serialize};

use crate::ear::align::NEVER;
use crate::ear::model::{SILENCE, Scores};
pub use noise::{Lift, lift};

/// Most pieces that are counted.
pub const MOST: usize = 16;
/// Fewest frames (10 ms) in a piece.
const PIECE: usize = 3;
/// Fewest frames in a gap.
const GAP: usize = 12;
/// A frame speaks at most this loudly against speech, in nepers: a moment of digital silence must not outweigh a sound.
const AGAINST: f32 = 6.0;
/// ... and at most this loudly for it: a click must not be a sound by itself.
const FOR: f32 = 4.0;
/// The model's belief in silence is taken no nearer to 0 or 1 than this.
const LEAST_BELIEF: f32 = 1e-4;

/// How the witnesses are weighed; set on speakers kept from training.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ApartCalibration {
    /// Factor on the model's log-odds of speech in a frame.
    pub belief: f32,
    /// Factor on the lift over quiet, in nepers.
    pub lift: f32,
    /// Lift that speaks neither for nor against speech, in nepers.
    pub level: f32,
    /// Factor on how far the band group that stands out most does so, in the noise's standard deviations, less one.
    pub group: f32,
    /// Factor on how far the treble stands out, in standard deviations.
    pub treble: f32,
    /// Natural log of the odds of starting another piece.
    pub turn: f32,
    /// Power on the probabilities of counts; below 1, less sure.
    pub doubt: f32,
    /// Factor on how much better another sound fits a piece than the expected one.
    pub unlike: f32,
    /// By how many nepers another sound must win, at factor one, before it is as likely as the expected one.
    pub benefit: f32,
}

/// The pieces of a recording.
#[derive(Clone, Debug)]
pub struct Pieces {
    /// `counts[k]`: probability of `k` pieces.
    pub counts: [f32; MOST + 1],
    /// First and one past the last frame of each piece of the best way.
    pub cuts: Vec<(usize, usize)>,
}

/// Log-odds of speech against silence in each frame.
fn odds(scores: &Scores, lift: &[Lift], c: &ApartCalibration) -> Vec<f32> {
    let one = |(row, lift): (&[f32; crate::ear::model::CLASSES], &Lift)| {
        let p = row[SILENCE].exp().clamp(LEAST_BELIEF, 1.0 - LEAST_BELIEF);
        let belief = c.belief * ((1.0 - p) / p).ln();
        let rise = c.lift * (lift.louder - c.level);
        let chance = c.group * (lift.group - 1.0) + c.treble * lift.treble;
        (belief + rise + chance).clamp(-AGAINST, FOR)
    };
    scores.rows.iter().zip(lift).map(one).collect()
}

/// Counts the pieces; `lift` has one value for each row of `scores`.
pub fn pieces(scores: &Scores, lift: &[Lift], c: &ApartCalibration) -> Pieces {
    let odds = odds(scores, lift, c);
    let cuts = best_way(&odds, c.turn);
    Pieces {
        counts: counts(&odds, c),
        cuts,
    }
}

/// The best run of at least `fewest` frames: `begun[t]` enters at frame `t`, the result has left before frame `t`.
fn run(begun: &[f32], gain: impl Fn(usize) -> f32, fewest: usize) -> Vec<f32> {
    let n = begun.len() - 1;
    let mut out = vec![NEVER; n + 1];
    let mut sums = vec![0.0f32; n + 1];
    for t in 0..n {
        sums[t + 1] = sums[t] + gain(t);
    }
    // `held`: the best way that entered at least `fewest` frames ago, less its own sum up to its start.
    let mut held = NEVER;
    for t in fewest..=n {
        held = held.max(begun[t - fewest] - sums[t - fewest]);
        out[t] = (held + sums[t]).max(NEVER);
    }
    out
}

fn counts(odds: &[f32], c: &ApartCalibration) -> [f32; MOST + 1] {
    // Before the first piece and after the last, silence may be as short as it likes.
    let mut begun = vec![0.0f32; odds.len() + 1];
    let mut best = [NEVER; MOST + 1];
    for slot in best.iter_mut().skip(1) {
        begun.iter_mut().for_each(|v| *v += c.turn);
        let ended = run(&begun, |t| odds[t], PIECE);
        *slot = ended.iter().copied().fold(NEVER, f32::max);
        begun = run(&ended, |_| 0.0, GAP);
    }
    let top = best.iter().copied().fold(NEVER, f32::max);
    // Neighbouring frames say much the same, so that their sum is too sure of itself.
    let weights = best.map(|b| (c.doubt * (b - top)).exp());
    let all: f32 = weights.iter().sum();
    weights.map(|w| w / all)
}

/// The best single way: the same turns, by maximum.
fn best_way(odds: &[f32], turn: f32) -> Vec<(usize, usize)> {
    let n = odds.len();
    let mut sums = vec![0.0f32; n + 1];
    for t in 0..n {
        sums[t + 1] = sums[t] + odds[t];
    }
    // quiet[t] / loud[t]: best value with a gap (piece) ending before t; with where it began.
    let mut quiet = vec![(0.0f32, 0usize); n + 1];
    let mut loud = vec![(NEVER, 0usize); n + 1];
    let mut open: (f32, usize) = (NEVER, 0);
    let mut rest: (f32, usize) = (NEVER, 0);
    for t in 1..=n {
        if t >= PIECE {
            let s = t - PIECE;
            let value = quiet[s].0 + turn - sums[s];
            if value > open.0 {
                open = (value, s);
            }
            loud[t] = (open.0 + sums[t], open.1);
        }
        if t >= GAP && loud[t - GAP].0 > rest.0 {
            rest = (loud[t - GAP].0, t - GAP);
        }
        if rest.0 > 0.0 {
            quiet[t] = rest;
        }
    }
    let closing = (0..=n).max_by(|a, b| loud[*a].0.total_cmp(&loud[*b].0)).unwrap_or(0);
    let mut cuts = Vec::new();
    let mut end = closing;
    if loud[end].0 <= 0.0 {
        return cuts;
    }
    loop {
        let start = loud[end].1;
        cuts.push((start, end));
        if quiet[start].0 <= 0.0 {
            break;
        }
        end = quiet[start].1;
    }
    cuts.reverse();
    cuts
}
