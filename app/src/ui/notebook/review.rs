//! Attempts one after another, drawn: heard, seen, ruled on, annotated. All of it is [`ReviewSession`]'s.

use egui::{Event, Key, Modifiers, RichText, ScrollArea, Ui, UiBuilder, vec2};

use super::timeline::Timeline;
use super::wave::{self, WaveAction};
use super::{attempt, compare, keys, note, told};
use crate::notebook::{Id, Note, NoteSubject};
use crate::review::opened::OpenedAttempt;
use crate::review::session::{ReviewIntent, ReviewSession};
use crate::ui::icons::Icon;
use crate::ui::parts::{self, BannerTone, Button};
use crate::ui::settings;
use crate::ui::shared::Shared;
use crate::ui::theme::{self, TOUCH, palette};

/// Width of the list, and of a narrow window's.
const LIST: f32 = 452.0;

/// The review.
#[derive(Default)]
pub struct Review {
    session: ReviewSession,
    timeline: Timeline,
    /// Whether the note that is written was shown before.
    begun: bool,
    /// Whether a note was kept or left just now: an Esc that comes after it leaves nothing else.
    after_note: bool,
}

impl Review {
    /// Asks for everything anew.
    pub fn stale(&mut self) {
        self.session.stale();
    }

    /// The attempt that is shown, once it is the one that is in hand.
    pub fn shown(&self) -> Option<Id> {
        self.session.in_hand()
    }

    /// Does what a person wants.
    pub fn apply(&mut self, shared: &mut Shared, intent: ReviewIntent) {
        self.session.apply(&mut shared.equipment(), intent);
    }

    /// The list was not drawn for a while: what is taken in hand next is brought into sight whatever was seen before.
    pub fn lose_sight(&mut self) {
        self.timeline.lose_sight();
    }

    /// Takes in what came, also while another part is shown.
    pub fn poll(&mut self, shared: &mut Shared) {
        let again = self.session.poll(&mut shared.equipment());
        shared.tell(self.session.news());
        if again {
            // The line that plays moves.
            shared.ctx.request_repaint();
        }
    }

    /// Shows it.
    pub fn show(&mut self, ui: &mut Ui, shared: &mut Shared) {
        let mut out = Vec::new();
        self.escape_after_note(ui);
        if self.session.comparison().is_none() && keys::read(ui, shared, self.session.note().is_some(), &mut out) {
            self.timeline.ask_for_day();
        }
        if !self.session.list().is_empty_notebook() {
            self.timeline.filters(ui, self.session.list(), &mut out);
        }
        if self.session.list().is_empty() {
            self.timeline.list(ui, &mut self.session, &mut out);
        } else {
            self.both(ui, shared, &mut out);
        }
        for intent in out {
            self.apply(shared, intent);
        }
    }

    /// Esc pressed once more after a note leads nowhere: the hand that closed the note is faster than the eye.
    fn escape_after_note(&mut self, ui: &Ui) {
        if self.session.note().is_some() || !self.after_note {
            return;
        }
        let pressed = |key| ui.input_mut(|i| i.consume_key(Modifiers::NONE, key));
        let other = ui.input(|i| i.events.iter().any(is_another_key));
        if pressed(Key::Escape) || other {
            self.after_note = false;
        }
    }

    /// The list at the left, the attempt at the right.
    fn both(&mut self, ui: &mut Ui, shared: &mut Shared, out: &mut Vec<ReviewIntent>) {
        let whole = ui.available_rect_before_wrap();
        let (left, right) = whole.split_left_right_at_x(whole.left() + LIST.min(whole.width() / 2.0));
        ui.scope_builder(UiBuilder::new().max_rect(left), |ui| {
            self.timeline.list(ui, &mut self.session, out);
        });
        let right = right.with_min_x(right.left() + 16.0);
        ui.scope_builder(UiBuilder::new().max_rect(right), |ui| {
            // Each attempt begins at its top, where its word and wave are.
            let area = ScrollArea::vertical()
                .id_salt(("attempt", self.session.in_hand()))
                .auto_shrink([false, false]);
            area.show(ui, |ui| self.right(ui, shared, out));
        });
    }

