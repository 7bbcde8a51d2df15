//! The Plan view: the words of a lesson.

use super::icons::Icon;
use super::parts;
use super::shared::Shared;

/// The words of a lesson.
#[derive(Default)]
pub struct PlanView {}

impl PlanView {
    /// Shows it.
    pub fn show(&mut self, ui: &mut egui::Ui, _shared: &mut Shared) {
        parts::empty(
            ui,
            Icon::Plan,
            "No plan yet",
            "A plan is a chain of words, each one sound from the last.",
        );
    }
}
