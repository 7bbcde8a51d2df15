//! All notes on a learner: written, read, changed, taken out.

use std::collections::HashMap;

use super::drafts::DraftKeeper;
use super::note::{NoteEdit, NoteEditor, NoteOutcome, NoteTarget};
use crate::ask::noted::{self, NotedRequest};
use crate::equipment::{Equipment, News};
use crate::later::{Later, Latest, WorkResult};
use crate::notebook::progress::SoundFared;
use crate::notebook::{Author, Id, Note, NoteSubject, Notebook, NotebookError, NotedMoment};
use crate::plan::Plan;
use crate::playback::PlayedPart;
use crate::wording;

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
    /// Answer this one.
    Answer(Id, String),
    /// Settle this one by this evidence; or, without, open it again.
    Settle(Id, Option<String>),
    /// Hear the moment at which this one points, or all of its attempt.
    Hear(Id),
    /// A lesson for the sound of this one.
    Plan(Id),
    /// Put back the one that was taken out last.
    Undo,
    /// This person sits here.
    Author(Author),
    /// Try again what could not be kept.
    SaveAgain,
}

/// All notes on a learner, and what was said in the attempts that some are on.
struct NotesRead {
    notes: Vec<Note>,
    said: HashMap<Id, String>,
}

/// Reads them.
fn read(notebook: &Notebook, learner: Id) -> Result<NotesRead, NotebookError> {
    let notes = notebook.notes(learner)?;
    let mut said = HashMap::new();
    for note in &notes {
        if let NoteSubject::Attempt(id) = note.on
            && let Some(attempt) = notebook.attempt(id)?
        {
            let day = wording::short_day(attempt.day);
            said.insert(note.id, format!("{} as said on {day}", attempt.word));
        }
    }
    Ok(NotesRead { notes, said })
}

/// The notes.
#[derive(Default)]
pub struct NotesSession {
    learner: Option<Id>,
    all: Latest<NotesRead, NotebookError>,
    editor: Option<NoteEditor>,
    drafts: DraftKeeper,
    /// A note on its way out.
    removed: Latest<Note, NotebookError>,
    restored: Latest<(), NotebookError>,
    /// An answer or a settling on its way.
    changed: Latest<(), NotebookError>,
    /// A recording on its way, to be played at a moment.
    hears: Latest<(Vec<f32>, PlayedPart), NotebookError>,
    /// How the sounds that notes are on fared since, by note.
    fared: HashMap<Id, Latest<Vec<SoundFared>, NotebookError>>,
    /// A lesson for a noted sound, and once it is made.
    planning: Option<Later<Result<Plan, String>>>,
    planned: Option<Plan>,
    /// Notes that can be put back, with their learner.
    out: Vec<(Id, Note)>,
    /// What was done last.
    done: Option<String>,
    news: Vec<News>,
}

impl crate::bench::BenchedSession for NotesSession {
    type Intent = NotesIntent;

    fn want(&mut self, at: &mut Equipment, intent: NotesIntent) {
        self.apply(at, intent);
    }

