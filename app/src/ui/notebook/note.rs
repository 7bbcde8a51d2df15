//! Writing an articulation note. What is typed is kept as it is typed, until the note is kept or dropped.

use std::fmt::Display;

use egui::{ComboBox, TextEdit, Ui, vec2};
use serde::{Deserialize, Serialize};
use soundbead_data::{Sound, inventory};

use crate::later::Latest;
use crate::notebook::{
    Attempt, Author, Cued, HowOften, Id, Lips, Manner, Moment, NewNote, NoteBody, NoteSubject, NotebookError, PHRASES,
    Place, Voice, WhereInWord,
};
use crate::ui::parts::{self, Button};
use crate::ui::shared::Shared;
use crate::ui::theme::TOUCH;

/// Under which a note that is on no attempt is kept while it is written.
const KEY: &str = "note";

/// What a note may be on.
pub struct NoteTarget {
    attempt: Option<Id>,
    word: String,
    sounds: Vec<Sound>,
}

impl NoteTarget {
    /// An attempt, its word, or one of its sounds.
    pub fn of(attempt: &Attempt) -> NoteTarget {
        NoteTarget {
            attempt: Some(attempt.id),
            word: attempt.word.clone(),
            sounds: attempt.sounds.clone(),
        }
    }

    /// Under which a half-written note on it is kept: each attempt has its own.
    fn key(&self) -> String {
        self.attempt.map_or(KEY.to_owned(), |id| format!("{KEY} {id}"))
    }

    /// Any word, any sound, or the learner.
    pub fn any() -> NoteTarget {
        NoteTarget {
            attempt: None,
            word: String::new(),
            sounds: Sound::all().collect(),
        }
    }
}

/// Which of them.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
enum SubjectPick {
    Attempt,
    Word,
    Sound,
    Learner,
}

/// A half-written note as it is kept.
#[derive(Serialize, Deserialize)]
struct NoteDraft {
    body: NoteBody,
    /// What it is on, where there was a choice.
    #[serde(default)]
    pick: Option<SubjectPick>,
    #[serde(default)]
    word: String,
}

/// A note that is being written.
pub struct Editor {
    target: NoteTarget,
    pick: SubjectPick,
    sound: Sound,
    body: NoteBody,
    /// What it said at first.
    given_body: NoteBody,
    learner: Id,
    /// Under which it is kept while it is written.
    key: String,
    /// The text under which the draft was last kept.
    kept: String,
    draft: Latest<Option<(String, Moment)>, NotebookError>,
    keeping: Latest<(), NotebookError>,
    started: bool,
    /// Whether it is a new one: only then there is something to choose of what it is on.
    new: bool,
    /// Whether it was given to the notebook, and the answer is still out.
    given: bool,
}

impl Editor {
    /// An empty note; what was typed before and not finished comes back.
    pub fn on(target: NoteTarget, shared: &Shared, learner: Id) -> Editor {
        let key = target.key();
        let mut editor = Editor::with(target, learner, NoteBody::default(), key);
        editor.new = true;
        editor.fetch(shared);
        editor
    }

    /// The note `id`, which is there already and says this; what it is on stays.
    pub fn change(id: Id, shared: &Shared, learner: Id, body: NoteBody) -> Editor {
        let mut editor = Editor::with(NoteTarget::any(), learner, body, format!("{KEY} changed {id}"));
        editor.fetch(shared);
        editor
    }

    /// Under which it is kept while it is written. Who keeps the note drops that in the same errand, so that one of the
    /// two is always there.
    pub fn key(&self) -> String {
        self.key.clone()
    }

    /// Asks for what was typed before and not finished.
    fn fetch(&mut self, shared: &Shared) {
        let (learner, key) = (self.learner, self.key.clone());
        self.draft
            .ask(shared.notebook.ask(move |n| n.draft(Some(learner), &key)));
    }

    /// Takes in what was typed before, unless something was typed meanwhile.
    fn take_draft(&mut self, text: String) {
        let Ok(draft) = serde_json::from_str::<NoteDraft>(&text) else {
            return;
        };
        if self.body == self.given_body {
            self.body = draft.body;
            self.pick = draft.pick.unwrap_or(self.pick);
            if self.target.attempt.is_none() {
                self.target.word = draft.word;
            }
            self.kept = text;
        }
    }

    fn with(target: NoteTarget, learner: Id, body: NoteBody, key: String) -> Editor {
        Editor {
            key,
            given_body: body.clone(),
            pick: if target.attempt.is_some() {
                SubjectPick::Attempt
            } else {
                SubjectPick::Learner
            },
            sound: target.sounds.first().copied().unwrap_or(Sound::S),
            target,
            body,
            learner,
            kept: String::new(),
            draft: Latest::default(),
            keeping: Latest::default(),
            started: false,
            new: false,
            given: false,
        }
    }

    /// Shows it. `Some(Some(_))`: keep this note; `Some(None)`: the person stopped.
    pub fn show(&mut self, ui: &mut Ui, shared: &mut Shared, busy: bool) -> Option<Option<NewNote>> {
        if self.draft.take(shared)
            && let Some(Some((text, _))) = self.draft.value.take()
        {
            self.take_draft(text);
        }
        let done = parts::card(ui, |ui| {
            ui.set_width(ui.available_width());
            if self.new {
                self.subject(ui);
            }
            self.text(ui);
            let done = self.buttons(ui, shared.prefs.author, busy);
            phrases(ui, &mut self.body);
            self.form(ui);
            done
        });
        self.given = matches!(done, Some(Some(_))) || (self.given && busy);
        if !self.given {
            self.keep(shared, done.is_some());
        }
        done
    }

