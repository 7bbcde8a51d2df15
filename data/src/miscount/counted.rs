//! Counts by word, in stretches of two months.

use std::collections::{BTreeMap, HashMap};
use std::fmt;
use std::ops::RangeInclusive;

use serde::{Serialize, Serializer};

use super::cause::Cause;
use super::fit::Alike;
use super::shape::WordShape;
use super::tail::WordSum;
use crate::share::Share;

/// Fewest attempts from which anything is claimed.
pub const LEAST_ATTEMPTS: u64 = 12;
/// Fewest different words from which anything is claimed.
pub const LEAST_WORDS: usize = 5;
/// Fewest different words that show a pattern.
pub const LEAST_SEEN: usize = 3;
/// The rate of false claims that the tests are held to, for causes and again for sounds. They are stricter than that, for a word's
/// hits are cut down and a share of several tries varies less than one try: of made-up learners without any pattern fewer than 1
/// in 200 are told of one (`measure patterns`). What is promised is 1 in 100.
pub const FALSE_ALARMS: f64 = 0.02;
/// Months in one stretch: some weeks back is now, a term ago is not.
const STRETCH: i32 = 2;
/// Stretches that are looked at: a year and a half. What was overcome before that is told by the reports of that time.
const STRETCHES: i32 = 9;

/// A month on the calendar.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Month(i32);

impl Month {
    /// The month of a year, 1 to 12.
    pub fn new(year: i32, month: i32) -> Month {
        Month(year * 12 + month - 1)
    }

    /// The year.
    pub fn year(self) -> i32 {
        self.0.div_euclid(12)
    }

    /// The month of the year, 1 to 12.
    pub fn month(self) -> i32 {
        self.0.rem_euclid(12) + 1
    }
}

/// Writes `2026-11`.
impl fmt::Display for Month {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{:04}-{:02}", self.year(), self.month())
    }
}

impl Serialize for Month {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        to.collect_str(self)
    }
}

/// Attempts of one month at one word, said with as many sounds as it has, with one count by the child.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CountedAlike {
    /// Which of the words.
    pub shape: usize,
    /// The month.
    pub month: Month,
    /// Sounds expected.
    pub expected: u16,
    /// Counters the child pushed.
    pub child: u16,
    /// How many such attempts.
    pub attempts: u64,
}

/// Which way a count misses.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Side {
    /// Fewer sounds are counted.
    Fewer,
    /// More are.
    More,
}

impl Side {
    /// The side of counts that would follow from a cause.
    pub fn of(counts: &RangeInclusive<u16>, expected: u16) -> Side {
        if *counts.start() > expected {
            Side::More
        } else {
            Side::Fewer
        }
    }

    /// Whether a count misses to this side.
    pub fn missed(self, child: u16, expected: u16) -> bool {
        match self {
            Side::Fewer => child < expected,
            Side::More => child > expected,
        }
    }
}

/// The counts of one stretch of time.
pub struct CountsInTime<'a> {
    shapes: &'a [WordShape],
    rows: Vec<&'a CountedAlike>,
    /// Words that no cause of a side touches, and their misses to that side: fewer, then more.
    plain: [ByWord<'a>; 2],
}

/// One word as it is looked at when causes are estimated together.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct WordLook {
    /// Sounds beyond three.
    pub longer: f64,
    /// Which causes touch it, one bit each.
    pub touched: u128,
    /// The share of its tries that miss.
    pub misses: f64,
}

/// Tries of one group of words, by word.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct ByWord<'a> {
    /// Hits of tries, for each word.
    pub words: BTreeMap<&'a str, Share>,
}

impl<'a> ByWord<'a> {
    fn put(&mut self, word: &'a str, hit: bool, attempts: u64) {
        let share = self.words.entry(word).or_default();
        share.of += attempts;
        share.hits += if hit { attempts } else { 0 };
    }

    /// Tries, whatever the word.
    pub fn tries(&self) -> Share {
        let all = self.words.values();
        all.fold(Share::default(), |sum, s| Share {
            hits: sum.hits + s.hits,
            of: sum.of + s.of,
        })
    }

    /// Each word with weight 1.
    pub fn sum(&self) -> WordSum {
        let mut sum = WordSum::default();
        self.words.values().for_each(|s| sum.put(s.value().unwrap_or(0.0)));
        sum
    }

    /// Words of which half the tries or more are hits.
    pub fn seen(&self) -> usize {
        self.words.values().filter(|s| 2 * s.hits >= s.of).count()
    }

    /// Words with hits and how many, those with the largest share first.
    pub fn evidence(&self) -> Vec<(String, u64)> {
        let mut hit: Vec<(&&str, &Share)> = self.words.iter().filter(|(_, s)| s.hits > 0).collect();
        hit.sort_by(|a, b| {
            let shares = (b.1.hits * a.1.of).cmp(&(a.1.hits * b.1.of));
            shares.then(b.1.hits.cmp(&a.1.hits)).then(a.0.cmp(b.0))
        });
        hit.into_iter().map(|(w, s)| ((*w).to_owned(), s.hits)).collect()
    }
}

