//! How much room there is, and the word in large letters: what every step of the lesson shares.

use egui::{RichText, Role, Ui};

use crate::ui::theme;

/// In a view narrower than this, in points, the caution has no room at the foot and stands on the page.
pub const CRAMPED: f32 = 620.0;

/// How much height is left of what can be seen.
pub fn in_view(ui: &Ui) -> f32 {
    ui.clip_rect().bottom() - ui.cursor().top()
}

/// Whether there is height for large type.
pub fn tall(ui: &Ui) -> bool {
    ui.clip_rect().height() > 560.0
}

/// Whether there is so little height that everything has to be small: a small window with large text.
pub fn low(ui: &Ui) -> bool {
    ui.clip_rect().height() < 400.0
}

/// The type of the one line that says what the child is to do.
pub fn asking(ui: &Ui) -> egui::FontId {
    theme::bold_font(if low(ui) { 20.0 } else { 26.0 })
}

/// The widest bead of a string that stands with other things.
pub fn bead(ui: &Ui) -> f32 {
    if low(ui) { 46.0 } else { 72.0 }
}

/// A word in large letters.
pub fn spelling(ui: &mut Ui, word: &str, size: f32) {
    let response = ui.label(RichText::new(word).font(theme::bold_font(size)));
    ui.ctx().accesskit_node_builder(response.id, |node| {
        node.set_role(Role::Heading);
        node.set_label(format!("The word: {word}"));
    });
}
