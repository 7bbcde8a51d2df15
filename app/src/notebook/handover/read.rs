//! Unpacking an archive into a folder of its own, where it is checked before anything of it counts.

use std::collections::HashSet;
use std::fs::File;
use std::io::{BufWriter, Read, Write};
use std::path::Path;

use sha2::{Digest, Sha256};

use super::super::{Content, NotebookError, Result};
use super::archive::{self, Zip, limits};
use super::manifest::{ArchiveMember, FORMAT, Manifest, ManifestHead, VERSION};
use super::unpacked::{Aside, Unpacked, file_name};
use super::{OnProgress, cancelled, check, lock, wire};
use crate::storage;

/// Unpacks an archive and looks at every line of it.
///
/// # Errors
/// When the archive is damaged, is not what it says, needs another passphrase, or when the work was cancelled.
pub fn unpack(path: &Path, passphrase: Option<&str>, staging: &Path, progress: OnProgress) -> Result<Unpacked> {
    let name = path.display().to_string();
    let wrong = |what: String| NotebookError::refused(format_args!("{name}: {what}"));
    let mut plain = path.to_owned();
    if lock::is_locked(path)? {
        let passphrase = passphrase.ok_or_else(|| wrong("it is locked; give its passphrase".into()))?;
        plain = staging.join("archive.zip");
        lock::unlock(path, &plain, passphrase).map_err(wrong)?;
    }
    let mut zip = archive::open(&plain).map_err(wrong)?;
    let manifest = manifest(&mut zip).map_err(wrong)?;
    names(&zip, &manifest).map_err(wrong)?;
    let mut recordings = Vec::new();
    for (done, member) in manifest.members.iter().enumerate() {
        if !progress(0.7 * done as f32 / manifest.members.len() as f32) {
            return Err(cancelled());
        }
        let sum = out(&mut zip, member, staging).map_err(wrong)?;
        if member.name.starts_with("recordings/") {
            let content = check::recording(&staging.join(file_name(&member.name)), &member.name, sum).map_err(wrong)?;
            recordings.push(content);
        }
    }
    let mut unpacked = Unpacked {
        manifest,
        folder: staging.to_owned(),
        recordings,
        aside: Aside::default(),
    };
    check::rows(&mut unpacked).map_err(wrong)?;
    Ok(unpacked)
}

/// Reads the manifest: first which format and version it is, then the rest by that version.
fn manifest(zip: &mut Zip) -> std::result::Result<Manifest, String> {
    let mut bytes = Vec::new();
    if zip.index_for_name("manifest.json").is_none() {
        return Err("it has no manifest; it is no hand-over archive".into());
    }
    archive::copy(zip, "manifest.json", limits::MANIFEST_BYTES, &mut bytes)?;
    let strange = || "its manifest is not one of this program's".to_owned();
    let head: ManifestHead = serde_json::from_slice(&bytes).map_err(|_| strange())?;
    if head.format != FORMAT {
        return Err(strange());
    }
    if !(1..=u64::from(VERSION)).contains(&head.version) {
        return Err(format!(
            "it is of version {}, and only versions up to {VERSION} can be read; take a newer Soundbead, or ask for an older \
             archive",
            head.version
        ));
    }
    serde_json::from_slice(&bytes).map_err(|e| format!("its manifest cannot be read: {e}"))
}

/// The manifest names every member once, and no other.
fn names(zip: &Zip, manifest: &Manifest) -> std::result::Result<(), String> {
    let named: HashSet<&str> = manifest.members.iter().map(|m| m.name.as_str()).collect();
    let there = |name: &str| name == "manifest.json" || named.contains(name);
    let all = zip.file_names().all(|name| name.is_ok_and(|n| there(&n)));
    if !all || named.len() != manifest.members.len() || named.len() + 1 != zip.len() {
        return Err("its manifest does not name what is in it; it was changed after it was made".into());
    }
    let (own, later): (Vec<&str>, Vec<&str>) = wire::member::ALL.iter().partition(|m| wire::has(manifest.version, m));
    match (
        own.iter().find(|m| !named.contains(**m)),
        later.iter().find(|m| named.contains(**m)),
    ) {
        (Some(missing), _) => Err(format!("its member `{missing}` is missing")),
        (None, Some(strange)) => Err(format!("archives of its version have no member `{strange}`")),
        (None, None) => Ok(()),
    }
}

/// Unpacks one member and holds its sum and length against the manifest.
fn out(zip: &mut Zip, member: &ArchiveMember, staging: &Path) -> std::result::Result<Content, String> {
    let most = archive::limit(&member.name).ok_or("a member has a strange name")?;
    let path = staging.join(file_name(&member.name));
    let file = storage::scratch(&path).map_err(|e| format!("it cannot be unpacked: {}", storage::why(&e)))?;
    let mut file = BufWriter::new(file);
    let copied = archive::copy(zip, &member.name, most, &mut file)?;
    file.flush().map_err(|e| format!("it cannot be unpacked: {e}"))?;
    let sum = sum(&path).map_err(|e| format!("it cannot be unpacked: {e}"))?;
    if copied != member.bytes || sum != member.sha256 {
        return Err(format!(
            "the sum of its member `{}` is wrong: it was damaged or changed; ask for the archive again",
            member.name
        ));
    }
    Ok(sum)
}

fn sum(path: &Path) -> std::io::Result<Content> {
    let (mut file, mut sum, mut buffer) = (File::open(path)?, Sha256::new(), vec![0; 1 << 16]);
    loop {
        match file.read(&mut buffer)? {
            0 => return Ok(Content::from_sum(sum)),
            n => sum.update(&buffer[..n]),
        }
    }
}
