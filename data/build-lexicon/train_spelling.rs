//! Learns how likely each English spelling is: reads spellings.txt beside it, writes data/tables/spellings.tsv.
//!
//!     cargo run --release -p soundbead-data --example train_spelling
//!
//! Expectation-maximisation over all divisions of all dictionary words that the inventory allows: each word's
//! divisions share one vote by their likelihood, the votes for a spelling become its likelihood, ten times over.
//! Words of the frequency list count by their Zipf value, so that rare names teach less. No random numbers.

use std::fmt::Write as _;
use std::path::Path;

use soundbead_data::spelling::lattice::{Grapheme, Inventory, LatticeEdge, Only, WordLetters};
use soundbead_data::{Sound, lexicon};

const ROUNDS: usize = 10;
/// Added to every count, so that a spelling never seen is unlikely, not impossible.
const SMOOTH: f64 = 0.05;

fn main() {
    let crate_root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let text = std::fs::read_to_string(crate_root.join("build-lexicon/spellings.txt")).expect("spellings.txt");
    let mut units = read_inventory(&text);
    let words: Vec<(Vec<u8>, Vec<Sound>, f64)> = words();
    for round in 1..=ROUNDS {
        let inventory = Inventory::new(units.clone());
        let mut counts = vec![[SMOOTH; 3]; units.len()];
        let (mut divided, mut total) = (0, 0.0);
        for (letters, sounds, weight) in &words {
            if let Some(log) = count(&inventory, letters, sounds, *weight, &mut counts) {
                divided += 1;
                total += log;
            }
        }
        let all: f64 = counts.iter().flatten().sum();
        for (unit, count) in units.iter_mut().zip(&counts) {
            unit.log = count.map(|c| (c / all).ln() as f32);
        }
        println!(
            "round {round}: {divided} of {} divided, log-likelihood {total:.0}",
            words.len()
        );
    }
    std::fs::write(crate_root.join("tables/spellings.tsv"), write_table(&units)).expect("spellings.tsv");
}

/// Letters, sounds and weight of every pronunciation of the dictionary.
fn words() -> Vec<(Vec<u8>, Vec<Sound>, f64)> {
    let mut words = Vec::new();
    for entry in lexicon::words() {
        let letters: Vec<u8> = entry.spelling().bytes().filter(u8::is_ascii_lowercase).collect();
        for said in entry.variants() {
            words.push((letters.clone(), said.sounds().to_vec(), 0.1 + f64::from(entry.zipf())));
        }
    }
    words
}

/// Adds the share of each spelling in all divisions of one word; the word's log-likelihood, if it can be divided.
fn count(inventory: &Inventory, letters: &[u8], sounds: &[Sound], weight: f64, counts: &mut [[f64; 3]]) -> Option<f64> {
    let width = sounds.len() + 1;
    let end = letters.len() * width + sounds.len();
    let mut forward = vec![0.0_f64; end + 1];
    let mut backward = vec![0.0_f64; end + 1];
    let mut edges: Vec<(usize, LatticeEdge)> = Vec::new();
    forward[0] = 1.0;
    for i in 0..letters.len() {
        for j in 0..sounds.len() {
            let from = i * width + j;
            if forward[from] > 0.0 {
                inventory.edges(
                    WordLetters {
                        text: letters,
                        seams: &[],
                    },
                    sounds,
                    (i, j),
                    |edge| {
                        forward[edge.to.0 * width + edge.to.1] += forward[from] * f64::from(edge.log).exp();
                        edges.push((from, edge));
                    },
                );
            }
        }
    }
    if forward[end] <= 0.0 {
        return None;
    }
    backward[end] = 1.0;
    for (from, edge) in edges.iter().rev() {
        let to = edge.to.0 * width + edge.to.1;
        let share = f64::from(edge.log).exp() * backward[to];
        backward[*from] += share;
        let vote = weight * forward[*from] * share / forward[end];
        for (unit, place) in [Some(edge.unit), edge.inside].into_iter().flatten() {
            counts[unit][place as usize] += vote;
        }
    }
    Some(forward[end].ln())
}

/// The hand-written inventory, all spellings equally likely.
fn read_inventory(text: &str) -> Vec<Grapheme> {
    let mut units = Vec::new();
    for line in text.lines().filter(|l| !l.is_empty() && !l.starts_with('#')) {
        let (letters, choices) = line.split_once(": ").unwrap_or_else(|| panic!("no colon in `{line}`"));
        for choice in choices.split(", ") {
            let (choice, before_r) = choice.strip_suffix("/R").map_or((choice, false), |c| (c, true));
            let sounds = choice
                .split(' ')
                .map(|s| s.parse().unwrap_or_else(|e| panic!("`{line}`: {e}")))
                .collect();
            let only = match letters.as_bytes()[0] {
                b'$' => Only::Final,
                b'~' => Only::AfterConsonant,
                b'^' => Only::Initial,
                _ if before_r => Only::BeforeR,
                _ => Only::Anywhere,
            };
            let bare = letters.trim_start_matches(['$', '~', '^']);
            units.push(Grapheme {
                letters: bare.replace('_', ""),
                split: bare.contains('_'),
                sounds,
                only,
                log: [-7.0; 3],
            });
        }
    }
    units
}

/// One line a spelling: letters, sounds, where, and minus its log-likelihood at start, middle, end in hundredths.
fn write_table(units: &[Grapheme]) -> String {
    let mut text = String::from(
        "# Made by data/build-lexicon/train_spelling.rs from spellings.txt and the dictionary; do not edit by hand.\n",
    );
    for unit in units {
        let letters = if unit.split {
            format!("{}_e", &unit.letters[..1])
        } else {
            unit.letters.clone()
        };
        let sounds: Vec<&str> = unit.sounds.iter().map(|s| s.arpabet()).collect();
        let only = match unit.only {
            Only::Anywhere => "any",
            Only::Final => "final",
            Only::BeforeR => "before-r",
            Only::AfterConsonant => "after-consonant",
            Only::Initial => "initial",
        };
        let [start, middle, end] = unit.log.map(|l| (-l * 100.0).round() as i32);
        writeln!(text, "{letters}\t{}\t{only}\t{start} {middle} {end}", sounds.join(" ")).expect("a string takes all");
    }
    text
}
