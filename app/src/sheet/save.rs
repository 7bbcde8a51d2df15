//! A sheet into a file, without ever losing one that is there.

use std::fs::{self, OpenOptions};
use std::io::{self, ErrorKind, Write};
use std::path::{Path, PathBuf};

use super::page::Sheet;
use super::pdf;
use super::svg::{self, Letters};

/// What a file name asks for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Format {
    /// One file.
    Pdf,
    /// One file a page.
    Svg,
}

/// The format that the ending of `path` names.
///
/// # Errors
/// One line, when it names none.
pub fn format(path: &Path) -> Result<Format, String> {
    let ending = path.extension().map(|e| e.to_string_lossy().to_ascii_lowercase());
    match ending.as_deref() {
        Some("pdf") => Ok(Format::Pdf),
        Some("svg") => Ok(Format::Svg),
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
/// One line: what could not be written, and what to do. No file is left half written.
pub fn save(sheet: &Sheet, path: &Path, replace: bool) -> Result<Vec<PathBuf>, String> {
    let files: Vec<(PathBuf, Vec<u8>)> = match format(path)? {
        Format::Pdf => vec![(path.to_owned(), pdf::write(sheet)?)],
        Format::Svg => (0..sheet.pages.len())
            .map(|at| {
                (
                    page_name(path, at, sheet.pages.len()),
                    svg::page(sheet, at, Letters::Drawn).into_bytes(),
                )
            })
            .collect(),
    };
    if let Some((there, _)) = files.iter().find(|(path, _)| !replace && path.exists()) {
        return Err(is_there(there));
    }
    for (path, bytes) in &files {
        write_new(path, bytes, replace)?;
    }
    Ok(files.into_iter().map(|(path, _)| path).collect())
}

/// Writes one file whole, or leaves what was there.
///
/// # Errors
/// One line, when there is such a file and `replace` is off, or it cannot be written.
pub fn write_new(path: &Path, bytes: &[u8], replace: bool) -> Result<(), String> {
    write(path, bytes, replace).map_err(|e| match e.kind() {
        ErrorKind::AlreadyExists => is_there(path),
        _ => format!("{}: cannot be written: {e}", path.display()),
    })
}

fn is_there(path: &Path) -> String {
    format!(
        "{}: there is such a file already; give another name, or --force to replace it",
        path.display()
    )
}

/// The file of page `at` among `total`.
fn page_name(path: &Path, at: usize, total: usize) -> PathBuf {
    if total == 1 {
        return path.to_owned();
    }
    let stem = path
        .file_stem()
        .map_or_else(String::new, |s| s.to_string_lossy().into_owned());
    path.with_file_name(format!("{stem}-{}.svg", at + 1))
}

/// Writes beside the file and then puts it in its place, so that a stop half way leaves what was there whole.
fn write(path: &Path, bytes: &[u8], replace: bool) -> io::Result<()> {
    let mut name = path.file_name().unwrap_or_default().to_owned();
    name.push(format!(".{}.part", std::process::id()));
    let fresh = path.with_file_name(name);
    if !replace && path.exists() {
        return Err(io::Error::from(ErrorKind::AlreadyExists));
    }
    let mut file = OpenOptions::new()
        .write(true)
        .create(true)
        .truncate(true)
        .open(&fresh)?;
    let done = file.write_all(bytes).and_then(|()| file.sync_all());
    drop(file);
    let done = done.and_then(|()| match replace {
        true => fs::rename(&fresh, path),
        // A hard link is made only where there is nothing; some file systems have none, and there a look must do.
        false => fs::hard_link(&fresh, path).or_else(|e| match path.exists() {
            true => Err(io::Error::from(ErrorKind::AlreadyExists)),
            false => fs::copy(&fresh, path).map(|_| ()).map_err(|_| e),
        }),
    });
    if fresh.exists() {
        let _ = fs::remove_file(&fresh);
    }
    done
}
