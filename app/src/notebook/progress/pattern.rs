//! Miscounts that have one cause: found by a stated model, not by eye.
//!
//! Each cause says which words it touches and which counts would follow from it. For each, over all attempts at words
//! that it touches:
//!
//! - the **share** of attempts whose count is one that would follow, with its 95 % interval (Wilson 1927);
//! - the **background**: the share of attempts that miss to the same side at words that no cause of that side touches.
//!
//! A pattern is *found* when the share's interval lies wholly above the background's. Two separate 95 % intervals are a
//! strict test (about 1 in 200 by chance for one cause, and some twenty causes are looked at). Nothing is claimed from fewer than
//! [`LEAST_ATTEMPTS`] attempts or [`LEAST_WORDS`] different words with the cause, or fewer than [`LEAST_ATTEMPTS`] without.
//!
//! Who counts letters counts silent and doubled letters and teams alike. So letter counting is found only where each of
//! these four, of which there is enough, is found by itself, and there is enough of two or more; attempts that it explains
//! are then set aside for all other causes. Otherwise it is the single ones that are found.

use std::collections::{BTreeMap, BTreeSet};

use serde::Serialize;

use super::cause::Cause;
use super::tally::{CountedAlike, Tallies};
use super::wilson::Share;

/// Fewest attempts from which anything is claimed.
pub const LEAST_ATTEMPTS: u64 = 12;
/// Fewest different words from which anything is claimed.
pub const LEAST_WORDS: usize = 5;
/// Most words that are named as evidence.
const NAMED: usize = 8;

/// What may be said of a cause.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Claim {
    /// It is a pattern.
    Found,
    /// What there is does not show one.
    NotShown,
    /// There is too little to say.
    TooLittle,
}

/// One cause, and what speaks for it.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Pattern {
    /// The cause.
    pub cause: Cause,
    /// What may be said of it.
    pub claim: Claim,
    /// Attempts that were counted as the cause would have it, of all attempts at words that it touches.
    pub share: Share,
    /// Attempts that missed to the same side, of all at words that no cause of that side touches.
    pub background: Share,
    /// Different words that it touches and that were tried.
    pub words: usize,
    /// Words that were counted as it would have it, the most frequent first, and how often.
    pub evidence: Vec<(String, u64)>,
}

/// The causes of which counting letters is made.
const OF_LETTERS: [Cause; 4] = [
    Cause::SilentE,
    Cause::DoubledLetters,
    Cause::ConsonantTeams,
    Cause::VowelTeams,
];

/// Looks at every cause; those found come first, the surest first.
pub fn patterns(tallies: &Tallies) -> Vec<Pattern> {
    let causes: BTreeSet<Cause> = tallies
        .shapes
        .iter()
        .flat_map(|s| s.astray.iter().map(|(c, _)| *c))
        .collect();
    let letters = causes.contains(&Cause::Letters).then(|| letters(tallies));
    let spells = letters.as_ref().is_some_and(|p| p.claim == Claim::Found);
    let others = causes.into_iter().filter(|c| *c != Cause::Letters);
    let mut all: Vec<Pattern> = others.map(|cause| look(tallies, cause, spells)).collect();
    all.extend(letters);
    let rank = |p: &Pattern| (p.claim != Claim::Found, p.claim == Claim::TooLittle);
    let lowest = |p: &Pattern| p.share.interval().0;
    all.sort_by(|a, b| rank(a).cmp(&rank(b)).then(lowest(b).total_cmp(&lowest(a))));
    all
}

/// Counting letters: held against what it is made of.
fn letters(tallies: &Tallies) -> Pattern {
    let mut all = look(tallies, Cause::Letters, false);
    let single = OF_LETTERS.map(|cause| look(tallies, cause, false).claim);
    let enough = single.iter().filter(|c| **c != Claim::TooLittle).count();
    if all.claim == Claim::Found && enough < 2 {
        all.claim = Claim::TooLittle;
    } else if single.contains(&Claim::NotShown) && all.claim == Claim::Found {
        all.claim = Claim::NotShown;
    }
    all
}

/// Whether a count misses to the side of a cause, which makes more of a word or less.
fn side(counts: &std::ops::RangeInclusive<u16>, expected: u16) -> bool {
    *counts.start() > expected
}

/// Adds up for one cause. `spells`: letter counting was found, and what it explains is set aside.
fn look(tallies: &Tallies, cause: Cause, spells: bool) -> Pattern {
    let mut found = CauseSum::default();
    for t in &tallies.counts {
        let child = t.child;
        let shape = &tallies.shapes[t.shape];
        // The expected count is the ear's own where it chose among pronunciations; a shape of another count says nothing.
        if shape.units.len() != usize::from(t.expected) {
            continue;
        }
        if let Some(counts) = shape.by(cause) {
            let by_letters = shape.by(Cause::Letters).is_some_and(|l| spells && l.contains(&child));
            if !by_letters {
                found.touched(&shape.word, counts.contains(&child), t.attempts);
            }
        }
        found.plain(t, child, shape);
    }
    found.pattern(cause, tallies)
}

/// The attempts of one cause.
#[derive(Default)]
struct CauseSum<'a> {
    share: Share,
    words: BTreeMap<&'a str, u64>,
    /// At words that no cause of the side touches: misses to the side, for too few and too many.
    plain: [Share; 2],
}

impl<'a> CauseSum<'a> {
    fn touched(&mut self, word: &'a str, follows: bool, attempts: u64) {
        let hits = if follows { attempts } else { 0 };
        self.share.hits += hits;
        self.share.of += attempts;
        *self.words.entry(word).or_default() += hits;
    }

    fn plain(&mut self, t: &CountedAlike, child: u16, shape: &super::shape::WordShape) {
        for (more, plain) in [false, true].into_iter().zip(&mut self.plain) {
            if shape.astray.iter().any(|(_, counts)| side(counts, t.expected) == more) {
                continue;
            }
            let missed = if more { child > t.expected } else { child < t.expected };
            plain.hits += if missed { t.attempts } else { 0 };
            plain.of += t.attempts;
        }
    }

    fn pattern(self, cause: Cause, tallies: &Tallies) -> Pattern {
        let more = tallies
            .shapes
            .iter()
            .find_map(|s| s.by(cause).map(|c| side(c, s.units.len() as u16)));
        let background = self.plain[usize::from(more.unwrap_or(false))];
        let words = self.words.len();
        let enough = self.share.of >= LEAST_ATTEMPTS && words >= LEAST_WORDS && background.of >= LEAST_ATTEMPTS;
        let claim = if !enough {
            Claim::TooLittle
        } else if self.share.interval().0 > background.interval().1 {
            Claim::Found
        } else {
            Claim::NotShown
        };
        let mut evidence: Vec<(String, u64)> = self
            .words
            .into_iter()
            .filter(|(_, n)| *n > 0)
            .map(|(w, n)| (w.to_owned(), n))
            .collect();
        evidence.sort_by(|a, b| b.1.cmp(&a.1).then_with(|| a.0.cmp(&b.0)));
        evidence.truncate(NAMED);
        Pattern {
            cause,
            claim,
            share: self.share,
            background,
            words,
            evidence,
        }
    }
}
