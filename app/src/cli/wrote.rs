//! `soundbead wrote`: what a misspelling shows.

use std::path::{Path, PathBuf};

use clap::Args;
use serde_json::{Value, json};
use soundbead_data::inventory;
use soundbead_data::word::Overrides;

use crate::ask::wrote::{SoundAnswer, WroteAnswer, WroteRequest};
use crate::fault::{Fault, one_line};
use crate::list::{self, ListEntry};
use crate::page::{OutputPage, TextTone, pad};
use crate::store;

#[derive(Args)]
#[command(after_help = MORE)]
pub struct WroteArgs {
    /// The word that was meant
    #[arg(required_unless_present = "pairs")]
    word: Option<String>,
    /// What was written for it
    #[arg(requires = "word", required_unless_present = "pairs")]
    written: Option<String>,
    /// Reads many: a file with a word, a tab and what was written on each line
    #[arg(long, value_name = "FILE", conflicts_with = "word")]
    pairs: Option<PathBuf>,
    /// The answer as one JSON object, or one on each line
    #[arg(long)]
    json: bool,
}

const MORE: &str = "\
Ties what was written to the sounds of the word and says for each sound: kept
(the word's own letters), omitted (nothing was written for it),
spelled_otherwise (letters that spell this sound in other words; fits_here says
whether also in such a place), near_sound (letters of a sound often taken for
it), other_sound, or swapped (the right letters in another order); and which
letters were added. All ways of saying the word are tried. It shows how a word
was spelled, nothing about how a child speaks or hears.

The JSON answer: word, wrote, sounds (sound, letters, wrote, finding,
fits_here), added (wrote, after), represented, of, readable, parts; and source
where the sounds are not the dictionary's, meant where WORD looks misspelled. A
line of --pairs that cannot be used is answered with id and error.

For example:
  $ soundbead wrote bridge brige
  bridge, written brige: 4 of 4 sounds there, and a reader would say the word
  ...";

impl WroteArgs {
    /// Reads one pair, or a file of them.
    ///
    /// # Errors
    /// One line for what was asked and cannot be done, or when nothing can be written to standard output.
    pub fn run(self, page: &mut OutputPage) -> Result<(), Fault> {
        let overrides = store::overrides()?;
        match (self.pairs, self.word, self.written) {
            (Some(file), ..) => pairs(page, &file, &overrides, self.json),
            (None, Some(word), Some(wrote)) => {
                let answer = WroteRequest { word, wrote }.answer(&overrides).map_err(Fault::input)?;
                show(page, &answer, self.json)
            }
            _ => Err(Fault::input("missing: WORD and WRITTEN; see `soundbead help wrote`")),
        }
    }
}

/// Each line answered in order; one that cannot be used does not stop the rest.
fn pairs(page: &mut OutputPage, file: &Path, overrides: &Overrides, json: bool) -> Result<(), Fault> {
    for entry in list::read(file, "`word<TAB>written`")? {
        match question(&entry).and_then(|question| question.answer(overrides)) {
            Ok(answer) => show(page, &answer, json)?,
            Err(why) => unusable(page, &entry, &why, json)?,
        }
    }
    Ok(())
}

/// The pair on a line; further fields are passed over.
fn question(entry: &ListEntry) -> Result<WroteRequest, String> {
    let mut fields = entry.text.split('\t').map(str::trim);
    match (fields.next(), fields.next()) {
        (Some(word), Some(wrote)) => Ok(WroteRequest {
            word: word.to_owned(),
            wrote: wrote.to_owned(),
        }),
        _ => Err("wanted a word, a tab and what was written".to_owned()),
    }
}

fn unusable(page: &mut OutputPage, entry: &ListEntry, why: &str, json: bool) -> Result<(), Fault> {
    let shown: String = one_line(&entry.text).chars().take(SHOWN).collect();
    let error = format!("line {}: found `{shown}`: {why}", entry.line);
    if json {
        return Ok(page.json(&json!({ "id": one_line(&entry.text), "error": one_line(&error) }))?);
    }
    Ok(page.line(&one_line(&error))?)
}

/// Signs of an unusable line that are shown.
const SHOWN: usize = 40;

fn show(page: &mut OutputPage, answer: &WroteAnswer, json: bool) -> Result<(), Fault> {
    if json {
        let object: Value = serde_json::to_value(answer).map_err(Fault::internal)?;
        return Ok(page.json(&object)?);
    }
    let reads = match answer.readable {
        true => "a reader would say the word",
        false => "a reader would not say the word from it",
    };
    page.line(&format!(
        "{}, written {}: {} of {} sounds there, and {reads}",
        answer.word, answer.wrote, answer.represented, answer.of
    ))?;
    page.line("")?;
    let names = answer.sounds.iter().map(|sound| in_plain(sound).chars().count());
    let wide = names.max().unwrap_or_default().max(PLAIN);
    for (at, sound) in answer.sounds.iter().enumerate() {
        added(page, answer, at, wide)?;
        page.line(&row(sound, wide))?;
    }
    added(page, answer, answer.of, wide)?;
    if !answer.shows.is_empty() {
        page.line("")?;
        page.paragraph(2, &answer.shows.join(" "))?;
    }
    notes(page, answer)
}

/// Least width of a sound in plain letters, and of the word's own letters with the gap before them, in signs.
const PLAIN: usize = 3;
const OWN: usize = 9;

/// Letters added before the sound at `at`.
fn added(page: &mut OutputPage, answer: &WroteAnswer, at: usize, wide: usize) -> Result<(), Fault> {
    let here = answer.added.iter().filter(|a| a.after == at);
    for letters in here {
        page.line(&format!("  {}  {} added", pad("", wide + OWN), letters.wrote))?;
    }
    Ok(())
}

/// A sound in plain letters.
fn in_plain(sound: &SoundAnswer) -> &str {
    inventory::find(sound.sound).map_or(sound.sound, |entry| entry.shown())
}

/// A sound in plain letters, the word's own letters for it, and what was written.
fn row(sound: &SoundAnswer, wide: usize) -> String {
    let plain = pad(in_plain(sound), wide);
    let letters = pad(&format!("{plain}  {}", sound.letters), wide + OWN);
    format!("  {letters}  {}", sound.says)
}

/// What is not certain: sounds that were guessed, a word that looks misspelled.
fn notes(page: &mut OutputPage, answer: &WroteAnswer) -> Result<(), Fault> {
    if answer.source == Some("guess") {
        page.paragraph(
            2,
            &format!(
                "{} is not in the dictionary; its sounds are a guess from its letters.",
                answer.word
            ),
        )?;
    }
    if let Some(asks) = &answer.asks {
        page.line(&page.tone(TextTone::Quiet, &format!("  {asks}")))?;
    }
    Ok(())
}
