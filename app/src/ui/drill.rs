//! The Drill view: the lesson itself.

use super::icons::Icon;
use super::parts;
use super::shared::Shared;

/// The lesson.
#[derive(Default)]
pub struct DrillView {}

impl DrillView {
    /// Shows it.
    pub fn show(&mut self, ui: &mut egui::Ui, _shared: &mut Shared) {
        parts::empty(
            ui,
            Icon::Drill,
            "No lesson yet",
            "A lesson needs a plan: pick its words first.",
        );
    }
}
