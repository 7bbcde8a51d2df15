//! Attempts as rows of the database.

use rusqlite::{Connection, OptionalExtension, params};
use soundbead_data::{Rules, Sound};
use soundbead_dsp::judgement::Judgement;

use super::super::{Id, Moment, Result, code, history, time};
use super::{Attempt, Edits};

/// The columns that [`Attempt::read`] reads, from tables named as in [`FROM`].
pub(in crate::notebook) const COLUMNS: &str =
    "a.id, s.id, a.at, a.day, i.word, i.sounds, a.before, a.speaking, r.text, a.model,
     a.expected, a.heard, a.verdict, a.sure, a.recording, a.edits, a.changed, l.rules, s.plan";
/// The place of the first column that a query asks for besides.
pub(in crate::notebook) const OWN: usize = 19;
/// Where they come from.
pub(in crate::notebook) const FROM: &str = "attempt a JOIN session s ON s.n = a.session JOIN item i ON i.n = a.item
     JOIN rules r ON r.n = a.rules JOIN learner l ON l.n = a.learner";

/// One attempt with its row's number and its learner's; undone ones too.
pub(in crate::notebook) fn find(db: &Connection, id: Id) -> Result<Option<(Attempt, i64, i64)>> {
    let mut query = db.prepare(&format!("SELECT {COLUMNS}, a.n, a.learner FROM {FROM} WHERE a.id = ?"))?;
    let mut rows = query.query([id])?;
    let Some(row) = rows.next()? else { return Ok(None) };
    Ok(Some((Attempt::read(row)?, row.get(OWN)?, row.get(OWN + 1)?)))
}

/// The number of a word with its sounds, which is made if it is new.
fn item(db: &Connection, word: &str, sounds: &[Sound]) -> Result<i64> {
    let text = code::of_sounds(sounds);
    let known = db.query_row(
        "SELECT n FROM item WHERE word = ? AND sounds = ?",
        params![word, text],
        |r| r.get(0),
    );
    if let Some(n) = known.optional()? {
        return Ok(n);
    }
    db.execute("INSERT INTO item (word, sounds) VALUES (?, ?)", params![word, text])?;
    let n = db.last_insert_rowid();
    for sound in sounds {
        db.execute(
            "INSERT INTO item_sound (sound, item) VALUES (?, ?) ON CONFLICT DO NOTHING",
            params![sound.index() as i64, n],
        )?;
    }
    Ok(n)
}

/// The number of these rules, which are written down if they are new.
fn rules(db: &Connection, rules: &Rules) -> Result<i64> {
    let text = rules.to_string();
    db.execute("INSERT INTO rules (text) VALUES (?) ON CONFLICT DO NOTHING", [&text])?;
    Ok(db.query_row("SELECT n FROM rules WHERE text = ?", [&text], |row| row.get(0))?)
}

/// Puts an attempt in as it stands, with what the ear found in it.
pub(in crate::notebook) fn insert(
    db: &Connection,
    (session, learner): (i64, i64),
    a: &Attempt,
    judgement: Option<&Judgement>,
) -> Result<()> {
    let (item, rules) = (item(db, &a.word, &a.sounds)?, rules(db, &a.rules)?);
    db.execute(
        "INSERT INTO attempt (id, learner, session, at, day, item, before, speaking, rules, model, expected, heard,
             verdict, sure, recording, child, ruling, edits, changed)
         VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)",
        params![
            a.id,
            learner,
            session,
            a.at,
            time::day_number(a.day),
            item,
            a.before,
            code::of_way(a.speaking),
            rules,
            a.model,
            a.expected,
            a.heard,
            a.verdict.map(code::of_verdict),
            a.sure,
            a.recording,
            a.edits.child,
            a.edits.ruled().map(code::of_verdict),
            history::body(&a.edits),
            a.changed
        ],
    )?;
    if let Some(judgement) = judgement {
        let n = db.last_insert_rowid();
        // The triggers' own inserts do not change the number that is read here (SQLite, last_insert_rowid).
        let body = history::body(judgement);
        db.execute("INSERT INTO judgement VALUES (?, ?)", params![n, body])?;
    }
    Ok(())
}

/// Puts what people add in the place of what they had added.
pub(in crate::notebook) fn update(db: &Connection, n: i64, edits: &Edits, changed: Moment) -> Result<()> {
    let ruling = edits.ruled().map(code::of_verdict);
    db.execute(
        "UPDATE attempt SET child = ?, ruling = ?, edits = ?, changed = ? WHERE n = ?",
        params![edits.child, ruling, history::body(edits), changed, n],
    )?;
    Ok(())
}
