//! The recordings beside the database: WAV, 16 kHz, one channel, 16 bit, each named by its content.

use std::fs;
use std::io::{self, ErrorKind};
use std::path::{Path, PathBuf};

use soundbead_dsp::audio::{self, Recording};

use super::error::fault;
use super::skipped::Skipped;
use super::{Content, Notebook, NotebookError, Result};
use crate::storage::{self, Access};

/// The recordings' folder in the notebook's.
pub(super) const FOLDER: &str = "recordings";

/// Where the recording `content` lies in the notebook's folder, whether or not it is there.
///
/// By its first two digits in one of 256 folders: no folder grows too long to list.
pub(super) fn path(notebook: &Path, content: Content) -> PathBuf {
    let name = content.to_string();
    notebook.join(FOLDER).join(&name[..2]).join(format!("{name}.wav"))
}

/// Keeps these bytes as a recording; it is on the disk when this returns. What is there already is left, when it still is
/// what its name says; one that was altered is put right, which is said.
pub(super) fn keep(notebook: &Path, bytes: &[u8], skipped: &Skipped) -> Result<Content> {
    let content = Content::of(bytes);
    let path = path(notebook, content);
    if is_whole(&path, content, skipped) {
        return Ok(content);
    }
    let keep = || {
        folder_of(&path)?;
        storage::write(&path, bytes, Access::Private)
    };
    keep().map_err(fault(&path))?;
    Ok(content)
}

/// Whether the recording is there and is what its name says.
fn is_whole(path: &Path, content: Content, skipped: &Skipped) -> bool {
    // One that cannot be read is written anew, which says why it cannot be.
    let Ok(bytes) = fs::read(path) else { return false };
    let whole = Content::of(&bytes) == content;
    if !whole {
        skipped
            .say("a recording in the notebook had been altered since it was made; it is put right from the same sound");
    }
    whole
}

/// Moves a file that is known to hold `content` to its place; whether it was not there before.
pub(super) fn adopt(notebook: &Path, content: Content, file: &Path, skipped: &Skipped) -> Result<bool> {
    let path = path(notebook, content);
    let there = path.is_file();
    if is_whole(&path, content, skipped) {
        return Ok(false);
    }
    let place = || {
        folder_of(&path)?;
        storage::adopt(file, &path)
    };
    place().map_err(fault(&path))?;
    // One that was put right is not to be removed again when the change fails.
    Ok(!there)
}

/// Makes the folder that a recording lies in.
fn folder_of(path: &Path) -> io::Result<()> {
    let folder = path.parent().unwrap_or(path);
    storage::folder(folder, Access::Private)?;
    storage::sync_name(folder)
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
