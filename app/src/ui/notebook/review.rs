//! Attempts one after another: heard, seen, ruled on, annotated.

use egui::{ScrollArea, Ui, UiBuilder, vec2};
use soundbead_data::Sound;
use soundbead_dsp::judgement::Verdict;

use super::attempt;
use super::compare::Compare;
use super::intent::ReviewIntent;
use super::keys;
use super::note::{Editor, NoteTarget};
use super::opened::{self, OpenedAttempt};
use super::timeline::Timeline;
use super::told::ToldSounds;
use super::wave::{self, WaveAction};
use crate::later::Latest;
use crate::notebook::{Attempt, Author, Id, Note, NoteSubject, NotebookError, Ruling};
use crate::playback::{PlayedPart, Sounding};
use crate::ui::icons::Icon;
use crate::ui::parts::Button;
use crate::ui::settings;
use crate::ui::shared::{Shared, Undo};

/// Width of the list.
const LIST: f32 = 452.0;

/// The review.
pub struct Review {
    timeline: Timeline,
    opened: Latest<OpenedAttempt, NotebookError>,
    /// Which attempt was asked for.
    wanted: Option<Id>,
    /// Whether an attempt is played as soon as it is reached by a key.
    play_at_once: bool,
    play_next: bool,
    sounding: Option<Sounding>,
    ruled: Latest<Attempt, NotebookError>,
    /// Rulings that can be undone, and what was there before.
    before: Vec<(Id, Author, Option<Ruling>)>,
    offer: Option<Undo>,
    note: Option<Editor>,
    written: Latest<Note, NotebookError>,
    told: ToldSounds,
    compare: Option<Compare>,
}

impl Default for Review {
    fn default() -> Self {
        Review {
            timeline: Timeline::default(),
            opened: Latest::default(),
            wanted: None,
            play_at_once: true,
            play_next: false,
            sounding: None,
            ruled: Latest::default(),
            before: Vec::new(),
            offer: None,
            note: None,
            written: Latest::default(),
            told: ToldSounds::default(),
            compare: None,
        }
    }
}

impl Review {
    /// Asks for everything anew.
    pub fn stale(&mut self) {
        self.timeline.stale();
        self.wanted = None;
    }

    /// The attempt that is shown, once it is the one that is in hand.
    pub fn shown(&self) -> Option<Id> {
        let id = self.opened.value.as_ref().map(|o| o.attempt.id);
        id.filter(|_| id == self.wanted)
    }

    /// Shows it.
    pub fn show(&mut self, ui: &mut Ui, shared: &mut Shared, learner: Id) {
        self.poll(shared, learner);
        let mut out = Vec::new();
        if self.compare.is_none() {
            keys::read(ui, shared, self.note.is_some(), &mut out);
        }
        if !self.timeline.is_empty_notebook() {
            self.timeline.filters(ui);
        }
        if self.timeline.len() == 0 {
            self.timeline.list(ui);
            return;
        }
        let whole = ui.available_rect_before_wrap();
        let (left, right) = whole.split_left_right_at_x(whole.left() + LIST);
        ui.scope_builder(UiBuilder::new().max_rect(left), |ui| {
            if self.timeline.list(ui) {
                self.play_next = self.play_at_once;
            }
        });
        let right = right.with_min_x(right.left() + 16.0);
        ui.scope_builder(UiBuilder::new().max_rect(right), |ui| {
            let area = ScrollArea::vertical().id_salt("attempt").auto_shrink([false, false]);
            area.show(ui, |ui| self.right(ui, shared, learner, &mut out));
        });
        for intent in out {
            self.act(shared, learner, intent);
        }
        // The line that plays moves.
        if self.sounding.is_some() {
            ui.ctx().request_repaint();
        }
    }

