//! The consonants by place and manner, voiceless over voiced.

use egui::{Align2, Rect, Sense, Ui, pos2, vec2};
use soundbead_data::inventory::{self, Consonant, Features, Manner, Place, SoundEntry, Voicing};

use super::tile::{self, TileMark};
use crate::ui::parts;
use crate::ui::theme::{self, palette};

/// Columns from the lips to the throat: the place, in plain words, in the IPA's.
const PLACES: [(Place, [&str; 2], &str); 9] = [
    (Place::Bilabial, ["both", "lips"], "bilabial"),
    (Place::LabialVelar, ["lips and", "soft roof"], "labial-velar"),
    (Place::Labiodental, ["lip and", "teeth"], "labiodental"),
    (Place::Dental, ["tongue", "and teeth"], "dental"),
    (Place::Alveolar, ["tooth", "ridge"], "alveolar"),
    (Place::Postalveolar, ["behind", "the ridge"], "postalveolar"),
    (Place::Palatal, ["hard", "roof"], "palatal"),
    (Place::Velar, ["soft", "roof"], "velar"),
    (Place::Glottal, ["in the", "throat"], "glottal"),
];

/// Rows from shut to open, in plain words and in the IPA's, with the manners of each and how many tiles high it is.
const ROWS: [(&str, &str, &[Manner], usize); 5] = [
    ("stopped", "plosive", &[Manner::Plosive], 2),
    ("stop, then hiss", "affricate", &[Manner::Affricate], 2),
    ("hissed", "fricative", &[Manner::Fricative], 2),
    ("by the nose", "nasal", &[Manner::Nasal], 1),
    (
        "flowing",
        "approximant",
        &[Manner::Approximant, Manner::LateralApproximant],
        1,
    ),
];

const HEAD: f32 = 62.0;
const SIDE: f32 = 104.0;
/// Between rows.
const BETWEEN: f32 = 7.0;

/// Shows the grid; the sound that was picked, if one was.
pub fn show(ui: &mut Ui, picked: &'static SoundEntry) -> Option<&'static SoundEntry> {
    let mut chosen = None;
    parts::card(ui, |ui| {
        let wide = ui.available_width();
        let high = (ui.available_height() - 44.0).clamp(HEAD + 8.0 * 54.0, HEAD + 8.0 * 62.0);
        egui::ScrollArea::both()
            .id_salt("grid")
            .auto_shrink(false)
            .show(ui, |ui| {
                let size = vec2(wide.max(SIDE + 9.0 * 62.0), high);
                let (rect, _) = ui.allocate_exact_size(size, Sense::hover());
                chosen = grid(ui, rect, picked);
                key(ui);
            });
    });
    chosen
}

fn grid(ui: &mut Ui, rect: Rect, picked: &'static SoundEntry) -> Option<&'static SoundEntry> {
    let p = palette(ui);
    let column = (rect.width() - SIDE) / PLACES.len() as f32;
    let row = (rect.height() - HEAD - 5.0 * BETWEEN) / 8.0;
    for (i, (_, [first, second], ipa)) in PLACES.into_iter().enumerate() {
        let x = rect.left() + SIDE + (i as f32 + 0.5) * column;
        let line = |y: f32, text: &str, size: f32, colour| {
            ui.painter().text(
                pos2(x, rect.top() + y),
                Align2::CENTER_CENTER,
                text,
                theme::font(size),
                colour,
            );
        };
        line(9.0, first, 13.0, p.ink);
        line(24.0, second, 13.0, p.ink);
        line(41.0, ipa, 10.0, p.soft);
    }
    let (mut chosen, mut y) = (None, rect.top() + HEAD);
    for (plain, ipa, manners, high) in ROWS {
        let middle = y + row * high as f32 / 2.0;
        ui.painter()
            .hline(rect.x_range(), y - 4.0, egui::Stroke::new(1.0, p.line));
        for (text, dy, size, colour) in [(plain, -8.0, 14.0, p.ink), (ipa, 9.0, 12.0, p.soft)] {
            ui.painter().text(
                pos2(rect.left(), middle + dy),
                Align2::LEFT_CENTER,
                text,
                theme::font(size),
                colour,
            );
        }
        for (entry, c) in consonants().filter(|(_, c)| manners.contains(&c.manner)) {
            let at = PLACES
                .iter()
                .position(|(place, ..)| *place == c.place)
                .expect("every place has a column");
            let voiced = c.voicing == Voicing::Voiced;
            // Voiceless above, voiced below; alone it stands where its voice says.
            let down = if high == 2 && voiced { 1.0 } else { 0.0 };
            let corner = pos2(rect.left() + SIDE + at as f32 * column, y + down * row);
            let tile = Rect::from_min_size(corner, vec2(column, row)).shrink2(vec2(2.0, 1.5));
            let mark = if voiced { TileMark::Buzz } else { TileMark::None };
            if tile::show(ui, tile, entry, std::ptr::eq(entry, picked), mark).clicked() {
                chosen = Some(entry);
            }
        }
        y += row * high as f32 + BETWEEN;
    }
    chosen
}

fn consonants() -> impl Iterator<Item = (&'static SoundEntry, Consonant)> {
    inventory::all().iter().filter_map(|e| match e.features {
        Features::Consonant(c) => Some((e, c)),
        Features::Vowel(_) => None,
    })
}

fn key(ui: &mut Ui) {
    let p = palette(ui);
    ui.horizontal(|ui| {
        ui.spacing_mut().interact_size.y = 20.0;
        let (rect, _) = ui.allocate_exact_size(vec2(24.0, 20.0), Sense::hover());
        tile::buzz(ui, rect.center() + vec2(4.0, 0.0), p.warm);
        parts::note(
            ui,
            "the voice buzzes: a hand on the throat feels it. Above it, its partner without voice.",
        );
    });
}
