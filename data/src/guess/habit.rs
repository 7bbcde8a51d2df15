//! Habits of English spelling that a new word keeps, whatever rare words of the dictionary do (common practice, no source).

use crate::Sound;
use crate::spelling::LetterBox;

/// Where the vowel of a box is among the sounds; its first sound, where it has none.
pub(super) fn vowel_of(b: &LetterBox, sounds: &[Sound]) -> usize {
    let mut places = b.sounds.clone();
    places.find(|&at| sounds[at].is_vowel()).unwrap_or(b.sounds.start)
}

/// How many habits the sounds break under these letters.
pub(super) fn broken(text: &str, boxes: &[LetterBox], sounds: &[Sound]) -> usize {
    let one = sounds.iter().filter(|s| s.is_vowel()).count() == 1;
    let word = HabitWord {
        text,
        boxes,
        sounds,
        one,
    };
    let each = (0..boxes.len()).filter(|&i| {
        word.silent_first(i)
            || word.soft_end(i)
            || word.lone_r(i)
            || word.closed(i)
            || word.team(i)
            || word.weak_front(i)
    });
    each.count() + usize::from(word.length_before_ending())
}

/// The vowels that are tried.
const VOWELS: [Sound; 13] = [
    Sound::AA,
    Sound::AE,
    Sound::AH,
    Sound::AO,
    Sound::AW,
    Sound::AY,
    Sound::EH,
    Sound::ER,
    Sound::EY,
    Sound::IH,
    Sound::IY,
    Sound::OW,
    Sound::UW,
];

/// The same sounds with one vowel changed, a y before one left out, or an r in place of the vowel that has one.
pub(super) fn with_other_vowels(sounds: &[Sound]) -> Vec<Vec<Sound>> {
    let mut rows = Vec::new();
    for at in (0..sounds.len()).filter(|&at| sounds[at].is_vowel()) {
        let without = |from: usize| [&sounds[..from], &sounds[at..]].concat();
        let plain = if at > 0 && sounds[at - 1] == Sound::Y {
            vec![sounds.to_vec(), without(at - 1)]
        } else {
            vec![sounds.to_vec()]
        };
        for row in plain {
            let at = at - (sounds.len() - row.len());
            let others = VOWELS.into_iter().map(|vowel| {
                let mut other = row.clone();
                other[at] = vowel;
                // e and r that were two are one
                if vowel == Sound::ER && other.get(at + 1) == Some(&Sound::R) {
                    other.remove(at + 1);
                }
                other
            });
            rows.extend(others);
        }
        if sounds[at] == Sound::ER {
            let mut other = sounds.to_vec();
            other[at] = Sound::R;
            rows.push(other);
        }
    }
    rows
}

/// A word whose letters are laid over sounds.
struct HabitWord<'w> {
    text: &'w str,
    boxes: &'w [LetterBox],
    sounds: &'w [Sound],
    /// Whether it has one vowel.
    one: bool,
}

/// Vowels that name their letters.
fn long(said: &str) -> bool {
    matches!(said, "EY" | "IY" | "AY" | "OW" | "UW")
}

fn is_vowel_letter(letters: &str) -> bool {
    matches!(letters, "a" | "e" | "i" | "o" | "u" | "y")
}

