//! Where the learner stands, for the grown-up: what is due today, what this week holds, what is secure, and the choices of
//! spelling in their order, which the parent may overrule.

use egui::{RichText, Ui, vec2};
use soundbead_data::course::{self, Choice, CourseWords, Proposal, Standing};

use super::icons::Icon;
use super::parts::{self, BannerTone, Button};
use super::shared::Shared;
use super::theme;
use crate::drill::course::{EvidenceLoader, WritingEvidence};
use crate::say::many;
use crate::wording::{choice_title, kept_first};

/// Width from which the three parts stand side by side, in points.
const SIDE_BY_SIDE: f32 = 760.0;

/// What was pressed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum TodayAction {
    /// Make today's plan of it.
    Plan,
    /// Back to the opening.
    Back,
}

/// The view, and what was worked out for the evidence at hand.
#[derive(Default)]
pub struct TodayView {
    known: Option<TodayFigures>,
}

/// What the evidence says.
struct TodayFigures {
    of: WritingEvidence,
    due: Vec<String>,
    proposal: Proposal,
    standing: Vec<Standing>,
    secure: Vec<Choice>,
    taught: std::collections::BTreeSet<Choice>,
}

impl TodayFigures {
    fn new(of: WritingEvidence) -> TodayFigures {
        let (tries, named) = (&of.tries, &of.named);
        TodayFigures {
            due: course::due(tries, of.today),
            proposal: course::propose(CourseWords::builtin(), tries, named, of.today),
            standing: course::standing(tries),
            secure: Choice::ALL
                .iter()
                .copied()
                .filter(|c| course::secure(tries, *c))
                .collect(),
            taught: course::taught(tries, named),
            of,
        }
    }
}

impl TodayView {
    /// Shows it; what was pressed, if anything was.
    pub fn show(&mut self, ui: &mut Ui, shared: &mut Shared, course: &mut EvidenceLoader) -> Option<TodayAction> {
        let mut pressed = None;
        let who = shared.learner.as_ref().map(|l| l.name.clone());
        ui.horizontal_wrapped(|ui| {
            if Button::both(Icon::Back, "Back").quiet().key("Esc").show(ui).clicked() {
                pressed = Some(TodayAction::Back);
            }
            let title = who
                .as_ref()
                .map_or("For the grown-up".into(), |name| format!("For the grown-up: {name}"));
            parts::heading(ui, &title);
        });
        let Some(evidence) = course.evidence().filter(|_| who.is_some()) else {
            nobody(ui, who.is_some());
            return pressed;
        };
        if self.known.as_ref().is_none_or(|known| known.of != *evidence) {
            self.known = Some(TodayFigures::new(evidence.clone()));
        }
        let Some(known) = &self.known else { return pressed };
        egui::ScrollArea::vertical()
            .id_salt("where the learner stands")
            .auto_shrink(false)
            .show(ui, |ui| {
                ui.set_max_width(ui.available_width() - 12.0);
                ui.spacing_mut().item_spacing.y = 10.0;
                three(ui, known);
                if Button::both(Icon::Plan, "Make today's plan of it")
                    .lead()
                    .show(ui)
                    .clicked()
                {
                    pressed = Some(TodayAction::Plan);
                }
                ui.add_space(8.0);
                choices(ui, shared, course, known);
            });
        pressed
    }
}

fn nobody(ui: &mut Ui, picked: bool) {
    match picked {
        true => drop(ui.spinner()),
        false => parts::empty(
            ui,
            Icon::Today,
            "Nobody is picked yet",
            "Go back and say who is learning.",
        ),
    }
}

/// Shows one of the three parts.
type TodayPart = fn(&mut Ui, &TodayFigures);

