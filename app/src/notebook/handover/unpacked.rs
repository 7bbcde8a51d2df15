//! An archive as it lies unpacked, and the lines of its members.

use std::fs::File;
use std::io::{BufRead, BufReader, Read};
use std::path::PathBuf;

use serde::de::DeserializeOwned;
use serde_json::Value;

use super::super::{Content, older};
use super::archive::limits;
use super::manifest::Manifest;
use super::wire;

/// An archive that was unpacked and found whole.
pub struct Unpacked {
    /// Its table of contents.
    pub manifest: Manifest,
    /// Where its members lie.
    pub folder: PathBuf,
    /// The recordings in it.
    pub recordings: Vec<Content>,
}

/// What a member is called when it is unpacked: never a path.
pub fn file_name(member: &str) -> String {
    member.replace('/', "-")
}

/// Gives every line of a member to `take`; none where archives of its version do not have it. An error names the member and the
/// line.
pub fn lines<T: DeserializeOwned>(
    unpacked: &Unpacked,
    member: &str,
    mut take: impl FnMut(T) -> std::result::Result<(), String>,
) -> std::result::Result<(), String> {
    let version = unpacked.manifest.version;
    if !wire::has(version, member) {
        return Ok(());
    }
    let file = File::open(unpacked.folder.join(file_name(member))).map_err(|e| format!("{member}: {e}"))?;
    let mut file = BufReader::new(file);
    let mut line = Vec::new();
    for number in 1.. {
        line.clear();
        let place = |e: &dyn std::fmt::Display| format!("{member}, line {number}: {e}");
        let mut limited = (&mut file).take(limits::LINE_BYTES as u64 + 1);
        let read = limited.read_until(b'\n', &mut line).map_err(|e| place(&e))?;
        if read == 0 {
            break;
        }
        if read > limits::LINE_BYTES {
            return Err(place(&"it is longer than a line may be"));
        }
        let value = match version {
            1 => of_version_1(member, &line).map_err(|e| place(&e))?,
            _ => serde_json::from_slice(&line).map_err(|e| place(&e))?,
        };
        take(value).map_err(|e| place(&e))?;
    }
    Ok(())
}

/// A line of an archive of the first version.
fn of_version_1<T: DeserializeOwned>(member: &str, line: &[u8]) -> std::result::Result<T, String> {
    let mut value: Value = serde_json::from_slice(line).map_err(|e| e.to_string())?;
    if let Some(row) = value.as_object_mut() {
        match member {
            "attempts.jsonl" => older::attempt_line(row)?,
            "history.jsonl" => older::history_line(row),
            _ => {}
        }
    }
    serde_json::from_value(value).map_err(|e| e.to_string())
}