    fn take_in(&mut self, at: &mut Equipment) {
        self.poll(at);
    }
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
            NotesIntent::Answer(id, text) => {
                let by = *at.author;
                self.changed.ask(at.notebook.ask(move |n| n.answer_note(id, by, &text)));
            }
            NotesIntent::Settle(id, evidence) => {
                let by = *at.author;
                let settle = move |n: &mut Notebook| n.settle_note(id, by, evidence.as_deref());
                self.changed.ask(at.notebook.ask(settle));
            }
            NotesIntent::Hear(id) => self.fetch(at, id),
            NotesIntent::Plan(id) => self.plan(at, id),
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
            self.fared.clear();
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
        if self.changed.take(&mut self.news) {
            self.changed.value = None;
            self.refresh(at, learner);
        }
        self.poll_heard(at);
        self.poll_fared(at, learner);
        self.poll_plan();
        if self.restored.take(&mut self.news) {
            self.restored.value = None;
            self.refresh(at, learner);
        }
    }

    /// Fetches the recording at which a note points.
    fn fetch(&mut self, at: &Equipment, id: Id) {
        let note = self.notes().iter().find(|n| n.id == id);
        let wanted = note.and_then(|n| match &n.on {
            NoteSubject::Attempt(attempt) => Some((*attempt, part(n.body.moment))),
            _ => None,
        });
        let Some((attempt, part)) = wanted else { return };
        self.hears.ask(at.notebook.ask(move |n| {
            let gone = || NotebookError::Refused("the recording of that attempt is not here".into());
            let content = n.attempt(attempt)?.and_then(|a| a.recording).ok_or_else(gone)?;
            Ok((n.recording(content)?.clip.samples, part))
        }));
    }

    fn poll_heard(&mut self, at: &mut Equipment) {
        if self.hears.take(&mut self.news)
            && let Some((samples, part)) = self.hears.value.take()
        {
            at.playback.play(&samples, part, at.wake);
        }
    }

    /// Asks how each noted sound fared since its note.
    fn poll_fared(&mut self, at: &Equipment, learner: Id) {
        let noted = self
            .all
            .value
            .iter()
            .flat_map(|all| &all.notes)
            .filter_map(|n| match n.on {
                NoteSubject::Sound(sound) => Some((n.id, sound, n.day)),
                _ => None,
            });
        for (id, sound, day) in noted {
            let fared = self.fared.entry(id).or_default();
            if fared.untouched() {
                fared.ask(at.notebook.ask(move |n| n.sound_fared(learner, sound, day)));
            }
            fared.take(&mut self.news);
        }
    }

    /// Makes a lesson for a noted sound, on a thread of its own.
    fn plan(&mut self, at: &Equipment, id: Id) {
        let note = self.notes().iter().find(|n| n.id == id);
        let Some((sound, place)) = note.and_then(|n| match n.on {
            NoteSubject::Sound(sound) => Some((sound, n.body.position)),
            _ => None,
        }) else {
            return;
        };
        let (folder, rules) = (at.folder.to_owned(), at.rules_in_hand().clone());
        let request = NotedRequest { sound, place };
        self.planning = Some(Later::start(at.wake.clone(), "Choosing the words", move |_| {
            noted::plan(&folder, request, &rules)
        }));
    }

    fn poll_plan(&mut self) {
        let Some(ended) = self.planning.as_mut().and_then(Later::take) else {
            return;
        };
        self.planning = None;
        match ended {
            WorkResult::Done(Ok(plan)) => self.planned = Some(plan),
            WorkResult::Done(Err(line)) => self.news.push(News::Said(line)),
            WorkResult::Cancelled => {}
            WorkResult::Failed => {
                let line = "The program itself failed at the plan; please report it.";
                self.news.push(News::Failed(line.into()));
            }
        }
    }

    /// The lesson that was made for a noted sound; once.
    pub fn take_plan(&mut self) -> Option<Plan> {
        self.planned.take()
    }

    /// What is being made.
    pub fn coming(&self) -> Option<&'static str> {
        self.planning.as_ref().map(Later::name)
    }

    /// How the sound of a note fared since the note, by its place in the word; empty while that is not known.
    pub fn fared(&self, note: Id) -> &[SoundFared] {
        let found = self.fared.get(&note).and_then(|f| f.value.as_ref());
        found.map_or(&[], Vec::as_slice)
    }

    fn refresh(&mut self, at: &Equipment, learner: Id) {
        self.fared.clear();
        self.all.ask(at.notebook.ask(move |n| read(n, learner)));
    }

    /// Asks for the notes anew.
    pub fn stale(&mut self, at: &Equipment) {
        if let Some(learner) = self.learner {
            self.refresh(at, learner);
        }
    }

    /// The notes, the latest first.
    pub fn notes(&self) -> &[Note] {
        self.all.value.as_ref().map_or(&[], |all| &all.notes)
    }

    /// What a note is on, for people: `the sound th`, `fizz as said on 27 Nov 2026`.
    pub fn subject(&self, note: &Note) -> String {
        let said = self.all.value.as_ref().and_then(|all| all.said.get(&note.id));
        said.cloned().unwrap_or_else(|| wording::note_subject(&note.on))
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
/// What is heard of a note's attempt: the moment at which it points, or all.
fn part(moment: Option<NotedMoment>) -> PlayedPart {
    moment.map_or(PlayedPart::WHOLE, |moment| {
        let (from_s, to_s) = moment.seconds();
        PlayedPart {
            from_s,
            to_s,
            ..PlayedPart::WHOLE
        }
    })
}
