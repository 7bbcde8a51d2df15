//! A sheet into a file, without ever losing one that is there.

use std::fmt;
use std::io::ErrorKind;
use std::path::{Path, PathBuf};

use super::page::Sheet;
use super::pdf;
use super::svg::{self, SvgLetters};
use crate::storage::{self, Access};

/// What a file name asks for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum FileFormat {
    /// One file.
    Pdf,
    /// One file a page.
    Svg,
}

/// The format that the ending of `path` names.
///
/// # Errors
/// One line, when it names none.
pub fn format(path: &Path) -> Result<FileFormat, String> {
    let ending = path.extension().map(|e| e.to_string_lossy().to_ascii_lowercase());
    match ending.as_deref() {
        Some("pdf") => Ok(FileFormat::Pdf),
        Some("svg") => Ok(FileFormat::Svg),
        _ => Err(format!(
            "{}: the name must end in .pdf or .svg, which says what to write",
            path.display()
        )),
    }
}

/// Writes `sheet` to `path` and gives the files that were written. SVG of several pages goes to one file a page:
/// `name-1.svg`, `name-2.svg` and so on. A file that is there is replaced only where `replace` says so.
///
/// # Errors
/// When there is such a file, or it cannot be written. No file is left half written.
pub fn save(sheet: &Sheet, path: &Path, access: Access, replace: bool) -> Result<Vec<PathBuf>, NotSaved> {
    let files: Vec<(PathBuf, Vec<u8>)> = match format(path)? {
        FileFormat::Pdf => vec![(path.to_owned(), pdf::write(sheet)?)],
        FileFormat::Svg => (0..sheet.pages.len())
            .map(|at| {
                let bytes = svg::page(sheet, at, SvgLetters::Drawn).into_bytes();
                (page_name(path, at, sheet.pages.len()), bytes)
            })
            .collect(),
    };
    if let Some((there, _)) = files.iter().find(|(path, _)| !replace && path.exists()) {
        return Err(NotSaved::There(there.clone()));
    }
    for (path, bytes) in &files {
        write(path, bytes, access, replace)?;
    }
    Ok(files.into_iter().map(|(path, _)| path).collect())
}

/// Writes one file whole, or leaves what was there.
///
/// # Errors
/// One line, when there is such a file and `replace` is off, or it cannot be written.
pub fn write(path: &Path, bytes: &[u8], access: Access, replace: bool) -> Result<(), NotSaved> {
    let written = match replace {
        true => storage::write(path, bytes, access),
        false => storage::write_new(path, bytes, access),
    };
    written.map_err(|e| match e.kind() {
        ErrorKind::AlreadyExists => NotSaved::There(path.to_owned()),
        _ => NotSaved::Cannot(storage::cannot_write(path)(e)),
    })
}

/// Why a file was not written.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum NotSaved {
    /// There is such a file, and it was not to be replaced.
    There(PathBuf),
    /// One line: what could not be written, and what to do.
    Cannot(String),
}

impl fmt::Display for NotSaved {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            NotSaved::There(path) => write!(f, "{}: there is such a file already", path.display()),
            NotSaved::Cannot(line) => f.write_str(line),
        }
    }
}

impl From<String> for NotSaved {
    fn from(line: String) -> NotSaved {
        NotSaved::Cannot(line)
    }
}

/// The file of page `at` among `total`.
fn page_name(path: &Path, at: usize, total: usize) -> PathBuf {
    match total {
        1 => path.to_owned(),
        _ => storage::numbered(path, at + 1),
    }
}
