//! What the microphone, the ear, the notebook and the files have to say, taken in once a frame.

use soundbead_dsp::judgement::Speaking;

use super::{Busy, LessonSession, Notice};
use crate::drill::ending::BeforeLesson;
use crate::drill::{Try, TryKept, keep};
use crate::equipment::{Equipment, News};
use crate::later::{Later, WorkResult};
use crate::notebook::Cued;
use crate::recorder::{Stage, Take};

impl LessonSession {
    /// Takes in what came. Whether it wants to be polled again soon: something is recorded or played.
    pub fn poll(&mut self, at: &mut Equipment) -> bool {
        let recording = self.poll_recorder(at);
        let playing = self.poll_playback(at);
        self.poll_models();
        self.poll_learner(at);
        self.poll_words(at);
        self.poll_draft(at);
        self.poll_ending();
        self.notes.take(&mut self.news);
        self.poll_files(at);
        self.busy = match std::mem::take(&mut self.busy) {
            Busy::Free => Busy::Free,
            Busy::Fetching(id, answer) => self.poll_fetching(at, id, answer),
            Busy::Writing(writing) => self.poll_writing(writing),
            Busy::Listening {
                take,
                said,
                kept,
                answer,
            } => self.poll_listening(at, (take, said, kept), answer),
        };
        self.poll_keeper(at);
        recording || playing
    }

    fn poll_recorder(&mut self, at: &Equipment) -> bool {
        if self.recorder.stage() == Stage::Idle {
            return false;
        }
        if let Some(outcome) = self.recorder.poll() {
            self.came(at, outcome);
        }
        true
    }

    fn poll_playback(&mut self, at: &mut Equipment) -> bool {
        let speaking = self.voice.poll(at);
        let Some(sounding) = self.sounding else { return speaking };
        at.playback.poll();
        if let Some(fault) = at.playback.take_fault(sounding) {
            self.no_sound = Some(fault.to_string());
        }
        if !at.playback.plays(sounding) {
            self.sounding = None;
        }
        self.sounding.is_some()
    }

    fn poll_models(&mut self) {
        let Some(ended) = self.keeping_model.as_mut().and_then(Later::take) else {
            return;
        };
        self.keeping_model = None;
        let only_now = "The model is there for this lesson only.";
        self.news.push(match ended {
            WorkResult::Done(Ok(())) => News::Said("This is the model now.".into()),
            WorkResult::Done(Err(line)) => News::Failed(format!("{only_now} {line}")),
            WorkResult::Cancelled | WorkResult::Failed => News::Failed(only_now.into()),
        });
    }

    fn poll_words(&mut self, at: &Equipment) {
        let Some(ended) = self.words.as_mut().and_then(Later::take) else {
            return;
        };
        self.words = None;
        match ended {
            WorkResult::Done(Ok(ready)) => self.begin(at, ready),
            WorkResult::Done(Err(line)) => self.words_fault = Some(line),
            WorkResult::Cancelled => {}
            WorkResult::Failed => self.words_fault = Some("The words could not be read. Please report it.".into()),
        }
    }

    /// Takes in hand who was in hand when the program was left, and remembers who is now.
    fn poll_learner(&mut self, at: &mut Equipment) {
        if !std::mem::replace(&mut self.asked_in_hand, true) {
            self.last_in_hand = Some(at.notebook.ask(|n| n.last_in_hand()));
        }
        if let Some(answer) = self.last_in_hand.as_mut().and_then(Later::answer) {
            self.last_in_hand = None;
            match answer {
                Ok(Some(last)) if at.learner.is_none() => {
                    *at.learner = Some(last.into());
                }
                Ok(_) => {}
                Err(e) => self.news.push(News::Failed(keep::fault(&e))),
            }
        }
        let now = at.learner.as_ref().map(|l| l.id);
        if let Some(id) = now.filter(|_| now != self.in_hand) {
            // What is only a convenience is not said when it fails.
            let _ = at.notebook.ask(move |n| n.take_in_hand(id));
        }
        if now != self.in_hand {
            // The end of a lesson is for whoever had the lesson.
            self.ending = None;
        }
        self.in_hand = now;
    }

