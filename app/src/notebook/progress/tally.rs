//! How many attempts there are of each kind: read from the tally that the database keeps for whole months, counted anew
//! for other spans.

use std::collections::{HashMap, HashSet};

use rusqlite::types::Value;
use rusqlite::{Connection, params_from_iter};
use soundbead_data::Rules;
use soundbead_data::miscount::{AskedWord, CountedAlike, Month, WordShape};
use soundbead_dsp::judgement::{Speaking, Verdict};

use super::super::{Result, code, counting, learner, time};
use super::span::DaySpan;

/// Attempts that are alike in all that is added up.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct AttemptTally {
    /// Which of [`Tallies::shapes`]: the word under the learner's rules.
    pub shape: usize,
    /// In which month.
    pub month: Month,
    /// How it was to be said.
    pub speaking: Speaking,
    /// Sounds expected by the learner's rules as they are now.
    pub expected: u16,
    /// Sounds expected by the rules in force at the time, by which the program counted too.
    pub expected_then: u16,
    /// Counters the child pushed, if any count was made.
    pub child: Option<u16>,
    /// Sounds the program heard.
    pub heard: Option<u16>,
    /// The program's verdict.
    pub verdict: Option<Verdict>,
    /// A person's.
    pub ruling: Option<Verdict>,
    /// How many such attempts.
    pub attempts: u64,
}

/// All of a learner's attempts in a span, by kind.
pub struct Tallies {
    /// The kinds.
    pub rows: Vec<AttemptTally>,
    /// The same by word, month and child's count alone, of those said with as many sounds as the word has: far fewer.
    pub counts: Vec<CountedAlike>,
    /// Every word under the rules by which it was counted.
    pub shapes: Vec<WordShape>,
    /// How many attempts were counted by which rules.
    pub by_rules: Vec<(Rules, u64)>,
}

impl AttemptTally {
    /// Sounds that were said; see [`counting::said`].
    pub fn said(&self) -> Option<u16> {
        // What the program heard, it counted by the rules of that time.
        let heard = self.heard.filter(|_| self.expected == self.expected_then);
        counting::said(self.expected, heard, self.verdict, self.ruling)
    }
}

impl Tallies {
    /// The last month in which anything was said, counted or not.
    pub fn latest(&self) -> Option<Month> {
        self.rows.iter().map(|t| t.month).max()
    }

    /// How many different words there are.
    pub fn words(&self) -> usize {
        self.shapes
            .iter()
            .map(|s| s.word.as_str())
            .collect::<HashSet<_>>()
            .len()
    }
}

/// Counts anew; columns and groups as in the database's own tally.
const ANEW: &str = "SELECT item, rules, speaking, expected, ifnull(child, -1), ifnull(heard, -1), ifnull(verdict, -1),
     ifnull(ruling, -1), count(*), day / 100 FROM attempt WHERE learner = ? AND undone = 0 AND day >= ? AND day <= ?
     GROUP BY 1, 2, 3, 4, 5, 6, 7, 8, 10";
/// As the months have them. They are not added up here: a sort of all of them costs more than it saves.
const KEPT: &str = "SELECT item, rules, speaking, expected, child, heard, verdict, ruling, attempts, month FROM tally
     WHERE learner = ? AND month >= ? AND month <= ?";

/// Every kind of attempt in the span.
///
/// # Errors
/// When the database cannot be read.
pub fn load(db: &Connection, learner: i64, span: DaySpan) -> Result<Tallies> {
    let (from, to) = bounds(span);
    let rows = if is_whole_months(span) {
        rows(db, KEPT, learner, from / 100, to / 100)?
    } else {
        rows(db, ANEW, learner, from, to)?
    };
    shaped(db, rows, &learner::rules(db, learner)?)
}

/// Whether the months' own tallies cover the span.
fn is_whole_months(span: DaySpan) -> bool {
    span.from.is_none_or(|d| d.day() == 1) && span.to.is_none_or(|d| d == d.last_of_month())
}

/// The first and the last day as numbers.
pub fn bounds(span: DaySpan) -> (i64, i64) {
    (
        span.from.map_or(0, time::day_number),
        span.to.map_or(99_999_999, time::day_number),
    )
}

/// A tally as it is read: the numbers of its word and its rules, and the rest.
type RawTally = (i64, i64, AttemptTally);

