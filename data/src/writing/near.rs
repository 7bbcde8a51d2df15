//! Sounds that are often taken for each other.

use std::sync::LazyLock;

use crate::Sound;
use crate::inventory;
use crate::inventory::{Consonant, Features, Manner, Place};

/// Vowels that are neighbors: beside each other on the chart of English vowels, or one being the start of the other that moves.
/// Handbooks of phonetics draw the same chart; which of its neighbors writers mix up was seen in the misspellings named in
/// `data/tables/slips.tsv`. The chart's features alone do not tell, since its steps are not equal.
const NEIGHBORS: [(Sound, Sound); 27] = [
    (Sound::IY, Sound::IH),
    (Sound::IH, Sound::EH),
    (Sound::EH, Sound::AE),
    (Sound::AE, Sound::AH),
    (Sound::AE, Sound::AA),
    (Sound::AH, Sound::AA),
    (Sound::AH, Sound::AO),
    (Sound::AA, Sound::AO),
    (Sound::AO, Sound::OW),
    (Sound::OW, Sound::UH),
    (Sound::OW, Sound::UW),
    (Sound::OW, Sound::AW),
    (Sound::UH, Sound::UW),
    (Sound::UH, Sound::AH),
    (Sound::EY, Sound::EH),
    (Sound::EY, Sound::IH),
    (Sound::EY, Sound::AE),
    (Sound::AY, Sound::AA),
    (Sound::AY, Sound::OY),
    (Sound::AW, Sound::AA),
    (Sound::AW, Sound::AO),
    (Sound::AW, Sound::AE),
    (Sound::OY, Sound::AO),
    (Sound::OY, Sound::OW),
    (Sound::ER, Sound::AH),
    (Sound::ER, Sound::UH),
    (Sound::ER, Sound::EH),
];

/// The answer for every two sounds: it is asked for thousands of times in one word.
static NEAR: LazyLock<Vec<[bool; Sound::COUNT]>> = LazyLock::new(|| {
    let row = |a: Sound| {
        let mut row = [false; Sound::COUNT];
        Sound::all().for_each(|b| row[b.index()] = compare(a, b));
        row
    };
    Sound::all().map(row).collect()
});

/// Whether the two are different sounds that are often taken for each other.
pub fn near(a: Sound, b: Sound) -> bool {
    NEAR[a.index()][b.index()]
}

/// The same, worked out.
fn compare(a: Sound, b: Sound) -> bool {
    if a.is_vowel() && b.is_vowel() {
        return NEIGHBORS.contains(&(a, b)) || NEIGHBORS.contains(&(b, a));
    }
    match (features(a), features(b)) {
        (Some(x), Some(y)) => a != b && consonants(x, y),
        _ => false,
    }
}

/// The features of a consonant.
fn features(sound: Sound) -> Option<Consonant> {
    match inventory::of(sound).features {
        Features::Consonant(made) => Some(made),
        Features::Vowel(_) => None,
    }
}

/// Whether consonants made like this are near: they differ in voicing alone, or in one small step of place or of manner.
fn consonants(a: Consonant, b: Consonant) -> bool {
    let voicing = a.voicing == b.voicing;
    let place = a.place == b.place;
    let manner = a.manner == b.manner;
    if place && manner {
        return !voicing;
    }
    voicing
        && match (a.manner, b.manner) {
            (Manner::Nasal, Manner::Nasal) => true,
            // r, l and w glide alike; y is made elsewhere, with the spread lips of its vowel.
            (x, y) if glides(x) && glides(y) => a.place != Place::Palatal && b.place != Place::Palatal,
            // The nose shut: sig for sing.
            (Manner::Nasal, Manner::Plosive) | (Manner::Plosive, Manner::Nasal) => place && a.place == Place::Velar,
            (x, y) if x == y => beside(a.place, b.place),
            (x, y) if hisses(x) && hisses(y) => place,
            // A stop and a hiss at the same spot or the next: chin and tin, this and dis, van and ban.
            (Manner::Plosive, y) | (y, Manner::Plosive) if hisses(y) => beside(a.place, b.place),
            _ => false,
        }
}

fn glides(manner: Manner) -> bool {
    matches!(manner, Manner::Approximant | Manner::LateralApproximant)
}

fn hisses(manner: Manner) -> bool {
    matches!(manner, Manner::Fricative | Manner::Affricate)
}

/// Whether two places are the same or next to each other on the chart.
fn beside(a: Place, b: Place) -> bool {
    (a as i8 - b as i8).abs() <= 1
}

#[cfg(test)]
mod tests {
    use super::*;

    fn is(a: &str, b: &str) -> bool {
        near(a.parse().unwrap(), b.parse().unwrap())
    }

    /// Common practice, no source.
    #[test]
    fn the_pairs_that_every_teacher_knows() {
        for pair in [
            "P B", "T D", "K G", "F V", "S Z", "SH ZH", "CH JH", "TH DH", "M N", "N NG", "F TH", "V DH", "S SH",
            "SH CH", "R W", "L W", "IH EH", "EH AE", "AE AH", "IY IH", "UW UH", "T CH", "D JH",
        ] {
            let (a, b) = pair.split_once(' ').unwrap();
            assert!(is(a, b) && is(b, a), "{pair}");
        }
        for pair in [
            "P K", "B D", "M W", "S K", "HH P", "IY AA", "UW AE", "P IH", "L P", "B B", "T T",
        ] {
            let (a, b) = pair.split_once(' ').unwrap();
            assert!(!is(a, b) && !is(b, a), "{pair}");
        }
    }
}
