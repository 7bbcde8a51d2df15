//! The letters of each sound, in boxes under the beads.

use egui::text::{CCursor, CCursorRange};
use egui::text_edit::TextEditState;
use egui::{Event, Id, Key, Modifiers, Rect, RichText, Stroke, TextEdit, Ui, pos2, vec2};

use super::beads::BeadLook;
use super::{Scene, beads, hear, room};
use crate::drill::letters::{BoxState, line};
use crate::drill::session::Intent;
use crate::drill::words;
use crate::drill::{Lesson, TaskStanding};
use crate::ui::icons::{self, Icon};
use crate::ui::parts::{self, BannerTone, Button};
use crate::ui::theme::{self, palette};

/// Shows it.
pub fn show(ui: &mut Ui, scene: &Scene, focus: bool, out: &mut Vec<Intent>) {
    // In a low window what became of the letters stands in the place of the question, else it would lie under the edge.
    let (low, open) = (
        room::low(ui),
        scene.lesson.work().spelled.standing() == TaskStanding::Open,
    );
    if low && !open {
        answered(ui, scene, out);
        boxes(ui, scene, focus, out);
        return hear::in_the_middle(ui, scene, out);
    }
    ui.vertical_centered(|ui| {
        let asked = if scene.lesson.boxes() == 1 {
            "Write the word."
        } else {
            "Write the letters of each sound."
        };
        ui.label(RichText::new(asked).font(room::asking(ui)));
    });
    ui.add_space(10.0);
    boxes(ui, scene, focus, out);
    hear::in_the_middle(ui, scene, out);
    ui.add_space(8.0);
    answered(ui, scene, out);
}

/// What became of the letters.
fn answered(ui: &mut Ui, scene: &Scene, out: &mut Vec<Intent>) {
    let work = scene.lesson.work();
    match work.spelled.standing() {
        TaskStanding::Open => {
            if scene.lesson.boxes() > 1 {
                ui.vertical_centered(|ui| parts::note(ui, "Touch the next box, or press Space."));
            }
        }
        TaskStanding::Hint => {
            if work.checked() {
                parts::banner(ui, BannerTone::Plain, line(&scene.lesson.looks()));
            }
            if split(scene) {
                parts::note(
                    ui,
                    "One sound has its letters on both sides of another. Both go into its box, with a line between: a-e.",
                );
            }
            ui.vertical_centered(|ui| {
                if Button::both(Icon::Help, "Show us").quiet().show(ui).clicked() {
                    out.push(Intent::Show);
                }
            });
        }
        TaskStanding::Right => {
            // One letter for two sounds (the x of *six*), or all letters in one box, leaves boxes empty.
            let line = match scene.lesson.looks().contains(&BoxState::Empty) {
                true => "The word is right. These are its letters, sound by sound.",
                false => "Every sound has its letters.",
            };
            parts::banner(ui, BannerTone::Good, line);
            spelt(ui, scene);
        }
        TaskStanding::Shown => {
            parts::banner(
                ui,
                BannerTone::Plain,
                "This is how it is written. Say each sound and look at its letters.",
            );
            spelt(ui, scene);
        }
    }
}

/// The word, whole, its letters sound by sound, and what changed from the word before: only now that the child has written it.
fn spelt(ui: &mut Ui, scene: &Scene) {
    let word = scene.lesson.word();
    let changed = scene.lesson.change().map(|change| words::changed(&change));
    ui.vertical_centered(|ui| {
        room::spelling(ui, &word.spelling, 58.0);
        let letters: Vec<&str> = word.boxes.iter().map(|b| b.letters.as_str()).collect();
        ui.label(RichText::new(letters.join("  ·  ")).size(22.0));
        if let Some(line) = changed {
            parts::note(ui, &line);
        }
    });
}

/// Where the keyboard is among the boxes, where it is to be next, and where once the letters are there that are on their way.
fn places() -> [Id; 3] {
    [
        "letter box in hand",
        "letter box that is next",
        "letter box that changes",
    ]
    .map(Id::unique)
}

/// Space goes to the next box; in an empty one it does nothing. No box needs one: a split vowel is written with a line.
pub fn space(ui: &Ui, lesson: &Lesson) {
    let mut spaces = 0;
    ui.input_mut(|i| {
        i.events.retain(|event| {
            let space = matches!(event, Event::Text(text) if text == " ");
            spaces += usize::from(space);
            !space
        });
    });
    let [in_hand, next, _] = places();
    if let (1.., Some(at)) = (spaces, ui.data(|d| d.get_temp::<usize>(in_hand)))
        && has_letters(lesson, at)
        && at + 1 < lesson.boxes()
    {
        ui.data_mut(|d| d.insert_temp(next, at + 1));
    }
}

/// Behind letters, Enter goes to a box that is still empty; whether it did. Pressed in an empty box it is meant: a letter may
/// stand for two sounds, and its second box stay empty.
pub fn on_to_empty(ui: &Ui, lesson: &Lesson) -> bool {
    let [in_hand, next, _] = places();
    let Some(at) = ui
        .data(|d| d.get_temp::<usize>(in_hand))
        .filter(|at| has_letters(lesson, *at))
    else {
        return false;
    };
    let others = (at + 1..lesson.boxes()).chain(0..at);
    let empty = others.into_iter().find(|other| !has_letters(lesson, *other));
    // What is settled or was looked at as it stands goes on.
    let empty = empty.filter(|_| !lesson.work().spelled.settled() && !lesson.work().checked());
    if let Some(to) = empty {
        ui.data_mut(|d| d.insert_temp(next, to));
    }
    empty.is_some()
}

