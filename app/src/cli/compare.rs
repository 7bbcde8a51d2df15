//! `soundbead compare`: which of several words was said?

use std::ffi::OsString;

use serde_json::{Map, Value, json};
use soundbead_dsp::judgement::Speaking;

use super::args::{Common, Given, Next};
use crate::answer::Rounded;
use crate::ask::{self, Setting};
use crate::clips::Clips;
use crate::fault::Fault;
use crate::manifest::{Choices, Line, Question};
use crate::page::{Page, Tone};
use crate::{shown, store};

/// Reads the options, asks the ear, shows the answer.
pub fn run(mut given: Given, page: &mut Page) -> Result<(), Fault> {
    let (mut common, mut audio, mut words) = (Common::default(), None::<OsString>, None);
    while let Some(arg) = given.next()? {
        match arg {
            Next::Flag("words") => words = Some(given.text()?),
            Next::Flag(flag) if common.take(flag, &mut given)? => {}
            Next::Flag(flag) => return Err(given.strange(flag)),
            Next::Value(path) if audio.is_none() => audio = Some(path),
            Next::Value(more) => return Err(given.too_many(&more)),
        }
    }
    let audio = audio.ok_or_else(|| given.missing("the recording"))?;
    let words = words_of(&words.ok_or_else(|| given.missing("--words"))?)?;
    let setting = Setting {
        rules: common.rules()?,
        speaking: Speaking::Whole,
        overrides: store::overrides()?,
        folder: Default::default(),
        clips: Clips::default(),
    };
    let name = audio
        .into_string()
        .map_err(|a| super::args::not_text("the recording", &a))?;
    let choices = Choices::Words(words.clone());
    let line = Line::whole(name, Question::Choose(choices.clone()));
    let asked = ask::choose(&mut ask::ear()?, &setting, &line, &choices);
    let probabilities = asked.map_err(|wrong| match wrong.field {
        "words" => Fault::input(format_args!("--words: {}", wrong.what)),
        _ => Fault::input(wrong.what),
    })?;
    if common.json {
        json_answer(page, &words, &probabilities)
    } else {
        table(page, &line.audio, &words, &probabilities)
    }
}

fn words_of(text: &str) -> Result<Vec<String>, Fault> {
    let words: Vec<String> = text
        .split(',')
        .map(|w| w.trim().to_owned())
        .filter(|w| !w.is_empty())
        .collect();
    if words.len() < 2 {
        return Err(Fault::input(format_args!(
            "--words: found `{text}`, wanted two or more words with commas between them, such as pig,peg"
        )));
    }
    let twice = words.iter().enumerate().find(|(i, w)| words[..*i].contains(w));
    match twice {
        Some((_, word)) => Err(Fault::input(format_args!("--words: `{word}` stands there twice"))),
        None => Ok(words),
    }
}

fn json_answer(page: &mut Page, words: &[String], probabilities: &[f32]) -> Result<(), Fault> {
    let map: Map<String, Value> = words
        .iter()
        .zip(probabilities)
        .map(|(w, p)| (w.clone(), json!(Rounded::<4>(*p))))
        .collect();
    Ok(page.json(&json!({ "best": words[ask::best(probabilities)], "probabilities": map }))?)
}

fn table(page: &mut Page, name: &str, words: &[String], probabilities: &[f32]) -> Result<(), Fault> {
    let mut order: Vec<usize> = (0..words.len()).collect();
    order.sort_by(|a, b| probabilities[*b].total_cmp(&probabilities[*a]));
    let wide = words.iter().map(|w| w.chars().count()).max().unwrap_or(0).min(40);
    let title = page.tone(Tone::Strong, name);
    page.line(&format!("{title}: which word?"))?;
    page.line("")?;
    for i in order {
        let p = probabilities[i];
        let bar = "█".repeat((p * 30.0).round() as usize);
        page.line(&format!("  {:wide$}  {:>6}  {bar}", words[i], shown::per_cent(p)))?;
    }
    page.line("")?;
    page.paragraph(
        0,
        "How likely each is if one of them was said; a word not in the list is not thought of.",
    )?;
    Ok(shown::caution(page)?)
}
