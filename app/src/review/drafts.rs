//! Half-written texts on their way into the notebook, each under the name of what it is on.

use std::collections::HashMap;

use crate::drill::Saving;
use crate::notebook::{Desk, Id};

/// What is typed and not finished: kept as it is typed, and tried again where it could not be kept.
#[derive(Default)]
pub struct DraftKeeper {
    texts: HashMap<(Id, String), Saving<String>>,
}

impl DraftKeeper {
    /// Wants this text kept for a learner under this name; an empty one is forgotten.
    pub fn want(&mut self, learner: Id, key: &str, text: String) {
        self.texts.entry((learner, key.to_owned())).or_default().want(text);
    }

    /// What is wanted under a name, if anything was since it was last known to be kept.
    pub fn wanted(&self, learner: Id, key: &str) -> Option<&str> {
        let text = self.texts.get(&(learner, key.to_owned()))?.wanted()?;
        Some(text)
    }

    /// Sends what is to be sent, and takes in what came of it.
    pub fn poll(&mut self, notebook: &Desk) {
        for ((learner, key), text) in &mut self.texts {
            let (learner, key) = (*learner, key.clone());
            text.poll(|text| {
                notebook.ask(move |n| match n.learner(learner)? {
                    Some(_) => n.keep_draft(Some(learner), &key, &text),
                    // Who was erased meanwhile has no drafts.
                    None => Ok(()),
                })
            });
        }
        self.texts.retain(|_, text| !text.settled());
    }

    /// Tries again at the next poll.
    pub fn again(&mut self) {
        self.texts.values_mut().for_each(Saving::again);
    }

    /// Why a text could not be kept, while that stands.
    pub fn fault(&self) -> Option<&str> {
        self.texts.values().find_map(Saving::fault)
    }

    /// Whether all is known to be kept.
    pub fn settled(&self) -> bool {
        self.texts.is_empty()
    }
}
