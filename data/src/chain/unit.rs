//! A counted sound.

use std::fmt;
use std::ops::Range;
use std::str::FromStr;

use crate::sound::NotASound;
use crate::{Rules, Sound, spelling};

/// Bits for one dictionary sound; 0 stands for none.
const BITS: u32 = 6;

/// One counted sound: one dictionary sound, or several that the rules in force count as one (AA R of *car*).
///
/// At most [`Unit::MOST`] sounds, which is more than any rule joins (three: the Y UH R of *cure*).
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Unit(u32);

impl Unit {
    /// Most dictionary sounds in one unit.
    pub const MOST: usize = 5;

    /// The unit of these sounds; `None` for none or more than [`Unit::MOST`].
    pub fn new(sounds: &[Sound]) -> Option<Unit> {
        let joined = |code: u32, s: &Sound| code << BITS | (s.index() as u32 + 1);
        (1..=Self::MOST)
            .contains(&sounds.len())
            .then(|| Unit(sounds.iter().fold(0, joined)))
    }

    /// Its dictionary sounds, in order.
    pub fn sounds(self) -> impl Iterator<Item = Sound> {
        let codes = (0..Self::MOST as u32).rev().map(move |i| self.0 >> (BITS * i) & 63);
        codes.filter_map(|code| Sound::from_index((code as usize).checked_sub(1)?))
    }

    /// Whether there is a vowel in it.
    pub fn is_vowel(self) -> bool {
        self.sounds().any(Sound::is_vowel)
    }

    /// As a number, different for every unit.
    pub(super) fn code(self) -> u32 {
        self.0
    }
}

impl From<Sound> for Unit {
    fn from(sound: Sound) -> Unit {
        Unit(sound.index() as u32 + 1)
    }
}

impl FromStr for Unit {
    type Err = NotASound;

    /// Reads ARPAbet, with `+` or spaces between sounds that count as one: `IH`, `AA+R`.
    ///
    /// # Errors
    /// When a name is no ARPAbet sound, or there are none or too many.
    fn from_str(text: &str) -> Result<Self, Self::Err> {
        let names = text.split(['+', ' ']).filter(|name| !name.is_empty());
        let sounds = names.map(Sound::from_str).collect::<Result<Vec<_>, _>>()?;
        Unit::new(&sounds).ok_or_else(|| NotASound(text.to_owned()))
    }
}

impl fmt::Display for Unit {
    /// ARPAbet with `+` between sounds that count as one, such as `AA+R`.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for (place, sound) in self.sounds().enumerate() {
            write!(f, "{}{sound}", if place == 0 { "" } else { "+" })?;
        }
        Ok(())
    }
}

impl fmt::Debug for Unit {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        fmt::Display::fmt(self, f)
    }
}

/// The counted sounds of `word` said as `sounds`, by the names that the rules give them ([`Rules::relabel`]).
///
/// The word's letters are looked at only where a rule needs them (`x`, `qu`, `yu`, `syllabic` counted as one).
pub fn units(word: &str, sounds: &[Sound], rules: &Rules) -> Vec<Unit> {
    let boxes = match needs_letters(word, sounds, rules) {
        true => spelling::boxes(word, sounds).unwrap_or_default(),
        false => Vec::new(),
    };
    let letters: Vec<(&str, Range<usize>)> = boxes.iter().map(|b| (b.letters.as_str(), b.sounds.clone())).collect();
    let named = rules.relabel(sounds);
    let ranges = rules.units(sounds, &letters).into_iter();
    // A rule that joined more than a unit holds would be a fault of the rules; the sounds then stay apart.
    ranges
        .flat_map(|range| match Unit::new(&named[range.clone()]) {
            Some(unit) => vec![unit],
            None => named[range].iter().copied().map(Unit::from).collect(),
        })
        .collect()
}

/// Whether a rule in force that goes by the letters could bear on this word.
fn needs_letters(word: &str, sounds: &[Sound], rules: &Rules) -> bool {
    use crate::rule::Counted::One;
    (rules.x == One && word.contains(['x', 'X']))
        || (rules.qu == One && sounds.contains(&Sound::W))
        || (rules.yu == One && sounds.contains(&Sound::Y))
        || (rules.syllabic == One && sounds.contains(&Sound::AH))
        // hour is one sound with its r, flower is not: the letters of the weak er tell.
        || (rules.fire == crate::rule::Fire::OneSound && sounds.contains(&Sound::ER))
}
