//! Prefixes, bases and suffixes, and sums of them: how the spelling joins, and which sounds change.
//!
//! Parts, meanings and sums are chosen by hand (`data/tables/parts.toml`). What happens where parts meet follows the rules
//! every lesson has (common practice, no source), and a sum holds only if the word that comes out is in the dictionary. The
//! change of sounds is read from the dictionary: the base by itself against the base inside the word.
//!
//! ```
//! use soundbead_data::parts::{self, Join};
//!
//! let sum = parts::Sum::read("celebrate+ion").unwrap();
//! assert_eq!((sum.word.as_str(), sum.joins[0]), ("celebration", Join::DropsE));
//! assert_eq!(sum.heard().unwrap().to_string(), "T becomes SH, and the stress moves");
//! ```

use std::fmt;
use std::sync::LazyLock;

use serde::Deserialize;

use crate::Sound;
use crate::lexicon::{self, Pronunciation};

/// From which language a part came into English.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Deserialize)]
pub enum Origin {
    /// Old English.
    #[serde(rename = "Anglo-Saxon")]
    AngloSaxon,
    /// Latin, often by way of French.
    Latin,
    /// Greek, often by way of Latin.
    Greek,
}

impl fmt::Display for Origin {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(match self {
            Origin::AngloSaxon => "Anglo-Saxon",
            Origin::Latin => "Latin",
            Origin::Greek => "Greek",
        })
    }
}

/// A prefix (`un-`), a suffix (`-ness`) or a base (`port`).
#[derive(Clone, Debug, PartialEq, Eq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Part {
    /// With a hyphen on the side where something joins it.
    pub form: String,
    /// Whence it came.
    pub origin: Origin,
    /// What it means, in a few plain words.
    pub meaning: String,
    /// Sums with it, as [`Sum::read`] takes them.
    pub sums: Vec<String>,
}

/// What the spelling does where a part meets the next.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Join {
    /// Nothing: *un* + *happy*.
    Plain,
    /// The silent e before a vowel goes: *make* + *ing*.
    DropsE,
    /// The last consonant is written twice: *hop* + *ing*.
    Doubles,
    /// y becomes i: *happy* + *ness*.
    YToI,
    /// The le or y before -ly goes: *gentle* + *ly*; or a last vowel, as in *piano* + *ist*.
    DropsEnd,
}

impl fmt::Display for Join {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Join::Plain => "nothing changes",
            Join::DropsE => "the silent e goes",
            Join::Doubles => "the last letter is doubled",
            Join::YToI => "y becomes i",
            Join::DropsEnd => "the end goes",
        })
    }
}

/// Parts put together.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Sum {
    /// The parts, without hyphens.
    pub parts: Vec<String>,
    /// What happens between each and the next.
    pub joins: Vec<Join>,
    /// The word that comes out; the dictionary has it.
    pub word: String,
}

/// How a base sounds inside the word, against the base by itself.
#[derive(Clone, Debug, PartialEq, Eq, Default)]
pub struct Heard {
    /// These sounds of it became those, in order; `None` where the word has none any more.
    pub changes: Vec<(Sound, Option<Sound>)>,
    /// Whether another of its syllables bears the main stress, or none does.
    pub stress_moves: bool,
}

impl fmt::Display for Heard {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let one = |(from, to): &(Sound, Option<Sound>)| match to {
            Some(to) => format!("{from} becomes {to}"),
            None => format!("{from} goes"),
        };
        let changes: Vec<String> = self.changes.iter().map(one).collect();
        match (changes.is_empty(), self.stress_moves) {
            (true, false) => f.write_str("no sound changes"),
            (true, true) => f.write_str("the stress moves"),
            (false, false) => f.write_str(&changes.join(", ")),
            (false, true) => write!(f, "{}, and the stress moves", changes.join(", ")),
        }
    }
}

