//! Where a writer stands and what comes next, from days of writing typed in from paper.

use std::collections::BTreeSet;

use serde::Serialize;
use soundbead_data::course::{self, Choice, Proposal, Try, Words};
use soundbead_data::word::{self, Overrides};
use soundbead_data::writing;

/// Days of writing, the oldest first, and what the parent says was taught.
#[derive(Clone, Debug, Default)]
pub struct Question {
    /// One text a day, as [`writing::passage`] reads it.
    pub days: Vec<String>,
    /// Choices that count as taught, whatever the writing shows.
    pub taught: BTreeSet<Choice>,
}

/// The answer.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Answer {
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
}

/// One choice that was met.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct ChoiceAnswer {
    /// Its name.
    pub choice: &'static str,
    /// In how many different words it was met, and kept at the first try.
    pub met: usize,
    /// See `met`.
    pub kept: usize,
    /// Ends of the 95 % interval of the share kept, 0 to 1.
    pub low: f64,
    /// See `low`.
    pub high: f64,
    /// Whether unseen words were right on different days, and none wrong since.
    pub secure: bool,
}

impl Question {
    /// Reads the days; each counts as one day after the one before, and the proposal is for the day after the last.
    pub fn answer(&self, overrides: &Overrides) -> Answer {
        let (mut tries, mut unread) = (Vec::new(), Vec::new());
        for (day, text) in self.days.iter().enumerate() {
            for pair in writing::passage(text) {
                let found = word::find(&pair.word, overrides).ok();
                // What is in no dictionary was meant for something else, and nobody said for what.
                let known = found.filter(|word| word.source != word::Source::Guess);
                match known.and_then(|word| writing::read(&word, &pair.wrote).ok()) {
                    Some(reading) => tries.extend(Try::of(day as i64, &reading)),
                    None => unread.push(pair.wrote),
                }
            }
        }
        let today = self.days.len() as i64;
        let named = self.taught.clone().into();
        let proposal = course::propose(Words::builtin(), &tries, &named, today);
        Answer::new(&tries, unread, proposal)
    }
}

impl Answer {
    fn new(tries: &[Try], unread: Vec<String>, proposal: Proposal) -> Answer {
        let met = course::standing(tries).into_iter().filter_map(|at| {
            let share = at.share?;
            Some(ChoiceAnswer {
                choice: at.choice.name(),
                met: at.met,
                kept: at.kept,
                low: share.low,
                high: share.high,
                secure: course::secure(tries, at.choice),
            })
        });
        Answer {
            words: tries.len(),
            unread,
            choices: met.collect(),
            review: proposal.review,
            new: proposal.new.map(Choice::name),
            new_words: proposal.words,
            sort: proposal.sort,
            dictation: proposal.dictation,
        }
    }
}