fn rows(db: &Connection, sql: &str, learner: i64, from: i64, to: i64) -> Result<Vec<RawTally>> {
    let mut query = db.prepare(sql)?;
    let found = query.query_map([learner, from, to], |row| {
        let count = |i: usize| row.get::<_, i64>(i).map(|n| u16::try_from(n).ok());
        let month: i32 = row.get(9)?;
        let tally = AttemptTally {
            shape: 0,
            month: Month::new(month / 100, month % 100),
            speaking: code::way(row.get(2)?).unwrap_or_default(),
            expected: 0,
            expected_then: count(3)?.unwrap_or(0),
            child: count(4)?,
            heard: count(5)?,
            verdict: code::verdict(row.get(6)?),
            ruling: code::verdict(row.get(7)?),
            attempts: row.get::<_, i64>(8)?.unsigned_abs(),
        };
        Ok((row.get(0)?, row.get(1)?, tally))
    })?;
    Ok(found.collect::<rusqlite::Result<_>>()?)
}

/// Ties each tally to its word's shape under the rules `now`; each shape is made once.
fn shaped(db: &Connection, raw: Vec<RawTally>, now: &Rules) -> Result<Tallies> {
    let numbers: HashSet<i64> = raw.iter().map(|(item, ..)| *item).collect();
    let (items, all) = (items(db, &numbers)?, all_rules(db)?);
    let (mut known, mut shapes) = (HashMap::new(), Vec::new());
    let mut rows = Vec::with_capacity(raw.len());
    let mut uses: HashMap<i64, u64> = HashMap::new();
    for (item, by, tally) in raw {
        let (Some(word), Some(then)) = (items.get(&item), all.get(&by)) else {
            continue;
        };
        let shape = *known.entry(item).or_insert_with(|| {
            shapes.push(WordShape::new(word, now));
            shapes.len() - 1
        });
        *uses.entry(by).or_default() += tally.attempts;
        let expected = match then == now {
            true => tally.expected_then,
            false => counting::expected(&word.word, &word.sounds, now),
        };
        rows.push(AttemptTally {
            shape,
            expected,
            ..tally
        });
    }
    let told = |(by, attempts)| Some((all.get(&by)?.clone(), attempts));
    let by_rules = uses.into_iter().filter_map(told).collect();
    let counts = counts(&rows);
    Ok(Tallies {
        rows,
        counts,
        shapes,
        by_rules,
    })
}

fn counts(rows: &[AttemptTally]) -> Vec<CountedAlike> {
    let mut sums: HashMap<(usize, Month, u16, u16), u64> = HashMap::new();
    for t in rows {
        if let Some(child) = t.child.filter(|_| t.said() == Some(t.expected)) {
            *sums.entry((t.shape, t.month, t.expected, child)).or_default() += t.attempts;
        }
    }
    let made = |((shape, month, expected, child), attempts)| CountedAlike {
        shape,
        month,
        expected,
        child,
        attempts,
    };
    sums.into_iter().map(made).collect()
}

fn items(db: &Connection, numbers: &HashSet<i64>) -> Result<HashMap<i64, AskedWord>> {
    // All at once when there are many: one by one costs more than passing over those of other learners.
    let few = numbers.len() <= 500;
    let marks = vec!["?"; numbers.len()].join(", ");
    let condition = if few {
        format!(" WHERE n IN ({marks})")
    } else {
        String::new()
    };
    let mut query = db.prepare(&format!("SELECT n, word, sounds FROM item{condition}"))?;
    let values: Vec<Value> = numbers.iter().filter(|_| few).map(|n| Value::from(*n)).collect();
    let mut rows = query.query(params_from_iter(values))?;
    let mut all = HashMap::new();
    while let Some(row) = rows.next()? {
        let n = row.get(0)?;
        if numbers.contains(&n) {
            // A word that cannot be read is left out: lists say so, where its attempts would stand.
            let Ok(sounds) = code::sounds(&row.get::<_, String>(2)?) else {
                continue;
            };
            all.insert(
                n,
                AskedWord {
                    word: row.get(1)?,
                    sounds,
                },
            );
        }
    }
    Ok(all)
}

fn all_rules(db: &Connection) -> Result<HashMap<i64, Rules>> {
    let mut query = db.prepare("SELECT n, text FROM rules")?;
    let mut rows = query.query([])?;
    let mut all = HashMap::new();
    while let Some(row) = rows.next()? {
        if let Ok(rules) = row.get::<_, String>(1)?.parse::<Rules>() {
            all.insert(row.get(0)?, rules);
        }
    }
    Ok(all)
}
