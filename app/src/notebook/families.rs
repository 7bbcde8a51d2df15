//! All learners at a glance: what is new since a consultant last looked, and what most wants an ear.

use std::collections::{HashMap, HashSet};

use jiff::civil::Date;
use rusqlite::{Connection, OptionalExtension, named_params, params};
use serde::{Deserialize, Serialize};
use soundbead_data::course::{self, CourseWords, WrittenTry};

use super::attempt::{COLUMNS, FROM, OWN};
use super::browse::APART;
use super::imported::{IMPORTED, IMPORTED_TIMED};
use super::session::HELD;
use super::since::{DeskSeen, NewFrom, OpenWork};
use super::writing::{Readings, WritingFilter, course_day};
use super::{
    Attempt, Author, Goal, HeldLesson, Learner, ListRange, Moment, Notebook, NotebookError, Result, Writing, beside,
    learner, time,
};

/// Recordings of a learner that are named.
const NAMED: u64 = 3;
/// Under which it is kept when the desk was last cleared.
const VISIT: &str = "desk visit";
/// Days back in which words that were written may have come due: a word that is right grows rarer soon.
pub const DUE_WITHIN: i64 = 90;
/// Writing of one learner that is looked at for what is due.
const MOST_WRITING: u64 = 500;

/// That the desk was cleared, and the clearing before, so that one can be undone.
#[derive(Serialize, Deserialize)]
struct DeskVisit {
    #[serde(flatten)]
    seen: DeskSeen,
    before: Option<DeskSeen>,
}

/// One learner on the consultant's desk.
#[derive(Clone, Debug, PartialEq)]
pub struct DeskEntry {
    /// The learner.
    pub learner: Learner,
    /// The last lesson, whenever it was.
    pub last: Option<HeldLesson>,
    /// Lessons since the day asked for: days on which something was said or written in one; old recordings that were taken in, and
    /// what was written on paper, are none.
    pub lessons: usize,
    /// Attempts since then.
    pub attempts: u64,
    /// Attempts of [`OpenWork`] on which the program is unsure and nobody has ruled.
    pub unsure: u64,
    /// Attempts of [`OpenWork`] that were judged and on which nobody has ruled, unsure or not.
    pub unruled: u64,
    /// Attempts of [`OpenWork`] on which person and program, or two people, differ.
    pub apart: u64,
    /// Notes since then.
    pub notes: u64,
    /// The recordings of [`OpenWork`] most worth hearing, at most three, the first first: where people differ, where person and program
    /// differ, where the program is unsure, then where it is least sure of a slip.
    pub worth: Vec<Attempt>,
    /// Goals that are open and whose day has passed.
    pub late: Vec<Goal>,
    /// The parent's notes that nobody answered or settled.
    pub unanswered: usize,
    /// Words to write that are due, of those written in the last [`DUE_WITHIN`] days.
    pub due: Vec<String>,
}

impl DeskEntry {
    /// Whether there is nothing new.
    pub fn is_quiet(&self) -> bool {
        self.lessons == 0 && self.attempts == 0 && self.notes == 0
    }
}

impl Notebook {
    /// Every learner, with what is new: those with most that is unsure and unruled first, then by name.
    ///
    /// # Errors
    /// When the database cannot be read.
    pub fn families(&self, from: NewFrom, today: Date) -> Result<Vec<DeskEntry>> {
        let news = DeskNews::read(&self.db, from, OpenWork::of(from, today))?;
        let all = self.learners()?;
        let due = self.due_words(&all, today)?;
        let mut entries = all
            .into_iter()
            .zip(due)
            .map(|(l, due)| self.desk_entry(l, &news, (due, today)))
            .collect::<Result<Vec<_>>>()?;
        entries.sort_by_key(|e| (std::cmp::Reverse((e.unsure, e.unruled)), e.is_quiet()));
        Ok(entries)
    }

    /// How far the notebook can be seen now.
    ///
    /// # Errors
    /// When the database cannot be read.
    pub fn desk_seen(&self) -> Result<DeskSeen> {
        let last = |table: &str| {
            let query = format!("SELECT ifnull(max(n), 0) FROM {table}");
            self.db.query_row(&query, [], |row| row.get(0))
        };
        Ok(DeskSeen {
            at: Moment::now(),
            attempt: last("attempt")?,
            writing: last("writing")?,
            note: last("note")?,
        })
    }

