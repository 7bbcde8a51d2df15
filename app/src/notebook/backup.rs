//! Copies of the database: one before it is brought to a newer version, one a week, three of them kept. They hold what is
//! written; recordings are files of their own, which are never changed, and stay where they are.
//!
//! A copy that holds a learner who was erased goes with that learner.

use std::collections::HashSet;
use std::fs;
use std::io::ErrorKind;
use std::path::{Path, PathBuf};

use jiff::ToSpan;
use jiff::civil::Date;
use rusqlite::{Connection, OpenFlags};

use super::error::fault;
use super::{DATABASE, Id, Moment, NotebookError, Result, leftover, schema, time};
use crate::storage::{self, Access};

/// The copies' folder in the notebook's.
const FOLDER: &str = "backups";
/// How the copies' names begin; the day follows.
const PREFIX: &str = "notebook-";
/// What stands after the day of one that another took the place of.
const REPLACED: &str = "replaced";
/// Copies that are kept: a damage that is seen within two weeks finds one from before it.
const KEPT: usize = 3;
/// Days from one to the next.
const EVERY_DAYS: i64 = 7;
/// Most bytes of a database that is checked at every start (some 20 ms); a larger one is checked once a day.
const SMALL_BYTES: u64 = 8 << 20;
/// There since the last check that found nothing; its time is that of the check.
const CHECKED: &str = "checked";

/// A copy of the notebook.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Backup {
    /// Where it lies.
    pub path: PathBuf,
    /// The day on which it was made.
    pub day: Date,
    /// Why, where it was not for the week: `version-2`, `replaced-1795870363818`.
    pub tag: String,
}

/// What a copy holds.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Held {
    /// Learners.
    pub learners: u64,
    /// Attempts.
    pub attempts: u64,
}

impl Backup {
    fn at(path: PathBuf) -> Option<Backup> {
        let rest = path.file_name()?.to_str()?.strip_prefix(PREFIX)?.strip_suffix(".db")?;
        // A day has ten letters: 2026-11-28.
        let day = rest.get(..10)?.parse().ok()?;
        let tag = rest[10..].trim_start_matches('-').to_owned();
        Some(Backup { path, day, tag })
    }

    fn was_replaced(&self) -> bool {
        self.tag.starts_with(REPLACED)
    }

    /// What it holds.
    ///
    /// # Errors
    /// When it cannot be read.
    pub fn held(&self) -> Result<Held> {
        let db = reading(&self.path)?;
        let count = |table: &str| -> Result<u64> {
            let n: i64 = db.query_row(&format!("SELECT count(*) FROM {table}"), [], |row| row.get(0))?;
            Ok(n.unsigned_abs())
        };
        Ok(Held {
            learners: count("learner")?,
            attempts: count("attempt")?,
        })
    }
}

/// Every copy in the notebook's folder, the latest first.
///
/// # Errors
/// When the folder cannot be read.
pub fn all(notebook: &Path) -> Result<Vec<Backup>> {
    let mut all: Vec<Backup> = leftover::entries(&notebook.join(FOLDER))?
        .into_iter()
        .filter_map(Backup::at)
        .collect();
    let made = |b: &Backup| fs::metadata(&b.path).and_then(|m| m.modified()).ok();
    all.sort_by_key(|b| std::cmp::Reverse((b.day, made(b), b.path.clone())));
    Ok(all)
}

/// Opens a database for reading, as it lies there: nothing beside it is looked at or made.
///
/// # Errors
/// A file that is missing or cannot be opened.
pub fn reading(path: &Path) -> Result<Connection> {
    let mut uri = String::from("file:");
    for byte in path.as_os_str().as_encoded_bytes() {
        match byte {
            b'/' | b'.' | b'-' | b'_' | b'0'..=b'9' | b'A'..=b'Z' | b'a'..=b'z' => uri.push(char::from(*byte)),
            other => uri.push_str(&format!("%{other:02X}")),
        }
    }
    let flags = OpenFlags::SQLITE_OPEN_READ_ONLY | OpenFlags::SQLITE_OPEN_URI | OpenFlags::SQLITE_OPEN_NO_MUTEX;
    Ok(Connection::open_with_flags(uri + "?immutable=1", flags)?)
}

/// What is wrong with the pages of a database; none when nothing is.
pub fn damage(db: &Connection) -> Option<String> {
    let found = db.query_row("PRAGMA quick_check(1)", [], |row| row.get::<_, String>(0));
    match found {
        Ok(line) if line == "ok" => None,
        Ok(line) => Some(line),
        Err(e) => Some(e.to_string()),
    }
}

/// Looks at the pages where that is due; gives what is wrong.
pub fn check(db: &Connection, notebook: &Path) -> Option<String> {
    let (path, seal) = (notebook.join(DATABASE), notebook.join(CHECKED));
    let small = fs::metadata(&path).is_ok_and(|m| m.len() <= SMALL_BYTES);
    let sealed = fs::metadata(&seal).and_then(|m| m.modified());
    let today = sealed.is_ok_and(|at| at.elapsed().is_ok_and(|since| since.as_secs() < 86_400));
    if !small && today {
        return None;
    }
    let found = damage(db);
    // A seal that cannot be made costs another check, no more.
    let _ = match found {
        Some(_) => fs::remove_file(&seal),
        None => storage::write(&seal, b"", Access::Private),
    };
    found
}

