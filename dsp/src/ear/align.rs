//! Laying a row of sounds on the evidence: sums over every way to do it (forward and backward), and the best way.
//!
//! A hypothesis is silence, then each sound for at least two frames, then silence. All values are natural logs.
//! The sums follow Rabiner (1989), *A tutorial on hidden Markov models*, Proc. IEEE 77, 257-286.

use crate::ear::model::{CLASSES, PathWeights, SILENCE, Scores};

/// The log of nothing. Finite, so that sums of it stay numbers.
pub const NEVER: f32 = -1e9;
/// Logs further apart than this: the smaller number is under the last digit of the larger (2^-24 is e^-16.6).
const LAST_DIGIT: f32 = 17.0;
/// Share of each class's prior that is divided out of its scores: half, so that rare sounds are not held against, and common
/// ones not given away (`training/sequence.py` learned with the same).
const PRIOR_SHARE: f32 = 0.5;

/// `ln(exp(a) + exp(b))`.
pub fn log_add(a: f32, b: f32) -> f32 {
    let (high, low) = if a > b { (a, b) } else { (b, a) };
    if high - low > LAST_DIGIT {
        high
    } else {
        high + (low - high).exp().ln_1p()
    }
}

/// `ln(sum(exp(values)))`; [`NEVER`] when there are none.
pub fn log_sum(values: impl Iterator<Item = f32> + Clone) -> f32 {
    let top = values.clone().fold(NEVER, f32::max);
    if top <= NEVER {
        return NEVER;
    }
    top + values.map(|v| (v - top).exp()).sum::<f32>().ln()
}

/// The evidence of a recording, ready to be walked: one row of weighted log-likelihoods a frame.
pub struct Lattice<'a> {
    rows: Vec<[f32; CLASSES]>,
    path: &'a PathWeights,
}

impl<'a> Lattice<'a> {
    /// Divides a part of each class's share out of the scores ([`PRIOR_SHARE`]).
    pub fn new(scores: &Scores, path: &'a PathWeights) -> Lattice<'a> {
        let weigh = |row: &[f32; CLASSES]| std::array::from_fn(|c| (row[c] - PRIOR_SHARE * path.prior[c]) * path.scale);
        Lattice {
            rows: scores.rows.iter().map(weigh).collect(),
            path,
        }
    }

    /// How many frames there are.
    pub fn frames(&self) -> usize {
        self.rows.len()
    }

    /// The weighted evidence of frame `t`.
    pub fn row(&self, t: usize) -> &[f32; CLASSES] {
        &self.rows[t]
    }

    /// `out[t]`: the first sound may start at frame `t`, with silence before it. Length `frames() + 1`.
    pub fn opening(&self) -> Vec<f32> {
        let mut out = vec![NEVER; self.frames() + 1];
        out[0] = 0.0;
        let mut silence = 0.0;
        for t in 0..self.frames() {
            silence += self.rows[t][SILENCE] + if t > 0 { self.path.stay[SILENCE] } else { 0.0 };
            out[t + 1] = silence + self.path.leave[SILENCE];
        }
        out
    }

    /// `out[t]`: the last sound may have ended before frame `t`, with silence from there on.
    pub fn closing(&self) -> Vec<f32> {
        let n = self.frames();
        let mut out = vec![NEVER; n + 1];
        out[n] = 0.0;
        let mut silence = 0.0;
        for t in (0..n).rev() {
            silence += self.rows[t][SILENCE] + if t + 1 < n { self.path.stay[SILENCE] } else { 0.0 };
            out[t] = silence;
        }
        out
    }

    /// From "may start at t" (`from`) through one sound to "the next may start at t" (`out`).
    pub fn forward(&self, class: usize, from: &[f32], out: &mut Vec<f32>) {
        let (stay, leave, enter) = (self.path.stay[class], self.path.leave[class], self.path.enter[class]);
        out.clear();
        out.resize(self.frames() + 1, NEVER);
        let (mut first, mut rest) = (NEVER, NEVER);
        for t in 0..self.frames() {
            let e = self.rows[t][class];
            rest = log_add(rest + stay, first) + e;
            first = from[t] + enter + e;
            out[t + 1] = (rest + leave).max(NEVER);
        }
    }

    /// The mirror of [`Lattice::forward`]: from "what follows may start at t" to "this sound may start at t".
    pub fn backward(&self, class: usize, after: &[f32], out: &mut Vec<f32>) {
        let n = self.frames();
        let (stay, leave, enter) = (self.path.stay[class], self.path.leave[class], self.path.enter[class]);
        out.clear();
        out.resize(n + 1, NEVER);
        let mut rest = NEVER;
        for t in (0..n).rev() {
            let e = self.rows[t][class];
            let before = rest;
            out[t] = (enter + e + before).max(NEVER);
            rest = log_add(before + stay, after[t + 1] + leave) + e;
        }
    }

    /// Score of a whole hypothesis: the sum over every way to lay it on the frames. [`NEVER`] or near it when it does
    /// not fit in the frames.
    pub fn score(&self, classes: &[usize]) -> f32 {
        let mut from = self.opening();
        let mut next = Vec::new();
        for &class in classes {
            self.forward(class, &from, &mut next);
            std::mem::swap(&mut from, &mut next);
        }
        join(&from, &self.closing())
    }

    /// The best single way: the first and one past the last frame of each sound. `None` when it does not fit.
    pub fn cuts(&self, classes: &[usize]) -> Option<Vec<(usize, usize)>> {
        let n = self.frames();
        // best[i][t]: sounds 0..i are laid and the next may start at frame t; from[i][t]: where sound i - 1 started.
        let mut best = vec![self.opening()];
        let mut began: Vec<Vec<usize>> = Vec::new();
        for &class in classes {
            let (value, start) = self.best_forward(class, &best[best.len() - 1]);
            best.push(value);
            began.push(start);
        }
        let closing = self.closing();
        let last = &best[best.len() - 1];
        let total = |t: &usize| last[*t] + closing[*t];
        let mut end = (0..=n).max_by(|a, b| total(a).total_cmp(&total(b)))?;
        if total(&end) < NEVER / 2.0 {
            return None;
        }
        let mut cuts = vec![(0, 0); classes.len()];
        for i in (0..classes.len()).rev() {
            cuts[i] = (began[i][end], end);
            end = cuts[i].0;
        }
        Some(cuts)
    }

    fn best_forward(&self, class: usize, from: &[f32]) -> (Vec<f32>, Vec<usize>) {
        let n = self.frames();
        let (stay, leave, enter) = (self.path.stay[class], self.path.leave[class], self.path.enter[class]);
        let (mut value, mut start) = (vec![NEVER; n + 1], vec![0; n + 1]);
        let (mut first, mut rest, mut rest_start) = (NEVER, NEVER, 0);
        for t in 0..n {
            let e = self.rows[t][class];
            if first > rest + stay {
                (rest, rest_start) = (first + e, t.saturating_sub(1));
            } else {
                rest += stay + e;
            }
            first = from[t] + enter + e;
            value[t + 1] = (rest + leave).max(NEVER);
            start[t + 1] = rest_start;
        }
        (value, start)
    }
}

/// The sum over every frame at which one part may end and the other start.
pub fn join(before: &[f32], after: &[f32]) -> f32 {
    log_sum(before.iter().zip(after).map(|(a, b)| a + b))
}
