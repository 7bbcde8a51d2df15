//! The rows, the latest first, and what the row in hand shows.

use egui::{Align2, Key, Modifiers, Rect, ScrollArea, Sense, Ui};
use egui::{pos2, vec2};

use crate::ask::writing::LookedRow;
use crate::ui::parts;
use crate::ui::shared::Shared;
use crate::ui::theme::{self, palette};

/// Height of a row.
const ROW: f32 = 52.0;
/// Height of what the row in hand shows: three lines, so that the list does not move from row to row.
const SHOWN: f32 = 104.0;
/// Rows that a page key goes.
const PAGE: i64 = 10;

/// What each key does, for the help page.
const KEYS: [(&str, &str); 2] = [("J or ↓", "the next word"), ("K or ↑", "the one before")];

/// Which row is in hand, and what is in sight.
#[derive(Default)]
pub struct RowList {
    at: usize,
    follow: bool,
    seen: std::ops::Range<usize>,
}

impl RowList {
    /// From the first row on: other rows came.
    pub fn begin(&mut self) {
        (self.at, self.follow) = (0, true);
    }

    /// Shows them.
    pub fn show(&mut self, ui: &mut Ui, shared: &mut Shared, rows: &[LookedRow]) {
        self.keys(ui, shared, rows.len());
        self.at = self.at.min(rows.len().saturating_sub(1));
        in_hand(ui, self.at, rows);
        let mut area = ScrollArea::vertical().id_salt("written rows").auto_shrink(false);
        if std::mem::take(&mut self.follow) && !self.in_sight() {
            let sight = self.seen.len().max(1);
            let top = self.at.saturating_sub(sight / 2) as f32 * (ROW + ui.spacing().item_spacing.y);
            area = area.vertical_scroll_offset(top);
        }
        area.show_rows(ui, ROW, rows.len(), |ui, range| {
            self.seen = range.clone();
            for at in range {
                if one(ui, &rows[at], at == self.at) {
                    self.at = at;
                }
            }
        });
    }

    fn in_sight(&self) -> bool {
        (self.seen.start..self.seen.end.saturating_sub(1)).contains(&self.at)
    }

    fn keys(&mut self, ui: &Ui, shared: &mut Shared, count: usize) {
        shared.keys(&KEYS);
        if ui.ctx().text_edit_focused() || ui.memory(|m| m.top_modal_layer().is_some()) {
            return;
        }
        let steps = [
            (Key::J, 1),
            (Key::ArrowDown, 1),
            (Key::K, -1),
            (Key::ArrowUp, -1),
            (Key::PageDown, PAGE),
            (Key::PageUp, -PAGE),
        ];
        for (key, by) in steps {
            if ui.input_mut(|i| i.consume_key(Modifiers::NONE, key)) {
                let to = (self.at as i64 + by).clamp(0, count as i64 - 1);
                (self.at, self.follow) = (usize::try_from(to).unwrap_or(0), true);
            }
        }
    }
}

/// What the row in hand shows, in sentences.
fn in_hand(ui: &mut Ui, at: usize, rows: &[LookedRow]) {
    let Some(row) = rows.get(at) else { return };
    let width = ui.available_width();
    ui.allocate_ui(vec2(width, SHOWN), |ui| {
        ui.set_min_height(SHOWN);
        ScrollArea::vertical()
            .id_salt("what it shows")
            .auto_shrink(false)
            .show(ui, |ui| {
                ui.spacing_mut().item_spacing.y = 3.0;
                parts::note(ui, &format!("Word {} of {}.  J next, K back", at + 1, rows.len()));
                ui.label(format!("{}, written {}. {}", row.word, row.first, row.says));
            });
    });
}

/// One row; whether it was picked.
fn one(ui: &mut Ui, row: &LookedRow, chosen: bool) -> bool {
    let (rect, response) = ui.allocate_exact_size(vec2(ui.available_width() - 6.0, ROW), Sense::click());
    parts::list_row(ui, (rect, &response), chosen, &row.said(), |ui| cells(ui, row, rect))
}

/// Word and day; first try and last; help and what it shows. Each stands in its own column and is cut at its end.
fn cells(ui: &Ui, row: &LookedRow, rect: Rect) {
    let p = palette(ui);
    let column = |from: f32, to: f32| {
        let (left, width) = (rect.left() + 14.0, rect.width() - 28.0);
        Rect::from_x_y_ranges(left + from * width..=left + to * width - 8.0, rect.y_range())
    };
    let text = |room: Rect, y: f32, text: &str, font, colour| {
        let at = pos2(room.left(), rect.top() + y);
        ui.painter_at(room).text(at, Align2::LEFT_CENTER, text, font, colour);
    };
    let (word, first, last, shows) = (
        column(0.0, 0.22),
        column(0.22, 0.4),
        column(0.4, 0.58),
        column(0.58, 1.0),
    );
    text(word, 18.0, &row.word, theme::bold_font(17.0), p.ink);
    text(
        word,
        37.0,
        &format!("{}, {}", row.day, row.from),
        theme::font(13.0),
        p.soft,
    );
    let tone = if row.right { p.good } else { p.ink };
    text(first, 18.0, &row.first, theme::font(17.0), tone);
    text(first, 37.0, "first try", theme::font(13.0), p.soft);
    text(last, 18.0, row.last.as_deref().unwrap_or("–"), theme::font(17.0), p.ink);
    text(last, 37.0, "last try", theme::font(13.0), p.soft);
    text(shows, 18.0, &row.short, theme::font(14.5), tone);
    text(
        shows,
        37.0,
        row.help.unwrap_or("without help"),
        theme::font(13.0),
        p.soft,
    );
}