/// Makes a copy, and removes those that are too many.
///
/// # Errors
/// A folder that cannot be written, with what the system says; a database that cannot be copied.
pub fn make(db: &Connection, notebook: &Path, tag: &str) -> Result<()> {
    let folder = notebook.join(FOLDER);
    storage::folder(&folder, Access::Private).map_err(fault(&folder))?;
    let half = folder.join(format!("{}{}", storage::UNFINISHED, std::process::id()));
    // SQLite fills an empty file, whose mode is then ours.
    drop(storage::scratch(&half).map_err(fault(&half))?);
    let name = half
        .to_str()
        .ok_or_else(|| NotebookError::refused("the folder's name is no text"))?;
    db.execute("VACUUM INTO ?", [name])?;
    let dash = if tag.is_empty() { "" } else { "-" };
    let path = folder.join(format!("{PREFIX}{}{dash}{tag}.db", time::today()));
    storage::adopt(&half, &path).map_err(fault(&path))?;
    prune(notebook)
}

/// Makes this week's copy, where there is somebody in the notebook and none was made.
///
/// # Errors
/// As [`make`].
pub fn weekly(db: &Connection, notebook: &Path) -> Result<()> {
    let anybody: bool = db.query_row("SELECT EXISTS (SELECT 1 FROM learner)", [], |row| row.get(0))?;
    let since = time::today().checked_sub((EVERY_DAYS - 1).days()).unwrap_or(Date::MIN);
    let done = all(notebook)?
        .iter()
        .any(|b| !b.was_replaced() && b.day >= since && b.day <= time::today());
    if !anybody || done {
        return Ok(());
    }
    make(db, notebook, "")
}

fn prune(notebook: &Path) -> Result<()> {
    let (replaced, made): (Vec<_>, Vec<_>) = all(notebook)?.into_iter().partition(Backup::was_replaced);
    made.iter()
        .skip(KEPT)
        .chain(replaced.iter().skip(1))
        .try_for_each(remove)
}

fn remove(backup: &Backup) -> Result<()> {
    // The log of one that was replaced lies beside it.
    for path in [backup.path.clone(), beside(&backup.path, "-wal")] {
        match fs::remove_file(&path) {
            Err(e) if e.kind() != ErrorKind::NotFound => return Err(fault(&path)(e)),
            _ => {}
        }
    }
    Ok(())
}

/// The file that SQLite keeps beside a database.
pub fn beside(database: &Path, ending: &str) -> PathBuf {
    let mut name = database.as_os_str().to_owned();
    name.push(ending);
    name.into()
}

/// Removes every copy that holds someone who is not in the notebook any more, and makes a fresh one for those who are.
/// Gives how many went.
///
/// # Errors
/// A copy that cannot be removed or made, with what the system says.
pub fn forget_erased(db: &Connection, notebook: &Path) -> Result<u64> {
    let here = learners(db)?;
    let mut gone = 0;
    for backup in all(notebook)? {
        let there = reading(&backup.path).and_then(|db| learners(&db));
        // One that cannot be read may hold anyone.
        if backup.was_replaced() || !there.is_ok_and(|there| there.is_subset(&here)) {
            remove(&backup)?;
            gone += 1;
        }
    }
    if gone > 0 {
        weekly(db, notebook)?;
    }
    Ok(gone)
}

fn learners(db: &Connection) -> Result<HashSet<Id>> {
    let mut query = db.prepare("SELECT id FROM learner")?;
    let ids = query.query_map([], |row| row.get(0))?;
    Ok(ids.collect::<rusqlite::Result<_>>()?)
}

/// Puts a copy in the place of the notebook. What was there is kept, as a copy too; gives where.
///
/// # Errors
/// When the copy is damaged or a later version's, or something cannot be moved or written; what was there is there still.
pub fn restore(notebook: &Path, backup: &Backup) -> Result<Option<PathBuf>> {
    let db = reading(&backup.path)?;
    let wrong = damage(&db).or_else(|| schema::is_later(&db).then(|| "a later version of Soundbead wrote it".into()));
    if let Some(wrong) = wrong {
        return Err(NotebookError::refused(format_args!(
            "{}: this copy cannot be put back: {wrong}",
            backup.path.display()
        )));
    }
    let path = notebook.join(DATABASE);
    let aside = path.is_file().then(|| set_aside(notebook, &path)).transpose()?;
    storage::copy(&backup.path, &path, Access::Private).map_err(fault(&path))?;
    prune(notebook)?;
    Ok(aside)
}

/// Moves the notebook, damaged or not, among the copies.
fn set_aside(notebook: &Path, path: &Path) -> Result<PathBuf> {
    // What is in the log goes into the file, where it can be read at all.
    let _ = Connection::open(path).and_then(|db| {
        db.busy_timeout(super::PATIENCE)?;
        db.query_row("PRAGMA wal_checkpoint(TRUNCATE)", [], |_| Ok(()))
    });
    let name = format!("{PREFIX}{}-{REPLACED}-{}.db", time::today(), Moment::now().0);
    let aside = notebook.join(FOLDER).join(name);
    storage::folder(&notebook.join(FOLDER), Access::Private).map_err(fault(&aside))?;
    for (from, to) in [
        (path.to_owned(), aside.clone()),
        (beside(path, "-wal"), beside(&aside, "-wal")),
    ] {
        match fs::rename(&from, to) {
            Err(e) if e.kind() != ErrorKind::NotFound => return Err(fault(&from)(e)),
            _ => {}
        }
    }
    let index = beside(path, "-shm");
    match fs::remove_file(&index) {
        Err(e) if e.kind() != ErrorKind::NotFound => Err(fault(&index)(e)),
        _ => Ok(aside),
    }
}
