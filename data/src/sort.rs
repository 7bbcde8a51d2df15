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
mod level;
mod rules;
mod sheet;

use corpus::BoxSpot;
pub use corpus::{Corpus, CorpusWord};
pub use ladder::Ladder;
pub use level::Level;
pub use sheet::{SHEET, sheet};

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
    /// What is sorted.
    source: SortSource,
    /// What is to be expected where; the first that speaks of a place decides there.
    rules: &'static [Rule],
}

/// Looks at a box of a word and gives the heading that it belongs under, if it belongs into the sort.
type Find = fn(&BoxSpot<'_>) -> Option<String>;

/// What a sort is made of.
enum SortSource {
    /// Boxes of words that are no forms of others: *plays* is spelled as *play* is.
    Base(Find),
    /// Boxes of every word: sorts of what endings do.
    Forms(Find),
    /// Groups of words made by hand.
    Sets(fn() -> Vec<Set>),
}

/// Words under one heading, each with whether it keeps the rule of its sort where there is one.
struct Set {
    heading: String,
    words: Vec<(String, Option<bool>)>,
}

/// What is to be expected somewhere.
struct Rule {
    /// Where, in words.
    when: &'static str,
    /// Which column; empty where lessons have no rule.
    then: &'static str,
    applies: fn(&BoxSpot<'_>) -> bool,
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
    /// Which of the word's ways of being said is meant: 0 for the first; see [`Corpus::known`].
    pub way: usize,
    /// How common the word is; see [`crate::lexicon::Entry::zipf`].
    pub zipf: f32,
    /// Syllables of the word.
    pub syllables: usize,
    /// The rule that speaks of this place, by its number in [`Sorted::rules`].
    pub rule: Option<usize>,
}

/// The words of one column, the commonest first.
#[derive(Clone, Debug, PartialEq)]
pub struct Column {
    /// The spelling or sound that they share.
    pub heading: String,
    /// The words.
    pub members: Vec<Member>,
}

/// Share of places from which a rule is taught as one. Below it, more than every fourth word breaks the rule, and a child is
/// better served by the choice of spellings with their shares. Our own judgement.
pub const FIRM: f32 = 0.75;

/// A rule as it was found, or the spellings to choose from where there is none.
#[derive(Clone, Debug, PartialEq)]
pub struct HeldRule {
    /// Where it speaks, in words.
    pub when: &'static str,
    /// The column that it expects; empty where lessons expect none.
    pub then: &'static str,
    /// In how many places it holds.
    pub holds: usize,
    /// In how many it speaks.
    pub of: usize,
    /// Where it speaks and does not hold, each word once, the commonest first; none for a choice, which has no exceptions.
    pub exceptions: Vec<Member>,
    /// The headings found there and in how many places each, the most frequent first.
    pub shares: Vec<(String, usize)>,
}

impl HeldRule {
    /// Share of the places in which it holds, 0 to 1; 0 where it never speaks.
    pub fn share(&self) -> f32 {
        if self.of == 0 {
            0.0
        } else {
            self.holds as f32 / self.of as f32
        }
    }

    /// Whether there is no rule to go by here, only a choice between the spellings of [`HeldRule::shares`].
    pub fn is_choice(&self) -> bool {
        self.then.is_empty() || self.share() < FIRM
    }

    /// The spellings with their shares in percent, such as `ow 60 %, ou 40 %`; those under 3 % as `others`.
    pub fn choices(&self) -> String {
        let percent = |count: usize| (100.0 * count as f32 / self.of.max(1) as f32).round() as usize;
        let (seen, seldom): (Vec<_>, Vec<_>) = self.shares.iter().partition(|(_, count)| percent(*count) >= 3);
        let mut told: Vec<String> = seen
            .iter()
            .map(|(heading, n)| format!("{heading} {} %", percent(*n)))
            .collect();
        let rest: usize = seldom.iter().map(|(_, n)| n).sum();
        if percent(rest) > 0 {
            told.push(format!("others {} %", percent(rest)));
        }
        told.join(", ")
    }
}

/// What is said of a word in a sort.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum SortStatus {
    /// A firm rule foretells its column.
    Keeps,
    /// A firm rule foretells another column: a true exception.
    Breaks,
    /// No firm rule speaks of it.
    Open,
}

/// What a sort found in a word list.
#[derive(Clone, Debug, PartialEq)]
pub struct Sorted {
    /// Its own columns, in order; a column may be empty.
    pub columns: Vec<Column>,
    /// What else there is, the commonest heading first.
    pub others: Vec<Column>,
    /// Its rules and choices, in order.
    pub rules: Vec<HeldRule>,
}

impl Sorted {
    /// How many places were sorted.
    pub fn total(&self) -> usize {
        self.columns.iter().chain(&self.others).map(|c| c.members.len()).sum()
    }

    /// Whether a firm rule foretells the column of this member.
    pub fn status(&self, member: &Member) -> SortStatus {
        match member.rule.and_then(|number| self.rules.get(number)) {
            Some(held) if held.then == KEPT && held.exceptions.iter().all(|m| m.word != member.word) => {
                SortStatus::Keeps
            }
            Some(held) if !held.is_choice() && held.then == member.heading => SortStatus::Keeps,
            Some(held) if !held.is_choice() => SortStatus::Breaks,
            _ => SortStatus::Open,
        }
    }
}

/// Every sort.
pub fn all() -> &'static [Sort] {
    rules::all()
}

