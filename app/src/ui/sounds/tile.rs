//! One sound on a chart: its IPA, a word with it, and for consonants whether the voice buzzes.

use egui::{
    Align2, Color32, CornerRadius, Rect, Response, Role, Sense, Stroke, StrokeKind, Ui, WidgetInfo, pos2, vec2,
};
use soundbead_data::inventory::SoundEntry;

use super::{key_word, spoken};
use crate::ui::parts;
use crate::ui::theme::{self, palette};

/// How a tile is marked.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum TileMark {
    /// Not at all.
    None,
    /// The voice buzzes: a wave under the sign.
    Buzz,
    /// It moves: an arrow after the sign.
    Moves,
}

/// Puts a tile at `rect`; clicked when the sound is picked.
pub fn show(ui: &mut Ui, rect: Rect, entry: &'static SoundEntry, picked: bool, mark: TileMark) -> Response {
    let p = palette(ui);
    let id = ui.scope_id().with(("sound", &entry.ipa));
    let response = ui.interact(rect, id, Sense::click());
    let voice = match mark {
        TileMark::Buzz => ", voice on",
        TileMark::Moves => ", moves",
        TileMark::None => "",
    };
    response.widget_info(|| WidgetInfo::selected(Role::Button, true, picked, format!("{}{voice}", spoken(entry))));
    let (fill, edge, ink) = match (picked, response.hovered()) {
        (true, _) => (p.lead, p.lead, p.on_lead),
        (false, true) => (p.lead_wash, p.edge, p.ink),
        (false, false) if mark == TileMark::Buzz => (p.warm_wash, p.edge, p.ink),
        (false, false) => (p.card, p.edge, p.ink),
    };
    let painter = ui.painter();
    let inner = rect.shrink(1.0);
    painter.rect(
        inner,
        CornerRadius::same(12),
        fill,
        Stroke::new(1.0, edge),
        StrokeKind::Inside,
    );
    let sign = pos2(rect.center().x, rect.top() + rect.height() * 0.36);
    painter.text(sign, Align2::CENTER_CENTER, &entry.ipa, theme::bold_font(20.0), ink);
    let soft = if picked { p.on_lead } else { p.soft };
    let word = pos2(rect.center().x, rect.bottom() - 11.0);
    painter.text(word, Align2::CENTER_CENTER, key_word(entry), theme::font(12.5), soft);
    if mark == TileMark::Buzz {
        buzz(
            ui,
            pos2(rect.right() - 10.0, rect.top() + 12.0),
            if picked { p.on_lead } else { p.warm },
        );
    }
    parts::ring(ui, &response, rect.shrink(2.0), 12);
    response
}

/// The sign of a buzzing voice: a short wave.
pub fn buzz(ui: &Ui, at: egui::Pos2, colour: Color32) {
    let wave = |i: i32| {
        let x = i as f32 * 0.5 - 7.0;
        at + vec2(x, 3.0 * (x * 1.35).sin())
    };
    ui.painter()
        .line((0..=28).map(wave).collect(), Stroke::new(1.8, colour));
}
