//! The Drill view: a lesson, word by word.
//!
//! What happens is the [`LessonSession`]'s; this draws its state and sends it [`Intent`]s.

pub(super) mod beads;
mod bring;
mod close_up;
mod ending;
mod frame;
mod hear;
mod keys;
mod letters;
mod look;
mod models;
mod picture;
mod practice;
mod reading;
mod record;
mod room;
mod scrambled;
mod sorting;
mod start;
mod string;
mod which;

use egui::Ui;

use start::BesideLesson;

use super::parts::{self, BannerTone, Button};
use super::shared::Shared;
use crate::drill::ending::PartDone;
use crate::drill::model_pass::ModelPassIntent;
use crate::drill::plan_parts::PlanPart;
use crate::drill::practice::{Exercise, PracticeIntent};
use crate::drill::scrambled::sentences_of;
use crate::drill::session::{Intent, LessonSession};
use crate::drill::{Lesson, WordStep};
use crate::equipment::{Equipment, News};
use crate::plan::{Content, Plan, SortGroup};
use crate::recorder::Recorder;

/// What is drawn.
struct Scene<'a> {
    session: &'a LessonSession,
    lesson: &'a Lesson,
    recorder: &'a Recorder,
    /// Whether numbers and notes are hidden.
    child: bool,
    /// Where in the recording it is playing, in seconds.
    playing_s: Option<f32>,
    /// The bead whose sound the model voice says just now, from 0.
    says: Option<usize>,
    /// Whether the plan goes on after these words.
    more: bool,
}

/// The lesson as it is drawn.
#[derive(Default)]
pub struct DrillView {
    session: LessonSession,
    start: start::LessonStart,
    models: models::ModelPassView,
    sort: sorting::SortView,
    practice: practice::PracticeView,
    reading: reading::ReadingView,
    scrambled: scrambled::ScrambledView,
    bring: bring::BringView,
    cache: picture::PictureCache,
    /// The word and step that were shown last, to know when they change.
    shown: Option<(usize, WordStep)>,
    /// Whether a widget had the keyboard's focus when the last frame ended.
    held: bool,
    /// The plan in hand as it was told last.
    held_plan: Option<Plan>,
}

impl DrillView {
    /// Takes in what came, whether the view is shown or not. A recording that is under way ends when it is not.
    pub fn poll(&mut self, shared: &mut Shared, shown: bool) {
        if let Some(plan) = shared.plan.take() {
            self.act(shared, Intent::Plan(Box::new(plan)));
        }
        if !shown {
            self.act(shared, Intent::Away);
        }
        if self.session.poll(&mut shared.equipment()) {
            shared.ctx.request_repaint();
        }
        self.models.poll(shared, shown);
        self.sort.poll(shared);
        self.practice.poll(shared, shown);
        self.reading.poll(shared, shown);
        self.scrambled.poll(shared);
        self.tell(shared);
    }

    /// Whether the end of a lesson is there to be looked at.
    pub fn has_ending(&self) -> bool {
        self.session.ending().is_some()
    }

    /// The sort, once its cards lie as they belong.
    pub fn sorted(&self) -> Option<PartDone> {
        self.sort.deed().map(|deed| PartDone {
            part: PlanPart::Cards,
            deed,
            beads: 0,
            words: Vec::new(),
        })
    }

    /// Another part of the plan is done: the end of the lesson tells it. `words_done` where the plan's words are done, tonight or
    /// another evening.
    pub fn besides(&mut self, shared: &mut Shared, (done, words_done): (PartDone, bool)) {
        let intent = match words_done && !self.under_way() {
            true => Intent::EndOfPart(done),
            false => Intent::Besides(done),
        };
        self.act(shared, intent);
    }

    /// Whether a lesson is under way.
    pub fn under_way(&self) -> bool {
        self.session.lesson().is_some()
    }

    /// Whether a lesson of the learner in hand was broken off.
    pub fn broken_off(&self) -> bool {
        self.session.draft().is_some()
    }

