//! All notes on a learner, drawn.

use egui::{ScrollArea, Ui, vec2};

use super::{attempt, note, review};
use crate::notebook::{Id, Note, NoteSubject};
use crate::plan::Plan;
use crate::review::notes::{NotesIntent, NotesSession};
use crate::ui::icons::Icon;
use crate::ui::noted;
use crate::ui::parts::{self, Button};
use crate::ui::shared::Shared;
use crate::ui::theme::TOUCH;
use crate::wording;

/// What each key does, for the help page.
const KEYS: [(&str, &str); 3] = [
    ("Ctrl+Enter", "keep the note"),
    ("Esc", "leave the note as it is"),
    ("Ctrl+Z", "put back the note that was taken out"),
];

/// The notes.
#[derive(Default)]
pub struct NotesPart {
    session: NotesSession,
    /// Whether the note that is written was shown before.
    begun: bool,
    /// Whether a note was kept or left just now: an Esc that comes after it leaves nothing else.
    after_note: bool,
    /// The answer or the evidence that is typed, and of which note.
    typing: Option<(NoteField, Id)>,
    typed: String,
}

/// What is typed below a note.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum NoteField {
    Answer,
    Evidence,
}

impl NotesPart {
    /// Asks for the notes anew.
    pub fn stale(&mut self, shared: &mut Shared) {
        self.session.stale(&shared.equipment());
    }

    /// Takes in what came, also while another part is shown. The lesson that was made for a noted sound, once.
    pub fn poll(&mut self, shared: &mut Shared) -> Option<Plan> {
        self.session.poll(&mut shared.equipment());
        shared.tell(self.session.news());
        self.session.take_plan()
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
            .id_salt("notes")
            .auto_shrink([false, false])
            .show(ui, |ui| self.list(ui, &mut out));
        for intent in out {
            self.session.apply(&mut shared.equipment(), intent);
        }
    }

    fn keys(&mut self, ui: &Ui, shared: &mut Shared, out: &mut Vec<NotesIntent>) {
        shared.keys(&KEYS);
        let pressed = |modifiers, key| ui.input_mut(|i| i.consume_key(modifiers, key));
        let can_undo = self.session.done().is_some_and(|(_, can)| can);
        if can_undo && !ui.ctx().text_edit_focused() && pressed(egui::Modifiers::COMMAND, egui::Key::Z) {
            out.push(NotesIntent::Undo);
        }
        // Esc leaves what is being written, not the view.
        if self.typing.is_some() && pressed(egui::Modifiers::NONE, egui::Key::Escape) {
            self.typing = None;
        }
        if self.session.editor().is_none() {
            if self.after_note
                && (pressed(egui::Modifiers::NONE, egui::Key::Escape)
                    || ui.input(|i| i.events.iter().any(review::is_another_key)))
            {
                self.after_note = false;
            }
            return;
        }
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
                note::show(ui, editor, &mut self.begun, &[], &mut edits);
                out.extend(edits.into_iter().map(NotesIntent::Edit));
            }
            None => self.after_note |= std::mem::take(&mut self.begun),
        }
        if self.session.notes().is_empty() && self.session.editor().is_none() && self.session.is_open() {
            parts::empty(
                ui,
                Icon::Notebook,
                "No notes yet",
                "Notes on a sound, a word or one attempt are listed here.",
            );
        }
        let (open, settled): (Vec<&Note>, Vec<&Note>) = self.session.notes().iter().partition(|n| !n.body.is_settled());
        let mut typing = self.typing;
        for note in open {
            ui.add_space(6.0);
            one(ui, &self.session, note, (&mut typing, &mut self.typed), out);
        }
        if !settled.is_empty() {
            ui.add_space(8.0);
            parts::section(ui, "Settled");
        }
        for note in settled {
            ui.add_space(6.0);
            one(ui, &self.session, note, (&mut typing, &mut self.typed), out);
        }
        self.typing = typing;
    }
}

