//! Sounds made for the tests, with every time and frequency known: a plain source and filter.
//!
//! The resonators are the difference equation of Klatt (1980), "Software for a cascade/parallel formant synthesizer",
//! J. Acoust. Soc. Am. 67, 971-995, eq. 1; the glottal pulse is Rosenberg's (1971), J. Acoust. Soc. Am. 49, 583-590,
//! type B. Neither is how the program under test analyses.
#![allow(dead_code)]

use std::f64::consts::{PI, TAU};

pub const RATE: f64 = 16_000.0;

/// A small, fixed generator of random numbers (xorshift64*), so that every run makes the same sounds.
pub struct Random(u64);

impl Random {
    pub fn new(seed: u64) -> Random {
        Random(seed.wrapping_mul(0x9E37_79B9_7F4A_7C15) | 1)
    }

    pub fn bits(&mut self) -> u64 {
        self.0 ^= self.0 >> 12;
        self.0 ^= self.0 << 25;
        self.0 ^= self.0 >> 27;
        self.0.wrapping_mul(0x2545_F491_4F6C_DD1D)
    }

    /// 0 to 1.
    pub fn unit(&mut self) -> f64 {
        (self.bits() >> 11) as f64 / (1u64 << 53) as f64
    }

    /// Mean 0, variance 1.
    pub fn normal(&mut self) -> f64 {
        (-2.0 * self.unit().max(1e-12).ln()).sqrt() * (TAU * self.unit()).cos()
    }

    pub fn below(&mut self, n: usize) -> usize {
        (self.bits() % n.max(1) as u64) as usize
    }
}

/// Klatt's resonator, gain 1 at 0 Hz.
pub fn resonate(x: &mut [f64], hz: f64, bandwidth: f64) {
    let r = (-PI * bandwidth / RATE).exp();
    let (b, c) = (2.0 * r * (TAU * hz / RATE).cos(), -r * r);
    let a = 1.0 - b - c;
    let (mut y1, mut y2) = (0.0, 0.0);
    for v in x {
        let y = a * *v + b * y1 + c * y2;
        (y2, y1) = (y1, y);
        *v = y;
    }
}

/// What drives the filter.
#[derive(Clone, Copy)]
pub enum Source {
    /// One sample a period, flat spectrum.
    Pulses,
    /// Rosenberg's glottal flow, differentiated by the lips.
    Glottis,
}

/// A periodic source. Pulses stand at their exact times, as band-limited impulses; glottal flow is made at 8 times the
/// rate and averaged down.
pub fn source(kind: Source, seconds: f64, f0: impl Fn(f64) -> f64) -> Vec<f64> {
    const OVER: usize = 8;
    let n = (seconds * RATE) as usize;
    let mut out = vec![0.0; n];
    let (mut phase, mut last) = (0.0f64, 0.0f64);
    for i in 0..n * OVER {
        let step = f0(i as f64 / (RATE * OVER as f64)) / (RATE * OVER as f64);
        phase += step;
        if let Source::Glottis = kind {
            let flow = rosenberg(phase.fract());
            out[i / OVER] += (flow - last) * 60.0 / OVER as f64;
            last = flow;
        }
        if phase >= 1.0 {
            phase -= 1.0;
            if let Source::Pulses = kind {
                impulse(&mut out, (i as f64 + 1.0 - phase / step) / OVER as f64);
            }
        }
    }
    out
}

/// Adds an impulse at a time in samples that need not be whole: a sinc under a Hann window of 48 samples.
fn impulse(out: &mut [f64], at: f64) {
    let first = (at - 24.0).ceil().max(0.0) as usize;
    for (i, v) in out.iter_mut().enumerate().skip(first).take(48) {
        let x = i as f64 - at;
        let sinc = if x.abs() < 1e-9 { 1.0 } else { (PI * x).sin() / (PI * x) };
        *v += sinc * (0.5 + 0.5 * (PI * x / 24.0).cos()).max(0.0) * f64::from(u8::from(x.abs() < 24.0));
    }
}

/// Rosenberg's type B: opens over 40 % of the period, closes over 16 %.
fn rosenberg(p: f64) -> f64 {
    if p < 0.4 {
        let x = p / 0.4;
        3.0 * x * x - 2.0 * x * x * x
    } else if p < 0.56 {
        1.0 - ((p - 0.4) / 0.16).powi(2)
    } else {
        0.0
    }
}

/// A vowel: source through resonances given as (Hz, bandwidth), scaled to a peak of `peak`.
pub fn vowel(kind: Source, seconds: f64, f0: impl Fn(f64) -> f64, formants: &[(f64, f64)], peak: f64) -> Vec<f32> {
    let mut x = source(kind, seconds, f0);
    for &(hz, bw) in formants {
        resonate(&mut x, hz, bw);
    }
    scaled(&x, peak)
}

pub fn scaled(x: &[f64], peak: f64) -> Vec<f32> {
    let top = x.iter().fold(0.0f64, |a, v| a.max(v.abs())).max(1e-12);
    x.iter().map(|v| (v / top * peak) as f32).collect()
}

/// Noise through resonances: a fricative, a burst, breath.
pub fn hiss(seconds: f64, formants: &[(f64, f64)], peak: f64, seed: u64) -> Vec<f32> {
    let mut random = Random::new(seed);
    let mut x: Vec<f64> = (0..(seconds * RATE) as usize).map(|_| random.normal()).collect();
    for &(hz, bw) in formants {
        resonate(&mut x, hz, bw);
    }
    // Fade in and out over 10 ms.
    let n = x.len();
    for (i, v) in x.iter_mut().enumerate() {
        *v *= (i.min(n - 1 - i) as f64 / 160.0).min(1.0);
    }
    scaled(&x, peak)
}

/// Adds `part` to `whole` from `at_s` seconds on.
pub fn put(whole: &mut [f32], at_s: f64, part: &[f32]) {
    let at = (at_s * RATE).round() as usize;
    for (w, p) in whole[at..].iter_mut().zip(part) {
        *w += p;
    }
}

/// White noise of a given level in dBFS, all over.
pub fn add_noise(whole: &mut [f32], dbfs: f64, seed: u64) {
    let mut random = Random::new(seed);
    let gain = 10f64.powf(dbfs / 20.0);
    for w in whole.iter_mut() {
        *w += (gain * random.normal()) as f32;
    }
}

pub fn rms(x: &[f32]) -> f64 {
    (x.iter().map(|v| f64::from(*v).powi(2)).sum::<f64>() / x.len().max(1) as f64).sqrt()
}
