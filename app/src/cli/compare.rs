//! `soundbead compare`: which of several words was said?

use std::path::PathBuf;

use clap::Args;
use serde_json::{Map, Value, json};

use super::{questioned, values};
use crate::answer::Rounded;
use crate::ask::ear::{CompareAnswer, CompareRequest, ear};
use crate::clips::Clips;
use crate::fault::Fault;
use crate::page::{OutputPage, TextTone};
use crate::{shown, store};

#[derive(Args)]
#[command(after_help = MORE)]
pub struct CompareArgs {
    /// The recording
    audio: PathBuf,
    /// Two or more words, with commas between them
    #[arg(long, value_name = "A,B", value_parser = values::words)]
    words: values::WordValues,
    /// {"best": "pig", "probabilities": {"pig": 0.97, "peg": 0.03}}
    #[arg(long)]
    json: bool,
}

const MORE: &str = "\
The probabilities hold if one of the words was said; no other is thought of.

For example:
  $ soundbead compare recordings-demo/23-ring.wav --words ring,wing
  recordings-demo/23-ring.wav: which word?
  ...";

impl CompareArgs {
    /// Asks the ear, shows the answer.
    ///
    /// # Errors
    /// One line for what was asked and cannot be done, or when nothing can be written to standard output.
    pub fn run(self, page: &mut OutputPage) -> Result<(), Fault> {
        let own = store::overrides()?;
        let request = CompareRequest::of_words(&self.words, &own);
        let request = request.map_err(|e| Fault::input(format_args!("--words: {e}")))?;
        questioned::ask(self.words.iter().map(String::as_str), &own);
        let cut = Clips::default().cut(&self.audio, None, None).map_err(Fault::input)?;
        let name = self.audio.to_string_lossy();
        let answer = request.answer(&mut ear()?, &cut.recording);
        let answer = answer.map_err(|e| Fault::input(format_args!("{name}: {e}")))?;
        if self.json {
            json_answer(page, &self.words, &answer)
        } else {
            table(page, &name, &self.words, &answer.probabilities)
        }
    }
}

fn json_answer(page: &mut OutputPage, words: &[String], answer: &CompareAnswer) -> Result<(), Fault> {
    let map: Map<String, Value> = words
        .iter()
        .zip(&answer.probabilities)
        .map(|(w, p)| (w.clone(), json!(Rounded::<4>(*p))))
        .collect();
    Ok(page.json(&json!({ "best": words[answer.best], "probabilities": map }))?)
}

fn table(page: &mut OutputPage, name: &str, words: &[String], probabilities: &[f32]) -> Result<(), Fault> {
    let mut order: Vec<usize> = (0..words.len()).collect();
    order.sort_by(|a, b| probabilities[*b].total_cmp(&probabilities[*a]));
    let wide = words.iter().map(|w| w.chars().count()).max().unwrap_or(0).min(40);
    let title = page.tone(TextTone::Strong, name);
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
