//! Which neighbouring sounds a rule draws together.

use super::{Counted, Fire, Rules};
use crate::Sound;
use std::ops::Range;

/// For each sound but the last, whether it and the next belong to one counted sound.
pub(super) fn joins(rules: &Rules, sounds: &[Sound], letters: &[(&str, Range<usize>)]) -> Vec<bool> {
    let word = CountedWord { sounds, letters };
    let mut joins = vec![false; sounds.len().saturating_sub(1)];
    for (at, join) in joins.iter_mut().enumerate() {
        *join = (rules.x == Counted::One && word.x(at))
            || (rules.qu == Counted::One && word.qu(at))
            || (rules.r_vowels == Counted::One && word.r_vowel(at))
            || (rules.yu == Counted::One && word.yu(at))
            || (rules.syllabic == Counted::One && word.syllabic(at))
            || (rules.fire == Fire::OneSound && word.fire(at));
    }
    // Last, for a k that x or qu has taken (lynx, banquet) is no longer there to be glued to its ng.
    for at in 0..joins.len() {
        let taken = joins.get(at + 1).copied().unwrap_or(false);
        joins[at] |= rules.ngk == Counted::One && !taken && word.ngk(at);
    }
    joins
}

/// Whether the T or D at `at` is one that American speech taps (*water*, *ladder*, *party*).
///
/// Goes by neighbours, for want of stress: a vowel or r before, and after it a vowel that is mostly weak
/// (AH, ER, IH, IY, OW) but not the -AH N of *button*, where the t is held instead. So *routine* and *deter*,
/// with a strong vowel after the t, are wrongly taken for taps: about one in
/// ten of the taps found in everyday words.
pub(super) fn taps(sounds: &[Sound], at: usize) -> bool {
    let word = CountedWord { sounds, letters: &[] };
    let before = at.checked_sub(1).and_then(|i| word.get(i));
    let opens = before.is_some_and(|s| s.is_vowel() || (s == Sound::R && at > 1));
    let weak = matches!(
        word.get(at + 1),
        Some(Sound::AH | Sound::ER | Sound::IH | Sound::IY | Sound::OW)
    );
    let held = word.get(at + 1) == Some(Sound::AH) && word.get(at + 2) == Some(Sound::N);
    matches!(word.get(at), Some(Sound::T | Sound::D)) && opens && weak && !held
}

/// A pronunciation with what is known of its letters.
struct CountedWord<'a> {
    sounds: &'a [Sound],
    letters: &'a [(&'a str, Range<usize>)],
}

