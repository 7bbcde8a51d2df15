//! Handing a learner over: from the parent's notebook to the consultant's, and back.
//!
//! The archive is described in `FORMAT.md`, beside this folder. What both sides end with is the same: of two states of
//! one thing the later wins, and the other is kept as history.

mod archive;
mod check;
mod lock;
mod manifest;
mod merge;
mod read;
mod unpacked;
mod wire;
mod write;

use std::fs::File;
use std::path::{Path, PathBuf};

use jiff::civil::Date;

use super::error::fault;
use super::{Id, Learner, Notebook, NotebookError, Result, leftover};
use crate::say::many;
use crate::storage::{self, Access};

pub use archive::limits;
pub use manifest::{FORMAT, VERSION};
pub use unpacked::SetAside;

/// What is handed over.
#[derive(Clone, Debug, Default)]
pub struct Handover {
    /// Nothing before this day.
    pub from: Option<Date>,
    /// Nothing after this day.
    pub to: Option<Date>,
    /// Whether the recordings go along.
    pub recordings: bool,
    /// A passphrase by which the archive is locked, or none.
    pub passphrase: Option<String>,
}

/// What an archive held.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct WrittenArchive {
    /// Attempts.
    pub attempts: u64,
    /// Notes.
    pub notes: u64,
    /// Goals.
    pub goals: u64,
    /// Words as they were written, in dictations and on paper.
    pub writings: u64,
    /// Recordings.
    pub recordings: u64,
    /// Recordings of which the notebook speaks, but whose files are not there.
    pub missing: u64,
}

impl WrittenArchive {
    /// What it holds, in words; goals and written words only where there are any.
    pub fn told(&self) -> String {
        let some = |n: u64, what: &str| (n > 0).then(|| many(n, what));
        let all = [
            Some(many(self.attempts, "attempt")),
            Some(many(self.notes, "note")),
            some(self.goals, "goal"),
            some(self.writings, "written word"),
            Some(many(self.recordings, "recording")),
        ];
        all.into_iter().flatten().collect::<Vec<_>>().join(", ")
    }
}

/// Rows set aside that are told one by one.
const SHOWN_ASIDE: usize = 3;

/// What came in, as people count it.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct CameIn {
    /// Lessons.
    pub lessons: u64,
    /// Words that were said or counted.
    pub attempts: u64,
    /// Words that were written.
    pub writings: u64,
    /// Notes.
    pub notes: u64,
    /// Goals.
    pub goals: u64,
}

/// What an import brought.
#[derive(Clone, Debug, PartialEq)]
pub struct Merged {
    /// Whose it is.
    pub learner: Learner,
    /// Whether the learner was not in the notebook before.
    pub new: bool,
    /// Rows that came in.
    pub added: u64,
    /// What of these people know by name.
    pub came: CameIn,
    /// Rows of which a later state came in.
    pub changed: u64,
    /// Rows that were taken out there, and now here.
    pub removed: u64,
    /// Recordings that came in.
    pub recordings: u64,
    /// Rows that could not be taken in, each with its reason.
    pub aside: Vec<SetAside>,
    /// Rows that a wrong clock had dated into the future or before 2000, and that have a date now that can be.
    pub redated: u64,
    /// How many days the other computer's clock is ahead of this one, where it is by two days or more.
    pub days_ahead: Option<u64>,
}

impl Merged {
    /// What a person should know besides: rows that were set aside and why, and times that a wrong clock had shown.
    pub fn besides(&self) -> Vec<String> {
        let mut all = Vec::new();
        if let Some(days) = self.days_ahead {
            all.push(format!(
                "The other computer's clock is {} ahead of this one's. See which of the two is right.",
                many(days, "day")
            ));
        }
        if self.redated > 0 {
            all.push(format!(
                "A wrong clock gave {} a date that cannot be. Dates to come are today's now, and those before 2000 are \
                 2000-01-01.",
                many(self.redated, "row")
            ));
        }
        if !self.aside.is_empty() {
            all.push(format!(
                "{} could not be taken in and stays in the file:",
                many(self.aside.len() as u64, "row")
            ));
            all.extend(self.aside.iter().take(SHOWN_ASIDE).map(SetAside::in_a_line));
            let rest = self.aside.len().saturating_sub(SHOWN_ASIDE);
            all.extend((rest > 0).then(|| format!("and {rest} more; --json lists them all.")));
        }
        all
    }

