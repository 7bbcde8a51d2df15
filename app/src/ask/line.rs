//! One line of a manifest, from the question to its reply.

use std::path::{Path, PathBuf};

use serde::Serialize;
use serde_json::Value;
use soundbead_data::Rules;
use soundbead_data::word::{Overrides, Source};
use soundbead_dsp::ear::Ear;
use soundbead_dsp::judgement::{Judgement, Speaking};

use super::ear::{CompareAnswer, CompareRequest, CountRequest};
use crate::answer::{self, CountAnswer, Rounded};
use crate::clips::{Clips, Cut};
use crate::fault::{Unusable, one_line};
use crate::manifest::{Choices, LineQuestion, ManifestLine, WantedWord};
use crate::settings;

/// What holds for every line of a run.
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

/// A counting line answered, with what is needed to show it.
pub struct CountedLine {
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
    pub fn in_line(&self, line: &ManifestLine) -> String {
        one_line(&format!("line {}, field `{}`: {}", line.number, self.field, self.what))
    }
}

/// The reply to one manifest line.
#[derive(Serialize)]
#[serde(untagged)]
pub enum Reply {
    /// To a count.
    Count(Box<CountAnswer>),
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
    Error(Unusable),
}

/// The reply to `line`, whatever happens.
pub fn reply(ear: &mut Ear, setting: &Setting, line: &ManifestLine) -> Reply {
    let id = line.id.clone();
    let made = match &line.question {
        LineQuestion::Count(wanted) => count(ear, setting, line, wanted).map(|c| {
            let answer = answer::answer(id.clone(), wanted.word.as_deref(), &c.judgement, &c.rules, c.offset_s);
            Reply::Count(Box::new(answer))
        }),
        LineQuestion::Choose(choices) => choose(ear, setting, line, choices).map(|c| Reply::Choice {
            id: id.clone(),
            best: c.best,
            probabilities: c.probabilities.into_iter().map(Rounded).collect(),
        }),
    };
    made.unwrap_or_else(|wrong| {
        Reply::Error(Unusable {
            id,
            error: wrong.in_line(line),
        })
    })
}

/// Answers a counting line.
///
/// # Errors
/// Which field cannot be used, and why: the rules, the word or the recording.
pub fn count(ear: &mut Ear, setting: &Setting, line: &ManifestLine, wanted: &WantedWord) -> Result<CountedLine, Wrong> {
    let mut rules = setting.rules.clone();
    for (name, value) in &line.rules {
        let set = rules.set(name, value);
        set.map_err(|e| Wrong::new("rules", settings::rule_fault(name, &e)))?;
    }
    let request = CountRequest {
        word: wanted.word.clone(),
        sounds: wanted.sounds.clone(),
        speaking: line.speaking.unwrap_or(setting.speaking),
        rules,
    };
    let hearing = request.hearing(&setting.overrides).map_err(|e| Wrong::new("word", e))?;
    let cut = cut(setting, line)?;
    let judgement = hearing.answer(ear, &cut.recording);
    Ok(CountedLine {
        judgement: judgement.map_err(|e| Wrong::new("audio", format!("{}: {e}", line.audio)))?,
        rules: hearing.rules,
        source: hearing.source,
        offset_s: cut.offset_s,
    })
}

/// Answers a choosing line.
///
/// # Errors
/// Which field cannot be used, and why: the words or the recording.
pub fn choose(
    ear: &mut Ear,
    setting: &Setting,
    line: &ManifestLine,
    choices: &Choices,
) -> Result<CompareAnswer, Wrong> {
    let request = match choices {
        Choices::Words(words) => {
            CompareRequest::of_words(words, &setting.overrides).map_err(|e| Wrong::new("words", e))?
        }
        Choices::Sounds(rows) => CompareRequest::of_sounds(rows),
    };
    let cut = cut(setting, line)?;
    request
        .answer(ear, &cut.recording)
        .map_err(|e| Wrong::new("audio", format!("{}: {e}", line.audio)))
}

fn cut(setting: &Setting, line: &ManifestLine) -> Result<Cut, Wrong> {
    let path = setting.folder.join(Path::new(&line.audio));
    setting
        .clips
        .cut(&path, line.start_s, line.end_s)
        .map_err(|e| Wrong::new("audio", e))
}
