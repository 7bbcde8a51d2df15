//! What people ask for, carried out.

use std::sync::Arc;

use egui::Ui;
use soundbead_data::word::Overrides;
use soundbead_dsp::audio::RATE;
use soundbead_dsp::slow;

use super::{Busy, DrillView, Intent, Playing, Ready};
use crate::drill::listen::{Listener, Question};
use crate::drill::{Kept, Lesson, Step, Word, model, read};
use crate::fault::Fault;
use crate::mic::Playing as Player;
use crate::plan::{Item, Plan, PlanWord};
use crate::recorder::{Outcome, Stage, Take};
use crate::store;
use crate::ui::jobs::Job;
use crate::ui::parts::Tone;
use crate::ui::shared::Shared;

/// What is played before and after a sound, in seconds: its edges are not sharp.
const AROUND_S: f32 = 0.015;

impl DrillView {
    pub(super) fn act(&mut self, ui: &Ui, shared: &mut Shared, intent: Intent) {
        self.news = true;
        match intent {
            Intent::Start(text) => self.read_words(shared, text),
            Intent::StartPlan => self.read_plan(shared),
            Intent::Resume => self.resume(shared),
            Intent::DropDraft => self.drop_draft(shared),
            Intent::Record => self.record(shared, false),
            Intent::RecordModel => self.record(shared, true),
            Intent::HearModel => self.hear_model(shared),
            Intent::Stop => {
                if let Some(outcome) = self.recorder.stop() {
                    self.came(ui, shared, outcome);
                }
            }
            Intent::Cancel => self.cancel(),
            Intent::Again => {
                self.silence(shared);
                self.with(Lesson::again);
                self.record(shared, false);
            }
            Intent::Play(speed) => self.play(shared, None, speed),
            Intent::Hear(sound) => self.play(shared, Some(sound), 1.0),
            Intent::Silence => self.silence(shared),
            Intent::Undo => self.undo(shared),
            Intent::ChildView => self.child = !self.child,
            Intent::Import => self.bring.ask_for_file(),
            Intent::Devices => self.bring.ask_for_device(shared),
            Intent::End => self.end(shared),
            other => self.with(|lesson| plain(lesson, other)),
        }
    }

    fn with(&mut self, act: impl FnOnce(&mut Lesson)) {
        if let Some(lesson) = &mut self.lesson {
            act(lesson);
        }
    }

    fn read_words(&mut self, shared: &Shared, text: String) {
        self.start.fault = None;
        let (rules, folder) = (shared.prefs.rules.clone(), shared.folder.clone());
        self.words = Some(Job::start(&shared.ctx, "Reading the words", move |_| {
            let overrides = store::overrides_in(&folder).map_err(line)?;
            let words = read(&text, &overrides, &rules)?;
            Ok(Ready {
                models: model::load(&folder, &words),
                lesson: Lesson::new(words, rules),
                session: None,
                looked_at: None,
            })
        }));
    }

    /// Reads the words of the plan in hand, under the plan's own rules.
    pub(super) fn read_plan(&mut self, shared: &Shared) {
        let Some(plan) = self.plan.clone() else { return };
        self.start.fault = None;
        let folder = shared.folder.clone();
        self.words = Some(Job::start(&shared.ctx, "Reading the plan", move |_| {
            let overrides = store::overrides_in(&folder).map_err(line)?;
            let words = planned(&plan, &overrides)?;
            Ok(Ready {
                models: model::load(&folder, &words),
                lesson: Lesson::new(words, plan.rules),
                session: None,
                looked_at: None,
            })
        }));
    }

    /// Begins a lesson that is ready.
    pub(super) fn begin_lesson(&mut self, shared: &Shared, ready: Ready) {
        self.keeper.begin(shared.learner.as_ref().map(|l| l.id), ready.session);
        self.start.draft = None;
        self.lesson = Some(ready.lesson);
        self.models = ready.models;
        (self.line, self.shown, self.news) = (None, None, true);
        if let Some(id) = ready.looked_at {
            self.busy = Busy::Fetching(id, super::keep::recording(shared, id));
        }
    }

