//! The Notebook view: who learns, what was done, and the review of it.
//!
//! Nothing here opens a file: what is shown was asked of the notebook's own thread, and what people do is given to it as
//! errands.

mod attempt;
mod compare;
mod diagnosis;
mod hand;
mod intent;
mod keys;
mod note;
mod notes;
mod opened;
mod people;
mod progress;
mod review;
mod timeline;
mod told;
mod wave;
mod writing;

use egui::Ui;

use super::icons::Icon;
use super::parts;
use super::shared::Shared;
use crate::notebook::Id;

/// A part of the view.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
enum Tab {
    /// Attempts, one after another.
    #[default]
    Attempts,
    /// What they add up to.
    Progress,
    /// What was written.
    Writing,
    /// Articulation notes.
    Notes,
    /// Report, hand-over, files for other programs.
    Share,
}

const TABS: [(Tab, &str); 5] = [
    (Tab::Attempts, "Attempts"),
    (Tab::Progress, "Progress"),
    (Tab::Writing, "Writing"),
    (Tab::Notes, "Notes"),
    (Tab::Share, "Report and hand-over"),
];

/// The notebook as it is looked at.
#[derive(Default)]
pub struct NotebookView {
    people: people::People,
    tab: Tab,
    /// Whose parts are below.
    who: Option<Id>,
    review: review::Review,
    progress: progress::ProgressPart,
    writing: writing::WritingPart,
    notes: notes::NotesPart,
    hand: hand::HandoverPart,
}

impl NotebookView {
    /// The attempt that is shown in the review, if one is.
    pub fn reviewed(&self) -> Option<Id> {
        self.review.shown()
    }

    /// Asks for everything anew when it is next shown: a lesson may have added to it.
    pub fn renew(&mut self) {
        self.progress = progress::ProgressPart::default();
        self.notes.stale();
        self.writing.stale();
        self.review.stale();
    }

    /// Shows it.
    pub fn show(&mut self, ui: &mut Ui, shared: &mut Shared) {
        self.people.show(ui, shared);
        self.hand.work(shared, &mut self.people);
        let Some(learner) = shared.learner.clone() else {
            let (title, text) = self.people.nobody();
            parts::empty(ui, Icon::Notebook, title, text);
            self.hand.bring_in(ui, shared);
            return;
        };
        if self.who != Some(learner.id) {
            self.who = Some(learner.id);
            self.review = review::Review::default();
            self.progress = progress::ProgressPart::default();
            self.notes = notes::NotesPart::default();
            self.writing = writing::WritingPart::default();
        }
        ui.add_space(4.0);
        if parts::choice(ui, "Part", &mut self.tab, &TABS) {
            // What was changed in another part is asked for anew.
            self.renew();
        }
        ui.add_space(6.0);
        match self.tab {
            Tab::Attempts => self.review.show(ui, shared, learner.id),
            Tab::Progress => self.progress.show(ui, shared, learner.id),
            Tab::Writing => self.writing.show(ui, shared, learner.id),
            Tab::Notes => self.notes.show(ui, shared, learner.id),
            Tab::Share => self.hand.show(ui, shared, &learner),
        }
    }
}
