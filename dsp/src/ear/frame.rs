//! Log mel spectra: what the acoustic model sees.
//!
//! One spectrum every 5 ms over 20 ms; two neighbours make one 10 ms frame, so that a stop's burst (about 10 ms) is
//! seen in finer time than the frames that are judged. The same numbers as `training/features.py` makes.

use std::sync::Arc;

use realfft::num_complex::Complex;
use realfft::{RealFftPlanner, RealToComplex};

use crate::audio::RATE;

/// Samples between spectra (5 ms).
pub const HOP: usize = 80;
/// Samples in a spectrum (20 ms).
pub const WINDOW: usize = 320;
/// Points of the transform; the window is padded with zeros.
pub const FFT: usize = 512;
/// Mel bands.
pub const MELS: usize = 48;
/// Samples in one judged frame (10 ms).
pub const FRAME: usize = 160;
/// Numbers in one judged frame: two spectra.
pub const FRAME_WIDTH: usize = MELS * FRAME / HOP;

const LOW_HZ: f64 = 60.0;
const HIGH_HZ: f64 = 7600.0;
/// Quieter than this many nepers under the loudest band counts as nothing (about 48 dB).
const FLOOR_NEPERS: f32 = 11.0;
/// Pre-emphasis: each sample less this share of the one before, for speech falls with frequency and the bands should not. A
/// usual figure (common practice, no source).
const EMPHASIS: f32 = 0.97;
/// What is left of the first sample, as if the one before were its like: 1 less [`EMPHASIS`], written out, for
/// the difference of the two in 32 bits is another number.
const FIRST_SHARE: f32 = 0.03;
/// Added to the energy of a band before its log: about 100 dB under a tone at full scale.
const LEAST_ENERGY: f32 = 1e-7;
/// Added to the peak before it is divided by, so that silence stays silence.
const LEAST_PEAK: f32 = 1e-6;
/// Brings the spread of a band near one.
pub(crate) const SCALE: f32 = 2.5;

/// One triangular band: the first bin and its weights, of unit sum.
struct Band {
    first: usize,
    weights: Vec<f32>,
}

/// Plans, windows and scratch space for turning samples into frames. Make it once, use it for many words.
pub struct Mel {
    fft: Arc<dyn RealToComplex<f32>>,
    window: [f32; WINDOW],
    bands: Vec<Band>,
    buffer: Vec<f32>,
    spectrum: Vec<Complex<f32>>,
    scratch: Vec<Complex<f32>>,
    power: Vec<f32>,
    energies: Vec<f32>,
}

impl Mel {
    /// `warp` stretches the frequency axis of the bands: above 1 for a vocal tract shorter than the model expects.
    pub fn new(warp: f32) -> Mel {
        let fft = RealFftPlanner::<f32>::new().plan_fft_forward(FFT);
        // The periodic Hann window.
        let window =
            std::array::from_fn(|i| (0.5 - 0.5 * (2.0 * std::f64::consts::PI * i as f64 / WINDOW as f64).cos()) as f32);
        Mel {
            window,
            bands: bands(f64::from(warp)),
            buffer: fft.make_input_vec(),
            spectrum: fft.make_output_vec(),
            scratch: fft.make_scratch_vec(),
            power: vec![0.0; FFT / 2 + 1],
            energies: Vec::new(),
            fft,
        }
    }

    /// Fills `out` with one row of [`FRAME_WIDTH`] numbers for each whole 10 ms of `samples` and returns how many
    /// rows. The room, the microphone and the loudness are taken out: a floor under the loudest band, then the mean of
    /// the louder spectra. Allocates only while `out` grows.
    pub fn frames(&mut self, samples: &[f32], out: &mut Vec<f32>) -> usize {
        let rows = samples.len() / FRAME;
        out.clear();
        out.resize(rows * FRAME_WIDTH, 0.0);
        let peak = samples.iter().fold(0.0f32, |m, x| m.max(x.abs())) + LEAST_PEAK;
        for (t, row) in out.chunks_exact_mut(MELS).enumerate() {
            self.spectrum_at(samples, t, 1.0 / peak, row);
        }
        self.level(out);
        rows
    }

