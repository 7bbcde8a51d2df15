//! Measures the ear on speech that it was never trained on, and prints every figure with its interval.
//!
//! ```text
//! cargo run --release -p soundbead-tests --bin measure -- [--speech FOLDER] [--voices FOLDER] [--rows ROWS]
//! cargo run --release -p soundbead-tests --bin measure -- calibrate --speech FOLDER --alignment alignment.jsonl
//!     [--weights other.safetensors] [--alignment other.jsonl ...] [--rows target,near,pairs,blind,apart]
//! cargo run --release -p soundbead-tests --bin measure -- formants [--seed N]
//! ```
//! `--speech` is the folder with `read_dev.ogg` and `read_dev_words.jsonl` (or the environment variable
//! SOUNDBEAD_SPEECH); calibration reads `read_train.flac` there, and may be given several alignments, each followed by
//! the network that was not trained on its held-out speakers where that is not the program's own. `--voices` holds
//! `heldout.ogg` and `heldout.jsonl` made by `tests/voices/pick.py`. `--rows` picks from words, apart, stretched and boundaries.

use std::path::PathBuf;
use std::process::ExitCode;

use soundbead_tests::measure::{calibrate, formants, report};

fn main() -> ExitCode {
    let mut speech = std::env::var_os("SOUNDBEAD_SPEECH").map(PathBuf::from);
    let (mut voices, mut rows, mut tune) = (None, String::new(), false);
    let mut folds: Vec<(PathBuf, Option<PathBuf>)> = Vec::new();
    let (mut vowels, mut seed) = (false, formants::SEED);
    let mut args = std::env::args().skip(1);
    while let Some(arg) = args.next() {
        match arg.as_str() {
            "calibrate" => tune = true,
            "formants" => vowels = true,
            "--seed" => seed = args.next().and_then(|n| n.parse().ok()).unwrap_or(seed),
            "--speech" => speech = args.next().map(PathBuf::from),
            "--voices" => voices = args.next().map(PathBuf::from),
            "--alignment" => folds.extend(args.next().map(|path| (path.into(), None))),
            "--weights" if !folds.is_empty() => {
                let at = folds.len() - 1;
                folds[at].1 = args.next().map(PathBuf::from);
            }
            "--rows" => rows = args.next().unwrap_or_default(),
            other => {
                eprintln!("measure: `{other}` is not known; see the top of tests/src/bin/measure.rs");
                return ExitCode::from(2);
            }
        }
    }
    if vowels {
        formants::run(seed);
        return ExitCode::SUCCESS;
    }
    let Some(speech) = speech else {
        eprintln!("measure: name the folder of read speech with --speech or SOUNDBEAD_SPEECH");
        return ExitCode::from(2);
    };
    let done = match tune {
        true if folds.is_empty() => Err("calibrate: name the alignment that training wrote with --alignment".into()),
        true => calibrate::run(&speech, &folds, &rows),
        false => report::run(&speech, voices.as_deref(), &rows),
    };
    match done {
        Ok(()) => ExitCode::SUCCESS,
        Err(message) => {
            eprintln!("measure: {message}");
            ExitCode::from(2)
        }
    }
}
