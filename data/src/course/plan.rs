//! What comes again, what is secure, and what a week holds.

use std::collections::{BTreeMap, BTreeSet};

use super::words::{CourseWord, CourseWords};
use super::{Choice, WrittenTry, standing, varied};

/// Days until a word comes again, by how often in a row it was right on different days. Growing gaps keep more than equal ones for
/// the same number of lessons (Cepeda et al. 2006, Psychological Bulletin 132, 354-380, from memory). That they double is ours: in the
/// simulation of the tests, gaps that grow faster lose words, for what is remembered hardly more than doubles either.
const GAPS: [i64; 7] = [1, 2, 4, 8, 16, 32, 64];
/// A choice is secure when so many words that had never been written before were right, ...
const SECURE_WORDS: usize = 3;
/// ... on so many different days, with none wrong since.
const SECURE_DAYS: usize = 2;
/// New words of a week, words that come again at most, and words of the dictation.
const NEW_WORDS: usize = 6;
const MOST_REVIEW: usize = 12;
const DICTATION: usize = 8;

/// What the program proposes for a week. The parent may overrule all of it.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Proposal {
    /// Words that are due again, the longest overdue first.
    pub review: Vec<String>,
    /// The new choice; `None` where everything is secure or taught.
    pub new: Option<Choice>,
    /// Words that show it, and meet no choice that was not taught; see [`CourseWord::shows`] and [`CourseWord::fits`].
    pub words: Vec<String>,
    /// The word that a chain may begin with: the shortest of the new words.
    pub chain_from: Option<String>,
    /// The word sort that goes with the choice, by its name in [`crate::sort`].
    pub sort: Option<&'static str>,
    /// Words of a short dictation: what is new and what was taught, nothing else.
    pub dictation: Vec<String>,
}

/// Words that are due on `today`, the longest overdue first: every word that was ever wrong, from a gap after its last try on that
/// grows with each day on which it was right.
pub fn due(tries: &[WrittenTry], today: i64) -> Vec<String> {
    let mut words: BTreeMap<&str, Vec<(i64, bool)>> = BTreeMap::new();
    for tried in tries {
        words.entry(&tried.word).or_default().push((tried.day, tried.right()));
    }
    let mut due: Vec<(i64, &str)> = words
        .into_iter()
        .filter_map(|(word, mut days)| {
            days.sort_unstable();
            let late = today - next_day(&days)?;
            (late >= 0).then_some((-late, word))
        })
        .collect();
    due.sort_unstable();
    due.into_iter().map(|(_, word)| word.to_owned()).collect()
}

/// The day on which a word comes again; `None` for one that was never wrong, or has been right through all gaps.
fn next_day(days: &[(i64, bool)]) -> Option<i64> {
    let wrong = days.iter().rposition(|(_, right)| !right)?;
    let mut right: Vec<i64> = days[wrong..]
        .iter()
        .filter(|(_, right)| *right)
        .map(|(day, _)| *day)
        .collect();
    right.dedup();
    let last = days.last()?.0;
    GAPS.get(right.len()).map(|gap| last + gap)
}

/// Whether the child has the choice for good: unseen words right on different days, and none wrong since.
pub fn secure(tries: &[WrittenTry], choice: Choice) -> bool {
    let mut seen: BTreeSet<&str> = BTreeSet::new();
    let mut unseen: Vec<(i64, bool)> = Vec::new();
    let mut sorted: Vec<&WrittenTry> = tries.iter().collect();
    sorted.sort_by_key(|t| t.day);
    for tried in sorted {
        let fresh = seen.insert(&tried.word);
        let kept = tried.kept.iter().find(|(met, _)| *met == choice).map(|(_, kept)| *kept);
        match kept {
            Some(true) if fresh => unseen.push((tried.day, true)),
            Some(false) => unseen.clear(),
            _ => {}
        }
    }
    let days: BTreeSet<i64> = unseen.iter().map(|(day, _)| *day).collect();
    unseen.len() >= SECURE_WORDS && days.len() >= SECURE_DAYS
}

/// What a parent says of choices, whatever the writing shows.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct NamedChoices {
    /// These were taught.
    pub taught: BTreeSet<Choice>,
    /// These were not, though the child may write them right; a choice that is in both was not.
    pub not_taught: BTreeSet<Choice>,
}

impl From<BTreeSet<Choice>> for NamedChoices {
    /// Choices that were taught.
    fn from(taught: BTreeSet<Choice>) -> NamedChoices {
        NamedChoices {
            taught,
            not_taught: BTreeSet::new(),
        }
    }
}

/// The choices that count as taught: those that were named, those that are secure, and those that were kept in two of three words
/// met, by the latest try at each; less those that were named as not taught.
pub fn taught(tries: &[WrittenTry], named: &NamedChoices) -> BTreeSet<Choice> {
    let known = standing(tries).into_iter().filter(|at| {
        let mostly = at.met >= SECURE_WORDS && 3 * at.kept >= 2 * at.met;
        mostly || secure(tries, at.choice)
    });
    let all = known.map(|at| at.choice).chain(named.taught.iter().copied());
    all.filter(|choice| !named.not_taught.contains(choice)).collect()
}

