//! Long files that many words are cut out of, decoded once.

use std::collections::HashMap;
use std::path::{Path, PathBuf};
use std::sync::{Arc, Mutex, OnceLock};

use super::{AudioError, AudioFault, Clip, MAX_SECONDS, MAX_SOURCE_CHANNEL_HOURS, MIN_SECONDS, RATE, Recording, near};

/// How far past the recording's end a range may reach, in seconds; rounding in a manifest, not a mistake.
const END_SLACK_S: f64 = 0.05;

/// Most files that are remembered, those that could not be used among them.
const MOST_FILES: usize = 4_096;

/// A decoded file that words are cut out of, at most [`MAX_SOURCE_CHANNEL_HOURS`] long.
///
/// It holds 16,000 floats a second: 230 MB an hour.
#[derive(Debug)]
pub struct SourceRecording {
    name: String,
    whole: Recording,
}

impl SourceRecording {
    /// Decodes a file whole.
    ///
    /// # Errors
    /// As [`super::decode`], with another limit on the length.
    pub fn open(path: &Path) -> Result<SourceRecording, AudioError> {
        let name = path.display().to_string();
        let limit = |channels: usize| MAX_SOURCE_CHANNEL_HOURS * 3600.0 / channels.max(1) as f64;
        let whole = super::open(path)
            .and_then(|file| super::read(Box::new(file), &super::extension(path), limit))
            .map_err(|f| f.in_file(&name))?;
        Ok(SourceRecording { name, whole })
    }

    /// Length in seconds.
    pub fn seconds(&self) -> f64 {
        self.whole.clip.seconds()
    }

    /// The whole file as one recording.
    ///
    /// # Errors
    /// When it is longer than [`MAX_SECONDS`].
    pub fn whole(&self) -> Result<Recording, AudioError> {
        if self.seconds() > MAX_SECONDS {
            return Err(AudioFault::TooLong(Some(self.seconds()), MAX_SECONDS).in_file(&self.name));
        }
        Ok(self.whole.clone())
    }

    /// The sound from `start_s` to `end_s`, in seconds from the file's start.
    ///
    /// # Errors
    /// For times that are no range, that reach more than 50 ms past the end, or that hold more than
    /// [`MAX_SECONDS`] or less than [`MIN_SECONDS`].
    pub fn cut(&self, start_s: f64, end_s: f64) -> Result<Recording, AudioError> {
        self.range(start_s, end_s).map_err(|f| f.in_file(&self.name))
    }

    /// Times around a word that was found by eye or by alignment, moved outwards to where the speech falls quiet: at most
    /// 120 ms each way. Times that are no range come back as they are, for [`SourceRecording::cut`] to refuse.
    pub fn near(&self, start_s: f64, end_s: f64) -> (f64, f64) {
        let all = &self.whole.clip;
        let sample = |s: f64| ((s.max(0.0) * f64::from(RATE)).round() as usize).min(all.samples.len());
        let (a, b) = (sample(start_s), sample(end_s));
        if !start_s.is_finite() || !end_s.is_finite() || start_s < 0.0 || a >= b || end_s > self.seconds() + END_SLACK_S
        {
            return (start_s, end_s);
        }
        let (a, b) = near::widen(all, a, b);
        (a as f64 / f64::from(RATE), b as f64 / f64::from(RATE))
    }

