//! Words to teach with: every letter in its ordinary use, known to a child, and no exception of a rule that was taught.
//!
//! What a word *meets* is evidence, whatever the word; what lessons put before a child is chosen more narrowly. *Have* has a short
//! vowel, and shows a child who learns short vowels a silent e that does no work; *mind* has n before d, and a vowel that breaks the
//! rule of closed syllables.

use std::collections::BTreeSet;

use super::{Choice, is_function_word};
use crate::Sound;
use crate::lexicon::Pronunciation;
use crate::parts::Join;
use crate::sort::Level;
use crate::spelling::LetterBox;
use crate::surprise;
use crate::writing::place::is_loud;
use crate::writing::shape::WordStructure;

/// Words whose prefix a child understands, before a word that stands alone (ours); not *invest*, *report* or *unit*.
const CLEAR_PREFIXES: [&str; 32] = [
    "unlike",
    "unlikely",
    "unknown",
    "unhappy",
    "unfair",
    "unable",
    "unusual",
    "unlucky",
    "unkind",
    "unlock",
    "unpack",
    "unsafe",
    "untie",
    "dislike",
    "disagree",
    "disappear",
    "disconnect",
    "dishonest",
    "mistake",
    "misplace",
    "mislead",
    "misuse",
    "misread",
    "return",
    "replace",
    "rebuild",
    "rewrite",
    "replay",
    "reread",
    "refill",
    "reuse",
    "remake",
];
/// Choices after which words of several syllables come up.
const LONGER: [Choice; 4] = [Choice::InnerDouble, Choice::Schwa, Choice::Prefix, Choice::Tion];

/// What makes a word one to teach with.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Plainness {
    /// Every letter in its ordinary use, and no word strange to a child.
    plain: bool,
    /// A function word.
    small: bool,
    /// Letters that no rule foretells, which are to be known by heart.
    by_heart: bool,
    /// Syllables without prefix and ending.
    pub syllables: usize,
    /// Whether it is one of [`CLEAR_PREFIXES`].
    clear_prefix: bool,
    /// The letters of its last sound before the ending.
    end_letters: String,
    /// What happens before its ending.
    join: Option<Join>,
    /// The ending.
    ending: Option<&'static str>,
    /// The last sound before the ending, and whether nothing comes after it.
    last: Option<Sound>,
}

impl Plainness {
    /// Whether lessons show `choice` with a word that meets it.
    pub fn shows(&self, choice: Choice) -> bool {
        let ends_with = |sound: Sound| self.last == Some(sound) && self.ending.is_none();
        match choice {
            Choice::Irregular => return self.by_heart,
            Choice::KSpelling if !ends_with(Sound::K) => return false,
            Choice::ChSpelling if !ends_with(Sound::CH) => return false,
            Choice::JSpelling if !ends_with(Sound::JH) => return false,
            Choice::Prefix if !self.clear_prefix => return false,
            Choice::InnerDouble | Choice::Schwa | Choice::Tion if self.syllables != 2 || self.ending.is_some() => {
                return false;
            }
            // One letter for two sounds, and a syllable of its own kind.
            Choice::EndCluster | Choice::LostNasal | Choice::Schwa if ["x", "le"].contains(&&*self.end_letters) => {
                return false;
            }
            // running is doubled before its ending, and add has none of the four.
            Choice::DoubledEnd
                if self.join == Some(Join::Doubles) || !["ff", "ll", "ss", "zz"].contains(&&*self.end_letters) =>
            {
                return false;
            }
            _ => {}
        }
        // The end of a word is looked at in short ones: message has a weak vowel before its ge.
        let at_the_end = matches!(
            choice,
            Choice::KSpelling | Choice::ChSpelling | Choice::JSpelling | Choice::DoubledEnd
        );
        self.is_plain() && (!at_the_end || self.syllables == 1)
    }

    /// Whether it has no letters that are known by heart, and is no function word.
    pub fn is_plain(&self) -> bool {
        self.plain && !self.small
    }

    /// Whether a word is plain enough and no longer than what was taught.
    pub fn fits(&self, taught: &BTreeSet<Choice>) -> bool {
        let by_heart = self.by_heart && taught.contains(&Choice::Irregular);
        (by_heart || !self.small) && self.fits_though_small(taught)
    }

