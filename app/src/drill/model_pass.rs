//! Before a lesson: the grown-up hears its words and records models of them, one after another.
//!
//! After a recording the next word without a model comes up by itself, so that a whole plan is one pass: record, record, record.
//! No child learns here: nothing goes into the notebook.

use std::sync::Arc;

use soundbead_data::Rules;
use soundbead_dsp::judgement::Speaking;

use super::model::{self, Models};
use super::session::planned;
use super::voice::WordVoice;
use super::{LessonWord, read};
use crate::ask::say;
use crate::equipment::Equipment;
use crate::later::{Later, WorkResult};
use crate::plan::Plan;
use crate::recorder::{Recorder, RecordingOutcome, Stage, Take};
use crate::store;

/// Which words.
#[derive(Clone, Debug, PartialEq)]
pub enum ModelWords {
    /// Those of a plan that are said, under its own rules.
    Plan(Box<Plan>),
    /// These, as they are typed.
    Typed(String),
}

/// What a person wants.
#[derive(Clone, Debug, PartialEq)]
pub enum ModelPassIntent {
    /// Take up these words.
    Open(ModelWords),
    /// Go to this word, from 0.
    Pick(usize),
    /// Hear the word in the model voice.
    Hear(Speaking),
    /// Hear the model that was recorded.
    HearOwn,
    /// Record the word, or end the recording that is under way.
    Record,
    /// Let a recording go.
    Cancel,
    /// Put the words away.
    Close,
}

type Prepared = Result<(Vec<LessonWord>, Models), String>;

/// The words and what is being done with one of them.
#[derive(Default)]
pub struct ModelPass {
    preparing: Option<Later<Prepared>>,
    words: Vec<LessonWord>,
    models: Models,
    at: usize,
    recorder: Recorder,
    voice: WordVoice,
    keeping: Vec<Later<Result<(), String>>>,
    line: Option<String>,
}

impl ModelPass {
    /// Does what a person wants.
    pub fn apply(&mut self, at: &mut Equipment, intent: ModelPassIntent) {
        match intent {
            ModelPassIntent::Open(words) => self.open(at, words),
            ModelPassIntent::Pick(which) if which < self.words.len() && self.idle() => {
                self.voice.silence(at);
                (self.at, self.line) = (which, None);
            }
            ModelPassIntent::Hear(speaking) if self.idle() => {
                if let Some(word) = self.words.get(self.at) {
                    self.voice.say(at, word, speaking);
                }
            }
            ModelPassIntent::HearOwn if self.idle() => {
                if let Some(own) = self.word().and_then(|word| self.models.get(&word.spelling)) {
                    self.voice.play(at, own);
                }
            }
            ModelPassIntent::Record => self.record(at),
            ModelPassIntent::Cancel => self.recorder.cancel(),
            ModelPassIntent::Close => self.close(at),
            ModelPassIntent::Pick(_) | ModelPassIntent::Hear(_) | ModelPassIntent::HearOwn => {}
        }
    }

    fn open(&mut self, at: &Equipment, words: ModelWords) {
        let (rules, folder) = (at.rules.clone(), at.folder.to_owned());
        *self = ModelPass::default();
        self.preparing = Some(Later::start(at.wake.clone(), "Reading the words", move |_| {
            let own = store::overrides_in(&folder).map_err(|fault| fault.into_line(""))?;
            let words = once_each(lesson_words(&words, &own, &rules)?);
            let models = model::load(&folder, &words);
            say::warm();
            Ok((words, models))
        }));
    }

    fn close(&mut self, at: &mut Equipment) {
        self.recorder.cancel();
        self.voice.silence(at);
        // What is being written is written: the threads have all they need.
        *self = ModelPass::default();
    }

    fn record(&mut self, at: &mut Equipment) {
        if self.words.is_empty() {
            return;
        }
        self.voice.silence(at);
        self.line = None;
        if self.idle() {
            self.recorder
                .start(at.mic.as_mut(), at.device.as_deref(), Speaking::Whole);
        } else if let Some(outcome) = self.recorder.stop() {
            self.came(at, outcome);
        }
    }