    /// The attempt in hand.
    fn right(&mut self, ui: &mut Ui, shared: &mut Shared, out: &mut Vec<ReviewIntent>) {
        if let Some(comparison) = self.session.comparison() {
            return compare::show(ui, comparison, out);
        }
        let playing = self.session.playing_s(&shared.equipment());
        let Some(opened) = self.session.opened() else {
            ui.spinner();
            return;
        };
        attempt::head(ui, opened);
        if let Some(WaveAction::Play(from, to)) = wave::show(ui, opened, playing) {
            out.push(ReviewIntent::PlayPart(from, to));
        }
        self.tools(ui, opened, out);
        if done_line(ui, self.session.done().map(|line| (line, self.session.can_undo()))) {
            out.push(ReviewIntent::Undo);
        }
        if unkept_line(ui, self.session.unkept()) {
            out.push(ReviewIntent::SaveAgain);
        }
        // What was noted on this very attempt is read before it is ruled on; notes on its sounds and word stand below.
        let (own, other): (Vec<&Note>, Vec<&Note>) = opened
            .notes
            .iter()
            .partition(|n| n.on == NoteSubject::Attempt(opened.attempt.id));
        let heard = opened.sound.is_ok();
        let mut part = attempt::notes(ui, &own, heard);
        match self.session.note() {
            // In the place of the rulings, so that all of it is in sight.
            Some(editor) => {
                let mut edits = Vec::new();
                let placed = opened.judgement.as_ref().map_or(&[][..], |j| &j.sounds);
                note::show(ui, editor, &mut self.begun, placed, &mut edits);
                out.extend(edits.into_iter().map(ReviewIntent::Edit));
            }
            None => {
                self.after_note |= std::mem::take(&mut self.begun);
                attempt::verdict(ui, opened);
                attempt::ruling(ui, opened, shared.prefs.author, out);
                told::show(ui, opened, self.session.told(), out);
                let mut at_once = self.session.plays_at_once();
                if ui
                    .checkbox(&mut at_once, "Play each attempt as it is reached")
                    .changed()
                {
                    out.push(ReviewIntent::PlayAtOnce(at_once));
                }
            }
        }
        part = part.or(attempt::notes(ui, &other, heard));
        if let Some((from, to)) = part {
            out.push(ReviewIntent::PlayPart(from, to));
        }
        ui.add_space(6.0);
        settings::rules_line(ui, &opened.rules);
        settings::care_line(ui);
    }

    fn tools(&self, ui: &mut Ui, opened: &OpenedAttempt, out: &mut Vec<ReviewIntent>) {
        ui.horizontal_wrapped(|ui| {
            ui.spacing_mut().item_spacing = vec2(6.0, 6.0);
            let (icon, text) = if self.session.plays() {
                (Icon::Stop, "Stop")
            } else {
                (Icon::Play, "Play")
            };
            let has = opened.sound.is_ok();
            let play = Button::both(icon, text).lead().enabled(has).key("Space");
            if play.show(ui).clicked() {
                out.push(ReviewIntent::Play(1.0));
            }
            if Button::text("Slow").key("S").enabled(has).show(ui).clicked() {
                out.push(ReviewIntent::Play(0.5));
            }
            let writes = self.session.note().is_some();
            if Button::text("Note").key("N").selected(writes).show(ui).clicked() {
                out.push(ReviewIntent::Note);
            }
            if Button::text("Side by side").key("C").show(ui).clicked() {
                out.push(ReviewIntent::Compare);
            }
        });
    }
}

/// Whether a key other than Esc goes down, or the pointer does.
pub fn is_another_key(event: &Event) -> bool {
    match event {
        Event::Key { key, pressed, .. } => *pressed && *key != Key::Escape,
        Event::PointerButton { pressed, .. } => *pressed,
        _ => false,
    }
}

/// What was done last, in a place of its own that is always there: nothing lies over what is in use, and nothing jumps. Whether
/// it is to be undone.
pub fn done_line(ui: &mut Ui, done: Option<(&str, bool)>) -> bool {
    let (line, can_undo) = done.unwrap_or_default();
    let mut undo = false;
    ui.allocate_ui_with_layout(
        vec2(ui.available_width(), TOUCH),
        egui::Layout::left_to_right(egui::Align::Center),
        |ui| {
            ui.set_min_height(TOUCH);
            if can_undo {
                undo = Button::both(Icon::Undo, "Undo")
                    .quiet()
                    .key("Ctrl+Z")
                    .show(ui)
                    .clicked();
            }
            if !line.is_empty() {
                let soft = palette(ui).soft;
                let text = RichText::new(line).font(theme::font(14.5)).color(soft);
                ui.add(egui::Label::new(text).truncate());
            }
        },
    );
    undo
}

/// What could not be written into the notebook; whether it is to be tried again now.
pub fn unkept_line(ui: &mut Ui, why: Option<&str>) -> bool {
    let Some(why) = why else { return false };
    let line = format!("Not in the notebook yet: {why}. It is kept here and tried again.");
    parts::banner(ui, BannerTone::Alarm, &line);
    Button::text("Try again now").show(ui).clicked()
}
