//! The words to write so that it is seen where a child stands, and in which order they are asked.

use std::collections::HashSet;

use super::words::{CourseWord, CourseWords};
use super::{Choice, Standing, WrittenTry, standing};
use crate::chain::mix;

/// In how many different words each choice is met.
const MEETINGS: usize = 3;
/// Fewest and most words of a set.
const SIZE: (usize, usize) = (25, 40);
/// Ways of going on that are looked at to say how many words are to come: their mean is then true to about a word.
const AHEAD: u64 = 24;

/// Set `number` (0, 1, ... are parallel: none shares a word with another) of words that meet each choice three times at least.
///
/// Chosen step by step: always the word that meets the most choices still wanted, the commoner of two. It holds 25 to 40 words, the
/// easiest first.
pub fn set(words: &CourseWords, number: usize) -> Vec<&CourseWord> {
    let mut used: HashSet<&str> = HashSet::new();
    let mut chosen = Vec::new();
    for _ in 0..=number {
        chosen = cover(words, &used);
        used.extend(chosen.iter().map(|e| e.word.as_str()));
    }
    chosen.sort_by_key(|e| hardest(e));
    chosen
}

/// One set from the words that are not `used`.
fn cover<'w>(words: &'w CourseWords, used: &HashSet<&str>) -> Vec<&'w CourseWord> {
    let mut wanted = vec![MEETINGS; Choice::ALL.len()];
    let mut chosen: Vec<&CourseWord> = Vec::new();
    while chosen.len() < SIZE.1 {
        let free = |e: &&CourseWord| !used.contains(e.word.as_str()) && chosen.iter().all(|c| c.word != e.word);
        let gain = |e: &CourseWord| -> usize { e.met.iter().filter(|(choice, _)| wanted[choice.index()] > 0).count() };
        // Words come commonest first, so the first of the best is the commonest.
        let free = words.all().iter().filter(free).map(|e| (gain(e), e));
        let best = free.reduce(|best, next| if next.0 > best.0 { next } else { best });
        let Some((_, entry)) = best.filter(|(gained, _)| *gained > 0 || chosen.len() < SIZE.0) else {
            break;
        };
        for (choice, _) in &entry.met {
            wanted[choice.index()] = wanted[choice.index()].saturating_sub(1);
        }
        chosen.push(entry);
    }
    chosen
}

/// The latest choice of a word, then how many it meets: what makes it hard.
fn hardest(entry: &CourseWord) -> (usize, usize) {
    let latest = entry.met.iter().map(|(choice, _)| choice.index()).max();
    (latest.unwrap_or(0), entry.met.len())
}

/// A set being asked, word by word.
#[derive(Clone, Debug)]
pub struct Sitting<'w> {
    left: Vec<&'w CourseWord>,
    tries: Vec<WrittenTry>,
}

impl<'w> Sitting<'w> {
    /// Begins with the words of a set.
    pub fn new(set: Vec<&'w CourseWord>) -> Sitting<'w> {
        Sitting {
            left: set,
            tries: Vec::new(),
        }
    }

    /// The next word to ask: the easiest that still tells something. `None` when all is settled.
    ///
    /// A choice is settled when it was met in three words, or when what comes before it failed in every word of three: a child who
    /// keeps no short vowel is not asked for -tion.
    pub fn next_word(&self) -> Option<&'w CourseWord> {
        let standing = standing(&self.tries);
        let far = out_of_reach(&standing);
        let settled = |choice: Choice| standing[choice.index()].met >= MEETINGS;
        let tells = |e: &&&CourseWord| e.met.iter().any(|(choice, _)| !settled(*choice));
        let within = |e: &&&CourseWord| e.met.iter().all(|(choice, _)| !far[choice.index()]);
        self.left.iter().filter(within).find(tells).copied()
    }

    /// Takes what was written for a word.
    pub fn take(&mut self, tried: WrittenTry) {
        self.left.retain(|e| e.word != tried.word);
        self.tries.push(tried);
    }

    /// Lets a word go that nothing was written for, or that the child was helped with: it says nothing and is not asked again.
    pub fn leave(&mut self, word: &str) {
        self.left.retain(|e| e.word != word);
    }

    /// About how many words are to come: the mean over two dozen ways in which it may go on. In each, a choice is kept as often as it
    /// was so far, with one word kept and one not thought to it (the rule of succession, Laplace 1774). The same tries give the same.
    pub fn about_left(&self) -> usize {
        let words: usize = (0..AHEAD).map(|way| self.ahead(way)).sum();
        (words as f64 / AHEAD as f64).round() as usize
    }

    /// How many words come in one way of going on.
    fn ahead(&self, way: u64) -> usize {
        let mut ahead = self.clone();
        let mut dice = way << 32;
        while let Some(entry) = ahead.next_word() {
            let standing = standing(&ahead.tries);
            let mut kept = |choice: Choice| {
                let at = standing[choice.index()];
                dice += 1;
                // 53 bits are what a float holds.
                let roll = (mix(dice) >> 11) as f64 / (1_u64 << 53) as f64;
                roll < (at.kept + 1) as f64 / (at.met + 2) as f64
            };
            let kept = entry.met.iter().map(|(choice, _)| (*choice, kept(*choice))).collect();
            ahead.take(WrittenTry {
                day: 0,
                word: entry.word.clone(),
                kept,
            });
        }
        ahead.tries.len() - self.tries.len()
    }

    /// What was written so far.
    pub fn tries(&self) -> &[WrittenTry] {
        &self.tries
    }
}

/// For each choice, whether something that comes before it was met in three words and kept in none.
fn out_of_reach(standing: &[Standing]) -> Vec<bool> {
    let mut far = vec![false; Choice::ALL.len()];
    // Each choice stands behind those it builds on, so one pass is enough.
    for choice in Choice::ALL {
        let failed = |before: &Choice| {
            let at = standing[before.index()];
            far[before.index()] || (at.met >= MEETINGS && at.kept == 0)
        };
        far[choice.index()] = choice.before().iter().any(failed);
    }
    far
}
