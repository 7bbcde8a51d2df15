//! What of a lesson goes into the notebook, and when: a recording before it is shown, everything else as it happens.
//!
//! Every word that was worked on has a row, with or without a recording. What the notebook has not confirmed is kept
//! here, said, and sent again.

use std::collections::HashMap;
use std::sync::{Arc, Mutex, PoisonError};

use soundbead_dsp::audio::Recording;
use soundbead_dsp::judgement::Verdict;

use super::draft::{KEY, LessonDraft};
use super::saving::Saving;
use super::{Lesson, TaskStanding, Try, TryKept, Undone, WordWork};
use crate::equipment::Equipment;
use crate::later::Later;
use crate::notebook::{
    AfterFirst, Author, Cued, Desk, Edits, Id, MODEL, NewAttempt, NewSession, Notebook, NotebookError, Pointed, Result,
    Ruling, ShownAnswer,
};

/// The notebook's session, which the first row begins. Shared with the notebook's thread, where rows are made one after
/// another, so that two rows never begin two sessions.
type SessionSlot = Arc<Mutex<Option<Id>>>;

/// The row of a word that was worked on without a recording.
enum UnrecordedAttempt {
    OnItsWay(Later<Result<Id>>),
    There(Id),
    /// It was there when the lesson went on.
    Found(Id),
    /// It could not be made; why.
    Failed(String),
}

/// The way from a lesson to the notebook.
#[derive(Default)]
pub struct LessonKeeper {
    learner: Option<Id>,
    session: SessionSlot,
    /// What is said of each attempt.
    rows: HashMap<Id, Saving<LessonEdits>>,
    /// Rows without a recording, by the word's number.
    bare: HashMap<usize, UnrecordedAttempt>,
    draft: Saving<String>,
    /// A recording that could not be kept, on its way once more, and its word's number.
    second: Option<(usize, Later<Result<Id>>)>,
    /// The end of the lesson, once it is over.
    ending: Option<Saving<()>>,
    /// Whether it was left to go on another day.
    paused: bool,
}

/// A recording on its way to the notebook.
pub struct PendingAttempt {
    answer: Later<Result<Id>>,
    heard: Box<Try>,
}

impl LessonKeeper {
    /// Starts anew with this learner; a session may go on.
    pub fn begin(&mut self, learner: Option<Id>, session: Option<Id>) {
        *self = LessonKeeper {
            learner,
            session: Arc::new(Mutex::new(session)),
            ..LessonKeeper::default()
        };
    }

    /// Whose lesson it is.
    pub fn learner(&self) -> Option<Id> {
        self.learner
    }