/// Ctrl Z takes back what was typed last, in whichever box that was, and Ctrl Y or Ctrl Shift Z brings it again. A box by itself
/// would know one step, and that of another word too.
pub fn back_and_again(ui: &Ui, lesson: &Lesson, out: &mut Vec<Intent>) {
    let pressed = |modifiers, key| ui.input_mut(|i| i.consume_key(modifiers, key));
    // The longer one first: Ctrl Z is a part of it.
    let again = pressed(Modifiers::COMMAND | Modifiers::SHIFT, Key::Z) || pressed(Modifiers::COMMAND, Key::Y);
    let (place, intent) = match again {
        true => (lesson.letters_ahead(), Intent::LettersAgain),
        false if pressed(Modifiers::COMMAND, Key::Z) => (lesson.letters_behind(), Intent::LettersBack),
        false => return,
    };
    if let Some(at) = place {
        // The keyboard goes where the letters change.
        ui.data_mut(|d| d.insert_temp(places()[2], at));
        out.push(intent);
    }
}

fn has_letters(lesson: &Lesson, at: usize) -> bool {
    lesson
        .work()
        .letters
        .get(at)
        .is_some_and(|text| !text.trim().is_empty())
}

fn split(scene: &Scene) -> bool {
    scene.lesson.word().boxes.iter().any(|b| b.letters.contains('_'))
}

fn boxes(ui: &mut Ui, scene: &Scene, focus: bool, out: &mut Vec<Intent>) {
    let lesson = scene.lesson;
    let count = lesson.boxes();
    let whole = count == 1;
    let width = if whole {
        360.0 * room::grown(ui)
    } else {
        ((ui.available_width() - 40.0) / count as f32 - 12.0).clamp(64.0, 140.0 * room::grown(ui))
    };
    let all = count as f32 * (width + 12.0) - 12.0;
    // The bead over a box, the box, and the mark under it.
    let (high, bead, mark) = match room::low(ui) {
        true => (150.0, 46.0, 28.0),
        false => (212.0 * room::grown(ui), room::bead(ui), 40.0),
    };
    let (rect, _) = ui.allocate_exact_size(vec2(ui.available_width(), high), egui::Sense::hover());
    let left = rect.center().x - all / 2.0;
    let looks = lesson.looks();
    let [_, next, changes] = places();
    let wanted: Option<usize> = ui.data_mut(|d| d.remove_temp(next));
    if let Some(at) = ui.data_mut(|d| d.remove_temp::<usize>(changes)) {
        ui.data_mut(|d| d.insert_temp(next, at));
        ui.ctx().request_repaint();
    }
    for (i, look) in looks.into_iter().enumerate().take(count) {
        let place = Rect::from_min_size(pos2(left + i as f32 * (width + 12.0), rect.top()), vec2(width, high));
        // One box for the whole word is not one sound.
        if !whole {
            bead_over(ui, place, bead, scene.says == Some(i) && count == lesson.word().count());
        }
        let field = Rect::from_min_max(place.min + vec2(0.0, bead), place.max - vec2(0.0, mark));
        let look = lesson.work().checked().then_some(look);
        let text = lesson.work().letters.get(i).cloned().unwrap_or_default();
        one(
            ui,
            LetterField {
                rect: field,
                at: i,
                count,
                text,
                look,
                focus: wanted.map_or(focus && i == 0, |wanted| wanted == i),
            },
            out,
        );
    }
}

/// The bead that hangs over a box.
fn bead_over(ui: &Ui, place: Rect, high: f32, says: bool) {
    let p = palette(ui);
    let y = place.top() + high * 0.42;
    let thread = [pos2(place.left() - 6.0, y), pos2(place.right() + 6.0, y)];
    ui.painter().line_segment(thread, Stroke::new(2.5, p.edge));
    let at = pos2(place.center().x, y);
    let look = if says { BeadLook::Sounding } else { BeadLook::Plain };
    beads::paint(ui.painter(), look, at, high / 3.0, &p);
}

/// Typing takes the place of what a box holds when one goes into it.
fn select_all(ui: &Ui, id: Id, letters: usize) {
    if let Some(mut state) = TextEditState::load(ui.ctx(), id) {
        let all = CCursorRange::two(CCursor::new(0), CCursor::new(letters));
        state.cursor.set_char_range(Some(all));
        state.store(ui.ctx(), id);
    }
}

/// A box to write in.
struct LetterField {
    rect: Rect,
    at: usize,
    count: usize,
    text: String,
    look: Option<BoxState>,
    focus: bool,
}

fn one(ui: &mut Ui, mut field: LetterField, out: &mut Vec<Intent>) {
    let p = palette(ui);
    let (fill, edge) = match field.look {
        Some(BoxState::Right) => (p.good_wash, p.good),
        Some(BoxState::Again) => (p.warm_wash, p.warm),
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
        Some(BoxState::Right) => ", right",
        Some(BoxState::Again) => ", look again",
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
        Some(BoxState::Right) => icons::paint(ui.painter(), Icon::Done, under, p.good),
        Some(BoxState::Again) => icons::paint(ui.painter(), Icon::Undo, under, p.warm),
        _ => {}
    }
    if field.focus {
        response.request_focus();
    }
    if response.has_focus() {
        ui.data_mut(|d| d.insert_temp(places()[0], field.at));
    }
    if field.focus || response.gained_focus() {
        select_all(ui, response.id, field.text.chars().count());
    }
    if response.changed() {
        out.push(Intent::Write(field.at, field.text));
    }
}
