//! What can go wrong with a notebook, in one line each.

use std::path::{Path, PathBuf};
use std::{fmt, io};

use crate::fault::{Fault, one_line};
use crate::storage;

/// Why the notebook could not do what was asked. Shown as one line: what, where, what to do.
#[derive(Debug)]
pub enum NotebookError {
    /// SQLite's own fault.
    Database(rusqlite::Error),
    /// A file of the notebook, or one to be written or read, could not be.
    File(PathBuf, io::Error),
    /// The database cannot be written where it lies: where, and why.
    Place(PathBuf, String),
    /// The notebook's file was moved or deleted while it was open.
    Gone(PathBuf),
    /// Another file lies in the place of the notebook's.
    Replaced(PathBuf),
    /// What was asked makes no sense or must not be done.
    Refused(String),
}

/// The fault of this file.
pub(super) fn fault(path: &Path) -> impl Fn(io::Error) -> NotebookError {
    move |e| NotebookError::File(path.to_owned(), e)
}

impl NotebookError {
    pub(super) fn refused(what: impl fmt::Display) -> NotebookError {
        NotebookError::Refused(one_line(&what.to_string()))
    }

    /// Whether it is one row that cannot be read, not the database.
    pub(super) fn is_of_one_row(&self) -> bool {
        match self {
            NotebookError::Database(e) => e.sqlite_error_code().is_none(),
            NotebookError::Refused(_) => true,
            NotebookError::File(..)
            | NotebookError::Place(..)
            | NotebookError::Gone(_)
            | NotebookError::Replaced(_) => false,
        }
    }

    /// The same fault, naming the database it came from.
    pub(super) fn about(self, path: &Path) -> NotebookError {
        match self {
            NotebookError::Database(e) if is_of_the_place(&e) => NotebookError::Place(path.to_owned(), told(&e)),
            NotebookError::Database(e) => NotebookError::refused(format_args!("{}: {}", path.display(), told(&e))),
            other => other,
        }
    }
}

/// Whether the fault is that nothing can be written there, for want of leave or room.
fn is_of_the_place(error: &rusqlite::Error) -> bool {
    use rusqlite::ErrorCode as Code;
    matches!(
        error.sqlite_error_code(),
        Some(Code::ReadOnly | Code::CannotOpen | Code::PermissionDenied | Code::DiskFull | Code::SystemIoFailure)
    )
}

/// What SQLite's fault means for the person before the screen.
fn told(error: &rusqlite::Error) -> String {
    use rusqlite::ErrorCode as Code;
    match error.sqlite_error_code() {
        Some(Code::DatabaseBusy | Code::DatabaseLocked) => {
            "another program is using the notebook; try again when it is done".into()
        }
        Some(Code::NotADatabase | Code::DatabaseCorrupt) => {
            "this is no notebook, or a damaged one; `soundbead restore` lists the copies that can be put back".into()
        }
        Some(Code::SystemIoFailure) => "the disk cannot be read or written".into(),
        Some(Code::DiskFull) => "the disk is full; make room, then try again: nothing was lost".into(),
        Some(Code::ReadOnly | Code::CannotOpen | Code::PermissionDenied) => {
            "the notebook cannot be written; check who may write to its folder".into()
        }
        _ => format!("the notebook's database failed: {error}"),
    }
}

impl fmt::Display for NotebookError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            NotebookError::Database(e) => f.write_str(&one_line(&told(e))),
            NotebookError::File(path, e) => {
                write!(f, "{}: {}", one_line(&path.display().to_string()), storage::why(e))
            }
            NotebookError::Place(path, why) => write!(f, "{}: {why}", one_line(&path.display().to_string())),
            NotebookError::Gone(path) => write!(
                f,
                "{}: the notebook's file was moved or deleted while it was open; put it back: until then nothing is kept",
                one_line(&path.display().to_string())
            ),
            NotebookError::Replaced(path) => write!(
                f,
                "{}: the notebook's file was replaced by another while it was open; the new one is read from now on: check \
                 what is shown",
                one_line(&path.display().to_string())
            ),
            NotebookError::Refused(line) => f.write_str(line),
        }
    }
}

impl std::error::Error for NotebookError {}

impl From<rusqlite::Error> for NotebookError {
    fn from(e: rusqlite::Error) -> NotebookError {
        NotebookError::Database(e)
    }
}

impl From<NotebookError> for Fault {
    fn from(e: NotebookError) -> Fault {
        match &e {
            NotebookError::Database(inner) if inner.sqlite_error_code().is_none() => Fault::internal(&e),
            _ => Fault::input(&e),
        }
    }
}
