//! All notes on a learner: written, read, changed, taken out.

use super::drafts::DraftKeeper;
use super::note::{NoteEdit, NoteEditor, NoteOutcome, NoteTarget};
use crate::equipment::{Equipment, News};
use crate::later::Latest;
use crate::notebook::{Author, Id, Note, NotebookError};

/// What a person wants.
#[derive(Clone, Debug, PartialEq)]
pub enum NotesIntent {
    /// Write a new note, or stop; what was typed stays.
    Write,
    /// Change this one.
    Change(Id),
    /// Something to the note that is being written.
    Edit(NoteEdit),
    /// Take this one out.
    Remove(Id),
    /// Put back the one that was taken out last.
    Undo,
    /// This person sits here.
    Author(Author),
    /// Try again what could not be kept.
    SaveAgain,
}

/// The notes.
#[derive(Default)]
pub struct NotesSession {
    learner: Option<Id>,
    all: Latest<Vec<Note>, NotebookError>,
    editor: Option<NoteEditor>,
    drafts: DraftKeeper,
    /// A note on its way out.
    removed: Latest<Note, NotebookError>,
    restored: Latest<(), NotebookError>,
    /// Notes that can be put back, with their learner.
    out: Vec<(Id, Note)>,
    /// What was done last.
    done: Option<String>,
    news: Vec<News>,
}

impl NotesSession {
    /// Does what a person wants.
    pub fn apply(&mut self, at: &mut Equipment, intent: NotesIntent) {
        match intent {
            NotesIntent::Write => {
                self.editor = match (&self.editor, self.learner) {
                    (None, Some(learner)) => Some(NoteEditor::on(NoteTarget::any(), at, learner)),
                    _ => None,
                };
                self.done = None;
            }
            NotesIntent::Change(id) => {
                let note = self.notes().iter().find(|n| n.id == id);
                if let (Some(note), Some(learner)) = (note, self.learner) {
                    self.editor = Some(NoteEditor::change(id, at, learner, note.body.clone()));
                }
            }
            NotesIntent::Edit(edit) => {
                let outcome = self.editor.as_mut().and_then(|e| e.apply(at, &mut self.drafts, edit));
                if outcome.is_some() {
                    self.editor = None;
                }
            }
            NotesIntent::Remove(id) => {
                if !self.removed.busy() {
                    self.removed.ask(at.notebook.ask(move |n| n.remove_note(id)));
                }
            }
            NotesIntent::Undo => {
                if let Some((learner, note)) = self.out.pop() {
                    self.restored
                        .ask(at.notebook.ask(move |n| n.restore_note(learner, &note)));
                    self.done = None;
                }
            }
            NotesIntent::Author(author) => *at.author = author,
            NotesIntent::SaveAgain => self.drafts.again(),
        }
        self.drafts.poll(at.notebook);
    }

    /// Takes in what came.
    pub fn poll(&mut self, at: &mut Equipment) {
        let learner = at.learner.as_ref().map(|l| l.id);
        if learner != self.learner {
            (self.learner, self.all) = (learner, Latest::default());
            (self.editor, self.done) = (None, None);
            self.out.clear();
        }
        self.drafts.poll(at.notebook);
        let Some(learner) = learner else { return };
        if self.all.untouched() {
            self.refresh(at, learner);
        }
        self.all.take(&mut self.news);
        let kept = self
            .editor
            .as_mut()
            .and_then(|e| e.poll(&mut self.drafts, &mut self.news));
        if let Some(outcome) = kept {
            self.editor = None;
            self.done = matches!(outcome, NoteOutcome::Kept(_)).then(|| "The note is kept.".into());
            self.refresh(at, learner);
        }
        if self.removed.take(&mut self.news)
            && let Some(note) = self.removed.value.take()
        {
            self.done = Some("The note is taken out.".into());
            self.out.push((learner, note));
            self.refresh(at, learner);
        }
        if self.restored.take(&mut self.news) {
            self.restored.value = None;
            self.refresh(at, learner);
        }
    }

    fn refresh(&mut self, at: &Equipment, learner: Id) {
        self.all.ask(at.notebook.ask(move |n| n.notes(learner)));
    }

    /// Asks for the notes anew.
    pub fn stale(&mut self, at: &Equipment) {
        if let Some(learner) = self.learner {
            self.refresh(at, learner);
        }
    }

    /// The notes, the latest first.
    pub fn notes(&self) -> &[Note] {
        self.all.value.as_deref().unwrap_or_default()
    }

    /// Whether they are known.
    pub fn is_open(&self) -> bool {
        self.all.value.is_some()
    }

    /// The note that is being written.
    pub fn editor(&self) -> Option<&NoteEditor> {
        self.editor.as_ref()
    }

    /// What was done last, and whether it can be undone.
    pub fn done(&self) -> Option<(&str, bool)> {
        self.done.as_deref().map(|line| (line, !self.out.is_empty()))
    }

    /// Why something that was typed is not in the notebook, while that is so.
    pub fn unkept(&self) -> Option<&str> {
        self.drafts.fault()
    }

    /// The lines that came up since this was asked last.
    pub fn news(&mut self) -> Vec<News> {
        std::mem::take(&mut self.news)
    }
}
