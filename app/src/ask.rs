//! One question about one recording, from a manifest line to its reply.

pub mod course;
pub mod wrote;

use std::path::{Path, PathBuf};

use serde::Serialize;
use serde_json::Value;
use soundbead_data::word::{Overrides, Source};
use soundbead_data::{Rules, Sound};
use soundbead_dsp::ear::Ear;
use soundbead_dsp::judgement::{Judgement, Speaking};

use crate::answer::{self, Answer, Rounded};
use crate::clips::{Clips, Cut};
use crate::fault::{Fault, one_line};
use crate::manifest::{Choices, Line, Question, Wanted};
use crate::{settings, target};

/// What holds for every question of a run.
pub struct Setting {
    /// The rules in force where a line does not say otherwise.
    pub rules: Rules,
    /// The way of speaking where a line does not say.
    pub speaking: Speaking,
    /// The family's own pronunciations.
    pub overrides: Overrides,
    /// Where the manifest lies; its paths start there.
    pub folder: PathBuf,
    /// The recordings, each decoded once.
    pub clips: Clips,
}

/// A counting question answered, with what is needed to show it.
pub struct Counted {
    /// What the ear found.
    pub judgement: Judgement,
    /// The rules that counted.
    pub rules: Rules,
    /// Where the word's sounds come from, when a word was given without sounds.
    pub source: Option<Source>,
    /// Where the cut began in the recording, in seconds.
    pub offset_s: f32,
}

/// What of a line cannot be used.
pub struct Wrong {
    /// The manifest's field.
    pub field: &'static str,
    /// What is wrong with what it holds.
    pub what: String,
}

impl Wrong {
    fn new(field: &'static str, what: impl ToString) -> Wrong {
        Wrong {
            field,
            what: what.to_string(),
        }
    }

    /// Line, field, what was found and what to do.
    pub fn in_line(&self, line: &Line) -> String {
        one_line(&format!("line {}, field `{}`: {}", line.number, self.field, self.what))
    }
}

/// The reply to one manifest line.
#[derive(Serialize)]
#[serde(untagged)]
pub enum Reply {
    /// To a count.
    Count(Box<Answer>),
    /// To a choice.
    Choice {
        /// The line's.
        id: Value,
        /// Which choice is the most likely, from 0.
        best: usize,
        /// One for each choice.
        probabilities: Vec<Rounded<4>>,
    },
    /// The line could not be used.
    Error {
        /// The line's, or null.
        id: Value,
        /// What is wrong, in a line.
        error: String,
    },
}

/// The reply to `line`, whatever happens.
pub fn reply(ear: &mut Ear, setting: &Setting, line: &Line) -> Reply {
    let id = line.id.clone();
    let made = match &line.question {
        Question::Count(wanted) => count(ear, setting, line, wanted).map(|c| {
            let answer = answer::answer(id.clone(), wanted.word.as_deref(), &c.judgement, &c.rules, c.offset_s);
            Reply::Count(Box::new(answer))
        }),
        Question::Choose(choices) => choose(ear, setting, line, choices).map(|p| Reply::Choice {
            id: id.clone(),
            best: best(&p),
            probabilities: p.into_iter().map(Rounded).collect(),
        }),
    };
    made.unwrap_or_else(|wrong| Reply::Error {
        id,
        error: wrong.in_line(line),
    })
}

/// Answers a counting line.
pub fn count(ear: &mut Ear, setting: &Setting, line: &Line, wanted: &Wanted) -> Result<Counted, Wrong> {
    let mut rules = setting.rules.clone();
    for (name, value) in &line.rules {
        let set = rules.set(name, value);
        set.map_err(|e| Wrong::new("rules", settings::rule_fault(name, &e)))?;
    }
    let asked = target::resolve(wanted.word.as_deref(), wanted.sounds.as_deref(), &setting.overrides);
    let asked = asked.map_err(|e| Wrong::new("word", e))?;
    let cut = cut(setting, line)?;
    let speaking = line.speaking.unwrap_or(setting.speaking);
    let judged = ear.judge(&cut.recording, asked.as_ref().map(|a| &a.target), speaking, &rules);
    let judgement = judged.map_err(|e| Wrong::new("audio", format!("{}: {e}", line.audio)))?;
    let source = asked.and_then(|a| a.source);
    Ok(Counted {
        judgement,
        rules,
        source,
        offset_s: cut.offset_s,
    })
}

/// Answers a choosing line: one probability for each choice.
pub fn choose(ear: &mut Ear, setting: &Setting, line: &Line, choices: &Choices) -> Result<Vec<f32>, Wrong> {
    let choices = match choices {
        Choices::Words(words) => words
            .iter()
            .map(|word| variants(setting, word))
            .collect::<Result<_, _>>()?,
        Choices::Sounds(rows) => rows.iter().map(|row| vec![row.clone()]).collect::<Vec<_>>(),
    };
    let cut = cut(setting, line)?;
    ear.compare(&cut.recording, &choices)
        .map_err(|e| Wrong::new("audio", format!("{}: {e}", line.audio)))
}

fn variants(setting: &Setting, word: &str) -> Result<Vec<Vec<Sound>>, Wrong> {
    let asked = target::resolve(Some(word), None, &setting.overrides).map_err(|e| Wrong::new("words", e))?;
    Ok(asked.map_or_else(Vec::new, |a| a.target.variants))
}

fn cut(setting: &Setting, line: &Line) -> Result<Cut, Wrong> {
    let path = setting.folder.join(Path::new(&line.audio));
    setting
        .clips
        .cut(&path, line.start_s, line.end_s)
        .map_err(|e| Wrong::new("audio", e))
}

/// Which probability is the greatest; the first of equals.
pub fn best(probabilities: &[f32]) -> usize {
    let mut best = 0;
    for (i, p) in probabilities.iter().enumerate() {
        if *p > probabilities[best] {
            best = i;
        }
    }
    best
}

/// The ear, or the fault that ends the run: without it there is nothing to do.
pub fn ear() -> Result<Ear, Fault> {
    Ear::new().map_err(Fault::internal)
}
