//! Setting priors, temperatures and thresholds on the speakers kept from training.

mod apart;
mod blind;
mod drawn;
mod joined;
mod marked;
mod near;
mod pairs;
mod sure;
mod target;

use std::path::{Path, PathBuf};

use soundbead_data::{Rules, Sound};
use soundbead_dsp::audio::{RATE, Recording, SourceRecording};
use soundbead_dsp::ear::inside::{SHIPPED, Settings, seal};
use soundbead_dsp::ear::{Ear, Evidence, ModelError};
use soundbead_dsp::judgement::{Placed, Speaking};

use super::speech::{self, ReadWord, asked};
use super::spread::spread_by;

/// Shortest word taken out of the middle of a sentence, in samples: shorter ones are mostly swallowed (200 ms).
const SHORTEST: usize = RATE as usize / 5;
/// Wrong readings asked of each word, of each kind: more where the word was said alone, for there are few of those.
const ASKED: [usize; 2] = [2, 6];

/// A network, and the words of speakers that it was not trained on.
pub struct Fold {
    weights: Option<Vec<u8>>,
    cases: Vec<Case>,
}

/// One word, and what is asked about it: itself, and real words one sound away.
struct Case {
    word: ReadWord,
    recording: Recording,
    evidence: Evidence,
    alone: bool,
    others: Vec<Vec<Sound>>,
}

impl Case {
    /// Whether it is among the words that are asked where asking all would take too long: those said alone, and one in `many`
    /// of those in sentences; by its place in the stream, so that every setting is tried on the same words.
    fn is_among(&self, many: usize) -> bool {
        self.alone || (self.word.start / 160).is_multiple_of(many)
    }

    /// Where its own sounds lie.
    fn placed(&self, ear: &Ear) -> Option<Vec<Placed>> {
        let target = asked(&self.word.sounds());
        let judged = ear.judge_evidence(&self.evidence, Some(&target), Speaking::Whole, &Rules::default());
        judged.ok().map(|j| j.sounds)
    }
}

impl Fold {
    fn ear(&self) -> Ear {
        ear(self.weights.as_deref()).expect("the model was read before")
    }
}

/// An ear with this model, or the program's own. Weights without a calibration get the program's own.
fn ear(model: Option<&[u8]>) -> Result<Ear, ModelError> {
    let own = Ear::new()?;
    let Some(bytes) = model else { return Ok(own) };
    match Ear::from_package(bytes) {
        Err(ModelError::Calibration(_)) => Ear::uncalibrated(bytes, *own.settings()),
        other => other,
    }
}

/// Runs `work` over every case of every fold, each with its own network.
fn over<R: Send>(folds: &[Fold], work: impl Fn(&mut Ear, &Case) -> R + Sync) -> Vec<R> {
    let each = |fold: &Fold| spread_by(&fold.cases, || fold.ear(), &work);
    folds.iter().flat_map(each).collect()
}

/// Prints what each candidate gives, and returns the settings as they were with what the `rows` found in their place. Each
/// fold is an alignment as training writes it and, where it is not the program's own, the network that goes with it.
///
/// # Errors
/// When the speech, an alignment or a network cannot be read.
pub fn run(speech: &Path, folds: &[(PathBuf, Option<PathBuf>)], rows: &str) -> Result<Settings, String> {
    // The training speech travels as Opus, which the program does not read: turn it into FLAC first (training/README.md).
    let source = speech::source(&speech.join("read_train.flac"))?;
    if let Some(way) = told_on_marks(rows) {
        return on_marks(speech, &marked::listened(&source, folds, way)?, rows);
    }
    let folds: Vec<Fold> = folds
        .iter()
        .map(|(alignment, weights)| fold(&source, alignment, weights.as_deref()))
        .collect::<Result<_, _>>()?;
    describe(&folds);
    let wanted = |name: &str| rows.is_empty() || rows.split(',').any(|r| r == name);
    let mut fitted = *ear(folds.first().and_then(|f| f.weights.as_deref()))
        .map_err(|e| e.to_string())?
        .settings();
    if wanted("target") {
        fitted.decision = target::run(&folds);
        target::sureness(&folds);
    }
    if wanted("pairs") {
        (fitted.each_sound, fitted.compare) = pairs::run(&folds);
    }
    if wanted("near") {
        near::run(&folds);
    }
    if wanted("blind") {
        (fitted.blind, fitted.doubt_blind) = blind::run(&folds);
    }
    if wanted("apart") {
        fitted.apart = apart::run(&folds);
    }
    Ok(fitted)
}