    /// Asks once a learner whether a lesson was broken off.
    fn poll_draft(&mut self, at: &Equipment) {
        let learner = at.learner.as_ref().map(|l| l.id);
        if self.drafts_of != learner && self.lesson.is_none() {
            (self.drafts_of, self.draft) = (learner, None);
            self.asked_draft = learner.map(|id| keep::draft(at, id));
        }
        if let Some(answer) = self.asked_draft.as_mut().and_then(Later::answer) {
            self.asked_draft = None;
            match answer {
                Ok(draft) => self.draft = draft,
                Err(e) => self.news.push(News::Failed(keep::fault(&e))),
            }
        }
    }

    /// What was there before the lesson that is over. Without an answer the end stands as it is.
    fn poll_ending(&mut self) {
        let Some(answer) = self.asked_before.as_mut().and_then(Later::answer) else {
            return;
        };
        self.asked_before = None;
        if let (Some(ending), Ok(beads)) = (&mut self.ending, answer) {
            ending.before = Some(BeforeLesson {
                beads: beads.count,
                words: beads.words,
            });
        }
    }

    /// A file that was brought in takes the place of what is being recorded, but not of what is being written.
    fn poll_files(&mut self, at: &Equipment) {
        if let Some(found) = self.looking.as_ref().and_then(|l| l.try_recv().ok()) {
            (self.looking, self.devices) = (None, Some(found));
        }
        if !matches!(self.busy, Busy::Free) {
            return;
        }
        let Some(ended) = self.reading.as_mut().and_then(Later::take) else {
            return;
        };
        self.reading = None;
        let failed = |text: String| Some(Notice { text, failed: true });
        match ended {
            WorkResult::Done(Ok(recording)) => {
                self.recorder.cancel();
                self.listen(at, Take::from_file(recording), None, None);
            }
            WorkResult::Done(Err(line)) => self.notice = failed(line),
            WorkResult::Cancelled => {}
            WorkResult::Failed => self.notice = failed("The file could not be read. Please report it.".into()),
        }
    }

    fn poll_listening(
        &mut self,
        at: &Equipment,
        (take, said, kept): (Box<Take>, (Speaking, Option<Cued>), Option<TryKept>),
        mut answer: Later<crate::drill::listen::Listened>,
    ) -> Busy {
        let Some(lesson) = &mut self.lesson else {
            return Busy::Free;
        };
        let listened = match answer.take() {
            None => {
                return Busy::Listening {
                    take,
                    said,
                    kept,
                    answer,
                };
            }
            Some(WorkResult::Done(listened)) => listened,
            Some(WorkResult::Cancelled | WorkResult::Failed) => return Busy::Free,
        };
        let heard = Try {
            number: 0,
            take: *take,
            speaking: said.0,
            cued: said.1,
            heard: listened.heard,
            other_word: listened.other_word,
            picture: listened.picture,
            kept: kept.clone().unwrap_or(TryKept::Nowhere),
        };
        if kept.is_some() {
            lesson.bring_back(heard);
            return Busy::Free;
        }
        match self.keeper.write(at.notebook, lesson, lesson.at(), heard) {
            Ok(writing) => Busy::Writing(writing),
            Err(heard) => {
                lesson.heard(*heard);
                Busy::Free
            }
        }
    }

    /// Shown only now that it is kept, or known that it could not be.
    fn poll_writing(&mut self, writing: keep::PendingAttempt) -> Busy {
        match self.keeper.written(writing) {
            Ok(heard) => {
                if let Some(lesson) = &mut self.lesson {
                    lesson.heard(*heard);
                }
                Busy::Free
            }
            Err(writing) => Busy::Writing(writing),
        }
    }

    fn poll_fetching(
        &mut self,
        at: &Equipment,
        id: crate::notebook::Id,
        mut answer: Later<crate::notebook::Result<Option<soundbead_dsp::audio::Recording>>>,
    ) -> Busy {
        match answer.answer() {
            None => Busy::Fetching(id, answer),
            Some(Ok(Some(recording))) => {
                self.listen(at, Take::from_file(recording), Some(TryKept::As(id)), None);
                std::mem::take(&mut self.busy)
            }
            // Without its recording, the word is said anew.
            Some(_) => Busy::Free,
        }
    }

    fn poll_keeper(&mut self, at: &Equipment) {
        for keeper in &mut self.finishing {
            keeper.poll(at.notebook, None);
        }
        self.finishing.retain(|keeper| !keeper.over());
        if let Some((word, kept)) = self.keeper.written_again()
            && let Some(lesson) = &mut self.lesson
        {
            lesson.set_kept(word, kept);
        }
        self.keeper.poll(at.notebook, self.lesson.as_ref());
    }
}
