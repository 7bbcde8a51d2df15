//! Where a writer stands and what comes next, from days of writing typed in from paper.

use std::collections::BTreeSet;

use serde::Serialize;
use soundbead_data::course::{self, Choice, CourseWords, NamedChoices, Proposal, WrittenTry};
use soundbead_data::word::{self, Overrides};
use soundbead_data::writing;

use crate::target::doubt;

/// Days of writing, the oldest first, and what the parent says was taught.
#[derive(Clone, Debug, Default)]
pub struct CourseRequest {
    /// One text a day, as [`writing::passage`] reads it.
    pub days: Vec<String>,
    /// Choices that count as taught, whatever the writing shows.
    pub taught: BTreeSet<Choice>,
}

/// The answer.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct CourseAnswer {
    /// How many words of the course were read.
    pub words: usize,
    /// What was written and could not be used: a word that is not one, without what was meant.
    pub unread: Vec<String>,
    /// The choices that were met, in order.
    pub choices: Vec<ChoiceAnswer>,
    /// Words to write again.
    pub review: Vec<String>,
    /// The choice to teach next.
    pub new: Option<&'static str>,
    /// Words for it.
    pub new_words: Vec<String>,
    /// The word sort that goes with it.
    pub sort: Option<&'static str>,
    /// Words of a dictation.
    pub dictation: Vec<String>,
    /// Choices that the parent says were taught.
    pub taught: Vec<&'static str>,
    /// Choices that the parent says were not.
    pub not_taught: Vec<&'static str>,
    /// How many words are due today, those too that wait for a choice to be taught: as many as the desk and Today name.
    pub due: usize,
    /// Those of them that are not in `review`: what they need was not taught yet, or there are too many for a week.
    pub waiting: Vec<String>,
}

/// One choice that was met.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct ChoiceAnswer {
    /// Its name.
    pub choice: &'static str,
    /// In how many different words it was met.
    pub met: usize,
    /// In how many of them it was kept the last time that they were written.
    pub kept: usize,
    /// In how many of them it was kept the first time.
    pub kept_first: usize,
    /// Ends of the 95 % interval of the share kept, 0 to 1.
    pub low: f64,
    /// See `low`.
    pub high: f64,
    /// Whether unseen words were right on different days, and none wrong since.
    pub secure: bool,
}

impl CourseRequest {
    /// Reads the days; each counts as one day after the one before, and the proposal is for the day after the last.
    pub fn answer(&self, overrides: &Overrides) -> CourseAnswer {
        let (mut tries, mut unread) = (Vec::new(), Vec::new());
        for (day, text) in self.days.iter().enumerate() {
            for pair in writing::passage(text) {
                let found = word::find(&pair.word, overrides).ok();
                // What is in no dictionary was meant for something else, and nobody said for what.
                let known = found.filter(|word| doubt(word).is_none());
                match known.and_then(|word| writing::read(&word, &pair.wrote).ok()) {
                    Some(reading) => tries.extend(WrittenTry::of(day as i64, &reading)),
                    None => unread.push(pair.wrote),
                }
            }
        }
        let today = self.days.len() as i64;
        CourseAnswer::of(&tries, unread, &self.taught.clone().into(), today)
    }
}

impl CourseAnswer {
    /// Where the writer of these first tries stands, and the proposal for the week of `today`.
    pub fn of(tries: &[WrittenTry], unread: Vec<String>, named: &NamedChoices, today: i64) -> CourseAnswer {
        let proposal = course::propose(CourseWords::builtin(), tries, named, today);
        let due = course::due(tries, today);
        let names = |choices: &BTreeSet<Choice>| choices.iter().map(|choice| choice.name()).collect();
        CourseAnswer {
            taught: names(&named.taught),
            not_taught: names(&named.not_taught),
            due: due.len(),
            waiting: due.into_iter().filter(|word| !proposal.review.contains(word)).collect(),
            ..CourseAnswer::new(tries, unread, proposal)
        }
    }

    fn new(tries: &[WrittenTry], unread: Vec<String>, proposal: Proposal) -> CourseAnswer {
        let met = course::standing(tries).into_iter().filter_map(|at| {
            let share = at.share?;
            Some(ChoiceAnswer {
                choice: at.choice.name(),
                met: at.met,
                kept: at.kept,
                kept_first: at.kept_first,
                low: share.low,
                high: share.high,
                secure: course::secure(tries, at.choice),
            })
        });
        CourseAnswer {
            words: tries.len(),
            unread,
            choices: met.collect(),
            review: proposal.review,
            new: proposal.new.map(Choice::name),
            new_words: proposal.words,
            sort: proposal.sort,
            dictation: proposal.dictation,
            taught: Vec::new(),
            not_taught: Vec::new(),
            due: 0,
            waiting: Vec::new(),
        }
    }
}