    fn resume(&mut self, shared: &Shared) {
        let (draft, folder) = (self.start.draft.clone(), shared.folder.clone());
        let Some(draft) = draft else { return };
        self.words = Some(Job::start(&shared.ctx, "Reading the words", move |_| {
            let overrides = store::overrides_in(&folder).map_err(line)?;
            let lesson = draft.lesson(&overrides)?;
            let looked_at = draft.attempt().filter(|_| lesson.step() == Step::Beads);
            Ok(Ready {
                models: model::load(&folder, lesson.words()),
                lesson,
                session: draft.session,
                looked_at,
            })
        }));
    }

    fn drop_draft(&mut self, shared: &Shared) {
        if let Some(draft) = self.start.draft.take() {
            self.keeper.begin(shared.learner.as_ref().map(|l| l.id), draft.session);
            self.keeper.end(shared);
        }
    }

    fn record(&mut self, shared: &mut Shared, model: bool) {
        self.line = None;
        self.silence(shared);
        let Some(lesson) = &self.lesson else { return };
        if self.recorder.stage() == Stage::Idle && self.busy.free() {
            self.modelling = model;
            self.recorder
                .start(shared.mic.as_mut(), shared.device.as_deref(), lesson.speaking());
        }
    }

    fn cancel(&mut self) {
        self.recorder.cancel();
        self.bring.cancel();
        if let Some(listener) = &mut self.listener {
            listener.cancel();
        }
        if !matches!(self.busy, Busy::Writing(_)) {
            self.busy = Busy::Free;
        }
    }

    /// A recording came out.
    pub(super) fn came(&mut self, ui: &Ui, shared: &mut Shared, outcome: Outcome) {
        match outcome {
            Outcome::Take(take) if std::mem::take(&mut self.modelling) => self.keep_model(shared, &take),
            Outcome::Take(take) => self.listen(ui, *take, None),
            Outcome::NotHeard => {
                let line = "No voice was heard. Come a little closer, press Space and say the word.";
                self.line = Some((Tone::Care, line.to_owned()));
            }
            Outcome::Fault(fault) => self.line = Some((Tone::Alarm, fault.to_string())),
        }
    }

    /// Has the ear listen to a recording of the word in hand.
    pub(super) fn listen(&mut self, ui: &Ui, take: Take, kept: Option<Kept>) {
        let Some(lesson) = &self.lesson else { return };
        let ctx = ui.ctx().clone();
        let listener = self
            .listener
            .get_or_insert_with(|| Listener::new(move || ctx.request_repaint()));
        let speaking = lesson.speaking();
        listener.ask(Question {
            recording: take.recording.clone(),
            target: lesson.word().target.clone(),
            speaking,
            rules: lesson.rules().clone(),
        });
        self.busy = Busy::Listening {
            take: Box::new(take),
            speaking,
            kept,
        };
    }

    /// Keeps the parent's recording of the word in hand as its model.
    fn keep_model(&mut self, shared: &Shared, take: &Take) {
        let Some(lesson) = &self.lesson else { return };
        if let Some(note) = take.notes().into_iter().next() {
            self.line = Some((Tone::Care, format!("The model was not kept. {note}")));
            return;
        }
        let word = lesson.word().spelling.clone();
        let clip = Arc::new(model::trimmed(&take.recording.clip));
        self.models.insert(word.clone(), clip.clone());
        let folder = shared.folder.clone();
        self.keeping_model = Some(Job::start(&shared.ctx, "Keeping the model", move |_| {
            model::keep(&folder, &word, &clip)
        }));
    }

    fn hear_model(&mut self, shared: &mut Shared) {
        let model = self.lesson.as_ref().and_then(|l| self.models.get(&l.word().spelling));
        if let Some(clip) = model {
            shared.player.play(&clip.samples);
            self.no_sound = None;
            self.playing = Some(Playing {
                from_s: 0.0,
                speed: 1.0,
            });
        }
    }

