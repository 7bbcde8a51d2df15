//! Before a lesson: the plan, a chain to begin with, words of one's own, or the lesson that was broken off.

use egui::{RichText, TextEdit, Ui, vec2};

use crate::drill::STARTER;
use crate::drill::session::{Intent, Session};
use crate::plan::Item;
use crate::say;
use crate::ui::icons::Icon;
use crate::ui::parts::{self, Button, Tone};
use crate::ui::shared::{Place, Shared};
use crate::ui::theme::palette;

/// What is typed before a lesson.
#[derive(Default)]
pub struct Start {
    /// Words as they are typed.
    typed: String,
}

impl Start {
    /// Shows it.
    pub fn show(&mut self, ui: &mut Ui, shared: &mut Shared, session: &Session, out: &mut Vec<Intent>) {
        parts::heading(ui, "Drill");
        whose(ui, shared);
        ui.add_space(6.0);
        egui::ScrollArea::vertical().show(ui, |ui| {
            ui.spacing_mut().item_spacing.y = 12.0;
            if let Some(what) = session.coming() {
                ui.horizontal(|ui| {
                    ui.spinner();
                    ui.label(what);
                    if Button::text("Cancel").quiet().show(ui).clicked() {
                        out.push(Intent::Cancel);
                    }
                });
            }
            resume(ui, session, out);
            if let Some(plan) = session.plan() {
                let count = plan.items.iter().flat_map(Item::words).count();
                parts::card(ui, |ui| {
                    wide(ui, "The plan", &format!("{}: {}", plan.title, say::many(count, "word")));
                    if Button::both(Icon::Play, "Start the plan").lead().show(ui).clicked() {
                        out.push(Intent::StartPlan);
                    }
                });
            }
            self.own(ui, session, out);
            parts::card(ui, |ui| {
                wide(ui, "A chain to begin with", &STARTER.replace(' ', " → "));
                if Button::both(Icon::Play, "Start this chain").show(ui).clicked() {
                    out.push(Intent::Start(STARTER.to_owned()));
                }
            });
            if session.plan().is_none() && Button::both(Icon::Plan, "Make a plan").quiet().show(ui).clicked() {
                shared.go(Place::Plan);
            }
        });
    }

    fn own(&mut self, ui: &mut Ui, session: &Session, out: &mut Vec<Intent>) {
        parts::card(ui, |ui| {
            wide(
                ui,
                "Your own words",
                "One after another, each one sound away from the last if you like.",
            );
            ui.horizontal(|ui| {
                let edit = TextEdit::singleline(&mut self.typed)
                    .hint_text("pig peg beg")
                    .desired_width((ui.available_width() - 180.0).clamp(160.0, 520.0))
                    .min_size(vec2(160.0, 44.0))
                    .align(egui::Align2::LEFT_CENTER);
                let response = ui.add(edit);
                ui.ctx()
                    .accesskit_node_builder(response.id, |node| node.set_label("Your own words"));
                let entered = response.lost_focus() && ui.input(|i| i.key_pressed(egui::Key::Enter));
                if Button::both(Icon::Play, "Start these").show(ui).clicked() || entered {
                    out.push(Intent::Start(self.typed.clone()));
                }
            });
            if let Some(fault) = session.words_fault() {
                parts::banner(ui, Tone::Alarm, fault);
            }
        });
    }
}

fn resume(ui: &mut Ui, session: &Session, out: &mut Vec<Intent>) {
    let Some(draft) = session.draft() else { return };
    let (word, at, of) = draft.place();
    parts::card(ui, |ui| {
        wide(
            ui,
            "A lesson was broken off",
            &format!("At \"{word}\", word {at} of {of}."),
        );
        ui.horizontal(|ui| {
            if Button::both(Icon::Play, "Go on with it").lead().show(ui).clicked() {
                out.push(Intent::Resume);
            }
            if Button::text("Let it be").quiet().show(ui).clicked() {
                out.push(Intent::DropDraft);
            }
        });
    });
}

fn wide(ui: &mut Ui, title: &str, text: &str) {
    ui.set_width(ui.available_width());
    parts::section(ui, title);
    ui.label(RichText::new(text).color(palette(ui).soft));
}

fn whose(ui: &mut Ui, shared: &mut Shared) {
    let line = match &shared.learner {
        Some(learner) => format!("For {}. What is done is kept in the notebook.", learner.name),
        None => "No learner is picked, so nothing is kept. Pick one in the notebook.".to_owned(),
    };
    ui.horizontal_wrapped(|ui| {
        parts::note(ui, &line);
        if shared.learner.is_none()
            && Button::both(Icon::Notebook, "Pick a learner")
                .quiet()
                .show(ui)
                .clicked()
        {
            shared.go(Place::Notebook);
        }
    });
}
