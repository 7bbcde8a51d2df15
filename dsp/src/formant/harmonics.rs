//! Levels of a voice's harmonics, measured so that they are little disturbed by their neighbours.

use std::f32::consts::TAU;

use crate::audio::RATE;

/// Shortest window, in seconds, and fewest periods in it: with four a Hann window's zeros fall on the neighbouring harmonics.
const WINDOW_S: f32 = 0.024;
const PERIODS: f32 = 4.0;
/// The pitch is made exact by the harmonics up to here, in Hz, but at least and at most so many of them.
const REFINE_HZ: f32 = 2000.0;
const REFINE: [usize; 2] = [3, 12];
/// How far the pitch is looked for either way and in what steps, as shares of it, coarse to fine: 4 % in all.
const SEARCH: [(f32, f32); 3] = [(0.03, 0.01), (0.0075, 0.0025), (0.0018, 0.0006)];

/// One harmonic.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Harmonic {
    /// Frequency in Hz.
    pub hz: f32,
    /// Level in dB.
    pub db: f32,
    /// How many dB it stands above what lies halfway to its neighbours.
    pub clear_db: f32,
}

/// Measures the harmonics of `f0` up to `ceiling` Hz about sample `middle`. Returns them with the pitch made exact.
///
/// The window is a Hann of four periods, at least 24 ms: its zeros then fall on the neighbouring harmonics.
pub fn measure(samples: &[f32], middle: usize, f0: f32, ceiling: f32) -> Option<(f32, Vec<Harmonic>)> {
    let periods = (WINDOW_S * f0).ceil().max(PERIODS);
    let exact = refine(samples, middle, f0, periods)?;
    let part = windowed(samples, middle, periods / exact)?;
    let count = (ceiling / exact) as usize;
    let harmonics = (1..=count)
        .map(|k| {
            let at = |h: f32| level(&part, h * exact);
            let k = k as f32;
            let db = at(k);
            Harmonic {
                hz: k * exact,
                db,
                clear_db: db - 0.5 * (at(k - 0.5) + at(k + 0.5)),
            }
        })
        .collect();
    Some((exact, harmonics))
}

/// The pitch within 4 % of `f0` whose harmonics up to 2 kHz hold the most power.
///
/// An error of 1 % in the pitch would put the tenth harmonic a tenth of the spacing off.
fn refine(samples: &[f32], middle: usize, f0: f32, periods: f32) -> Option<f32> {
    let part = windowed(samples, middle, periods / f0)?;
    let most = ((REFINE_HZ / f0) as usize).clamp(REFINE[0], REFINE[1]);
    let sum = |f: f32| {
        (1..=most)
            .map(|k| 10f32.powf(level(&part, f * k as f32) / 20.0))
            .sum::<f32>()
    };
    let mut best = f0;
    for (reach, step) in SEARCH {
        let n = (reach / step).round() as i32;
        let about = best;
        let tries = (-n..=n).map(|i| about * (1.0 + step * i as f32));
        best = tries.map(|f| (f, sum(f))).max_by(|a, b| a.1.total_cmp(&b.1))?.0;
    }
    Some(best)
}

/// `seconds` of samples about `middle`, less their mean, under a Hann window.
fn windowed(samples: &[f32], middle: usize, seconds: f32) -> Option<Vec<f32>> {
    let n = (seconds * RATE as f32).round() as usize;
    let from = middle.checked_sub(n / 2)?;
    let part = samples.get(from..from + n)?;
    let mean = part.iter().sum::<f32>() / n as f32;
    let shape = |i: usize| 0.5 - 0.5 * (TAU * (i as f32 + 0.5) / n as f32).cos();
    Some(part.iter().enumerate().map(|(i, &x)| (x - mean) * shape(i)).collect())
}

/// Level of one frequency in dB: Goertzel's recurrence.
fn level(part: &[f32], hz: f32) -> f32 {
    let w = f64::from(TAU * hz / RATE as f32);
    let c = 2.0 * w.cos();
    let (mut s1, mut s2) = (0.0f64, 0.0f64);
    for &x in part {
        let s = f64::from(x) + c * s1 - s2;
        (s2, s1) = (s1, s);
    }
    let power = (s1 * s1 + s2 * s2 - c * s1 * s2).max(1e-20);
    (10.0 * (power / (part.len() as f64).powi(2)).log10()) as f32
}
