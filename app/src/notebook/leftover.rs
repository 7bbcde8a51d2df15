//! What a program that was ended left behind: hand-overs half read, files half written, archives half sent. It goes when
//! the notebook is next opened, for it may hold in clear what was to be locked, or what was erased since.

use std::fs;
use std::io::ErrorKind;
use std::path::{Path, PathBuf};
use std::time::{Duration, SystemTime};

use super::Result;
use super::error::fault;
use crate::storage;

/// How the folders begin in which hand-overs are unpacked.
pub const STAGING: &str = "incoming-";
/// How the files begin that name an archive on its way out.
pub const SENDING: &str = "outgoing-";
/// The ending of the files that are held while either is in use.
pub const LOCK: &str = "lock";
/// A file half written that was touched since this long may still be another program's.
const FRESH: Duration = Duration::from_secs(60);

/// What is in a folder; nothing where there is none.
///
/// # Errors
/// A folder that cannot be listed.
pub fn entries(folder: &Path) -> Result<Vec<PathBuf>> {
    let list = match fs::read_dir(folder) {
        Err(e) if matches!(e.kind(), ErrorKind::NotFound | ErrorKind::NotADirectory) => return Ok(Vec::new()),
        other => other.map_err(fault(folder))?,
    };
    list.map(|entry| Ok(entry.map_err(fault(folder))?.path())).collect()
}

/// Removes what was left behind in the notebook's folder. What another program has in hand stays.
///
/// # Errors
/// As [`entries`]. What cannot be removed is left to the next start.
pub fn clear(notebook: &Path) -> Result<()> {
    for entry in entries(notebook)? {
        let name = entry.file_name().unwrap_or_default().to_string_lossy().into_owned();
        let lock = entry.extension().is_some_and(|e| e == LOCK);
        match name {
            name if name.starts_with(SENDING) && lock => sent(&entry),
            name if name.starts_with(STAGING) && lock => held(&entry),
            // Without the file that is held beside it, it is nobody's.
            name if name.starts_with(STAGING) && !entry.with_extension(LOCK).exists() => gone(&entry),
            name if name.starts_with(storage::UNFINISHED) && is_old(&entry) => gone(&entry),
            _ => {}
        }
    }
    Ok(())
}

/// Removes a folder whose file nobody holds.
fn held(lock: &Path) {
    if let Ok(Some(held)) = storage::try_hold(lock) {
        gone(&lock.with_extension(""));
        drop(held);
        gone(lock);
    }
}

/// Removes an archive that was broken off on its way out: the file names it, and nobody holds it.
fn sent(lock: &Path) {
    let named = fs::read_to_string(lock).unwrap_or_default();
    if let Ok(Some(held)) = storage::try_hold(lock) {
        let half = PathBuf::from(named);
        let ours = half
            .file_name()
            .is_some_and(|n| n.to_string_lossy().starts_with(storage::UNFINISHED));
        if ours {
            gone(&half);
        }
        drop(held);
        gone(lock);
    }
}

fn is_old(path: &Path) -> bool {
    let touched = fs::metadata(path).and_then(|m| m.modified());
    touched.is_ok_and(|at| SystemTime::now().duration_since(at).is_ok_and(|since| since > FRESH))
}

/// What cannot be removed now is tried again at the next start; it must not close the notebook.
fn gone(path: &Path) {
    let _ = match path.is_dir() {
        true => fs::remove_dir_all(path),
        false => fs::remove_file(path),
    };
}
