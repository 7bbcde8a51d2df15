//! The tables, and how an older notebook becomes a newer one.

use rusqlite::functions::FunctionFlags;
use rusqlite::{Connection, TransactionBehavior};

use super::{NotebookError, Result, counting, older};

/// Each version's changes, the first first. `user_version` in the database counts those that are done. Never change one
/// that has shipped: add another.
const MIGRATIONS: [&str; 4] = [
    include_str!("schema/1.sql"),
    include_str!("schema/2.sql"),
    include_str!("schema/3.sql"),
    include_str!("schema/4.sql"),
];

/// Sets the connection up.
///
/// # Errors
/// A database that is locked, damaged or cannot be written.
pub fn connect(db: &Connection) -> Result<()> {
    // Readers go on while one writes; a commit is on the disk when it returns; what is deleted is overwritten.
    db.execute_batch(
        "PRAGMA journal_mode = WAL; PRAGMA synchronous = FULL; PRAGMA foreign_keys = ON; PRAGMA secure_delete = ON;
         PRAGMA temp_store = MEMORY;",
    )?;
    counting::functions(db)
}

/// Whether the tables are this version's.
///
/// # Errors
/// A file that is no database.
pub fn is_current(db: &Connection) -> Result<bool> {
    Ok(version(db)? == MIGRATIONS.len())
}

/// Whether a later version wrote them.
pub fn is_later(db: &Connection) -> bool {
    !version(db).is_ok_and(|version| version <= MIGRATIONS.len())
}

/// Brings the tables to this version. `before` is called with the version that is there, before any of it is changed.
///
/// # Errors
/// When the database cannot be read or changed, or was made by a later version of the program.
pub fn prepare(db: &mut Connection, before: impl Fn(&Connection, usize) -> Result<()>) -> Result<()> {
    let there = version(db)?;
    if there == MIGRATIONS.len() {
        return Ok(());
    }
    if (1..MIGRATIONS.len()).contains(&there) {
        before(db, there)?;
    }
    own_functions(db)?;
    // Two programs may come here at once: the second waits, and then finds the work done.
    let change = db.transaction_with_behavior(TransactionBehavior::Immediate)?;
    let done = version(&change)?;
    if done > MIGRATIONS.len() {
        return Err(NotebookError::refused(
            "the notebook was written by a later version of Soundbead; use that one or a later",
        ));
    }
    for (number, sql) in MIGRATIONS.iter().enumerate().skip(done) {
        change.execute_batch(sql)?;
        change.pragma_update(None, "user_version", number as i64 + 1)?;
    }
    Ok(change.commit()?)
}

/// What migrations call to read what earlier versions wrote.
fn own_functions(db: &Connection) -> Result<()> {
    let flags = FunctionFlags::SQLITE_UTF8 | FunctionFlags::SQLITE_DETERMINISTIC;
    db.create_scalar_function("current_judgement", 2, flags, |given| {
        let (answer, listen) = (given.get::<String>(0)?, given.get::<Option<String>>(1)?);
        Ok(older::judgement_text(&answer, listen.as_deref()))
    })?;
    db.create_scalar_function("current_edits", 2, flags, |given| {
        Ok(older::edits_text(&given.get::<String>(0)?, given.get(1)?))
    })?;
    Ok(())
}

fn version(db: &Connection) -> Result<usize> {
    let number: i64 = db.query_row("PRAGMA user_version", [], |row| row.get(0))?;
    Ok(usize::try_from(number).unwrap_or(usize::MAX))
}