    /// The same of function words too.
    pub fn fits_though_small(&self, taught: &BTreeSet<Choice>) -> bool {
        let longer = LONGER.iter().any(|choice| taught.contains(choice));
        let ended = self.ending.is_none() || taught.contains(&Choice::EdEnding) || taught.contains(&Choice::SEnding);
        let known = self.plain || (self.by_heart && taught.contains(&Choice::Irregular));
        // The base of babies has two.
        let most = if taught.contains(&Choice::YToI) && self.ending.is_some() {
            2
        } else {
            1
        };
        known && ended && (longer || self.syllables <= most)
    }
}

/// What makes `word` one to teach with; `zipf` is how common it is.
pub fn of(
    word: &str,
    (said, zipf): (&Pronunciation, f32),
    boxes: &[LetterBox],
    shape: Option<&WordStructure>,
) -> Plainness {
    let sounds = said.sounds();
    let (first, end) = shape.map_or((0, sounds.len()), |s| s.base);
    let syllables = sounds[first..end].iter().filter(|s| s.is_vowel()).count();
    let base = BaseWord {
        said,
        boxes,
        within: (first, end),
        one_syllable: syllables == 1,
        join: shape.filter(|s| s.ending.is_some()).map(|s| s.join),
    };
    let joined = base
        .join
        .is_none_or(|join| matches!(join, Join::Plain | Join::Doubles | Join::DropsE | Join::YToI));
    let known = Level::Known.has(word, zipf);
    let by_heart = known && surprise::find(word).is_some();
    Plainness {
        plain: known && joined && !by_heart && base.is_plain(),
        small: is_function_word(word),
        by_heart,
        syllables,
        clear_prefix: CLEAR_PREFIXES.contains(&word),
        end_letters: boxes
            .iter()
            .find(|b| b.sounds.end == end)
            .map_or(String::new(), |b| b.letters.clone()),
        join: base.join,
        ending: shape.and_then(|s| s.ending),
        last: end.checked_sub(1).map(|at| sounds[at]),
    }
}

/// The base of a word with its letters.
struct BaseWord<'w> {
    said: &'w Pronunciation,
    boxes: &'w [LetterBox],
    /// First sound of the base, and the sound after its last.
    within: (usize, usize),
    one_syllable: bool,
    /// What happens before its ending.
    join: Option<Join>,
}

