//! Where a child stands: in how many words each choice was met, and kept the last time they were written.

use std::collections::BTreeMap;

use super::{Choice, WrittenTry};

/// A share with its interval, all from 0 to 1.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ShareInterval {
    /// Kept of met.
    pub share: f64,
    /// Lower end of the 95 % interval.
    pub low: f64,
    /// Upper end.
    pub high: f64,
}

/// What is known of one choice.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Standing {
    /// The choice.
    pub choice: Choice,
    /// In how many different words it was met.
    pub met: usize,
    /// In how many of them it was kept the last time: of several tries at one word, the latest counts.
    pub kept: usize,
    /// In how many of them it was kept the first time that the word was written.
    pub kept_first: usize,
    /// The share, where it was met at all.
    pub share: Option<ShareInterval>,
}

/// Whether a word kept a choice the first time that it was written, and the last time.
#[derive(Clone, Copy)]
struct FirstAndLast(bool, bool);

/// Where the child stands on each choice, in the order of [`Choice::ALL`].
pub fn standing(tries: &[WrittenTry]) -> Vec<Standing> {
    let mut sorted: Vec<&WrittenTry> = tries.iter().collect();
    // A stable sort: of one day's tries, those that stand later in the list are later.
    sorted.sort_by_key(|tried| tried.day);
    let mut words: Vec<BTreeMap<&str, FirstAndLast>> = vec![BTreeMap::new(); Choice::ALL.len()];
    for tried in sorted {
        for (choice, kept) in &tried.kept {
            let word = words[choice.index()].entry(&tried.word);
            word.or_insert(FirstAndLast(*kept, *kept)).1 = *kept;
        }
    }
    let one = |(choice, words): (&Choice, &BTreeMap<&str, FirstAndLast>)| {
        let (met, kept) = (words.len(), words.values().filter(|word| word.1).count());
        Standing {
            choice: *choice,
            met,
            kept,
            kept_first: words.values().filter(|word| word.0).count(),
            share: (met > 0).then(|| interval(kept, met)),
        }
    };
    Choice::ALL.iter().zip(&words).map(one).collect()
}

/// The share `kept` of `met` with its exact 95 % interval (Clopper and Pearson 1934, Biometrika 26, 404-413): right at least 95
/// times in 100 however few the words.
///
/// # Panics
/// When `met` is 0 or `kept` is more.
pub fn interval(kept: usize, met: usize) -> ShareInterval {
    assert!(met > 0 && kept <= met, "{kept} of {met}");
    // Half of 5 % lies on either side.
    let tail = 0.025;
    let low = if kept == 0 {
        0.0
    } else {
        find(|p| 1.0 - below(kept, met, p) < tail)
    };
    let high = if kept == met {
        1.0
    } else {
        find(|p| below(kept + 1, met, p) > tail)
    };
    ShareInterval {
        share: kept as f64 / met as f64,
        low,
        high,
    }
}

/// The chance of fewer than `kept` hits in `met` tries that each succeed with `p`.
fn below(kept: usize, met: usize, p: f64) -> f64 {
    let mut term = (1.0 - p).powi(met as i32);
    let mut sum = 0.0;
    for hits in 0..kept {
        sum += term;
        term *= (met - hits) as f64 / (hits + 1) as f64 * p / (1.0 - p).max(f64::MIN_POSITIVE);
    }
    sum
}

/// The highest `p` for which `holds`, which holds at 0 and ends somewhere below 1; 50 halvings are finer than is ever shown.
fn find(holds: impl Fn(f64) -> bool) -> f64 {
    let (mut low, mut high) = (0.0, 1.0);
    for _ in 0..50 {
        let middle = (low + high) / 2.0;
        if holds(middle) { low = middle } else { high = middle }
    }
    (low + high) / 2.0
}
