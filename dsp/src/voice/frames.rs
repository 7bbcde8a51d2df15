//! What is measured of every 10 ms of a recording before it is asked where speech is.

use std::sync::{Arc, OnceLock};

use realfft::{RealFftPlanner, RealToComplex};

use crate::audio::RATE;

/// Samples from one frame to the next: 10 ms.
pub const HOP: usize = 160;
/// Samples a frame looks at: 25 ms.
pub const WINDOW: usize = 400;
/// Bands that the spectrum is summed into.
pub const BANDS: usize = 16;
/// The lower rate at which a voice is looked for, in Hz: a quarter of the full one.
pub const SLOW_RATE: f32 = RATE as f32 / 4.0;
/// The transform's points; the window is padded with zeros.
const FFT: usize = 512;
/// Lowest and highest edge of the bands, in Hz. Hum and its first overtone lie below.
const BAND_HZ: [f32; 2] = [120.0, 7600.0];
/// Hum goes and a child's first harmonic stays: high-pass before a voice is looked for, in Hz.
const NO_HUM_HZ: f32 = 150.0;
/// The fine envelope hears what lies above this, in Hz: bursts and hisses, less a voice's first harmonics.
const FINE_HZ: f32 = 300.0;
/// Power below which nothing is correlated (under the noise of 16-bit rounding).
const LEAST_POWER: f32 = 1e-9;
/// Weak bias against long lags, a sample: they repeat what a short one has already shown.
const LAG_BIAS: f32 = 0.001;
/// Samples of the fine envelope's steps: 2.5 ms.
pub const FINE: usize = 40;

/// Band edges in Hz, equally spaced on the mel scale `2595 log10(1 + f / 700)` between [`BAND_HZ`].
fn edges() -> [usize; BANDS + 1] {
    let mel = |f: f32| 2595.0 * (1.0 + f / 700.0).log10();
    let (low, high) = (mel(BAND_HZ[0]), mel(BAND_HZ[1]));
    std::array::from_fn(|i| {
        let m = low + (high - low) * i as f32 / BANDS as f32;
        let hz = 700.0 * (10.0f32.powf(m / 2595.0) - 1.0);
        (hz * FFT as f32 / RATE as f32).round() as usize
    })
}

/// Measures of a recording, one entry a frame; frame `t` looks at the 25 ms about sample `t * HOP + HOP / 2`.
pub struct Frames {
    /// Power in each band, at the scale where a full-scale square wave has 1 in all.
    pub bands: Vec<[f32; BANDS]>,
    /// Sum of the bands, in dB.
    pub level: Vec<f32>,
    /// Periodicity, 0 to 1: the greatest normalised correlation at lags of 70 to 570 Hz.
    pub voicing: Vec<f32>,
    /// Lag of that, in samples at 4 kHz.
    pub lag: Vec<f32>,
    /// Power of each 2.5 ms above about 300 Hz.
    pub fine: Vec<f32>,
}

impl Frames {
    /// Number of frames.
    pub fn len(&self) -> usize {
        self.level.len()
    }
}

struct SpectrumPlan {
    fft: Arc<dyn RealToComplex<f32>>,
    window: [f32; WINDOW],
    edges: [usize; BANDS + 1],
}

/// Planned once for the whole program: planning costs more than a word's analysis.
fn plan() -> &'static SpectrumPlan {
    static PLAN: OnceLock<SpectrumPlan> = OnceLock::new();
    PLAN.get_or_init(|| {
        let window = std::array::from_fn(|i| {
            let turn = (i as f32 + 0.5) / WINDOW as f32 * std::f32::consts::TAU;
            0.5 - 0.5 * turn.cos()
        });
        SpectrumPlan {
            fft: RealFftPlanner::new().plan_fft_forward(FFT),
            window,
            edges: edges(),
        }
    })
}

/// Measures samples at 16 kHz, all finite.
pub fn measure(samples: &[f32]) -> Frames {
    let mean = (samples.iter().map(|&x| f64::from(x)).sum::<f64>() / samples.len().max(1) as f64) as f32;
    let n = samples.len().div_ceil(HOP);
    let bands = band_powers(samples, mean, n);
    let level = bands.iter().map(|b| decibels(b.iter().sum())).collect();
    let slow = quarter_rate(samples, mean);
    let (voicing, lag) = (0..n).map(|t| periodicity(&slow, t)).unzip();
    Frames {
        bands,
        level,
        voicing,
        lag,
        fine: fine_envelope(samples),
    }
}

/// Power to dB, bounded below at -160.
pub fn decibels(power: f32) -> f32 {
    10.0 * power.max(1e-16).log10()
}

