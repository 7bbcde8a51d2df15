//! An articulation note as it is written, drawn.

use std::fmt::Display;

use egui::{ComboBox, TextEdit, Ui, vec2};
use soundbead_data::inventory;
use soundbead_dsp::judgement::Placed;

use crate::notebook::{Cued, HowOften, Lips, Manner, NoteBody, NotedMoment, PHRASES, Place, Voice, WhereInWord};
use crate::review::note::{NoteEdit, NoteEditor, SubjectPick};
use crate::ui::parts::{self, BannerTone, Button};
use crate::ui::theme::TOUCH;

/// What is heard before and after the sounds that are pointed at, in seconds: their edges are not sharp.
const AROUND_S: f32 = 0.015;

/// Shows it. `begun` says whether it was shown before: at first the text has the keyboard. `placed` are the sounds of the
/// attempt's recording at which the note may point.
pub fn show(ui: &mut Ui, editor: &NoteEditor, begun: &mut bool, placed: &[Placed], out: &mut Vec<NoteEdit>) {
    parts::card(ui, |ui| {
        ui.set_width(ui.available_width());
        if editor.is_new() {
            subject(ui, editor, out);
        }
        text(ui, editor, begun, out);
        buttons(ui, editor, out);
        let mut body = editor.body().clone();
        moment(ui, &mut body, placed);
        phrases(ui, &mut body);
        form(ui, &mut body);
        if body != *editor.body() {
            out.push(NoteEdit::Body(Box::new(body)));
        }
    });
}

/// What it is on.
fn subject(ui: &mut Ui, editor: &NoteEditor, out: &mut Vec<NoteEdit>) {
    let target = editor.target();
    let word = format!("the word {}", target.word);
    let fixed = target.attempt.is_some();
    let mut options: Vec<(SubjectPick, &str)> = Vec::new();
    options.extend(fixed.then_some((SubjectPick::Attempt, "this attempt")));
    options.push((SubjectPick::Word, if fixed { &word } else { "a word" }));
    options.push((SubjectPick::Sound, "a sound"));
    options.push((SubjectPick::Learner, "the learner"));
    ui.horizontal_wrapped(|ui| {
        ui.label("A note on");
        let mut pick = editor.pick();
        if parts::choice(ui, "A note on", &mut pick, &options) {
            out.push(NoteEdit::On(pick));
        }
        if pick == SubjectPick::Sound {
            sound(ui, editor, out);
        }
        if pick == SubjectPick::Word && !fixed {
            let mut word = target.word.clone();
            let edit = TextEdit::singleline(&mut word).hint_text("Word").desired_width(140.0);
            if ui.add(edit).changed() {
                out.push(NoteEdit::Word(word));
            }
        }
    });
}

fn sound(ui: &mut Ui, editor: &NoteEditor, out: &mut Vec<NoteEdit>) {
    let mut chosen = editor.sound();
    ComboBox::from_id_salt("note on sound")
        .selected_text(inventory::of(chosen).shown())
        .show_ui(ui, |ui| {
            for sound in &editor.target().sounds {
                let entry = inventory::of(*sound);
                let text = format!("{}  /{}/", entry.shown(), entry.ipa);
                ui.selectable_value(&mut chosen, *sound, text);
            }
        });
    if chosen != editor.sound() {
        out.push(NoteEdit::Sound(chosen));
    }
}

fn text(ui: &mut Ui, editor: &NoteEditor, begun: &mut bool, out: &mut Vec<NoteEdit>) {
    let label = ui.label("What you saw and heard");
    let mut text = editor.body().text.clone();
    let field = TextEdit::multiline(&mut text)
        .desired_rows(3)
        .desired_width(ui.available_width());
    let field = ui.add(field).labelled_by(label.id);
    if !std::mem::replace(begun, true) {
        field.request_focus();
        field.scroll_to_me(None);
    }
    if field.changed() {
        out.push(NoteEdit::Text(text));
    }
}

fn buttons(ui: &mut Ui, editor: &NoteEditor, out: &mut Vec<NoteEdit>) {
    if let Some(why) = editor.fault() {
        let line = format!("The note is not in the notebook yet: {why}. It is still here; keep it again.");
        parts::banner(ui, BannerTone::Alarm, &line);
    }
    ui.horizontal(|ui| {
        let keep = Button::text("Keep the note").lead().key("Ctrl+Enter");
        if keep.enabled(editor.is_ready()).show(ui).clicked() {
            out.push(NoteEdit::Keep);
        }
        if Button::text("Drop it").quiet().show(ui).clicked() {
            out.push(NoteEdit::Drop);
        }
        if editor.is_busy() {
            ui.spinner();
        }
    });
}

