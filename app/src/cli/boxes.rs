//! `soundbead boxes`: the sound boxes of many words.

use std::path::PathBuf;

use clap::Args;
use serde_json::{Value, json};
use soundbead_data::Rules;
use soundbead_data::word::{Overrides, Source};

use super::{options, questioned};
use crate::answer::names;
use crate::ask::boxes::{BoxesAnswer, BoxesRequest};
use crate::fault::{Fault, Unusable};
use crate::page::{OutputPage, TextTone, pad};
use crate::target::doubt;
use crate::{links, list, shown, store};

#[derive(Args)]
#[command(after_help = MORE)]
pub struct BoxesArgs {
    /// The words
    #[arg(value_name = "WORD", required_unless_present = "list")]
    words: Vec<String>,
    /// Takes words from FILE, one on each line; # begins a remark
    #[arg(long, value_name = "FILE")]
    list: Option<PathBuf>,
    #[command(flatten)]
    counting: options::CountingArgs,
    /// One JSON object a line
    #[arg(long)]
    json: bool,
}

const MORE: &str = "\
A box for each sound, the letters of each, and the count by the rules in force.
Boxes are of the first way in which the dictionary says the word, of your own
way, or of the one behind a colon (read:R-EH-D); a word that is guessed says so. `soundbead sheet boxes` prints them.

The JSON answer: word, source, sounds, count, units (sounds as they are
counted), boxes (letters and sounds) and ways. A word that cannot be used is
answered with id, the word, and error.

For example:
  $ soundbead boxes chess fox
   3  chess  ch │ e │ ss  CH EH S
   4  fox    f │ o │ x    F AA K S
  ...";

impl BoxesArgs {
    /// Answers word by word.
    ///
    /// # Errors
    /// One line for what was asked and cannot be done, or when nothing can be written to standard output.
    pub fn run(mut self, page: &mut OutputPage) -> Result<(), Fault> {
        if let Some(path) = &self.list {
            self.words.extend(list::texts(path, "one word")?);
        }
        let (rules, own) = (self.counting.rules()?, store::overrides()?);
        if self.json {
            return Ok(self
                .words
                .iter()
                .try_for_each(|w| page.json(&object(w, &rules, &own)))?);
        }
        // For people a slip in one word is told before anything is shown.
        let answers = self
            .words
            .iter()
            .map(|word| BoxesRequest { word, rules: &rules }.answer(&own).map_err(Fault::input))
            .collect::<Result<Vec<_>, _>>()?;
        show(page, &answers, &rules)?;
        let words = || self.words.iter().map(String::as_str).filter(|word| !word.contains(':'));
        let ways = questioned::way_lines(words(), &own, questioned::WhichTaken::Printed);
        let mut questions = ways.into_iter().chain(questioned::questions(words(), &own));
        Ok(questions.try_for_each(|question| page.paragraph(0, &question))?)
    }
}

/// The answer for one word, or what is wrong with it.
fn object(word: &str, rules: &Rules, own: &Overrides) -> Value {
    let BoxesAnswer {
        word,
        said,
        units,
        boxes,
    } = match (BoxesRequest { word, rules }).answer(own) {
        Ok(answer) => answer,
        Err(error) => return json!(Unusable { id: word.into(), error }),
    };
    let boxes = boxes.map(|boxes| {
        let each = boxes
            .iter()
            .map(|b| json!({ "letters": b.letters, "sounds": names(&said.sounds()[b.sounds.clone()]) }));
        Value::from_iter(each)
    });
    let mut object = json!({
        "word": word.spelling,
        "source": word.source.name(),
        "sounds": names(said.sounds()),
        "count": units.len(),
        "units": units.iter().map(links::arpabet).collect::<Vec<_>>(),
        "boxes": boxes,
        "ways": word.variants.len(),
    });
    if let Some(meant) = doubt(&word).and_then(|doubt| doubt.meant) {
        object["did_you_mean"] = meant.into();
    }
    object
}

/// A line a word: count, then the letters with bars between the boxes, then the sounds.
fn show(page: &mut OutputPage, answers: &[BoxesAnswer], rules: &Rules) -> Result<(), Fault> {
    let letters = |answer: &BoxesAnswer| match &answer.boxes {
        Some(boxes) => boxes.iter().map(|b| b.letters.as_str()).collect::<Vec<_>>().join(" │ "),
        None => "letters not tied to sounds".to_owned(),
    };
    let sounds = |answer: &BoxesAnswer| {
        answer
            .units
            .iter()
            .map(ToString::to_string)
            .collect::<Vec<_>>()
            .join(" ")
    };
    let rows = answers.iter().map(|a| (&a.word, a.units.len(), letters(a), sounds(a)));
    let rows: Vec<_> = rows.collect();
    let widest = rows.iter().map(|(found, ..)| found.spelling.len()).max().unwrap_or(0);
    let longest = rows
        .iter()
        .map(|(_, _, letters, _)| crate::page::columns(letters))
        .max()
        .unwrap_or(0)
        .min(44);
    for (found, count, letters, sounds) in &rows {
        let word = page.tone(TextTone::Strong, &pad(&found.spelling, widest));
        page.line(&format!("{count:2}  {word}  {}  {sounds}", pad(letters, longest)))?;
    }
    page.line("")?;
    for (found, ..) in rows.iter().filter(|(found, ..)| found.source == Source::Guess) {
        page.paragraph(0, &shown::guess_note(&found.spelling))?;
    }
    Ok(page.paragraph(0, &shown::rules_line(rules))?)
}
