//! The inventory: each sound of General American English, how it is made and how to tell it from its nearest.
//!
//! There are 24 consonants and 22 vowels: ten of one quality (schwa among them), five that move, and seven with r
//! in them. Beside them stands what is no sound but two, taught as one because one letter spells it: the long u of *cute*
//! ([`pairs`]). It has a card and is never counted among the sounds. The dictionary's 39 [`Sound`]s are fewer, for it writes schwa as a weak AH and the vowel of *car* as
//! AA and R; [`Arpabet`] keeps that link. Features are those of the IPA chart (International Phonetic Association,
//! revised 2020), from memory of it; what a teacher says about a sound is ours and common practice.
//!
//! ```
//! use soundbead_data::inventory::{self, Features};
//!
//! let th = inventory::find("TH").unwrap();
//! assert_eq!((th.ipa.as_str(), th.words.final_.as_deref()), ("θ", Some("moth")));
//! assert!(matches!(&th.features, Features::Consonant(c) if c.place.to_string() == "dental"));
//! assert_eq!(th.confused.with.to_string(), "F");
//! ```

use crate::Sound;
use crate::sound::NotASound;
use serde::Deserialize;
use std::fmt;
use std::str::FromStr;
use std::sync::LazyLock;

mod feature;

pub use feature::*;

/// Everything known of one sound.
#[derive(Clone, Debug, PartialEq, Eq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SoundEntry {
    /// As on the IPA chart, without slashes, such as `θ` or `aɪ`.
    pub ipa: String,
    /// As in the dictionary.
    pub arpabet: Arpabet,
    /// In plain letters, such as `th` or `igh`; no two sounds share one.
    pub respelling: String,
    /// What stands for [`SoundEntry::respelling`] where that puzzles a parent; see [`SoundEntry::shown`].
    #[serde(default)]
    shown: Option<String>,
    /// Key words.
    pub words: KeyWords,
    /// Where and how it is made.
    pub features: Features,
    /// How to make it, said to a ten-year-old.
    pub cues: Cues,
    /// The sound it is most often mixed up with.
    pub confused: Confused,
    /// The other mix-ups that lessons meet, by common practice.
    #[serde(default)]
    pub also: Vec<Mixup>,
}

impl SoundEntry {
    /// Its plain letters as a parent reads them at once: [`SoundEntry::respelling`], but for three that puzzle, which stand with a word:
    /// `th (this)`, `oo (book)`, `u (up)`. What is shown so is not read back; the respelling is.
    pub fn shown(&self) -> &str {
        self.shown.as_deref().unwrap_or(&self.respelling)
    }

    /// The same without the word, for where its key word stands beside: `th`, `oo`.
    pub fn letters(&self) -> &str {
        self.shown().split(' ').next().unwrap_or_default()
    }
}

/// A word for each place in which the sound is found in everyday words; none where it is not.
#[derive(Clone, Debug, PartialEq, Eq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct KeyWords {
    /// A word that starts with the sound.
    pub initial: Option<String>,
    /// A word that has it inside.
    pub medial: Option<String>,
    /// A word that ends with it.
    #[serde(rename = "final")]
    pub final_: Option<String>,
}

/// What to do, see and feel, one short line each (under 140 characters).
#[derive(Clone, Debug, PartialEq, Eq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Cues {
    /// What the lips do.
    pub lips: String,
    /// What the tongue does.
    pub tongue: String,
    /// How far the jaw is open.
    pub jaw: String,
    /// Which way the air goes, and how.
    pub airflow: String,
    /// What a hand on the throat, or an ear, makes of the voice.
    pub voice: String,
}

impl Cues {
    /// The cues with their headings, from the lips inward.
    pub fn iter(&self) -> impl Iterator<Item = (&'static str, &str)> {
        let Cues {
            lips,
            tongue,
            jaw,
            airflow,
            voice,
        } = self;
        [
            ("lips", lips),
            ("tongue", tongue),
            ("jaw", jaw),
            ("airflow", airflow),
            ("voice", voice),
        ]
        .into_iter()
        .map(|(name, cue)| (name, cue.as_str()))
    }
}

/// The commonest mix-up of a sound, by common practice.
#[derive(Clone, Debug, PartialEq, Eq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Confused {
    /// The other sound; it has a [`SoundEntry`] too.
    pub with: Arpabet,
    /// Exactly the features in which the two differ, in the order of [`Feature`].
    pub differs_in: Vec<Feature>,
    /// How a parent and a child can tell them apart.
    pub tell_apart: String,
    /// Where the other sound names a different partner: why.
    pub one_way: Option<String>,
}

/// One more mix-up of a sound: with another sound, with a row of sounds (the tr of *train* with chr), or with nothing.
#[derive(Clone, Debug, PartialEq, Eq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Mixup {
    /// What it is taken for; `None` where the sound is left out altogether (the m of *lamp*).
    pub with: Option<Arpabet>,
    /// How a parent and a child can tell them apart, under 180 characters.
    pub tell_apart: String,
}