/// From which sound to which the note points, so that it is heard with one press.
fn moment(ui: &mut Ui, body: &mut NoteBody, placed: &[Placed]) {
    let Some(last) = placed.last() else { return };
    let name = |at: usize| inventory::of(placed[at].sound).shown().to_owned();
    let found = body.moment.map(|moment| {
        let (from, to) = moment.seconds();
        let begins = placed
            .iter()
            .rposition(|p| p.start_s <= from + AROUND_S * 2.0)
            .unwrap_or(0);
        let ends = placed
            .iter()
            .position(|p| p.end_s + AROUND_S * 2.0 >= to)
            .unwrap_or(begins);
        (begins, ends.max(begins))
    });
    let mut chosen = found;
    ui.horizontal_wrapped(|ui| {
        ui.label("It points at");
        let shown = found.map_or("no moment".to_owned(), |(from, _)| name(from));
        ComboBox::from_id_salt("moment from")
            .selected_text(shown)
            .show_ui(ui, |ui| {
                ui.selectable_value(&mut chosen, None, "no moment");
                for at in 0..placed.len() {
                    let to = found.map_or(at, |(_, to)| to.max(at));
                    ui.selectable_value(&mut chosen, Some((at, to)), format!("{}: {}", at + 1, name(at)));
                }
            });
        if let Some((from, to)) = found {
            ui.label("to");
            ComboBox::from_id_salt("moment to")
                .selected_text(name(to))
                .show_ui(ui, |ui| {
                    for at in from..placed.len() {
                        ui.selectable_value(&mut chosen, Some((from, at)), format!("{}: {}", at + 1, name(at)));
                    }
                });
        }
    });
    if chosen != found {
        let most = last.end_s + AROUND_S;
        let part =
            |(from, to): (usize, usize)| (placed[from].start_s - AROUND_S, (placed[to].end_s + AROUND_S).min(most));
        body.moment = chosen.map(part).map(NotedMoment::of_seconds);
    }
}

/// What can be chosen rather than written.
fn form(ui: &mut Ui, body: &mut NoteBody) {
    ui.horizontal_wrapped(|ui| {
        ui.spacing_mut().item_spacing = vec2(6.0, 6.0);
        one_of(ui, "Where", &mut body.place, Place::ALL);
        one_of(ui, "Air", &mut body.manner, Manner::ALL);
        one_of(ui, "Voice", &mut body.voice, Voice::ALL);
        one_of(ui, "Lips", &mut body.lips, Lips::ALL);
        one_of(ui, "In the word", &mut body.position, WhereInWord::ALL);
        one_of(ui, "How often", &mut body.how_often, HowOften::ALL);
        one_of(ui, "Help", &mut body.cued, Cued::ALL);
    });
}

/// A choice that may be left open.
fn one_of<T: Copy + PartialEq + Display>(ui: &mut Ui, name: &str, value: &mut Option<T>, all: &[T]) {
    let shown = value.map_or(name.to_owned(), |v| format!("{name}: {v}"));
    let combo = ComboBox::from_id_salt(("note", name)).selected_text(shown).width(130.0);
    combo.show_ui(ui, |ui| {
        ui.selectable_value(value, None, format!("{name}: not said"));
        for option in all {
            ui.selectable_value(value, Some(*option), option.to_string());
        }
    });
}

/// Ready phrases, group by group.
fn phrases(ui: &mut Ui, body: &mut NoteBody) {
    ui.horizontal_wrapped(|ui| {
        ui.spacing_mut().item_spacing = vec2(6.0, 6.0);
        ui.label("Ready phrases");
        let mut groups: Vec<&str> = PHRASES.iter().map(|p| p.group).collect();
        groups.dedup();
        for group in groups {
            let button = egui::Button::new(group).min_size(vec2(0.0, TOUCH));
            egui::containers::menu::MenuButton::from_button(button).ui(ui, |ui| {
                for phrase in PHRASES.iter().filter(|p| p.group == group) {
                    if ui.button(phrase.text).clicked() {
                        phrase.put(body);
                        ui.close();
                    }
                }
            });
        }
    });
}