    fn came(&mut self, at: &Equipment, outcome: RecordingOutcome) {
        match outcome {
            RecordingOutcome::Take(take) => self.keep(at, &take),
            RecordingOutcome::NotHeard => {
                self.line = Some("No voice was heard. Come a little closer and try it again.".into());
            }
            RecordingOutcome::Fault(fault) => self.line = Some(fault.to_string()),
        }
    }

    fn keep(&mut self, at: &Equipment, take: &Take) {
        let Some(word) = self.words.get(self.at).map(|word| word.spelling.clone()) else {
            return;
        };
        if let Some(note) = take.notes().into_iter().next() {
            self.line = Some(format!("It was not kept. {note}"));
            return;
        }
        let clip = Arc::new(model::trimmed(&take.recording.clip));
        self.models.insert(word.clone(), clip.clone());
        self.line = Some(format!("Kept: {word}."));
        let folder = at.folder.to_owned();
        self.keeping
            .push(Later::start(at.wake.clone(), "Keeping the model", move |_| {
                model::keep(&folder, &word, &clip)
            }));
        if let Some(next) = self.next_without() {
            self.at = next;
        }
    }

    /// The next word without a model, from the one in hand on and then from the start.
    fn next_without(&self) -> Option<usize> {
        let count = self.words.len();
        let round = (1..count).map(|step| (self.at + step) % count);
        round
            .into_iter()
            .find(|i| !self.models.contains_key(&self.words[*i].spelling))
    }

    /// Takes in what came; whether it wants to be polled again soon.
    pub fn poll(&mut self, at: &mut Equipment) -> bool {
        match self.preparing.as_mut().and_then(Later::take) {
            Some(WorkResult::Done(Ok((words, models)))) => {
                (self.words, self.models, self.preparing) = (words, models, None);
                let first = self.words.iter().position(|w| !self.models.contains_key(&w.spelling));
                self.at = first.unwrap_or(0);
            }
            Some(WorkResult::Done(Err(line))) => (self.line, self.preparing) = (Some(line), None),
            Some(WorkResult::Failed | WorkResult::Cancelled) => self.preparing = None,
            None => {}
        }
        for kept in self.keeping.iter_mut().filter_map(Later::take) {
            if let WorkResult::Done(Err(line)) = kept {
                self.line = Some(format!("This model is there for now only. {line}"));
            }
        }
        let running = !self.idle();
        if let Some(outcome) = self.recorder.poll() {
            self.came(at, outcome);
        }
        self.voice.poll(at) || running
    }

    fn idle(&self) -> bool {
        self.recorder.stage() == Stage::Idle
    }

    /// Whether there are words, or they are on their way.
    pub fn is_open(&self) -> bool {
        self.preparing.is_some() || !self.words.is_empty() || self.line.is_some()
    }

    /// The words.
    pub fn words(&self) -> &[LessonWord] {
        &self.words
    }

    /// The word in hand.
    pub fn word(&self) -> Option<&LessonWord> {
        self.words.get(self.at)
    }

    /// Its number, from 0.
    pub fn at(&self) -> usize {
        self.at
    }

    /// Whether a model of this word was recorded.
    pub fn has_model(&self, word: &LessonWord) -> bool {
        self.models.contains_key(&word.spelling)
    }

    /// How many of the words have a model.
    pub fn recorded(&self) -> usize {
        self.words.iter().filter(|word| self.has_model(word)).count()
    }

    /// The recorder: its stage, its level.
    pub fn recorder(&self) -> &Recorder {
        &self.recorder
    }

    /// The counted sound that the model voice says just now, from 0.
    pub fn says(&self, at: &Equipment) -> Option<usize> {
        self.voice.counted_now(at)
    }

    /// What there is to say: what was kept, or what went wrong.
    pub fn line(&self) -> Option<&str> {
        self.line.as_deref().or(self.voice.fault())
    }
}

fn lesson_words(
    words: &ModelWords,
    own: &soundbead_data::word::Overrides,
    rules: &Rules,
) -> Result<Vec<LessonWord>, String> {
    match words {
        ModelWords::Plan(plan) => planned(plan, own, rules),
        ModelWords::Typed(text) => read(text, own, rules),
    }
}

/// A word that comes twice is recorded once.
fn once_each(words: Vec<LessonWord>) -> Vec<LessonWord> {
    let mut seen = std::collections::HashSet::new();
    words
        .into_iter()
        .filter(|word| seen.insert(word.spelling.clone()))
        .collect()
}
