//! What is looked at before anything of an archive is unpacked, and the limits it must keep.

use std::fs::File;
use std::io::{BufReader, Read};
use std::path::Path;

use zip::{CompressionMethod, ZipArchive};

use super::super::NotebookError;
use super::wire;

/// Limits on an archive from elsewhere, so that a hostile one can fill neither memory nor disk.
pub mod limits {
    /// Most bytes of the archive itself: 32 GiB, ten years of daily recordings.
    pub const ARCHIVE_BYTES: u64 = 32 << 30;
    /// Most members.
    pub const MEMBERS: usize = 1_000_000;
    /// Most bytes of the manifest: it names every member, in about 150 bytes each.
    pub const MANIFEST_BYTES: u64 = 192 << 20;
    /// Most bytes of a member that holds rows: 1 GiB.
    pub const ROWS_BYTES: u64 = 1 << 30;
    /// Most bytes of one line of it.
    pub const LINE_BYTES: usize = 1 << 20;
    /// Most bytes of a recording: ten minutes at 16 kHz and 16 bit, and its header.
    pub const RECORDING_BYTES: u64 = 600 * 32_000 + 4_096;
    /// Most bytes that one byte of the archive may unpack to, over the whole archive. Deflate cannot pass about 1,030;
    /// rows of a notebook reach about 20.
    pub const RATIO: u64 = 100;
    /// What may be unpacked whatever the ratio.
    pub const SMALL_BYTES: u64 = 4 << 20;
}

/// An archive's directory, opened.
pub type Zip = ZipArchive<BufReader<File>>;

/// The fault for an archive that could not be written.
pub fn unwritable(e: &dyn std::fmt::Display) -> NotebookError {
    NotebookError::refused(format_args!("the archive cannot be written: {e}"))
}

/// Opens the archive and looks at the name and kind of every member. An error is what is wrong, in a line.
///
/// # Errors
/// What is wrong, in a line.
pub fn open(path: &Path) -> Result<Zip, String> {
    let file = File::open(path).map_err(|e| e.to_string())?;
    let bytes = file.metadata().map_err(|e| e.to_string())?.len();
    if bytes > limits::ARCHIVE_BYTES {
        return Err("it is larger than an archive may be".into());
    }
    let mut zip = ZipArchive::new(BufReader::new(file))
        .map_err(|_| "it is no hand-over archive, or it is cut short or damaged; ask for it again".to_owned())?;
    if zip.len() > limits::MEMBERS {
        return Err(format!(
            "it has {} members; at most {} are read",
            zip.len(),
            limits::MEMBERS
        ));
    }
    if zip.has_duplicate_names() {
        return Err("it has two members of one name; it was not written by this program".into());
    }
    let mut unpacked = 0u64;
    for index in 0..zip.len() {
        unpacked = unpacked.saturating_add(member(&mut zip, index)?);
    }
    if unpacked > limits::SMALL_BYTES.max(bytes.saturating_mul(limits::RATIO)) {
        return Err("it would unpack to far more than a notebook holds; it was not written by this program".into());
    }
    Ok(zip)
}

/// Looks at one member; gives the length it claims to unpack to.
fn member(zip: &mut Zip, index: usize) -> Result<u64, String> {
    let member = zip.by_index_raw(index).map_err(|e| format!("it is damaged: {e}"))?;
    let name = member
        .name()
        .map_err(|_| "a member's name is no text".to_owned())?
        .into_owned();
    let shown: String = crate::fault::one_line(&name).chars().take(80).collect();
    if name.starts_with(['/', '\\']) || name.as_bytes().get(1) == Some(&b':') {
        return Err(format!(
            "its member `{shown}` has an absolute path; nothing is unpacked there"
        ));
    }
    if name.split(['/', '\\']).any(|part| part == "..") {
        return Err(format!(
            "its member `{shown}` leads out of the archive; nothing is unpacked there"
        ));
    }
    if member.is_symlink()
        || member
            .unix_mode()
            .is_some_and(|mode| !matches!(mode & 0o170_000, 0 | 0o100_000))
    {
        return Err(format!(
            "its member `{shown}` is a link or another thing that is no file"
        ));
    }
    if limit(&name).is_none() {
        return Err(format!("its member `{shown}` is nothing that a hand-over holds"));
    }
    if member.encrypted()
        || !matches!(
            member.compression(),
            CompressionMethod::Stored | CompressionMethod::Deflated
        )
    {
        return Err(format!(
            "its member `{shown}` is packed in a way that this program does not write"
        ));
    }
    Ok(member.size())
}

/// Most bytes of the member of this name; none when no hand-over has such a member.
pub fn limit(name: &str) -> Option<u64> {
    if name == "manifest.json" {
        return Some(limits::MANIFEST_BYTES);
    }
    if wire::member::ALL.contains(&name) {
        return Some(limits::ROWS_BYTES);
    }
    let stem = name.strip_prefix("recordings/")?.strip_suffix(".wav")?;
    stem.parse::<super::super::Content>()
        .ok()
        .map(|_| limits::RECORDING_BYTES)
}

/// Copies a member out, whatever length it claims: at most `most` bytes. Gives how many.
///
/// # Errors
/// What is wrong, in a line: the member is missing, damaged or longer than that, or cannot be written.
pub fn copy(zip: &mut Zip, name: &str, most: u64, to: &mut dyn std::io::Write) -> Result<u64, String> {
    let member = zip
        .by_name(name)
        .map_err(|_| format!("its member `{name}` is missing or damaged"))?;
    let copied = std::io::copy(&mut member.take(most + 1), to);
    match copied.map_err(|_| format!("its member `{name}` is cut short or damaged; ask for the archive again"))? {
        n if n > most => Err(format!("its member `{name}` is larger than it may be")),
        n => Ok(n),
    }
}
