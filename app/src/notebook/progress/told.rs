//! Sounds that a person heard in the place of others, where a ruling tells the sounds.

use std::collections::{BTreeMap, BTreeSet};

use jiff::civil::Date;
use rusqlite::Connection;
use serde::Serialize;
use soundbead_data::Sound;

use super::super::attempt::Edits;
use super::super::{Result, code, time};
use super::span::DaySpan;
use super::tally;

/// A sound that was expected and what was heard there.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Confusion {
    /// The word's own; none where a sound was added.
    pub expected: Option<Sound>,
    /// What was said; none where it was left out.
    pub heard: Option<Sound>,
    /// How often.
    pub times: u64,
}

/// Every pair, those that agree too, the most frequent first. A word that people call its own sounds tells each of them: without
/// those, a sound that was said otherwise once would seem to be said so always.
///
/// # Errors
/// When the database cannot be read.
pub fn confusions(db: &Connection, learner: i64, span: DaySpan) -> Result<Vec<Confusion>> {
    let (from, to) = tally::bounds(span);
    let mut query = db.prepare(
        "SELECT i.sounds, a.edits FROM attempt a JOIN item i ON i.n = a.item
         WHERE a.learner = ? AND a.day >= ? AND a.day <= ? AND instr(a.edits, '\"sounds\":') > 0 AND a.undone = 0",
    )?;
    let mut rows = query.query([learner, from, to])?;
    let mut pairs = HeardPairs::new();
    while let Some(row) = rows.next()? {
        let expected = code::sounds(&row.get::<_, String>(0)?);
        let edits = serde_json::from_str::<Edits>(&row.get::<_, String>(1)?);
        // What cannot be read is left out: lists say so.
        let (Ok(expected), Ok(edits)) = (expected, edits) else {
            continue;
        };
        // Where two people tell the sounds, each is heard, but a pair on which they agree is one pair.
        let told = edits.rulings.iter().filter(|r| !r.sounds.is_empty());
        let pairs_here: BTreeSet<_> = told
            .flat_map(|r| aligned(&expected, &r.sounds).into_iter().enumerate())
            .collect();
        for (_, pair) in pairs_here {
            *pairs.entry(pair).or_default() += 1;
        }
    }
    own_sounds(db, learner, (from, to), &mut pairs)?;
    let mut all: Vec<Confusion> = pairs
        .into_iter()
        .map(|((expected, heard), times)| Confusion { expected, heard, times })
        .collect();
    all.sort_by_key(|c| std::cmp::Reverse(c.times));
    Ok(all)
}

/// How often sounds were expected, and what was heard there.
type HeardPairs = BTreeMap<(Option<Sound>, Option<Sound>), u64>;

/// Adds the sounds of words that people ruled to have their own.
fn own_sounds(db: &Connection, learner: i64, (from, to): (i64, i64), pairs: &mut HeardPairs) -> Result<()> {
    let mut query = db.prepare(
        "SELECT i.sounds, count(*) FROM attempt a JOIN item i ON i.n = a.item
         WHERE a.learner = ? AND a.undone = 0 AND a.day >= ? AND a.day <= ? AND a.ruling = 0
             AND instr(a.edits, '\"sounds\":') = 0 GROUP BY a.item",
    )?;
    let mut rows = query.query([learner, from, to])?;
    while let Some(row) = rows.next()? {
        let Ok(sounds) = code::sounds(&row.get::<_, String>(0)?) else {
            continue;
        };
        let times = row.get::<_, i64>(1)?.unsigned_abs();
        for sound in sounds {
            *pairs.entry((Some(sound), Some(sound))).or_default() += times;
        }
    }
    Ok(())
}

/// A word in which a person heard other sounds than its own.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct HeardOtherwise {
    /// The word.
    pub word: String,
    /// What was heard.
    pub sounds: Vec<Sound>,
    /// Who heard it: `parent` or `consultant`.
    pub by: String,
    /// The day on which it was said.
    #[serde(with = "time::iso")]
    pub day: Date,
}

