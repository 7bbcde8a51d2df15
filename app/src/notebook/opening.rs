//! Opening the notebook: for writing where that can be, otherwise for reading, with what stands against it.

use std::cell::Cell;
use std::fs;
use std::io::ErrorKind;
use std::path::Path;

use rusqlite::Connection;

use super::skipped::Skipped;
use super::{DATABASE, Moment, Notebook, NotebookError, PATIENCE, Result, backup, counting, error, leftover, schema};
use crate::storage::{self, Access};

/// Opens the notebook in a folder; see [`Notebook::open_in`].
///
/// # Errors
/// As [`Notebook::open_in`].
pub fn open(folder: &Path) -> Result<Notebook> {
    let path = folder.join(DATABASE);
    match for_writing(folder, &path) {
        Ok(Ok(notebook)) => Ok(notebook),
        Ok(Err(damage)) => for_reading(folder, &path, damaged(folder, &damage)),
        Err(e) if path.is_file() && e.is_of_the_place() => for_reading(folder, &path, e.without_place()),
        Err(e) => Err(e),
    }
}

/// Opens it for writing; the inner fault is what is wrong with its pages: nothing was written into it then.
fn for_writing(folder: &Path, path: &Path) -> Result<std::result::Result<Notebook, String>> {
    if folder.is_file() {
        return Err(NotebookError::refused(format_args!(
            "{}: this is a file, and the notebook lies in a folder; let SOUNDBEAD_HOME name a folder",
            folder.display()
        )));
    }
    storage::folder(folder, Access::Private).map_err(error::fault(folder))?;
    storage::private_file(path).map_err(error::fault(path))?;
    let mut found = None;
    let opened = Connection::open(path).map_err(NotebookError::from).and_then(|mut db| {
        db.busy_timeout(PATIENCE)?;
        schema::connect(&db)?;
        found = backup::check(&db, folder);
        if found.is_none() {
            schema::prepare(&mut db, |db, version| {
                backup::make(db, folder, &format!("version-{version}"))
            })?;
        }
        Ok(db)
    });
    let db = opened.map_err(|e| e.about(path))?;
    if let Some(damage) = found {
        return Ok(Err(damage));
    }
    let mut notebook = made(folder, path, db)?;
    notebook.tidy_up()?;
    Ok(Ok(notebook))
}

fn made(folder: &Path, path: &Path, db: Connection) -> Result<Notebook> {
    Ok(Notebook {
        folder: folder.to_owned(),
        db,
        file: storage::file_id(path).map_err(error::fault(path))?,
        skipped: Skipped::default(),
        doubted: Cell::new(false),
        closed: None,
    })
}

impl Notebook {
    /// What is done at each start.
    fn tidy_up(&mut self) -> Result<()> {
        leftover::clear(&self.folder)?;
        self.finish_erasing()?;
        self.forget_undone(Moment::now().days_before(1))?;
        // A copy that cannot be made must not close the notebook.
        if let Err(e) = backup::weekly(&self.db, &self.folder) {
            self.skipped
                .say(&format!("this week's copy of the notebook could not be made: {e}"));
        }
        Ok(())
    }
}

/// Opens it for reading, and says why.
fn for_reading(folder: &Path, path: &Path, why: String) -> Result<Notebook> {
    let logged = fs::metadata(backup::beside(path, "-wal")).is_ok_and(|m| m.len() > 0);
    let open = || -> Result<Connection> {
        // Where there is no log, nothing beside the file is needed, and so nothing must be made there.
        let db = match logged {
            false => backup::reading(path)?,
            true => Connection::open_with_flags(path, rusqlite::OpenFlags::SQLITE_OPEN_READ_ONLY)?,
        };
        db.busy_timeout(PATIENCE)?;
        counting::functions(&db)?;
        match schema::is_current(&db)? {
            true => Ok(db),
            false => Err(NotebookError::refused("another version of Soundbead wrote it")),
        }
    };
    let said = |what: &str| NotebookError::refused(format_args!("{}: {why}{what}", path.display()));
    let db = open().map_err(|e| said(&format!("; it cannot be opened for reading either: {e}")))?;
    let mut notebook = made(folder, path, db)?;
    let line = said("; it is open for reading only: nothing is kept until that is put right").to_string();
    notebook.skipped.say(&line);
    notebook.closed = Some(line);
    Ok(notebook)
}

/// What is said of a damaged database, and what to do.
fn damaged(folder: &Path, damage: &str) -> String {
    let copies = backup::all(folder).unwrap_or_default();
    let way_out = match copies.first() {
        Some(copy) => format!("`soundbead restore` puts back a copy, the latest of {}", copy.day),
        None => "there is no copy of it here; put one back from elsewhere".to_owned(),
    };
    format!("the notebook is damaged ({damage}); {way_out}")
}

impl NotebookError {
    /// Whether it is the place that cannot be written, not the notebook that is wrong.
    fn is_of_the_place(&self) -> bool {
        match self {
            NotebookError::File(_, e) => matches!(
                e.kind(),
                ErrorKind::PermissionDenied | ErrorKind::ReadOnlyFilesystem | ErrorKind::StorageFull
            ),
            NotebookError::Place(..) => true,
            _ => false,
        }
    }

    fn without_place(&self) -> String {
        match self {
            NotebookError::File(_, e) => storage::why(e),
            NotebookError::Place(_, why) => why.clone(),
            other => other.to_string(),
        }
    }
}