/// Groups of words said alike, each word with a cue that tells it from the others, those taught most first.
pub fn said_alike() -> Vec<Vec<(&'static str, &'static str)>> {
    rules::cues()
}

/// The sort of this name.
pub fn find(name: &str) -> Option<&'static Sort> {
    all().iter().find(|sort| sort.name == name)
}

impl Corpus {
    /// Sorts the whole word list. Takes some milliseconds.
    pub fn sort(&self, sort: &Sort) -> Sorted {
        self.sort_at(sort, Level::All)
    }

    /// Sorts the words of a level. Rules are counted on the words of longer books too, since the few words of every day would
    /// make a rule of chance; the exceptions shown are those of the level.
    pub fn sort_at(&self, sort: &Sort, level: Level) -> Sorted {
        let (find, forms) = match sort.source {
            SortSource::Base(find) => (find, false),
            SortSource::Forms(find) => (find, true),
            SortSource::Sets(sets) => return of_sets(sort, sets(), level),
        };
        let mut sorting = Sorting::new(sort);
        let counted = level.max(Level::Bookish);
        let wanted = |known: &&CorpusWord| counted.has(&known.word, known.zipf) && (forms || !known.inflected());
        for known in self.ways().filter(wanted) {
            for at in 0..known.boxes.len() {
                let spot = BoxSpot {
                    corpus: self,
                    known,
                    at,
                };
                if let Some(heading) = find(&spot) {
                    sorting.add(&spot, heading);
                }
            }
        }
        sorting.finish(level)
    }
}

/// A sort under way.
struct Sorting<'s> {
    sort: &'s Sort,
    columns: BTreeMap<String, Vec<Member>>,
    rules: Vec<HeldRule>,
}

impl<'s> Sorting<'s> {
    fn new(sort: &'s Sort) -> Self {
        let held = |rule: &Rule| HeldRule {
            when: rule.when,
            then: rule.then,
            holds: 0,
            of: 0,
            exceptions: Vec::new(),
            shares: Vec::new(),
        };
        Sorting {
            sort,
            columns: BTreeMap::new(),
            rules: sort.rules.iter().map(held).collect(),
        }
    }

    fn add(&mut self, spot: &BoxSpot<'_>, heading: String) {
        // Another way of saying a word adds nothing where these letters do the same in it.
        let first = (spot.known.way > 0)
            .then(|| spot.corpus.word(&spot.known.word))
            .flatten();
        if first.is_some_and(|first| first.does_the_same(spot.known, spot.at)) {
            return;
        }
        let rule = self.sort.rules.iter().position(|rule| (rule.applies)(spot));
        let member = Member {
            rule,
            ..spot.member(heading)
        };
        if let Some(held) = rule.map(|number| &mut self.rules[number]) {
            held.of += 1;
            match held.shares.iter_mut().find(|(heading, _)| *heading == member.heading) {
                Some((_, count)) => *count += 1,
                None => held.shares.push((member.heading.clone(), 1)),
            }
            match member.heading == held.then {
                true => held.holds += 1,
                false => held.exceptions.push(member.clone()),
            }
        }
        self.columns.entry(member.heading.clone()).or_default().push(member);
    }

