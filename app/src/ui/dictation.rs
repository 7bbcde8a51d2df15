//! The Writing view: words are said, the child writes them, and afterwards the parent reads what the writing shows.
//!
//! What happens is the [`DictationSession`]'s; this draws its state and sends it [`DictationIntent`]s.

mod after;
mod ask;
mod write;

use egui::Ui;

use super::parts::{self, BannerTone, Button};
use super::shared::Shared;
use crate::drill::dictation::session::{DictationIntent, DictationSession};
use crate::drill::ending::PartDone;
use crate::drill::plan_parts::PlanPart;
use crate::equipment::News;
use crate::plan::Plan;

/// The dictation as it is drawn.
#[derive(Default)]
pub struct DictationView {
    session: DictationSession,
    ask: ask::DictationForm,
    /// Since when the end of the dictation is looked at, in the window's seconds.
    done_since_s: Option<f64>,
}

impl DictationView {
    /// Takes in what came, whether the view is shown or not.
    pub fn poll(&mut self, shared: &mut Shared) {
        self.session.poll(&mut shared.equipment());
        self.tell(shared);
    }

    /// Whether the words that this plan dictates were written, while that is looked at.
    pub fn wrote(&self, plan: &Plan) -> bool {
        // The plan is read only then: this is asked in every frame.
        let done = self.session.dictation().filter(|d| d.done() && d.written() > 0);
        done.is_some_and(|d| d.is_of(&ask::dictated(plan).0))
    }

    /// What the child did, a bead for each word.
    pub fn deed(&self) -> Option<PartDone> {
        self.session.dictation().map(|d| PartDone {
            part: PlanPart::Writing,
            deed: d.deed(),
            beads: d.written(),
            words: d.written_right().map(str::to_owned).collect(),
        })
    }

    /// Says what failed, and nothing of what was done: the end of the lesson tells it.
    pub fn tell_faults(&mut self, shared: &mut Shared) {
        let failed = |news: &News| matches!(news, News::Failed(_));
        shared.tell(self.session.news().into_iter().filter(failed).collect());
    }

    fn tell(&mut self, shared: &mut Shared) {
        for news in self.session.news() {
            match news {
                News::Said(line) => shared.say(line),
                News::Failed(line) => shared.say_failed(line),
            }
        }
    }

    /// Shows it; `due` are words that are to be written again, `plan` the plan in hand. Whether the plan's writing was closed,
    /// done.
    pub fn show(&mut self, ui: &mut Ui, shared: &mut Shared, due: &[String], plan: Option<&Plan>) -> bool {
        let mut out = Vec::new();
        let wrote = plan.is_some_and(|plan| self.wrote(plan));
        unkept(ui, &self.session, &mut out);
        if self.session.dictation().is_none_or(|d| !d.done()) {
            self.done_since_s = None;
        }
        match self.session.dictation() {
            None => {
                // Out of the lesson, the plan's words begin at once, or go on; another dictation that was broken off is asked about.
                if shared.dictate && self.session.knows_drafts() {
                    shared.dictate = false;
                    out.extend(match self.session.draft() {
                        Some(left) => plan
                            .filter(|plan| left.is_of(&ask::dictated(plan).0))
                            .map(|_| DictationIntent::Resume),
                        None => plan.and_then(ask::start_planned),
                    });
                }
                self.ask.show(ui, shared, &self.session, (due, plan), &mut out);
            }
            Some(dictation) if dictation.done() => {
                let (words, sentences) = plan.map(ask::dictated).unwrap_or_default();
                let sentences = if dictation.is_of(&words) { sentences } else { Vec::new() };
                let since_s = *self.done_since_s.get_or_insert(ui.input(|i| i.time));
                after::show(ui, shared, (&self.session, dictation, &sentences, since_s), &mut out);
            }
            Some(dictation) => write::show(ui, shared, (dictation, self.session.no_sound()), &mut out),
        }
        // What was typed for it goes with it, so that no list is taken in twice; what was not taken in stays.
        if out
            .iter()
            .any(|intent| matches!(intent, DictationIntent::End | DictationIntent::Pause))
        {
            self.ask = ask::DictationForm::with_left(self.session.untaken());
        }
        let closed = wrote && out.contains(&DictationIntent::End);
        for intent in out {
            self.session.apply(&mut shared.equipment(), intent);
        }
        // What follows the plan's writing tells it by itself, or not: that is known where it is gone to.
        if !closed {
            self.tell(shared);
        }
        closed
    }
}

/// What could not be written into the notebook, with a way to try again.
fn unkept(ui: &mut Ui, session: &DictationSession, out: &mut Vec<DictationIntent>) {
    let Some(why) = session.unkept() else { return };
    let line = format!("Not in the notebook yet: {why}. It is kept here and tried again.");
    ui.horizontal_wrapped(|ui| {
        if Button::text("Try again now").show(ui).clicked() {
            out.push(DictationIntent::SaveAgain);
        }
        parts::banner(ui, BannerTone::Alarm, &line);
    });
}
