//! How much room there is, and the word in large letters: what every step of the lesson shares.

use egui::{RichText, Role, Ui};

use crate::ui::theme;

/// In a view narrower than this, in points, the caution has no room at the foot and stands on the page.
pub const CRAMPED: f32 = 620.0;

/// Heights between which things grow, in points, and how much larger they are at the most.
const GROWS: std::ops::RangeInclusive<f32> = 660.0..=920.0;
const MOST_GROWN: f32 = 1.5;

/// The widest that a step of the lesson is, in points: across a large screen nothing is found at a glance.
const WIDEST: f32 = 1240.0;

/// How much larger things are than in a window of common height, so that a large screen is not half empty.
pub fn grown(ui: &Ui) -> f32 {
    let high = ui.clip_rect().height();
    let share = (high - GROWS.start()) / (GROWS.end() - GROWS.start());
    1.0 + (MOST_GROWN - 1.0) * share.clamp(0.0, 1.0)
}

/// Room above a step that is `high` points high, so that it stands a little over the middle.
pub fn above(ui: &Ui, high: f32) -> f32 {
    ((in_view(ui) - high * grown(ui)) / 3.0).clamp(0.0, 140.0)
}

/// The same above a step that grows to `most` once its answer is told: that is not to be looked for under the edge.
pub fn above_growing(ui: &Ui, high: f32, most: f32) -> f32 {
    above(ui, high).min((in_view(ui) - most * grown(ui)).max(0.0))
}

/// A step of the lesson, in the middle of a wide window.
pub fn in_the_middle(ui: &mut Ui, add: impl FnOnce(&mut Ui)) {
    let width = ui.available_width().min(WIDEST);
    let side = (ui.available_width() - width) / 2.0;
    if side < 1.0 {
        return add(ui);
    }
    ui.horizontal(|ui| {
        ui.add_space(side);
        ui.vertical(|ui| {
            ui.set_width(width);
            add(ui);
        });
    });
}

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
    theme::bold_font(if low(ui) { 20.0 } else { 26.0 * grown(ui).min(1.25) })
}

/// The widest bead of a string that stands with other things.
pub fn bead(ui: &Ui) -> f32 {
    if low(ui) { 46.0 } else { 72.0 * grown(ui) }
}

/// A word in large letters.
pub fn spelling(ui: &mut Ui, word: &str, size: f32) {
    let response = ui.label(RichText::new(word).font(theme::bold_font(size)));
    ui.ctx().accesskit_node_builder(response.id, |node| {
        node.set_role(Role::Heading);
        node.set_label(format!("The word: {word}"));
    });
}
