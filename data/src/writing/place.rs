//! Where in a word letters stand, told coarsely enough that the dictionary has words for every place.
//!
//! The same code makes the places when the table is learned (`data/build-lexicon/train_writing.rs`) and when a misspelling is
//! read, so that the two cannot differ.

use std::fmt;

use crate::Sound;
use crate::lexicon::Pronunciation;

/// The vowels after which English doubles or lengthens a consonant's spelling (back, match, bridge, hill), when they are loud.
const SHORT: [Sound; 6] = [Sound::AE, Sound::EH, Sound::IH, Sound::AA, Sound::AH, Sound::UH];

/// A place, as three signs: how loud, what comes before, what comes after.
///
/// - Loud: `L` a vowel with stress, `w` one without, `-` no vowel.
/// - Before: `#` nothing, `s` a short loud vowel, `v` another vowel, `c` a consonant. For a vowel, `s` counts as `v`.
/// - After, for consonants, the next letter: `#` none, `f` e, i or y, `b` a, o or u, `c` a consonant letter.
/// - After, for vowels, the next sounds: `#` none, `R` that sound, `V` a vowel, `1` one consonant and the end, `C` one consonant
///   and a vowel, `2` two consonants or more.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct SoundContext([u8; 3]);

impl fmt::Display for SoundContext {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.0.iter().try_for_each(|&sign| write!(f, "{}", char::from(sign)))
    }
}

impl SoundContext {
    /// The place of sounds `from..to` of `said`, when `next` is the letter after theirs.
    ///
    /// # Panics
    /// When the range is empty or ends beyond the sounds.
    pub fn of(said: &Pronunciation, from: usize, to: usize, next: Option<u8>) -> SoundContext {
        let sounds = said.sounds();
        let vowel = (from..to).find(|&at| sounds[at].is_vowel());
        let loud = match vowel {
            Some(at) if is_loud(said, at) => b'L',
            Some(_) => b'w',
            None => b'-',
        };
        let before = match from.checked_sub(1) {
            None => b'#',
            Some(at) if !sounds[at].is_vowel() => b'c',
            Some(at) if vowel.is_none() && is_loud(said, at) && SHORT.contains(&sounds[at]) => b's',
            Some(_) => b'v',
        };
        // A stretch that ends with a vowel is followed by sounds; one that ends with a consonant, by a letter.
        let after = if sounds[to - 1].is_vowel() {
            after_vowel(&sounds[to..])
        } else {
            after_consonant(next)
        };
        SoundContext([loud, before, after])
    }

    /// Reads what [`SoundContext`]'s `Display` writes.
    pub fn read(text: &str) -> Option<SoundContext> {
        Some(SoundContext(text.as_bytes().try_into().ok()?))
    }

    /// How many values [`SoundContext::sort`] has.
    pub const SORTS: usize = 4;

    /// Loud vowels and consonants 0, before R 1; weak vowels 2, before R 3: what sort of place counts together.
    pub fn sort(self) -> usize {
        2 * usize::from(self.is_weak()) + usize::from(self.before_r())
    }

    /// Whether the vowel here has no stress.
    pub fn is_weak(self) -> bool {
        self.0[0] == b'w'
    }

    /// Whether the sound R follows a vowel here.
    pub fn before_r(self) -> bool {
        self.0[2] == b'R'
    }
}

/// Whether the vowel at `at` is loud. A word's only vowel is, though the dictionary has weak forms of *was* and *does*: a child
/// who writes a word hears it by itself.
pub fn is_loud(said: &Pronunciation, at: usize) -> bool {
    said.stress()[at] > 0 || said.sounds().iter().filter(|s| s.is_vowel()).count() == 1
}

/// What follows a vowel.
fn after_vowel(rest: &[Sound]) -> u8 {
    let consonants = rest.iter().take_while(|s| !s.is_vowel()).count();
    match (rest.first(), consonants) {
        (None, _) => b'#',
        (Some(&Sound::R), _) => b'R',
        (Some(_), 0) => b'V',
        (Some(_), 1) if rest.len() == 1 => b'1',
        (Some(_), 1) => b'C',
        (Some(_), _) => b'2',
    }
}

/// The kind of the next letter after a consonant.
fn after_consonant(next: Option<u8>) -> u8 {
    match next {
        None => b'#',
        Some(b'e' | b'i' | b'y') => b'f',
        Some(b'a' | b'o' | b'u') => b'b',
        Some(_) => b'c',
    }
}