/// The way of speaking of the rows that stand on marked words by themselves.
fn told_on_marks(rows: &str) -> Option<Speaking> {
    match rows {
        "right" | "sure" => Some(Speaking::Whole),
        "drawn" => Some(Speaking::Stretched),
        "joined" => Some(Speaking::Separate),
        _ => None,
    }
}

fn on_marks(speech: &Path, found: &[marked::MarkedResult], rows: &str) -> Result<Settings, String> {
    let mut fitted = own()?;
    if rows == "right" {
        fitted.right = marked::right(found);
        return Ok(fitted);
    }
    let children = speech::children(&speech.join("read_train.jsonl"))?;
    match rows {
        "drawn" => (fitted.drawn, fitted.doubt_drawn) = drawn::run(found, &fitted, &children),
        "joined" => joined::run(found, &fitted, &children),
        _ => sure::run("said whole", found, &children),
    }
    Ok(fitted)
}

/// Fits on marked words whether a listener would mark a slip, and the choice between words: on those of each fold, and on what was compared earlier (`kept`: files). What was compared of the
/// folds goes into the file `keep`.
///
/// # Errors
/// When the speech, a list, a network or a file cannot be read.
pub fn marked(
    speech: Option<&Path>,
    folds: &[(PathBuf, Option<PathBuf>)],
    kept: &[PathBuf],
    keep: Option<&Path>,
) -> Result<Settings, String> {
    let found = match (folds.is_empty(), speech) {
        (true, _) => Vec::new(),
        (false, Some(folder)) => {
            let source = speech::source(&folder.join("read_train.flac"))?;
            marked::listened(&source, folds, Speaking::Whole)?
        }
        (false, None) => return Err("name the folder of read speech with --speech".into()),
    };
    let samples = marked::samples(&found, kept)?;
    if let Some(file) = keep {
        marked::keep(&samples, file)?;
    }
    let mut fitted = own()?;
    let found = marked::decide(&samples, &fitted.decision);
    fitted.slips = Some(found.slips);
    println!("choice between words: {:?}", found.choice);
    [fitted.compare, fitted.compare_right, fitted.compare_added] = found.choice.map(|w| w as f32);
    Ok(fitted)
}

/// Says on how many words and speakers all this stands.
fn describe(folds: &[Fold]) {
    let words = || folds.iter().flat_map(|f| &f.cases);
    let mut who: Vec<&str> = words().map(|c| c.word.speaker.as_str()).collect();
    who.sort_unstable();
    who.dedup();
    let alone = words().filter(|c| c.alone).count();
    println!(
        "{} words of {} speakers kept from training, {alone} said alone",
        words().count(),
        who.len()
    );
}

/// The settings of the program's own model.
///
/// # Errors
/// When it cannot be read.
pub fn own() -> Result<Settings, String> {
    Ok(*Ear::new().map_err(|e| e.to_string())?.settings())
}

/// The settings with each of `changes` made: `NAME=VALUE`, the name as the package writes it (`apart.benefit=10`).
///
/// # Errors
/// Where there is no such number, or the value is none.
pub fn changed(settings: &Settings, changes: &[String]) -> Result<Settings, String> {
    let mut all = serde_json::to_value(settings).map_err(|e| e.to_string())?;
    for change in changes {
        let (name, value) = change
            .split_once('=')
            .ok_or_else(|| format!("--set {change}: write NAME=VALUE"))?;
        let number: f64 = value
            .parse()
            .map_err(|_| format!("--set {name}: `{value}` is no number"))?;
        let slot = all.pointer_mut(&format!("/{}", name.replace('.', "/")));
        match slot {
            Some(slot) if slot.is_number() => *slot = number.into(),
            _ => return Err(format!("--set {name}: the calibration has no number of that name")),
        }
    }
    serde_json::from_value(all).map_err(|e| e.to_string())
}

