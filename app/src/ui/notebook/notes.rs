//! All notes on a learner: written, read, changed, taken out.

use egui::{ScrollArea, Ui};

use super::attempt;
use super::note::{Editor, NoteTarget};
use crate::later::Latest;
use crate::notebook::{Author, Id, Note, NoteSubject, NotebookError};
use crate::ui::icons::Icon;
use crate::ui::parts::{self, Button};
use crate::ui::shared::{Shared, Undo};

/// The notes.
#[derive(Default)]
pub struct NotesPart {
    all: Latest<Vec<Note>, NotebookError>,
    editor: Option<Editor>,
    /// The note that is being changed.
    changing: Option<Id>,
    written: Latest<(), NotebookError>,
    removed: Latest<Note, NotebookError>,
    offer: Option<(Undo, Note)>,
}

impl NotesPart {
    /// Asks for the notes anew when they are next shown.
    pub fn stale(&mut self) {
        self.all = Latest::default();
    }

    /// Shows them.
    pub fn show(&mut self, ui: &mut Ui, shared: &mut Shared, learner: Id) {
        self.poll(shared, learner);
        ui.horizontal_wrapped(|ui| {
            if self.editor.is_none() && Button::both(Icon::Add, "Write a note").lead().show(ui).clicked() {
                self.editor = Some(Editor::on(NoteTarget::any(), shared, learner));
                self.changing = None;
            }
            ui.label("I am the");
            parts::choice(
                ui,
                "I am the",
                &mut shared.prefs.author,
                &[(Author::Parent, "parent"), (Author::Consultant, "consultant")],
            );
        });
        parts::note(
            ui,
            "Write what you saw and heard. What it means is for a speech-language pathologist or an audiologist to say.",
        );
        ScrollArea::vertical().auto_shrink([false, false]).show(ui, |ui| {
            self.writing(ui, shared, learner);
            let notes = self.all.value.clone().unwrap_or_default();
            if notes.is_empty() && self.editor.is_none() && self.all.value.is_some() {
                parts::empty(
                    ui,
                    Icon::Notebook,
                    "No notes yet",
                    "Notes on a sound, a word or one attempt are listed here.",
                );
            }
            for note in &notes {
                ui.add_space(6.0);
                self.one(ui, shared, learner, note);
            }
        });
    }

    fn poll(&mut self, shared: &mut Shared, learner: Id) {
        if self.all.untouched() {
            self.all.ask(shared.notebook.ask(move |n| n.notes(learner)));
        }
        self.all.take(shared);
        if self.written.take(shared) {
            (self.editor, self.changing) = (None, None);
            self.refresh(shared, learner);
        }
        if self.removed.take(shared)
            && let Some(note) = self.removed.value.take()
        {
            self.offer = Some((shared.say_with_undo("The note is taken out."), note));
            self.refresh(shared, learner);
        }
        if let Some((undo, note)) = &self.offer
            && shared.take_undo(*undo)
        {
            let note = note.clone();
            self.written
                .ask(shared.notebook.ask(move |n| n.restore_note(learner, &note)));
            self.offer = None;
        }
    }

    fn refresh(&mut self, shared: &Shared, learner: Id) {
        self.all.ask(shared.notebook.ask(move |n| n.notes(learner)));
    }

    fn writing(&mut self, ui: &mut Ui, shared: &mut Shared, learner: Id) {
        let Some(editor) = &mut self.editor else { return };
        match editor.show(ui, shared, self.written.busy()) {
            Some(Some(new)) => {
                let (changing, key) = (self.changing, editor.key());
                self.written.ask(shared.notebook.ask(move |n| {
                    match changing {
                        Some(id) => n.change_note(id, &new.body),
                        None => n.add_note(learner, &new).map(|_| ()),
                    }
                    .and_then(|()| n.keep_draft(Some(learner), &key, ""))
                }));
            }
            Some(None) => (self.editor, self.changing) = (None, None),
            None => {}
        }
    }

    fn one(&mut self, ui: &mut Ui, shared: &mut Shared, learner: Id, note: &Note) {
        parts::card(ui, |ui| {
            ui.set_width(ui.available_width());
            ui.horizontal_wrapped(|ui| {
                parts::note(ui, &format!("{}, {}, on {}", note.day, note.author, subject(&note.on)));
                let (change, remove) = (
                    format!("Change the note of {}", note.day),
                    format!("Take out the note of {}", note.day),
                );
                if Button::text("Change").name(&change).quiet().show(ui).clicked() {
                    self.editor = Some(Editor::change(note.id, shared, learner, note.body.clone()));
                    self.changing = Some(note.id);
                }
                if Button::text("Take out").name(&remove).quiet().show(ui).clicked() {
                    let id = note.id;
                    self.removed.ask(shared.notebook.ask(move |n| n.remove_note(id)));
                }
            });
            attempt::body(ui, &note.body);
        });
    }
}

fn subject(on: &NoteSubject) -> String {
    match on {
        NoteSubject::Sound(sound) => format!("the sound {}", soundbead_data::inventory::of(*sound).respelling),
        other => other.to_string(),
    }
}
