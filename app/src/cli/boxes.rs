//! `soundbead boxes`: the sound boxes of many words.

use std::fs;
use std::path::PathBuf;

use serde_json::{Value, json};
use soundbead_data::word::{self, Overrides, Source, Word};
use soundbead_data::{Rules, chain, spelling};

use super::args::{self, Common, Given, Next};
use crate::answer::names;
use crate::fault::{Fault, one_line};
use crate::page::{Page, Tone, pad};
use crate::{links, shown, store};

/// Reads the options and answers word by word.
pub fn run(mut given: Given, page: &mut Page) -> Result<(), Fault> {
    let (mut common, mut words, mut list) = (Common::default(), Vec::new(), None);
    while let Some(arg) = given.next()? {
        match arg {
            Next::Flag("list") => list = Some(given.path()?),
            Next::Flag(flag) if common.take(flag, &mut given)? => {}
            Next::Flag(flag) => return Err(given.strange(flag)),
            Next::Value(text) => words.push(args::text_of("a word", text)?),
        }
    }
    words.extend(list.map(read).transpose()?.into_iter().flatten());
    if words.is_empty() {
        return Err(given.missing("a word, or --list FILE with one on each line,"));
    }
    let (rules, own) = (common.rules()?, store::overrides()?);
    if common.json {
        return Ok(words.iter().try_for_each(|w| page.json(&object(w, &rules, &own)))?);
    }
    // For people a slip in one word is told before anything is shown.
    let found = words
        .iter()
        .map(|w| word::find(w, &own).map_err(Fault::input))
        .collect::<Result<Vec<_>, _>>()?;
    show(page, &found, &rules)
}

fn read(path: PathBuf) -> Result<Vec<String>, Fault> {
    let text = fs::read_to_string(&path).map_err(|e| {
        Fault::input(format_args!(
            "{}: {e}; wanted a text file with one word on each line",
            path.display()
        ))
    })?;
    Ok(text
        .lines()
        .map(str::trim)
        .filter(|l| !l.is_empty())
        .map(str::to_owned)
        .collect())
}

fn object(text: &str, rules: &Rules, own: &Overrides) -> Value {
    let found = match word::find(text, own) {
        Ok(found) => found,
        Err(e) => return json!({ "word": one_line(text), "error": e.to_string() }),
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