    /// What it is on.
    fn subject(&mut self, ui: &mut Ui) {
        let attempt = [(SubjectPick::Attempt, "this attempt")];
        let word = format!("the word {}", self.target.word);
        let fixed = self.target.attempt.is_some();
        let mut options: Vec<(SubjectPick, &str)> = if fixed { attempt.to_vec() } else { Vec::new() };
        options.push((SubjectPick::Word, if fixed { &word } else { "a word" }));
        options.push((SubjectPick::Sound, "a sound"));
        options.push((SubjectPick::Learner, "the learner"));
        ui.horizontal_wrapped(|ui| {
            ui.label("A note on");
            parts::choice(ui, "A note on", &mut self.pick, &options);
            if self.pick == SubjectPick::Sound {
                let shown = inventory::of(self.sound).respelling.clone();
                ComboBox::from_id_salt("note on sound")
                    .selected_text(shown)
                    .show_ui(ui, |ui| {
                        for sound in &self.target.sounds {
                            let entry = inventory::of(*sound);
                            ui.selectable_value(
                                &mut self.sound,
                                *sound,
                                format!("{}  /{}/", entry.respelling, entry.ipa),
                            );
                        }
                    });
            }
            if self.pick == SubjectPick::Word && !fixed {
                ui.add(
                    TextEdit::singleline(&mut self.target.word)
                        .hint_text("Word")
                        .desired_width(140.0),
                );
            }
        });
    }

    /// What can be chosen rather than written.
    fn form(&mut self, ui: &mut Ui) {
        ui.horizontal_wrapped(|ui| {
            ui.spacing_mut().item_spacing = vec2(6.0, 6.0);
            let body = &mut self.body;
            one_of(ui, "Where", &mut body.place, Place::ALL);
            one_of(ui, "Air", &mut body.manner, Manner::ALL);
            one_of(ui, "Voice", &mut body.voice, Voice::ALL);
            one_of(ui, "Lips", &mut body.lips, Lips::ALL);
            one_of(ui, "In the word", &mut body.position, WhereInWord::ALL);
            one_of(ui, "How often", &mut body.how_often, HowOften::ALL);
            one_of(ui, "Help", &mut body.cued, Cued::ALL);
        });
    }

    fn text(&mut self, ui: &mut Ui) {
        let label = ui.label("What you saw and heard");
        let field = TextEdit::multiline(&mut self.body.text)
            .desired_rows(3)
            .desired_width(ui.available_width());
        let field = ui.add(field).labelled_by(label.id);
        if !std::mem::replace(&mut self.started, true) {
            field.request_focus();
        }
    }

    fn buttons(&mut self, ui: &mut Ui, author: Author, busy: bool) -> Option<Option<NewNote>> {
        let mut done = None;
        ui.horizontal(|ui| {
            let word = self.target.word.trim().to_lowercase();
            let ready = !self.body.is_empty() && !busy && (self.pick != SubjectPick::Word || !word.is_empty());
            if Button::text("Keep the note").lead().enabled(ready).show(ui).clicked() {
                let on = match (self.pick, self.target.attempt) {
                    (SubjectPick::Attempt, Some(id)) => NoteSubject::Attempt(id),
                    (SubjectPick::Word, _) => NoteSubject::Word(word),
                    (SubjectPick::Sound, _) => NoteSubject::Sound(self.sound),
                    _ => NoteSubject::Learner,
                };
                let body = self.body.clone();
                done = Some(Some(NewNote { on, author, body }));
            }
            if Button::text("Drop it").quiet().show(ui).clicked() {
                self.body = NoteBody::default();
                done = Some(None);
            }
        });
        done
    }

    /// Keeps what is typed, one keeping at a time; forgets it once the note is done with.
    fn keep(&mut self, shared: &mut Shared, done: bool) {
        self.keeping.take(shared);
        let text = match done || self.body == self.given_body {
            true => String::new(),
            false => serde_json::to_string(&NoteDraft {
                body: self.body.clone(),
                pick: Some(self.pick).filter(|_| self.new),
                word: self.target.word.clone(),
            })
            .unwrap_or_default(),
        };
        if text != self.kept && (done || !self.keeping.busy()) {
            let (learner, key) = (self.learner, self.key.clone());
            self.kept.clone_from(&text);
            self.keeping
                .ask(shared.notebook.ask(move |n| n.keep_draft(Some(learner), &key, &text)));
        }
    }
}

/// A choice that may be left open.
fn one_of<T: Copy + PartialEq + Display>(ui: &mut Ui, name: &str, value: &mut Option<T>, all: &[T]) {
    let shown = value.map_or(name.to_owned(), |v| format!("{name}: {v}"));
    let combo = ComboBox::from_id_salt(("note", name)).selected_text(shown).width(130.0);
    combo.show_ui(ui, |ui| {
        ui.selectable_value(value, None, format!("{name}: not said"));
        for option in all {
            ui.selectable_value(value, Some(*option), option.to_string());
        }
    });
}

/// Ready phrases, group by group.
fn phrases(ui: &mut Ui, body: &mut NoteBody) {
    ui.horizontal_wrapped(|ui| {
        ui.spacing_mut().item_spacing = vec2(6.0, 6.0);
        ui.label("Ready phrases");
        let mut groups: Vec<&str> = PHRASES.iter().map(|p| p.group).collect();
        groups.dedup();
        for group in groups {
            let button = egui::Button::new(group).min_size(vec2(0.0, TOUCH));
            egui::containers::menu::MenuButton::from_button(button).ui(ui, |ui| {
                for phrase in PHRASES.iter().filter(|p| p.group == group) {
                    if ui.button(phrase.text).clicked() {
                        phrase.put(body);
                        ui.close();
                    }
                }
            });
        }
    });
}
