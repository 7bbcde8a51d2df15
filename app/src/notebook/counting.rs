//! What a child's count is held against: the sounds that were said, by the learner's rules as they are now.
//!
//! Two things are judged apart. *Counting*: the child's count against what was said. *Saying*: what was said against the
//! word. A child who says *poon* for *spoon* and counts three has counted right.

use std::cell::RefCell;
use std::collections::HashMap;

use rusqlite::Connection;
use rusqlite::functions::FunctionFlags;
use soundbead_data::{Rules, Sound};
use soundbead_dsp::judgement::Verdict;

use super::{Result, code};
use crate::target;

/// The number of sounds said, in SQL, as [`said`] tells it. `{n}` stands for the number expected now; `expected` is the
/// number by the rules of the time, by which the program counted too.
const SAID: &str = "CASE coalesce(nullif(ruling, 4), nullif(verdict, 4), 0)
     WHEN 1 THEN iif(heard < {n} AND {n} = expected, heard, NULL)
     WHEN 2 THEN iif(heard > {n} AND {n} = expected, heard, NULL) ELSE {n} END";
/// Words whose counts are remembered while a list is gone through.
const REMEMBERED: usize = 20_000;

/// How many sounds a word has by the rules.
pub fn expected(word: &str, sounds: &[Sound], rules: &Rules) -> u16 {
    let letters = target::letters(word, sounds);
    let letters: Vec<_> = letters
        .iter()
        .map(|(text, range)| (text.as_str(), range.clone()))
        .collect();
    u16::try_from(rules.count(sounds, &letters)).unwrap_or(u16::MAX)
}

/// How many sounds were said. A person's ruling goes before the program's verdict; where neither settles it, the word's
/// own number stands. None where fewer or more were said, and the program did not hear how many. `heard` is by the same
/// rules as `expected`; none where it was counted by others.
pub fn said(expected: u16, heard: Option<u16>, verdict: Option<Verdict>, ruled: Option<Verdict>) -> Option<u16> {
    let settled = |v: Option<Verdict>| v.filter(|v| *v != Verdict::Unsure);
    match settled(ruled).or(settled(verdict)) {
        Some(Verdict::Fewer) => heard.filter(|n| *n < expected),
        Some(Verdict::More) => heard.filter(|n| *n > expected),
        _ => Some(expected),
    }
}

/// The expected number and the number said as SQL, for a query over [`super::attempt::FROM`] or over the table alone.
pub struct InSql {
    /// What the rows are read from.
    pub from: &'static str,
    /// How many sounds the word has by the learner's rules now.
    pub expected: &'static str,
}

impl InSql {
    /// Where all was counted by the rules in force now.
    pub const PLAIN: InSql = InSql {
        from: "attempt",
        expected: "expected",
    };

    /// For a learner's attempts. Where all were counted by the rules in force now, the table alone has it, and its index
    /// answers most questions.
    ///
    /// # Errors
    /// When the database cannot be read.
    pub fn of(db: &Connection, learner: i64) -> Result<InSql> {
        let others: bool = db.query_row(
            "SELECT EXISTS (SELECT 1 FROM tally WHERE learner = ?1 AND rules <>
                 ifnull((SELECT r.n FROM rules r JOIN learner l ON l.rules = r.text WHERE l.n = ?1), -1))",
            [learner],
            |row| row.get(0),
        )?;
        Ok(match others {
            false => InSql::PLAIN,
            true => InSql {
                from: "(SELECT a.*, CASE WHEN r.text = l.rules THEN a.expected
                          ELSE counted_by(i.word, i.sounds, l.rules) END AS now
                      FROM attempt a JOIN item i ON i.n = a.item JOIN rules r ON r.n = a.rules
                          JOIN learner l ON l.n = a.learner)",
                expected: "now",
            },
        })
    }

    /// How many sounds were said.
    pub fn said(&self) -> String {
        SAID.replace("{n}", self.expected)
    }
}

/// Makes `counted_by(word, sounds, rules)` known to the database.
///
/// # Errors
/// When the database refuses it.
pub fn functions(db: &Connection) -> Result<()> {
    let flags = FunctionFlags::SQLITE_UTF8 | FunctionFlags::SQLITE_DETERMINISTIC;
    let known: RefCell<HashMap<(String, String, String), u16>> = RefCell::default();
    db.create_scalar_function("counted_by", 3, flags, move |given| {
        let key: (String, String, String) = (given.get(0)?, given.get(1)?, given.get(2)?);
        let mut known = known.borrow_mut();
        if let Some(count) = known.get(&key) {
            return Ok(Some(*count));
        }
        // A word that cannot be read has no count; the list it stands in says so.
        let (Ok(sounds), Ok(rules)) = (code::sounds(&key.1), key.2.parse::<Rules>()) else {
            return Ok(None);
        };
        let count = expected(&key.0, &sounds, &rules);
        if known.len() >= REMEMBERED {
            known.clear();
        }
        known.insert(key, count);
        Ok(Some(count))
    })?;
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;
    use Verdict::{Changed, Fewer, More, Same, Unsure};

    #[test]
    fn counting_is_held_against_what_was_said() {
        // "poon" for "spoon", which the ear heard.
        assert_eq!(said(4, Some(3), Some(Fewer), None), Some(3));
        // A person's ear goes before it; one who cannot tell leaves it as it is.
        assert_eq!(said(4, Some(3), Some(Fewer), Some(Same)), Some(4));
        assert_eq!(said(4, Some(3), Some(Fewer), Some(Unsure)), Some(3));
        assert_eq!(said(4, Some(5), Some(Same), Some(More)), Some(5));
        // Nobody knows how many.
        assert_eq!(said(4, Some(4), Some(Same), Some(Fewer)), None);
        // Nothing settled, or nothing judged: the word's own.
        assert_eq!(said(4, Some(3), Some(Unsure), None), Some(4));
        assert_eq!(
            (said(4, None, None, None), said(4, Some(4), Some(Changed), None)),
            (Some(4), Some(4))
        );
    }

    #[test]
    fn the_database_tells_the_same() {
        let db = Connection::open_in_memory().unwrap();
        functions(&db).unwrap();
        let car: u16 = db
            .query_row("SELECT counted_by('car', 'K AA R', 'r_vowels=one')", [], |r| r.get(0))
            .unwrap();
        assert_eq!(car, 2);
        db.execute_batch("CREATE TABLE t (expected, heard, verdict, ruling)")
            .unwrap();
        let verdicts = [None, Some(Same), Some(Fewer), Some(More), Some(Changed), Some(Unsure)];
        let table = InSql {
            from: "t",
            expected: "expected",
        };
        for (verdict, ruled) in verdicts.iter().flat_map(|v| verdicts.map(|r| (*v, r))) {
            for heard in [None, Some(2u16), Some(3), Some(4)] {
                let numbers = (verdict.map(code::of_verdict), ruled.map(code::of_verdict));
                db.execute("DELETE FROM t", []).unwrap();
                db.execute("INSERT INTO t VALUES (3, ?, ?, ?)", (heard, numbers.0, numbers.1))
                    .unwrap();
                let sql = format!("SELECT {} FROM {}", table.said(), table.from);
                let told: Option<u16> = db.query_row(&sql, [], |r| r.get(0)).unwrap();
                assert_eq!(told, said(3, heard, verdict, ruled), "{heard:?} {verdict:?} {ruled:?}");
            }
        }
    }
}