    /// Plays the recording in hand, or one sound of it, at a speed.
    fn play(&mut self, shared: &mut Shared, sound: Option<usize>, speed: f32) {
        let Some(latest) = self.lesson.as_ref().and_then(|l| l.work().latest.as_ref()) else {
            return;
        };
        let samples = &latest.take.recording.clip.samples;
        let placed = latest.judgement().map_or(&[][..], |j| &j.sounds);
        let (from, to) = match sound {
            Some(i) => match placed.get(i) {
                Some(p) => (p.start_s - AROUND_S, p.end_s + AROUND_S),
                None => return,
            },
            None => match (placed.first(), placed.last()) {
                (Some(a), Some(b)) => (a.start_s - 0.15, b.end_s + 0.15),
                _ => (0.0, f32::INFINITY),
            },
        };
        let sample = |s: f32| ((s.max(0.0) * RATE as f32) as usize).min(samples.len());
        let wanted = &samples[sample(from)..sample(to)];
        if speed == 1.0 {
            shared.player.play(wanted);
        } else {
            shared.player.play(&slow::stretch(wanted, speed));
        }
        self.no_sound = None;
        self.playing = Some(Playing {
            from_s: from.max(0.0),
            speed,
        });
    }

    fn silence(&mut self, shared: &mut Shared) {
        shared.player.stop();
        self.playing = None;
    }

    /// Where in the recording it is playing.
    pub(super) fn playing_s(&self, shared: &mut Shared) -> Option<f32> {
        let playing = self.playing.as_ref()?;
        match shared.player.playing() {
            Player::At(s) => Some(playing.from_s + s * playing.speed),
            _ => None,
        }
    }

    fn undo(&mut self, shared: &mut Shared) {
        self.silence(shared);
        if let Some(undone) = self.lesson.as_mut().and_then(Lesson::undo) {
            self.keeper.undone(shared, &undone);
        }
    }

    fn end(&mut self, shared: &mut Shared) {
        self.cancel();
        self.silence(shared);
        let Some(lesson) = self.lesson.take() else { return };
        let said = lesson.works().iter().filter(|w| w.latest.is_some()).count();
        let kept = if shared.learner.is_some() {
            " They are in the notebook."
        } else {
            ""
        };
        self.keeper.end(shared);
        if said > 0 {
            let words = if said == 1 {
                "1 word was".to_owned()
            } else {
                format!("{said} words were")
            };
            shared.say(format!("The lesson is over: {words} recorded.{kept}"));
        } else {
            shared.say("The lesson is over.");
        }
    }
}

/// Every word of a plan, in order.
fn planned(plan: &Plan, overrides: &Overrides) -> Result<Vec<Word>, String> {
    let each = plan.items.iter().flat_map(Item::words);
    let one = |word: &PlanWord| {
        let said = word.pronunciation(overrides);
        Word::said_as(&word.spelling, said.sounds(), overrides, &plan.rules)
    };
    let words = each.map(one).collect::<Result<Vec<_>, _>>()?;
    if words.is_empty() {
        Err("The plan has no words yet.".into())
    } else {
        Ok(words)
    }
}

/// A fault of reading as a line.
fn line(fault: Fault) -> String {
    match fault {
        Fault::Input(line) | Fault::Internal(line) => line,
        Fault::Closed => String::new(),
    }
}

/// What needs nothing but the lesson.
fn plain(lesson: &mut Lesson, intent: Intent) {
    match intent {
        Intent::Beads(count) => lesson.set_beads(count),
        Intent::Say(way) => lesson.ask_for(way),
        Intent::Rule(ruling) => lesson.rule(ruling),
        Intent::Point(at, earlier) => lesson.point(at, earlier),
        Intent::Write(at, text) => lesson.write(at, text),
        Intent::Check => lesson.check(),
        Intent::ShowLetters => lesson.show_letters(),
        Intent::GoOn => drop(lesson.go_on()),
        _ => {}
    }
}