static TABLE: LazyLock<Vec<Part>> = LazyLock::new(|| {
    #[derive(Deserialize)]
    struct Table {
        part: Vec<Part>,
    }
    // Cannot fail in a build whose tests have passed: the text is fixed when the program is built.
    let table: Table = toml::from_str(include_str!("../tables/parts.toml")).expect("tables/parts.toml is well formed");
    table.part
});

/// Every part: Anglo-Saxon, Latin, Greek.
pub fn all() -> &'static [Part] {
    &TABLE
}

/// The part of this form, with or without its hyphen.
pub fn find(form: &str) -> Option<&'static Part> {
    let bare = form.trim_matches('-');
    all()
        .iter()
        .find(|p| p.form == form)
        .or_else(|| all().iter().find(|p| p.form.trim_matches('-') == bare))
}

impl Sum {
    /// Adds up parts with `+` between them; `None` when no way of joining them makes a word of the dictionary.
    pub fn read(text: &str) -> Option<Sum> {
        let parts: Vec<String> = text.split('+').map(str::to_owned).collect();
        let mut words: Vec<(String, Vec<Join>)> = vec![(parts[0].clone(), Vec::new())];
        for part in &parts[1..] {
            words = words
                .iter()
                .flat_map(|(so_far, joins)| {
                    joined(so_far, part)
                        .into_iter()
                        .map(|(word, join)| (word, [joins.as_slice(), &[join]].concat()))
                })
                .collect();
        }
        let known = words.into_iter().find(|(word, _)| lexicon::look_up(word).is_some());
        known.map(|(word, joins)| Sum { parts, joins, word })
    }

    /// What happens to the letters where parts meet, then to the sounds of the base, each in a few words.
    pub fn changes(&self) -> Vec<String> {
        let joins = self.joins.iter().filter(|j| **j != Join::Plain);
        let heard = self.heard().map(|h| h.to_string());
        joins.map(ToString::to_string).chain(heard).collect()
    }

    /// How the longest part that is a word sounds inside the sum; `None` where none is one.
    pub fn heard(&self) -> Option<Heard> {
        let affix = |part: &str| {
            all()
                .iter()
                .any(|p| p.form.contains('-') && p.form.trim_matches('-') == part)
        };
        let words = self.parts.iter().filter(|p| !affix(p) && lexicon::look_up(p).is_some());
        let base = words.max_by_key(|p| p.len())?;
        let first = *base == self.parts[0];
        let last = Some(base) == self.parts.last();
        let alone: Vec<Pronunciation> = lexicon::look_up(base)?.variants().collect();
        let inside: Vec<Pronunciation> = lexicon::look_up(&self.word)?.variants().collect();
        let pairs = alone
            .iter()
            .flat_map(|a| inside.iter().map(move |i| heard(a, i, first, last)));
        pairs.min_by_key(|h| (h.changes.len(), h.stress_moves))
    }
}

/// The ways of writing `end` after `start`, the likeliest first.
fn joined(start: &str, end: &str) -> Vec<(String, Join)> {
    let vowel = |c: char| "aeiou".contains(c);
    let first = end.chars().next().unwrap_or(' ');
    let letters: Vec<char> = start.chars().rev().collect();
    let at = |i: usize| letters.get(i).copied().unwrap_or(' ');
    let mut ways = Vec::new();
    let shorter = &start[..start.len() - usize::from(!start.is_empty())];
    if at(0) == 'e' && (vowel(first) || first == 'y') {
        ways.push((format!("{shorter}{end}"), Join::DropsE));
    }
    if at(0) == 'y' && !vowel(at(1)) && first != 'i' {
        ways.push((format!("{shorter}i{end}"), Join::YToI));
    }
    if end == "ly" && start.ends_with("le") {
        ways.push((format!("{}{end}", &start[..start.len() - 2]), Join::DropsEnd));
    }
    let doubles = !vowel(at(0)) && !"wxy".contains(at(0)) && vowel(at(1)) && !vowel(at(2));
    if doubles && (vowel(first) || first == 'y') {
        ways.push((format!("{start}{}{end}", at(0)), Join::Doubles));
    }
    ways.push((format!("{start}{end}"), Join::Plain));
    if (vowel(at(0)) || at(0) == 'y') && vowel(first) {
        ways.push((format!("{shorter}{end}"), Join::DropsEnd));
    }
    ways
}

