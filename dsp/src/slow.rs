//! Slower speech at the same pitch.
//!
//! Waveform-similarity overlap-add (Verhelst and Roelands 1993, "An overlap-add technique based on waveform similarity
//! (WSOLA) for high quality time-scale modification of speech", Proc. ICASSP, vol. II, 554-557). The result is made of
//! overlapping pieces of the original. Each piece is looked for near where it should come from. The one is taken that
//! is most like what would have followed the piece before it: periods then join to periods, and the pitch stays as it
//! was. A burst or another short event may be heard twice when speech is made very slow: the price of any method that
//! repeats what is there.
//!
//! ```
//! let hum = vec![0.1; 16_000];
//! assert_eq!(soundbead_dsp::slow::stretch(&hum, 0.5).len(), 32_000);
//! ```

use std::f32::consts::PI;

/// Samples in a piece: 40 ms, three periods of the lowest voice that is expected (80 Hz).
const PIECE: usize = 640;
/// Samples from one piece to the next in the result; pieces overlap by half.
const STEP: usize = PIECE / 2;
/// How far from its place a piece may be taken, in samples (13 ms): more than a period of an 80 Hz voice in all.
const REACH: isize = 208;
/// Slowest and fastest speed.
pub const SPEEDS: std::ops::RangeInclusive<f32> = 0.25..=2.0;

/// The samples (16 kHz) at `speed` times their speed and at their own pitch: 0.5 takes twice as long.
///
/// Speeds outside [`SPEEDS`] are brought into it; one that is not a number counts as 1. The result has
/// `round(samples.len() / speed)` samples. Time `t` of the source lies at `t / speed`, within 13 ms.
pub fn stretch(samples: &[f32], speed: f32) -> Vec<f32> {
    let speed = if speed.is_nan() {
        1.0
    } else {
        speed.clamp(*SPEEDS.start(), *SPEEDS.end())
    };
    let length = (samples.len() as f64 / f64::from(speed)).round() as usize;
    if speed == 1.0 || samples.is_empty() {
        return samples.to_vec();
    }
    along(samples, length, |at| at * f64::from(speed))
}

/// `length` samples, at each of whose places sounds what lies at `source(place)` in `samples`, at its own pitch.
///
/// `source` must not go back.
pub(crate) fn along(samples: &[f32], length: usize, source: impl Fn(f64) -> f64) -> Vec<f32> {
    let window: Vec<f32> = (0..PIECE)
        .map(|i| 0.5 - 0.5 * (2.0 * PI * (i as f32 + 0.5) / PIECE as f32).cos())
        .collect();
    // One step of nothing before and pieces enough after, so that every sample of the result lies in two pieces.
    let mut out = vec![0.0; length + 2 * PIECE];
    let mut natural: Option<isize> = None;
    for n in 0..=(length / STEP + 1) {
        let centre = source((n * STEP) as f64) as isize;
        let from = natural.map_or(centre, |natural| likest(samples, natural, centre));
        for (i, w) in window.iter().enumerate() {
            out[n * STEP + i] += w * at(samples, from - STEP as isize + i as isize);
        }
        natural = Some(from + STEP as isize);
    }
    out.drain(..STEP);
    out.truncate(length);
    out
}

fn at(samples: &[f32], i: isize) -> f32 {
    usize::try_from(i)
        .ok()
        .and_then(|i| samples.get(i))
        .copied()
        .unwrap_or(0.0)
}

/// The place within [`REACH`] of `centre` where the samples are most like those about `natural`, by their normalised
/// correlation: every fourth place over every second sample first, then all about the best.
fn likest(samples: &[f32], natural: isize, centre: isize) -> isize {
    let reference = around(samples, natural);
    let field: Vec<f32> = around_by(samples, centre, STEP as isize + REACH);
    let score = |shift: isize, every: usize| {
        let from = (shift + REACH) as usize;
        let piece = field[from..from + PIECE].iter().step_by(every);
        let (mut product, mut power) = (0.0f32, 1e-9f32);
        for (a, b) in piece.zip(reference.iter().step_by(every)) {
            product += a * b;
            power += a * a;
        }
        product / power.sqrt()
    };
    let best = |shifts: &mut dyn Iterator<Item = isize>, every: usize| {
        // Of equals, as in silence, the one in its own place.
        let worth = |s: isize| (score(s, every), -s.abs());
        shifts.max_by(|a, b| {
            let (a, b) = (worth(*a), worth(*b));
            a.0.total_cmp(&b.0).then(a.1.cmp(&b.1))
        })
    };
    let rough = best(&mut (-REACH..=REACH).step_by(4), 2).unwrap_or(0);
    let near = (rough - 3).max(-REACH)..=(rough + 3).min(REACH);
    centre + best(&mut near.into_iter(), 1).unwrap_or(0)
}

