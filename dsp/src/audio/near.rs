//! Times given for a word in a longer recording are near the word, not on it.

use super::{Clip, RATE};

/// Samples in a step (10 ms).
const STEP: usize = RATE as usize / 100;
/// How far outside a given time the word may still be under way, in steps.
const REACH: usize = 12;
/// Steps of quiet in a row that part one word from the next. A stop's closure is mostly shorter.
const QUIET: usize = 8;
/// Steps taken outside a given time in any case: labels laid by hand or by machine are seldom nearer than that.
const LEAST: usize = 3;

/// Steps around the range that the softest moment is looked for in (0.4 s).
const AROUND: usize = 40;
/// Quiet is this share of the power of the loudest step, ...
const UNDER_LOUDEST: f32 = 0.002_511_886_4; // 26 dB
/// ... or this many times that of the softest, whichever is more.
const OVER_SOFTEST: f32 = 3.981_071_7; // 6 dB

/// Moves both ends of `start..end` (samples) outwards to where the speech that is under way there falls quiet: at most
/// 120 ms, and no more than 30 ms where no quiet is found, for then another word follows at once.
///
/// Quiet is 26 dB under the loudest 10 ms of the range, or within 6 dB of the softest 10 ms around it.
pub fn widen(clip: &Clip, start: usize, end: usize) -> (usize, usize) {
    let samples = &clip.samples;
    let power = |step: &[f32]| step.iter().map(|x| x * x).sum::<f32>() / step.len().max(1) as f32;
    let loudest = samples[start..end].chunks(STEP).map(power).fold(0.0, f32::max);
    let around = start.saturating_sub(AROUND * STEP)..(end + AROUND * STEP).min(samples.len());
    let softest = samples[around].chunks_exact(STEP).map(power).fold(f32::MAX, f32::min);
    let limit = (loudest * UNDER_LOUDEST).max(softest * OVER_SOFTEST);
    let after: Vec<bool> = samples[end..]
        .chunks(STEP)
        .take(REACH + QUIET)
        .map(|s| power(s) <= limit)
        .collect();
    let before: Vec<bool> = samples[..start]
        .rchunks(STEP)
        .take(REACH + QUIET)
        .map(|s| power(s) <= limit)
        .collect();
    let first = start.saturating_sub(outward(&before) * STEP);
    (first, (end + outward(&after) * STEP).min(samples.len()))
}

/// Steps to go outward, given which steps are quiet: to the first quiet and on through it, for a soft beginning or end
/// may lie in it, but not up to what is said next.
fn outward(quiet: &[bool]) -> usize {
    let found = (0..=REACH.min(quiet.len())).find(|&at| {
        let run = quiet[at..].iter().take(QUIET);
        // Where the recording ends, what there is of quiet is enough.
        run.clone().all(|q| *q) && (run.len() == QUIET || at + run.len() == quiet.len())
    });
    let Some(at) = found else { return LEAST.min(quiet.len()) };
    match quiet[at..].iter().position(|q| !q) {
        Some(run) => at + run - 2,
        None => quiet.len(),
    }
    .min(REACH.max(at + QUIET - 2))
    .min(quiet.len())
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Tone where `loud` says so, in steps of 10 ms, over a faint hiss.
    fn clip(loud: &[(usize, usize)], steps: usize) -> Clip {
        let gain = |i: usize| {
            if loud.iter().any(|r| (r.0..r.1).contains(&(i / STEP))) {
                0.3
            } else {
                0.0005
            }
        };
        Clip {
            samples: (0..steps * STEP).map(|i| gain(i) * (i as f32 * 0.7).sin()).collect(),
        }
    }

    #[test]
    fn a_word_cut_too_short_is_followed_to_its_end() {
        let (a, b) = widen(&clip(&[(50, 100)], 200), 55 * STEP, 88 * STEP);
        assert!((30 * STEP..=50 * STEP).contains(&a), "{}", a / STEP);
        assert!((100 * STEP..=113 * STEP).contains(&b), "{}", b / STEP);
    }

    #[test]
    fn the_next_word_is_left_alone() {
        // 100 ms of quiet, then another word.
        let (_, b) = widen(&clip(&[(50, 100), (110, 150)], 200), 50 * STEP, 100 * STEP);
        assert!(b <= 108 * STEP, "{}", b / STEP);
        // No quiet at all: only the least.
        let (_, b) = widen(&clip(&[(50, 190)], 200), 50 * STEP, 100 * STEP);
        assert_eq!(b, 103 * STEP);
    }

    #[test]
    fn the_ends_of_the_recording_are_kept() {
        assert_eq!(widen(&clip(&[(0, 20)], 20), 0, 20 * STEP), (0, 20 * STEP));
    }
}