/// A sound as the dictionary writes it: one name or several, with a stress digit where it decides.
///
/// The digit is kept only for AH and ER, whose strong and weak forms have entries of their own (*sun* `AH1`, *sofa*
/// `AH0`). Reads either case; prints upper case.
#[derive(Clone, Debug, PartialEq, Eq, Hash, Deserialize)]
#[serde(try_from = "String")]
pub struct Arpabet {
    sounds: Vec<Sound>,
    stress: Option<Stress>,
}

impl Arpabet {
    /// The dictionary's sounds; at least one.
    pub fn sounds(&self) -> &[Sound] {
        &self.sounds
    }

    /// Whether it is the strong or the weak form, where there are two.
    pub fn stress(&self) -> Option<Stress> {
        self.stress
    }
}

impl FromStr for Arpabet {
    type Err = NotASound;

    /// Reads names parted by spaces. A digit is allowed on a vowel and dropped where it decides nothing.
    ///
    /// # Errors
    /// When there is no name, or one that is not an ARPAbet sound.
    fn from_str(text: &str) -> Result<Self, Self::Err> {
        let sounds = text
            .split_whitespace()
            .map(Sound::from_str)
            .collect::<Result<Vec<_>, _>>()?;
        let stress = match sounds[..] {
            [] => return Err(NotASound(text.to_owned())),
            [Sound::AH | Sound::ER] => match text.trim_end().as_bytes().last() {
                Some(b'1' | b'2') => Some(Stress::Strong),
                Some(b'0') => Some(Stress::Weak),
                _ => None,
            },
            _ => None,
        };
        Ok(Arpabet { sounds, stress })
    }
}

impl TryFrom<String> for Arpabet {
    type Error = NotASound;

    fn try_from(text: String) -> Result<Self, Self::Error> {
        text.parse()
    }
}

impl fmt::Display for Arpabet {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for (place, sound) in self.sounds.iter().enumerate() {
            write!(f, "{}{sound}", if place == 0 { "" } else { " " })?;
        }
        match self.stress {
            Some(Stress::Strong) => f.write_str("1"),
            Some(Stress::Weak) => f.write_str("0"),
            None => Ok(()),
        }
    }
}

/// What `tables/sounds.toml` holds.
#[derive(Deserialize)]
struct SoundTable {
    sound: Vec<SoundEntry>,
    pair: Vec<SoundEntry>,
}

/// The table, read once; it is part of the program, so no file is opened.
static TABLE: LazyLock<SoundTable> = LazyLock::new(|| {
    // Cannot fail in a build whose tests have passed: the text is fixed when the program is built.
    toml::from_str(include_str!("../tables/sounds.toml")).expect("tables/sounds.toml is well formed")
});

/// Every sound: consonants by manner, then vowels of one quality, vowels that move, vowels with r.
pub fn all() -> &'static [SoundEntry] {
    &TABLE.sound
}

/// Two sounds that one letter spells and lessons name as one: long u, /y oo/. Each has a card and is no sound of its own.
pub fn pairs() -> &'static [SoundEntry] {
    &TABLE.pair
}

/// Everything that has a card: every sound, then the pairs.
pub fn cards() -> impl Iterator<Item = &'static SoundEntry> {
    all().iter().chain(pairs())
}

/// The entry for a dictionary sound by itself; for AH and ER the strong form (*sun*, *bird*).
pub fn of(sound: Sound) -> &'static SoundEntry {
    // Every sound has an entry, and strong forms stand before weak ones; the inventory's tests hold both.
    of_unit(&[sound]).expect("every sound has an entry")
}

/// The entry for sounds counted as one, such as AA R or Y UW; `None` where there is none.
///
/// IY R and UW R give the entries of IH R and UH R: no one tells them apart before r, and the dictionary has now one,
/// now the other (*hear* and *near*, *poor* and *tour*).
pub fn of_unit(sounds: &[Sound]) -> Option<&'static SoundEntry> {
    let sounds = match sounds {
        [Sound::IY, Sound::R] => &[Sound::IH, Sound::R],
        [Sound::UW, Sound::R] => &[Sound::UH, Sound::R],
        _ => sounds,
    };
    cards().find(|entry| entry.arpabet.sounds() == sounds)
}

/// The entry by its ARPAbet, such as `CH`, `AH0`, `AA R` or `Y UW`, in either case.
///
/// AH and ER without a digit give the strong form. `None` for what is not ARPAbet or has no entry.
pub fn find(arpabet: &str) -> Option<&'static SoundEntry> {
    let wanted: Arpabet = arpabet.parse().ok()?;
    let fits = |entry: &&SoundEntry| {
        entry.arpabet.sounds == wanted.sounds && (wanted.stress.is_none() || entry.arpabet.stress == wanted.stress)
    };
    cards().find(fits)
}

/// The entry by its IPA, written as in [`SoundEntry::ipa`].
pub fn by_ipa(ipa: &str) -> Option<&'static SoundEntry> {
    cards().find(|entry| entry.ipa == ipa)
}
