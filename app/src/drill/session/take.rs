//! Recording the word, and having the ear listen.

use std::sync::Arc;

use super::{Busy, LessonSession, Notice};
use crate::drill::listen::{EarThread, ListenRequest as Heard};
use crate::drill::{Lesson, TryKept, WordStep, model};
use crate::equipment::Equipment;
use crate::later::Later;
use crate::notebook::Cued;
use crate::recorder::{RecordingOutcome, Stage, Take};

impl LessonSession {
    pub(super) fn record(&mut self, at: &mut Equipment, model: bool) {
        let at_beads = self.lesson.as_ref().is_some_and(|l| l.step() == WordStep::Beads);
        if !at_beads || !self.free() || self.recorder.stage() != Stage::Idle {
            return;
        }
        self.notice = None;
        self.silence(at);
        let speaking = self.lesson.as_ref().map(Lesson::speaking).unwrap_or_default();
        self.modelling = model;
        self.recorder.start(at.mic.as_mut(), at.device.as_deref(), speaking);
    }

    pub(super) fn again(&mut self, at: &mut Equipment) {
        if self.lesson.as_ref().is_some_and(|l| l.step() == WordStep::Look) {
            self.silence(at);
            self.with(Lesson::again);
            self.grown_up = false;
            self.record(at, false);
        }
    }

    pub(super) fn stop(&mut self, at: &mut Equipment) {
        if let Some(outcome) = self.recorder.stop() {
            self.came(at, outcome);
        }
    }

    pub(super) fn cancel(&mut self) {
        self.recorder.cancel();
        (self.reading, self.words) = (None, None);
        if !matches!(self.busy, Busy::Writing(_)) {
            self.busy = Busy::Free;
        }
    }

    /// A recording came out.
    pub(super) fn came(&mut self, at: &Equipment, outcome: RecordingOutcome) {
        let notice = |text: String, failed: bool| Some(Notice { text, failed });
        match outcome {
            RecordingOutcome::Take(take) if std::mem::take(&mut self.modelling) => self.keep_model(at, &take),
            RecordingOutcome::Take(take) => {
                let cued = self.lesson.as_ref().map(|l| l.cued(l.at()));
                self.listen(at, *take, None, cued);
            }
            RecordingOutcome::NotHeard => {
                let line = "No voice was heard. Come a little closer, press Space and say the word.";
                self.notice = notice(line.to_owned(), false);
            }
            RecordingOutcome::Fault(fault) => self.notice = notice(fault.to_string(), true),
        }
    }

    /// Has the ear listen to a recording of the word in hand. `kept` is where it is kept already, `cued` whether help came before it.
    pub(super) fn listen(&mut self, at: &Equipment, take: Take, kept: Option<TryKept>, cued: Option<Cued>) {
        let Some(lesson) = &self.lesson else { return };
        let speaking = lesson.speaking();
        let question = Heard {
            recording: take.recording.clone(),
            target: lesson.word().target.clone(),
            speaking,
            rules: lesson.rules().clone(),
            lesson: lesson
                .words()
                .iter()
                .map(|w| (w.spelling.clone(), w.target.variants.clone()))
                .collect(),
        };
        let listener = self.listener.get_or_insert_with(|| EarThread::new(at.wake.clone()));
        self.busy = Busy::Listening {
            answer: listener.ask(question),
            take: Box::new(take),
            said: (speaking, cued),
            kept,
        };
    }

    /// Keeps the parent's recording of the word in hand as its model.
    fn keep_model(&mut self, at: &Equipment, take: &Take) {
        let Some(lesson) = &self.lesson else { return };
        if let Some(note) = take.notes().into_iter().next() {
            let text = format!("The model was not kept. {note}");
            self.notice = Some(Notice { text, failed: false });
            return;
        }
        let word = lesson.word().spelling.clone();
        let clip = Arc::new(model::trimmed(&take.recording.clip));
        self.models.insert(word.clone(), clip.clone());
        let folder = at.folder.to_owned();
        self.keeping_model = Some(Later::start(at.wake.clone(), "Keeping the model", move |_| {
            model::keep(&folder, &word, &clip)
        }));
    }
}
