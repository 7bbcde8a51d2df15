//! Clipping, looked for at the source's own rate and scale, before anything is resampled or mixed.
//!
//! A converter or an amplifier that has run out of room leaves runs of equal samples at the channel's extreme, entered
//! and left by a jump. A quiet, slow wave also shows equal samples at its top, but it gets there smoothly; the jump
//! tells the two apart. Lossy coding smears the flat tops, and leaves them overshooting full scale instead.

use std::ops::Range;

/// Equal samples in a row that count as a flat top.
const RUN: usize = 3;
/// How many quantising steps the jumps into and out of a flat top must amount to, together.
const JUMP_STEPS: f32 = 8.0;
/// Below this share of full scale a flat top is not taken for clipping.
const LEAST_LEVEL: f32 = 0.1;

/// Depths in bits that a step is worked out for; any other counts as [`USUAL_BITS`].
const BITS: std::ops::RangeInclusive<u32> = 4..=24;
const USUAL_BITS: u32 = 16;
/// A single flat top counts only from this many samples on: a peak brought just to full scale may make a shorter one.
const LONE_RUN: u64 = 6;

/// Watches one channel go by.
pub struct ClippingWatch {
    /// The source's quantising step, relative to full scale.
    step: f32,
    lossy: bool,
    n: u64,
    last: f32,
    /// Value before the present run, and the run's length.
    before: f32,
    run: usize,
    /// Flat tops so far: value, jump in and out, where. Only those at the greatest magnitude seen on their side.
    tops: [ChannelSide; 2],
}

/// Flat tops on one side of zero.
#[derive(Default)]
struct ChannelSide {
    extreme: f32,
    runs: Vec<Range<u64>>,
}

impl ClippingWatch {
    /// `bits` is the depth of the source if it is stored as whole numbers; `lossy` whether its coding is.
    pub fn new(bits: Option<u32>, lossy: bool) -> ClippingWatch {
        let bits = bits.filter(|b| BITS.contains(b)).unwrap_or(USUAL_BITS);
        let step = (2.0f32).powi(1 - bits as i32);
        ClippingWatch {
            step,
            lossy,
            n: 0,
            last: 0.0,
            before: 0.0,
            run: 0,
            tops: Default::default(),
        }
    }

    /// Takes the next sample.
    #[inline]
    pub fn push(&mut self, x: f32) {
        if self.lossy {
            self.push_lossy(x);
        } else if x == self.last {
            self.run += 1;
        } else {
            self.end_run(x);
            (self.before, self.last, self.run) = (self.last, x, 1);
        }
        self.n += 1;
    }

    fn push_lossy(&mut self, x: f32) {
        if x.abs() >= 1.0 {
            let side = &mut self.tops[usize::from(x < 0.0)];
            match side.runs.last_mut() {
                Some(r) if r.end == self.n => r.end += 1,
                _ => side.runs.push(self.n..self.n + 1),
            }
        }
    }

    /// The present run ends because `next` differs.
    #[inline]
    fn end_run(&mut self, next: f32) {
        let top = self.last;
        let side = &mut self.tops[usize::from(top < 0.0)];
        if top.abs() > side.extreme {
            side.extreme = top.abs();
            side.runs.clear();
        }
        if self.run < RUN || top.abs() < side.extreme || top.abs() < LEAST_LEVEL {
            return;
        }
        let jumps = (top - self.before).abs() + (top - next).abs();
        let starts_file = self.n == self.run as u64;
        if jumps > JUMP_STEPS * self.step && !starts_file {
            side.runs.push(self.n - self.run as u64..self.n);
        }
    }

    /// The flat tops found, as ranges of source samples, in order.
    pub fn finish(mut self) -> Vec<Range<u64>> {
        let [a, b] = &mut self.tops;
        let mut runs: Vec<_> = a.runs.drain(..).chain(b.runs.drain(..)).collect();
        runs.sort_by_key(|r| r.start);
        // One short run may be chance (a peak brought just to full scale); two are not.
        let longest = runs.iter().map(|r| r.end - r.start).max().unwrap_or(0);
        if runs.len() < 2 && (self.lossy || longest < LONE_RUN) {
            runs.clear();
        }
        runs
    }
}
