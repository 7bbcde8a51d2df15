//! Once the child is done: thanks first; what the writing shows is for the grown-up, who asks for it.

use egui::{Align2, Key, Modifiers, RichText, Ui, vec2};

use super::ask;
use super::write::{BEST_IN_YOUR_VOICE, PEEK};
use crate::drill::dictation::session::{DictationIntent, DictationSession};
use crate::drill::dictation::{Dictation, DictationAnswer};
use crate::notebook::Help;
use crate::say::many;
use crate::ui::drill::beads;
use crate::ui::icons::Icon;
use crate::ui::parts::{self, BannerTone, Button};
use crate::ui::shared::Shared;
use crate::ui::theme::{self, palette};
use crate::wording;

/// Seconds for which Enter is not taken: the one that ended the last word may be pressed twice.
const LOOKED_AT_S: f64 = 1.0;

/// Shows it; `sentences` are those of the plan that are still to be written, on paper, `since_s` is when it came up.
pub fn show(
    ui: &mut Ui,
    shared: &mut Shared,
    (session, dictation, sentences, since_s): (&DictationSession, &Dictation, &[&str], f64),
    out: &mut Vec<DictationIntent>,
) {
    shared.key("Enter", "close");
    shared.key("V", "what is for the grown-up");
    if !sentences.is_empty() {
        shared.key("F2", "hold to see the sentences");
    }
    shared.key("Ctrl Z", "undo");
    let pressed = |modifiers, key| ui.input_mut(|i| i.consume_key(modifiers, key));
    if ui.memory(|m| m.top_modal_layer().is_none()) {
        if pressed(Modifiers::NONE, Key::V) {
            out.push(DictationIntent::GrownUp(!session.grown_up()));
        }
        if pressed(Modifiers::COMMAND, Key::Z) {
            out.push(DictationIntent::Undo);
        }
        let free = ui.memory(|m| m.focused().is_none()) && ui.input(|i| i.time) > since_s + LOOKED_AT_S;
        if pressed(Modifiers::NONE, Key::Escape) || (free && pressed(Modifiers::NONE, Key::Enter)) {
            out.push(DictationIntent::End);
        }
    }
    ui.horizontal_wrapped(|ui| {
        if Button::both(Icon::Done, "Close")
            .name("Close the dictation")
            .lead()
            .key("Enter")
            .show(ui)
            .clicked()
        {
            out.push(DictationIntent::End);
        }
        let view = Button::text("For the grown-up").selected(session.grown_up()).key("V");
        if view.show(ui).clicked() {
            out.push(DictationIntent::GrownUp(!session.grown_up()));
        }
        if Button::both(Icon::Undo, "Undo")
            .quiet()
            .key("Ctrl Z")
            .show(ui)
            .clicked()
        {
            out.push(DictationIntent::Undo);
        }
    });
    egui::ScrollArea::vertical()
        .id_salt("after the dictation")
        .auto_shrink(false)
        .show(ui, |ui| match session.grown_up() {
            true => grown_up(ui, session, dictation),
            false => {
                child(ui, dictation);
                on_paper(ui, session, sentences, out);
            }
        });
}

/// The child's side: what was done, and no word on how.
fn child(ui: &mut Ui, dictation: &Dictation) {
    let written = dictation.written();
    ui.add_space(((ui.clip_rect().height() - 300.0) / 3.0).max(0.0));
    ui.vertical_centered(|ui| {
        ui.label(RichText::new(dictation.deed()).font(theme::bold_font(26.0)));
        ui.add_space(10.0);
        beads::row(ui, written, &format!("{} for your string", many(written, "bead")));
        let tried = dictation.answers().iter().filter(|a| a.second().is_some()).count();
        if tried > 0 {
            ui.label(RichText::new(format!("You looked again at {}.", many(tried, "word"))).size(19.0));
        }
        let helped = dictation.answers().iter().any(|a| a.helped());
        if helped {
            ui.label(RichText::new("You asked when you needed to.").size(19.0));
        }
    });
}