fn around(samples: &[f32], centre: isize) -> Vec<f32> {
    around_by(samples, centre, STEP as isize)
}

fn around_by(samples: &[f32], centre: isize, half: isize) -> Vec<f32> {
    (centre - half..centre + half).map(|i| at(samples, i)).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::audio::RATE;
    use crate::pitch;

    /// A voice-like sound of known pitch: harmonics under 4 kHz that fall by 12 dB an octave (the usual slope of the
    /// voice source; Fant 1960).
    fn voice(hz: f32, seconds: f32) -> Vec<f32> {
        let n = (seconds * RATE as f32) as usize;
        let harmonics = (4000.0 / hz) as usize;
        let one = |i: usize| {
            let t = i as f32 / RATE as f32;
            (1..=harmonics)
                .map(|h| (2.0 * PI * hz * h as f32 * t).sin() / (h * h) as f32)
                .sum::<f32>()
                * 0.3
        };
        (0..n).map(one).collect()
    }

    #[test]
    fn the_pitch_stays_and_the_time_is_what_was_asked() {
        for hz in [90.0, 120.0, 213.0, 250.0, 300.0, 320.0] {
            for speed in [0.5, 0.75] {
                let sound = voice(hz, 1.0);
                let slow = stretch(&sound, speed);
                let found = pitch::median(&pitch::track(&slow)).unwrap();
                assert!((found / hz - 1.0).abs() < 0.01, "{hz} Hz at {speed}: {found}");
                let wanted = sound.len() as f32 / speed;
                assert!(
                    (slow.len() as f32 / wanted - 1.0).abs() < 0.02,
                    "{hz} Hz at {speed}: {}",
                    slow.len()
                );
            }
        }
    }

    #[test]
    fn loudness_stays_and_nothing_clicks() {
        let sound = voice(240.0, 0.8);
        let slow = stretch(&sound, 0.5);
        let rms = |x: &[f32]| (x.iter().map(|v| v * v).sum::<f32>() / x.len() as f32).sqrt();
        let middle = |x: &[f32]| rms(&x[x.len() / 4..x.len() * 3 / 4]);
        assert!((middle(&slow) / middle(&sound) - 1.0).abs() < 0.05);
        let jump = |x: &[f32]| x.windows(2).map(|w| (w[1] - w[0]).abs()).fold(0.0, f32::max);
        assert!(jump(&slow) < 1.2 * jump(&sound), "{} {}", jump(&slow), jump(&sound));
    }

    #[test]
    fn an_event_stays_in_its_place() {
        for speed in [0.5, 0.75, 1.5] {
            let mut sound = vec![0.0; 16_000];
            sound[8_000..8_800].copy_from_slice(&voice(250.0, 0.05));
            let slow = stretch(&sound, speed);
            let weigh = |x: &[f32]| {
                let all: f32 = x.iter().map(|v| v * v).sum();
                x.iter().enumerate().map(|(i, v)| i as f32 * v * v / all).sum::<f32>()
            };
            let (wanted, found) = (weigh(&sound) / speed, weigh(&slow));
            assert!((wanted - found).abs() < 0.03 * RATE as f32, "{speed}: {wanted} {found}");
        }
    }

    #[test]
    fn any_input_gives_the_length_promised() {
        for n in [0, 1, 2, 100, 639, 640, 641, 5_000] {
            for speed in [0.0, 0.25, 0.5, 0.75, 1.0, 2.0, 9.0, f32::NAN] {
                let out = stretch(&vec![0.2; n], speed);
                let used = if speed.is_nan() { 1.0 } else { speed.clamp(0.25, 2.0) };
                assert_eq!(
                    out.len(),
                    (n as f64 / f64::from(used)).round() as usize,
                    "{n} at {speed}"
                );
                assert!(out.iter().all(|x| x.is_finite()));
            }
        }
    }
}
