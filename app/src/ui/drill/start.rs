//! Before a lesson: the plan, a chain to begin with, words of one's own, or the lesson that was broken off.

use egui::{RichText, TextEdit, Ui, vec2};

use crate::drill::STARTER;
use crate::drill::model_pass::ModelWords;
use crate::drill::opening::holds;
use crate::drill::plan_parts::PlanPart;
use crate::drill::scrambled::sentences_of;
use crate::drill::session::{Intent, LessonSession};
use crate::plan::Plan;
use crate::say::many;
use crate::ui::icons::Icon;
use crate::ui::parts::{self, BannerTone, Button};
use crate::ui::shared::{MainView, Shared};
use crate::ui::theme::palette;
use crate::ui::which::WhichWay;

/// Width of the column in the middle, in points.
const COLUMN: f32 = 1000.0;

/// What is done beside a lesson.
pub enum BesideLesson {
    /// Hear its words, and record models of them.
    Models(ModelWords),
    /// Sort the plan's cards.
    Sort,
    /// The grown-up's own practice.
    Practice,
    /// A minute of quick reading.
    Reading,
    /// Put the plan's sentences in order.
    Sentences,
}

/// What is typed before a lesson.
#[derive(Default)]
pub struct LessonStart {
    /// Words as they are typed.
    typed: String,
    /// Which way is meant of those that are said in two.
    which: WhichWay,
    /// Whether it was said that nothing is to be kept; that is asked once.
    tried: bool,
    /// A start that waits until it is known who is learning, or that nothing is to be kept.
    waiting: Option<Intent>,
}

impl LessonStart {
    /// Shows it. Gives what is to be done beside a lesson, where that was asked for.
    pub fn show(
        &mut self,
        ui: &mut Ui,
        shared: &mut Shared,
        (session, left): (&LessonSession, &[PlanPart]),
        out: &mut Vec<Intent>,
    ) -> Option<BesideLesson> {
        if let Some(what) = session.coming() {
            coming(ui, what, out);
            return None;
        }
        let mut beside = None;
        let mut started = Vec::new();
        egui::ScrollArea::vertical()
            .id_salt("before the lesson")
            .auto_shrink(false)
            .show(ui, |ui| {
                parts::column(ui, COLUMN, |ui| {
                    parts::heading(ui, "Drill");
                    self.whose(ui, shared, &mut started);
                    ui.add_space(6.0);
                    ui.spacing_mut().item_spacing.y = 12.0;
                    resume(ui, session, out);
                    beside = self.works(ui, shared, (session, left), &mut started);
                    beside = ways_beside(ui, shared, session.plan().is_none()).or(beside.take());
                });
            });
        // Who learns is asked for before the first recording, never after.
        match started.pop() {
            Some(start) if shared.learner.is_none() && !self.tried => self.waiting = Some(start),
            start => out.extend(start),
        }
        beside
    }

    /// What a lesson can be about: the plan in hand, words of one's own, or a chain to begin with.
    fn works(
        &mut self,
        ui: &mut Ui,
        shared: &mut Shared,
        (session, left): (&LessonSession, &[PlanPart]),
        started: &mut Vec<Intent>,
    ) -> Option<BesideLesson> {
        let mut beside = session
            .plan()
            .and_then(|plan| planned(ui, shared, (plan, left), started));
        if self.own(ui, session, started) {
            beside = Some(BesideLesson::Models(ModelWords::Typed(self.which.told(&self.typed))));
        }
        if session.plan().is_none() {
            starter(ui, started);
        }
        beside
    }

    /// A lesson is under way: what waited is past.
    pub fn forget(&mut self) {
        self.waiting = None;
    }

    /// Whose lesson it is; without a learner, the question.
    fn whose(&mut self, ui: &mut Ui, shared: &mut Shared, started: &mut Vec<Intent>) {
        let line = match (&shared.learner, self.waiting.is_some()) {
            (Some(learner), false) => format!("For {}. What is done is kept in the notebook.", learner.name),
            (Some(_), true) => {
                started.extend(self.waiting.take());
                return;
            }
            (None, false) => "Nobody is picked yet. It is asked before the lesson starts.".to_owned(),
            (None, true) => return self.ask(ui, shared, started),
        };
        parts::note(ui, &line);
    }

    fn ask(&mut self, ui: &mut Ui, shared: &mut Shared, out: &mut Vec<Intent>) {
        parts::card(ui, |ui| {
            wide(
                ui,
                "Who is learning?",
                "With a learner, what is done is kept in the notebook, on this computer.",
            );
            ui.horizontal_wrapped(|ui| {
                if Button::both(Icon::Today, "Say who is learning")
                    .lead()
                    .show(ui)
                    .clicked()
                {
                    shared.go(MainView::Today);
                }
                if Button::text("Only try it: nothing is kept").show(ui).clicked() {
                    out.extend(self.waiting.take());
                    self.tried = true;
                }
            });
        });
    }