    fn poll(&mut self, shared: &mut Shared, learner: Id) {
        self.timeline.poll(shared, learner);
        let at = self.timeline.row(self.timeline.at).map(|a| a.id);
        if at.is_some() && at != self.wanted {
            self.wanted = at;
            self.note = None;
            if let Some(id) = at {
                self.opened
                    .ask(shared.notebook.ask(move |n| opened::fetch(n, learner, id)));
            }
        }
        if self.opened.take(shared) && std::mem::take(&mut self.play_next) {
            self.play(shared, 1.0);
        }
        if self.ruled.take(shared) {
            self.renew();
        }
        if self.written.take(shared) {
            self.note = None;
            shared.say("The note is kept.");
            if let (Some(note), Some(opened)) = (self.written.value.take(), self.opened.value.as_mut())
                && note.on == NoteSubject::Attempt(opened.attempt.id)
            {
                opened.notes.insert(0, note);
            }
        }
        if self.offer.is_some_and(|offer| shared.take_undo(offer)) {
            self.offer = None;
            self.act(shared, learner, ReviewIntent::Undo);
        }
        shared.playback.poll();
        if let Some(fault) = self.sounding.and_then(|s| shared.playback.take_fault(s)) {
            shared.say_failed(fault.to_string());
        }
        self.sounding = self.sounding.filter(|s| shared.playback.plays(*s));
        if let Some(compare) = &mut self.compare {
            compare.poll(shared, learner);
        }
    }

    /// Takes a changed attempt into list and picture.
    fn renew(&mut self) {
        let Some(attempt) = self.ruled.value.take() else { return };
        self.timeline.renew(&attempt);
        if let Some(opened) = self.opened.value.as_mut().filter(|o| o.attempt.id == attempt.id) {
            opened.attempt = attempt;
        }
    }

    fn act(&mut self, shared: &mut Shared, learner: Id, intent: ReviewIntent) {
        match intent {
            ReviewIntent::Step(by) => {
                if self.timeline.step(by) {
                    shared.playback.stop();
                    self.play_next = self.play_at_once;
                }
            }
            ReviewIntent::Play(speed) => match self.sounding {
                Some(_) => shared.playback.stop(),
                None => self.play(shared, speed),
            },
            ReviewIntent::PlayPart(from, to) => self.play_part(shared, from, to, 1.0),
            ReviewIntent::Rule(verdict, sounds) => self.rule(shared, verdict, sounds),
            ReviewIntent::Undo => {
                if let Some((id, by, ruling)) = self.before.pop() {
                    self.ruled.ask(shared.notebook.ask(move |n| match ruling {
                        Some(Ruling { verdict, sounds, .. }) => n.rule(id, Ruling::new(verdict, by).telling(sounds)),
                        None => n.take_back_ruling(id, by),
                    }));
                }
            }
            ReviewIntent::Note => {
                self.note = match (&self.note, &self.opened.value) {
                    (None, Some(opened)) => Some(Editor::on(NoteTarget::of(&opened.attempt), shared, learner)),
                    _ => None,
                };
            }
            ReviewIntent::Compare => {
                shared.playback.stop();
                self.compare = match (&self.compare, &self.opened.value) {
                    (None, Some(opened)) => Some(Compare::new(&opened.attempt.word)),
                    _ => None,
                };
            }
        }
    }

    fn rule(&mut self, shared: &mut Shared, verdict: Option<Verdict>, sounds: Vec<Sound>) {
        // A key that comes before the attempt in hand is shown is not for the one before it.
        let Some(opened) = self.opened.value.as_ref().filter(|o| Some(o.attempt.id) == self.wanted) else {
            return;
        };
        let (id, by) = (opened.attempt.id, shared.prefs.author);
        self.before.push((id, by, opened.attempt.edits.ruling_by(by).cloned()));
        self.ruled.ask(shared.notebook.ask(move |n| match verdict {
            Some(verdict) => n.rule(id, Ruling::new(verdict, by).telling(sounds)),
            None => n.take_back_ruling(id, by),
        }));
        let word = &opened.attempt.word;
        self.offer = Some(shared.say_with_undo(match verdict {
            Some(verdict) => format!("{word}: the {by} says {}.", crate::wording::verdict(verdict).full),
            None => format!("{word}: the ruling is taken back."),
        }));
    }

