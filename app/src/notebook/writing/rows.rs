//! Writing as rows of the database.

use rusqlite::types::Value;
use rusqlite::{Connection, Row, params, params_from_iter};

use super::super::skipped::Skipped;
use super::super::{Id, NotebookError, Result, history, time};
use super::{Help, Writing, WritingSource, session_number};

const SELECT: &str = "SELECT w.id, s.id, w.word, w.tries, w.source, w.help, w.day, w.kept_at, w.changed, w.learner
     FROM writing w LEFT JOIN session s ON s.n = w.session";

fn read(row: &Row) -> Result<Writing> {
    let wrong = |e: String| NotebookError::refused(format_args!("a row of writing cannot be read: {e}"));
    let text = |i: usize| row.get::<_, String>(i);
    let (source, help) = (text(4)?, text(5)?);
    Ok(Writing {
        id: row.get(0)?,
        session: row.get(1)?,
        word: text(2)?,
        tries: serde_json::from_str(&text(3)?).map_err(|e| wrong(e.to_string()))?,
        source: named(WritingSource::ALL, WritingSource::name, &source).ok_or_else(|| wrong(source))?,
        help: named(Help::ALL, Help::name, &help).ok_or_else(|| wrong(help))?,
        day: time::day_of(row.get(6)?).ok_or_else(|| wrong("it has no day".into()))?,
        kept_at: row.get(7)?,
        changed: row.get(8)?,
    })
}

fn named<T: Copy>(all: &[T], name: fn(T) -> &'static str, text: &str) -> Option<T> {
    all.iter().copied().find(|one| name(*one) == text)
}

/// Puts a row in as it stands.
pub(in crate::notebook) fn insert(db: &Connection, learner: i64, w: &Writing) -> Result<()> {
    let session = session_number(db, learner, w)?;
    db.execute(
        "INSERT INTO writing (id, learner, session, word, tries, source, help, day, kept_at, changed)
         VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?)",
        params![
            w.id,
            learner,
            session,
            w.word,
            history::body(&w.tries),
            w.source.name(),
            w.help.name(),
            time::day_number(w.day),
            w.kept_at,
            w.changed
        ],
    )?;
    Ok(())
}

/// Puts what can change in a row in the place of what was there.
pub(in crate::notebook) fn update(db: &Connection, w: &Writing) -> Result<()> {
    db.execute(
        "UPDATE writing SET tries = ?, help = ?, changed = ? WHERE id = ?",
        params![history::body(&w.tries), w.help.name(), w.changed, w.id],
    )?;
    Ok(())
}

/// A row and its learner's number; one that was taken back too.
pub(in crate::notebook) fn find(db: &Connection, id: Id) -> Result<Option<(Writing, i64)>> {
    let mut query = db.prepare(&format!("{SELECT} WHERE w.id = ?"))?;
    let mut rows = query.query([id])?;
    let Some(row) = rows.next()? else { return Ok(None) };
    Ok(Some((read(row)?, row.get(9)?)))
}

/// The rows of a learner that a condition picks, the latest first; those of one list in the order in which they were typed.
pub(in crate::notebook) fn pick(
    db: &Connection,
    learner: i64,
    condition: &str,
    values: Vec<Value>,
    skipped: &Skipped,
) -> Result<Vec<Writing>> {
    pick_any(db, learner, &format!(" AND w.undone = 0{condition}"), values, skipped)
}

/// As [`pick`], those that were taken back too.
pub(in crate::notebook) fn pick_any(
    db: &Connection,
    learner: i64,
    condition: &str,
    values: Vec<Value>,
    skipped: &Skipped,
) -> Result<Vec<Writing>> {
    let mut query = db.prepare(&format!(
        "{SELECT} WHERE w.learner = ?{condition} ORDER BY w.day DESC, w.kept_at DESC, w.n"
    ))?;
    let mut rows = query.query(params_from_iter([vec![learner.into()], values].concat()))?;
    let mut all = Vec::new();
    while let Some(row) = rows.next()? {
        all.extend(skipped.row(read(row))?);
    }
    Ok(all)
}