    fn desk_visit(&self) -> Result<Option<DeskVisit>> {
        let found = self.draft(None, VISIT)?;
        Ok(found.map(|(text, at)| {
            // An earlier version kept the moment alone.
            let rows = i64::MAX;
            serde_json::from_str(&text).unwrap_or(DeskVisit {
                seen: DeskSeen {
                    at,
                    attempt: rows,
                    writing: rows,
                    note: rows,
                },
                before: None,
            })
        }))
    }

    /// What was seen when the desk was last cleared.
    ///
    /// # Errors
    /// When the database cannot be read.
    pub fn last_visit(&self) -> Result<Option<DeskSeen>> {
        Ok(self.desk_visit()?.map(|visit| visit.seen))
    }

    /// Says that this has been looked at.
    ///
    /// # Errors
    /// When the database cannot be written.
    pub fn clear_desk(&mut self, seen: DeskSeen) -> Result<()> {
        let before = self.last_visit()?;
        self.keep_visit(&DeskVisit { seen, before })
    }

    /// Takes the last clearing back; the one before it holds again. Whether there was one.
    ///
    /// # Errors
    /// When the database cannot be written.
    pub fn unclear_desk(&mut self) -> Result<bool> {
        let Some(visit) = self.desk_visit()? else {
            return Ok(false);
        };
        match visit.before {
            Some(seen) => self.keep_visit(&DeskVisit { seen, before: None })?,
            None => self.keep_draft(None, VISIT, "")?,
        }
        Ok(true)
    }

    fn keep_visit(&mut self, visit: &DeskVisit) -> Result<()> {
        let text = serde_json::to_string(visit).map_err(|e| NotebookError::refused(e.to_string()))?;
        self.keep_draft(None, VISIT, &text)
    }

    fn desk_entry(&self, who: Learner, news: &DeskNews, (due, today): (Vec<String>, Date)) -> Result<DeskEntry> {
        let number = learner::number(&self.db, who.id)?;
        let [unsure, unruled, apart] = news.open.get(&number).copied().unwrap_or_default();
        Ok(DeskEntry {
            last: last_lesson(&self.db, number)?,
            lessons: news.lessons.get(&number).map_or(0, |n| *n as usize),
            attempts: news.attempts.get(&number).copied().unwrap_or_default(),
            unsure,
            unruled,
            apart,
            notes: news.notes.get(&number).copied().unwrap_or_default(),
            worth: news.worth.get(&number).cloned().unwrap_or_default(),
            late: self
                .goals(who.id)?
                .into_iter()
                .filter(|g| g.body.is_late(today))
                .collect(),
            unanswered: news.unanswered.get(&number).map_or(0, |n| *n as usize),
            due,
            learner: who,
        })
    }

    /// For each learner, words that were written wrong in the last weeks and are due again.
    fn due_words(&self, learners: &[Learner], today: Date) -> Result<Vec<Vec<String>>> {
        let written = learners.iter().map(|who| self.written_wrong(who, today));
        let written = written.collect::<Result<Vec<_>>>()?;
        let overrides = self.overrides()?;
        let mut readings = Readings::new(&overrides);
        readings.read_ahead(written.iter().flatten());
        let due = |rows: &Vec<Writing>| {
            let tries = rows.iter().rev();
            let tries: Vec<WrittenTry> = tries
                .filter_map(|row| WrittenTry::of(course_day(row.day), readings.first(row)?))
                .collect();
            course::due(&tries, course_day(today))
        };
        Ok(written.iter().map(due).collect())
    }

    /// What was written of late, the latest first, of words that were not always written letter by letter as they are: what was
    /// never wrong is never due.
    fn written_wrong(&self, who: &Learner, today: Date) -> Result<Vec<Writing>> {
        let filter = WritingFilter {
            from: today.checked_sub(jiff::Span::new().days(DUE_WITHIN)).ok(),
            ..WritingFilter::default()
        };
        let page = ListRange {
            skip: 0,
            take: MOST_WRITING,
        };
        let mut rows = self.writings(who.id, &filter, page)?;
        rows.retain(|row| row.own() && CourseWords::known(&row.word).is_some());
        let otherwise = rows.iter().filter(|row| row.first() != row.word);
        let wrong: HashSet<String> = otherwise.map(|row| row.word.clone()).collect();
        rows.retain(|row| wrong.contains(&row.word));
        Ok(rows)
    }
}

