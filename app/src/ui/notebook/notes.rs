//! All notes on a learner, drawn.

use egui::{ScrollArea, Ui};

use super::{attempt, note, review};
use crate::notebook::{Note, NoteSubject};
use crate::review::notes::{NotesIntent, NotesSession};
use crate::ui::icons::Icon;
use crate::ui::parts::{self, Button};
use crate::ui::shared::Shared;

/// The notes.
#[derive(Default)]
pub struct NotesPart {
    session: NotesSession,
    /// Whether the note that is written was shown before.
    begun: bool,
}

impl NotesPart {
    /// Asks for the notes anew.
    pub fn stale(&mut self, shared: &mut Shared) {
        self.session.stale(&shared.equipment());
    }

    /// Takes in what came, also while another part is shown.
    pub fn poll(&mut self, shared: &mut Shared) {
        self.session.poll(&mut shared.equipment());
        shared.tell(self.session.news());
    }

    /// Shows them.
    pub fn show(&mut self, ui: &mut Ui, shared: &mut Shared) {
        let mut out = Vec::new();
        self.keys(ui, shared, &mut out);
        ui.horizontal_wrapped(|ui| {
            let idle = self.session.editor().is_none();
            if idle && Button::both(Icon::Add, "Write a note").lead().show(ui).clicked() {
                out.push(NotesIntent::Write);
            }
            out.extend(attempt::who(ui, shared.prefs.author).map(NotesIntent::Author));
        });
        parts::note(
            ui,
            "Write what you saw and heard. What it means is for a speech-language pathologist or an audiologist to say.",
        );
        if review::done_line(ui, self.session.done()) {
            out.push(NotesIntent::Undo);
        }
        if review::unkept_line(ui, self.session.unkept()) {
            out.push(NotesIntent::SaveAgain);
        }
        ScrollArea::vertical()
            .auto_shrink([false, false])
            .show(ui, |ui| self.list(ui, &mut out));
        for intent in out {
            self.session.apply(&mut shared.equipment(), intent);
        }
    }

    fn keys(&self, ui: &Ui, shared: &mut Shared, out: &mut Vec<NotesIntent>) {
        shared.key("Ctrl+Enter", "keep the note");
        shared.key("Esc", "leave the note as it is");
        if self.session.editor().is_none() {
            return;
        }
        let pressed = |modifiers, key| ui.input_mut(|i| i.consume_key(modifiers, key));
        if pressed(egui::Modifiers::COMMAND, egui::Key::Enter) {
            out.push(NotesIntent::Edit(crate::review::note::NoteEdit::Keep));
        }
        if !ui.ctx().text_edit_focused() && pressed(egui::Modifiers::NONE, egui::Key::Escape) {
            out.push(NotesIntent::Write);
        }
    }

    fn list(&mut self, ui: &mut Ui, out: &mut Vec<NotesIntent>) {
        match self.session.editor() {
            Some(editor) => {
                let mut edits = Vec::new();
                note::show(ui, editor, &mut self.begun, &mut edits);
                out.extend(edits.into_iter().map(NotesIntent::Edit));
            }
            None => self.begun = false,
        }
        let notes = self.session.notes();
        if notes.is_empty() && self.session.editor().is_none() && self.session.is_open() {
            parts::empty(
                ui,
                Icon::Notebook,
                "No notes yet",
                "Notes on a sound, a word or one attempt are listed here.",
            );
        }
        for note in notes {
            ui.add_space(6.0);
            one(ui, note, out);
        }
    }
}

fn one(ui: &mut Ui, note: &Note, out: &mut Vec<NotesIntent>) {
    parts::card(ui, |ui| {
        ui.set_width(ui.available_width());
        ui.horizontal_wrapped(|ui| {
            parts::note(ui, &format!("{}, {}, on {}", note.day, note.author, subject(&note.on)));
            let (change, remove) = (
                format!("Change the note of {}", note.day),
                format!("Take out the note of {}", note.day),
            );
            if Button::text("Change").name(&change).quiet().show(ui).clicked() {
                out.push(NotesIntent::Change(note.id));
            }
            if Button::text("Take out").name(&remove).quiet().show(ui).clicked() {
                out.push(NotesIntent::Remove(note.id));
            }
        });
        attempt::body(ui, &note.body);
    });
}

/// What a note is on, for people.
pub fn subject(on: &NoteSubject) -> String {
    match on {
        NoteSubject::Sound(sound) => format!("the sound {}", soundbead_data::inventory::of(*sound).respelling),
        other => other.to_string(),
    }
}
