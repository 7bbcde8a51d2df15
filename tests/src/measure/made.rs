//! Words made from real sounds: said one by one, drawn out.

use realfft::RealFftPlanner;
use soundbead_data::Sound;
use soundbead_dsp::audio::{RATE, Recording};
use soundbead_dsp::judgement::Placed;

/// A small generator for gaps and noise, so that every run makes the same words (SplitMix64, Steele, Lea, Flood 2014).
struct NoiseDice(u64);

impl NoiseDice {
    fn next(&mut self) -> f64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        ((z ^ (z >> 31)) >> 11) as f64 / (1u64 << 53) as f64
    }

    /// Near enough to a normal deviate of variance one: the sum of twelve even ones.
    fn normal(&mut self) -> f32 {
        ((0..12).map(|_| self.next()).sum::<f64>() - 6.0) as f32
    }
}

fn at(seconds: f32) -> usize {
    (f64::from(seconds) * f64::from(RATE)) as usize
}

fn power(samples: &[f32]) -> f64 {
    samples.iter().map(|x| f64::from(*x) * f64::from(*x)).sum::<f64>() / samples.len().max(1) as f64
}

/// White noise `snr` dB under the mean power of `speech`, over the whole of `samples`; returns its power.
fn add_noise(samples: &mut [f32], speech: &[f32], snr: f64, dice: &mut NoiseDice) -> f64 {
    let noise = power(speech) / 10f64.powf(snr / 10.0);
    samples
        .iter_mut()
        .for_each(|x| *x += noise.sqrt() as f32 * dice.normal());
    noise
}

/// Bands of equal width in which a sound may stand out of white noise: an s does in the upper ones, where a vowel is weak.
const BANDS: usize = 8;
/// A sound not so far over the noise in any band is held to be lost in it, in dB (a choice).
const LOST_DB: f64 = 0.0;

/// The greatest power that `samples` have in one of the bands, as if all bands had as much.
fn loudest(samples: &[f32]) -> f64 {
    let fft = RealFftPlanner::<f32>::new().plan_fft_forward(samples.len());
    let (mut from, mut to) = (samples.to_vec(), fft.make_output_vec());
    fft.process(&mut from, &mut to).expect("the lengths are the plan's own");
    // Parseval: each bin but the first and last stands for two of the whole spectrum.
    let bins = to.chunks(to.len().div_ceil(BANDS));
    let power = bins.map(|band| 2.0 * band.iter().map(|x| f64::from(x.norm_sqr())).sum::<f64>());
    let scale = BANDS as f64 / (samples.len() as f64).powi(2);
    scale * power.fold(0.0, f64::max)
}

/// A word said sound by sound.
pub struct SeparateSounds {
    /// The sounds with gaps between them.
    pub recording: Recording,
    /// How far the faintest sound lies over the noise where it does most, in dB.
    pub faintest_db: f64,
}

impl SeparateSounds {
    /// Whether there is a sound that nobody could count: where the reader swallowed it, the alignment still gives it its 20 ms.
    pub fn is_lost(&self) -> bool {
        self.faintest_db < LOST_DB
    }
}

/// The word's sounds one by one with gaps of 150 to 600 ms, in white noise at `snr` dB. Sounds lie where the ear's own
/// alignment to the dictionary puts them. None if a sound has no length.
pub fn apart(recording: &Recording, placed: &[Placed], snr: f64, seed: u64) -> Option<SeparateSounds> {
    let mut dice = NoiseDice(seed);
    let mut out = vec![0.0f32; at(0.3)];
    let (mut speech, mut faintest) = (Vec::new(), f64::MAX);
    for sound in placed {
        let piece = recording.clip.samples.get(at(sound.start_s)..at(sound.end_s))?;
        if piece.len() < at(0.02) {
            return None;
        }
        // 3 ms in and out, so that no cut clicks.
        let fade = |i: usize| (i.min(piece.len() - 1 - i) as f32 / 48.0).min(1.0);
        out.extend(piece.iter().enumerate().map(|(i, x)| x * fade(i)));
        speech.extend_from_slice(piece);
        faintest = faintest.min(loudest(piece));
        out.extend(std::iter::repeat_n(0.0, at(0.15 + 0.45 * dice.next() as f32)));
    }
    let noise = add_noise(&mut out, &speech, snr, &mut dice);
    Some(SeparateSounds {
        recording: Recording::from_samples(out).ok()?,
        faintest_db: 10.0 * (faintest / noise).log10(),
    })
}

