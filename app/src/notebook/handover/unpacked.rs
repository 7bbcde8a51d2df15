//! An archive as it lies unpacked, and the lines of its members.

use std::collections::HashMap;
use std::fs::File;
use std::io::{BufRead, BufReader, Read};
use std::path::PathBuf;

use serde::Serialize;
use serde::de::DeserializeOwned;
use serde_json::Value;

use super::super::bounds::CheckResult;
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
    /// Lines that are left where they are.
    pub aside: Aside,
}

/// A row of an archive that was not taken in.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct SetAside {
    /// The member it stands in.
    pub member: String,
    /// Its line, from 1.
    pub line: u64,
    /// Why it was not taken in.
    pub why: String,
}

impl SetAside {
    /// Where it stands and why it was set aside.
    pub fn in_a_line(&self) -> String {
        format!("{}, line {}: {}.", self.member, self.line, self.why)
    }
}

/// Every row of an archive that is not taken in.
#[derive(Default)]
pub struct Aside {
    rows: HashMap<(String, u64), String>,
}

impl Aside {
    /// Most rows that are set aside: an archive with more bad ones is refused whole.
    const MOST: usize = 10_000;

    fn put(&mut self, member: &str, line: u64, why: &str) -> std::result::Result<(), String> {
        if self.rows.len() == Aside::MOST {
            return Err(format!(
                "more than {} of its rows cannot be taken in, the last for this: {member}, line {line}: {why}",
                Aside::MOST
            ));
        }
        self.rows.insert((member.to_owned(), line), crate::fault::one_line(why));
        Ok(())
    }

    /// Whether there are none.
    pub fn is_empty(&self) -> bool {
        self.rows.is_empty()
    }

    fn has(&self, member: &str, line: u64) -> bool {
        !self.rows.is_empty() && self.rows.contains_key(&(member.to_owned(), line))
    }

    /// The rows, as they stand in the archive.
    pub fn list(&self) -> Vec<SetAside> {
        let row = |((member, line), why): (&(String, u64), &String)| SetAside {
            member: member.clone(),
            line: *line,
            why: why.clone(),
        };
        let mut all: Vec<SetAside> = self.rows.iter().map(row).collect();
        all.sort_by(|a, b| (&a.member, a.line).cmp(&(&b.member, b.line)));
        all
    }
}

/// What a member is called when it is unpacked: never a path.
pub fn file_name(member: &str) -> String {
    member.replace('/', "-")
}

/// Gives every line of a member that was not set aside to `take`; none where archives of its version do not have it. An error
/// names the member and the line.
///
/// # Errors
/// The member, the line and what is wrong with it.
pub fn lines<T: DeserializeOwned>(
    unpacked: &Unpacked,
    member: &str,
    mut take: impl FnMut(T) -> CheckResult,
) -> std::result::Result<(), String> {
    each(unpacked, member, |number, line| {
        match unpacked.aside.has(member, number) {
            true => Ok(()),
            false => line
                .and_then(|line| read(unpacked.manifest.version, member, line))
                .and_then(&mut take)
                .map_err(|e| format!("{member}, line {number}: {e}")),
        }
    })
}

/// Looks at every line of a member; what cannot be read, or `look` refuses, is set aside.
///
/// # Errors
/// A member that is not text or is cut short; a file on the disk that cannot be read.
pub fn look_at<T: DeserializeOwned>(
    unpacked: &mut Unpacked,
    member: &str,
    mut look: impl FnMut(T) -> CheckResult,
) -> std::result::Result<(), String> {
    let mut aside = std::mem::take(&mut unpacked.aside);
    let done = each(unpacked, member, |number, line| {
        let row = line.and_then(|line| read(unpacked.manifest.version, member, line));
        match row.and_then(&mut look) {
            Ok(()) => Ok(()),
            Err(why) => aside.put(member, number, &why),
        }
    });
    unpacked.aside = aside;
    done
}

/// Gives every line of a member with its number; a line that is too long comes as an error, and the next one after it.
fn each(
    unpacked: &Unpacked,
    member: &str,
    mut take: impl FnMut(u64, std::result::Result<&[u8], String>) -> CheckResult,
) -> std::result::Result<(), String> {
    if !wire::has(unpacked.manifest.version, member) {
        return Ok(());
    }
    let file = File::open(unpacked.folder.join(file_name(member))).map_err(|e| format!("{member}: {e}"))?;
    let mut file = BufReader::new(file);
    let mut line = Vec::new();
    for number in 1.. {
        line.clear();
        let mut limited = (&mut file).take(limits::LINE_BYTES as u64 + 1);
        match limited
            .read_until(b'\n', &mut line)
            .map_err(|e| format!("{member}: {e}"))?
        {
            0 => break,
            n if n > limits::LINE_BYTES => {
                if line.last() != Some(&b'\n') {
                    file.skip_until(b'\n').map_err(|e| format!("{member}: {e}"))?;
                }
                take(number, Err("it is longer than a line may be".into()))?;
            }
            _ => take(number, Ok(&line))?,
        }
    }
    Ok(())
}

/// A line as a row, by the archive's version.
fn read<T: DeserializeOwned>(version: u32, member: &str, line: &[u8]) -> std::result::Result<T, String> {
    match version {
        1 => of_version_1(member, line),
        _ => serde_json::from_slice(line).map_err(|e| e.to_string()),
    }
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