    /// Takes the plan in hand, where it is another than before.
    pub fn hold_plan(&mut self, plan: Option<&Plan>) {
        if self.held_plan.as_ref() != plan {
            self.held_plan = plan.cloned();
            self.session.hold_plan(plan.cloned());
        }
    }

    /// The plan in hand.
    pub fn plan(&self) -> Option<&Plan> {
        self.session.plan()
    }

    /// The parts of that plan that are done, while their end is shown.
    pub fn parts_done(&self) -> Vec<PlanPart> {
        let words = self
            .plan()
            .zip(self.session.ending())
            .is_some_and(|(plan, ending)| ending.is_of(plan));
        let cards = self.sort.is_settled();
        let each = [(words, PlanPart::Words), (cards, PlanPart::Cards)];
        each.into_iter()
            .filter(|(done, _)| *done)
            .map(|(_, part)| part)
            .collect()
    }

    /// Deals the plan's cards, unless a lesson is under way.
    pub fn sort_cards(&mut self, shared: &mut Shared) {
        if !self.under_way() {
            self.deal(shared);
        }
    }

    /// Goes on with the lesson that was broken off.
    pub fn resume(&mut self, shared: &mut Shared) {
        self.act(shared, Intent::Resume);
    }

    /// Opens a minute of quick reading, unless a lesson is under way.
    pub fn read(&mut self, shared: &mut Shared) {
        if !self.under_way() {
            self.reading.open(shared);
        }
    }

    fn act(&mut self, shared: &mut Shared, intent: Intent) {
        self.session.apply(&mut shared.equipment(), intent);
    }

    fn tell(&mut self, shared: &mut Shared) {
        for news in self.session.news() {
            match news {
                News::Said(line) => shared.say(line),
                News::Failed(line) => shared.say_failed(line),
            }
        }
    }

    /// Shows it; `left` is what is left of the plan in hand.
    pub fn show(&mut self, ui: &mut Ui, shared: &mut Shared, left: &[PlanPart]) {
        let (mut out, mut beside) = (Vec::new(), None);
        if self.session.lesson().is_none() && self.beside(ui, shared) {
            return;
        }
        let equipment = shared.equipment();
        let (playing, playing_s) = (self.session.plays(&equipment), self.session.playing_s(&equipment));
        let says = self.session.model_says(&equipment);
        keys::read(ui, shared, &self.session, (playing, self.held), &mut out);
        bring::dropped(ui, self.session.lesson().is_some(), &mut out);
        match self.session.lesson() {
            Some(_) => {
                self.start.forget();
                let more = left.iter().any(|part| *part != PlanPart::Words);
                self.lesson(ui, (playing_s, says, more), &mut out);
            }
            None => match self.session.ending() {
                Some(ending) => {
                    let plan = self.session.plan();
                    let has = |part| plan.is_some_and(|plan| PlanPart::of(plan).contains(&part));
                    let more = ending::MoreWork {
                        writing: has(PlanPart::Writing),
                        sort: has(PlanPart::Cards),
                        next: left.iter().copied().find(|part| *part != PlanPart::Words),
                        sentences: plan.is_some_and(|plan| !sentences_of(plan).is_empty()),
                    };
                    beside = ending::show(ui, shared, (ending, more), &mut out);
                }
                None => beside = self.start.show(ui, shared, (&self.session, left), &mut out),
            },
        }
        if let Some(beside) = beside {
            self.open(shared, beside);
        }
        self.bring.show(ui, shared, &self.session, &mut out);
        close_up::show(ui, &self.session, &mut out);
        for intent in out {
            self.act(shared, intent);
        }
        self.tell(shared);
        self.held = ui.memory(|m| m.focused().is_some());
    }