/// The latest words that a person heard otherwise, each once, at most so many.
///
/// # Errors
/// When the database cannot be read.
pub fn otherwise(db: &Connection, learner: i64, span: DaySpan, most: usize) -> Result<Vec<HeardOtherwise>> {
    let (from, to) = tally::bounds(span);
    let mut query = db.prepare(
        "SELECT i.sounds, a.edits, i.word, a.day FROM attempt a JOIN item i ON i.n = a.item
         WHERE a.learner = ? AND a.day >= ? AND a.day <= ? AND instr(a.edits, '\"sounds\":') > 0 AND a.undone = 0
         ORDER BY a.day DESC, a.at DESC",
    )?;
    let mut rows = query.query([learner, from, to])?;
    let mut all: Vec<HeardOtherwise> = Vec::new();
    while let (true, Some(row)) = (all.len() < most, rows.next()?) {
        let word: String = row.get(2)?;
        let (own, edits) = (
            code::sounds(&row.get::<_, String>(0)?),
            serde_json::from_str::<Edits>(&row.get::<_, String>(1)?),
        );
        let (Ok(own), Ok(edits), Some(day)) = (own, edits, time::day_of(row.get(3)?)) else {
            continue;
        };
        let told = edits
            .rulings
            .into_iter()
            .find(|r| !r.sounds.is_empty() && r.sounds != own);
        if let Some(told) = told.filter(|_| all.iter().all(|h| h.word != word)) {
            all.push(HeardOtherwise {
                word,
                sounds: told.sounds,
                by: told.by.to_string(),
                day,
            });
        }
    }
    Ok(all)
}

/// Which sound stands for which, by the fewest changes (edit distance: Levenshtein 1966; Wagner and Fischer 1974). A sound
/// in another's place costs less than one left out and one added, and less still when both are vowels or both consonants.
pub fn aligned(expected: &[Sound], heard: &[Sound]) -> Vec<(Option<Sound>, Option<Sound>)> {
    let swap = |a: Sound, b: Sound| match (a == b, a.is_vowel() == b.is_vowel()) {
        (true, _) => 0,
        (_, true) => 3,
        _ => 5,
    };
    const GAP: u32 = 3;
    let (rows, columns) = (expected.len() + 1, heard.len() + 1);
    let mut cost = vec![vec![0u32; columns]; rows];
    for i in 0..rows {
        for j in 0..columns {
            let mut best = if i + j == 0 { 0 } else { u32::MAX };
            if i > 0 {
                best = best.min(cost[i - 1][j] + GAP);
            }
            if j > 0 {
                best = best.min(cost[i][j - 1] + GAP);
            }
            if i > 0 && j > 0 {
                best = best.min(cost[i - 1][j - 1] + swap(expected[i - 1], heard[j - 1]));
            }
            cost[i][j] = best;
        }
    }
    let (mut i, mut j) = (expected.len(), heard.len());
    let mut pairs = Vec::new();
    while i + j > 0 {
        if i > 0 && j > 0 && cost[i][j] == cost[i - 1][j - 1] + swap(expected[i - 1], heard[j - 1]) {
            (i, j) = (i - 1, j - 1);
            pairs.push((Some(expected[i]), Some(heard[j])));
        } else if i > 0 && cost[i][j] == cost[i - 1][j] + GAP {
            i -= 1;
            pairs.push((Some(expected[i]), None));
        } else {
            j -= 1;
            pairs.push((None, Some(heard[j])));
        }
    }
    pairs.reverse();
    pairs
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(text: &str) -> Vec<Sound> {
        code::sounds(text).unwrap()
    }

    #[test]
    fn a_sound_stands_for_the_one_in_its_place() {
        let pairs = aligned(&read("TH AH M"), &read("F AH M"));
        assert_eq!(pairs[0], (Some(Sound::TH), Some(Sound::F)));
        let dropped = aligned(&read("S P UW N"), &read("P UW N"));
        assert_eq!(dropped[0], (Some(Sound::S), None));
        assert_eq!(dropped.len(), 4);
        let added = aligned(&read("M AH D"), &read("M AH D AH"));
        assert_eq!(added[3], (None, Some(Sound::AH)));
    }
}
