//! Rulings on their way into the notebook: shown at once, kept and tried again until the notebook has them.

use std::collections::HashMap;

use crate::drill::Saving;
use crate::notebook::{Attempt, Author, Desk, Edits, Id, Ruling};

/// What a person says of an attempt: a ruling, or none where it was taken back.
#[derive(Default)]
pub struct RulingKeeper {
    given: HashMap<(Id, Author), Saving<Option<Ruling>>>,
}

impl RulingKeeper {
    /// Wants this kept.
    pub fn want(&mut self, attempt: Id, by: Author, ruling: Option<Ruling>) {
        self.given.entry((attempt, by)).or_default().want(ruling);
    }

    /// Sends what is to be sent, and takes in what came of it.
    pub fn poll(&mut self, notebook: &Desk) {
        for ((id, by), given) in &mut self.given {
            let (id, by) = (*id, *by);
            given.poll(|ruling| {
                notebook.ask(move |n| {
                    // An attempt that was taken out or erased meanwhile has no rulings.
                    if n.attempt(id)?.is_none() {
                        return Ok(());
                    }
                    match ruling {
                        Some(ruling) => n.rule(id, ruling),
                        None => n.take_back_ruling(id, by),
                    }
                    .map(|_| ())
                })
            });
        }
        self.given.retain(|_, given| !given.settled());
    }

    /// Puts what the notebook may not have yet over an attempt that came from it.
    pub fn lay_over(&self, attempt: &mut Attempt) {
        for by in Author::ALL {
            if let Some(given) = self.given.get(&(attempt.id, *by)).and_then(Saving::wanted) {
                put(&mut attempt.edits, *by, given.as_ref());
            }
        }
    }

    /// Tries again at the next poll.
    pub fn again(&mut self) {
        self.given.values_mut().for_each(Saving::again);
    }

    /// Why a ruling could not be kept, while that stands.
    pub fn fault(&self) -> Option<&str> {
        self.given.values().find_map(Saving::fault)
    }

    /// Whether all is known to be kept.
    pub fn settled(&self) -> bool {
        self.given.is_empty()
    }
}

/// Puts a person's ruling, or none, into what people say of an attempt.
pub fn put(edits: &mut Edits, by: Author, ruling: Option<&Ruling>) {
    match ruling {
        Some(ruling) => edits.rule(ruling.clone()),
        None => edits.take_back_ruling(by),
    }
}
