//! Which vowel of a guessed word bears the main stress.

use std::collections::HashMap;
use std::sync::OnceLock;

use crate::Sound;

/// Longest ending looked at, in letters.
const LONGEST: usize = 4;

/// Number of vowels and ending, to the number (from 0) of the stressed vowel.
type Endings = HashMap<(usize, &'static [u8]), usize>;

fn endings() -> &'static Endings {
    static ENDINGS: OnceLock<Endings> = OnceLock::new();
    ENDINGS.get_or_init(|| {
        let lines = include_str!("../../tables/stress.tsv")
            .lines()
            .filter(|l| !l.starts_with('#'));
        lines.filter_map(read_line).collect()
    })
}

/// Vowels, ending, stressed vowel, with tabs between.
fn read_line(line: &'static str) -> Option<((usize, &'static [u8]), usize)> {
    let mut fields = line.split('\t');
    let vowels = fields.next()?.parse().ok()?;
    let ending = fields.next()?.as_bytes();
    Some(((vowels, ending), fields.next()?.parse().ok()?))
}

/// A stress mark for each sound: 1 on one vowel, 0 elsewhere; the longest ending that the table knows decides.
pub(super) fn guess(letters: &[u8], sounds: &[Sound]) -> Vec<u8> {
    let vowels: Vec<usize> = (0..sounds.len()).filter(|&i| sounds[i].is_vowel()).collect();
    let mut marks = vec![0; sounds.len()];
    let known = (0..=LONGEST.min(letters.len())).rev().find_map(|len| {
        let ending: &[u8] = &letters[letters.len() - len..];
        endings().get(&(vowels.len(), ending)).copied()
    });
    if let Some(&at) = vowels.get(known.unwrap_or(0)).or(vowels.first()) {
        marks[at] = 1;
    }
    marks
}
