//! The Notebook view: who learns, what was done, and the review of it.
//!
//! Nothing here opens a file: what is shown was asked of the notebook's own thread, and what people do is given to it as
//! errands.

mod attempt;
mod compare;
mod desk;
mod diagnosis;
mod hand;
mod keys;
mod lesson_row;
mod lessons;
mod note;
mod notes;
mod old;
mod people;
mod progress;
mod review;
mod timeline;
mod told;
mod wave;
mod writing;

use egui::{Key, Modifiers, Ui, vec2};

use super::icons::Icon;
use super::parts::{self, Button};
use super::shared::{MainView, Shared};
use crate::equipment::LearnerInHand;
use crate::notebook::{Author, Id};
use crate::plan::Plan;
use crate::review::session::ReviewIntent;

use desk::DeskOpens;

/// A part of the view.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
enum Tab {
    /// Attempts, one after another.
    #[default]
    Attempts,
    /// What they add up to.
    Progress,
    /// What was written.
    Writing,
    /// Lessons as a list, and goals.
    Lessons,
    /// Articulation notes.
    Notes,
    /// Report, hand-over, files for other programs.
    Share,
}

/// What each key does, for the help page.
const KEYS: [(&str, &str); 1] = [("D", "all learners at a glance")];

const TABS: [(Tab, &str); 6] = [
    (Tab::Attempts, "Attempts"),
    (Tab::Progress, "Progress"),
    (Tab::Writing, "Writing"),
    (Tab::Lessons, "Lessons and goals"),
    (Tab::Notes, "Notes"),
    (Tab::Share, "Report and hand-over"),
];

/// The notebook as it is looked at.
#[derive(Default)]
pub struct NotebookView {
    people: people::People,
    /// All learners at a glance, while that is looked at.
    desk: desk::DeskPart,
    at_desk: bool,
    /// Whether what is shown was opened from the desk: Esc leads back there.
    from_desk: bool,
    /// Whether something had the keyboard's focus in the frame before: Esc then only takes that away.
    focused: bool,
    tab: Tab,
    /// Whose parts are below.
    who: Option<Id>,
    review: review::Review,
    progress: progress::ProgressPart,
    writing: writing::WritingPart,
    lessons: lessons::LessonsPart,
    notes: notes::NotesPart,
    /// A lesson that was made for a noted sound.
    planned: Option<Plan>,
    hand: hand::HandoverPart,
}

impl NotebookView {
    /// The attempt that is shown in the review, if one is.
    pub fn reviewed(&self) -> Option<Id> {
        self.review.shown()
    }

    /// Asks for everything anew when it is next shown: a lesson may have added to it.
    pub fn renew(&mut self, shared: &mut Shared) {
        self.progress = progress::ProgressPart::default();
        self.writing.stale();
        self.notes.stale(shared);
        self.review.stale();
        self.desk.stale();
        self.lessons.stale();
    }

    /// The lesson that was made for a noted sound; once.
    pub fn take_plan(&mut self) -> Option<Plan> {
        self.planned.take()
    }

    /// The way to the desk: there where several learn, or a consultant sits here.
    fn way_to_desk(&mut self, ui: &mut Ui, shared: &mut Shared) {
        let offered = self.people.several() || (self.people.any() && shared.prefs.author == Author::Consultant);
        self.at_desk &= offered;
        if !offered {
            return;
        }
        shared.keys(&KEYS);
        let key = !ui.ctx().text_edit_focused() && ui.input_mut(|i| i.consume_key(Modifiers::NONE, Key::D));
        let button = Button::text("Desk")
            .name("Desk: all learners")
            .selected(self.at_desk)
            .key("D");
        if button.show(ui).clicked() || key {
            self.at_desk = !self.at_desk;
            self.desk.stale();
            self.review.apply(shared, ReviewIntent::Away);
        }
    }

