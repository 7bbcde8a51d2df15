//! The recordings beside the database: WAV, 16 kHz, one channel, 16 bit, each named by its content.

use std::fs;
use std::io::{Cursor, ErrorKind};
use std::path::{Path, PathBuf};

use hound::{SampleFormat, WavSpec, WavWriter};
use soundbead_dsp::audio::{self, Clip, Recording};

use super::files::{self, fault};
use super::{Content, Notebook, NotebookError, Result};

/// The recordings' folder in the notebook's.
pub(super) const FOLDER: &str = "recordings";

/// Where the recording `content` lies in the notebook's folder, whether or not it is there.
///
/// By its first two digits in one of 256 folders: no folder grows too long to list.
pub(super) fn path(notebook: &Path, content: Content) -> PathBuf {
    let name = content.to_string();
    notebook.join(FOLDER).join(&name[..2]).join(format!("{name}.wav"))
}

/// The clip as a WAV file's bytes; samples beyond full scale are clipped to it.
pub(super) fn wav(clip: &Clip) -> Vec<u8> {
    let spec = WavSpec {
        channels: 1,
        sample_rate: audio::RATE,
        bits_per_sample: 16,
        sample_format: SampleFormat::Int,
    };
    let mut bytes = Cursor::new(Vec::with_capacity(44 + 2 * clip.samples.len()));
    let mut write = || {
        let mut writer = WavWriter::new(&mut bytes, spec)?;
        for sample in &clip.samples {
            // The same scale by which 16 bit files are read: -32768 is -1.
            writer.write_sample((sample * 32_768.0).round().clamp(-32_768.0, 32_767.0) as i16)?;
        }
        writer.finalize()
    };
    write().expect("memory takes every byte, and one channel of 16 bit is a WAV file");
    bytes.into_inner()
}

/// Keeps these bytes as a recording; it is on the disk when this returns. What is there already is left.
pub(super) fn keep(notebook: &Path, bytes: &[u8]) -> Result<Content> {
    let content = Content::of(bytes);
    let path = path(notebook, content);
    if !path.is_file() {
        let folder = path.parent().unwrap_or(notebook);
        files::private_folder(folder)?;
        files::sync_folder(folder).map_err(fault(folder))?;
        files::write_whole(&path, bytes)?;
    }
    Ok(content)
}

/// Moves a file that is known to hold `content` to its place; whether it was not there before.
pub(super) fn adopt(notebook: &Path, content: Content, file: &Path) -> Result<bool> {
    let path = path(notebook, content);
    if path.is_file() {
        return Ok(false);
    }
    let folder = path.parent().unwrap_or(notebook);
    files::private_folder(folder)?;
    let place = || {
        fs::File::open(file)?.sync_all()?;
        fs::rename(file, &path)?;
        files::sync_folder(&path)
    };
    place().map_err(fault(&path))?;
    Ok(true)
}

/// Removes a recording; one that is gone already is no fault.
pub(super) fn remove(notebook: &Path, content: Content) -> Result<()> {
    let path = path(notebook, content);
    match fs::remove_file(&path) {
        Err(e) if e.kind() != ErrorKind::NotFound => Err(NotebookError::File(path, e)),
        _ => Ok(()),
    }
}

impl Notebook {
    /// Where a recording lies.
    pub fn recording_path(&self, content: Content) -> PathBuf {
        path(&self.folder, content)
    }

    /// Whether a recording is here: it is not when the learner was handed over without recordings.
    pub fn has_recording(&self, content: Content) -> bool {
        path(&self.folder, content).is_file()
    }

    /// A recording, decoded.
    ///
    /// # Errors
    /// When its file is missing or damaged.
    pub fn recording(&self, content: Content) -> Result<Recording> {
        audio::decode(&path(&self.folder, content)).map_err(NotebookError::refused)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_clip_comes_back_sample_for_sample() {
        let clip = Clip {
            samples: vec![0.0, 0.5, -1.0, 1.0 / 32_768.0, 32_767.0 / 32_768.0],
        };
        let mut read = hound::WavReader::new(Cursor::new(wav(&clip))).unwrap();
        let spec = read.spec();
        assert_eq!((spec.sample_rate, spec.channels, spec.bits_per_sample), (16_000, 1, 16));
        let samples: Vec<i16> = read.samples().map(|s| s.unwrap()).collect();
        assert_eq!(samples, [0, 16_384, -32_768, 1, 32_767]);
    }
}
