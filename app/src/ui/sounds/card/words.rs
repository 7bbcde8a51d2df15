//! Key words, each with the letters that spell the sound marked.

use egui::text::{LayoutJob, TextFormat};
use egui::{Stroke, Ui};
use soundbead_data::inventory::SoundEntry;

use crate::keyed::letters_of;
use crate::ui::parts;
use crate::ui::theme::{self, palette};

/// The words by the place of the sound in them.
pub fn show(ui: &mut Ui, entry: &SoundEntry) {
    let places = [
        ("starts", &entry.words.initial),
        ("inside", &entry.words.medial),
        ("ends", &entry.words.final_),
    ];
    ui.horizontal(|ui| {
        ui.spacing_mut().item_spacing.x = 22.0;
        for (place, word) in places {
            let Some(word) = word else { continue };
            ui.vertical(|ui| {
                ui.spacing_mut().item_spacing.y = 0.0;
                parts::note(ui, place);
                ui.label(marked(ui, entry, word));
            });
        }
    });
}

/// The word with the sound's letters bold and underlined.
fn marked(ui: &Ui, entry: &SoundEntry, word: &str) -> LayoutJob {
    let p = palette(ui);
    let on = TextFormat {
        font_id: theme::bold_font(20.0),
        color: p.lead,
        underline: Stroke::new(2.0, p.lead),
        ..TextFormat::default()
    };
    let off = TextFormat::simple(theme::font(20.0), p.ink);
    let marks = letters_of(entry, word);
    let mut job = LayoutJob::default();
    for (i, c) in word.char_indices() {
        let format = if marks.get(i) == Some(&true) { &on } else { &off };
        job.append(c.encode_utf8(&mut [0; 4]), 0.0, format.clone());
    }
    job
}