/// The proposal for the week of `today`.
///
/// What the parent named stands above the evidence, both ways. The new choice is one whose
/// forerunners are all taught; of several, first those that were seen to be missed, then the one with the most errors weighted by how
/// common its words are.
pub fn propose(words: &CourseWords, tries: &[WrittenTry], named: &NamedChoices, today: i64) -> Proposal {
    let taught = taught(tries, named);
    let new = next_choice(words, tries, &taught);
    week(words, tries, (taught, new), today)
}

/// The week with this new choice, after those that were taught.
pub(super) fn week(
    words: &CourseWords,
    tries: &[WrittenTry],
    (taught, new): (BTreeSet<Choice>, Option<Choice>),
    today: i64,
) -> Proposal {
    let mut allowed = taught;
    allowed.extend(new);
    let fits = |e: &&CourseWord| e.fits(&allowed);
    let tried: BTreeSet<&str> = tries.iter().map(|t| t.word.as_str()).collect();
    let fresh = |e: &&CourseWord| !tried.contains(e.word.as_str());
    let pick = |holds: &dyn Fn(&&CourseWord) -> bool, most: usize| -> Vec<String> {
        let picked = words.all().iter().filter(fits).filter(fresh).filter(|e| holds(e));
        picked.take(most).map(|e| e.word.clone()).collect()
    };
    let shown = |new: Choice| {
        let shown = words.all().iter().filter(fits).filter(fresh).filter(|e| e.shows(new));
        varied(new, shown).into_iter().take(NEW_WORDS).map(|e| e.word.clone())
    };
    let new_words: Vec<String> = new.into_iter().flat_map(shown).collect();
    let known = pick(
        &|e| e.is_plain() && new.is_none_or(|new| !e.meets(new)),
        DICTATION - DICTATION / 2,
    );
    let half = new_words.iter().rev().take(DICTATION / 2).cloned();
    // A due word that meets what was not taught (it came up in a set) waits until that is taught.
    let review: Vec<String> = due(tries, today)
        .into_iter()
        .filter(|w| CourseWords::known(w).is_none_or(|e| e.met.iter().all(|(choice, _)| allowed.contains(choice))))
        .collect();
    Proposal {
        review: review.into_iter().take(MOST_REVIEW).collect(),
        chain_from: new_words.iter().min_by_key(|w| (w.len(), (*w).clone())).cloned(),
        sort: new.and_then(sort_for),
        dictation: half.chain(known).collect(),
        words: new_words,
        new,
    }
}

/// The choice to teach next.
fn next_choice(words: &CourseWords, tries: &[WrittenTry], taught: &BTreeSet<Choice>) -> Option<Choice> {
    let standing = standing(tries);
    let open = Choice::ALL
        .iter()
        .copied()
        .filter(|c| !taught.contains(c) && c.before().iter().all(|b| taught.contains(b)));
    let weight = |choice: Choice| {
        let at = standing[choice.index()];
        // Half an error is assumed before anything was seen, so that an unseen choice is neither certain nor forgotten.
        let errors = (at.met - at.kept) as f64 + 0.5;
        let rate = errors / (at.met as f64 + 1.0);
        let uses: f64 = words
            .all()
            .iter()
            .filter(|e| e.meets(choice))
            .map(|e| 10_f64.powf(f64::from(e.zipf)))
            .sum();
        rate * uses
    };
    // One for which there are words already comes before one that has to wait for longer words: prefixes, y to i.
    let (ready, waiting): (Vec<Choice>, Vec<Choice>) = open.partition(|choice| {
        let mut allowed = taught.clone();
        allowed.insert(*choice);
        let shown = words.all().iter().filter(|e| e.shows(*choice) && e.fits(&allowed));
        shown.take(SECURE_WORDS).count() == SECURE_WORDS
    });
    let open = if ready.is_empty() { waiting } else { ready };
    // What was seen to be missed comes before what was never looked at, however common the words of that are.
    let seen = |choice: &Choice| standing[choice.index()].met >= SECURE_WORDS;
    let (shown, unseen): (Vec<Choice>, Vec<Choice>) = open.into_iter().partition(seen);
    let open = if shown.is_empty() { unseen } else { shown };
    // The earlier of two equal ones, so that the same notebook gives the same proposal.
    open.into_iter()
        .fold(None, |best: Option<(f64, Choice)>, choice| match best {
            Some((most, _)) if weight(choice) <= most => best,
            _ => Some((weight(choice), choice)),
        })
        .map(|(_, choice)| choice)
}

/// The word sort that shows what decides a choice, where the program has one.
fn sort_for(choice: Choice) -> Option<&'static str> {
    let name = match choice {
        Choice::KSpelling => "k",
        Choice::ChSpelling => "ch",
        Choice::JSpelling => "j",
        Choice::EdEnding => "ed",
        Choice::Doubling => "doubling",
        Choice::DoubledEnd => "double",
        Choice::InnerDouble => "rabbit",
        Choice::SilentE | Choice::VowelTeam => "long-a",
        Choice::RVowel => "r-vowels",
        _ => return None,
    };
    crate::sort::find(name).map(|_| name)
}
