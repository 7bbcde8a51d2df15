//! The types of syllables that spelling lessons name.

use std::fmt;

use crate::Sound;
use crate::spelling::LetterBox;

/// A syllable's type, by how its vowel is written and what stands behind it (common practice, no source).
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum SyllableType {
    /// One vowel letter and a consonant behind it: *rab*, *bit*.
    Closed,
    /// Ends with its one vowel letter: *ti* of *tiger*.
    Open,
    /// A split vowel: *pine*.
    SilentE,
    /// Two or more letters for the vowel: *rain*, *snow*, *light*.
    Team,
    /// A vowel and its r: *car*, *ter* of *winter*.
    R,
    /// A consonant and le at the end: *ble* of *table*.
    ConsonantLe,
}

impl SyllableType {
    /// As in the answer for programs: `closed`, `open`, `silent-e`, `team`, `r`, `consonant-le`.
    pub fn name(self) -> &'static str {
        match self {
            SyllableType::Closed => "closed",
            SyllableType::Open => "open",
            SyllableType::SilentE => "silent-e",
            SyllableType::Team => "team",
            SyllableType::R => "r",
            SyllableType::ConsonantLe => "consonant-le",
        }
    }
}

impl fmt::Display for SyllableType {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(match self {
            SyllableType::SilentE => "silent e",
            SyllableType::R => "vowel and r",
            SyllableType::Team => "vowel team",
            SyllableType::ConsonantLe => "consonant and le",
            other => other.name(),
        })
    }
}

/// The type of the syllable written `letters`, whose vowel is the one of `sounds` at `vowel` and which ends before sound `end`.
pub(super) fn of(
    boxes: &[LetterBox],
    sounds: &[Sound],
    vowel: usize,
    end: usize,
    letters: &str,
) -> Option<SyllableType> {
    let at = boxes.iter().position(|b| b.sounds.contains(&vowel))?;
    let held = &boxes[at];
    let next = boxes.get(at + 1).filter(|b| b.sounds.start < end);
    let r_next = next.is_some_and(|b| b.letters.starts_with('r') || b.letters == "er");
    let vowels = held.letters.bytes().filter(|b| b"aeiouyw".contains(b)).count();
    let ends_open = letters.ends_with(|c: char| "aeiouy".contains(c));
    Some(match held.letters.as_str() {
        "le" => SyllableType::ConsonantLe,
        // Of enabled and doubled, whose e stands with the d.
        "l" if held.sounds.len() == 2 => SyllableType::ConsonantLe,
        text if r_next || (text.contains('r') && letters.contains('r')) => SyllableType::R,
        text if text.contains('_') => SyllableType::SilentE,
        text if vowels > 1 || text.contains("gh") => SyllableType::Team,
        _ if next.is_none() && ends_open => SyllableType::Open,
        _ if gave_its_e(&boxes[at..], sounds[vowel], end) => SyllableType::SilentE,
        _ => SyllableType::Closed,
    })
}

/// Whether the first of these boxes is a long vowel of one letter whose silent e an ending took: *shaped*, *hop-ing*. One
/// consonant stands behind it, and then the -ed or another ending's vowel.
fn gave_its_e(boxes: &[LetterBox], vowel: Sound, end: usize) -> bool {
    let long = matches!(vowel, Sound::EY | Sound::IY | Sound::AY | Sound::OW | Sound::UW);
    let [_, consonant, after, ..] = boxes else { return false };
    let closes = consonant.sounds.end <= end;
    let ending = after.letters == "ed" || after.letters == "d";
    let vowel_ending = after.sounds.start == end && after.letters.starts_with(['a', 'e', 'i', 'o', 'u', 'y']);
    // The gn of designed says why the i is long.
    long && closes && consonant.letters != "gn" && (ending || vowel_ending)
}