    /// What came in, in a sentence for a parent.
    pub fn told(&self) -> String {
        let name = &self.learner.name;
        if self.nothing_new() {
            return format!("{name}: nothing new; the notebook had all of it already.");
        }
        let came = &self.came;
        let each = [
            (came.lessons, "lesson"),
            (came.attempts, "spoken word"),
            (came.writings, "written word"),
            (came.notes, "note"),
            (came.goals, "goal"),
            (self.recordings, "recording"),
        ];
        let mut parts: Vec<String> = each
            .iter()
            .filter(|(n, _)| *n > 0)
            .map(|(n, what)| many(*n, what))
            .collect();
        let came = match (parts.pop(), parts.is_empty()) {
            (None, _) => "nothing new to see came in".to_owned(),
            (Some(last), true) => format!("{last} came in"),
            (Some(last), false) => format!("{} and {last} came in", parts.join(", ")),
        };
        let new = if self.new { " is in the notebook now" } else { "" };
        let changed = match self.changed {
            0 => String::new(),
            n => format!(" Of what was here already, {n} changed."),
        };
        let removed = match self.removed {
            0 => String::new(),
            n => format!(
                " {n} taken out there {} out here too.",
                if n == 1 { "is" } else { "are" }
            ),
        };
        format!("{name}{new}: {came}.{changed}{removed}")
    }

    /// Whether the notebook had all of it already.
    pub fn nothing_new(&self) -> bool {
        !self.new && self.added + self.changed + self.removed + self.recordings == 0
    }
}

/// Told now and then how much is done, 0 to 1; answers whether to go on.
pub type OnProgress<'a> = &'a dyn Fn(f32) -> bool;

impl Notebook {
    /// Writes a learner to an archive at `to`, which is put in the place of what was there, whole or not at all.
    ///
    /// # Errors
    /// When there is no such learner, `to` cannot be written or lies in the notebook's own folder, or it was cancelled.
    pub fn hand_over(
        &mut self,
        learner: Id,
        what: &Handover,
        to: &Path,
        progress: OnProgress,
    ) -> Result<WrittenArchive> {
        self.outside(to)?;
        write::write(self, learner, what, to, progress)
    }

    /// Takes in an archive. All of it, or nothing when anything is wrong with it.
    ///
    /// # Errors
    /// One line: what is wrong with the archive; or it was cancelled.
    pub fn take_in(&mut self, archive: &Path, passphrase: Option<&str>, progress: OnProgress) -> Result<Merged> {
        let staging = Staging::new(&self.folder)?;
        let unpacked = read::unpack(archive, passphrase, &staging.folder, progress)?;
        merge::merge(self, &unpacked, progress)
    }

    /// [`outside`] for this notebook's folder.
    pub(crate) fn outside(&self, path: &Path) -> Result<()> {
        outside(&self.folder, path)
    }
}

/// Refuses a path inside `folder`, the notebook's: what lies there is the notebook's own, and erased with it.
pub(crate) fn outside(folder: &Path, path: &Path) -> Result<()> {
    let whole = |p: &Path| p.canonicalize().ok();
    let parent = path
        .parent()
        .filter(|p| !p.as_os_str().is_empty())
        .unwrap_or(Path::new("."));
    let inside = whole(parent)
        .zip(whole(folder))
        .is_some_and(|(p, folder)| p.starts_with(folder));
    if inside {
        return Err(NotebookError::refused(format_args!(
            "{}: that is in the notebook's own folder; choose another place",
            path.display()
        )));
    }
    Ok(())
}

/// Whether a file is locked by a passphrase.
///
/// # Errors
/// When it cannot be read.
pub fn is_locked(archive: &Path) -> Result<bool> {
    lock::is_locked(archive)
}

/// A folder of the notebook's in which an archive is unpacked; it goes when this does. The file beside it is held for as
/// long as it is in use, so that the next start can tell it from one that was left over.
struct Staging {
    folder: PathBuf,
    lock: PathBuf,
    held: Option<File>,
}

impl Staging {
    fn new(notebook: &Path) -> Result<Staging> {
        let stamp = super::Moment::now().0;
        let folder = notebook.join(format!("{}{}-{stamp}", leftover::STAGING, std::process::id()));
        let lock = folder.with_extension(leftover::LOCK);
        let held = Some(storage::hold(&lock).map_err(fault(&lock))?);
        let staging = Staging { folder, lock, held };
        storage::folder(&staging.folder, Access::Private).map_err(fault(&staging.folder))?;
        Ok(staging)
    }
}

impl Drop for Staging {
    fn drop(&mut self) {
        // What cannot be removed now goes at the next start.
        let _ = std::fs::remove_dir_all(&self.folder);
        drop(self.held.take());
        let _ = std::fs::remove_file(&self.lock);
    }
}

/// The fault for work that a person stopped.
fn cancelled() -> NotebookError {
    NotebookError::refused("it was stopped before it was done; nothing was changed")
}
