//! What of a lesson goes into the notebook, and when: a recording before it is shown, everything else as it happens.

use std::collections::HashMap;

use crate::drill::draft::{Draft, KEY};
use crate::drill::{Kept, Lesson, Try, Undone, Work};
use crate::notebook::{Answer, Author, Edits, Id, MODEL, NewAttempt, NewSession, NotebookError, Pointed, Ruling};
use crate::ui::shared::Shared;
use soundbead_dsp::judgement::Verdict;

/// The way from a lesson to the notebook.
#[derive(Default)]
pub struct Keeper {
    /// The session and whose it is.
    pub session: Option<Id>,
    learner: Option<Id>,
    /// What each attempt was last said to be.
    sent: HashMap<Id, Told>,
    draft: String,
}

/// A recording on its way to the notebook.
pub struct Writing {
    answer: Answer<(Id, Id)>,
    heard: Box<Try>,
}

impl Keeper {
    /// Starts anew with the learner in hand; a session may go on.
    pub fn begin(&mut self, learner: Option<Id>, session: Option<Id>) {
        *self = Keeper {
            session,
            learner,
            ..Keeper::default()
        };
    }

    /// Gives a recording to the notebook. Without a learner there is nowhere to keep it, and it comes straight back.
    pub fn write(&self, shared: &Shared, lesson: &Lesson, mut heard: Try) -> Result<Writing, Box<Try>> {
        let Some(learner) = self.learner else {
            heard.kept = Kept::Nowhere;
            return Err(Box::new(heard));
        };
        let (word, before) = (lesson.word().clone(), lesson.before().map(|w| w.spelling.clone()));
        let plan = lesson
            .words()
            .iter()
            .map(|w| w.spelling.as_str())
            .collect::<Vec<_>>()
            .join(" ");
        let (session, rules) = (self.session, lesson.rules().clone());
        let (judgement, clip) = (heard.judgement().cloned(), heard.take.recording.clip.clone());
        let (speaking, child) = (heard.speaking, count(lesson.work()));
        let answer = shared.notebook.ask(move |notebook| {
            let session = match session {
                Some(session) => session,
                None => notebook.begin_session(learner, &NewSession { plan, began: None })?.id,
            };
            let attempt = notebook.record(
                session,
                &NewAttempt {
                    word: &word.spelling,
                    sounds: &word.sounds,
                    before: before.as_deref(),
                    speaking,
                    rules,
                    child,
                    judgement: judgement.as_ref(),
                    model: MODEL,
                    clip: Some(&clip),
                    at: None,
                },
            )?;
            Ok((session, attempt.id))
        });
        Ok(Writing {
            answer,
            heard: Box::new(heard),
        })
    }

    /// The recording once it is kept, or once it is known that it cannot be.
    pub fn written(&mut self, writing: Writing) -> Result<Box<Try>, Writing> {
        let Some(answer) = writing.answer.take() else {
            return Err(writing);
        };
        let mut heard = writing.heard;
        heard.kept = match answer {
            Ok((session, attempt)) => {
                self.session = Some(session);
                Kept::As(attempt)
            }
            Err(e) => Kept::Failed(e.to_string()),
        };
        Ok(heard)
    }

    /// Tells the notebook what changed since it was last told: counts, rulings, answers, letters, and the lesson itself.
    pub fn tell(&mut self, shared: &Shared, lesson: &Lesson) {
        let Some(learner) = self.learner else { return };
        for work in lesson.works() {
            let Some(id) = work.latest.as_ref().and_then(|l| attempt(&l.kept)) else {
                continue;
            };
            let told = Told::of(work);
            if self.sent.get(&id) != Some(&told) {
                self.sent.insert(id, told.clone());
                let _ = shared
                    .notebook
                    .ask(move |notebook| notebook.edit(id, |now| told.put(now)));
            }
        }
        let text = if lesson.begun() {
            Draft::of(lesson, self.session).text()
        } else {
            String::new()
        };
        if text != self.draft {
            self.draft.clone_from(&text);
            let _ = shared
                .notebook
                .ask(move |notebook| notebook.keep_draft(Some(learner), KEY, &text));
        }
    }

    /// Takes out of the notebook what was undone.
    pub fn undone(&mut self, shared: &Shared, undone: &Undone) {
        if let (Undone::Try(gone), Some(session)) = (undone, self.session)
            && let Some(id) = attempt(&gone.kept)
        {
            self.sent.remove(&id);
            let _ = shared.notebook.ask(move |notebook| notebook.undo_last(session));
        }
    }

    /// The lesson is over: its session ends, and there is nothing to resume.
    pub fn end(&mut self, shared: &Shared) {
        if let Some(learner) = self.learner {
            let session = self.session;
            let _ = shared.notebook.ask(move |notebook| {
                if let Some(session) = session {
                    notebook.end_session(session)?;
                }
                notebook.keep_draft(Some(learner), KEY, "")
            });
        }
        self.begin(self.learner, None);
    }
}

/// The draft of an interrupted lesson of that learner.
pub fn draft(shared: &Shared, learner: Id) -> Answer<Option<Draft>> {
    shared.notebook.ask(move |notebook| {
        let found = notebook.draft(Some(learner), KEY)?;
        // One that cannot be read (from another version) is as good as none.
        Ok(found.and_then(|(text, _)| Draft::read(&text).ok()))
    })
}

/// The recording of an attempt.
pub fn recording(shared: &Shared, id: Id) -> Answer<Option<soundbead_dsp::audio::Recording>> {
    shared.notebook.ask(move |notebook| {
        let content = notebook.attempt(id)?.and_then(|a| a.recording);
        content.map(|c| notebook.recording(c)).transpose()
    })
}

fn attempt(kept: &Kept) -> Option<Id> {
    match kept {
        Kept::As(id) => Some(*id),
        Kept::Nowhere | Kept::Failed(_) => None,
    }
}

fn count(work: &Work) -> Option<u16> {
    u16::try_from(work.beads).ok().filter(|n| *n > 0)
}

/// What a lesson has to say of an attempt.
#[derive(Clone, PartialEq)]
struct Told {
    child: Option<u16>,
    pointed: Option<Pointed>,
    letters: Vec<String>,
    ruling: Option<Verdict>,
}

impl Told {
    fn of(work: &Work) -> Told {
        Told {
            child: count(work),
            pointed: work.pointed.map(|p| Pointed {
                at: p.at as u16,
                right: p.right,
            }),
            letters: if work.letters.iter().all(String::is_empty) {
                Vec::new()
            } else {
                work.letters.clone()
            },
            ruling: work.ruling,
        }
    }

    /// Puts it into what the notebook has. What others added stays.
    fn put(self, now: &mut Edits) {
        now.child = self.child;
        now.pointed = self.pointed;
        now.letters = self.letters;
        match self.ruling {
            Some(verdict) => now.rule(Ruling::new(verdict, Author::Parent)),
            None => now.take_back_ruling(Author::Parent),
        }
    }
}

/// What a fault of the notebook means to a lesson.
pub fn fault(error: &NotebookError) -> String {
    format!("The notebook could not be read. {error}")
}
