//! Measures the ear on speech that it was never trained on, and prints every figure with its interval.
//!
//! ```text
//! cargo run --release -p soundbead-tests --bin measure -- [--speech FOLDER] [--voices FOLDER] [--rows ROWS]
//!     [--model FILE] [--store dsp/weights/measured.json]
//! cargo run --release -p soundbead-tests --bin measure -- write
//! cargo run --release -p soundbead-tests --bin measure -- calibrate --speech FOLDER --alignment alignment.jsonl
//!     [--weights other.safetensors] [--alignment other.jsonl ...] [--rows target,near,pairs,blind,apart]
//!     [--set NAME=VALUE ...] [--ships weights.safetensors] [--write dsp/weights/ear.safetensors]
//! cargo run --release -p soundbead-tests --bin measure -- course
//! cargo run --release -p soundbead-tests --bin measure -- formants [--seed N]
//! cargo run --release -p soundbead-tests --bin measure -- patterns [--seed N]
//! cargo run --release -p soundbead-tests --bin measure -- house [--rows all]
//! cargo run --release -p soundbead-tests --bin measure -- sorts [--rows misses]
//! cargo run --release -p soundbead-tests --bin measure -- writing [--pairs FILE] [--rows misses|meant]
//! cargo run --release -p soundbead-tests --bin measure -- teaching [--rows sentences|hyphens]
//! cargo run --release -p soundbead-tests --bin measure -- promises [--program FILE] [--share 0.05] [--rows time,size,memory|ear]
//! cargo run --release -p soundbead-tests --bin measure -- say [--out FOLDER] [--rows tuning|sentences,misses] [--model BANK]
//! ```
//! `--speech` is the folder with `read_dev.ogg` and `read_dev_words.jsonl` (or the environment variable
//! SOUNDBEAD_SPEECH). `--voices` holds `heldout.ogg` and `heldout.jsonl` made by `tests/voices/pick.py`. `--rows` picks from
//! words, apart, stretched and boundaries. `--model` measures another package than the program's own, which has learned from the
//! speakers of `read_dev` and is refused on them. `--store` keeps the figures in a file, and `write` puts the tables made from that
//! file into the README and the model's card.
//!
//! `teaching` needs no speech: it holds divisions, boxes and guesses against the lists made by hand in `tests/reference`, and
//! tells how the sentences for dictation were judged. `--rows hyphens` shows where a hyphenation library parts words otherwise.
//!
//! Calibration reads `read_train.flac` in the folder of speech. It may be given several alignments, each followed by the
//! network that was not trained on its held-out speakers where that is not the program's own. `--write` writes the package:
//! the weights of `--ships` (or the program's own), and as calibration the one in use with what the rows found in its place
//! and then each `--set` (`--set apart.benefit=10`). Without an alignment nothing is fitted: `calibrate --set affirm=0.97
//! --write FILE` changes that number alone.
//!
//! `--rows right`, `marked`, `drawn`, `joined` and `sure` stand on words that trained listeners marked (`training/marked_words.py`), each
//! by itself. `drawn` sets the bounds for words drawn out, `joined` shows what joining sounds said one by one affirms. `sure` and `drawn`
//! show counts and choices, how far off their probabilities are, and how far they would be by chance alone; `drawn`, `joined` and `sure`
//! take from `read_train.jsonl` in the folder of speech who is a child. `marked` fits whether a listener would mark a slip, and the
//! choice between words. `--keep FILE` writes what was compared, and `--kept FILE` (any number) reads it in place of listening, or
//! beside it.
//!
//! `course` needs no speech: simulated children who show where they stand, and who keep what they learned by review or by drilling
//! all; its models of forgetting stand in `measure/course.rs`.
//! `patterns` needs no speech: made-up learners without any pattern, of whom one may be claimed, and with a known habit.
//! `house` counts the workspace itself: lines, circles of imports, shared type names, long functions, missing docs.
//! `promises` prints every speed, size and limit that the project promises beside its target, by driving the built program
//! (`target/release/soundbead`, or `--program`). Needs no speech, and Linux for what memory is used. `--share` says how much of ten
//! years of a practice its notebook has; `--rows ear` times judgements alone, without the program. What it prints is for reading: no
//! check passes or fails by the clock.
//! `sorts` holds the sorts and the word parts against lists made by hand, and counts the steps of chains. Needs no speech.
//! `writing` reads misspellings: the labeled lists of `tests/reference`, every dictionary word against itself and, with
//! `--pairs`, a file of word, tab, written, and how often the word that is proposed for what is none was meant; `--rows misses` shows
//! what is read otherwise than labeled, `--rows meant` fits the weights of those proposals on one half of the pairs.
//! `say` listens to the model voice: 500 words drawn from the common ones (`--rows tuning`: 300 others, for tuning). With
//! `--out` each word is left in the folder for a recogniser (`tests/reference/recognised.py`). `--rows sentences`: 100 sentences,
//! read word by word. Needs no speech.

use std::path::{Path, PathBuf};
use std::process::ExitCode;

use soundbead_tests::house;
use soundbead_tests::measure::{
    aloud, calibrate, course, formants, kinds, patterns, promises, report, say, sorts, stored, teaching, writing,
};