/// The base against the front, the end or (neither `first` nor `last`) any stretch of the word.
fn heard(alone: &Pronunciation, inside: &Pronunciation, first: bool, last: bool) -> Heard {
    let (a, b) = (alone.sounds(), inside.sounds());
    let starts: Vec<usize> = match (first, last) {
        (true, _) => vec![0],
        (_, true) => vec![b.len().saturating_sub(a.len())],
        _ => (0..b.len()).collect(),
    };
    let best = starts.into_iter().map(|start| {
        let window = &b[start..b.len().min(start + a.len())];
        let apart = a
            .iter()
            .zip(window)
            .filter(|(x, y)| x != y)
            .map(|(x, y)| (*x, Some(*y)));
        let gone = a.iter().skip(window.len()).map(|s| (*s, None));
        (apart.chain(gone).collect::<Vec<_>>(), start)
    });
    let (changes, start) = best.min_by_key(|(changes, _)| changes.len()).unwrap_or_default();
    let main = |said: &Pronunciation| said.stress().iter().position(|&mark| mark == 1);
    let (was, is) = (main(alone), main(inside).and_then(|at| at.checked_sub(start)));
    // A base of one syllable has nowhere to move its stress to.
    let syllables = a.iter().filter(|s| s.is_vowel()).count();
    Heard {
        changes,
        stress_moves: syllables > 1 && was != is,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_sum_makes_a_word_with_its_parts() {
        assert!(all().len() > 40);
        for part in all() {
            assert!(!part.meaning.is_empty() && part.sums.len() >= 2, "{}", part.form);
            let bad: Vec<_> = part.sums.iter().filter(|text| Sum::read(text).is_none()).collect();
            assert!(bad.is_empty(), "{}: {bad:?} make no word", part.form);
            for text in &part.sums {
                let sum = Sum::read(text).unwrap();
                assert!(sum.parts.len() >= 2 && sum.joins.len() + 1 == sum.parts.len());
                // The first letters of every part stand in the word, in order.
                let mut rest = sum.word.as_str();
                for piece in &sum.parts {
                    let start = &piece[..piece.len().min(2)];
                    let at = rest.find(&start[..1]).unwrap_or_else(|| panic!("{text} {}", sum.word));
                    rest = &rest[at + 1..];
                }
            }
        }
        assert_eq!(Sum::read("un+snorb"), None);
    }

    /// Facts of the trade (common practice, no source).
    #[test]
    fn known_joins_and_changes_of_sound() {
        for (text, word, join) in [
            ("hop+ing", "hopping", Join::Doubles),
            ("make+ing", "making", Join::DropsE),
            ("happy+ness", "happiness", Join::YToI),
            ("carry+ing", "carrying", Join::Plain),
            ("gentle+ly", "gently", Join::DropsEnd),
            ("play+ful", "playful", Join::Plain),
            ("beauty+ful", "beautiful", Join::YToI),
        ] {
            let sum = Sum::read(text).unwrap();
            assert_eq!((sum.word.as_str(), sum.joins[0]), (word, join), "{text}");
        }
        let heard = |text: &str| Sum::read(text).unwrap().heard().unwrap();
        assert_eq!(heard("act+ion").to_string(), "T becomes SH");
        assert_eq!(heard("music+ian").to_string(), "K becomes SH, and the stress moves");
        let city = heard("electric+ity");
        assert!(city.changes.contains(&(Sound::K, Some(Sound::S))), "{city}");
        assert_eq!(heard("depart+ure").to_string(), "T becomes CH");
        assert_eq!(heard("help+ful"), Heard::default());
    }
}
