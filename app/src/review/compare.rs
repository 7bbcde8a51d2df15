//! The same word at two times, side by side.

use super::opened::{self, OpenedAttempt};
use crate::equipment::{Equipment, News};
use crate::later::Latest;
use crate::notebook::{Attempt, Filter, Id, ListRange, NotebookError};

/// Most attempts of the word that can be gone through.
const MOST: u64 = 500;

/// One of the two.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ComparedTime {
    /// The one shown first.
    Then,
    /// The one shown below it.
    Later,
}

/// One side.
#[derive(Default)]
pub struct ComparedSide {
    /// Which of the word's attempts, the earliest first.
    at: usize,
    wanted: Option<Id>,
    opened: Latest<OpenedAttempt, NotebookError>,
}

/// Two attempts at one word.
pub struct ComparedWord {
    word: String,
    all: Latest<Vec<Attempt>, NotebookError>,
    sides: [ComparedSide; 2],
}

impl ComparedSide {
    /// The number of the attempt shown, the earliest being 0.
    pub fn at(&self) -> usize {
        self.at
    }

    /// The attempt, once it is here.
    pub fn opened(&self) -> Option<&OpenedAttempt> {
        self.opened.value.as_ref()
    }
}

impl ComparedWord {
    /// The first and the last attempt at this word.
    pub fn new(word: &str) -> ComparedWord {
        ComparedWord {
            word: word.to_owned(),
            all: Latest::default(),
            sides: Default::default(),
        }
    }

    /// The word.
    pub fn word(&self) -> &str {
        &self.word
    }

    /// How often it was said; none while that is not known.
    pub fn times(&self) -> Option<usize> {
        self.all.value.as_ref().map(Vec::len)
    }

    /// One side.
    pub fn side(&self, time: ComparedTime) -> &ComparedSide {
        &self.sides[time as usize]
    }

    /// Shows another attempt on one side: so many later, or earlier where that is below 0.
    pub fn step(&mut self, time: ComparedTime, by: i64) {
        let last = self.times().unwrap_or(0).saturating_sub(1);
        let side = &mut self.sides[time as usize];
        side.at = side
            .at
            .saturating_add_signed(isize::try_from(by).unwrap_or(0))
            .min(last);
    }

    /// Asks for what is missing, and takes in what came.
    pub fn poll(&mut self, at: &Equipment, learner: Id, news: &mut Vec<News>) {
        if self.all.untouched() {
            let filter = Filter {
                word: Some(self.word.clone()),
                ..Filter::default()
            };
            let page = ListRange { skip: 0, take: MOST };
            self.all.ask(at.notebook.ask(move |n| {
                let mut all = n.attempts(learner, &filter, page)?;
                all.reverse();
                Ok(all)
            }));
        }
        if self.all.take(news) {
            self.sides[1].at = self.times().unwrap_or(0).saturating_sub(1);
        }
        let Some(all) = &self.all.value else { return };
        for side in &mut self.sides {
            let id = all.get(side.at).map(|a| a.id);
            if let Some(id) = id.filter(|_| id != side.wanted) {
                side.wanted = Some(id);
                side.opened.ask(at.notebook.ask(move |n| opened::fetch(n, learner, id)));
            }
            side.opened.take(news);
        }
    }
}