/// How many of the parent's notes on each learner nobody answered or settled, as [`Note::waits`] has it; told from the rows
/// themselves, so that the notes of many years need not be read one by one.
///
/// [`Note::waits`]: super::Note::waits
fn unanswered(db: &Connection) -> Result<HashMap<i64, u64>> {
    let record = beside::record_in_sql();
    let mut query = db.prepare(&format!(
        "SELECT learner, count(*) FROM note
         WHERE author = ? AND CASE WHEN json_valid(body) THEN ifnull(json_array_length(body, '$.answers'), 0) = 0
                 AND ifnull(json_type(body, '$.settled'), 'null') = 'null' AND NOT {record} END
         GROUP BY learner"
    ))?;
    let count = |row: &rusqlite::Row| Ok((row.get(0)?, row.get::<_, i64>(1)?.unsigned_abs()));
    let rows = query.query_map([Author::Parent.name()], count)?;
    Ok(rows.collect::<std::result::Result<_, _>>()?)
}

/// The last lesson in which something was said or written; old recordings that were taken in are none.
fn last_lesson(db: &Connection, number: i64) -> Result<Option<HeldLesson>> {
    let found = db.query_row(
        &format!(
            "SELECT id, day, plan, went FROM session s WHERE learner = ? AND plan NOT IN (?, ?) AND {HELD}
             ORDER BY began DESC LIMIT 1"
        ),
        params![number, IMPORTED, IMPORTED_TIMED],
        |row| {
            Ok((
                row.get(0)?,
                row.get::<_, i64>(1)?,
                row.get(2)?,
                row.get::<_, Option<String>>(3)?,
            ))
        },
    );
    let Some((session, day, plan, went)) = found.optional()? else {
        return Ok(None);
    };
    Ok(Some(HeldLesson {
        session,
        day: time::day_of(day).ok_or_else(|| NotebookError::refused("a session has no day"))?,
        plan,
        went: went.filter(|line| !line.is_empty()),
    }))
}

/// What is new of every learner, by the learner's number: each asked for once, for all of them.
struct DeskNews {
    /// Days on which something was said or written.
    lessons: HashMap<i64, u64>,
    attempts: HashMap<i64, u64>,
    /// What wants a ruling: unsure and unruled, unruled, and those on which someone differs from someone.
    open: HashMap<i64, [u64; 3]>,
    notes: HashMap<i64, u64>,
    /// The parent's notes without an answer, whenever they were written.
    unanswered: HashMap<i64, u64>,
    worth: HashMap<i64, Vec<Attempt>>,
}

/// The rows of a table that are new, as a table expression: by their day and moment, or by their number.
fn new_rows(table: &str, at: &str, kept: &str) -> String {
    format!(
        "WITH new (n) AS MATERIALIZED (
             SELECT n FROM {table} WHERE learner IN (SELECT n FROM learner) {kept} AND day >= :day AND {at} >= :at
             UNION SELECT n FROM {table} WHERE n > :row {kept})"
    )
}

impl DeskNews {
    fn read(db: &Connection, from: NewFrom, open: OpenWork) -> Result<DeskNews> {
        let rows = new_rows("attempt", "at", "AND undone = 0");
        Ok(DeskNews {
            lessons: lessons(db, from)?,
            attempts: counted(db, "attempt", &rows, from.bounds(|seen| seen.attempt))?,
            open: to_rule(db, &rows, open.bounds())?,
            notes: notes(db, from)?,
            unanswered: unanswered(db)?,
            worth: worth(db, &rows, open.bounds())?,
        })
    }
}

