//! Writing an archive.

use std::collections::{BTreeSet, HashSet};
use std::fs::File;
use std::io::{self, BufReader, BufWriter, Read, Write};
use std::path::{Path, PathBuf};

use rusqlite::Connection;
use sha2::{Digest, Sha256};
use zip::write::{SimpleFileOptions, StreamWriter};
use zip::{CompressionMethod, ZipWriter};

use super::super::error::fault;
use super::super::skipped::Skipped;
use super::super::{Content, Id, Moment, Notebook, NotebookError, Result, learner, leftover, recording};
use super::manifest::{ArchiveMember, FORMAT, Manifest, VERSION};
use super::{Handover, OnProgress, WrittenArchive, cancelled, lock, wire};
use crate::storage::{self, Access, NewFile};

/// Writes the archive; see [`Notebook::hand_over`].
///
/// # Errors
/// When there is no such learner, the archive cannot be written, or the work was cancelled.
pub fn write(notebook: &Notebook, id: Id, what: &Handover, to: &Path, progress: OnProgress) -> Result<WrittenArchive> {
    let new = NewFile::begin(to, Access::Private).map_err(fault(to))?;
    let _named = Outgoing::begin(&notebook.folder, new.half())?;
    let new = BufWriter::new(new);
    let (file, written) = match &what.passphrase {
        None => zip(notebook, id, what, new, progress)?,
        Some(passphrase) => {
            // What goes through the lock is nowhere in clear, so nothing is left of an export that is ended half way.
            let (locked, written) = zip(notebook, id, what, lock::locking(new, passphrase)?, progress)?;
            (locked.finish().map_err(|e| unwritable(&e))?, written)
        }
    };
    let file = file.into_inner().map_err(|e| unwritable(&e))?;
    file.put().map_err(fault(to))?;
    Ok(written)
}

/// A file of the notebook's that names the archive on its way out, so that one that is broken off goes at the next start:
/// nobody would look for it, and without a passphrase it holds a child's records in clear.
struct Outgoing {
    lock: PathBuf,
    held: Option<File>,
}

impl Outgoing {
    fn begin(notebook: &Path, half: &Path) -> Result<Outgoing> {
        let stamp = Moment::now().0;
        let name = format!("{}{}-{stamp}.{}", leftover::SENDING, std::process::id(), leftover::LOCK);
        let lock = notebook.join(name);
        let write = || {
            let mut file = storage::hold(&lock)?;
            let half = std::path::absolute(half)?;
            file.write_all(half.as_os_str().as_encoded_bytes())?;
            Ok(file)
        };
        let held = Some(write().map_err(fault(&lock))?);
        Ok(Outgoing { lock, held })
    }
}

impl Drop for Outgoing {
    fn drop(&mut self) {
        drop(self.held.take());
        // One that stays names a file that is not there any more.
        let _ = std::fs::remove_file(&self.lock);
    }
}

/// The archive being written, and what its manifest will say.
struct Archive<W: Write> {
    zip: ZipWriter<StreamWriter<W>>,
    members: Vec<ArchiveMember>,
}

impl<W: Write> Archive<W> {
    /// Writes one member with `fill`, and notes its length and sum.
    fn member<T>(&mut self, name: &str, fill: impl FnOnce(&mut dyn Write) -> Result<T>) -> Result<T> {
        let options = SimpleFileOptions::default()
            .compression_method(CompressionMethod::Deflated)
            .unix_permissions(0o600);
        self.zip.start_file(name, options).map_err(|e| unwritable(&e))?;
        let mut summed = Summed {
            to: &mut self.zip,
            sum: Sha256::new(),
            bytes: 0,
        };
        let filled = fill(&mut summed)?;
        let (sha256, bytes) = (Content::from_sum(summed.sum), summed.bytes);
        self.members.push(ArchiveMember {
            name: name.to_owned(),
            bytes,
            sha256,
        });
        Ok(filled)
    }
}

/// A writer that sums what goes through it.
struct Summed<'a, W> {
    to: &'a mut W,
    sum: Sha256,
    bytes: u64,
}

impl<W: Write> Write for Summed<'_, W> {
    fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
        let n = self.to.write(bytes)?;
        self.sum.update(&bytes[..n]);
        self.bytes += n as u64;
        Ok(n)
    }

    fn flush(&mut self) -> io::Result<()> {
        self.to.flush()
    }
}

/// The fault for an archive that could not be written.
pub fn unwritable(e: &dyn std::fmt::Display) -> NotebookError {
    NotebookError::refused(format_args!("the archive cannot be written: {e}"))
}

