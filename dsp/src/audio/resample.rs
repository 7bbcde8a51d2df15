//! Band-limited change of sample rate, to the 16 kHz that everything else works at.
//!
//! The work is done by the `rubato` library's FFT resampler (a windowed sinc applied by overlap-add). This module adds
//! the choice of block, the exact length, and the removal of the filter's delay: a time in the result is the same time
//! in the source.

use audioadapter_buffers::direct::InterleavedSlice;
use rubato::{Fft, FixedSync, Indexing, Resampler as _, WindowFunction};

/// Samples a second of every [`crate::audio::Clip`].
pub const RATE: u32 = 16_000;
/// Lowest source rate that is accepted, in Hz.
pub const MIN_RATE: u32 = 8_000;
/// Highest source rate that is accepted, in Hz.
pub const MAX_RATE: u32 = 192_000;

/// Shortest filter, in samples at 16 kHz. At 800 points the transition band is about 40 Hz a side, so that sounds up to
/// 7.8 kHz pass and those above 8 kHz do not.
const FILTER_POINTS: usize = 800;

/// Resamples one channel, piece by piece, to [`RATE`].
///
/// ```
/// use soundbead_dsp::audio::Resampler;
/// let mut r = Resampler::new(48_000).unwrap();
/// r.push(&[0.0; 4_800]);
/// assert_eq!(r.finish().len(), 1_600); // a tenth of a second stays a tenth of a second
/// ```
pub struct Resampler {
    from: u32,
    to: u32,
    /// None where the source already has the wanted rate.
    fft: Option<Fft<f32>>,
    pending: Vec<f32>,
    chunk: Vec<f32>,
    out: Vec<f32>,
    taken: u64,
    /// Samples of filter delay still to be dropped from the front.
    delay_left: usize,
}

impl Resampler {
    /// Plans the change from `from` Hz.
    ///
    /// None where `from` is outside [`MIN_RATE`] to [`MAX_RATE`].
    pub fn new(from: u32) -> Option<Resampler> {
        Resampler::between(from, RATE)
    }

    fn between(from: u32, to: u32) -> Option<Resampler> {
        let fit = |rate: u32| (MIN_RATE..=MAX_RATE).contains(&rate);
        if !fit(from) || !fit(to) {
            return None;
        }
        let fft = if from == to { None } else { Some(plan(from, to)?) };
        let (chunk, delay_left) = match &fft {
            Some(f) => (vec![0.0; f.output_frames_max()], f.output_delay()),
            None => (Vec::new(), 0),
        };
        Some(Resampler {
            from,
            to,
            fft,
            pending: Vec::new(),
            chunk,
            out: Vec::new(),
            taken: 0,
            delay_left,
        })
    }

    /// Takes the next samples of the source, any number of them.
    pub fn push(&mut self, samples: &[f32]) {
        self.taken += samples.len() as u64;
        let Some(fft) = &self.fft else {
            self.out.extend_from_slice(samples);
            return;
        };
        let need = fft.input_frames_next();
        self.pending.extend_from_slice(samples);
        let mut at = 0;
        while self.pending.len() - at >= need {
            self.block(at, need);
            at += need;
        }
        self.pending.drain(..at);
    }

    /// Samples of the result that are ready so far.
    pub fn ready(&self) -> usize {
        self.out.len()
    }

    /// Ends the stream: the whole result, `round(n * 16000 / from)` samples for `n` taken.
    pub fn finish(mut self) -> Vec<f32> {
        let want = ((self.taken as f64) * f64::from(self.to) / f64::from(self.from)).round() as usize;
        if let Some(need) = self.fft.as_ref().map(|f| f.input_frames_next()) {
            while self.out.len() < want {
                self.pending.resize(need, 0.0);
                self.block(0, need);
                self.pending.clear();
            }
        }
        self.out.truncate(want);
        self.out
    }

    /// Runs one block of `need` pending samples from `at` and keeps what is past the delay.
    fn block(&mut self, at: usize, need: usize) {
        let Some(fft) = &mut self.fft else { return };
        let frames = self.chunk.len();
        let done = InterleavedSlice::new(&self.pending[at..at + need], 1, need)
            .ok()
            .and_then(|input| {
                let mut output = InterleavedSlice::new_mut(&mut self.chunk, 1, frames).ok()?;
                fft.process_into_buffer(&input, &mut output, Some(&Indexing::new()))
                    .ok()
            });
        // The sizes are the planner's own, so this cannot fail; were it to, silence keeps the clock right.
        let made = done.map_or(0, |(_, n)| n);
        let skip = self.delay_left.min(made);
        self.delay_left -= skip;
        self.out.extend_from_slice(&self.chunk[skip..made]);
    }
}

/// Both block sizes must be even, so that the filter's delay is a whole number of samples at either rate.
fn plan(from: u32, to: u32) -> Option<Fft<f32>> {
    let g = gcd(from, to);
    let (unit_in, unit_out) = ((from / g) as usize, (to / g) as usize);
    let lower = unit_in.min(unit_out);
    let points_at_lower = FILTER_POINTS * from.min(to) as usize / RATE as usize;
    let units = points_at_lower.div_ceil(lower).max(1).next_multiple_of(2);
    Fft::new_custom(
        from as usize,
        to as usize,
        unit_in * units,
        1,
        1,
        WindowFunction::BlackmanHarris2,
        FixedSync::Both,
    )
    .ok()
}

fn gcd(a: u32, b: u32) -> u32 {
    if b == 0 { a } else { gcd(b, a % b) }
}

/// Resamples one channel at once; see [`Resampler`].
pub fn to_16k(samples: &[f32], from: u32) -> Option<Vec<f32>> {
    let mut r = Resampler::new(from)?;
    r.push(samples);
    Some(r.finish())
}

/// The other way: from 16 kHz to what a loudspeaker wants. None where `to` is outside [`MIN_RATE`] to [`MAX_RATE`].
///
/// ```
/// assert_eq!(soundbead_dsp::audio::from_16k(&[0.0; 1_600], 44_100).unwrap().len(), 4_410);
/// ```
pub fn from_16k(samples: &[f32], to: u32) -> Option<Vec<f32>> {
    let mut r = Resampler::between(RATE, to)?;
    r.push(samples);
    Some(r.finish())
}