    /// What is done beside the lesson, while it is open; whether something was shown.
    fn beside(&mut self, ui: &mut Ui, shared: &mut Shared) -> bool {
        if self.sort.is_open() {
            self.sort.show(ui, shared);
        } else if self.models.is_open() {
            self.models.show(ui, shared);
        } else if self.practice.is_open() {
            self.practice.show(ui, shared);
        } else if self.reading.is_open() {
            self.reading.show(ui, shared);
        } else if self.scrambled.is_open() {
            self.scrambled.show(ui, shared);
        } else {
            return false;
        }
        true
    }

    /// Opens what is done beside the lesson.
    fn open(&mut self, shared: &mut Shared, beside: BesideLesson) {
        match beside {
            BesideLesson::Models(words) => self.models.act(shared, ModelPassIntent::Open(words)),
            BesideLesson::Sort => self.deal(shared),
            BesideLesson::Practice => self.practice.act(shared, PracticeIntent::Open(Exercise::Count)),
            BesideLesson::Reading => self.reading.open(shared),
            BesideLesson::Sentences => {
                let sentences = self.session.plan().map(sentences_of).unwrap_or_default();
                self.scrambled.deal(shared, sentences);
            }
        }
    }

    /// Deals the cards of the plan in hand.
    fn deal(&mut self, shared: &mut Shared) {
        if let Some(groups) = self.session.plan().and_then(sort_of) {
            self.sort.deal(shared, groups.to_vec());
        }
    }

    fn lesson(
        &mut self,
        ui: &mut Ui,
        (playing_s, says, more): (Option<f32>, Option<usize>, bool),
        out: &mut Vec<Intent>,
    ) {
        let Some(lesson) = self.session.lesson() else { return };
        let now = (lesson.at(), lesson.step());
        let fresh = self.shown.replace(now) != Some(now);
        let scene = Scene {
            session: &self.session,
            lesson,
            recorder: self.session.recorder(),
            child: !self.session.grown_up(),
            playing_s,
            says,
            more,
        };
        frame::top(ui, &scene, out);
        unkept(ui, &scene, out);
        frame::foot(ui, &scene, out);
        let cache = &mut self.cache;
        egui::ScrollArea::vertical()
            .id_salt("lesson")
            .auto_shrink([false, false])
            .show(ui, |ui| match self.session.work() {
                None => room::in_the_middle(ui, |ui| frame::step(ui, &scene, cache, fresh, out)),
                Some(work) => frame::working(ui, work, out),
            });
    }
}

/// The columns of a plan's first sort.
fn sort_of(plan: &Plan) -> Option<&[SortGroup]> {
    plan.items.iter().find_map(|item| match &item.content {
        Content::Sort(groups) if groups.len() > 1 => Some(groups.as_slice()),
        _ => None,
    })
}

/// A bead's sound for those who do not see it, and whether the model voice says it just now.
fn sound_name(at: usize, plain: &str, says: Option<usize>) -> String {
    let now = if says == Some(at) { ", heard now" } else { "" };
    let plain = if plain.is_empty() {
        String::new()
    } else {
        format!(": {plain}")
    };
    format!("Bead {}{plain}{now}", at + 1)
}

/// What could not be written into the notebook, with a way to try again.
fn unkept(ui: &mut Ui, scene: &Scene, out: &mut Vec<Intent>) {
    let Some(why) = scene.session.unkept() else { return };
    let line = format!("Not in the notebook yet: {why}. It is kept here and tried again.");
    ui.horizontal_wrapped(|ui| {
        if Button::text("Try again now").show(ui).clicked() {
            out.push(Intent::SaveAgain);
        }
        parts::banner(ui, BannerTone::Alarm, &line);
    });
}

impl Shared {
    /// What a session works with.
    pub(super) fn equipment(&mut self) -> Equipment<'_> {
        Equipment {
            folder: &self.folder,
            notebook: &self.notebook,
            mic: &mut self.mic,
            device: &mut self.device,
            playback: &mut self.playback,
            learner: &mut self.learner,
            author: &mut self.prefs.author,
            rules: &self.prefs.rules,
            wake: &self.wake,
        }
    }
}
