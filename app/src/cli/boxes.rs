//! `soundbead boxes`: the sound boxes of many words.

use std::path::PathBuf;

use clap::Args;
use serde_json::{Value, json};
use soundbead_data::word::{self, Overrides, Source, Word};
use soundbead_data::{Rules, chain, spelling};

use super::options;
use crate::answer::names;
use crate::fault::{Fault, one_line};
use crate::page::{Page, Tone, pad};
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
    counting: options::Counting,
    /// One JSON object a line
    #[arg(long)]
    json: bool,
}

const MORE: &str = "\
A box for each sound, the letters of each, and the count by the rules in force.
Boxes are of the first way in which the dictionary says the word, or of your own
way; a word that is guessed says so. `soundbead sheet boxes` prints them.

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
    pub fn run(mut self, page: &mut Page) -> Result<(), Fault> {
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
        let found = self
            .words
            .iter()
            .map(|w| word::find(w, &own).map_err(Fault::input))
            .collect::<Result<Vec<_>, _>>()?;
        show(page, &found, &rules)
    }
}

fn object(text: &str, rules: &Rules, own: &Overrides) -> Value {
    let found = match word::find(text, own) {
        Ok(found) => found,
        Err(e) => return json!({ "id": one_line(text), "error": e.to_string() }),
    };
    let said = &found.variants[0];
    let units = chain::units(&found.spelling, said.sounds(), rules);
    let boxes = spelling::boxes(&found.spelling, said.sounds()).map(|boxes| {
        let each = boxes
            .iter()
            .map(|b| json!({ "letters": b.letters, "sounds": names(&said.sounds()[b.sounds.clone()]) }));
        Value::from_iter(each)
    });
    json!({
        "word": found.spelling,
        "source": found.source.name(),
        "sounds": names(said.sounds()),
        "count": units.len(),
        "units": units.iter().map(links::arpabet).collect::<Vec<_>>(),
        "boxes": boxes,
        "ways": found.variants.len(),
    })
}

/// A line a word: count, then the letters with bars between the boxes, then the sounds.
fn show(page: &mut Page, words: &[Word], rules: &Rules) -> Result<(), Fault> {
    let rows = words.iter().map(|found| {
        let said = &found.variants[0];
        let boxes = spelling::boxes(&found.spelling, said.sounds()).unwrap_or_default();
        let letters: Vec<&str> = boxes.iter().map(|b| b.letters.as_str()).collect();
        let letters = if letters.is_empty() {
            "letters not tied to sounds".to_owned()
        } else {
            letters.join(" │ ")
        };
        let units = chain::units(&found.spelling, said.sounds(), rules);
        (
            found,
            units.len(),
            letters,
            units.iter().map(ToString::to_string).collect::<Vec<_>>().join(" "),
        )
    });
    let rows: Vec<_> = rows.collect();
    let widest = rows.iter().map(|(found, ..)| found.spelling.len()).max().unwrap_or(0);
    let longest = rows
        .iter()
        .map(|(_, _, letters, _)| crate::page::columns(letters))
        .max()
        .unwrap_or(0)
        .min(44);
    for (found, count, letters, sounds) in &rows {
        let word = page.tone(Tone::Strong, &pad(&found.spelling, widest));
        page.line(&format!("{count:2}  {word}  {}  {sounds}", pad(letters, longest)))?;
    }
    page.line("")?;
    for (found, ..) in rows.iter().filter(|(found, ..)| found.source == Source::Guess) {
        page.paragraph(0, &shown::guess_note(&found.spelling))?;
    }
    Ok(page.paragraph(0, &shown::rules_line(rules))?)
}
