//! `soundbead sounds`: the inventory as a table, or one sound in full.

use clap::Args;
use serde_json::{Value, json};
use soundbead_data::inventory::{self, Features, Mixup, SoundEntry};

use crate::fault::{Fault, one_line};
use crate::page::{OutputPage, TextTone, pad};
use crate::say;

#[derive(Args)]
#[command(after_help = MORE)]
pub struct SoundsArgs {
    /// Sounds to show in full, as TH, /θ/ or th; all are listed when none is given
    #[arg(value_name = "SOUND")]
    sounds: Vec<String>,
    /// One JSON object a line
    #[arg(long)]
    json: bool,
}

const MORE: &str = "\
For example:
  $ soundbead sounds TH
  TH   /θ/   th   voiceless dental fricative
  ...";

impl SoundsArgs {
    /// Shows the table, or the sounds that are named.
    ///
    /// # Errors
    /// One line for what was asked and cannot be done, or when nothing can be written to standard output.
    pub fn run(self, page: &mut OutputPage) -> Result<(), Fault> {
        let named = self.sounds.iter().map(|n| find(n)).collect::<Result<Vec<_>, _>>()?;
        let all = named.is_empty();
        let entries: Vec<&SoundEntry> = if all { inventory::all().iter().collect() } else { named };
        if self.json {
            return Ok(entries.iter().try_for_each(|e| page.json(&as_json(e)))?);
        }
        if !all {
            return entries.iter().try_for_each(|e| in_full(page, e));
        }
        page.paragraph(
            0,
            "The sounds of General American English. `soundbead sounds TH` tells how one is made.",
        )?;
        page.line("")?;
        page.line(&page.tone(TextTone::Quiet, "name   IPA   plain  as in            how it is made"))?;
        entries.iter().try_for_each(|e| page.line(&row(page, e)))?;
        page.line("")?;
        page.line(&page.tone(
            TextTone::Quiet,
            "two sounds that one letter spells; no sound of its own",
        ))?;
        inventory::pairs()
            .iter()
            .try_for_each(|e| Ok(page.line(&row(page, e))?))
    }
}

/// By ARPAbet, by IPA or by respelling.
///
/// # Errors
/// One line when there is no such sound, with the nearest.
pub fn find(name: &str) -> Result<&'static SoundEntry, Fault> {
    let found = inventory::find(name)
        .or_else(|| inventory::by_ipa(name.trim_matches('/')))
        .or_else(|| inventory::cards().find(|e| e.respelling == name));
    found.ok_or_else(|| {
        Fault::input(format_args!(
            "there is no sound `{}`; `soundbead sounds` lists them all",
            one_line(name)
        ))
    })
}

fn row(page: &OutputPage, e: &SoundEntry) -> String {
    let words: Vec<&str> = words(e).map(|(_, word)| word).take(2).collect();
    let (name, words) = (e.arpabet.to_string(), words.join(", "));
    let ipa = if page.unicode { e.ipa.as_str() } else { "" };
    format!(
        "{name:6} {} {:6} {words:16} {}",
        pad(ipa, 5),
        e.respelling,
        short(&e.features)
    )
}

/// The key words with the place in which each has the sound.
fn words(e: &SoundEntry) -> impl Iterator<Item = (&'static str, &str)> {
    let all = [
        ("starts", &e.words.initial),
        ("ends", &e.words.final_),
        ("inside", &e.words.medial),
    ];
    all.into_iter()
        .filter_map(|(place, word)| Some((place, word.as_deref()?)))
}

/// The features in a few words.
fn short(features: &Features) -> String {
    match features {
        Features::Consonant(c) => format!("{} {} {}", c.voicing, c.place, c.manner),
        Features::Vowel(v) => match v.glide_to {
            Some(to) => format!("{} {}, to {} {}", v.height, v.backness, to.height, to.backness),
            None => format!(
                "{} {}, {}{}",
                v.height,
                v.backness,
                v.rounding,
                if v.r_coloured { ", r" } else { "" }
            ),
        },
    }
}

fn in_full(page: &mut OutputPage, e: &SoundEntry) -> Result<(), Fault> {
    let title = page.tone(TextTone::Strong, &e.arpabet.to_string());
    let ipa = say::slashed(page, e);
    page.line(&format!("{title}   {ipa}   {}   {}", e.respelling, short(&e.features)))?;
    for (place, word) in words(e) {
        page.line(&format!("  {place:9} {word}"))?;
    }
    let confused = format!("{}: {}", e.confused.with, e.confused.tell_apart);
    let also: Vec<String> = e.also.iter().map(mixup).collect();
    let also = also.iter().map(|text| ("nor", text.as_str()));
    for (name, cue) in e.cues.iter().chain([("not", confused.as_str())]).chain(also) {
        for (i, line) in crate::page::fold(cue, crate::page::WIDTH - 12).iter().enumerate() {
            page.line(&format!("  {:9} {line}", if i == 0 { name } else { "" }))?;
        }
    }
    Ok(page.line("")?)
}

/// One more mix-up for programs; `with` is null where the sound is left out.
fn as_pair(m: &Mixup) -> Value {
    json!({ "with": m.with.as_ref().map(ToString::to_string), "tell_apart": m.tell_apart })
}

/// One more mix-up in a line; a sound that is left out stands as a dash.
fn mixup(m: &Mixup) -> String {
    let with = m.with.as_ref().map_or_else(|| "-".to_owned(), ToString::to_string);
    format!("{with}: {}", m.tell_apart)
}

fn as_json(e: &SoundEntry) -> Value {
    let cues: serde_json::Map<String, Value> = e.cues.iter().map(|(k, v)| (k.to_owned(), Value::from(v))).collect();
    let also: Vec<Value> = e.also.iter().map(as_pair).collect();
    json!({
        "arpabet": e.arpabet.to_string(), "ipa": e.ipa, "respelling": e.respelling,
        "words": { "initial": e.words.initial, "medial": e.words.medial, "final": e.words.final_ },
        "features": short(&e.features), "cues": cues,
        "confused": { "with": e.confused.with.to_string(), "tell_apart": e.confused.tell_apart },
        "also_confused": also,
    })
}
