//! A recording's waveform and spectrogram, computed once, off the window's thread.

use realfft::RealFftPlanner;
use soundbead_dsp::audio::RATE;

/// Columns a second of the spectrogram (4 ms each).
pub const COLUMNS_A_SECOND: usize = 250;
const HOP: usize = RATE as usize / COLUMNS_A_SECOND;
/// Samples in a column of the waveform (1 ms).
const WAVE_HOP: usize = RATE as usize / 1000;
/// Samples under the window: 6 ms, short enough to show the bursts and the formants rather than the harmonics of a
/// child's voice (a "wide-band" spectrogram; common practice, no source).
const WINDOW: usize = 96;
const FFT: usize = 256;
/// Rows of the spectrogram, from 0 Hz to [`TOP_HZ`].
pub const ROWS: usize = 112;
/// Highest frequency shown, in Hz.
pub const TOP_HZ: f32 = 7000.0;
/// Levels from the loudest downwards that are shown, in dB.
const RANGE_DB: f32 = 50.0;

/// What is drawn of a recording.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Picture {
    /// Lowest and highest sample of each thousandth of a second, -1 to 1.
    pub wave: Vec<(f32, f32)>,
    /// Darkness of the spectrogram, 0 to 255: columns one after another, [`ROWS`] each, lowest frequency first.
    pub grain: Vec<u8>,
    /// Length in seconds.
    pub seconds: f32,
}

impl Picture {
    /// The picture of samples at 16 kHz.
    pub fn of(samples: &[f32]) -> Picture {
        let wave = samples.chunks(WAVE_HOP).map(extremes).collect();
        Picture {
            wave,
            grain: grain(samples),
            seconds: samples.len() as f32 / RATE as f32,
        }
    }

    /// Columns of the spectrogram.
    pub fn columns(&self) -> usize {
        self.grain.len() / ROWS
    }
}

fn extremes(chunk: &[f32]) -> (f32, f32) {
    chunk
        .iter()
        .fold((0.0, 0.0), |(low, high): (f32, f32), x| (low.min(*x), high.max(*x)))
}

fn grain(samples: &[f32]) -> Vec<u8> {
    let columns = samples.len().div_ceil(HOP);
    let levels: Vec<f32> = (0..columns)
        .scan(Spectrum::new(), |s, t| Some(s.column(samples, t)))
        .flatten()
        .collect();
    let top = levels.iter().copied().fold(f32::MIN, f32::max).max(-60.0);
    levels
        .iter()
        .map(|l| (((l - top) / RANGE_DB + 1.0).clamp(0.0, 1.0) * 255.0) as u8)
        .collect()
}

struct Spectrum {
    fft: std::sync::Arc<dyn realfft::RealToComplex<f32>>,
    window: [f32; WINDOW],
    input: Vec<f32>,
    output: Vec<realfft::num_complex::Complex<f32>>,
}

impl Spectrum {
    fn new() -> Spectrum {
        let fft = RealFftPlanner::new().plan_fft_forward(FFT);
        let turn = |i: usize| (i as f32 + 0.5) / WINDOW as f32 * std::f32::consts::TAU;
        Spectrum {
            window: std::array::from_fn(|i| 0.5 - 0.5 * turn(i).cos()),
            input: fft.make_input_vec(),
            output: fft.make_output_vec(),
            fft,
        }
    }

    /// Levels of column `t` in dB, [`ROWS`] of them. High frequencies are lifted by 6 dB an octave (pre-emphasis), for
    /// speech falls by about as much.
    fn column(&mut self, samples: &[f32], t: usize) -> Vec<f32> {
        let from = (t * HOP + HOP / 2) as isize - (WINDOW / 2) as isize;
        let at = |i: isize| {
            usize::try_from(i)
                .ok()
                .and_then(|i| samples.get(i))
                .copied()
                .unwrap_or(0.0)
        };
        self.input.fill(0.0);
        for (i, w) in self.window.iter().enumerate() {
            let i = i as isize;
            self.input[i as usize] = w * (at(from + i) - 0.97 * at(from + i - 1));
        }
        if self.fft.process(&mut self.input, &mut self.output).is_err() {
            self.output.fill(Default::default()); // cannot happen: the sizes are the plan's own
        }
        let bin = |row: usize| (row as f32 + 0.5) / ROWS as f32 * TOP_HZ / RATE as f32 * FFT as f32;
        let power = |row: usize| {
            let (low, share) = (bin(row) as usize, bin(row).fract());
            self.output[low].norm_sqr() * (1.0 - share) + self.output[low + 1].norm_sqr() * share
        };
        (0..ROWS).map(|row| 10.0 * (power(row) + 1e-12).log10()).collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_tone_is_dark_where_its_frequency_is() {
        let tone: Vec<f32> = (0..8_000)
            .map(|i| 0.4 * (i as f32 * std::f32::consts::TAU * 3000.0 / RATE as f32).sin())
            .collect();
        let picture = Picture::of(&tone);
        assert_eq!((picture.columns(), picture.grain.len()), (125, 125 * ROWS));
        let column = &picture.grain[60 * ROWS..61 * ROWS];
        let darkest = column.iter().enumerate().max_by_key(|(_, v)| **v).unwrap().0;
        let hz = (darkest as f32 + 0.5) / ROWS as f32 * TOP_HZ;
        assert!((hz - 3000.0).abs() < 200.0, "{hz}");
        assert!(picture.wave[240].1 > 0.39 && picture.wave[240].0 < -0.39 && picture.wave.len() == 500);
        assert!((picture.seconds - 0.5).abs() < 1e-6);
    }

    #[test]
    fn nothing_and_silence_have_pictures_too() {
        assert_eq!(Picture::of(&[]), Picture::default());
        assert!(Picture::of(&[0.0; 4_000]).grain.iter().all(|v| *v == 0));
    }
}