/// The plan's sentences, once its words are written.
fn on_paper(ui: &mut Ui, session: &DictationSession, sentences: &[&str], out: &mut Vec<DictationIntent>) {
    if sentences.is_empty() {
        return;
    }
    ui.add_space(20.0);
    ui.vertical_centered(|ui| {
        let line = match sentences.len() {
            1 => "Now the sentence, on paper.".to_owned(),
            n => format!("Now the {n} sentences, on paper."),
        };
        ui.label(RichText::new(line).font(theme::bold_font(20.0)));
    });
    parts::row_in_the_middle(ui, "for paper", |ui| {
        ask::for_paper(ui, sentences, out);
        peek(ui, sentences);
    });
    ui.vertical_centered(|ui| {
        if let Some(line) = session.no_sound() {
            parts::note(ui, line);
        }
        parts::note(ui, "Type them in under Writing, From paper, to see what they show.");
    });
}

/// The sentences for whoever dictates, as long as the button or its key is held.
fn peek(ui: &mut Ui, sentences: &[&str]) {
    let button = Button::text("Hold: the sentences")
        .name("Hold to see the sentences")
        .quiet()
        .key("F2")
        .show(ui);
    let above = (Align2::CENTER_BOTTOM, button.rect.center_top() - vec2(0.0, 6.0));
    parts::while_held(&button, ui.input(|i| i.key_down(PEEK)), above, |ui| {
        ui.set_max_width(460.0);
        for sentence in sentences {
            ui.label(RichText::new(*sentence).size(19.0));
        }
        parts::note(ui, BEST_IN_YOUR_VOICE);
    });
}

/// The parent's side: each word, what was written, and what that shows.
fn grown_up(ui: &mut Ui, session: &DictationSession, dictation: &Dictation) {
    ui.set_max_width(ui.available_width() - 12.0);
    ui.add_space(6.0);
    if !session.unread().is_empty() {
        let line = format!("Not taken in: {}.", session.unread().join("; "));
        parts::banner(ui, BannerTone::Care, &line);
    }
    let Some(told) = session.told() else {
        ui.spinner();
        return;
    };
    if let Some(line) = of_set(dictation) {
        parts::banner(ui, BannerTone::Plain, &line);
    }
    let each = dictation.answers().iter().zip(dictation.asked()).enumerate();
    for (at, (answer, asked)) in each {
        ui.push_id(at, |ui| {
            parts::card(ui, |ui| {
                ui.set_width(ui.available_width());
                ui.spacing_mut().item_spacing.y = 3.0;
                one(ui, &asked.word, answer, told.get(at).map(|t| t.line.as_str()));
            });
        });
    }
    parts::note(
        ui,
        "It shows how words were spelled on this day, and is no test of a child. First tries count; later ones are kept beside them.",
    );
}

/// How many words of a set were asked, and why no more.
fn of_set(dictation: &Dictation) -> Option<String> {
    let (set, asked) = (dictation.set()?, dictation.asked().len());
    Some(match dictation.settled() {
        true if asked < set.most => format!(
            "{asked} of the set's {} words were asked; the others would tell nothing more now. Today shows where the child stands.",
            set.most
        ),
        true => format!("All {asked} words of the set were asked. Today shows where the child stands."),
        false => format!(
            "{} of the set's {} words were written. What was not asked stays open.",
            dictation.written(),
            set.most
        ),
    })
}

fn one(ui: &mut Ui, word: &str, answer: &DictationAnswer, line: Option<&str>) {
    let soft = palette(ui).soft;
    ui.horizontal_wrapped(|ui| {
        ui.label(RichText::new(word).font(theme::bold_font(19.0)));
        match answer.first() {
            None => drop(ui.label(RichText::new("not written").color(soft))),
            Some(first) => drop(ui.label(RichText::new(format!("written  {first}")).size(19.0))),
        }
        if let Some(second) = answer.second() {
            ui.label(RichText::new(format!("then  {second}")).size(17.0).color(soft));
        }
        if answer.helped() {
            let when = match answer.helped_first() {
                true => Help::BeforeFirst,
                false => Help::AfterFirst,
            };
            parts::note(ui, wording::help(when));
        }
    });
    if let (Some(line), true) = (line, answer.first().is_some()) {
        ui.label(line);
    }
}
