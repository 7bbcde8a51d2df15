//! Questions to the ear. Whoever asks, the command line, a manifest or a lesson, the ear is asked here.

use std::panic::{AssertUnwindSafe, catch_unwind};

use soundbead_data::word::{Overrides, Source};
use soundbead_data::{Rules, Sound};
use soundbead_dsp::audio::Recording;
use soundbead_dsp::ear::{Ear, EarError, ModelError};
use soundbead_dsp::judgement::{Judgement, Speaking, Target};

use crate::fault::Fault;
use crate::target;

/// How many sounds are there, and are they the word's? With neither word nor sounds the count is blind.
#[derive(Clone, Debug, Default)]
pub struct CountRequest {
    /// The word that was to be said.
    pub word: Option<String>,
    /// Its sounds, where the dictionary's are not meant.
    pub sounds: Option<Vec<Sound>>,
    /// How it was to be said.
    pub speaking: Speaking,
    /// How sounds are counted.
    pub rules: Rules,
}

/// The same, with what is listened for worked out.
#[derive(Clone, Debug)]
pub struct Hearing {
    /// What is listened for; none when the count is blind.
    pub target: Option<Target>,
    /// Where its sounds come from; none when they were given by hand.
    pub source: Option<Source>,
    /// How it was to be said.
    pub speaking: Speaking,
    /// How sounds are counted.
    pub rules: Rules,
}

impl CountRequest {
    /// Looks the word up; `own` are the family's own pronunciations.
    ///
    /// # Errors
    /// One line about the word.
    pub fn hearing(self, own: &Overrides) -> Result<Hearing, String> {
        let asked = target::resolve(self.word.as_deref(), self.sounds.as_deref(), own)?;
        let source = asked.as_ref().and_then(|a| a.source);
        Ok(Hearing {
            target: asked.map(|a| a.target),
            source,
            speaking: self.speaking,
            rules: self.rules,
        })
    }
}

impl Hearing {
    /// Asks the ear.
    ///
    /// # Errors
    /// When the recording cannot be judged: no speech, too short for the word.
    pub fn answer(&self, ear: &mut Ear, recording: &Recording) -> Result<Judgement, EarError> {
        ear.judge(recording, self.target.as_ref(), self.speaking, &self.rules)
    }
}

/// Which of several words, or rows of sounds, was said?
#[derive(Clone, Debug)]
pub struct CompareRequest {
    /// For each choice, the ways in which it may be said.
    choices: Vec<Vec<Vec<Sound>>>,
}

/// How probable each choice is, if it was one of them.
#[derive(Clone, Debug)]
pub struct CompareAnswer {
    /// The most probable, counted from 0; the first of equals.
    pub best: usize,
    /// One for each choice.
    pub probabilities: Vec<f32>,
}

impl CompareRequest {
    /// A choice between words, each in all its ways.
    ///
    /// # Errors
    /// One line about a word that is none.
    pub fn of_words(words: &[String], own: &Overrides) -> Result<CompareRequest, String> {
        let ways = |word: &String| {
            let asked = target::resolve(Some(word), None, own)?;
            Ok(asked.map_or_else(Vec::new, |a| a.target.variants))
        };
        let choices = words.iter().map(ways).collect::<Result<_, String>>()?;
        Ok(CompareRequest { choices })
    }

    /// A choice between rows of sounds.
    pub fn of_sounds(rows: &[Vec<Sound>]) -> CompareRequest {
        CompareRequest {
            choices: rows.iter().map(|row| vec![row.clone()]).collect(),
        }
    }

    /// Asks the ear.
    ///
    /// # Errors
    /// When the recording cannot be judged.
    pub fn answer(&self, ear: &mut Ear, recording: &Recording) -> Result<CompareAnswer, EarError> {
        let probabilities = ear.compare(recording, &self.choices)?;
        let mut best = 0;
        for (at, p) in probabilities.iter().enumerate() {
            if *p > probabilities[best] {
                best = at;
            }
        }
        Ok(CompareAnswer { best, probabilities })
    }
}

/// The ear, or the fault that ends the run: without it there is nothing to do.
///
/// # Errors
/// When the weights that come with the program are broken.
pub fn ear() -> Result<Ear, Fault> {
    Ear::new().map_err(Fault::internal)
}

/// An ear for many questions, which a fault of the program's own in one of them does not take from the others.
#[derive(Default)]
pub struct SteadyEar(Option<Ear>);

/// Why a question has no answer, though there is nothing wrong with it.
#[derive(Debug)]
pub enum NoAnswer {
    /// The weights that come with the program are broken.
    Model(ModelError),
    /// The program itself failed.
    Failed,
}

impl SteadyEar {
    /// An ear whose model is loaded at once, so that a broken one is said before any question.
    ///
    /// # Errors
    /// As for [`ear`].
    pub fn loaded() -> Result<SteadyEar, Fault> {
        Ok(SteadyEar(Some(ear()?)))
    }

    /// Asks; the model is loaded where it is not in hand.
    ///
    /// # Errors
    /// When the model cannot be loaded, or the program itself fails: the ear is then made anew for the next question, for
    /// what the failure left in its working space is not to be relied on.
    pub fn ask<T>(&mut self, question: impl FnOnce(&mut Ear) -> T) -> Result<T, NoAnswer> {
        let mut ear = self.0.take().map_or_else(Ear::new, Ok).map_err(NoAnswer::Model)?;
        let answer = catch_unwind(AssertUnwindSafe(|| question(&mut ear)));
        let answer = answer.map_err(|_| NoAnswer::Failed)?;
        self.0 = Some(ear);
        Ok(answer)
    }
}