    fn finish(mut self, level: Level) -> Sorted {
        let shown = |member: &Member| level.has(&member.word, member.zipf);
        self.columns.values_mut().for_each(|members| members.retain(shown));
        self.columns.retain(|_, members| !members.is_empty());
        self.columns.values_mut().for_each(|members| by_use(members));
        for held in &mut self.rules {
            held.shares.sort_by(|a, b| b.1.cmp(&a.1).then(a.0.cmp(&b.0)));
            by_use(&mut held.exceptions);
            held.exceptions.retain(shown);
            held.exceptions.dedup_by(|a, b| a.word == b.word);
            if held.is_choice() {
                held.exceptions.clear();
            }
        }
        let own = self.sort.columns.iter().map(|&heading| Column {
            heading: heading.to_owned(),
            members: self.columns.remove(heading).unwrap_or_default(),
        });
        let own = own.collect();
        let others = self.columns.into_iter();
        let mut others: Vec<Column> = others.map(|(heading, members)| Column { heading, members }).collect();
        others.sort_by_key(|c| std::cmp::Reverse(c.members.len()));
        Sorted {
            columns: own,
            others,
            rules: self.rules,
        }
    }
}

/// A sort whose groups are made by hand.
fn of_sets(sort: &Sort, sets: Vec<Set>, level: Level) -> Sorted {
    let kept = |set: &Set| {
        set.words
            .iter()
            .filter_map(|(_, keeps)| *keeps)
            .filter(|keeps| *keeps)
            .count()
    };
    let mut rules: Vec<HeldRule> = Sorting::new(sort).rules;
    let columns: Vec<Column> = sets.iter().map(|set| of_set(set, level)).collect();
    if let Some(held) = rules.first_mut() {
        held.then = KEPT;
        held.holds = sets.iter().map(kept).sum();
        held.of = sets.iter().map(|set| set.words.len()).sum();
        held.shares = vec![
            (KEPT.to_owned(), held.holds),
            ("changed".to_owned(), held.of - held.holds),
        ];
        let broken = columns
            .iter()
            .flat_map(|c| &c.members)
            .filter(|m| m.rule == Some(0) && is_changed(&sets, &m.word));
        held.exceptions = broken.cloned().collect();
    }
    Sorted {
        columns: columns.into_iter().filter(|c| !c.members.is_empty()).collect(),
        others: Vec::new(),
        rules,
    }
}

/// What the rule of a hand-made sort expects.
const KEPT: &str = "kept";

fn is_changed(sets: &[Set], word: &str) -> bool {
    sets.iter()
        .flat_map(|set| &set.words)
        .any(|(one, keeps)| one == word && *keeps == Some(false))
}

fn of_set(set: &Set, level: Level) -> Column {
    let member = |(word, keeps): &(String, Option<bool>)| {
        let entry = crate::lexicon::look_up(word)?;
        let said = entry.variants().next()?;
        level.has(word, entry.zipf()).then(|| Member {
            word: word.clone(),
            letters: word.clone(),
            sounds: 0..said.sounds().len(),
            heading: set.heading.clone(),
            way: 0,
            zipf: entry.zipf(),
            syllables: said.sounds().iter().filter(|s| s.is_vowel()).count(),
            rule: keeps.map(|_| 0),
        })
    };
    let mut members: Vec<Member> = set.words.iter().filter_map(member).collect();
    // A word said like no other of the level is no pair.
    if members.len() < 2 && set.heading.contains(',') {
        members.clear();
    }
    Column {
        heading: set.heading.clone(),
        members,
    }
}

fn by_use(members: &mut [Member]) {
    members.sort_by(|a, b| b.zipf.total_cmp(&a.zipf).then(a.word.cmp(&b.word)));
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::chain::WordList;

    /// Of the contractions three change their first word: can't (one n for two), won't and shan't (common practice, no source).
    #[test]
    fn of_a_sort_made_by_hand_the_words_that_change_are_its_exceptions() {
        let sorted = Corpus::new(&WordList::default()).sort(find("contractions").unwrap());
        let told: Vec<(&str, SortStatus)> = sorted
            .columns
            .iter()
            .flat_map(|c| &c.members)
            .map(|m| (m.word.as_str(), sorted.status(m)))
            .collect();
        for (word, status) in &told {
            let changed = ["can't", "won't", "shan't"].contains(word);
            let wanted = if changed { SortStatus::Breaks } else { SortStatus::Keeps };
            assert_eq!(*status, wanted, "{word}");
        }
        assert!(
            told.iter().any(|(word, _)| *word == "won't") && told.len() > 20,
            "{told:?}"
        );
        let named: Vec<&str> = sorted.rules[0].exceptions.iter().map(|m| m.word.as_str()).collect();
        assert!(named.contains(&"can't") && named.len() <= 3, "{named:?}");
    }
}
