//! A path and two times into a recording.

use std::path::Path;

use soundbead_dsp::audio::{self, AudioError, Cache, Recording};

/// Where recordings come from. Files that words are cut out of are decoded once and kept for a while.
#[derive(Default)]
pub struct Clips {
    long: Cache,
}

/// A recording, and where it began in its file.
pub struct Cut {
    /// The sound.
    pub recording: Recording,
    /// Seconds from the file's start; 0 for a whole file.
    pub offset_s: f32,
}

impl Clips {
    /// The file from `start_s` to `end_s`, or as much of it as is not said.
    ///
    /// A whole file is asked for once as a rule, so it is not kept: memory stays the same however long the list is.
    ///
    /// # Errors
    /// When the file cannot be decoded, or does not reach that far.
    pub fn cut(&self, path: &Path, start_s: Option<f64>, end_s: Option<f64>) -> Result<Cut, AudioError> {
        if start_s.is_none() && end_s.is_none() {
            return Ok(Cut {
                recording: audio::decode(path)?,
                offset_s: 0.0,
            });
        }
        let source = self.long.get(path)?;
        let (start_s, end_s) = source.near(start_s.unwrap_or(0.0), end_s.unwrap_or_else(|| source.seconds()));
        let recording = source.cut(start_s, end_s)?;
        Ok(Cut {
            recording,
            offset_s: start_s as f32,
        })
    }
}
