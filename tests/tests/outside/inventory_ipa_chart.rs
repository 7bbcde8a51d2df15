//! The inventory's features against the chart of the International Phonetic Association, revised 2020.
//!
//! The tables here are written from memory of that chart, not read from a copy of it.

use soundbead_data::inventory::{self, Features, Position, SoundEntry, Vowel};
use std::collections::HashSet;

/// Pulmonic consonants by column and row, the voiceless of a cell before the voiced; `w` from "other symbols", the
/// affricates as two symbols tied.
const CONSONANTS: [(&str, &str, &str, &str); 24] = [
    ("p", "bilabial", "plosive", "voiceless"),
    ("b", "bilabial", "plosive", "voiced"),
    ("t", "alveolar", "plosive", "voiceless"),
    ("d", "alveolar", "plosive", "voiced"),
    ("k", "velar", "plosive", "voiceless"),
    ("ɡ", "velar", "plosive", "voiced"),
    ("m", "bilabial", "nasal", "voiced"),
    ("n", "alveolar", "nasal", "voiced"),
    ("ŋ", "velar", "nasal", "voiced"),
    ("f", "labiodental", "fricative", "voiceless"),
    ("v", "labiodental", "fricative", "voiced"),
    ("θ", "dental", "fricative", "voiceless"),
    ("ð", "dental", "fricative", "voiced"),
    ("s", "alveolar", "fricative", "voiceless"),
    ("z", "alveolar", "fricative", "voiced"),
    ("ʃ", "postalveolar", "fricative", "voiceless"),
    ("ʒ", "postalveolar", "fricative", "voiced"),
    ("h", "glottal", "fricative", "voiceless"),
    // In this row the chart does not divide dental, alveolar and postalveolar; the American r is made behind the ridge.
    ("ɹ", "postalveolar", "approximant", "voiced"),
    ("j", "palatal", "approximant", "voiced"),
    ("l", "alveolar", "lateral-approximant", "voiced"),
    ("w", "labial-velar", "approximant", "voiced"),
    ("t͡ʃ", "postalveolar", "affricate", "voiceless"),
    ("d͡ʒ", "postalveolar", "affricate", "voiced"),
];

/// The vowel letters used here by their place in the chart's trapezium. The chart labels the lines (close, close-mid,
/// open-mid, open; front, central, back); names for places between the lines (near-close and so on) are those of
/// the Association's Handbook (1999), also from memory.
const VOWELS: [(&str, &str, &str, &str); 14] = [
    ("i", "close", "front", "unrounded"),
    ("ɪ", "near-close", "near-front", "unrounded"),
    ("e", "close-mid", "front", "unrounded"),
    ("ɛ", "open-mid", "front", "unrounded"),
    ("æ", "near-open", "front", "unrounded"),
    ("a", "open", "front", "unrounded"),
    ("ə", "mid", "central", "unrounded"),
    ("ɜ", "open-mid", "central", "unrounded"),
    ("ɑ", "open", "back", "unrounded"),
    ("ʌ", "open-mid", "back", "unrounded"),
    ("ɔ", "open-mid", "back", "rounded"),
    ("o", "close-mid", "back", "rounded"),
    ("ʊ", "near-close", "near-back", "rounded"),
    ("u", "close", "back", "rounded"),
];

/// Everything on the chart that a broad transcription of English may draw on: the letters of both tables, the tie
/// bar, and the hook of rhoticity.
fn on_the_chart() -> HashSet<char> {
    let letters = CONSONANTS.iter().chain(&VOWELS).flat_map(|row| row.0.chars());
    letters.chain(['\u{361}', '\u{2de}']).collect()
}

/// Unicode has the hooked letters ready-made; the chart shows letter and hook.
fn as_on_the_chart(ipa: &str) -> String {
    ipa.replace('ɝ', "ɜ\u{2de}").replace('ɚ', "ə\u{2de}")
}

fn vowels() -> impl Iterator<Item = (&'static SoundEntry, &'static Vowel)> {
    inventory::all().iter().filter_map(|entry| match &entry.features {
        Features::Vowel(vowel) => Some((entry, vowel)),
        Features::Consonant(_) => None,
    })
}

fn named(position: Position) -> (String, String, String) {
    (
        position.height.to_string(),
        position.backness.to_string(),
        position.rounding.to_string(),
    )
}

fn on_the_trapezium(letter: &str) -> (String, String, String) {
    let row = VOWELS
        .iter()
        .find(|row| row.0 == letter)
        .unwrap_or_else(|| panic!("no vowel `{letter}` on the chart"));
    (row.1.into(), row.2.into(), row.3.into())
}

#[test]
fn consonants_stand_in_their_cells() {
    let ours: HashSet<_> = inventory::all()
        .iter()
        .filter_map(|entry| match entry.features {
            Features::Consonant(c) => Some((
                entry.ipa.clone(),
                c.place.to_string(),
                c.manner.to_string(),
                c.voicing.to_string(),
            )),
            Features::Vowel(_) => None,
        })
        .collect();
    let chart: HashSet<_> = CONSONANTS
        .iter()
        .map(|row| (row.0.into(), row.1.into(), row.2.into(), row.3.into()))
        .collect();
    assert_eq!(ours, chart);
}

#[test]
fn every_vowel_starts_where_its_first_letter_stands() {
    for (entry, vowel) in vowels() {
        let ipa = as_on_the_chart(&entry.ipa);
        let first: String = ipa.chars().take(1).collect();
        assert_eq!(named(vowel.start()), on_the_trapezium(&first), "{}", entry.ipa);
    }
}

#[test]
fn vowels_that_move_end_where_their_second_letter_stands() {
    let mut moving = 0;
    for (entry, vowel) in vowels() {
        let second: String = as_on_the_chart(&entry.ipa).chars().skip(1).collect();
        let letter = second != "\u{2de}" && second != "ɹ" && !second.is_empty();
        assert_eq!(vowel.glide_to.is_some(), letter, "{}", entry.ipa);
        if let Some(end) = vowel.glide_to {
            assert_eq!(named(end), on_the_trapezium(&second), "{}", entry.ipa);
            moving += 1;
        }
    }
    assert_eq!(
        moving, 5,
        "General American has five diphthongs (common practice, no source)"
    );
}

#[test]
fn r_in_a_vowel_is_written_as_hook_or_letter() {
    for (entry, vowel) in vowels() {
        let written = as_on_the_chart(&entry.ipa).ends_with(['\u{2de}', 'ɹ']);
        assert_eq!(vowel.r_coloured, written, "{}", entry.ipa);
    }
}

#[test]
fn only_the_charts_symbols_are_used() {
    let chart = on_the_chart();
    for entry in inventory::all() {
        assert!(!entry.ipa.is_empty());
        for symbol in as_on_the_chart(&entry.ipa).chars() {
            assert!(
                chart.contains(&symbol),
                "{} has {symbol:?} (U+{:04X})",
                entry.ipa,
                u32::from(symbol)
            );
        }
    }
}