    /// Log energies of the spectrum centred on sample `(t + 0.5) * HOP`; outside the samples there is silence.
    fn spectrum_at(&mut self, samples: &[f32], t: usize, gain: f32, row: &mut [f32]) {
        let start = (t * HOP) as isize - ((WINDOW - HOP) / 2) as isize;
        for (i, slot) in self.buffer[..WINDOW].iter_mut().enumerate() {
            let at = start + i as isize;
            *slot = if at < 0 {
                0.0
            } else {
                samples.get(at as usize).map_or(0.0, |x| x * gain)
            };
        }
        let mean = self.buffer[..WINDOW].iter().sum::<f32>() / WINDOW as f32;
        let mut before = self.buffer[0] - mean;
        self.buffer[0] = before * FIRST_SHARE * self.window[0];
        for i in 1..WINDOW {
            let now = self.buffer[i] - mean;
            self.buffer[i] = (now - EMPHASIS * before) * self.window[i];
            before = now;
        }
        self.buffer[WINDOW..].fill(0.0);
        // The lengths are the plan's own, so the transform cannot fail.
        let done = self
            .fft
            .process_with_scratch(&mut self.buffer, &mut self.spectrum, &mut self.scratch);
        debug_assert!(done.is_ok());
        for (p, c) in self.power.iter_mut().zip(&self.spectrum) {
            *p = c.norm_sqr();
        }
        for (band, slot) in self.bands.iter().zip(row) {
            let bins = &self.power[band.first..band.first + band.weights.len()];
            let energy: f32 = bins.iter().zip(&band.weights).map(|(p, w)| p * w).sum();
            *slot = (energy + LEAST_ENERGY).ln();
        }
    }

    fn level(&mut self, mel: &mut [f32]) {
        let floor = mel.iter().fold(f32::MIN, |m, x| m.max(*x)) - FLOOR_NEPERS;
        mel.iter_mut().for_each(|x| *x = x.max(floor));
        take_mean(mel, &mut self.energies);
        mel.iter_mut().for_each(|x| *x /= SCALE);
    }
}

/// Takes the mean of the louder spectra off all. The louder ones are those above the middle between the softest and the loudest: how much
/// silence stands around a word then makes no difference. `energies` is space to work in.
pub fn take_mean(mel: &mut [f32], energies: &mut Vec<f32>) {
    let energy = |row: &[f32]| row.iter().sum::<f32>() / MELS as f32;
    energies.clear();
    energies.extend(mel.chunks_exact(MELS).map(energy));
    if energies.is_empty() {
        return;
    }
    let (soft, loud) = energies
        .iter()
        .fold((f32::MAX, f32::MIN), |(l, h), e| (l.min(*e), h.max(*e)));
    let middle = 0.5 * (soft + loud);
    let mut mean = [0.0f32; MELS];
    let mut louder = 0.0;
    for (row, _) in mel.chunks_exact(MELS).zip(&*energies).filter(|(_, e)| **e >= middle) {
        louder += 1.0;
        mean.iter_mut().zip(row).for_each(|(m, x)| *m += x);
    }
    for row in mel.chunks_exact_mut(MELS) {
        row.iter_mut().zip(&mean).for_each(|(x, m)| *x -= m / louder);
    }
}

/// Triangles even on the mel scale of O'Shaughnessy (1987), *Speech Communication: Human and Machine*:
/// `1127 ln(1 + hz / 700)`.
fn bands(warp: f64) -> Vec<Band> {
    let to_mel = |hz: f64| 1127.0 * (1.0 + hz / 700.0).ln();
    let to_hz = |mel: f64| 700.0 * ((mel / 1127.0).exp() - 1.0);
    let step = (to_mel(HIGH_HZ) - to_mel(LOW_HZ)) / (MELS + 1) as f64;
    let edge = |i: usize| to_hz(to_mel(LOW_HZ) + step * i as f64) * warp;
    let hz = |bin: usize| bin as f64 * f64::from(RATE) / FFT as f64;
    let band = |i: usize| {
        let (low, mid, high) = (edge(i), edge(i + 1), edge(i + 2));
        let height = |bin: usize| {
            ((hz(bin) - low) / (mid - low))
                .min((high - hz(bin)) / (high - mid))
                .max(0.0)
        };
        let inside: Vec<usize> = (0..=FFT / 2).filter(|&bin| height(bin) > 0.0).collect();
        // A triangle that falls between two bins, or past the last, takes the nearest bin.
        let nearest = ((mid * FFT as f64 / f64::from(RATE)).round() as usize).min(FFT / 2);
        let (first, last) = (*inside.first().unwrap_or(&nearest), *inside.last().unwrap_or(&nearest));
        let raw: Vec<f64> = (first..=last)
            .map(|bin| if inside.is_empty() { 1.0 } else { height(bin) })
            .collect();
        let sum: f64 = raw.iter().sum();
        Band {
            first,
            weights: raw.iter().map(|w| (w / sum) as f32).collect(),
        }
    };
    (0..MELS).map(band).collect()
}
