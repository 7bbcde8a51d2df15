//! The inventory of sounds.

use std::fmt;
use std::str::FromStr;

use serde::{Deserialize, Deserializer, Serialize, Serializer, de::Error};

/// One of the 39 sounds that the dictionary and the acoustic model tell apart, in ARPAbet order.
///
/// The index ([`Sound::index`]) is stable: the dictionary's bytes and the model's outputs use it.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Sound(u8);

/// Declares the sounds once, so that a sound's constant, name and index cannot drift apart.
macro_rules! sounds {
    ($($index:literal $name:ident,)*) => {
        /// ARPAbet names in index order.
        const NAMES: [&str; Sound::COUNT] = [$(stringify!($name)),*];

        impl Sound {
            $(#[doc = concat!("ARPAbet `", stringify!($name), "`.")] pub const $name: Sound = Sound($index);)*
        }
    };
}

#[rustfmt::skip]
sounds! {
    0 AA, 1 AE, 2 AH, 3 AO, 4 AW, 5 AY, 6 B, 7 CH, 8 D, 9 DH, 10 EH, 11 ER, 12 EY, 13 F, 14 G, 15 HH, 16 IH, 17 IY,
    18 JH, 19 K, 20 L, 21 M, 22 N, 23 NG, 24 OW, 25 OY, 26 P, 27 R, 28 S, 29 SH, 30 T, 31 TH, 32 UH, 33 UW, 34 V,
    35 W, 36 Y, 37 Z, 38 ZH,
}

impl Sound {
    /// How many sounds there are.
    pub const COUNT: usize = 39;

    /// Every sound, in index order.
    pub fn all() -> impl ExactSizeIterator<Item = Sound> {
        (0..Self::COUNT as u8).map(Sound)
    }

    /// The sound at `index` (0 to 38), if there is one.
    pub fn from_index(index: usize) -> Option<Sound> {
        (index < Self::COUNT).then_some(Sound(index as u8))
    }

    /// Place in ARPAbet order, 0 to 38.
    pub fn index(self) -> usize {
        usize::from(self.0)
    }

    /// ARPAbet name without stress, such as `CH`.
    pub fn arpabet(self) -> &'static str {
        NAMES[self.index()]
    }

    /// Whether the sound can be the centre of a syllable by itself (the 15 vowels, `ER` among them).
    pub fn is_vowel(self) -> bool {
        matches!(self.arpabet().as_bytes()[0], b'A' | b'E' | b'I' | b'O' | b'U')
    }
}

/// The text was not an ARPAbet sound.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NotASound(pub String);

impl fmt::Display for NotASound {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(
            f,
            "`{}` is not an ARPAbet sound; use names such as P, IH or CH (`soundbead sounds` lists them)",
            self.0
        )
    }
}

impl std::error::Error for NotASound {}

impl FromStr for Sound {
    type Err = NotASound;

    /// Reads ARPAbet in either case; a stress digit (`IH1`) is allowed and dropped.
    fn from_str(text: &str) -> Result<Self, Self::Err> {
        let bare = text.strip_suffix(['0', '1', '2']).unwrap_or(text);
        let found = NAMES.iter().position(|name| name.eq_ignore_ascii_case(bare));
        let sound = found
            .map(|i| Sound(i as u8))
            .filter(|s| bare.len() == text.len() || s.is_vowel());
        sound.ok_or_else(|| NotASound(text.to_owned()))
    }
}

impl fmt::Display for Sound {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(self.arpabet())
    }
}

impl fmt::Debug for Sound {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.arpabet())
    }
}

/// Written as its ARPAbet name: `"CH"`.
impl Serialize for Sound {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        to.serialize_str(self.arpabet())
    }
}

/// Read from its ARPAbet name, as [`Sound::from_str`] does.
impl<'de> Deserialize<'de> for Sound {
    fn deserialize<D: Deserializer<'de>>(from: D) -> Result<Self, D::Error> {
        String::deserialize(from)?.parse().map_err(D::Error::custom)
    }
}
