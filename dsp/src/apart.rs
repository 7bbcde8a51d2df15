//! Sounds said one by one, with gaps: counting the pieces.
//!
//! Speech and silence take turns; a piece lasts at least 30 ms and a gap at least 90 ms (the closure of a stop is
//! shorter than that). The posterior over the number of pieces is a forward sum over the model's own belief in silence.

use crate::align::{NEVER, log_add, log_sum};
use crate::model::{SILENCE, Scores};

/// Most pieces that are counted.
pub const MOST: usize = 16;
/// Fewest frames (10 ms) in a piece.
const PIECE: usize = 3;
/// Fewest frames in a gap.
const GAP: usize = 9;

/// How the belief in silence is weighed; set on speakers kept from training.
#[derive(Clone, Copy, Debug)]
pub struct ApartCalibration {
    /// Factor on the log-odds of speech in a frame.
    pub scale: f32,
    /// Added to the log-odds of speech: above 0, doubtful frames are speech.
    pub lean: f32,
    /// Natural log of the odds of starting another piece or gap.
    pub turn: f32,
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
fn odds(scores: &Scores, c: &ApartCalibration) -> Vec<f32> {
    let one = |silence: f32| {
        let p = silence.exp().clamp(1e-5, 1.0 - 1e-5);
        c.scale * (((1.0 - p) / p).ln() + c.lean).clamp(-8.0, 8.0)
    };
    scores.rows.iter().map(|row| one(row[SILENCE])).collect()
}

/// Counts the pieces.
pub fn pieces(scores: &Scores, c: &ApartCalibration) -> Pieces {
    let odds = odds(scores, c);
    let best = best_way(&odds, c.turn);
    Pieces {
        counts: counts(&odds, c.turn),
        cuts: best,
    }
}

/// A run of at least `fewest` frames: `begun[t]` enters at frame `t`, `out[t]` has left before frame `t`.
fn run(begun: &[f32], gain: impl Fn(usize) -> f32, fewest: usize) -> Vec<f32> {
    let n = begun.len() - 1;
    let mut out = vec![NEVER; n + 1];
    let mut sums = vec![0.0f32; n + 1];
    for t in 0..n {
        sums[t + 1] = sums[t] + gain(t);
    }
    // `held`: ways that entered at least `fewest` frames ago, each less its own sum up to its start.
    let mut held = NEVER;
    for t in fewest..=n {
        held = log_add(held, begun[t - fewest] - sums[t - fewest]);
        out[t] = (held + sums[t]).max(NEVER);
    }
    out
}

fn counts(odds: &[f32], turn: f32) -> [f32; MOST + 1] {
    let n = odds.len();
    let silent = |_: usize| 0.0;
    let spoken = |t: usize| odds[t];
    // Before the first piece and after the last, silence may be as short as it likes.
    let mut begun = vec![0.0f32; n + 1];
    let mut totals = [NEVER; MOST + 1];
    totals[0] = 0.0;
    for total in totals.iter_mut().skip(1) {
        begun.iter_mut().for_each(|v| *v += turn);
        let ended = run(&begun, spoken, PIECE);
        *total = log_sum(ended.iter().copied());
        begun = run(&ended, silent, GAP);
    }
    let all = log_sum(totals.iter().copied());
    totals.map(|t| (t - all).exp())
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