/// Writes the package: the weights that ship (a file, or the program's own) with the calibration that belongs to them from
/// now on. Returns its id.
///
/// # Errors
/// When the weights cannot be read or the file cannot be written.
pub fn write(settings: &Settings, ships: Option<&Path>, out: &Path) -> Result<String, String> {
    let named = |path: &Path, e: std::io::Error| format!("{}: {e}", path.display());
    let weights = match ships {
        Some(path) => std::fs::read(path).map_err(|e| named(path, e))?,
        None => SHIPPED.to_vec(),
    };
    let package = seal(&weights, settings).map_err(|e| e.to_string())?;
    let id = Ear::from_package(&package).map_err(|e| e.to_string())?.id();
    std::fs::write(out, package).map_err(|e| named(out, e))?;
    Ok(id.to_string())
}

fn fold(source: &SourceRecording, alignment: &Path, weights: Option<&Path>) -> Result<Fold, String> {
    let read = |path: &Path| std::fs::read(path).map_err(|e| format!("{}: {e}", path.display()));
    let weights = weights.map(read).transpose()?;
    ear(weights.as_deref()).map_err(|e| e.to_string())?;
    let mut fold = Fold {
        weights,
        cases: Vec::new(),
    };
    let words: Vec<ReadWord> = speech::words(alignment)?
        .into_iter()
        .filter(|w| w.held_out && w.phones.len() >= 2 && (w.is_apart() || w.end - w.start >= SHORTEST))
        .collect();
    let neighbours = Neighbours::new();
    let cases = spread_by(&words, || fold.ear(), |ear, word| case(ear, source, word, &neighbours));
    fold.cases = cases.into_iter().flatten().collect();
    Ok(fold)
}

/// Words with silence around them are cut as the program cuts; words inside a sentence, at the times that the
/// alignment gives, so that the next word stays out.
fn case(ear: &mut Ear, source: &SourceRecording, word: &ReadWord, neighbours: &Neighbours) -> Option<Case> {
    let alone = word.is_apart();
    let seconds = |at: usize| at as f64 / f64::from(RATE);
    let recording = match alone {
        true => speech::cut(source, word)?,
        false => source.cut(seconds(word.start), seconds(word.end)).ok()?,
    };
    Some(Case {
        word: word.clone(),
        evidence: ear.listen(&recording, Speaking::Whole).ok()?,
        recording,
        alone,
        others: neighbours.of(&word.sounds(), ASKED[usize::from(alone)]),
    })
}

/// Real words by their sounds.
struct Neighbours(std::collections::HashSet<Vec<Sound>>);

impl Neighbours {
    fn new() -> Neighbours {
        let common = soundbead_data::lexicon::words().filter(|e| e.zipf() >= 3.0);
        let sounds = common.flat_map(|e| e.variants().map(|p| p.sounds().to_vec()).collect::<Vec<_>>());
        Neighbours(sounds.collect())
    }

    /// Up to `most` real words for each kind of slip, evenly spread over those there are in ARPAbet order.
    fn of(&self, sounds: &[Sound], most: usize) -> Vec<Vec<Sound>> {
        let n = sounds.len();
        let without = |i: usize| [&sounds[..i], &sounds[i + 1..]].concat();
        let with = |i: usize, s: Sound| [&sounds[..i], &[s], &sounds[i..]].concat();
        let swapped = |i: usize, s: Sound| [&sounds[..i], &[s], &sounds[i + 1..]].concat();
        let each = |f: &dyn Fn(usize, Sound) -> Vec<Sound>, places: usize| -> Vec<Vec<Sound>> {
            let all = (0..places).flat_map(|i| Sound::all().map(move |s| (i, s)));
            all.map(|(i, s)| f(i, s)).collect()
        };
        let pick = |mut all: Vec<Vec<Sound>>| -> Vec<Vec<Sound>> {
            all.retain(|s| s.as_slice() != sounds && self.0.contains(s));
            all.sort();
            all.dedup();
            let step = all.len().div_ceil(most).max(1);
            let first = sounds.iter().map(|s| s.index()).sum::<usize>() % step;
            all.into_iter().skip(first).step_by(step).collect()
        };
        let kinds = [(0..n).map(without).collect(), each(&with, n + 1), each(&swapped, n)];
        kinds.into_iter().flat_map(pick).collect()
    }
}