/// Due today, this week, secure: side by side where there is room.
fn three(ui: &mut Ui, known: &TodayFigures) {
    let each: [(&str, TodayPart); 3] = [("Due today", due), ("This week", week), ("Secure", secure)];
    let part = |ui: &mut Ui, (title, show): (&str, TodayPart)| {
        parts::card(ui, |ui| {
            ui.set_width(ui.available_width());
            parts::section(ui, title);
            show(ui, known);
        });
    };
    if ui.available_width() >= SIDE_BY_SIDE {
        ui.columns(3, |columns| {
            for (ui, one) in columns.iter_mut().zip(each) {
                // A column stretches its lines to both edges otherwise.
                ui.with_layout(egui::Layout::top_down(egui::Align::Min), |ui| part(ui, one));
            }
        });
    } else {
        each.into_iter().for_each(|one| part(ui, one));
    }
}

fn due(ui: &mut Ui, known: &TodayFigures) {
    if known.due.is_empty() {
        parts::note(
            ui,
            "Nothing. A word that was misspelled comes again here, at growing gaps, until it stays.",
        );
        return;
    }
    ui.label(known.due.join(", "));
    let waiting = known.due.iter().filter(|w| !known.proposal.review.contains(w)).count();
    if waiting > 0 {
        parts::note(
            ui,
            &format!("{} wait until what they need was taught.", many(waiting, "word")),
        );
    }
}

fn week(ui: &mut Ui, known: &TodayFigures) {
    match known.proposal.new {
        Some(new) => {
            ui.label(
                RichText::new(format!("{}, as in {}", choice_title(new), new.example())).font(theme::bold_font(17.0)),
            );
            ui.label(known.proposal.words.join(", "));
        }
        None => drop(ui.label("Every choice is taught. Keep what comes due.")),
    }
}

fn secure(ui: &mut Ui, known: &TodayFigures) {
    if known.secure.is_empty() {
        parts::note(
            ui,
            "Nothing yet. It takes three new words right, on two different days, with none wrong since.",
        );
        return;
    }
    known
        .secure
        .iter()
        .for_each(|choice| drop(ui.label(choice_title(*choice))));
}

/// The choices in their order, each with what the parent says of it.
fn choices(ui: &mut Ui, shared: &Shared, course: &mut EvidenceLoader, known: &TodayFigures) {
    parts::section(ui, "The choices of spelling, in their order");
    parts::note(
        ui,
        "The child's own writing says what counts as taught; what you say here goes before it. It shows how words were spelled, \
         and is no test of a child.",
    );
    for choice in Choice::ALL.iter().copied() {
        let at = &known.standing[choice.index()];
        ui.horizontal_wrapped(|ui| {
            ui.spacing_mut().item_spacing = vec2(6.0, 4.0);
            ui.allocate_ui_with_layout(
                vec2(330.0, theme::TOUCH),
                egui::Layout::left_to_right(egui::Align::Center),
                |ui| {
                    ui.set_min_width(330.0);
                    ui.vertical(|ui| {
                        ui.spacing_mut().item_spacing.y = 0.0;
                        ui.label(format!("{}, as in {}", choice_title(choice), choice.example()));
                        parts::note(ui, &stands(at, known.taught.contains(&choice)));
                    });
                },
            );
            let named = &known.of.named;
            let mut said = match (named.not_taught.contains(&choice), named.taught.contains(&choice)) {
                (true, _) => Some(false),
                (false, true) => Some(true),
                (false, false) => None,
            };
            let ways = [
                (None, "By the writing"),
                (Some(true), "Taught"),
                (Some(false), "Not yet"),
            ];
            if parts::choice(ui, choice.name(), &mut said, &ways) {
                course.name_choice(&shared.notebook, choice, said);
            }
        });
    }
    if let Some(fault) = course.fault() {
        parts::banner(ui, BannerTone::Alarm, fault);
    }
}

fn stands(at: &Standing, taught: bool) -> String {
    let counts = if taught { ", counts as taught" } else { "" };
    match at.met {
        0 => format!("not met yet{counts}"),
        met => format!(
            "kept in {} of {}{}{counts}",
            at.kept,
            many(met, "word"),
            kept_first(at.kept, at.kept_first)
        ),
    }
}
