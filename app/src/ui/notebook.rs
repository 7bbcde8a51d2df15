//! The Notebook view: what was done, and the consultant's review.

use super::icons::Icon;
use super::parts;
use super::shared::Shared;

/// What was done.
#[derive(Default)]
pub struct NotebookView {}

impl NotebookView {
    /// Shows it.
    pub fn show(&mut self, ui: &mut egui::Ui, _shared: &mut Shared) {
        parts::empty(
            ui,
            Icon::Notebook,
            "Nothing in the notebook",
            "Lessons are kept here for the learner in hand.",
        );
    }
}