fn band_powers(samples: &[f32], mean: f32, n: usize) -> Vec<[f32; BANDS]> {
    let plan = plan();
    let mut input = vec![0.0f32; FFT];
    let mut output = plan.fft.make_output_vec();
    let mut scratch = plan.fft.make_scratch_vec();
    let norm = 2.0 / (FFT as f32 * plan.window.iter().map(|w| w * w).sum::<f32>());
    let mut all = vec![[0.0; BANDS]; n];
    for (t, bands) in all.iter_mut().enumerate() {
        let from = (t * HOP + HOP / 2) as isize - (WINDOW / 2) as isize;
        input.fill(0.0);
        for (i, w) in plan.window.iter().enumerate() {
            let at = from + i as isize;
            if at >= 0
                && let Some(x) = samples.get(at as usize)
            {
                input[i] = (x - mean) * w;
            }
        }
        if plan
            .fft
            .process_with_scratch(&mut input, &mut output, &mut scratch)
            .is_err()
        {
            continue; // Cannot happen: the sizes are the plan's own.
        }
        for (b, power) in bands.iter_mut().enumerate() {
            let bins = &output[plan.edges[b]..plan.edges[b + 1]];
            *power = bins.iter().map(|c| c.norm_sqr()).sum::<f32>() * norm;
        }
    }
    all
}

/// Number of taps of the filter before the rate is quartered (a Hamming window).
const TAPS: usize = 33;
/// Its cut-off, in Hz: under half the lower rate, and over four harmonics of a child's voice.
const CUT_HZ: f32 = 1600.0;

/// A quarter of the rate, without hum: what a voice's first harmonics are looked for in.
fn quarter_rate(samples: &[f32], mean: f32) -> Vec<f32> {
    static FILTER: OnceLock<[f32; TAPS]> = OnceLock::new();
    let taps = FILTER.get_or_init(|| {
        let middle = (TAPS / 2) as f32;
        let mut h: [f32; TAPS] = std::array::from_fn(|i| {
            let x = i as f32 - middle;
            let cut = 2.0 * CUT_HZ / RATE as f32;
            let sinc = if x == 0.0 {
                cut
            } else {
                (std::f32::consts::PI * cut * x).sin() / (std::f32::consts::PI * x)
            };
            sinc * (0.54 + 0.46 * (std::f32::consts::PI * x / middle).cos())
        });
        let sum: f32 = h.iter().sum();
        h.iter_mut().for_each(|v| *v /= sum);
        h
    });
    let mut out = Vec::with_capacity(samples.len() / 4 + 1);
    // Two one-pole high-passes.
    let pole = (-std::f32::consts::TAU * NO_HUM_HZ / SLOW_RATE).exp();
    let (mut x1, mut y1, mut z1) = (0.0, 0.0, 0.0);
    for at in (0..samples.len()).step_by(4) {
        let from = at as isize - (TAPS / 2) as isize;
        let x = if from >= 0 && from as usize + TAPS <= samples.len() {
            let part = &samples[from as usize..from as usize + TAPS];
            part.iter().zip(taps).map(|(s, h)| (s - mean) * h).sum()
        } else {
            0.0f32
        };
        let y = pole * (y1 + x - x1);
        let z = pole * (z1 + y - y1);
        (x1, y1, z1) = (x, y, z);
        out.push(z);
    }
    out
}

/// Longest and shortest period looked for, in samples at 4 kHz: 70 Hz and 571 Hz.
const LAGS: std::ops::RangeInclusive<usize> = 7..=57;
/// Samples correlated: 30 ms at 4 kHz.
const SPAN: usize = 120;

fn periodicity(slow: &[f32], t: usize) -> (f32, f32) {
    let middle = t * HOP / 4 + HOP / 8;
    let longest = *LAGS.end();
    let from = middle.saturating_sub((SPAN + longest) / 2);
    if from + SPAN + longest > slow.len() {
        // The last frames look back from the end instead.
        let Some(from) = slow.len().checked_sub(SPAN + longest) else {
            return (0.0, 0.0);
        };
        return correlate(&slow[from..]);
    }
    correlate(&slow[from..from + SPAN + longest])
}

fn correlate(x: &[f32]) -> (f32, f32) {
    let base = &x[..SPAN];
    let e0: f32 = base.iter().map(|v| v * v).sum();
    if e0 < LEAST_POWER {
        return (0.0, 0.0);
    }
    let mut best = (0.0, 0.0);
    let mut e1: f32 = x[*LAGS.start()..LAGS.start() + SPAN].iter().map(|v| v * v).sum();
    for lag in LAGS {
        let r: f32 = base.iter().zip(&x[lag..]).map(|(a, b)| a * b).sum();
        let r = r / (e0 * e1).max(1e-12).sqrt() - LAG_BIAS * lag as f32;
        if r > best.0 {
            best = (r, lag as f32);
        }
        if lag + SPAN < x.len() {
            e1 = (e1 + x[lag + SPAN] * x[lag + SPAN] - x[lag] * x[lag]).max(0.0);
        }
    }
    (best.0.min(1.0), best.1)
}

fn fine_envelope(samples: &[f32]) -> Vec<f32> {
    let pole = (-std::f32::consts::TAU * FINE_HZ / RATE as f32).exp();
    let (mut x1, mut y1) = (samples.first().copied().unwrap_or(0.0), 0.0);
    let mut part = |chunk: &[f32]| {
        let mut sum = 0.0;
        for &x in chunk {
            y1 = pole * (y1 + x - x1);
            x1 = x;
            sum += y1 * y1;
        }
        sum / chunk.len() as f32
    };
    samples.chunks(FINE).map(&mut part).collect()
}
