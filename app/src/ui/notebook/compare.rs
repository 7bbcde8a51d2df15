//! The same word at two times, side by side, as it is drawn.

use egui::{RichText, Ui, vec2};

use super::attempt;
use super::timeline::{self, called};
use super::wave::{self, WaveAction};
use crate::review::compare::{ComparedTime, ComparedWord};
use crate::review::session::ReviewIntent;
use crate::ui::icons::Icon;
use crate::ui::parts::{self, Button};
use crate::ui::theme;

/// Shows both.
pub fn show(ui: &mut Ui, compare: &ComparedWord, out: &mut Vec<ReviewIntent>) {
    let mut close = ui.input_mut(|i| i.consume_key(egui::Modifiers::NONE, egui::Key::Escape));
    ui.horizontal_wrapped(|ui| {
        parts::section(ui, &format!("{}, then and later", compare.word()));
        close |= Button::both(Icon::Back, "Back to the attempt")
            .quiet()
            .show(ui)
            .clicked();
    });
    if close {
        out.push(ReviewIntent::Compare);
    }
    match compare.times() {
        None => drop(ui.spinner()),
        Some(0..=1) => drop(parts::note(
            ui,
            "It was said once so far; when it is said again, the two can be put side by side.",
        )),
        Some(count) => drop(parts::note(ui, &format!("It was said {count} times."))),
    }
    for (time, name) in [(ComparedTime::Then, "Then"), (ComparedTime::Later, "Later")] {
        ui.add_space(8.0);
        parts::card(ui, |ui| {
            ui.set_width(ui.available_width());
            side(ui, compare, (time, name), out);
        });
    }
}

fn side(ui: &mut Ui, compare: &ComparedWord, (time, name): (ComparedTime, &str), out: &mut Vec<ReviewIntent>) {
    let (side, count) = (compare.side(time), compare.times().unwrap_or(0));
    ui.horizontal_wrapped(|ui| {
        ui.spacing_mut().item_spacing = vec2(6.0, 6.0);
        ui.label(RichText::new(name).font(theme::bold_font(19.0)));
        let (earlier, later) = (format!("{name}: one earlier"), format!("{name}: one later"));
        let back = Button::text("Earlier").name(&earlier).quiet().enabled(side.at() > 0);
        if back.show(ui).clicked() {
            out.push(ReviewIntent::CompareStep(time, -1));
        }
        let on = Button::text("Later")
            .name(&later)
            .quiet()
            .enabled(side.at() + 1 < count);
        if on.show(ui).clicked() {
            out.push(ReviewIntent::CompareStep(time, 1));
        }
        let Some(opened) = side.opened() else { return };
        let play = format!("{name}: play");
        let button = Button::both(Icon::Play, "Play")
            .name(&play)
            .enabled(opened.sound.is_ok());
        if button.show(ui).clicked() {
            out.push(ReviewIntent::ComparePlay(time));
        }
        parts::note(ui, &attempt::said_when(&opened.attempt));
    });
    let Some(opened) = side.opened() else {
        ui.spinner();
        return;
    };
    if let Some(WaveAction::Play(from, to)) = wave::show(ui, opened, None) {
        out.push(ReviewIntent::ComparePart(time, from, to));
    }
    let a = &opened.attempt;
    let number = |n: Option<u16>| n.map_or("–".to_owned(), |n| n.to_string());
    let ruling = timeline::rulings(a).map_or(String::new(), |r| format!("; {r}"));
    let verdict = a.verdict.map_or("not judged", called);
    ui.label(format!(
        "word {}, child {}, recording {}; the program: {verdict}{ruling}",
        a.expected_now,
        number(a.edits.child),
        number(a.heard)
    ));
}
