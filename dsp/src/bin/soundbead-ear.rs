//! The ear by itself, on made recordings: `soundbead-ear FOLDER` says of each word that the folder's `manifest.jsonl` asks
//! about what was heard, and what was really made.
//!
//! `app/run.sh` shows this while the rest of the program is still being built, for the ear needs a fifth of its crates. It
//! judges as `soundbead demo` does; lines that ask something else (counting rules of their own, a choice of words, no word) are
//! left to that.

use std::path::{Path, PathBuf};
use std::process::ExitCode;
use std::{env, fs};

use serde::Deserialize;
use soundbead_data::word::{self, Overrides};
use soundbead_data::{Sound, rule::Rules, spelling};
use soundbead_dsp::audio;
use soundbead_dsp::ear::Ear;
use soundbead_dsp::judgement::{Judgement, Speaking, Target, Verdict};

/// A line of the manifest, as far as it is read here.
#[derive(Deserialize)]
struct AskedLine {
    audio: PathBuf,
    word: Option<String>,
    speaking: Speaking,
    rules: Option<serde_json::Value>,
    made: Made,
}

/// What was really made.
#[derive(Deserialize)]
struct Made {
    verdict: Option<Verdict>,
}

fn main() -> ExitCode {
    let Some(folder) = env::args_os().nth(1).map(PathBuf::from) else {
        eprintln!("soundbead-ear: missing: FOLDER, with recordings and their manifest.jsonl");
        return ExitCode::from(2);
    };
    match all(&folder) {
        Ok(()) => ExitCode::SUCCESS,
        Err(line) => {
            eprintln!("soundbead-ear: {}: {line}", folder.display());
            ExitCode::from(2)
        }
    }
}

fn all(folder: &Path) -> Result<(), String> {
    let text = fs::read_to_string(folder.join("manifest.jsonl")).map_err(|e| format!("manifest.jsonl: {e}"))?;
    let mut ear = Ear::new().map_err(|e| e.to_string())?;
    println!("What the ear says of the made recordings:");
    for (n, line) in text.lines().enumerate() {
        let fault = |e: &dyn std::fmt::Display| format!("manifest.jsonl, line {}: {e}", n + 1);
        let asked: serde_json::Value = serde_json::from_str(line).map_err(|e| fault(&e))?;
        let Ok(asked) = AskedLine::deserialize(asked) else {
            continue;
        };
        if let (Some(word), None) = (&asked.word, &asked.rules) {
            println!("{}", judged(&mut ear, folder, &asked, word).map_err(|e| fault(&e))?);
        }
    }
    println!("Unsure: the recording does not settle it. A teaching aid, not a test of speech or hearing.");
    Ok(())
}

/// One line about one recording; one that is refused is told with its reason.
fn judged(ear: &mut Ear, folder: &Path, asked: &AskedLine, word: &str) -> Result<String, String> {
    let target = target(word)?;
    let heard = audio::decode(&folder.join(&asked.audio)).map_err(|e| e.to_string());
    let heard = heard.and_then(|recording| {
        let judged = ear.judge(&recording, Some(&target), asked.speaking, &Rules::default());
        judged.map_err(|e| e.to_string())
    });
    let made = asked.made.verdict.map_or("nothing to be right about", Verdict::name);
    Ok(match heard {
        Ok(judged) => format!("  {word:<12} {:<24} made: {made}", told(&judged)),
        Err(refused) => format!("  {word:<12} refused: {refused}"),
    })
}

/// `3 sounds, same (98 in 100)`.
fn told(judged: &Judgement) -> String {
    let verdict = judged.verdict.unwrap_or(Verdict::Unsure);
    let sure = judged.fit.and_then(|fit| fit.of(verdict));
    let sure = sure.map_or_else(String::new, |p| format!(" ({:.0} in 100)", (100.0 * p).min(99.0)));
    format!("{} sounds, {}{sure}", judged.heard, verdict.name())
}

/// The word's own sounds, as the dictionary has them.
fn target(word: &str) -> Result<Target, String> {
    let found = word::find(word, &Overrides::default()).map_err(|e| e.to_string())?;
    let mut variants: Vec<Vec<Sound>> = found.variants.iter().map(|said| said.sounds().to_vec()).collect();
    variants.dedup();
    let tied = |sounds: &Vec<Sound>| {
        let boxes = spelling::boxes(word, sounds).unwrap_or_default();
        boxes.into_iter().map(|b| (b.letters, b.sounds)).collect()
    };
    let letters = variants.iter().map(tied).collect();
    Ok(Target { variants, letters })
}