    fn range(&self, start_s: f64, end_s: f64) -> Result<Recording, AudioFault> {
        // A start past the end, with the end left to the recording's own, is not seen as a range turned round.
        let turned = end_s <= start_s && start_s < self.seconds();
        if !start_s.is_finite() || !end_s.is_finite() || start_s < 0.0 || turned {
            return Err(AudioFault::Range(start_s, end_s));
        }
        if end_s > self.seconds() + END_SLACK_S || start_s >= self.seconds() {
            return Err(AudioFault::Outside(start_s, end_s, self.seconds()));
        }
        if end_s - start_s > MAX_SECONDS {
            return Err(AudioFault::TooLong(Some(end_s - start_s), MAX_SECONDS));
        }
        let all = &self.whole.clip.samples;
        let sample = |s: f64| ((s * f64::from(RATE)).round() as usize).min(all.len());
        let (a, b) = (sample(start_s), sample(end_s));
        let seconds = (b - a) as f64 / f64::from(RATE);
        if seconds < MIN_SECONDS {
            return Err(AudioFault::TooShort(seconds));
        }
        let tops = &self.whole.clipped_at;
        let first = tops.partition_point(|r| r.end <= a);
        let clipped_at: Vec<_> = tops[first..]
            .iter()
            .take_while(|r| r.start < b)
            .map(|r| r.start.max(a) - a..r.end.min(b) - a)
            .collect();
        Ok(Recording {
            clip: Clip {
                samples: all[a..b].to_vec(),
            },
            clipped: !clipped_at.is_empty(),
            clipped_at,
            // Only a range that reaches the place where the file broke off lacks anything.
            truncated: self.whole.truncated && b == all.len(),
            mix: self.whole.mix.clone(),
            ..self.whole
        })
    }
}

/// Decoded files kept for a batch, so that a thousand words of one file cost one decoding.
///
/// May be used from several threads: each file is decoded by one of them while the others that want it wait. When the
/// whole holds more than its limit, the files used longest ago are let go.
#[derive(Debug)]
pub struct Cache {
    limit_samples: usize,
    held: Mutex<CachedFiles>,
}

#[derive(Debug, Default)]
struct CachedFiles {
    clock: u64,
    files: HashMap<PathBuf, (u64, Arc<CacheSlot>)>,
}

type CacheSlot = OnceLock<Result<Arc<SourceRecording>, AudioError>>;

impl Default for Cache {
    /// Room for about four hours of sound (0.9 GB).
    fn default() -> Cache {
        Cache::new(4 * 3600 * RATE as usize)
    }
}

impl Cache {
    /// A cache of at most `limit_samples` samples at 16 kHz; the file in use is held even if it alone has more.
    pub fn new(limit_samples: usize) -> Cache {
        Cache {
            limit_samples,
            held: Mutex::default(),
        }
    }

    /// The file, decoded now or before. A file that could not be used gives the same error each time.
    ///
    /// # Errors
    /// As [`SourceRecording::open`].
    pub fn get(&self, path: &Path) -> Result<Arc<SourceRecording>, AudioError> {
        let slot = {
            let mut held = self.held.lock().unwrap_or_else(|e| e.into_inner());
            held.clock += 1;
            let now = held.clock;
            let entry = held.files.entry(path.to_path_buf()).or_default();
            entry.0 = now;
            entry.1.clone()
        };
        // Decoded outside the lock, so that other files can be had meanwhile.
        let mut new = false;
        let got = slot.get_or_init(|| {
            new = true;
            SourceRecording::open(path).map(Arc::new)
        });
        if new {
            self.trim();
        }
        got.clone()
    }

    fn trim(&self) {
        let mut held = self.held.lock().unwrap_or_else(|e| e.into_inner());
        let size = |slot: &Arc<CacheSlot>| {
            slot.get()
                .and_then(|r| r.as_ref().ok())
                .map_or(0, |s| s.whole.clip.samples.len())
        };
        let mut total: usize = held.files.values().map(|(_, s)| size(s)).sum();
        while total > self.limit_samples || held.files.len() > MOST_FILES {
            let newest = held.clock;
            let oldest = held
                .files
                .iter()
                .filter(|(_, (at, s))| *at != newest && s.get().is_some());
            let Some(path) = oldest.min_by_key(|(_, (at, _))| *at).map(|(p, _)| p.clone()) else {
                break;
            };
            if let Some((_, slot)) = held.files.remove(&path) {
                total -= size(&slot);
            }
        }
    }
}