fn lessons(db: &Connection, from: NewFrom) -> Result<HashMap<i64, u64>> {
    let mut days: HashMap<i64, HashSet<i64>> = HashMap::new();
    let tables = [
        ("attempt", "at", from.bounds(|seen| seen.attempt)),
        ("writing", "kept_at", from.bounds(|seen| seen.writing)),
    ];
    for (table, moment, (day, at, row)) in tables {
        let new = new_rows(table, moment, "AND undone = 0");
        let mut query = db.prepare(&format!(
            "{new} SELECT DISTINCT t.learner, t.day FROM {table} t JOIN new ON new.n = t.n
                 JOIN session s ON s.n = t.session
             WHERE t.undone = 0 AND s.plan NOT IN (:old, :timed)"
        ))?;
        let values = named_params! {":day": day, ":at": at, ":row": row, ":old": IMPORTED, ":timed": IMPORTED_TIMED};
        let mut rows = query.query(values)?;
        while let Some(row) = rows.next()? {
            days.entry(row.get(0)?).or_default().insert(row.get(1)?);
        }
    }
    Ok(days.into_iter().map(|(who, days)| (who, days.len() as u64)).collect())
}

fn notes(db: &Connection, from: NewFrom) -> Result<HashMap<i64, u64>> {
    let bounds = from.bounds(|seen| seen.note);
    counted(db, "note", &new_rows("note", "made", ""), bounds)
}

/// How many of the new rows of a table each learner has.
fn counted(db: &Connection, table: &str, new: &str, (day, at, row): (i64, i64, i64)) -> Result<HashMap<i64, u64>> {
    let mut query = db.prepare(&format!(
        "{new} SELECT t.learner, count(*) FROM {table} t JOIN new ON new.n = t.n GROUP BY t.learner"
    ))?;
    let count = |row: &rusqlite::Row| Ok((row.get(0)?, row.get::<_, i64>(1)?.unsigned_abs()));
    let rows = query.query_map(named_params! {":day": day, ":at": at, ":row": row}, count)?;
    Ok(rows.collect::<std::result::Result<_, _>>()?)
}

/// What wants a ruling, counted as the lists that open from it are picked.
fn to_rule(db: &Connection, open: &str, (day, at, row): (i64, i64, i64)) -> Result<HashMap<i64, [u64; 3]>> {
    let mut query = db.prepare(&format!(
        "{open} SELECT learner, ifnull(sum(verdict = 4 AND ruling IS NULL), 0),
             ifnull(sum(verdict IS NOT NULL AND ruling IS NULL), 0), ifnull(sum({APART}), 0)
         FROM attempt JOIN new USING (n) WHERE undone = 0 GROUP BY learner"
    ))?;
    let read = |row: &rusqlite::Row| {
        let count = |i: usize| row.get::<_, i64>(i).map(i64::unsigned_abs);
        Ok((row.get(0)?, [count(1)?, count(2)?, count(3)?]))
    };
    let rows = query.query_map(named_params! {":day": day, ":at": at, ":row": row}, read)?;
    Ok(rows.collect::<std::result::Result<_, _>>()?)
}

fn worth(db: &Connection, new: &str, (day, at, row): (i64, i64, i64)) -> Result<HashMap<i64, Vec<Attempt>>> {
    let mut query = db.prepare(&format!(
        "{new}, ranked AS (SELECT a.n, a.sure, a.at, a.learner, CASE
             WHEN a.ruling = 4 AND instr(a.edits, '\"by\":\"parent\"') > 0 AND instr(a.edits, '\"by\":\"consultant\"') > 0 THEN 0
             WHEN a.ruling <> 4 AND a.verdict <> 4 AND a.ruling <> a.verdict THEN 1
             WHEN a.ruling IS NULL AND a.verdict = 4 THEN 2
             WHEN a.ruling IS NULL AND a.verdict > 0 THEN 3 END AS rank
             FROM attempt a JOIN new ON new.n = a.n WHERE a.undone = 0 AND a.recording IS NOT NULL),
         best AS (SELECT n, row_number() OVER (PARTITION BY learner ORDER BY rank, sure, at DESC, n) AS place
             FROM ranked WHERE rank IS NOT NULL)
         SELECT {COLUMNS}, a.learner FROM {FROM} JOIN best ON best.n = a.n WHERE best.place <= {NAMED}
         ORDER BY a.learner, best.place"
    ))?;
    let mut rows = query.query(named_params! {":day": day, ":at": at, ":row": row})?;
    let mut all: HashMap<i64, Vec<Attempt>> = HashMap::new();
    while let Some(row) = rows.next()? {
        all.entry(row.get(OWN)?).or_default().push(Attempt::read(row)?);
    }
    Ok(all)
}
