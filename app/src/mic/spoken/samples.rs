//! A file's samples as they are, and the room around them.

use std::path::Path;

use soundbead_dsp::audio::{self, RATE};

use crate::mic::feed::Feed;
use crate::mic::{MicFault, StreamFormat};

/// A stretch louder than this is no quiet, as an amplitude (-35 dBFS) ...
pub const MOST_ROOM: f32 = 0.0178;
/// ... and is played this softly in its stead (-65 dBFS).
const LEAST_ROOM: f32 = 0.000_56;

/// A file's interleaved samples as it has them.
pub enum FileSamples {
    Whole(Vec<i16>, StreamFormat),
    Float(Vec<f32>, StreamFormat),
}

impl FileSamples {
    /// WAV as it is; what else can be decoded comes at 16 kHz.
    ///
    /// # Errors
    /// When the file cannot be read or decoded.
    pub fn read(path: &Path) -> Result<FileSamples, MicFault> {
        if let Ok(reader) = hound::WavReader::open(path)
            && let Some(samples) = Self::wav(reader)
        {
            return Ok(samples);
        }
        let recording = audio::decode(path).map_err(|e| MicFault::File(e.to_string()))?;
        let format = StreamFormat {
            rate: RATE,
            channels: 1,
            bits: None,
        };
        Ok(FileSamples::Float(recording.clip.samples, format))
    }

    fn wav(reader: hound::WavReader<std::io::BufReader<std::fs::File>>) -> Option<FileSamples> {
        let spec = reader.spec();
        let format = StreamFormat {
            rate: spec.sample_rate,
            channels: spec.channels,
            bits: (spec.sample_format == hound::SampleFormat::Int).then_some(u32::from(spec.bits_per_sample)),
        };
        match (spec.sample_format, spec.bits_per_sample) {
            (hound::SampleFormat::Int, 16) => Some(FileSamples::Whole(
                reader.into_samples().collect::<Result<_, _>>().ok()?,
                format,
            )),
            (hound::SampleFormat::Float, 32) => Some(FileSamples::Float(
                reader.into_samples().collect::<Result<_, _>>().ok()?,
                format,
            )),
            _ => None,
        }
    }

    pub fn format(&self) -> StreamFormat {
        match self {
            FileSamples::Whole(_, format) | FileSamples::Float(_, format) => *format,
        }
    }

    pub fn len(&self) -> usize {
        match self {
            FileSamples::Whole(x, _) => x.len(),
            FileSamples::Float(x, _) => x.len(),
        }
    }

    /// The samples as numbers from -1 to 1.
    fn level(&self) -> Vec<f32> {
        match self {
            FileSamples::Whole(x, _) => x.iter().map(|x| f32::from(*x) / 32_768.0).collect(),
            FileSamples::Float(x, _) => x.clone(),
        }
    }

    /// The quietest fifth of a second, there and back, so that it can be repeated without a seam. Where a file is cut so
    /// tightly that there is no quiet in it, softened.
    pub fn room(&self) -> Vec<f32> {
        let (format, level) = (self.format(), self.level());
        let channels = usize::from(format.channels);
        let block = (format.rate as usize / 5 * channels).max(channels);
        let rms = |b: &[f32]| (b.iter().map(|x| x * x).sum::<f32>() / b.len() as f32).sqrt();
        let blocks = level.chunks_exact(block.min(level.len().max(1)));
        let quietest = blocks.min_by(|a, b| rms(a).total_cmp(&rms(b))).unwrap_or(&[]);
        let gain = if rms(quietest) > MOST_ROOM {
            LEAST_ROOM / rms(quietest)
        } else {
            1.0
        };
        let back = quietest.chunks_exact(channels).rev().flatten();
        quietest.iter().chain(back).map(|x| x * gain).collect()
    }

    /// Adds the room's hiss, but not to samples at the very top: a clipped recording stays one.
    pub fn put_in_room(&mut self, dbfs: f32) {
        let (level, format) = (self.level(), self.format());
        let peak = level.iter().fold(0.0f32, |m, x| m.max(x.abs()));
        let top = if peak > 0.1 { peak * 0.999 } else { 1.0 };
        let mut hiss = Hiss::new(10f32.powf(dbfs / 20.0));
        let add = |x: &f32| {
            if x.abs() < top {
                (x + hiss.next()).clamp(-top, top)
            } else {
                *x
            }
        };
        *self = FileSamples::Float(level.iter().map(add).collect(), format);
    }

    pub fn push(&self, from: usize, to: usize, feed: &mut Feed) {
        match self {
            FileSamples::Whole(x, _) => feed.push(&x[from..to]),
            FileSamples::Float(x, _) => feed.push(&x[from..to]),
        }
    }
}

/// Evenly spread noise, the same every time (the multiplier is that of Numerical Recipes' "quick and dirty" generator).
struct Hiss {
    seed: u32,
    most: f32,
}

impl Hiss {
    /// Noise of that RMS; evenly spread noise from -a to a has an RMS of a over the root of three.
    fn new(rms: f32) -> Hiss {
        Hiss {
            seed: 1,
            most: rms * 3f32.sqrt(),
        }
    }

    fn next(&mut self) -> f32 {
        self.seed = self.seed.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
        (self.seed as f32 / u32::MAX as f32 * 2.0 - 1.0) * self.most
    }
}