/// What is typed below a note.
type Typed<'a> = (&'a mut Option<(NoteField, Id)>, &'a mut String);

fn one(ui: &mut Ui, session: &NotesSession, note: &Note, typed: Typed, out: &mut Vec<NotesIntent>) {
    parts::card(ui, |ui| {
        ui.set_width(ui.available_width());
        let day = wording::short_day(note.day);
        parts::note(ui, &format!("{day}, {}, on {}", note.author, session.subject(note)));
        noted::body(ui, &note.body);
        for fared in session.fared(note.id) {
            parts::note(ui, &format!("Since then {}.", wording::fared(fared)));
        }
        let (typing, text) = typed;
        buttons(ui, note, (&mut *typing, &mut *text), out);
        if let Some((what, _)) = typing.filter(|(_, id)| *id == note.id) {
            below(ui, note, what, (typing, text), out);
        }
    });
}

/// What can be done with a note.
fn buttons(ui: &mut Ui, note: &Note, (typing, text): Typed, out: &mut Vec<NotesIntent>) {
    let (id, day) = (note.id, note.day);
    ui.horizontal_wrapped(|ui| {
        ui.spacing_mut().item_spacing = vec2(4.0, 4.0);
        let quiet = |ui: &mut Ui, text: &str, name: String| Button::text(text).name(&name).quiet().show(ui).clicked();
        let on_attempt = matches!(note.on, NoteSubject::Attempt(_));
        if on_attempt && quiet(ui, "Hear it", format!("Hear what the note of {day} points at")) {
            out.push(NotesIntent::Hear(id));
        }
        let on_sound = matches!(note.on, NoteSubject::Sound(_)) && !note.body.is_settled();
        if on_sound
            && quiet(
                ui,
                "Words and a chain for it",
                format!("A lesson for the note of {day}"),
            )
        {
            out.push(NotesIntent::Plan(id));
        }
        if quiet(ui, "Answer", format!("Answer the note of {day}")) {
            (*typing, *text) = (Some((NoteField::Answer, id)), String::new());
        }
        if note.body.is_settled() {
            if quiet(ui, "Open again", format!("Open the note of {day} again")) {
                out.push(NotesIntent::Settle(id, None));
            }
        } else if quiet(ui, "Settle", format!("Settle the note of {day}")) {
            (*typing, *text) = (Some((NoteField::Evidence, id)), String::new());
        }
        if quiet(ui, "Change", format!("Change the note of {day}")) {
            out.push(NotesIntent::Change(id));
        }
        if quiet(ui, "Take out", format!("Take out the note of {day}")) {
            out.push(NotesIntent::Remove(id));
        }
    });
}

/// The field for an answer, or for the evidence that settles the note.
fn below(ui: &mut Ui, note: &Note, what: NoteField, (typing, text): Typed, out: &mut Vec<NotesIntent>) {
    let (name, verb) = match what {
        NoteField::Answer => ("Your answer", "Keep the answer"),
        NoteField::Evidence => ("What settled it", "Settle it"),
    };
    ui.horizontal_wrapped(|ui| {
        let label = ui.label(name);
        let field = egui::TextEdit::singleline(text)
            .desired_width(420.0)
            .min_size(vec2(0.0, TOUCH))
            .align(egui::Align2::LEFT_CENTER);
        let field = ui.add(field).labelled_by(label.id);
        let entered = field.lost_focus() && ui.input(|i| i.key_pressed(egui::Key::Enter));
        if text.is_empty() && ui.memory(|m| m.focused().is_none()) {
            field.request_focus();
        }
        let ready = !text.trim().is_empty();
        if (Button::text(verb).lead().enabled(ready).show(ui).clicked() || entered) && ready {
            out.push(match what {
                NoteField::Answer => NotesIntent::Answer(note.id, text.clone()),
                NoteField::Evidence => NotesIntent::Settle(note.id, Some(text.clone())),
            });
            *typing = None;
        }
        if Button::text("Cancel").quiet().show(ui).clicked() {
            *typing = None;
        }
    });
}
