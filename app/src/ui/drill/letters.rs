//! The letters of each sound, in boxes under the beads.

use egui::{Rect, RichText, Stroke, TextEdit, Ui, pos2, vec2};

use super::{Scene, beads, room};
use crate::drill::letters::{Look, line};
use crate::drill::session::Intent;
use crate::ui::icons::{self, Icon};
use crate::ui::parts::{self, Button, Tone};
use crate::ui::theme::{self, palette};

/// Shows it.
pub fn show(ui: &mut Ui, scene: &Scene, focus: bool, out: &mut Vec<Intent>) {
    let lesson = scene.lesson;
    let done = scene.lesson.work().checked && lesson.looks().iter().all(|l| *l == Look::Right);
    ui.vertical_centered(|ui| {
        ui.label(RichText::new("Write the letters of each sound.").font(theme::bold_font(26.0)));
        if split(scene) {
            parts::note(
                ui,
                "One sound here has its letters on both sides of another. Write both in its box, as in a_e.",
            );
        }
    });
    ui.add_space(10.0);
    boxes(ui, scene, focus, out);
    ui.add_space(8.0);
    if lesson.work().checked {
        let tone = if done { Tone::Good } else { Tone::Plain };
        parts::banner(ui, tone, line(&lesson.looks()));
    }
    if done {
        spelt(ui, &lesson.word().spelling);
    }
    ui.horizontal(|ui| {
        ui.add_space((ui.available_width() - 310.0).max(0.0) / 2.0);
        if !done && Button::both(Icon::Done, "Check").key("Enter").show(ui).clicked() {
            out.push(Intent::Check);
        }
        if !done && Button::both(Icon::Help, "Show the letters").quiet().show(ui).clicked() {
            out.push(Intent::ShowLetters);
        }
    });
}

/// The word, whole, once all its letters are there.
fn spelt(ui: &mut Ui, word: &str) {
    ui.vertical_centered(|ui| room::spelling(ui, word, 58.0));
}

fn split(scene: &Scene) -> bool {
    scene.lesson.word().boxes.iter().any(|b| b.letters.contains('_'))
}

fn boxes(ui: &mut Ui, scene: &Scene, focus: bool, out: &mut Vec<Intent>) {
    let lesson = scene.lesson;
    let count = lesson.boxes();
    let whole = lesson.word().boxes.is_empty();
    let width = if whole {
        360.0
    } else {
        ((ui.available_width() - 40.0) / count as f32 - 12.0).clamp(64.0, 140.0)
    };
    let all = count as f32 * (width + 12.0) - 12.0;
    let (rect, _) = ui.allocate_exact_size(vec2(ui.available_width(), 212.0), egui::Sense::hover());
    let left = rect.center().x - all / 2.0;
    let looks = lesson.looks();
    for (i, look) in looks.into_iter().enumerate().take(count) {
        let place = Rect::from_min_size(pos2(left + i as f32 * (width + 12.0), rect.top()), vec2(width, 212.0));
        let sounds = lesson.word().boxes.get(i).map_or(1, |b| b.sounds.len());
        bead_over(ui, place, if whole { lesson.word().count() } else { sounds });
        let field = Rect::from_min_max(place.min + vec2(0.0, 72.0), place.max - vec2(0.0, 40.0));
        let look = lesson.work().checked.then_some(look);
        let text = lesson.work().letters.get(i).cloned().unwrap_or_default();
        one(
            ui,
            Field {
                rect: field,
                at: i,
                count,
                text,
                look,
                focus: focus && i == 0,
            },
            out,
        );
    }
}

/// The beads that hang over a box.
fn bead_over(ui: &Ui, place: Rect, sounds: usize) {
    let p = palette(ui);
    let step = (place.width() / sounds as f32).min(54.0);
    let radius = (step * 0.44).min(24.0);
    let thread = [
        pos2(place.left() - 6.0, place.top() + 30.0),
        pos2(place.right() + 6.0, place.top() + 30.0),
    ];
    ui.painter().line_segment(thread, Stroke::new(2.5, p.edge));
    for k in 0..sounds {
        let x = place.center().x + step * (k as f32 - (sounds as f32 - 1.0) / 2.0);
        beads::paint(
            ui.painter(),
            beads::Look::Plain,
            pos2(x, place.top() + 30.0),
            radius,
            &p,
        );
    }
}

/// A box to write in.
struct Field {
    rect: Rect,
    at: usize,
    count: usize,
    text: String,
    look: Option<Look>,
    focus: bool,
}

fn one(ui: &mut Ui, mut field: Field, out: &mut Vec<Intent>) {
    let p = palette(ui);
    let (fill, edge) = match field.look {
        Some(Look::Right) => (p.good_wash, p.good),
        Some(Look::Again) => (p.warm_wash, p.warm),
        _ => (p.card, p.edge),
    };
    ui.painter()
        .rect(field.rect, 12.0, fill, Stroke::new(2.0, edge), egui::StrokeKind::Inside);
    let edit = TextEdit::singleline(&mut field.text)
        .id(ui.scope_id().with(("letters", field.at)))
        .font(theme::bold_font(40.0))
        .align(egui::Align2::CENTER_CENTER)
        .char_limit(24)
        .frame(egui::Frame::NONE)
        .desired_width(field.rect.width() - 8.0);
    // Not `put`, which would move what comes after to under this box.
    let mut inside = ui.new_child(egui::UiBuilder::new().max_rect(field.rect.shrink(4.0)));
    let response = inside.add_sized(field.rect.shrink(4.0).size(), edit);
    let state = match field.look {
        Some(Look::Right) => ", right",
        Some(Look::Again) => ", look again",
        _ => "",
    };
    let name = format!("Letters of box {} of {}{state}", field.at + 1, field.count);
    ui.ctx()
        .accesskit_node_builder(response.id, |node| node.set_label(name));
    parts::ring(ui, &response, field.rect, 12);
    // Said by a mark as well as by a colour.
    let under = Rect::from_center_size(
        pos2(field.rect.center().x, field.rect.bottom() + 11.0),
        vec2(18.0, 18.0),
    );
    match field.look {
        Some(Look::Right) => icons::paint(ui.painter(), Icon::Done, under, p.good),
        Some(Look::Again) => icons::paint(ui.painter(), Icon::Undo, under, p.warm),
        _ => {}
    }
    if field.focus {
        response.request_focus();
    }
    if response.changed() {
        out.push(Intent::Write(field.at, field.text));
    }
}
