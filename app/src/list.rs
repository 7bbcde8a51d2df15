//! Lists in text files: one format, read here for every command.
//!
//! A list is UTF-8 text with one entry on each line. Empty lines and lines that begin with `#` are passed over, and so is
//! the byte order mark that some editors put first.

use std::fs::File;
use std::io::Read;
use std::path::Path;

use crate::fault::Fault;
use crate::storage;

/// Longest list that is read. The whole dictionary, one word on each line, takes about a megabyte; what is longer than
/// this has most likely no end.
const MOST_BYTES: u64 = 16 << 20;

/// One entry, and the line on which it stands, counted from 1.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ListEntry {
    /// The number of its line.
    pub line: usize,
    /// The entry, without spaces round it.
    pub text: String,
}

/// The entries of the list at `path`; `wanted` says what each line holds, such as `one word`.
///
/// # Errors
/// One line when it cannot be read, is not text, or does not end.
pub fn read(path: &Path, wanted: &str) -> Result<Vec<ListEntry>, Fault> {
    let text = read_text(path).map_err(|why| {
        Fault::input(format_args!(
            "{}: {why}; wanted a text file with {wanted} on each line",
            path.display()
        ))
    })?;
    Ok(entries(&text))
}

/// The entries alone.
///
/// # Errors
/// As for [`read`].
pub fn texts(path: &Path, wanted: &str) -> Result<Vec<String>, Fault> {
    Ok(read(path, wanted)?.into_iter().map(|entry| entry.text).collect())
}

/// The whole text of a file, at most [`MOST_BYTES`] of it.
///
/// # Errors
/// Why it could not be read, in words.
pub fn read_text(path: &Path) -> Result<String, String> {
    let mut bytes = Vec::new();
    File::open(path)
        .and_then(|file| file.take(MOST_BYTES + 1).read_to_end(&mut bytes))
        .map_err(|e| storage::why(&e))?;
    if bytes.len() as u64 > MOST_BYTES {
        return Err(format!("this is longer than {} MB", MOST_BYTES >> 20));
    }
    String::from_utf8(bytes).map_err(|_| "this is not UTF-8 text".to_owned())
}

fn entries(text: &str) -> Vec<ListEntry> {
    let lines = text.trim_start_matches('\u{feff}').lines().enumerate();
    lines
        .map(|(at, line)| ListEntry {
            line: at + 1,
            text: line.trim().to_owned(),
        })
        .filter(|entry| !entry.text.is_empty() && !entry.text.starts_with('#'))
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn remarks_and_empty_lines_are_passed_over_and_lines_are_numbered() {
        let read = entries("\u{feff}# short e\nbed\n\n  peg \r\n# pig\n");
        let read: Vec<(usize, &str)> = read.iter().map(|e| (e.line, e.text.as_str())).collect();
        assert_eq!(read, [(2, "bed"), (4, "peg")]);
    }
}
