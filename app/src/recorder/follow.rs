//! Whether someone speaks, as it is heard: levels of every hundredth of a second, and what stands out of the room.
//!
//! This only starts and stops a recording, generously; where the word lies in it is found afterwards, with care, by
//! [`soundbead_dsp::voice`].

use crate::mic::StreamFormat;
use crate::mic::meter::FLOOR_DBFS;

/// Length of a block in seconds.
pub const BLOCK_S: f32 = 0.01;
/// A voice stands out of the room by this much, in dB.
const RISE_DB: f32 = 12.0;
/// And by this much while it lasts: endings are soft.
const STAY_DB: f32 = 7.0;
/// What is more than this under the loudest of the word is not part of it, in dB.
const RANGE_DB: f32 = 42.0;
/// The quiet after a word is at least this much under its loudest, in dB.
const LEAST_RISE_DB: f32 = 12.0;
/// No room is taken to be so quiet that a sound under this would be a voice, in dBFS.
const LEAST_DBFS: f32 = -58.0;
/// A sound over this is always noticed, whatever the room, in dBFS.
const MOST_DBFS: f32 = -28.0;
/// Of so many blocks ...
const SPAN: usize = 6;
/// ... so many must stand out for a voice: longer than a click.
const ENOUGH: usize = 4;
/// Blocks by which the room is known.
const MEMORY: usize = 100;
/// Corner of the high-pass that keeps hum and offset out of the levels, in Hz.
const HUM_HZ: f32 = 90.0;

/// Blocks in so many seconds.
pub fn blocks(seconds: f32) -> usize {
    (seconds / BLOCK_S).round() as usize
}

/// Frames in a block.
pub fn block_frames(rate: u32) -> usize {
    ((rate as f32 * BLOCK_S) as usize).max(1)
}

/// Levels and peaks of the blocks heard so far.
#[derive(Clone, Debug, Default)]
pub struct Follow {
    levels: Vec<f32>,
    peaks: Vec<f32>,
    filters: Vec<HighPass>,
    open: SampleBlock,
}

/// A block that is not full yet.
#[derive(Clone, Debug, Default)]
struct SampleBlock {
    frames: usize,
    power: Vec<f32>,
    peak: f32,
}

#[derive(Clone, Debug, Default)]
struct HighPass {
    last_in: f32,
    last_out: f32,
}

impl Follow {
    /// Takes interleaved samples in. The loudest channel counts.
    pub fn push(&mut self, samples: &[f32], format: StreamFormat) {
        let channels = usize::from(format.channels.max(1));
        let size = block_frames(format.rate);
        let keep = 1.0 / (1.0 + std::f32::consts::TAU * HUM_HZ / format.rate.max(1) as f32);
        self.filters.resize_with(channels, HighPass::default);
        self.open.power.resize(channels, 0.0);
        for frame in samples.chunks_exact(channels) {
            for ((x, filter), power) in frame.iter().zip(&mut self.filters).zip(&mut self.open.power) {
                let y = keep * (filter.last_out + x - filter.last_in);
                (filter.last_in, filter.last_out) = (*x, y);
                *power += y * y;
                self.open.peak = self.open.peak.max(x.abs());
            }
            self.open.frames += 1;
            if self.open.frames == size {
                self.close(size);
            }
        }
    }

    fn close(&mut self, size: usize) {
        let most = self.open.power.iter().fold(0.0f32, |m, p| m.max(*p));
        self.levels.push((10.0 * (most / size as f32).log10()).max(FLOOR_DBFS));
        self.peaks.push(self.open.peak);
        self.open.power.fill(0.0);
        (self.open.frames, self.open.peak) = (0, 0.0);
    }

    /// Blocks heard so far.
    pub fn len(&self) -> usize {
        self.levels.len()
    }

    /// Whether nothing has been heard yet.
    pub fn is_empty(&self) -> bool {
        self.levels.is_empty()
    }

    /// Seconds heard so far.
    pub fn seconds(&self) -> f32 {
        self.len() as f32 * BLOCK_S
    }

    /// Peak of each block, 0 to 1.
    pub fn peaks(&self) -> &[f32] {
        &self.peaks
    }

    /// Median level, in dBFS.
    pub fn middle(&self) -> f32 {
        nth(&self.levels, 0.5)
    }

    /// Level of the room before `block`: that of its quieter blocks.
    fn room(&self, block: usize) -> f32 {
        nth(&self.levels[block.saturating_sub(MEMORY)..block], 0.2)
    }

    /// The block, from `from` on, in which a voice begins to stand out of the room.
    pub fn onset(&self, from: usize) -> Option<usize> {
        (from..self.len()).find(|&at| {
            let limit = (self.room(at) + RISE_DB).clamp(LEAST_DBFS, MOST_DBFS);
            let span = &self.levels[at..(at + SPAN).min(self.len())];
            self.levels[at] > limit && span.iter().filter(|l| **l > limit).count() >= ENOUGH
        })
    }

    /// How many blocks it has been quiet, at the end, after a voice that began at `onset`.
    pub fn quiet_since(&self, onset: usize) -> usize {
        let voice = &self.levels[onset.min(self.len())..];
        let loudest = voice.iter().fold(FLOOR_DBFS, |m, l| m.max(*l));
        let room = self.room(onset) + STAY_DB;
        // Where someone spoke before the room could be known, the voice itself tells.
        let limit = room
            .max(loudest - RANGE_DB)
            .min(loudest - LEAST_RISE_DB)
            .max(LEAST_DBFS);
        voice.iter().rev().take_while(|l| **l <= limit).count()
    }
}

/// The value below which a share of the others lies.
fn nth(levels: &[f32], share: f32) -> f32 {
    if levels.is_empty() {
        return FLOOR_DBFS;
    }
    let mut sorted = levels.to_vec();
    let at = ((levels.len() - 1) as f32 * share) as usize;
    *sorted.select_nth_unstable_by(at, f32::total_cmp).1
}
