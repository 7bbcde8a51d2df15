//! An articulation note as it is written. What is typed is kept as it is typed, under the name of what the note is on, until the
//! note is kept or dropped: a half-written note belongs to its target, whatever is looked at meanwhile.

use serde::{Deserialize, Serialize};
use soundbead_data::Sound;

use super::drafts::DraftKeeper;
use crate::equipment::{Equipment, News};
use crate::later::{Later, Latest};
use crate::notebook::{Attempt, Id, Moment, NewNote, Note, NoteBody, NoteSubject, NotebookError, Result};

/// Under which a note that is on no attempt is kept while it is written.
const KEY: &str = "note";

/// What a note may be on.
#[derive(Clone, Debug, PartialEq)]
pub struct NoteTarget {
    /// The attempt, if it is written at one.
    pub attempt: Option<Id>,
    /// The word of the attempt, or the one that is typed.
    pub word: String,
    /// The sounds that may be chosen.
    pub sounds: Vec<Sound>,
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

    /// Any word, any sound, or the learner.
    pub fn any() -> NoteTarget {
        NoteTarget {
            attempt: None,
            word: String::new(),
            sounds: Sound::all().collect(),
        }
    }

    /// Under which a half-written note on it is kept: each attempt has its own.
    pub fn key(&self) -> String {
        self.attempt.map_or(KEY.to_owned(), |id| format!("{KEY} {id}"))
    }
}

/// What of the target the note is on.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum SubjectPick {
    /// The attempt.
    Attempt,
    /// A word.
    Word,
    /// A sound.
    Sound,
    /// The learner.
    Learner,
}

/// What a person does to the note.
#[derive(Clone, Debug, PartialEq)]
pub enum NoteEdit {
    /// It is on this.
    On(SubjectPick),
    /// It is on this sound.
    Sound(Sound),
    /// It is on this word, where the target leaves it open.
    Word(String),
    /// This is what it says in one's own words.
    Text(String),
    /// This is all that it says: a choice or a phrase was put in.
    Body(Box<NoteBody>),
    /// Keep it.
    Keep,
    /// Drop it, and what was typed.
    Drop,
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

/// What became of a note.
#[derive(Clone, Debug, PartialEq)]
pub enum NoteOutcome {
    /// It is in the notebook; none where one that was there was changed.
    Kept(Option<Box<Note>>),
    /// It was dropped.
    Dropped,
}

/// A note that is being written.
pub struct NoteEditor {
    target: NoteTarget,
    pick: SubjectPick,
    sound: Sound,
    body: NoteBody,
    /// What it said at first.
    given: NoteBody,
    learner: Id,
    /// The note that is changed; none for a new one.
    changes: Option<Id>,
    /// What was typed before and not finished, on its way.
    draft: Latest<Option<(String, Moment)>, NotebookError>,
    /// The note on its way into the notebook.
    keeping: Option<Later<Result<Option<Note>>>>,
    fault: Option<String>,
}

impl NoteEditor {
    /// An empty note; what was typed before and not finished comes back.
    pub fn on(target: NoteTarget, at: &Equipment, learner: Id) -> NoteEditor {
        let mut editor = NoteEditor::with(target, learner, NoteBody::default(), None);
        editor.fetch(at);
        editor
    }

    /// The note `id`, which is there already and says this; what it is on stays.
    pub fn change(id: Id, at: &Equipment, learner: Id, body: NoteBody) -> NoteEditor {
        let mut editor = NoteEditor::with(NoteTarget::any(), learner, body, Some(id));
        editor.fetch(at);
        editor
    }

    fn with(target: NoteTarget, learner: Id, body: NoteBody, changes: Option<Id>) -> NoteEditor {
        NoteEditor {
            given: body.clone(),
            pick: match target.attempt {
                Some(_) => SubjectPick::Attempt,
                None => SubjectPick::Learner,
            },
            sound: target.sounds.first().copied().unwrap_or(Sound::S),
            target,
            body,
            learner,
            changes,
            draft: Latest::default(),
            keeping: None,
            fault: None,
        }
    }

    /// Under which it is kept while it is written.
    pub fn key(&self) -> String {
        match self.changes {
            Some(id) => format!("{KEY} changed {id}"),
            None => self.target.key(),
        }
    }

    /// Asks for what was typed before and not finished.
    fn fetch(&mut self, at: &Equipment) {
        let (learner, key) = (self.learner, self.key());
        self.draft.ask(at.notebook.ask(move |n| n.draft(Some(learner), &key)));
    }

    /// Does what a person wants. What was dropped is said; what is kept, [`NoteEditor::poll`] says.
    pub fn apply(&mut self, at: &Equipment, drafts: &mut DraftKeeper, edit: NoteEdit) -> Option<NoteOutcome> {
        // What was given to the notebook is not changed under way.
        if self.is_busy() {
            return None;
        }
        match edit {
            NoteEdit::On(pick) => self.pick = self.allowed(pick),
            NoteEdit::Sound(sound) => self.sound = sound,
            NoteEdit::Word(word) if self.target.attempt.is_none() => self.target.word = word,
            NoteEdit::Word(_) => {}
            NoteEdit::Text(text) => self.body.text = text,
            NoteEdit::Body(body) => self.body = *body,
            NoteEdit::Keep => {
                // Without another keeping of the draft: it would come after the errand that drops it.
                self.keep(at);
                return None;
            }
            NoteEdit::Drop => {
                self.body = self.given.clone();
                drafts.want(self.learner, &self.key(), String::new());
                return Some(NoteOutcome::Dropped);
            }
        }
        self.keep_draft(drafts);
        None
    }

