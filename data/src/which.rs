//! Which pronunciation, and which spelling: words that are written alike and said in two ways, and British spellings.
//!
//! Wherever a person chooses a word, [`ask`] tells whether to ask which one is meant, with a cue for each way.
//!
//! ```
//! use soundbead_data::which;
//!
//! let wind = which::ask("wind").unwrap();
//! assert_eq!(wind.len(), 2);
//! assert_eq!((wind[0].said.to_string().as_str(), wind[0].cue), ("W IH1 N D", "moving air"));
//! assert!(which::ask("pig").is_none());
//! assert_eq!(which::american("plough"), Some("plow"));
//! ```

use std::collections::HashMap;
use std::sync::LazyLock;

use crate::Sound;
use crate::lexicon::Pronunciation;

/// One way of saying a word that is said in several, and what it then means.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct HomographReading {
    /// Its sounds.
    pub said: Pronunciation,
    /// What the word means when it is said so, in a few words: `moving air`.
    pub cue: &'static str,
}

/// `data/tables/which.tsv`, read once.
static WAYS: LazyLock<HashMap<&'static str, Vec<HomographReading>>> = LazyLock::new(|| {
    let mut ways: HashMap<&'static str, Vec<HomographReading>> = HashMap::new();
    let lines = include_str!("../tables/which.tsv").lines();
    for line in lines.filter(|line| !line.starts_with('#')) {
        // Cannot fail in a build whose tests have passed: the text is fixed when the program is built.
        let (word, way) = read_way(line).expect("tables/which.tsv is well formed");
        ways.entry(word).or_default().push(way);
    }
    ways
});

/// Word, sounds, cue.
fn read_way(line: &'static str) -> Option<(&'static str, HomographReading)> {
    let mut fields = line.split('\t');
    let (word, sounds, cue) = (fields.next()?, fields.next()?, fields.next()?);
    Some((
        word,
        HomographReading {
            said: pronunciation(sounds)?,
            cue,
        },
    ))
}

/// Sounds from ARPAbet with stress digits.
pub(crate) fn pronunciation(text: &str) -> Option<Pronunciation> {
    let names = || text.split(' ');
    let sounds: Option<Vec<Sound>> = names().map(|name| name.parse().ok()).collect();
    let digit = |name: &str| name.bytes().last().filter(u8::is_ascii_digit).map_or(0, |b| b - b'0');
    Some(Pronunciation::new(sounds?, &names().map(digit).collect::<Vec<u8>>()))
}

/// The ways of saying `word` (small letters) that mean different things, the likelier for a child first; `None` where there
/// is nothing to ask.
pub fn ask(word: &str) -> Option<&'static [HomographReading]> {
    WAYS.get(word).map(Vec::as_slice)
}

/// What `word` means when it is said so; `None` where it means one thing only, or is not said so. Where two ways differ in stress
/// alone (*incline*), the main stress decides.
pub fn cue(word: &str, said: &Pronunciation) -> Option<&'static str> {
    let main = |said: &Pronunciation| said.stress().iter().position(|&mark| mark == 1);
    let mut ways = ask(word)?.iter().filter(|way| way.said.sounds() == said.sounds());
    let exact = ways.clone().find(|way| main(&way.said) == main(said));
    exact.or_else(|| ways.next()).map(|way| way.cue)
}

/// Every word that is asked about, in no order.
pub fn words() -> impl Iterator<Item = &'static str> {
    WAYS.keys().copied()
}

/// The dictionary's ways of saying `word`, those of [`ask`] first and in its order; none is added.
pub(crate) fn sorted(word: &str, mut variants: Vec<Pronunciation>) -> Vec<Pronunciation> {
    if let Some(ways) = ask(word) {
        let place = |said: &Pronunciation| ways.iter().position(|way| way.said.sounds() == said.sounds());
        variants.sort_by_key(|said| place(said).unwrap_or(ways.len()));
    }
    variants
}

/// As [`sorted`], with those ways that the dictionary lacks.
pub(crate) fn completed(word: &str, variants: Vec<Pronunciation>) -> Vec<Pronunciation> {
    let mut all: Vec<Pronunciation> = ask(word)
        .unwrap_or_default()
        .iter()
        .map(|way| way.said.clone())
        .collect();
    for said in variants {
        if !all.iter().any(|known| known.sounds() == said.sounds()) {
            all.push(said);
        }
    }
    all
}

/// `data/tables/british.tsv`, read once.
static BRITISH: LazyLock<HashMap<&'static str, &'static str>> = LazyLock::new(|| {
    let lines = include_str!("../tables/british.tsv").lines();
    lines.filter_map(|line| line.split_once('\t')).collect()
});

/// The American spelling of a word that `word` (small letters) spells as British books do; `None` for any other word.
///
/// Such words are not proposed in chains and lists.
pub fn american(word: &str) -> Option<&'static str> {
    BRITISH.get(word).copied()
}

/// Whether a word said with these sounds has a vowel that many Americans do not tell from its neighbor: that of *cot* or
/// *caught*, where no r follows.
pub fn cot_or_caught(sounds: &[Sound]) -> bool {
    let apart = |(i, s): (usize, &Sound)| matches!(*s, Sound::AO) && sounds.get(i + 1) != Some(&Sound::R);
    sounds.iter().enumerate().any(apart)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{lexicon, spelling, word};

    /// The words that the request names; both ways of each are dictionary pronunciations or can be laid under the letters.
    #[test]
    fn homographs_ask_which() {
        let named = "wind live read lead tear wound use house close bow row record present object content desert minute dove \
                     sow bass invalid does sewer";
        for word in named.split_whitespace() {
            assert!(ask(word).is_some_and(|ways| ways.len() >= 2), "{word}");
        }
        for word in words() {
            let ways = ask(word).unwrap();
            assert!(ways.len() >= 2, "{word}");
            for way in ways {
                assert!(
                    spelling::boxes(word, way.said.sounds()).is_some(),
                    "{word} {}",
                    way.said
                );
                assert!(way.said.stress().contains(&1) && way.cue.len() <= 60, "{word}");
                assert_eq!(cue(word, &way.said), Some(way.cue), "{word}");
            }
        }
    }

    #[test]
    fn the_word_that_is_found_has_both_ways_first() {
        let found = word::find("Live", &word::Overrides::default()).unwrap();
        let first: Vec<String> = found.variants.iter().take(2).map(ToString::to_string).collect();
        assert_eq!(first, ["L IH1 V", "L AY1 V"]);
    }

    /// Common practice, no source: the days are taught with the day of *holiday*.
    #[test]
    fn days_end_alike() {
        for day in [
            "monday",
            "tuesday",
            "wednesday",
            "thursday",
            "friday",
            "saturday",
            "sunday",
        ] {
            let said = lexicon::look_up(day).unwrap().variants().next().unwrap();
            assert!(said.sounds().ends_with(&[Sound::D, Sound::EY]), "{day}: {said}");
        }
    }

    #[test]
    fn british_spellings_are_not_proposed() {
        let list = crate::chain::WordList::default().words();
        for word in ["travelling", "learnt", "plough", "colour"] {
            assert!(american(word).is_some(), "{word}");
            assert!(!list.iter().any(|listed| listed.spelling == word), "{word}");
        }
        assert!(
            BRITISH
                .iter()
                .all(|(british, american)| british != american && !american.is_empty())
        );
    }
}