/// Writes the archive into `file`, from its beginning to its end; gives it back.
fn zip<W: Write>(
    notebook: &Notebook,
    id: Id,
    what: &Handover,
    file: W,
    progress: OnProgress,
) -> Result<(W, WrittenArchive)> {
    let mut archive = Archive {
        zip: ZipWriter::new_stream(file),
        members: Vec::new(),
    };
    // One view of the notebook, whatever another program writes meanwhile.
    let view = notebook.db.unchecked_transaction()?;
    let (mut written, used) = rows(&view, &mut archive, id, what, &notebook.skipped)?;
    drop(view);
    if what.recordings {
        for (done, content) in used.iter().enumerate() {
            if !progress(done as f32 / used.len() as f32) {
                return Err(cancelled());
            }
            match sound(&notebook.folder, *content)? {
                Some(bytes) => {
                    let put = |w: &mut dyn Write| w.write_all(&bytes).map_err(|e| unwritable(&e));
                    archive.member(&member_name(*content), put)?;
                    written.recordings += 1;
                }
                None => written.missing += 1,
            }
        }
    }
    Ok((finish(archive, id, what)?, written))
}

/// The name of a recording in an archive.
pub fn member_name(content: Content) -> String {
    format!("recordings/{content}.wav")
}

/// Writes every member that holds rows; gives the recordings of which they speak.
fn rows<W: Write>(
    db: &Connection,
    archive: &mut Archive<W>,
    id: Id,
    what: &Handover,
    skipped: &Skipped,
) -> Result<(WrittenArchive, BTreeSet<Content>)> {
    let number = learner::number(db, id)?;
    let who = learner::find(db, id)?.ok_or_else(|| NotebookError::refused("no such learner"))?;
    let (mut used, mut along) = (BTreeSet::new(), HashSet::from([id]));
    archive.member(wire::member::LEARNER, |to| wire::line(to, &who))?;
    let sittings = archive.member(wire::member::SESSIONS, |to| {
        wire::sessions(db, number, what, to, skipped)
    })?;
    let count = archive.member(wire::member::ATTEMPTS, |to| {
        wire::attempts(db, number, what, to, skipped, |a| {
            // An attempt without its session can be taken in nowhere.
            let with_session = sittings.contains(&a.session);
            if with_session {
                used.extend(a.recording);
                along.insert(a.id);
            }
            with_session
        })
    })?;
    let written = archive.member(wire::member::WRITING, |to| wire::writing(db, number, what, to, skipped))?;
    let noted = archive.member(wire::member::NOTES, |to| wire::notes(db, number, what, to, skipped))?;
    let goals = archive.member(wire::member::GOALS, |to| wire::goals(db, number, to, skipped))?;
    archive.member(wire::member::ENROLMENTS, |to| wire::enrolments(db, number, to))?;
    used.extend(archive.member(wire::member::VOWELS, |to| wire::vowels(db, number, what, to, skipped))?);
    archive.member(wire::member::CHOICES, |to| wire::choices(db, number, to))?;
    along.extend(noted.iter().chain(&written).chain(&goals).chain(&sittings));
    archive.member(wire::member::HISTORY, |to| {
        wire::history(db, number, &along, to, skipped)
    })?;
    archive.member(wire::member::GONE, |to| wire::gone(db, number, to))?;
    let written = WrittenArchive {
        attempts: count,
        notes: noted.len() as u64,
        goals: goals.len() as u64,
        writings: written.len() as u64,
        ..WrittenArchive::default()
    };
    Ok((written, used))
}

/// A recording's bytes; none when its file is missing or is no longer what its name says.
fn sound(notebook: &Path, content: Content) -> Result<Option<Vec<u8>>> {
    let path = recording::path(notebook, content);
    let mut bytes = Vec::new();
    match File::open(&path) {
        Err(e) if e.kind() == io::ErrorKind::NotFound => return Ok(None),
        file => file
            .and_then(|f| BufReader::new(f).read_to_end(&mut bytes))
            .map_err(fault(&path))?,
    };
    Ok((Content::of(&bytes) == content).then_some(bytes))
}

/// Writes the manifest, which comes last because it has the sums of all others, and ends the archive.
fn finish<W: Write>(mut archive: Archive<W>, learner: Id, what: &Handover) -> Result<W> {
    let manifest = Manifest {
        format: FORMAT.to_owned(),
        version: VERSION,
        made: Moment::now(),
        learner,
        from: what.from.map(|d| d.to_string()),
        to: what.to.map(|d| d.to_string()),
        recordings: what.recordings,
        members: std::mem::take(&mut archive.members),
    };
    archive.member("manifest.json", |to| wire::line(to, &manifest))?;
    let stream = archive.zip.finish().map_err(|e| unwritable(&e))?;
    Ok(stream.into_inner())
}
