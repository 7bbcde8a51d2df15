//! Learns how often writers slip in each way: writes data/tables/slips.tsv.
//!
//!     cargo run --release -p soundbead-data --example train_slips -- PAIRS.tsv
//!
//! PAIRS.tsv has a line for each misspelling: word, what was written, where it is from, how often; tabs between, one line of
//! headings. The shares that ship were learned from half of the Birkbeck and Holbrook collections of misspellings (R. Mitton);
//! only shares are kept, none of the pairs. Each run reads all pairs with the shares of the run before, counts the findings of
//! those that stand for half the sounds or more, and writes the new shares; run it until they stay (three times are enough).

use std::collections::BTreeMap;
use std::fmt::Write as _;
use std::path::Path;

use soundbead_data::word::{self, Overrides};
use soundbead_data::writing::{self, slip};

const HEAD: &str = "\
# Made by data/build-lexicon/train_slips.rs; do not edit by hand.
# How often writers do what with a sound, as a share of the sounds of its class (a loud vowel, a weak vowel, a consonant); for
# consonants left out, of the consonants that stand so; for added letters, of all sounds. Learned from half of the Birkbeck and
# Holbrook collections of misspellings (R. Mitton), mostly by schoolchildren and adult learners.
";

type Counts = BTreeMap<String, f64>;

fn main() {
    let path = std::env::args().nth(1).expect("give the file of pairs");
    let text = std::fs::read_to_string(&path).unwrap_or_else(|e| panic!("{path}: {e}"));
    let (mut counts, mut chances) = (Counts::new(), Counts::new());
    let mut read = 0;
    for line in text.lines().skip(1) {
        let mut fields = line.split('\t');
        let (Some(target), Some(wrote)) = (fields.next(), fields.next()) else {
            continue;
        };
        let reading = word::find(target, &Overrides::default())
            .ok()
            .and_then(|word| writing::read(&word, wrote).ok());
        if let Some(reading) = reading.filter(|r| 2 * r.represented() >= r.of()) {
            read += 1;
            count(&reading, &mut counts, &mut chances);
        }
    }
    println!("{read} pairs counted");
    let table = Path::new(env!("CARGO_MANIFEST_DIR")).join("tables/slips.tsv");
    std::fs::write(table, write_table(&counts, &chances)).expect("slips.tsv");
}

/// Adds one reading: what its sounds count as, and what each had the chance to be.
fn count(reading: &writing::SpellingAnalysis, counts: &mut Counts, chances: &mut Counts) {
    for kind in slip::kinds(reading) {
        *counts.entry(kind).or_default() += 1.0;
    }
    for chance in slip::chances(reading) {
        *chances.entry(chance).or_default() += 1.0;
    }
}

fn write_table(counts: &Counts, chances: &Counts) -> String {
    let mut text = String::from(HEAD);
    for kind in slip::all() {
        // A kind that was not seen is rare, not impossible.
        let seen = counts.get(&kind).copied().unwrap_or(0.0) + 0.5;
        let share = seen / chances.get(slip::chance(&kind)).copied().unwrap_or(1.0).max(1.0);
        writeln!(text, "{kind}\t{share:.5}").expect("writing to a string");
    }
    text
}
