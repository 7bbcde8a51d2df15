//! While the child writes: one free field, and nothing that says how a word is spelled or whether it was right.

use egui::{Align, Align2, Key, Layout, Modifiers, RichText, Role, Sense, TextEdit, Ui, WidgetInfo, pos2, vec2};

use crate::drill::dictation::session::DictationIntent;
use crate::drill::dictation::{Dictation, DictationAnswer};
use crate::drill::voice::{READS_WORD_BY_WORD, YOURS_OR_A_COMPUTER_VOICE};
use crate::ui::drill::beads::{self, BeadLook};
use crate::ui::icons::Icon;
use crate::ui::parts::{self, Button};
use crate::ui::shared::Shared;
use crate::ui::theme::{self, palette};

/// The key that is held to see the word: none that a child writes with.
pub(super) const PEEK: Key = Key::F2;
/// Beside a sentence that is peeked at.
pub(super) const BEST_IN_YOUR_VOICE: &str = "Best in your own voice: the computer reads it word by word.";

/// Shows it.
pub fn show(
    ui: &mut Ui,
    shared: &mut Shared,
    (dictation, no_sound): (&Dictation, Option<&str>),
    out: &mut Vec<DictationIntent>,
) {
    let (Some(at), Some(answer)) = (dictation.at(), dictation.answer()) else {
        return;
    };
    let has_sentence = dictation.word().is_some_and(|asked| asked.sentence.is_some());
    keys(ui, shared, has_sentence, out);
    top(ui, dictation, out);
    let room = ((ui.clip_rect().height() - 420.0) / 3.0).clamp(4.0, 130.0);
    ui.add_space(room);
    ui.vertical_centered(|ui| {
        ui.label(RichText::new("Listen, then write the word.").font(theme::bold_font(26.0)));
        parts::row_in_the_middle(ui, "hear", |ui| {
            if Button::both(Icon::Speaker, "Hear it").key("F4").show(ui).clicked() {
                out.push(DictationIntent::Hear);
            }
            if has_sentence && Button::text("Say the sentence").key("F5").show(ui).clicked() {
                out.push(DictationIntent::HearSentence);
            }
        });
        let whose = if has_sentence {
            READS_WORD_BY_WORD
        } else {
            YOURS_OR_A_COMPUTER_VOICE
        };
        parts::note(ui, no_sound.unwrap_or(whose));
        if let Some(first) = answer.last() {
            parts::note(ui, &format!("You wrote: {first}. You may try it once more, or go on."));
        }
        // In a low window the buttons are to be in sight as well.
        let air = if ui.clip_rect().height() < 420.0 { 2.0 } else { 14.0 };
        ui.add_space(air);
        field(ui, dictation, at, out);
        ui.add_space(air);
        buttons(ui, dictation, answer, out);
    });
}

fn keys(ui: &Ui, shared: &mut Shared, has_sentence: bool, out: &mut Vec<DictationIntent>) {
    shared.key("Enter", "the next word");
    shared.key("F4", "hear the word");
    if has_sentence {
        shared.key("F5", "hear its sentence");
    }
    shared.key("F2", "hold to see the word and its sentence");
    shared.key("Ctrl Z", "undo");
    let pressed = |modifiers, key| ui.input_mut(|i| i.consume_key(modifiers, key));
    let over = ui.memory(|m| m.top_modal_layer().is_some());
    if !over && pressed(Modifiers::NONE, Key::F4) {
        out.push(DictationIntent::Hear);
    }
    if !over && has_sentence && pressed(Modifiers::NONE, Key::F5) {
        out.push(DictationIntent::HearSentence);
    }
    if !over && pressed(Modifiers::COMMAND, Key::Z) {
        out.push(DictationIntent::Undo);
    }
    if !over && pressed(Modifiers::NONE, Key::Escape) {
        out.push(DictationIntent::Pause);
    }
}

/// The way so far, and what is for the grown-up.
fn top(ui: &mut Ui, dictation: &Dictation, out: &mut Vec<DictationIntent>) {
    ui.horizontal(|ui| {
        way(ui, dictation);
        ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
            let close = Button::both(Icon::Close, "Leave")
                .name("Leave the dictation")
                .quiet()
                .key("Esc");
            if close.show(ui).clicked() {
                out.push(DictationIntent::Pause);
            }
            peek(ui, dictation);
            let undo = Button::both(Icon::Undo, "Undo")
                .quiet()
                .key("Ctrl Z")
                .enabled(dictation.can_undo());
            if undo.show(ui).clicked() {
                out.push(DictationIntent::Undo);
            }
        });
    });
}

