//! Takes decoded stretches of sound in, checks them, and makes a [`Recording`] of them.

use std::ops::Range;

use super::clipping::ClippingWatch;
use super::error::AudioFault;
use super::resample::{MAX_RATE, MIN_RATE, Resampler};
use super::{Clip, MAX_CHANNELS, MIN_BROKEN_SECONDS, MIN_SECONDS, RATE, Recording, mix};

/// Magnitude beyond which a float source cannot be meant to have its full scale at 1.
const MOST_SCALE: f32 = 100.0;

/// Collects one recording.
pub struct Intake {
    rate: u32,
    frames: u64,
    limit_s: f64,
    peak: f32,
    channels: Vec<Channel>,
}

struct Channel {
    watch: ClippingWatch,
    resampler: Resampler,
}

impl Intake {
    /// Starts a recording of `channels` at `rate` Hz that may last `limit_s`; for `bits` and `lossy` see [`ClippingWatch`].
    ///
    /// # Errors
    /// When rate or channels lie outside what is handled.
    pub fn new(rate: u32, channels: usize, bits: Option<u32>, lossy: bool, limit_s: f64) -> Result<Intake, AudioFault> {
        if !(MIN_RATE..=MAX_RATE).contains(&rate) {
            return Err(AudioFault::Rate(rate));
        }
        if channels == 0 || channels > MAX_CHANNELS {
            return Err(AudioFault::Channels(channels));
        }
        let channels = (0..channels)
            .map(|_| {
                let resampler = Resampler::new(rate).ok_or(AudioFault::Rate(rate))?;
                Ok(Channel {
                    watch: ClippingWatch::new(bits, lossy),
                    resampler,
                })
            })
            .collect::<Result<_, AudioFault>>()?;
        Ok(Intake {
            rate,
            frames: 0,
            limit_s,
            peak: 0.0,
            channels,
        })
    }

    /// Whether a stretch has the shape that this recording began with.
    pub fn fits(&self, rate: u32, channels: usize) -> bool {
        self.rate == rate && self.channels.len() == channels
    }

    /// Frames taken so far.
    pub fn frames(&self) -> u64 {
        self.frames
    }

    /// Takes the next stretch, one slice a channel, all of one length. False once it is longer than it may be.
    ///
    /// # Errors
    /// When a sample is no number or lies far beyond full scale.
    pub fn take(&mut self, planes: &[Vec<f32>]) -> Result<bool, AudioFault> {
        let n = planes.iter().map(Vec::len).min().unwrap_or(0);
        for (channel, plane) in self.channels.iter_mut().zip(planes) {
            let plane = &plane[..n];
            if let Some(bad) = plane.iter().position(|x| !x.is_finite()) {
                return Err(AudioFault::NotFinite(
                    (self.frames + bad as u64) as f64 / f64::from(self.rate),
                ));
            }
            for &x in plane {
                self.peak = self.peak.max(x.abs());
                channel.watch.push(x);
            }
            channel.resampler.push(plane);
        }
        self.frames += n as u64;
        if self.peak > MOST_SCALE {
            return Err(AudioFault::OutOfScale(self.peak));
        }
        Ok(self.seconds() <= self.limit_s)
    }

    fn seconds(&self) -> f64 {
        self.frames as f64 / f64::from(self.rate)
    }

    /// Ends the recording; `damaged` says that sound is missing from it.
    ///
    /// # Errors
    /// When the recording is empty or too short, or so damaged that too little of it is left.
    pub fn finish(self, container: &'static str, damaged: bool) -> Result<Recording, AudioFault> {
        let seconds = self.seconds();
        if damaged && seconds < MIN_BROKEN_SECONDS {
            return Err(AudioFault::Truncated(seconds));
        }
        if self.frames == 0 {
            return Err(AudioFault::NoSamples);
        }
        if seconds < MIN_SECONDS {
            return Err(AudioFault::TooShort(seconds));
        }
        let count = self.channels.len() as u16;
        let mut tops = Vec::new();
        let mut channels = Vec::with_capacity(self.channels.len());
        for c in self.channels {
            tops.extend(c.watch.finish());
            channels.push(c.resampler.finish());
        }
        let (samples, mix) = mix::to_mono(channels);
        let clipped_at = at_16k(tops, self.rate, samples.len());
        Ok(Recording {
            clip: Clip { samples },
            source_rate: self.rate,
            channels: count,
            clipped: !clipped_at.is_empty(),
            clipped_at,
            truncated: damaged,
            mix,
            container,
        })
    }
}

/// Ranges of source samples as sorted ranges at 16 kHz, each at least one sample, touching ones joined.
fn at_16k(mut runs: Vec<Range<u64>>, rate: u32, len: usize) -> Vec<Range<usize>> {
    runs.sort_by_key(|r| r.start);
    let scale = f64::from(RATE) / f64::from(rate);
    let mut out: Vec<Range<usize>> = Vec::new();
    for r in runs {
        let start = ((r.start as f64 * scale) as usize).min(len.saturating_sub(1));
        let end = ((r.end as f64 * scale).ceil() as usize).clamp(start + 1, len.max(start + 1));
        match out.last_mut() {
            Some(last) if start <= last.end => last.end = last.end.max(end),
            _ => out.push(start..end),
        }
    }
    out
}