    fn play(&mut self, shared: &mut Shared, speed: f32) {
        if let Some(opened) = &self.opened.value {
            let (from, to) = wave::reach(opened);
            self.play_part(shared, from, to, speed);
        }
    }

    fn play_part(&mut self, shared: &mut Shared, from: f32, to: f32, speed: f32) {
        let Some(Ok(sound)) = self.opened.value.as_ref().map(|o| &o.sound) else {
            return;
        };
        let part = PlayedPart {
            from_s: from,
            to_s: to,
            speed,
        };
        self.sounding = Some(shared.playback.play(&sound.samples, part, &shared.wake));
    }

    /// The attempt in hand.
    fn right(&mut self, ui: &mut Ui, shared: &mut Shared, learner: Id, out: &mut Vec<ReviewIntent>) {
        if let Some(compare) = &mut self.compare {
            if compare.show(ui, shared) {
                self.compare = None;
            }
            return;
        }
        let playing = self.sounding.and_then(|s| shared.playback.position_s(s));
        let Some(opened) = &self.opened.value else {
            ui.spinner();
            return;
        };
        attempt::head(ui, opened);
        if let Some(WaveAction::Play(from, to)) = wave::show(ui, opened, playing) {
            out.push(ReviewIntent::PlayPart(from, to));
        }
        self.tools(ui, opened, out);
        if let Some(editor) = &mut self.note {
            // In the place of the rulings, so that all of it is in sight.
            match editor.show(ui, shared, self.written.busy()) {
                Some(Some(new)) => {
                    let key = editor.key();
                    self.written.ask(shared.notebook.ask(move |n| {
                        let note = n.add_note(learner, &new)?;
                        n.keep_draft(Some(learner), &key, "")?;
                        Ok(note)
                    }));
                }
                Some(None) => self.note = None,
                None => {}
            }
        } else {
            attempt::verdict(ui, opened);
            attempt::ruling(ui, opened, &mut shared.prefs.author, out);
            if let Some((verdict, sounds)) = self.told.show(ui, opened) {
                out.push(ReviewIntent::Rule(Some(verdict), sounds));
            }
            ui.checkbox(&mut self.play_at_once, "Play each attempt as it is reached");
        }
        if let Some(opened) = &self.opened.value {
            attempt::notes(ui, &opened.notes);
            ui.add_space(6.0);
            settings::rules_line(ui, &opened.attempt.rules);
            settings::care_line(ui);
        }
    }

    fn tools(&self, ui: &mut Ui, opened: &OpenedAttempt, out: &mut Vec<ReviewIntent>) {
        ui.horizontal_wrapped(|ui| {
            ui.spacing_mut().item_spacing = vec2(6.0, 6.0);
            let playing = self.sounding.is_some();
            let (icon, text) = if playing {
                (Icon::Stop, "Stop")
            } else {
                (Icon::Play, "Play")
            };
            let has = opened.sound.is_ok();
            if Button::both(icon, text)
                .lead()
                .enabled(has)
                .key("Space")
                .show(ui)
                .clicked()
            {
                out.push(ReviewIntent::Play(1.0));
            }
            if Button::text("Slow").key("S").enabled(has).show(ui).clicked() {
                out.push(ReviewIntent::Play(0.5));
            }
            if Button::text("Note")
                .key("N")
                .selected(self.note.is_some())
                .show(ui)
                .clicked()
            {
                out.push(ReviewIntent::Note);
            }
            if Button::text("Side by side").key("C").show(ui).clicked() {
                out.push(ReviewIntent::Compare);
            }
            let undo = Button::both(Icon::Undo, "Undo")
                .quiet()
                .key("Ctrl+Z")
                .enabled(!self.before.is_empty());
            if undo.show(ui).clicked() {
                out.push(ReviewIntent::Undo);
            }
        });
    }
}