/// A bead for each word, written or to come. Where words are chosen one by one, the beads to come are about as many.
fn way(ui: &mut Ui, dictation: &Dictation) {
    let p = palette(ui);
    let (at, chosen) = (dictation.at().unwrap_or(0), dictation.asked().len());
    let all = at + 1 + dictation.to_come();
    // Beads keep their size while the number of words changes.
    let room = dictation.set().map_or(all, |set| set.most.max(all));
    // A set needs room for its line beside the beads.
    let share = if dictation.set().is_some() { 0.34 } else { 0.45 };
    let step = (ui.available_width() * share / room as f32).min(24.0);
    let (rect, response) = ui.allocate_exact_size(vec2(step * all as f32 + 10.0, 44.0), Sense::hover());
    let told = match dictation.set() {
        Some(_) => format!("Word {}, about {} to come", at + 1, dictation.to_come()),
        None => format!("Word {} of {all}", at + 1),
    };
    response.widget_info(|| WidgetInfo::labeled(Role::Image, true, &told));
    let y = rect.center().y;
    ui.painter().hline(rect.x_range(), y, egui::Stroke::new(2.0, p.edge));
    for i in 0..all.max(chosen) {
        let centre = pos2(rect.left() + 5.0 + step * (i as f32 + 0.5), y);
        let written = dictation.answers().get(i).is_some_and(|a| a.first().is_some());
        let (radius, look) = match (i == at, written) {
            (true, _) => (step * 0.46, BeadLook::Plain),
            (false, true) => (step * 0.32, BeadLook::Plain),
            (false, false) => (step * 0.28, BeadLook::Empty),
        };
        beads::paint(ui.painter(), look, centre, radius, &p);
    }
    if dictation.set().is_some() && dictation.to_come() > 0 {
        parts::note(ui, &format!("about {} to come", dictation.to_come()));
    }
}

/// The word and its sentence for whoever dictates, as long as the button or its key is held.
fn peek(ui: &mut Ui, dictation: &Dictation) {
    let button = Button::text("Hold: the word")
        .name("Hold to see the word and its sentence")
        .quiet()
        .key("F2")
        .show(ui);
    let Some(asked) = dictation.word() else { return };
    let below = (Align2::RIGHT_TOP, button.rect.right_bottom() + vec2(0.0, 6.0));
    parts::while_held(&button, ui.input(|i| i.key_down(PEEK)), below, |ui| {
        ui.set_max_width(420.0);
        ui.label(RichText::new(&asked.word).font(theme::bold_font(30.0)));
        if let Some(cue) = asked.cue() {
            ui.label(RichText::new(format!("Meant: {cue}")).size(18.0));
        }
        if let Some(sentence) = &asked.sentence {
            ui.label(RichText::new(sentence).size(18.0));
            parts::note(ui, BEST_IN_YOUR_VOICE);
        }
    });
}

/// The one field. It has the focus whenever nothing else was taken in hand.
fn field(ui: &mut Ui, dictation: &Dictation, at: usize, out: &mut Vec<DictationIntent>) {
    let mut text = dictation.typed().to_owned();
    let id = ui.scope_id().with(("what the child writes", at));
    let edit = TextEdit::singleline(&mut text)
        .id(id)
        .font(theme::bold_font(38.0))
        .align(egui::Align2::CENTER_CENTER)
        .margin(vec2(16.0, 14.0))
        .desired_width(ui.available_width().min(560.0));
    let field = ui.add(edit);
    ui.ctx()
        .accesskit_node_builder(field.id, |node| node.set_label("Write the word"));
    if field.changed() {
        out.push(DictationIntent::Write(text));
    }
    if field.lost_focus() && ui.input(|i| i.key_pressed(Key::Enter)) {
        out.push(DictationIntent::Enter);
        field.request_focus();
    }
    if ui.memory(|m| m.focused().is_none() && m.top_modal_layer().is_none()) {
        field.request_focus();
    }
}

fn buttons(ui: &mut Ui, dictation: &Dictation, answer: &DictationAnswer, out: &mut Vec<DictationIntent>) {
    let ready = !dictation.typed().trim().is_empty() || answer.first().is_some();
    // Of a set nobody knows yet whether another word is asked.
    let last = dictation.set().is_none() && dictation.to_come() == 0;
    let text = if last { "Done" } else { "Next word" };
    if Button::text(text).lead().key("Enter").enabled(ready).show(ui).clicked() {
        out.push(DictationIntent::Enter);
    }
    ui.add_space(8.0);
    parts::row_in_the_middle(ui, "ways", |ui| {
        if Button::both(Icon::Back, "Word before")
            .quiet()
            .enabled(dictation.at() > Some(0))
            .show(ui)
            .clicked()
        {
            out.push(DictationIntent::Back);
        }
        if Button::both(Icon::Help, "I helped")
            .quiet()
            .selected(answer.helped())
            .show(ui)
            .clicked()
        {
            out.push(DictationIntent::Help);
        }
        if Button::text("Skip this word").quiet().show(ui).clicked() {
            out.push(DictationIntent::Skip);
        }
        if Button::text("Stop here").quiet().show(ui).clicked() {
            out.push(DictationIntent::Stop);
        }
    });
}
