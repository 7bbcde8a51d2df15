//! Telling examples, in the child's own letters.

use egui::{RichText, Ui};

use crate::ask::writing::Example;
use crate::say::many;
use crate::ui::parts;
use crate::ui::theme::{self, palette};

/// Shows them.
pub fn show(ui: &mut Ui, examples: &[Example]) {
    if examples.is_empty() {
        parts::note(ui, "Every first try here is the word, letter by letter.");
        return;
    }
    parts::note(
        ui,
        "The words that show most of how this child spells, each for another reason.",
    );
    for example in examples {
        let soft = palette(ui).soft;
        parts::card(ui, |ui| {
            ui.set_width(ui.available_width());
            ui.spacing_mut().item_spacing.y = 3.0;
            ui.horizontal_wrapped(|ui| {
                ui.label(RichText::new(&example.wrote).font(theme::bold_font(24.0)));
                ui.label(RichText::new(format!("for {}", example.word)).size(19.0));
                let seen = match example.words {
                    1 => String::new(),
                    n => format!(", the same in {}", many(n, "word")),
                };
                ui.label(RichText::new(format!("{}{seen}", day(&example.day))).color(soft));
            });
            ui.label(&example.shows);
        });
    }
}

/// A day as people write it.
fn day(iso: &str) -> String {
    let day = iso.parse::<jiff::civil::Date>();
    day.map_or_else(|_| iso.to_owned(), |day| day.strftime("%-d %b %Y").to_string())
}