    /// The notebook's session, once it was begun.
    pub fn session(&self) -> Option<Id> {
        *self.session.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// Rows that are there already, by the word's number: a lesson that goes on.
    pub fn found(&mut self, rows: impl IntoIterator<Item = (usize, Id)>) {
        self.bare
            .extend(rows.into_iter().map(|(at, id)| (at, UnrecordedAttempt::Found(id))));
    }

    /// Gives a recording of word `at` to the notebook. Without a learner there is nowhere to keep it, and it comes
    /// straight back.
    ///
    /// # Errors
    /// The recording itself, when there is no learner to keep it for.
    pub fn write(
        &self,
        notebook: &Desk,
        lesson: &Lesson,
        at: usize,
        mut heard: Try,
    ) -> std::result::Result<PendingAttempt, Box<Try>> {
        let Some(learner) = self.learner else {
            heard.kept = TryKept::Nowhere;
            return Err(Box::new(heard));
        };
        let row = AttemptStart::of(lesson, at, Some(&heard));
        let session = self.session.clone();
        Ok(PendingAttempt {
            answer: notebook.ask(move |notebook| row.make(notebook, learner, &session)),
            heard: Box::new(heard),
        })
    }

    /// The recording once it is kept, or once it is known that it cannot be.
    ///
    /// # Errors
    /// The same writing, while it is not done.
    pub fn written(&mut self, mut writing: PendingAttempt) -> std::result::Result<Box<Try>, PendingAttempt> {
        let Some(answer) = writing.answer.answer() else {
            return Err(writing);
        };
        let mut heard = writing.heard;
        heard.kept = match answer {
            Ok(attempt) => TryKept::As(attempt),
            Err(e) => TryKept::Failed(e.to_string()),
        };
        Ok(heard)
    }

    /// Gives the first recording that could not be kept to the notebook once more.
    pub fn write_again(&mut self, notebook: &Desk, lesson: &Lesson) {
        let Some(learner) = self.learner.filter(|_| self.second.is_none()) else {
            return;
        };
        let failed = |(at, work): (usize, &WordWork)| {
            let latest = work.latest.as_ref()?;
            matches!(latest.kept, TryKept::Failed(_)).then(|| (at, latest.clone()))
        };
        if let Some((at, latest)) = lesson.works().iter().enumerate().find_map(failed) {
            let (row, session) = (AttemptStart::of(lesson, at, Some(&latest)), self.session.clone());
            self.second = Some((at, notebook.ask(move |n| row.make(n, learner, &session))));
        }
    }

    /// Where that recording is kept now, once that is known; and its word's number.
    pub fn written_again(&mut self) -> Option<(usize, TryKept)> {
        let (at, later) = self.second.as_mut()?;
        let (at, answer) = (*at, later.answer()?);
        self.second = None;
        Some((at, answer.map_or_else(|e| TryKept::Failed(e.to_string()), TryKept::As)))
    }

    /// Sees to it that the notebook has what was done: rows, counts, rulings, answers, letters, and the lesson itself.
    pub fn poll(&mut self, notebook: &Desk, lesson: Option<&Lesson>) {
        let Some(learner) = self.learner else { return };
        if let Some(lesson) = lesson {
            self.want(notebook, learner, lesson);
        }
        for (id, row) in &mut self.rows {
            let id = *id;
            row.poll(|told| notebook.ask(move |n| n.edit(id, |now| told.put(now)).map(|_| ())));
        }
        self.draft
            .poll(|text| notebook.ask(move |n| n.keep_draft(Some(learner), KEY, &text)));
        self.take_bare_rows();
        self.poll_end(notebook, learner);
    }

    /// What is to be in the notebook of this lesson.
    fn want(&mut self, notebook: &Desk, learner: Id, lesson: &Lesson) {
        for (at, work) in lesson.works().iter().enumerate() {
            let id = match &work.latest {
                Some(latest) => attempt(&latest.kept),
                None if work.answered() => self.bare_row(notebook, learner, lesson, at),
                None => self.take_back_bare(notebook, at),
            };
            if let Some(id) = id {
                let row = self.rows.entry(id).or_default();
                row.want(LessonEdits::of(work, row.wanted()));
            }
        }
        let text = if lesson.begun() {
            LessonDraft::of(lesson, self.session(), |at| self.bare_id(at)).text()
        } else {
            String::new()
        };
        self.draft.want(text);
    }

    fn bare_id(&self, at: usize) -> Option<Id> {
        match self.bare.get(&at) {
            Some(UnrecordedAttempt::There(id) | UnrecordedAttempt::Found(id)) => Some(*id),
            _ => None,
        }
    }

    /// The row of a word without a recording, which is asked for when there is none.
    fn bare_row(&mut self, notebook: &Desk, learner: Id, lesson: &Lesson, at: usize) -> Option<Id> {
        let session = self.session.clone();
        let bare = self.bare.entry(at).or_insert_with(|| {
            let row = AttemptStart::of(lesson, at, None);
            UnrecordedAttempt::OnItsWay(notebook.ask(move |notebook| row.make(notebook, learner, &session)))
        });
        match bare {
            UnrecordedAttempt::There(id) | UnrecordedAttempt::Found(id) => Some(*id),
            UnrecordedAttempt::OnItsWay(_) | UnrecordedAttempt::Failed(_) => None,
        }
    }

    /// Takes the row of a word without a recording back when all its answers were undone.
    fn take_back_bare(&mut self, notebook: &Desk, at: usize) -> Option<Id> {
        if let Some(UnrecordedAttempt::There(id)) = self.bare.get(&at) {
            let id = *id;
            self.bare.remove(&at);
            self.rows.remove(&id);
            let _ = notebook.ask(move |notebook| notebook.take_back(id));
        }
        None
    }

    /// Takes in which rows without a recording are there by now.
    fn take_bare_rows(&mut self) {
        for bare in self.bare.values_mut() {
            if let UnrecordedAttempt::OnItsWay(later) = bare
                && let Some(answer) = later.answer()
            {
                *bare = match answer {
                    Ok(id) => UnrecordedAttempt::There(id),
                    Err(e) => UnrecordedAttempt::Failed(e.to_string()),
                };
            }
        }
    }

    /// Why something is not in the notebook, if that is so.
    pub fn fault(&self) -> Option<&str> {
        let bare = self.bare.values().find_map(|bare| match bare {
            UnrecordedAttempt::Failed(why) => Some(why.as_str()),
            _ => None,
        });
        bare.or_else(|| self.rows.values().find_map(Saving::fault))
            .or_else(|| self.draft.fault())
            .or_else(|| self.ending.as_ref()?.fault())
    }

    /// Whether everything is known to be kept.
    fn settled(&self) -> bool {
        self.bare
            .values()
            .all(|bare| matches!(bare, UnrecordedAttempt::There(_) | UnrecordedAttempt::Found(_)))
            && self.rows.values().all(Saving::settled)
            && self.draft.settled()
    }

    /// Tries again what could not be kept.
    pub fn again(&mut self) {
        self.bare
            .retain(|_, bare| !matches!(bare, UnrecordedAttempt::Failed(_)));
        self.rows.values_mut().for_each(Saving::again);
        self.draft.again();
        if let Some(ending) = &mut self.ending {
            ending.again();
        }
    }

    /// Takes out of the notebook what was undone.
    pub fn undone(&mut self, notebook: &Desk, undone: &Undone) {
        if let Undone::Try(gone) = undone
            && let Some(id) = attempt(&gone.kept)
        {
            self.rows.remove(&id);
            let _ = notebook.ask(move |notebook| notebook.take_back(id));
        }
    }

    /// The lesson is over: once all of it is kept its session ends, and there is nothing to resume.
    pub fn end(&mut self) {
        self.ending = Some(Saving::default());
    }

    /// The lesson goes on another day: it stays open in the notebook.
    pub fn pause(&mut self) {
        self.paused = true;
    }

    /// Whether a lesson that was ended or left is in the notebook, all of it.
    pub fn over(&self) -> bool {
        self.learner.is_none()
            || (self.paused && self.settled())
            || self.ending.as_ref().is_some_and(|ending| ending.kept_once())
    }

    fn poll_end(&mut self, notebook: &Desk, learner: Id) {
        let settled = self.settled();
        let Some(ending) = &mut self.ending else { return };
        if settled {
            ending.want(());
        }
        let session = self.session.clone();
        ending.poll(|()| {
            notebook.ask(move |notebook| {
                let session = *session.lock().unwrap_or_else(PoisonError::into_inner);
                if let Some(session) = session {
                    notebook.end_session(session)?;
                }
                notebook.keep_draft(Some(learner), KEY, "")
            })
        });
    }
}

/// What a row begins with.
struct AttemptStart {
    word: super::LessonWord,
    before: Option<String>,
    plan: String,
    rules: soundbead_data::Rules,
    speaking: soundbead_dsp::judgement::Speaking,
    child: Option<u16>,
    judgement: Option<soundbead_dsp::judgement::Judgement>,
    clip: Option<soundbead_dsp::audio::Clip>,
    cued: Option<Cued>,
}

impl AttemptStart {
    fn of(lesson: &Lesson, at: usize, heard: Option<&Try>) -> AttemptStart {
        let spellings: Vec<&str> = lesson.words().iter().map(|w| w.spelling.as_str()).collect();
        AttemptStart {
            word: lesson.words()[at].clone(),
            before: at.checked_sub(1).map(|i| spellings[i].to_owned()),
            plan: spellings.join(" "),
            rules: lesson.rules().clone(),
            speaking: heard.map_or(lesson.speaking(), |h| h.speaking),
            child: count(&lesson.works()[at]).or_else(|| beads_said(&lesson.works()[at], heard)),
            judgement: heard.and_then(|h| h.judgement().cloned()),
            clip: heard.map(|h| h.take.recording.clip.clone()),
            // Without a recording nobody knows that the word was said at all.
            cued: heard.and_then(|h| h.cued),
        }
    }