    /// A note that is at no attempt cannot be on one.
    fn allowed(&self, pick: SubjectPick) -> SubjectPick {
        match (pick, self.target.attempt) {
            (SubjectPick::Attempt, None) => self.pick,
            (pick, _) => pick,
        }
    }

    /// Takes in what came: what was typed before, and whether the note is kept.
    pub fn poll(&mut self, drafts: &mut DraftKeeper, news: &mut Vec<News>) -> Option<NoteOutcome> {
        if self.draft.take(news)
            && let Some(Some((text, _))) = self.draft.value.take()
        {
            self.take_draft(drafts, &text);
        }
        match self.keeping.as_mut()?.answer()? {
            Ok(note) => {
                self.keeping = None;
                // The errand dropped the draft; what was to be tried again is dropped too.
                drafts.want(self.learner, &self.key(), String::new());
                Some(NoteOutcome::Kept(note.map(Box::new)))
            }
            Err(e) => {
                (self.keeping, self.fault) = (None, Some(e.to_string()));
                None
            }
        }
    }

    /// Takes in what was typed before, unless something was typed meanwhile or is on its way.
    fn take_draft(&mut self, drafts: &DraftKeeper, text: &str) {
        let key = self.key();
        let text = drafts.wanted(self.learner, &key).unwrap_or(text);
        let Ok(draft) = serde_json::from_str::<NoteDraft>(text) else {
            return;
        };
        if self.body == self.given && !self.is_busy() {
            self.body = draft.body;
            self.pick = draft.pick.map_or(self.pick, |pick| self.allowed(pick));
            if self.target.attempt.is_none() {
                self.target.word = draft.word;
            }
        }
    }

    /// Keeps what is typed.
    fn keep_draft(&self, drafts: &mut DraftKeeper) {
        let text = match self.body == self.given {
            true => String::new(),
            false => serde_json::to_string(&NoteDraft {
                body: self.body.clone(),
                pick: Some(self.pick).filter(|_| self.is_new()),
                word: self.target.word.clone(),
            })
            .unwrap_or_default(),
        };
        drafts.want(self.learner, &self.key(), text);
    }

    /// Gives the note to the notebook, which drops the draft in the same errand, so that one of the two is always there.
    fn keep(&mut self, at: &Equipment) {
        let Some(on) = self.subject().filter(|_| self.is_ready()) else {
            return;
        };
        let (learner, key, changes) = (self.learner, self.key(), self.changes);
        let new = NewNote {
            on,
            author: *at.author,
            body: self.body.clone(),
        };
        self.fault = None;
        self.keeping = Some(at.notebook.ask(move |n| {
            let note = match changes {
                Some(id) => n.change_note(id, &new.body).map(|()| None),
                None => n.add_note(learner, &new).map(Some),
            }?;
            n.keep_draft(Some(learner), &key, "")?;
            Ok(note)
        }));
    }

    /// What it is on; none while a word is missing.
    fn subject(&self) -> Option<NoteSubject> {
        let word = self.target.word.trim().to_lowercase();
        Some(match (self.pick, self.target.attempt) {
            (SubjectPick::Attempt, Some(id)) => NoteSubject::Attempt(id),
            (SubjectPick::Word, _) if word.is_empty() => return None,
            (SubjectPick::Word, _) => NoteSubject::Word(word),
            (SubjectPick::Sound, _) => NoteSubject::Sound(self.sound),
            (SubjectPick::Attempt, None) | (SubjectPick::Learner, _) => NoteSubject::Learner,
        })
    }

    /// Whether it is a new one: only then there is something to choose of what it is on.
    pub fn is_new(&self) -> bool {
        self.changes.is_none()
    }

    /// Whether it can be kept as it is.
    pub fn is_ready(&self) -> bool {
        !self.body.is_empty() && !self.is_busy() && self.subject().is_some()
    }

    /// Whether it is on its way into the notebook.
    pub fn is_busy(&self) -> bool {
        self.keeping.is_some()
    }

    /// Why it could not be kept; it is still here.
    pub fn fault(&self) -> Option<&str> {
        self.fault.as_deref()
    }

    /// What it may be on.
    pub fn target(&self) -> &NoteTarget {
        &self.target
    }

    /// Which of that it is on.
    pub fn pick(&self) -> SubjectPick {
        self.pick
    }

    /// The sound that it is on, where it is on one.
    pub fn sound(&self) -> Sound {
        self.sound
    }

    /// What it says.
    pub fn body(&self) -> &NoteBody {
        &self.body
    }
}
