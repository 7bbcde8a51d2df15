//! Sounds in writing, as IPA and plain letters; and counts.

use std::fmt;
use std::ops::Range;

use soundbead_data::Rules;
use soundbead_data::inventory::{self, SoundEntry};
use soundbead_data::lexicon::Pronunciation;
use soundbead_data::sound::Sound;

use crate::page::OutputPage;
use crate::target;

/// Pairs of sounds whose IPA side by side reads as one sound: t and sh as ch, d and zh as j, aw and ih as oy.
const APART: [(Sound, Sound); 3] = [(Sound::T, Sound::SH), (Sound::D, Sound::ZH), (Sound::AO, Sound::IH)];

/// A word's sounds, and which of them count as one under the rules in force.
pub struct CountedSounds {
    said: Pronunciation,
    units: Vec<Range<usize>>,
}

impl CountedSounds {
    /// The sounds of `word` (for its letters, which some rules need; may be empty).
    pub fn new(word: &str, said: Pronunciation, rules: &Rules) -> CountedSounds {
        let letters = target::letters(word, said.sounds());
        let letters: Vec<_> = letters
            .iter()
            .map(|(text, range)| (text.as_str(), range.clone()))
            .collect();
        let units = rules.units(said.sounds(), &letters);
        CountedSounds { said, units }
    }

    /// ARPAbet, with those that count as one joined by a plus: `B AA+R N`.
    pub fn arpabet(&self) -> String {
        let unit = |range: &Range<usize>| {
            let names: Vec<_> = self.said.sounds()[range.clone()].iter().map(|s| s.arpabet()).collect();
            names.join("+")
        };
        self.units.iter().map(unit).collect::<Vec<_>>().join(" ")
    }

    /// IPA between slashes, then plain letters; the letters alone where IPA cannot be shown.
    pub fn both(&self, page: &OutputPage) -> String {
        let plain = self.plain_letters();
        if !page.unicode {
            return plain;
        }
        format!("/{}/   {plain}", self.ipa())
    }

    /// IPA, without slashes. A point parts two sounds whose signs together are those of one, as in *nutshell*.
    pub fn ipa(&self) -> String {
        let mut text = String::new();
        for (at, sound) in self.said.sounds().iter().enumerate() {
            let before = at.checked_sub(1).map(|before| self.said.sounds()[before]);
            if before.is_some_and(|before| APART.contains(&(before, *sound))) {
                text.push('.');
            }
            text.push_str(&self.entry(at).ipa);
        }
        text
    }

    /// Plain letters that are read back, a hyphen between counted sounds: `b-ar-n`, `dh-i-s`.
    pub fn plain_letters(&self) -> String {
        let plain = self.units.iter().map(|range| self.plain(range, |e| &e.respelling));
        plain.collect::<Vec<_>>().join("-")
    }

    /// Each counted sound in IPA and in plain letters as people read them: `th` in *this* too.
    pub fn each(&self) -> Vec<(String, String)> {
        let ipa = |range: &Range<usize>| range.clone().map(|i| self.entry(i).ipa.as_str()).collect();
        let units = self.units.iter();
        units
            .map(|range| (ipa(range), self.plain(range, SoundEntry::letters)))
            .collect()
    }

    /// One counted sound: `ar` where the inventory has it as one, the letters of each sound in it where not.
    fn plain(&self, range: &Range<usize>, letters: fn(&SoundEntry) -> &str) -> String {
        let whole = (range.len() > 1)
            .then(|| inventory::of_unit(&self.said.sounds()[range.clone()]))
            .flatten();
        let each = || range.clone().map(|i| letters(self.entry(i))).collect();
        whole.map_or_else(each, |entry| letters(entry).to_owned())
    }

    /// The sound's entry, the weak form of AH and ER where the sound has no stress.
    fn entry(&self, at: usize) -> &'static SoundEntry {
        let (sound, stress) = (self.said.sounds()[at], self.said.stress()[at]);
        let weak = (stress == 0 && sound.is_vowel())
            .then(|| inventory::find(&format!("{sound}0")))
            .flatten();
        weak.unwrap_or_else(|| inventory::of(sound))
    }
}

/// A sound's IPA between slashes; nothing where it cannot be shown.
pub fn slashed(page: &OutputPage, entry: &SoundEntry) -> String {
    if page.unicode {
        format!("/{}/", entry.ipa)
    } else {
        String::new()
    }
}

/// With a capital at the start.
pub fn capital(text: &str) -> String {
    let mut letters = text.chars();
    let first = letters.next().map(|c| c.to_uppercase().to_string());
    first.unwrap_or_default() + letters.as_str()
}

/// `1 word`, `2 words`.
pub fn many<N: fmt::Display + PartialEq + From<u8>>(count: N, what: &str) -> String {
    let s = if count == N::from(1) { "" } else { "s" };
    format!("{count} {what}{s}")
}

/// The sounds with the word's own stress where the dictionary has them; every vowel strong where it has not.
pub fn with_stress(word: Option<&str>, sounds: &[Sound]) -> Pronunciation {
    Pronunciation::of(word.unwrap_or_default(), sounds)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Common practice, no source: lessons that count ar as one sound write barn b-ar-n.
    #[test]
    fn sounds_that_count_as_one_are_written_as_one() {
        let said = || with_stress(Some("barn"), &[Sound::B, Sound::AA, Sound::R, Sound::N]);
        let phonics = CountedSounds::new("barn", said(), &Rules::named("phonics").unwrap());
        assert_eq!(phonics.arpabet(), "B AA+R N");
        assert_eq!(phonics.both(&OutputPage::plain(false)), "b-ar-n");
        assert_eq!(
            CountedSounds::new("barn", said(), &Rules::default()).arpabet(),
            "B AA R N"
        );
    }
}
