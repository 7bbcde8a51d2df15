//! What a lesson and a review work with: the microphone, the loudspeaker, the notebook, the folder, and who learns.
//!
//! The window owns these and lends them for one call, so that a lesson runs the same with files in place of devices.

use std::path::Path;

use soundbead_data::Rules;

use crate::later::{Hears, Wake};
use crate::mic::Microphone;
use crate::notebook::{Author, Desk, Id, Learner};
use crate::playback::Playback;

/// The learner in hand.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LearnerInHand {
    /// The learner's name in the notebook.
    pub id: Id,
    /// The name that the family uses.
    pub name: String,
    /// The counting rules that the learner is taught, as they were when the learner was taken in hand or changed here.
    pub rules: Rules,
}

impl From<Learner> for LearnerInHand {
    fn from(learner: Learner) -> LearnerInHand {
        LearnerInHand {
            id: learner.id,
            name: learner.name,
            rules: learner.rules,
        }
    }
}

/// What is lent for one call.
pub struct Equipment<'a> {
    /// The folder in which everything is kept.
    pub folder: &'a Path,
    /// The notebook, on a thread of its own.
    pub notebook: &'a Desk,
    /// What is recorded from.
    pub mic: &'a mut Box<dyn Microphone>,
    /// The device of it that was chosen; none for the system's choice.
    pub device: &'a mut Option<String>,
    /// What sounds are played on.
    pub playback: &'a mut Playback,
    /// Who learns, if somebody was picked.
    pub learner: &'a mut Option<LearnerInHand>,
    /// Who sits at the window.
    pub author: &'a mut Author,
    /// The counting rules of the settings; see [`Equipment::rules_in_hand`].
    pub rules: &'a Rules,
    /// Calls for the next poll.
    pub wake: &'a Wake,
}

impl Equipment<'_> {
    /// The counting rules in force: those of the learner in hand, or the settings' where nobody is.
    pub fn rules_in_hand(&self) -> &Rules {
        self.learner.as_ref().map_or(self.rules, |l| &l.rules)
    }
}

/// A line for people that comes up for a while.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum News {
    /// Something was done.
    Said(String),
    /// Something failed: what, and what to do.
    Failed(String),
}

impl Hears for Vec<News> {
    fn failed(&mut self, line: String) {
        self.push(News::Failed(line));
    }
}
