//! Before a lesson: the plan, a chain to begin with, words of one's own, or the lesson that was broken off.

use egui::{RichText, TextEdit, Ui, vec2};

use super::Intent;
use crate::drill::STARTER;
use crate::drill::draft::Draft;
use crate::plan::{Item, Plan};
use crate::say;
use crate::ui::icons::Icon;
use crate::ui::parts::{self, Button, Tone};
use crate::ui::shared::{Place, Shared};
use crate::ui::theme::palette;

/// What is known before a lesson.
#[derive(Default)]
pub struct Start {
    /// Words as they are typed.
    pub typed: String,
    /// What was wrong with them.
    pub fault: Option<String>,
    /// A lesson that was broken off.
    pub draft: Option<Draft>,
}

impl Start {
    /// Shows it.
    pub fn show(&mut self, ui: &mut Ui, shared: &mut Shared, plan: Option<&Plan>, out: &mut Vec<Intent>) {
        parts::heading(ui, "Drill");
        whose(ui, shared);
        ui.add_space(6.0);
        egui::ScrollArea::vertical().show(ui, |ui| {
            ui.spacing_mut().item_spacing.y = 12.0;
            self.resume(ui, out);
            if let Some(plan) = plan {
                let count = plan.items.iter().flat_map(Item::words).count();
                parts::card(ui, |ui| {
                    wide(ui, "The plan", &format!("{}: {}", plan.title, say::many(count, "word")));
                    if Button::both(Icon::Play, "Start the plan").lead().show(ui).clicked() {
                        out.push(Intent::StartPlan);
                    }
                });
            }
            self.own(ui, out);
            parts::card(ui, |ui| {
                wide(ui, "A chain to begin with", &STARTER.replace(' ', " → "));
                if Button::both(Icon::Play, "Start this chain").show(ui).clicked() {
                    out.push(Intent::Start(STARTER.to_owned()));
                }
            });
            if plan.is_none() && Button::both(Icon::Plan, "Make a plan").quiet().show(ui).clicked() {
                shared.go(Place::Plan);
            }
        });
    }

    fn resume(&mut self, ui: &mut Ui, out: &mut Vec<Intent>) {
        let Some(draft) = &self.draft else { return };
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

    fn own(&mut self, ui: &mut Ui, out: &mut Vec<Intent>) {
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
            if let Some(fault) = &self.fault {
                parts::banner(ui, Tone::Alarm, fault);
            }
        });
    }
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
