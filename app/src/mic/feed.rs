//! Samples of any format on their way from an audio callback to the window.

use std::sync::Arc;
use std::sync::atomic::{AtomicU64, Ordering};

use cpal::{FromSample, Sample, SizedSample};
use rtrb::{Consumer, Producer, RingBuffer};

/// Seconds of sound that the ring holds. The window reads it every frame; ten seconds bridge even a stuck one.
const ROOM_S: usize = 10;

/// The callback's end of the ring.
pub struct Feed {
    ring: Producer<f32>,
    channels: usize,
    missed: Arc<AtomicU64>,
}

/// The window's end of the ring.
pub struct Outlet {
    ring: Consumer<f32>,
    missed: Arc<AtomicU64>,
}

/// A ring for a stream of `rate` frames a second, `channels` samples each.
pub fn ring(rate: u32, channels: u16) -> (Feed, Outlet) {
    let channels = usize::from(channels.max(1));
    let (producer, consumer) = RingBuffer::new(rate as usize * channels * ROOM_S);
    let missed = Arc::new(AtomicU64::new(0));
    let feed = Feed {
        ring: producer,
        channels,
        missed: missed.clone(),
    };
    (feed, Outlet { ring: consumer, missed })
}

impl Feed {
    /// Takes interleaved samples in; whole frames that find no room are counted and dropped. Safe in an audio callback:
    /// takes no lock and allocates nothing.
    pub fn push<T>(&mut self, samples: &[T])
    where
        T: Sample,
        f32: FromSample<T>,
    {
        let room = self.ring.slots() / self.channels * self.channels;
        let fits = samples.len().min(room);
        if let Ok(chunk) = self.ring.write_chunk_uninit(fits) {
            chunk.fill_from_iter(samples[..fits].iter().map(|x| f32::from_sample(*x)));
        }
        let left = (samples.len() - fits) / self.channels;
        if left > 0 {
            self.missed.fetch_add(left as u64, Ordering::Relaxed);
        }
    }
}

impl Outlet {
    /// Appends everything that has arrived.
    pub fn drain(&mut self, into: &mut Vec<f32>) {
        let ready = self.ring.slots();
        if let Ok(chunk) = self.ring.read_chunk(ready) {
            let (a, b) = chunk.as_slices();
            into.extend_from_slice(a);
            into.extend_from_slice(b);
            chunk.commit_all();
        }
    }

    /// Frames dropped so far for want of room.
    pub fn missed(&self) -> u64 {
        self.missed.load(Ordering::Relaxed)
    }
}

/// Depth of a sample format in bits where it is of whole numbers.
pub fn bits<T: SizedSample>() -> Option<u32> {
    bits_of(T::FORMAT)
}

/// [`bits`] of a format told at run time.
pub fn bits_of(format: cpal::SampleFormat) -> Option<u32> {
    let whole = format.is_int() || format.is_uint();
    whole.then(|| format.bits_per_sample())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn through<T>(samples: &[T]) -> Vec<f32>
    where
        T: Sample,
        f32: FromSample<T>,
    {
        let (mut feed, mut outlet) = ring(8_000, 1);
        feed.push(samples);
        let mut out = Vec::new();
        outlet.drain(&mut out);
        out
    }

    /// PCM as WAV files hold it (IBM and Microsoft, Multimedia Programming Interface 1.0, 1991): 16 bits are signed
    /// about 0, unsigned samples lie about the middle of their range.
    #[test]
    fn every_format_has_its_zero_and_full_scale_in_place() {
        assert_eq!(through(&[0i16, i16::MIN, 16_384]), [0.0, -1.0, 0.5]);
        assert_eq!(through(&[32_768u16, 0, 49_152]), [0.0, -1.0, 0.5]);
        assert_eq!(through(&[0.0f32, -1.0, 0.5]), [0.0, -1.0, 0.5]);
        assert_eq!(through(&[128u8, 0, 192]), [0.0, -1.0, 0.5]);
        assert_eq!(through(&[0i32, i32::MIN, 1 << 30]), [0.0, -1.0, 0.5]);
        assert_eq!(
            (bits::<i16>(), bits::<u16>(), bits::<f32>()),
            (Some(16), Some(16), None)
        );
    }

    #[test]
    fn a_full_ring_drops_whole_frames_and_counts_them() {
        let (mut feed, mut outlet) = ring(1, 2); // room for ten frames of two
        let sent: Vec<f32> = (0..30).map(|i| i as f32 / 100.0).collect();
        feed.push(&sent);
        let mut got = Vec::new();
        outlet.drain(&mut got);
        assert_eq!((got.as_slice(), outlet.missed()), (&sent[..20], 5));
        feed.push(&sent[20..]);
        got.clear();
        outlet.drain(&mut got);
        assert_eq!((got.as_slice(), outlet.missed()), (&sent[20..], 5));
    }
}
