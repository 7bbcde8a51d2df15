//! Random arguments, bounded in number and time: whatever is given, no panic, and status 0 or 2.

use std::time::{Duration, Instant};

use crate::common::{demo, demo_folder, run_in, scratch, text};

/// A small generator with a fixed start (the 64-bit linear congruential one of Knuth's MMIX), so that a
/// failure can be had again.
struct Dice(u64);

impl Dice {
    fn roll(&mut self, sides: usize) -> usize {
        self.0 = self
            .0
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 33) as usize % sides
    }
}

/// What random arguments are drawn from; the first seven are commands.
const PIECES: &[&str] = &[
    "count",
    "compare",
    "word",
    "vowel",
    "sounds",
    "rules",
    "help",
    "batch",
    "chain",
    "--word",
    "--words",
    "--sounds",
    "--speaking",
    "--rule",
    "--rules",
    "--json",
    "--jobs",
    "--voice",
    "--folder",
    "--set",
    "--unset",
    "--help",
    "-h",
    "--",
    "-",
    "",
    "-=",
    "--word=pig",
    "--=",
    "=",
    "r_vowels=one",
    "=one",
    "r_vowels=",
    "whole",
    "stretched",
    "P IH G",
    "P,IH",
    "pig",
    "pig,peg",
    ",",
    "a,,b",
    "🐷",
    "\u{202e}gip",
    "\n",
    "\u{1b}[31m",
    "0",
    "-1",
    "1e999",
    "NaN",
    "child",
    "phonics",
    "TH",
    "/θ/",
    "it's",
    "'",
    "é",
    "..",
    "/",
];

#[test]
fn random_arguments_never_panic() {
    let (wav, manifest) = (demo("01-goat.wav"), demo_folder().join("manifest.jsonl"));
    let home = scratch("fuzz-home");
    let long = "z".repeat(5_000);
    let pieces = [PIECES, &[&long, text(&wav), text(&manifest)]].concat();
    let (mut dice, start) = (Dice(20_261_125), Instant::now());
    for round in 0..400 {
        // Bounded: what is left over is left to other rounds of the same dice.
        if start.elapsed() > Duration::from_secs(40) {
            println!("stopped after {round} rounds: time is up");
            break;
        }
        let mut args: Vec<&str> = (0..=dice.roll(6)).map(|_| pieces[dice.roll(pieces.len())]).collect();
        // Half the time the first is a command, so that its own reading is tried too.
        if dice.roll(2) == 0 {
            args[0] = pieces[dice.roll(7)];
        }
        let ran = run_in(&home, &args);
        assert!(!ran.err.contains("panicked"), "{args:?}: {}", ran.err);
        match ran.code {
            0 => {}
            2 => assert_eq!(ran.err.lines().count(), 1, "{args:?}: {}", ran.err),
            code => panic!("{args:?}: status {code}: {}", ran.err),
        }
        assert!(
            !ran.err.contains('\u{1b}'),
            "{args:?} passes escapes to the terminal: {:?}",
            ran.err
        );
    }
}
