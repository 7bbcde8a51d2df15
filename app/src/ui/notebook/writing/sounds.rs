//! The matrix: each sound, and what was written for it.

use egui::{Align2, CornerRadius, Role, Sense, Stroke, StrokeKind, Ui, WidgetInfo, vec2};
use soundbead_data::{Sound, inventory};

use crate::ask::writing::{MatrixCell, MatrixRow};
use crate::say::many;
use crate::ui::parts::{self, Button};
use crate::ui::theme::{self, palette};

/// Width of the sound's name, and of how often it was kept.
const NAME: f32 = 64.0;
const KEPT: f32 = 110.0;
/// Height of a cell.
const CELL: f32 = 34.0;

/// Shows it; the sound that was picked, if one was.
pub fn show(ui: &mut Ui, rows: &[MatrixRow]) -> Option<Sound> {
    parts::note(
        ui,
        "For each sound, what was written and how often. On orange: letters that were not the word's own. A sound shows its words.",
    );
    let mut picked = None;
    for row in rows {
        ui.horizontal_wrapped(|ui| {
            ui.spacing_mut().item_spacing = vec2(6.0, 6.0);
            let entry = inventory::find(row.sound);
            let plain = entry.map_or(row.sound, |entry| entry.shown());
            let name = format!("The words with the sound {plain}");
            let left = ui.cursor().left();
            if Button::text(plain).name(&name).quiet().show(ui).clicked() {
                picked = Sound::all().find(|sound| sound.arpabet() == row.sound);
            }
            ui.add_space((NAME - (ui.cursor().left() - left)).max(0.0));
            let at = ui.cursor().left();
            parts::note(ui, &format!("kept {} of {}", row.kept, row.times));
            ui.add_space((KEPT - (ui.cursor().left() - at)).max(0.0));
            row.wrote.iter().for_each(|cell| one(ui, plain, cell));
        });
    }
    picked
}

fn one(ui: &mut Ui, sound: &str, cell: &MatrixCell) {
    let p = palette(ui);
    let letters = match cell.letters.as_str() {
        "" => "nothing".to_owned(),
        letters => letters.replace('_', "-"),
    };
    let strayed = cell.times - cell.kept;
    let text = match (strayed, cell.kept) {
        (1.., 1..) => format!("{letters} {} own, {strayed} not", cell.kept),
        _ => format!("{letters} {}", cell.times),
    };
    let galley = ui.painter().layout_no_wrap(text, theme::font(15.0), p.ink);
    let (rect, response) = ui.allocate_exact_size(vec2(galley.size().x + 20.0, CELL), Sense::hover());
    let fill = if strayed > 0 { p.warm_wash } else { p.card };
    let edge = if strayed > 0 { p.warm } else { p.line };
    ui.painter().rect(
        rect,
        CornerRadius::same(8),
        fill,
        Stroke::new(1.0, edge),
        StrokeKind::Inside,
    );
    let at = Align2::CENTER_CENTER.anchor_size(rect.center(), galley.size()).min;
    ui.painter().galley(at, galley, p.ink);
    let told = told(sound, &letters, cell);
    response.widget_info(|| WidgetInfo::labeled(Role::Label, true, told.clone()));
    if strayed > 0 {
        parts::hint(response, &cell.examples.join(", "));
    }
}

/// The cell in words.
fn told(sound: &str, letters: &str, cell: &MatrixCell) -> String {
    let examples = match cell.examples.is_empty() {
        true => String::new(),
        false => format!(": {}", cell.examples.join(", ")),
    };
    format!(
        "{sound} written {letters} {}, {} of them the word's own{examples}",
        many(cell.times, "time"),
        cell.kept
    )
}