    /// Makes it. Runs on the notebook's thread.
    fn make(self, notebook: &mut Notebook, learner: Id, slot: &SessionSlot) -> Result<Id> {
        // Held only to look: whoever draws the lesson looks too, and must not wait for the disk.
        let begun = *slot.lock().unwrap_or_else(PoisonError::into_inner);
        let session = match begun {
            Some(session) => session,
            None => {
                let new = NewSession {
                    plan: self.plan,
                    began: None,
                };
                notebook.begin_session(learner, &new)?.id
            }
        };
        *slot.lock().unwrap_or_else(PoisonError::into_inner) = Some(session);
        let attempt = notebook.record(
            session,
            &NewAttempt {
                word: &self.word.spelling,
                sounds: &self.word.sounds,
                before: self.before.as_deref(),
                speaking: self.speaking,
                rules: self.rules,
                child: self.child,
                judgement: self.judgement.as_ref(),
                model: MODEL,
                clip: self.clip.as_ref(),
                at: None,
                cued: self.cued,
            },
        )?;
        Ok(attempt.id)
    }
}

/// The draft of an interrupted lesson of that learner.
pub fn draft(at: &Equipment, learner: Id) -> Later<Result<Option<LessonDraft>>> {
    at.notebook.ask(move |notebook| {
        let found = notebook.draft(Some(learner), KEY)?;
        // One that cannot be read (from another version) is as good as none.
        Ok(found.and_then(|(text, _)| LessonDraft::read(&text).ok()))
    })
}

/// The recording of an attempt.
pub fn recording(at: &Equipment, id: Id) -> Later<Result<Option<Recording>>> {
    at.notebook.ask(move |notebook| {
        let content = notebook.attempt(id)?.and_then(|a| a.recording);
        content.map(|c| notebook.recording(c)).transpose()
    })
}

fn attempt(kept: &TryKept) -> Option<Id> {
    match kept {
        TryKept::As(id) => Some(*id),
        TryKept::Nowhere | TryKept::Failed(_) => None,
    }
}

/// The first count, as it was given. Beads that were put on and never given are no answer.
fn count(work: &WordWork) -> Option<u16> {
    beads(*work.count.first()?)
}

/// The beads on the string while the word is said: saying it gives them.
fn beads_said(work: &WordWork, heard: Option<&Try>) -> Option<u16> {
    heard.and_then(|_| beads(work.beads))
}

fn beads(count: usize) -> Option<u16> {
    u16::try_from(count).ok().filter(|n| *n > 0)
}

fn pointed(pointed: &super::PointedBead) -> Pointed {
    Pointed {
        at: pointed.at as u16,
        right: pointed.right,
    }
}

/// What came after the first answers, where it differs from them.
fn after(work: &WordWork) -> AfterFirst {
    let changed = work.count.last().filter(|last| work.count.first() != Some(last));
    let spelled = work.spelled.last().filter(|last| work.spelled.first() != Some(last));
    let which = work.which.last().filter(|last| work.which.first() != Some(last));
    let shown = [
        (work.count.standing(), ShownAnswer::Count),
        (work.which.standing(), ShownAnswer::Which),
        (work.spelled.standing(), ShownAnswer::Letters),
    ];
    let shown = shown
        .into_iter()
        .filter(|(standing, _)| *standing == TaskStanding::Shown);
    AfterFirst {
        child: changed.and_then(|n| u16::try_from(*n).ok()),
        pointed: which.map(pointed),
        letters: spelled.cloned().unwrap_or_default(),
        shown: shown.map(|(_, answer)| answer).collect(),
    }
}

/// What a lesson has to say of an attempt.
#[derive(Clone, PartialEq)]
struct LessonEdits {
    child: Option<u16>,
    pointed: Option<Pointed>,
    letters: Vec<String>,
    after: AfterFirst,
    ruling: Option<(Verdict, Author)>,
    /// Whose ruling of this lesson was taken back.
    takes_back: Option<Author>,
}

impl LessonEdits {
    /// What is told now, after what was told `before`.
    fn of(work: &WordWork, before: Option<&LessonEdits>) -> LessonEdits {
        let ruled = before.and_then(|told| told.ruling.map(|(_, by)| by).or(told.takes_back));
        let by = work.ruling.map(|(_, by)| by);
        LessonEdits {
            child: count(work),
            pointed: work.which.first().map(pointed),
            // Letters that were typed and never given are no try: they stay in the lesson, which can go on, and in its draft.
            letters: work.spelled.first().cloned().unwrap_or_default(),
            after: after(work),
            ruling: work.ruling,
            takes_back: ruled.filter(|ruled| Some(*ruled) != by),
        }
    }

    /// Puts it into what the notebook has. What others added stays.
    fn put(self, now: &mut Edits) {
        now.child = self.child;
        now.pointed = self.pointed;
        now.letters = self.letters;
        now.after = self.after;
        if let Some(by) = self.takes_back {
            now.take_back_ruling(by);
        }
        if let Some((verdict, by)) = self.ruling {
            now.rule(Ruling::new(verdict, by));
        }
    }
}

/// What a fault of the notebook means to a lesson.
pub fn fault(error: &NotebookError) -> String {
    format!("The notebook could not be read. {error}")
}
