//! Each choice of spelling then and now, with where the true share probably lies.

use egui::{Align, Layout, Rect, Role, Sense, Stroke, Ui, WidgetInfo, pos2, vec2};

use crate::ask::writing::{ChoiceStretch, LookedWriting, ThenAndNow};
use crate::say::many;
use crate::ui::parts;
use crate::ui::theme::palette;

/// Height of a choice.
const ROW: f32 = 42.0;
/// Width of the counts.
const COUNTS: f32 = 190.0;
/// Most of the width that a name gets.
const NAME: f32 = 0.36;

/// Shows it.
pub fn show(ui: &mut Ui, looked: &LookedWriting) {
    let parted = match looked.since {
        Some(day) => format!(
            "Then: before {}. Now: from that day on. Each word counts once in each, as it was written last, at the first try.",
            day.strftime("%-d %b %Y")
        ),
        None => "All was written on one day, so there is no then yet.".to_owned(),
    };
    parts::note(ui, &parted);
    parts::note(
        ui,
        "A dot is the share of words in which the choice was kept; the line, where the true share probably lies (95 %, Clopper and \
         Pearson 1934). Where two lines overlap widely, little is shown.",
    );
    for choice in &looked.choices {
        one(ui, choice, looked.since.is_some());
    }
    if let [choice] = &looked.choices[..] {
        again(ui, choice);
    }
    if looked.choices.is_empty() {
        parts::note(ui, "None of these words meets a choice of spelling that is followed.");
    }
}

fn one(ui: &mut Ui, choice: &ThenAndNow, parted: bool) {
    ui.horizontal(|ui| {
        let name = (ui.available_width() * NAME).min(330.0);
        let column = |ui: &mut Ui, width: f32, text: &str| {
            ui.allocate_ui_with_layout(vec2(width, ROW), Layout::left_to_right(Align::Center), |ui| {
                ui.set_min_width(width);
                ui.label(text);
            });
        };
        column(ui, name, choice.choice);
        column(ui, COUNTS, &counts(choice, parted));
        let width = (ui.available_width() - 16.0).clamp(80.0, 420.0);
        let (rect, response) = ui.allocate_exact_size(vec2(width, ROW), Sense::hover());
        response.widget_info(|| WidgetInfo::labeled(Role::Image, true, said(choice)));
        shares(ui, choice, rect);
    });
}

fn counts(choice: &ThenAndNow, parted: bool) -> String {
    let of = |stretch: &Option<ChoiceStretch>| {
        stretch
            .as_ref()
            .map_or("–".to_owned(), |s| format!("{} of {}", s.kept, s.met))
    };
    match parted {
        true => format!("{}, now {}", of(&choice.then), of(&choice.now)),
        false => format!("kept in {}", of(&choice.now)),
    }
}

/// A choice in words.
fn said(choice: &ThenAndNow) -> String {
    let of = |stretch: &Option<ChoiceStretch>| match stretch {
        None => "not met".to_owned(),
        Some(s) => format!(
            "kept in {} of {}, {:.0} to {:.0} %",
            s.kept,
            many(s.met, "word"),
            100.0 * s.low,
            100.0 * s.high
        ),
    };
    format!("{}: then {}; now {}", choice.choice, of(&choice.then), of(&choice.now))
}

/// The scale from none to all, then above in soft, now below in the leading colour.
fn shares(ui: &Ui, choice: &ThenAndNow, rect: Rect) {
    let p = palette(ui);
    let painter = ui.painter();
    let x = |share: f64| rect.left() + 6.0 + share as f32 * (rect.width() - 12.0);
    for quarter in [0.0, 0.25, 0.5, 0.75, 1.0] {
        painter.vline(x(quarter), rect.y_range().shrink(3.0), Stroke::new(1.0, p.line));
    }
    let both = [(&choice.then, p.soft, 0.32, 1.5), (&choice.now, p.lead, 0.68, 2.5)];
    for (stretch, colour, down, width) in both {
        let Some(stretch) = stretch else { continue };
        let y = rect.top() + down * rect.height();
        let ends = [pos2(x(stretch.low), y), pos2(x(stretch.high), y)];
        painter.line_segment(ends, Stroke::new(width, colour));
        let share = stretch.kept as f64 / stretch.met.max(1) as f64;
        painter.circle_filled(pos2(x(share), y), 5.0, colour);
    }
}

/// Words that were written then and now.
fn again(ui: &mut Ui, choice: &ThenAndNow) {
    if choice.again.is_empty() {
        return;
    }
    parts::section(ui, "The same words, the first time and the latest");
    for word in &choice.again {
        ui.label(format!("{}: {}, now {}", word.word, word.then, word.now));
    }
}