    /// Words of one's own; whether they are to be heard and recorded.
    fn own(&mut self, ui: &mut Ui, session: &LessonSession, out: &mut Vec<Intent>) -> bool {
        let mut hear = false;
        parts::card(ui, |ui| {
            wide(
                ui,
                "Your own words",
                "One after another with spaces between, each one sound away from the last if you like.",
            );
            ui.horizontal(|ui| {
                let edit = TextEdit::singleline(&mut self.typed)
                    .desired_width((ui.available_width() - 180.0).clamp(160.0, 520.0))
                    .min_size(vec2(160.0, 44.0))
                    .align(egui::Align2::LEFT_CENTER);
                let response = ui.add(edit);
                ui.ctx()
                    .accesskit_node_builder(response.id, |node| node.set_label("Your own words"));
                let entered = response.lost_focus() && ui.input(|i| i.key_pressed(egui::Key::Enter));
                let pressed = Button::both(Icon::Play, "Start these").show(ui).clicked();
                if entered && self.which.point_out(&self.typed) {
                    response.request_focus();
                } else if pressed || entered {
                    out.push(Intent::Start(self.which.told(&self.typed)));
                }
            });
            self.which.ask(ui, &self.typed);
            // Only where there are words: the plan in hand has such a button of its own.
            hear = !self.typed.trim().is_empty() && hear_and_record(ui, "Hear and record these");
            if let Some(fault) = session.words_fault() {
                parts::banner(ui, BannerTone::Alarm, fault);
            }
        });
        hear
    }
}

/// What is done beside a lesson.
fn ways_beside(ui: &mut Ui, shared: &mut Shared, no_plan: bool) -> Option<BesideLesson> {
    let mut beside = None;
    ui.horizontal_wrapped(|ui| {
        let reading = Button::both(Icon::Today, "A minute of reading").quiet();
        if reading.enabled(shared.learner.is_some()).show(ui).clicked() {
            beside = Some(BesideLesson::Reading);
        }
        let practice = Button::both(Icon::Sounds, "Practice for the grown-up");
        if practice.quiet().show(ui).clicked() {
            beside = Some(BesideLesson::Practice);
        }
        if no_plan && Button::both(Icon::Plan, "Make a plan").quiet().show(ui).clicked() {
            shared.go(MainView::Plan);
        }
    });
    beside
}

/// The plan in hand: its words, its cards, and what is done before.
fn planned(
    ui: &mut Ui,
    shared: &mut Shared,
    (plan, left): (&Plan, &[PlanPart]),
    started: &mut Vec<Intent>,
) -> Option<BesideLesson> {
    let held = PlanPart::of(plan);
    // Nothing of it is done, or all of it: it begins at its beginning.
    let next = left.first().copied().unwrap_or(PlanPart::Words);
    let led = |button: Button<'static>, part: PlanPart| if part == next { button.lead() } else { button };
    parts::card(ui, |ui| {
        wide(ui, "The plan", &format!("{}: {}", plan.title, holds(plan)));
        let mut beside = None;
        ui.horizontal_wrapped(|ui| {
            let words = led(Button::both(Icon::Play, "Start the plan"), PlanPart::Words);
            if words.show(ui).clicked() {
                started.push(Intent::StartPlan);
            }
            let cards = led(Button::both(Icon::Plan, "Sort the cards"), PlanPart::Cards);
            if held.contains(&PlanPart::Cards) && cards.show(ui).clicked() {
                beside = Some(BesideLesson::Sort);
            }
            let writing = led(Button::both(Icon::Writing, "The writing"), PlanPart::Writing);
            if held.contains(&PlanPart::Writing) && writing.show(ui).clicked() {
                shared.go(MainView::Writing);
            }
            let sentences = !sentences_of(plan).is_empty();
            if sentences
                && Button::both(Icon::Writing, "A sentence to put in order")
                    .show(ui)
                    .clicked()
            {
                beside = Some(BesideLesson::Sentences);
            }
            if hear_and_record(ui, "Hear and record the words") {
                beside = Some(BesideLesson::Models(ModelWords::Plan(Box::new(plan.clone()))));
            }
        });
        beside
    })
}

/// A chain for a first lesson.
fn starter(ui: &mut Ui, started: &mut Vec<Intent>) {
    parts::card(ui, |ui| {
        let words = STARTER.split(' ').count();
        let text = format!("{}, one sound changes each time.", many(words, "word"));
        wide(ui, "A chain to begin with", &text);
        if Button::both(Icon::Play, "Start this chain").show(ui).clicked() {
            started.push(Intent::Start(STARTER.to_owned()));
        }
    });
}

/// The way to the words before the lesson.
fn hear_and_record(ui: &mut Ui, name: &str) -> bool {
    Button::both(Icon::Speaker, name).quiet().show(ui).clicked()
}

fn resume(ui: &mut Ui, session: &LessonSession, out: &mut Vec<Intent>) {
    let Some(draft) = session.draft() else { return };
    // Not the word itself: the child may be looking.
    let (_, at, of) = draft.place();
    parts::card(ui, |ui| {
        wide(ui, "A lesson was broken off", &format!("At word {at} of {of}."));
        ui.horizontal(|ui| {
            if Button::both(Icon::Play, "Go on with it").lead().show(ui).clicked() {
                out.push(Intent::Resume);
            }
            if Button::text("That was all of it").quiet().show(ui).clicked() {
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

/// While the words are read.
fn coming(ui: &mut Ui, what: &str, out: &mut Vec<Intent>) {
    ui.add_space(60.0);
    ui.vertical_centered(|ui| {
        ui.add(egui::Spinner::new().size(44.0));
        ui.label(RichText::new(what).size(20.0));
        if Button::text("Cancel").quiet().show(ui).clicked() {
            out.push(Intent::Cancel);
        }
    });
}