    /// Opens what was picked on the desk.
    fn open(&mut self, shared: &mut Shared, opens: DeskOpens) {
        (self.at_desk, self.tab, self.from_desk) = (false, Tab::Attempts, true);
        self.review.lose_sight();
        match opens {
            DeskOpens::Learner(learner) => people::pick(shared, &learner),
            DeskOpens::Attempt(learner, id) => {
                people::pick(shared, &learner);
                self.review.apply(shared, ReviewIntent::Open(id));
            }
            DeskOpens::Picked(learner, filter) => {
                people::pick(shared, &learner);
                self.review.poll(shared);
                self.review.apply(shared, ReviewIntent::Filter(filter));
            }
            DeskOpens::Today(learner) => {
                people::pick(shared, &learner);
                shared.go(MainView::Today);
            }
        }
    }

    /// Shows it.
    pub fn show(&mut self, ui: &mut Ui, shared: &mut Shared) {
        let mut to_desk = false;
        ui.horizontal_wrapped(|ui| {
            ui.spacing_mut().item_spacing = vec2(6.0, 6.0);
            parts::heading(ui, "Notebook");
            ui.add_space(10.0);
            self.way_to_desk(ui, shared);
            to_desk = self.at_desk;
            if self.people.show(ui, shared) {
                to_desk = false;
            }
        });
        self.people.question(ui, shared);
        self.at_desk = to_desk;
        if self.people.take_anew() {
            self.renew(shared);
        }
        self.review.poll(shared);
        if let Some(plan) = self.notes.poll(shared) {
            self.planned = Some(plan);
        }
        self.hand.work(shared, &mut self.people);
        if self.at_desk {
            ui.add_space(6.0);
            if let Some(opens) = self.desk.show(ui, shared) {
                self.open(shared, opens);
            }
            return;
        }
        let Some(learner) = shared.learner.clone() else {
            let (title, text) = self.people.nobody();
            parts::empty(ui, Icon::Notebook, title, text);
            ui.add_space(16.0);
            self.hand.bring_in(ui, shared);
            return;
        };
        if self.who != Some(learner.id) {
            self.who = Some(learner.id);
            self.progress = progress::ProgressPart::default();
            self.writing = writing::WritingPart::default();
        }
        self.parts_of(ui, shared, &learner);
        self.back_to_desk(ui, shared);
    }

    /// Esc, where nothing in the part had a use for it, goes one step back: to the desk that led here.
    fn back_to_desk(&mut self, ui: &Ui, shared: &mut Shared) {
        let held = std::mem::replace(&mut self.focused, ui.ctx().memory(|m| m.focused().is_some()));
        let asked = ui.ctx().memory(|m| m.top_modal_layer().is_some());
        if self.from_desk && !held && !asked && ui.input_mut(|i| i.consume_key(Modifiers::NONE, Key::Escape)) {
            (self.from_desk, self.at_desk) = (false, true);
            self.desk.stale();
            self.review.apply(shared, ReviewIntent::Away);
        }
    }

    /// The parts of one learner's notebook, and the one that is open.
    fn parts_of(&mut self, ui: &mut Ui, shared: &mut Shared, learner: &LearnerInHand) {
        ui.add_space(4.0);
        if parts::choice(ui, "Part", &mut self.tab, &TABS) {
            // What was changed in another part is asked for anew. Who goes on to another part is here, not on the desk's errand.
            self.from_desk = false;
            self.renew(shared);
            self.review.lose_sight();
            self.review.apply(shared, ReviewIntent::Away);
        }
        ui.add_space(6.0);
        match self.tab {
            Tab::Attempts => self.review.show(ui, shared),
            Tab::Progress => self.progress.show(ui, shared, learner.id),
            Tab::Writing => self.writing.show(ui, shared, learner.id),
            Tab::Lessons => {
                if let Some(day) = self.lessons.show(ui, shared, learner.id) {
                    self.tab = Tab::Attempts;
                    self.review.apply(shared, ReviewIntent::Day(day));
                }
            }
            Tab::Notes => self.notes.show(ui, shared),
            Tab::Share => self.hand.show(ui, shared, learner),
        }
    }
}
