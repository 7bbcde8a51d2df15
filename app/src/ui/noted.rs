//! What a note says, wherever it is read: in the review, among the notes, on a sound's card.

use egui::{RichText, Ui};

use super::theme::palette;
use crate::notebook::NoteBody;
use crate::wording;

/// What a note says, what was answered, and what settled it.
pub fn body(ui: &mut Ui, body: &NoteBody) {
    let line = body.in_a_line();
    if !line.is_empty() {
        ui.label(RichText::new(line).italics());
    }
    if !body.text.is_empty() {
        ui.label(&body.text);
    }
    for answer in &body.answers {
        let day = wording::short_day(answer.at.day());
        ui.label(format!("{}, {day}: {}", answer.by, answer.text));
    }
    if let Some(settled) = &body.settled {
        let line = format!(
            "Settled on {} by the {}: {}",
            wording::short_day(settled.at.day()),
            settled.by,
            settled.evidence
        );
        ui.label(RichText::new(line).color(palette(ui).good));
    }
}
