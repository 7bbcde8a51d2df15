//! Word sorts by what decides a spelling, each rule weighed on the dictionary.
//!
//! A sort takes every place in the word list where some sound (or letter) stands, and puts it under the spelling (or
//! sound) that it has there. Its rules say what to expect where; how often each holds, and every exception, is counted, not
//! claimed. Which letters spell which sound is as [`crate::spelling::boxes`] divides the word.
//!
//! ```
//! use soundbead_data::chain::WordList;
//! use soundbead_data::sort::{self, Corpus};
//!
//! let corpus = Corpus::new(&WordList::default());
//! let sorted = corpus.sort(sort::find("k").unwrap());
//! let ck = sorted.columns.iter().find(|c| c.heading == "ck").unwrap();
//! assert!(ck.members.iter().any(|m| m.word == "duck"));
//! let rule = sorted.rules.iter().find(|r| r.then == "ck").unwrap();
//! assert!(rule.holds > rule.of * 8 / 10);
//! ```

mod corpus;
mod ladder;
mod rules;

use corpus::Spot;
pub use corpus::{Corpus, Known};
pub use ladder::Ladder;

use std::collections::BTreeMap;
use std::ops::Range;

/// One sort: where it looks, its columns, its rules.
pub struct Sort {
    /// Its name on the command line.
    pub name: &'static str,
    /// What is sorted, for people.
    pub title: &'static str,
    /// The columns, in order; what falls under none is counted apart.
    pub columns: &'static [&'static str],
    /// The boxes of a word that are sorted, each with its column's heading.
    find: fn(&Spot<'_>) -> Option<String>,
    /// What is to be expected where.
    rules: &'static [Rule],
}

/// What is to be expected somewhere.
struct Rule {
    /// Where, in words.
    when: &'static str,
    /// Which column.
    then: &'static str,
    applies: fn(&Spot<'_>) -> bool,
}

/// A place in a word.
#[derive(Clone, Debug, PartialEq)]
pub struct Member {
    /// The word.
    pub word: String,
    /// The letters in question, as boxes hold them (`a_e`).
    pub letters: String,
    /// The sounds that they spell, as a range of the word's sounds.
    pub sounds: Range<usize>,
    /// The column it belongs to.
    pub heading: String,
    /// How common the word is; see [`crate::lexicon::Entry::zipf`].
    pub zipf: f32,
    /// Syllables of the word.
    pub syllables: usize,
}

/// The words of one column, the commonest first.
#[derive(Clone, Debug, PartialEq)]
pub struct Column {
    /// The spelling or sound that they share.
    pub heading: String,
    /// The words.
    pub members: Vec<Member>,
}

/// A rule as it was found.
#[derive(Clone, Debug, PartialEq)]
pub struct Held {
    /// Where it speaks, in words.
    pub when: &'static str,
    /// The column that it expects.
    pub then: &'static str,
    /// In how many places it holds.
    pub holds: usize,
    /// In how many it speaks.
    pub of: usize,
    /// Where it speaks and does not hold, the commonest word first.
    pub exceptions: Vec<Member>,
}

impl Held {
    /// Share of the places in which it holds, 0 to 1; 0 where it never speaks.
    pub fn share(&self) -> f32 {
        if self.of == 0 {
            0.0
        } else {
            self.holds as f32 / self.of as f32
        }
    }
}

/// What a sort found in a word list.
#[derive(Clone, Debug, PartialEq)]
pub struct Sorted {
    /// Its own columns, in order; a column may be empty.
    pub columns: Vec<Column>,
    /// What else there is, the commonest heading first.
    pub others: Vec<Column>,
    /// Its rules, in order.
    pub rules: Vec<Held>,
}

impl Sorted {
    /// How many places were sorted.
    pub fn total(&self) -> usize {
        self.columns.iter().chain(&self.others).map(|c| c.members.len()).sum()
    }
}

/// Every sort.
pub fn all() -> &'static [Sort] {
    rules::ALL
}

/// The sort of this name.
pub fn find(name: &str) -> Option<&'static Sort> {
    all().iter().find(|sort| sort.name == name)
}

impl Corpus {
    /// Sorts the whole word list. Takes some milliseconds.
    pub fn sort(&self, sort: &Sort) -> Sorted {
        let mut columns: BTreeMap<String, Vec<Member>> = BTreeMap::new();
        let held = |rule: &Rule| Held {
            when: rule.when,
            then: rule.then,
            holds: 0,
            of: 0,
            exceptions: Vec::new(),
        };
        let mut rules: Vec<Held> = sort.rules.iter().map(held).collect();
        for known in self.words() {
            for at in 0..known.boxes.len() {
                let spot = Spot {
                    corpus: self,
                    known,
                    at,
                };
                let Some(heading) = (sort.find)(&spot) else { continue };
                let member = spot.member(heading);
                for (rule, held) in sort
                    .rules
                    .iter()
                    .zip(&mut rules)
                    .filter(|(rule, _)| (rule.applies)(&spot))
                {
                    held.of += 1;
                    match member.heading == rule.then {
                        true => held.holds += 1,
                        false => held.exceptions.push(member.clone()),
                    }
                }
                columns.entry(member.heading.clone()).or_default().push(member);
            }
        }
        columns.values_mut().for_each(|members| by_use(members));
        rules.iter_mut().for_each(|held| by_use(&mut held.exceptions));
        let own = sort.columns.iter().map(|&heading| Column {
            heading: heading.to_owned(),
            members: columns.remove(heading).unwrap_or_default(),
        });
        let own = own.collect();
        let others = columns
            .into_iter()
            .map(|(heading, members)| Column { heading, members });
        let mut others: Vec<Column> = others.collect();
        others.sort_by_key(|c| std::cmp::Reverse(c.members.len()));
        Sorted {
            columns: own,
            others,
            rules,
        }
    }
}

fn by_use(members: &mut [Member]) {
    members.sort_by(|a, b| b.zipf.total_cmp(&a.zipf).then(a.word.cmp(&b.word)));
}
