//! What the microphone, the ear, the notebook and the files have to say, taken in once a frame.

use egui::Ui;

use super::{Busy, DrillView, keep};
use crate::drill::Try;
use crate::mic::Playing as Player;
use crate::recorder::{Stage, Take};
use crate::ui::jobs::Outcome as Ended;
use crate::ui::parts::Tone;
use crate::ui::shared::Shared;

/// Who is away from the lesson for so long, in seconds, has left it.
const AWAY_S: f64 = 2.0;

impl DrillView {
    pub(super) fn poll(&mut self, ui: &Ui, shared: &mut Shared) {
        self.recording(ui, shared);
        self.model_kept(shared);
        self.player(ui, shared);
        self.planned(shared);
        self.words(shared);
        self.drafts(shared);
        self.brought(ui, shared);
        self.busy = match std::mem::take(&mut self.busy) {
            Busy::Free => Busy::Free,
            Busy::Fetching(id, answer) => self.fetched(ui, id, answer),
            Busy::Writing(writing) => self.written(writing),
            listening => self.heard(shared, listening),
        };
    }

    /// A file that was brought in takes the place of what is being recorded, but not of what is being written.
    fn brought(&mut self, ui: &Ui, shared: &mut Shared) {
        self.bring.dropped(ui, shared, self.lesson.is_some());
        if !self.busy.free() {
            return;
        }
        match self.bring.take() {
            Some(Ok(recording)) => {
                self.recorder.cancel();
                self.listen(ui, Take::from_file(recording), None);
            }
            Some(Err(line)) => self.line = Some((Tone::Alarm, line)),
            None => {}
        }
    }

    fn recording(&mut self, ui: &Ui, shared: &mut Shared) {
        let now = ui.input(|i| i.time);
        let away = now - std::mem::replace(&mut self.seen, now) > AWAY_S;
        if self.recorder.stage() == Stage::Idle {
            return;
        }
        ui.ctx().request_repaint();
        // Who leaves in the middle of a recording ends it; what was said is kept.
        let outcome = if away {
            self.recorder.stop()
        } else {
            self.recorder.poll()
        };
        if let Some(outcome) = outcome {
            self.came(ui, shared, outcome);
        }
    }

    fn player(&mut self, ui: &Ui, shared: &mut Shared) {
        if self.playing.is_none() {
            return;
        }
        match shared.player.playing() {
            Player::At(_) => ui.ctx().request_repaint(),
            Player::Nothing => self.playing = None,
            Player::Failed(fault) => {
                self.playing = None;
                self.no_sound = Some(fault.to_string());
            }
        }
    }

    fn model_kept(&mut self, shared: &mut Shared) {
        let Some(ended) = self.keeping_model.as_mut().and_then(|job| job.take()) else {
            return;
        };
        self.keeping_model = None;
        match ended {
            Ended::Done(Ok(())) => shared.say("This is the model now."),
            Ended::Done(Err(line)) => shared.say_failed(format!("The model is there for this lesson only. {line}")),
            Ended::Cancelled | Ended::Failed => shared.say_failed("The model is there for this lesson only."),
        }
    }

    /// A plan that the Plan view sent begins at once, unless a lesson is under way.
    fn planned(&mut self, shared: &mut Shared) {
        let Some(plan) = shared.plan.take() else { return };
        self.plan = Some(plan);
        match &self.lesson {
            None => self.read_plan(shared),
            Some(_) => shared.say("A lesson is under way. End it to start the plan."),
        }
    }

    fn words(&mut self, shared: &Shared) {
        let Some(ended) = self.words.as_mut().and_then(|job| job.take()) else {
            return;
        };
        self.words = None;
        match ended {
            Ended::Done(Ok(ready)) => self.begin_lesson(shared, ready),
            Ended::Done(Err(line)) => self.start.fault = Some(line),
            Ended::Cancelled => {}
            Ended::Failed => self.start.fault = Some("The words could not be read. Please report it.".into()),
        }
    }

    /// Asks once a learner whether a lesson was broken off.
    fn drafts(&mut self, shared: &mut Shared) {
        let learner = shared.learner.as_ref().map(|l| l.id);
        if self.drafts != learner && self.lesson.is_none() {
            (self.drafts, self.start.draft) = (learner, None);
            self.draft = learner.map(|id| keep::draft(shared, id));
        }
        if let Some(answer) = self.draft.as_ref().and_then(|a| a.take()) {
            self.draft = None;
            match answer {
                Ok(draft) => self.start.draft = draft,
                Err(e) => shared.say_failed(keep::fault(&e)),
            }
        }
    }

    fn heard(&mut self, shared: &Shared, busy: Busy) -> Busy {
        let answer = self.listener.as_mut().and_then(|l| l.take());
        let (Busy::Listening { take, speaking, kept }, Some(lesson)) = (busy, &mut self.lesson) else {
            return Busy::Free;
        };
        let Some(answer) = answer else {
            return Busy::Listening { take, speaking, kept };
        };
        let heard = Try {
            take: *take,
            speaking,
            heard: answer.heard,
            picture: answer.picture,
            kept: kept.clone().unwrap_or(crate::drill::Kept::Nowhere),
        };
        self.news = true;
        if kept.is_some() {
            lesson.bring_back(heard);
            return Busy::Free;
        }
        match self.keeper.write(shared, lesson, heard) {
            Ok(writing) => Busy::Writing(writing),
            Err(heard) => {
                lesson.heard(*heard);
                Busy::Free
            }
        }
    }

    /// Shown only now that it is kept.
    fn written(&mut self, writing: keep::Writing) -> Busy {
        match self.keeper.written(writing) {
            Ok(heard) => {
                self.news = true;
                if let Some(lesson) = &mut self.lesson {
                    lesson.heard(*heard);
                }
                Busy::Free
            }
            Err(writing) => Busy::Writing(writing),
        }
    }

    fn fetched(
        &mut self,
        ui: &Ui,
        id: crate::notebook::Id,
        answer: crate::notebook::Answer<Option<soundbead_dsp::audio::Recording>>,
    ) -> Busy {
        match answer.take() {
            None => Busy::Fetching(id, answer),
            Some(Ok(Some(recording))) => {
                self.busy = Busy::Free;
                self.listen(ui, Take::from_file(recording), Some(crate::drill::Kept::As(id)));
                std::mem::take(&mut self.busy)
            }
            // Without its recording, the word is said anew.
            Some(_) => Busy::Free,
        }
    }
}
