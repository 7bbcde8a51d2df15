//! Words as they are shown in results: spelling, boxes, IPA, count.

use egui::{
    Color32, CornerRadius, Response, RichText, Role, Sense, Stroke, StrokeKind, TextEdit, Ui, WidgetInfo, pos2, vec2,
};
use soundbead_data::Rules;
use soundbead_data::chain::units;
use soundbead_data::lexicon::Pronunciation;
use soundbead_data::spelling;

use super::super::parts;
use super::super::theme::{self, TOUCH, palette};
use crate::say::{CountedSounds, many};

/// Height of a sound box.
const BOX: f32 = 30.0;

/// Width of the widest of these words as a row shows them.
pub fn widest<'w>(ui: &Ui, words: impl Iterator<Item = &'w str>) -> f32 {
    let width = |word: &str| {
        let galley = ui
            .painter()
            .layout_no_wrap(word.to_owned(), theme::bold_font(19.0), Color32::PLACEHOLDER);
        galley.size().x
    };
    words.map(width).fold(0.0, f32::max)
}

/// A word, its boxes and count, in one line; `width` is the room for the word itself.
pub fn word(ui: &mut Ui, word: &str, said: &Pronunciation, rules: &Rules, width: f32) {
    let p = palette(ui);
    let galley = ui
        .painter()
        .layout_no_wrap(word.to_owned(), theme::bold_font(19.0), p.ink);
    let (rect, response) = ui.allocate_exact_size(vec2(width.max(galley.size().x), BOX), Sense::hover());
    let count = many(units(word, said.sounds(), rules).len(), "sound");
    let plain = CountedSounds::new(word, said.clone(), rules).plain_letters();
    response.widget_info(|| WidgetInfo::labeled(Role::Label, true, format!("{word}, {count}, {plain}")));
    ui.painter().galley(
        pos2(rect.left(), rect.center().y - galley.size().y / 2.0),
        galley,
        p.ink,
    );
    draw_boxes(ui, word, said);
    ui.label(RichText::new(count).size(15.0).color(p.soft));
}

/// A box for each sound or inseparable pair, its letters in it.
fn draw_boxes(ui: &mut Ui, word: &str, said: &Pronunciation) {
    let p = palette(ui);
    let Some(boxes) = spelling::boxes(word, said.sounds()) else {
        parts::note(ui, "letters not tied to sounds");
        return;
    };
    let letters = boxes.iter().map(|b| {
        let galley = ui.painter().layout_no_wrap(b.letters.clone(), theme::font(16.0), p.ink);
        // Two sounds under one box of letters take the room of two.
        (
            galley.size().x.max(14.0 * b.sounds.len() as f32) + 12.0,
            galley,
            b.sounds.len(),
        )
    });
    let letters: Vec<_> = letters.collect();
    let width = letters.iter().map(|(w, ..)| w).sum::<f32>();
    let (rect, _) = ui.allocate_exact_size(vec2(width, BOX), Sense::hover());
    let mut left = rect.left();
    for (width, galley, sounds) in letters {
        let cell = egui::Rect::from_min_size(pos2(left, rect.top()), vec2(width, BOX));
        ui.painter().rect(
            cell.shrink(0.5),
            CornerRadius::same(4),
            p.card,
            Stroke::new(1.2, p.edge),
            StrokeKind::Inside,
        );
        for bar in 1..sounds {
            // A tick below marks where the second sound begins.
            let x = left + width * bar as f32 / sounds as f32;
            ui.painter().line_segment(
                [pos2(x, cell.bottom() - 7.0), pos2(x, cell.bottom() - 1.0)],
                Stroke::new(1.2, p.edge),
            );
        }
        let at = pos2(
            cell.center().x - galley.size().x / 2.0,
            cell.center().y - galley.size().y / 2.0,
        );
        ui.painter().galley(at, galley, p.ink);
        left += width;
    }
}

/// A field with its name before it.
pub fn field(ui: &mut Ui, name: &str, text: &mut String, hint: &str, width: f32) -> Response {
    let label = ui.label(name);
    let edit = TextEdit::singleline(text)
        .hint_text(hint)
        .margin(vec2(10.0, 11.0))
        .desired_width(width);
    let response = ui.add(edit.min_size(vec2(width, TOUCH)));
    response.clone().labelled_by(label.id);
    response
}

/// Whether Enter was pressed in this field.
pub fn entered(ui: &Ui, response: &Response) -> bool {
    response.lost_focus() && ui.input(|i| i.key_pressed(egui::Key::Enter))
}

/// Several of these, or none for all: chips that go in and out.
pub fn chips<T: PartialEq + Copy>(ui: &mut Ui, name: &str, chosen: &mut Vec<T>, options: &[(T, &str)]) -> bool {
    let mut changed = false;
    for (option, text) in options {
        let said = format!("{name}: {text}");
        let at = chosen.iter().position(|c| c == option);
        if parts::Button::text(text)
            .name(&said)
            .selected(at.is_some())
            .show(ui)
            .clicked()
        {
            match at {
                Some(at) => drop(chosen.remove(at)),
                None => chosen.push(*option),
            }
            changed = true;
        }
    }
    changed
}