impl<'a> CountsInTime<'a> {
    /// Stretches of two months each, counted back from the month `latest`, or from the last that has counts; the latest first.
    /// The first is there, empty, also when nothing in it speaks of the words' shapes: what lies before it is past.
    pub fn stretches(
        shapes: &'a [WordShape],
        counts: &'a [CountedAlike],
        latest: Option<Month>,
    ) -> Vec<CountsInTime<'a>> {
        let Some(last) = counts.iter().map(|c| c.month).chain(latest).max() else {
            return Vec::new();
        };
        let mut by: BTreeMap<i32, Vec<&CountedAlike>> = BTreeMap::from([(0, Vec::new())]);
        for row in counts {
            // The expected count is the ear's own where it chose among pronunciations; a shape of another count says nothing.
            let ago = (last.0 - row.month.0) / STRETCH;
            if ago < STRETCHES && shapes[row.shape].units.len() == usize::from(row.expected) {
                by.entry(ago).or_default().push(row);
            }
        }
        by.into_values().map(|rows| CountsInTime::of(shapes, rows)).collect()
    }

    fn of(shapes: &'a [WordShape], rows: Vec<&'a CountedAlike>) -> CountsInTime<'a> {
        let mut plain = [ByWord::default(), ByWord::default()];
        for row in &rows {
            let shape = &shapes[row.shape];
            for (side, plain) in [Side::Fewer, Side::More].into_iter().zip(&mut plain) {
                if !shape
                    .astray
                    .iter()
                    .any(|(_, counts)| Side::of(counts, row.expected) == side)
                {
                    plain.put(&shape.word, side.missed(row.child, row.expected), row.attempts);
                }
            }
        }
        CountsInTime { shapes, rows, plain }
    }

    /// The last month of it that a test picks.
    pub fn last_month(&self, is: impl Fn(&WordShape, u16) -> bool) -> Option<Month> {
        let picked = self.rows.iter().filter(|r| is(&self.shapes[r.shape], r.child));
        picked.map(|r| r.month).max()
    }

    /// Words that a cause touches, and their counts that would follow from it. Tries that are explained by one of `aside` are left
    /// out.
    pub fn touched(&self, cause: Cause, aside: &[Cause]) -> ByWord<'a> {
        let mut all = ByWord::default();
        for (row, shape) in self.pairs() {
            if let Some(counts) = shape.by(cause).filter(|_| !explained(shape, row.child, aside)) {
                all.put(&shape.word, counts.contains(&row.child), row.attempts);
            }
        }
        all
    }

    /// Words that no cause of a side touches, and their misses to that side.
    pub fn plain(&self, side: Side) -> &ByWord<'a> {
        &self.plain[usize::from(side == Side::More)]
    }

    /// The side of a cause, by the first word that it touches.
    pub fn side(&self, cause: Cause) -> Side {
        let found = self.shapes.iter().find_map(|s| Some((s.by(cause)?, s.units.len())));
        found.map_or(Side::Fewer, |(counts, n)| Side::of(counts, n as u16))
    }

    /// Every word with its misses that `missed` picks, put together with those that are alike; and how each looks.
    pub fn alike(
        &self,
        causes: &[Cause],
        aside: &[Cause],
        missed: impl Fn(u16, u16) -> bool,
    ) -> (Vec<Alike>, HashMap<usize, WordLook>) {
        let mut shares: HashMap<usize, Share> = HashMap::new();
        for (row, shape) in self.pairs() {
            if !explained(shape, row.child, aside) {
                let share = shares.entry(row.shape).or_default();
                share.of += row.attempts;
                share.hits += if missed(row.child, row.expected) {
                    row.attempts
                } else {
                    0
                };
            }
        }
        let mut cells: BTreeMap<(usize, u128), (f64, f64)> = BTreeMap::new();
        let mut words = HashMap::new();
        for (at, share) in shares {
            let shape = &self.shapes[at];
            let bit = |(i, c): (usize, &Cause)| u128::from(shape.by(*c).is_some()) << i;
            let touched = causes.iter().enumerate().map(bit).sum();
            let value = share.value().unwrap_or(0.0);
            let cell = cells.entry((shape.units.len(), touched)).or_default();
            *cell = (cell.0 + value, cell.1 + 1.0);
            let look = WordLook {
                longer: longer(shape),
                touched,
                misses: value,
            };
            words.insert(at, look);
        }
        let made = |((n, touched), (misses, words)): ((usize, u128), (f64, f64))| Alike {
            longer: n as f64 - USUAL,
            touched,
            misses,
            words,
        };
        (cells.into_iter().map(made).collect(), words)
    }

    /// Every row with its word.
    pub fn pairs(&self) -> impl Iterator<Item = (&'a CountedAlike, &'a WordShape)> + '_ {
        self.rows.iter().map(|row| (*row, &self.shapes[row.shape]))
    }

    /// A word.
    pub fn shape(&self, at: usize) -> &'a WordShape {
        &self.shapes[at]
    }
}

/// Sounds of most words of a first lesson.
const USUAL: f64 = 3.0;

fn longer(shape: &WordShape) -> f64 {
    shape.units.len() as f64 - USUAL
}

/// Whether a count is one that would follow from one of these.
fn explained(shape: &WordShape, child: u16, by: &[Cause]) -> bool {
    by.iter()
        .any(|c| shape.by(*c).is_some_and(|counts| counts.contains(&child)))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_cause_that_leads_to_higher_counts_is_on_their_side() {
        assert_eq!(Side::of(&(5..=6), 4), Side::More);
        assert_eq!(Side::of(&(2..=3), 4), Side::Fewer);
    }
}