impl CountedWord<'_> {
    fn get(&self, at: usize) -> Option<Sound> {
        self.sounds.get(at).copied()
    }

    fn vowel(&self, at: usize) -> bool {
        self.get(at).is_some_and(Sound::is_vowel)
    }

    /// The letters over the sound at `at`, with the range of sounds that they spell.
    fn spelt(&self, at: usize) -> Option<&(&str, Range<usize>)> {
        self.letters.iter().find(|(_, range)| range.contains(&at))
    }

    /// Whether one box of letters that holds `part` is over both `at` and the next sound.
    fn boxed(&self, at: usize, part: &str) -> bool {
        self.spelt(at)
            .is_some_and(|(text, range)| range.contains(&(at + 1)) && text.to_lowercase().contains(part))
    }

    /// The k-s of *box*, g-z of *exam*, k-sh of *anxious*, where x spells both.
    fn x(&self, at: usize) -> bool {
        let opens = matches!(self.get(at), Some(Sound::K | Sound::G));
        let closes = matches!(self.get(at + 1), Some(Sound::S | Sound::Z | Sound::SH | Sound::ZH));
        opens && closes && self.boxed(at, "x")
    }

    /// The k-w of *queen*, where qu spells both.
    fn qu(&self, at: usize) -> bool {
        self.get(at) == Some(Sound::K) && self.get(at + 1) == Some(Sound::W) && self.boxed(at, "qu")
    }

    /// A vowel and the r that closes its syllable.
    ///
    /// Before another vowel the r opens the next syllable (*story*, *carry*) and stays apart. The vowels are those
    /// of *car*, *four*, *air*, *ear*, *tour*; IY and UW are among them only because the dictionary wavers between
    /// IH R and IY R (*near*, *hear*), UH R and UW R (*tour*, *poor*). AY and AW are not (*fire*, *hour*): there the
    /// vowel is heard whole before the r, and few lessons list them with the r-vowels; they have a rule of their own.
    fn r_vowel(&self, at: usize) -> bool {
        use Sound as S;
        let opens = matches!(
            self.get(at),
            Some(S::AA | S::AO | S::EH | S::IH | S::IY | S::UH | S::UW)
        );
        opens && self.get(at + 1) == Some(S::R) && !self.vowel(at + 2)
    }

    /// The long vowel and r of *fire* and *hour*, before no other vowel (*pirate*).
    ///
    /// Where the dictionary writes a weak er, its letters must hold no vowel of their own, since *flower* and *higher* are two
    /// beats; without letters such a word stays apart.
    fn fire(&self, at: usize) -> bool {
        let moving = matches!(self.get(at), Some(Sound::AY | Sound::AW));
        let bare = || {
            let own = self.spelt(at + 1);
            own.is_some_and(|(text, range)| range.len() == 1 && matches!(*text, "r" | "re"))
        };
        let closes = match self.get(at + 1) {
            Some(Sound::R) => true,
            Some(Sound::ER) => bare(),
            _ => false,
        };
        moving && closes && !self.vowel(at + 2)
    }

    /// The y-glide and vowel of *cute*, *few* and, with r, *cure*.
    ///
    /// With letters known: one box over both sounds, so that *use* and *popular* count and *you* does not. Without:
    /// Y with UW or UH after another sound; at the front of a word it may be a y with its own letter and stays apart.
    fn yu(&self, at: usize) -> bool {
        if self.get(at) != Some(Sound::Y) {
            return false;
        }
        match self.spelt(at) {
            Some((_, range)) => {
                range.contains(&(at + 1)) && matches!(self.get(at + 1), Some(Sound::UW | Sound::UH | Sound::AH))
            }
            None => at > 0 && matches!(self.get(at + 1), Some(Sound::UW | Sound::UH)),
        }
    }

    /// The weak vowel with the n, l or m after it, at the end of a word or before a consonant.
    ///
    /// Stress is not known here; taken for weak is an AH after an earlier vowel in the word and right after a
    /// stop, fricative or affricate (before l also a nasal: *tunnel*). Where letters are known, an AH with a u
    /// of its own is taken for strong (*begun*, *result*); where they are not, such words are wrongly joined: about
    /// one in fifty of the pairs found in everyday words.
    fn syllabic(&self, at: usize) -> bool {
        use Sound as S;
        let Some(before) = at.checked_sub(1).and_then(|i| self.get(i)) else {
            return false;
        };
        let after_nasal = matches!(before, S::M | S::N | S::NG);
        let after_glide = matches!(before, S::L | S::R | S::W | S::Y | S::HH);
        let fits = match self.get(at + 1) {
            Some(S::L) => true,
            Some(S::N | S::M) => !after_nasal,
            _ => false,
        };
        let own_u = self
            .spelt(at)
            .is_some_and(|(text, range)| range.len() == 1 && text.eq_ignore_ascii_case("u"));
        let later = self.sounds[..at].iter().any(|s| s.is_vowel());
        let closes = !self.vowel(at + 2);
        self.get(at) == Some(S::AH) && later && fits && closes && !before.is_vowel() && !after_glide && !own_u
    }

    /// The ng and k of *pink*; not where the k opens the next syllable (*monkey*, *banquet*).
    fn ngk(&self, at: usize) -> bool {
        let opens_next = self.vowel(at + 2) || self.get(at + 2) == Some(Sound::W);
        self.get(at) == Some(Sound::NG) && self.get(at + 1) == Some(Sound::K) && !opens_next
    }
}