impl HabitWord<'_> {
    fn letters(&self, i: usize) -> &str {
        self.boxes.get(i).map_or("", |b| b.letters.as_str())
    }

    /// The vowel of box `i`, or its first sound.
    fn said(&self, i: usize) -> &'static str {
        let at = vowel_of(&self.boxes[i], self.sounds);
        self.sounds.get(at).map_or("", |s| s.arpabet())
    }

    fn consonant(&self, i: usize) -> bool {
        let held = self.boxes.get(i).map(|b| &self.sounds[b.sounds.clone()]);
        held.is_some_and(|held| held.iter().all(|s| !s.is_vowel()))
    }

    /// The first letter of gn, kn, wr and ps is silent at the front of a word; the b of mb at its end; q is said with its u.
    fn silent_first(&self, i: usize) -> bool {
        let pair = [("g", "n"), ("k", "n"), ("w", "r"), ("p", "s")];
        let front = i == 0 && pair.contains(&(self.letters(0), self.letters(1)));
        let end = i + 1 == self.boxes.len() && self.letters(i) == "b" && i > 0 && self.letters(i - 1) == "m";
        front || end || self.letters(i) == "q"
    }

    /// A last ge is soft: *spunge*.
    fn soft_end(&self, i: usize) -> bool {
        let last = i + 1 == self.boxes.len();
        last && self.letters(i).ends_with("ge")
            && !["JH", "ZH"].contains(&self.sounds.last().map_or("", |s| s.arpabet()))
    }

    /// An r without a vowel letter is no syllable: *stright*. That of *acre* is.
    fn lone_r(&self, i: usize) -> bool {
        self.letters(i) == "r" && self.said(i) == "ER"
    }

    /// A vowel letter before a doubled consonant is short, and in a word of one vowel so is one that two consonants close. Long i and o
    /// stand before ld, nd and the like (*mild*, *cold*).
    fn closed(&self, i: usize) -> bool {
        let (vowel, next, after) = (self.letters(i), self.letters(i + 1), self.letters(i + 2));
        if !is_vowel_letter(vowel) || !self.consonant(i + 1) || next.starts_with(['r', 'w']) {
            return false;
        }
        let said = self.said(i);
        let doubled = matches!(next.as_bytes(), [a, b] if a == b) || next == "ck";
        let last = i + 2 == self.boxes.len();
        let shut = self.one && !next.ends_with('e') && (last || self.consonant(i + 2) && after != "e");
        // After u a y is heard before long u alone.
        let y = self.one && self.sounds[self.boxes[i].sounds.clone()].first() == Some(&Sound::Y);
        if y && said != "UW" {
            return true;
        }
        let open_ones = match vowel {
            "a" => ["nge", "ste"].contains(&format!("{next}{after}").as_str()),
            "i" => next == "gn" || ["ld", "nd"].contains(&format!("{next}{after}").as_str()),
            "o" => next.starts_with(['l', 's', 't']),
            _ => false,
        };
        (doubled || shut) && long(said) && !open_ones
    }

    /// Eigh is said as in *eight*; ou in a word of one vowel is not said as in *touch*, nor *our* as *er*; oo is short before k alone.
    fn team(&self, i: usize) -> bool {
        let (letters, said) = (self.letters(i), self.said(i));
        match letters {
            "eigh" => !["EY", "AY"].contains(&said),
            "ei" if self.letters(i + 1) == "gh" => !["EY", "AY"].contains(&said),
            "ou" if self.one => ["AH", "UW"].contains(&said) && !self.letters(i + 1).starts_with(['g', 'c']),
            "our" if self.one => said == "ER",
            "ur" if self.one => self.sounds[self.boxes[i].sounds.start] == Sound::Y && said == "ER",
            // fern: e and r are one
            "e" if self.one => self.letters(i + 1) == "r" && (i + 2 == self.boxes.len() || self.consonant(i + 2)),
            "oo" if self.one => said == "UH" && self.letters(i + 1) != "k",
            _ => false,
        }
    }

    /// The a of a first syllable that a consonant closes is no weak vowel: *lap-wing*; nor has a last *et* after a doubled letter a full
    /// one: *gus-set*.
    fn weak_front(&self, i: usize) -> bool {
        let first = !self.one && i > 0 && (0..i).all(|j| self.consonant(j));
        let after_w = first && self.letters(i - 1).starts_with(['w', 'q']);
        let weak = first && self.letters(i) == "a" && ["AH", "AA"].contains(&self.said(i)) && !after_w;
        let shut = self.consonant(i + 1)
            && self.consonant(i + 2)
            && !self.letters(i + 2).starts_with(['r', 'l'])
            && !self.letters(i + 1).starts_with(['r', 'l']);
        let et = self.letters(i) == "e" && self.text.ends_with("et") && i + 2 == self.boxes.len() && i > 0;
        let doubled = et && matches!(self.letters(i - 1).as_bytes(), [a, b] if a == b);
        weak && shut || doubled && self.said(i) == "EH"
    }

    /// Before -ing, -ed and -le one consonant stands after a long vowel: *scraping*, *table*.
    fn length_before_ending(&self) -> bool {
        let endings = ["ing", "ed", "le"];
        let Some(stem) = endings.iter().find_map(|end| self.text.strip_suffix(end)) else {
            return false;
        };
        let bytes = stem.as_bytes();
        let vowel = |b: &u8| b"aeiouy".contains(b);
        let [front @ .., v, c] = bytes else { return false };
        let single = vowel(v) && !vowel(c) && !b"rwxvsh".contains(c) && !front.is_empty() && !front.iter().any(vowel);
        let said = (0..self.boxes.len())
            .find(|&i| !self.consonant(i))
            .map_or("", |i| self.said(i));
        single && !long(said)
    }
}
