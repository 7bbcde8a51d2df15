//! Files that only their user may read, written whole or not at all.

use std::fs::{self, File, OpenOptions};
use std::io::{self, Write};
use std::path::Path;

use super::{NotebookError, Result};

/// The fault of this file.
pub fn fault(path: &Path) -> impl Fn(io::Error) -> NotebookError {
    move |e| NotebookError::File(path.to_owned(), e)
}

/// Makes the folder if it is not there. On Unix, what is made here is for its user alone (mode 0700).
pub fn private_folder(folder: &Path) -> Result<()> {
    let mut make = fs::DirBuilder::new();
    make.recursive(true);
    #[cfg(unix)]
    std::os::unix::fs::DirBuilderExt::mode(&mut make, 0o700);
    make.create(folder).map_err(fault(folder))?;
    close_to_others(folder, 0o700)
}

/// Makes an empty file if it is not there. On Unix it is for its user alone (mode 0600), and so is what SQLite keeps
/// beside its database, which takes over its mode.
pub fn private_file(path: &Path) -> Result<()> {
    options().append(true).create(true).open(path).map_err(fault(path))?;
    close_to_others(path, 0o600)
}

/// A file made earlier, perhaps by a copy, may be open to others.
#[cfg(unix)]
fn close_to_others(path: &Path, mode: u32) -> Result<()> {
    use std::os::unix::fs::PermissionsExt;
    let now = fs::metadata(path).map_err(fault(path))?.permissions().mode();
    if now & 0o077 == 0 {
        return Ok(());
    }
    fs::set_permissions(path, fs::Permissions::from_mode(mode)).map_err(fault(path))
}

#[cfg(not(unix))]
fn close_to_others(_: &Path, _: u32) -> Result<()> {
    Ok(())
}

fn options() -> OpenOptions {
    let mut options = OpenOptions::new();
    #[cfg(unix)]
    std::os::unix::fs::OpenOptionsExt::mode(&mut options, 0o600);
    options
}

/// Writes `bytes` to `path` so that, whatever happens, there is afterwards the whole file or none: a neighbour is
/// written, brought to the disk, and renamed.
pub fn write_whole(path: &Path, bytes: &[u8]) -> Result<()> {
    let fresh = path.with_extension(format!("{}.part", std::process::id()));
    let written = (|| {
        let mut file = options().write(true).create(true).truncate(true).open(&fresh)?;
        file.write_all(bytes)?;
        file.sync_all()?;
        drop(file);
        fs::rename(&fresh, path)?;
        sync_folder(path)
    })();
    if written.is_err() {
        let _ = fs::remove_file(&fresh);
    }
    written.map_err(fault(path))
}

/// Brings the name of a new file to the disk.
pub fn sync_folder(path: &Path) -> io::Result<()> {
    // Folders cannot be opened as files on Windows; there the rename itself is what there is.
    match path.parent().filter(|_| cfg!(unix)) {
        Some(folder) => File::open(folder)?.sync_all(),
        None => Ok(()),
    }
}

/// A new file for its user alone, in the place of what was there.
pub fn create_private(path: &Path) -> io::Result<File> {
    options().read(true).write(true).create(true).truncate(true).open(path)
}

/// Copies a file to one for its user alone, and brings that to the disk.
pub fn copy_private(from: &Path, to: &Path) -> Result<()> {
    let work = || -> io::Result<()> {
        let mut file = create_private(to)?;
        io::copy(&mut File::open(from)?, &mut file)?;
        file.sync_all()
    };
    work().map_err(fault(to))
}