impl BaseWord<'_> {
    /// Whether every letter of the base is in its ordinary use, and none breaks a rule of the ends of words.
    fn is_plain(&self) -> bool {
        let (first, end) = self.within;
        let mut own = self.boxes.iter().filter(|b| (first..end).contains(&b.sounds.start));
        own.all(|b| self.is_ordinary(b)) && !self.breaks_the_end()
    }

    fn is_ordinary(&self, held: &LetterBox) -> bool {
        let sounds = &self.said.sounds()[held.sounds.clone()];
        let letters = held.letters.as_str();
        match sounds {
            [one] if one.is_vowel() => self.is_vowel_ordinary(held.sounds.start, letters),
            [one] => self.is_consonant_ordinary(*one, held.sounds.start, letters),
            [Sound::K, Sound::S] => letters == "x",
            [Sound::K, Sound::W] => letters == "qu",
            [Sound::AH, Sound::L] => letters == "le" && !self.one_syllable,
            _ => false,
        }
    }

    /// Single letters for short vowels, the usual teams and split vowels; a single letter for a long vowel where a syllable ends.
    fn is_vowel_ordinary(&self, at: usize, letters: &str) -> bool {
        let sounds = self.said.sounds();
        let (sound, next) = (sounds[at], sounds.get(at + 1));
        if next == Some(&Sound::R) {
            return matches!((sound, letters), (Sound::AA, "a") | (Sound::AO, "o"));
        }
        if !is_loud(self.said, at) && matches!(sound, Sound::AH | Sound::IH) {
            return letters.len() == 1;
        }
        let end = self.within.1;
        let long = matches!(
            (sound, letters),
            (Sound::EY, "a") | (Sound::IY, "e") | (Sound::AY, "i") | (Sound::OW, "o") | (Sound::UW, "u")
        );
        let opens = next.is_some_and(|s| !s.is_vowel()) && sounds.get(at + 2).is_some_and(|s| s.is_vowel());
        let last = at + 1 == end;
        // making had its a_e; babies and tried had a y; pa-per and ba-by have open syllables.
        let by_join = match self.join {
            Some(Join::DropsE) => long && at + 2 == end,
            Some(Join::YToI) => last && matches!((sound, letters), (Sound::AY | Sound::IY, "i" | "ie" | "y")),
            _ => false,
        };
        let by_place = !self.one_syllable && ((long && opens) || (last && (sound, letters) == (Sound::IY, "y")));
        if by_join || by_place {
            return true;
        }
        matches!(
            (sound, letters),
            (Sound::AE, "a")
                | (Sound::EH, "e")
                | (Sound::IH, "i")
                | (Sound::AA | Sound::AO, "o")
                | (Sound::AH, "u")
                | (Sound::EY, "a_e" | "ai" | "ay")
                | (Sound::IY, "e_e" | "ee" | "ea")
                | (Sound::AY, "i_e" | "igh")
                | (Sound::OW, "o_e" | "oa" | "ow")
                | (Sound::UW, "u_e" | "ew" | "ue" | "oo")
                | (Sound::UH, "oo")
                | (Sound::AW, "ou" | "ow")
                | (Sound::OY, "oi" | "oy")
                | (Sound::AO, "au" | "aw")
                | (Sound::ER, "er" | "ir" | "ur")
        )
    }

    /// Each consonant by its own letter or two; no s for /z/, c for /s/, g for /j/, no e that does no work (*have*, *house*).
    fn is_consonant_ordinary(&self, sound: Sound, at: usize, letters: &str) -> bool {
        let before_back = || {
            let next = self.said.sounds().get(at + 1);
            next == Some(&Sound::K) || next == Some(&Sound::G)
        };
        let plain = matches!(
            (sound, letters),
            (Sound::B, "b" | "bb")
                | (Sound::CH, "ch" | "tch")
                | (Sound::D, "d" | "dd")
                | (Sound::F, "f" | "ff" | "ph")
                | (Sound::G, "g" | "gg")
                | (Sound::HH, "h")
                | (Sound::JH, "j" | "ge" | "dge")
                | (Sound::K, "c" | "k" | "ck")
                | (Sound::L, "l" | "ll")
                | (Sound::M, "m" | "mm" | "mb")
                | (Sound::N, "n" | "nn" | "kn" | "gn")
                | (Sound::NG, "ng")
                | (Sound::P, "p" | "pp")
                | (Sound::R, "r" | "rr" | "wr")
                | (Sound::S, "s" | "ss")
                | (Sound::SH, "sh" | "ti" | "si" | "ssi" | "ci")
                | (Sound::T, "t" | "tt")
                | (Sound::TH | Sound::DH, "th")
                | (Sound::V, "v")
                | (Sound::W, "w" | "wh")
                | (Sound::Y, "y")
                | (Sound::Z, "z" | "zz")
                | (Sound::ZH, "si")
        );
        // Before k and g an n stands for /ng/: pink.
        plain || ((sound, letters) == (Sound::NG, "n") && before_back())
    }

    /// Whether the end is an exception: f, l, s, z doubled, ck, tch and dge after a short vowel of one syllable, not after others
    /// (common practice, no source). So *bus*, *yes* and *much* break a rule.
    fn breaks_the_end(&self) -> bool {
        let (_, end) = self.within;
        let Some(at) = self.boxes.iter().position(|b| b.sounds.end == end) else {
            return true;
        };
        if !self.one_syllable {
            return false;
        }
        let letters = self.boxes[at].letters.as_str();
        let short = at.checked_sub(1).is_some_and(|before| {
            let before = &self.boxes[before];
            matches!(before.letters.as_str(), "a" | "e" | "i" | "o" | "u")
        });
        match letters {
            "f" | "l" | "s" | "z" | "k" | "c" | "ch" | "ge" => short,
            "ff" | "ll" | "ss" | "zz" | "ck" | "tch" | "dge" => !short,
            _ => false,
        }
    }
}