/// What was asked for.
#[derive(Default)]
struct Options {
    command: String,
    speech: Option<PathBuf>,
    voices: Option<PathBuf>,
    rows: String,
    seed: Option<u64>,
    folds: Vec<(PathBuf, Option<PathBuf>)>,
    changes: Vec<String>,
    ships: Option<PathBuf>,
    write: Option<PathBuf>,
    model: Option<PathBuf>,
    store: Option<PathBuf>,
    out: Option<PathBuf>,
    pairs: Option<PathBuf>,
    keep: Option<PathBuf>,
    kept: Vec<PathBuf>,
    program: Option<PathBuf>,
    share: Option<f64>,
}

fn main() -> ExitCode {
    let done = options(std::env::args().skip(1)).and_then(|given| match given.command.as_str() {
        "course" => {
            course::run();
            kinds::run();
            Ok(())
        }
        "formants" => {
            formants::run(given.seed.unwrap_or(formants::SEED));
            Ok(())
        }
        "teaching" => {
            teaching::run(&given.rows);
            Ok(())
        }
        "house" => house::run(given.rows == "all"),
        "say" => voice(&given),
        "calibrate" => fit(&given),
        "patterns" => {
            patterns::run(given.seed.unwrap_or(patterns::SEED));
            Ok(())
        }
        "promises" => promises::run(given.program.as_deref(), given.share, &given.rows),
        "sorts" => {
            sorts::run(given.rows == "misses");
            Ok(())
        }
        "write" => stored::write(),
        "writing" => writing::run(given.pairs.as_deref(), &given.rows),
        _ => measure(&given),
    });
    match done {
        Ok(()) => ExitCode::SUCCESS,
        Err(message) => {
            eprintln!("measure: {message}");
            ExitCode::from(2)
        }
    }
}

fn options(args: impl Iterator<Item = String>) -> Result<Options, String> {
    let mut given = Options {
        speech: std::env::var_os("SOUNDBEAD_SPEECH").map(PathBuf::from),
        ..Options::default()
    };
    let mut args = args.peekable();
    while let Some(arg) = args.next() {
        if matches!(
            arg.as_str(),
            "calibrate"
                | "course"
                | "formants"
                | "house"
                | "patterns"
                | "promises"
                | "say"
                | "sorts"
                | "teaching"
                | "write"
                | "writing"
        ) {
            given.command = arg;
            continue;
        }
        let mut value = || args.next().ok_or_else(|| format!("{arg}: give its value"));
        match arg.as_str() {
            "--seed" => given.seed = Some(value()?.parse().map_err(|_| "--seed: give a whole number")?),
            "--speech" => given.speech = Some(value()?.into()),
            "--voices" => given.voices = Some(value()?.into()),
            "--rows" => given.rows = value()?,
            "--alignment" => given.folds.push((value()?.into(), None)),
            "--weights" => {
                let fold = given.folds.last_mut().ok_or("--weights: name its --alignment first")?;
                fold.1 = Some(value()?.into());
            }
            "--set" => given.changes.push(value()?),
            "--ships" => given.ships = Some(value()?.into()),
            "--write" => given.write = Some(value()?.into()),
            "--model" => given.model = Some(value()?.into()),
            "--keep" => given.keep = Some(value()?.into()),
            "--kept" => given.kept.push(value()?.into()),
            "--pairs" => given.pairs = Some(value()?.into()),
            "--out" => given.out = Some(value()?.into()),
            "--program" => given.program = Some(value()?.into()),
            "--share" => given.share = Some(value()?.parse().map_err(|_| "--share: give a share, such as 0.05")?),
            "--store" => given.store = Some(value()?.into()),
            other => {
                return Err(format!(
                    "`{other}` is not known; see the top of tests/src/bin/measure.rs"
                ));
            }
        }
    }
    Ok(given)
}

fn voice(given: &Options) -> Result<(), String> {
    if given.rows.contains("sentences") {
        return aloud::run(given.out.as_deref(), given.rows.contains("misses"));
    }
    let words = match given.rows.contains("tuning") {
        true => say::Words::Tuning,
        false => say::Words::Reported,
    };
    say::run(
        words,
        given.model.as_deref(),
        given.out.as_deref(),
        given.rows.contains("misses"),
    )
}

fn speech(given: &Options) -> Result<&Path, String> {
    let missing = "name the folder of read speech with --speech or SOUNDBEAD_SPEECH";
    given.speech.as_deref().ok_or_else(|| missing.to_owned())
}

fn measure(given: &Options) -> Result<(), String> {
    let mut table = report::run(
        speech(given)?,
        given.voices.as_deref(),
        &given.rows,
        given.model.as_deref(),
    )?;
    table.ships = stored::kept()?.ships;
    given.store.as_deref().map_or(Ok(()), |path| table.keep(path))
}

fn fit(given: &Options) -> Result<(), String> {
    let fitted = match (given.folds.is_empty(), &given.write) {
        _ if given.rows == "marked" => calibrate::marked(
            given.speech.as_deref(),
            &given.folds,
            &given.kept,
            given.keep.as_deref(),
        )?,
        (true, None) => return Err("calibrate: name the alignment that training wrote with --alignment".into()),
        (true, Some(_)) => calibrate::own()?,
        (false, _) => calibrate::run(speech(given)?, &given.folds, &given.rows)?,
    };
    let settings = calibrate::changed(&fitted, &given.changes)?;
    if let Some(out) = &given.write {
        let id = calibrate::write(&settings, given.ships.as_deref(), out)?;
        println!("{}: model {id}", out.display());
    }
    Ok(())
}
