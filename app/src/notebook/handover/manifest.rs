//! The archive's table of contents.

use serde::{Deserialize, Serialize};

use super::super::{Content, Id, Moment};

/// What the manifest calls an archive of ours.
pub const FORMAT: &str = "soundbead-handover";
/// The version that is written. Earlier ones are read too.
pub const VERSION: u32 = 4;

/// `manifest.json`.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Manifest {
    /// [`FORMAT`].
    pub format: String,
    /// [`VERSION`].
    pub version: u32,
    /// When the archive was made.
    pub made: Moment,
    /// Whose it is.
    pub learner: Id,
    /// The first day of what it holds, as ISO 8601; none when from the beginning.
    pub from: Option<String>,
    /// The last day of what it holds; none when to the end.
    pub to: Option<String>,
    /// Whether recordings go along.
    pub recordings: bool,
    /// Every other member, in the order in which they lie.
    pub members: Vec<ArchiveMember>,
}

/// One member of the archive.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ArchiveMember {
    /// Its name in the archive.
    pub name: String,
    /// Its length when unpacked.
    pub bytes: u64,
    /// The SHA-256 of its unpacked bytes.
    pub sha256: Content,
}

/// The part of a manifest that every version has.
#[derive(Deserialize)]
pub struct ManifestHead {
    /// See [`Manifest::format`].
    pub format: String,
    /// See [`Manifest::version`].
    pub version: u64,
}