/// The same word as a poorer recording of it: up to 30 ms off each end, in noise 15 dB down.
pub fn roughened(recording: &Recording, seed: u64) -> Option<Recording> {
    let mut dice = NoiseDice(seed ^ 0x0dd);
    let all = &recording.clip.samples;
    let mut off = || at(0.03 * dice.next() as f32);
    let (first, last) = (off(), off());
    let mut out = all.get(first..all.len().checked_sub(last)?)?.to_vec();
    let speech = out.clone();
    add_noise(&mut out, &speech, 15.0, &mut dice);
    Recording::from_samples(out).ok()
}

/// Sounds that can be held.
fn is_held(sound: Sound) -> bool {
    sound.is_vowel() || !matches!(sound.arpabet(), "P" | "B" | "T" | "D" | "K" | "G" | "CH" | "JH")
}

/// The word drawn out: each sound that can be held 2 to 6 times as long, the others as they were.
pub fn stretched(recording: &Recording, placed: &[Placed], seed: u64) -> Option<Recording> {
    let mut dice = NoiseDice(seed ^ 0x5eed);
    let samples = &recording.clip.samples;
    let mut out = samples.get(..at(placed.first()?.start_s))?.to_vec();
    for sound in placed {
        let piece = samples.get(at(sound.start_s)..at(sound.end_s))?;
        if is_held(sound.sound) && piece.len() >= at(0.03) {
            out.extend(lengthened(
                samples,
                at(sound.start_s),
                piece.len(),
                2.0 + 4.0 * dice.next(),
            ));
        } else {
            out.extend_from_slice(piece);
        }
    }
    out.extend_from_slice(samples.get(at(placed.last()?.end_s)..)?);
    Recording::from_samples(out).ok()
}

/// Waveform-similarity overlap-add (Verhelst, Roelands 1993, ICASSP): the same pitch, `factor` times as long.
fn lengthened(samples: &[f32], start: usize, length: usize, factor: f64) -> Vec<f32> {
    const HALF: usize = 160; // 10 ms: half a window
    const SEEK: isize = 120; // a pitch period of 133 Hz each way
    let total = (length as f64 * factor) as usize;
    let sample = |i: isize| {
        usize::try_from(i)
            .ok()
            .and_then(|i| samples.get(i))
            .copied()
            .unwrap_or(0.0)
    };
    let mut out = vec![0.0f32; total + 2 * HALF];
    let mut previous: Option<isize> = None;
    for (k, place) in (0..total).step_by(HALF).enumerate() {
        let aim = start as isize + ((k * HALF) as f64 / factor) as isize;
        let source = previous.map_or(aim, |before| {
            let natural = before + HALF as isize;
            let alike = |shift: &isize| -> f32 {
                (0..HALF as isize)
                    .step_by(2)
                    .map(|i| sample(natural + i) * sample(aim + shift + i))
                    .sum()
            };
            aim + (-SEEK..=SEEK)
                .step_by(2)
                .max_by(|a, b| alike(a).total_cmp(&alike(b)))
                .unwrap_or(0)
        });
        for i in 0..2 * HALF {
            let window = 0.5 - 0.5 * (std::f32::consts::PI * i as f32 / HALF as f32).cos();
            out[place + i] += window * sample(source + i as isize);
        }
        previous = Some(source);
    }
    out.truncate(total);
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn white_noise_is_as_loud_in_every_band_as_it_is() {
        let mut dice = NoiseDice(1);
        let mut noise = vec![0.0f32; 16000];
        let added = add_noise(&mut noise, &[1.0, -1.0], 20.0, &mut dice);
        assert!((added - 0.01).abs() < 1e-9 && (power(&noise) / added - 1.0).abs() < 0.05);
        assert!((10.0 * (loudest(&noise) / added).log10()).abs() < 1.0);
    }

    #[test]
    fn a_tone_stands_out_by_as_many_times_as_there_are_bands() {
        let tone: Vec<f32> = (0..1600).map(|i| (i as f32 * 0.4).sin()).collect();
        let over = 10.0 * (loudest(&tone) / power(&tone)).log10();
        assert!((over - 9.03).abs() < 0.2, "{over}");
    }
}
