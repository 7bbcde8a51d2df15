//! The Sounds view: how each sound is made, for the parent who models it.

use super::icons::Icon;
use super::parts;
use super::shared::Shared;

/// Charts of the sounds and a card for each.
#[derive(Default)]
pub struct SoundsView {}

impl SoundsView {
    /// Shows it.
    pub fn show(&mut self, ui: &mut egui::Ui, _shared: &mut Shared) {
        parts::empty(ui, Icon::Sounds, "Sounds", "The sounds of American English.");
    }
}
