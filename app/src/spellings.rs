//! How each sound is spelled in the common words of the dictionary, and how often.

use std::collections::{HashMap, HashSet};
use std::ops::Range;
use std::sync::LazyLock;

use soundbead_data::inventory::{self, SoundEntry};
use soundbead_data::lexicon::{self, Pronunciation};
use soundbead_data::sound::Sound;
use soundbead_data::spelling::{self, LetterBox};

/// One spelling of a sound.
#[derive(Clone, Debug, PartialEq)]
pub struct SoundSpelling {
    /// The letters; `a_e` for a split vowel.
    pub letters: String,
    /// Share of the sound's places spelled so, 0 to 1.
    pub share: f32,
    /// Words that children know, at most three.
    pub examples: Vec<String>,
}

/// The spellings of every sound.
#[derive(Clone, Debug, Default)]
pub struct Spellings {
    /// By place in the inventory.
    by_entry: Vec<Vec<SoundSpelling>>,
    words: usize,
}

/// Words at least this common count (Zipf scale): about the twelve thousand commonest.
const COMMON: f32 = 3.6;

/// Words fit for a lesson, written down for this project; examples come from here alone, so that none startles a child.
static FAMILIAR: LazyLock<HashSet<&'static str>> =
    LazyLock::new(|| include_str!("spellings/familiar.txt").split_whitespace().collect());

/// What is gathered of one spelling.
#[derive(Default)]
struct SpellingTally {
    times: usize,
    /// Examples with how common they are.
    examples: Vec<(f32, String)>,
}

impl Spellings {
    /// Counts them, telling how far it is (0 to 1); `None` when `go_on` says to stop.
    pub fn count(go_on: impl Fn(f32) -> bool) -> Option<Spellings> {
        let mut tallies: Vec<HashMap<String, SpellingTally>> = Vec::new();
        tallies.resize_with(inventory::cards().count(), HashMap::new);
        let mut words = 0;
        for (i, entry) in lexicon::words().enumerate() {
            if i % 4096 == 0 && !go_on((i as f32 / 126_000.0).min(1.0)) {
                return None;
            }
            let (word, zipf) = (entry.spelling(), entry.zipf());
            if zipf < COMMON || word.len() < 2 || !word.bytes().all(|b| b.is_ascii_lowercase()) {
                continue;
            }
            let Some(said) = entry.variants().next() else { continue };
            let Some(boxes) = spelling::boxes(word, said.sounds()) else {
                continue;
            };
            words += 1;
            for (place, letters) in spelled(&said, &boxes) {
                let tally = tallies[place].entry(letters).or_default();
                tally.times += 1;
                if FAMILIAR.contains(word) {
                    tally.examples.push((zipf, word.to_owned()));
                }
            }
        }
        let by_entry = tallies.into_iter().map(ways).collect();
        Some(Spellings { by_entry, words })
    }

    /// The spellings of a sound, commonest first; empty if it is not in the inventory.
    pub fn of(&self, entry: &SoundEntry) -> &[SoundSpelling] {
        let at = inventory::cards().position(|e| std::ptr::eq(e, entry));
        at.and_then(|at| self.by_entry.get(at)).map_or(&[], Vec::as_slice)
    }

    /// How many words were counted.
    pub fn words(&self) -> usize {
        self.words
    }
}

/// Every sound of a word, as places in the inventory, with its letters; a vowel and its r also together.
fn spelled(said: &Pronunciation, boxes: &[LetterBox]) -> Vec<(usize, String)> {
    let mut found = Vec::new();
    for (i, one) in boxes.iter().enumerate() {
        // A letter over two sounds has a place only where the two have a card, as long u has.
        if let Some(place) = place(said, one.sounds.clone()) {
            found.push((place, one.letters.clone()));
        }
        if one.sounds.len() != 1 {
            continue;
        }
        if let Some(next) = boxes.get(i + 1)
            && next.sounds.len() == 1
            && said.sounds()[next.sounds.start] == Sound::R
            && let Some(place) = place(said, one.sounds.start..next.sounds.end)
        {
            found.push((place, joined(&one.letters, &next.letters)));
        }
    }
    found
}

/// The place in the inventory of a sound, or of a vowel and r that count as one there.
fn place(said: &Pronunciation, range: Range<usize>) -> Option<usize> {
    let stress = said.stress()[range.start];
    let named = match said.sounds()[range.clone()] {
        [Sound::AH | Sound::ER] => format!("{}{}", said.sounds()[range.start], u8::from(stress > 0)),
        _ => {
            let names = said.sounds()[range].iter().map(|s| s.arpabet());
            names.collect::<Vec<_>>().join(" ")
        }
    };
    let entry = inventory::find(&named)?;
    inventory::cards().position(|e| std::ptr::eq(e, entry))
}

/// `a` and `r` make `ar`, `a_e` and `r` make `are`.
fn joined(vowel: &str, r: &str) -> String {
    match vowel.split_once('_') {
        Some((own, e)) => format!("{own}{r}{e}"),
        None => format!("{vowel}{r}"),
    }
}

fn ways(tally: HashMap<String, SpellingTally>) -> Vec<SoundSpelling> {
    let all: usize = tally.values().map(|t| t.times).sum();
    let mut ways: Vec<SoundSpelling> = tally
        .into_iter()
        .map(|(letters, mut tally)| {
            tally.examples.sort_by(|a, b| b.0.total_cmp(&a.0).then(a.1.cmp(&b.1)));
            SoundSpelling {
                letters,
                share: tally.times as f32 / all as f32,
                examples: tally.examples.into_iter().take(3).map(|(_, word)| word).collect(),
            }
        })
        .collect();
    ways.sort_by(|a, b| b.share.total_cmp(&a.share).then(a.letters.cmp(&b.letters)));
    ways
}

#[cfg(test)]
mod tests {
    use super::*;

    fn all() -> Spellings {
        Spellings::count(|_| true).expect("not stopped")
    }

    fn shares(all: &Spellings, arpabet: &str) -> Vec<(String, f32)> {
        let entry = inventory::find(arpabet).expect("in the inventory");
        all.of(entry).iter().map(|w| (w.letters.clone(), w.share)).collect()
    }

    /// Common practice, no source: the spelling that lessons teach first is the commonest, and the well-known others are
    /// among the first six.
    #[test]
    fn the_usual_spellings_come_first() {
        let all = all();
        assert!((8_000..16_000).contains(&all.words()), "{}", all.words());
        for (arpabet, first, others) in [
            ("F", "f", &["ff", "ph"][..]),
            ("K", "c", &["k", "ck", "ch"]),
            ("SH", "ti", &["sh", "ci", "ssi"]),
            ("EY", "a_e", &["ai", "ay"]),
            ("OW", "o", &["o_e", "ow"]),
            ("AA R", "ar", &[]),
            ("JH", "g", &["j"]),
            ("UH", "oo", &["u"]),
            ("NG", "ng", &["n"]),
            ("Y UW", "u", &["u_e", "ew"]),
        ] {
            let found = shares(&all, arpabet);
            let names: Vec<&str> = found.iter().take(6).map(|(l, _)| l.as_str()).collect();
            let top = names.iter().take(2).any(|l| *l == first);
            assert!(top, "{arpabet}: {found:?}");
            for other in others {
                assert!(names.contains(other), "{arpabet}: {other} not in {found:?}");
            }
            let sum: f32 = found.iter().map(|(_, share)| share).sum();
            assert!((sum - 1.0).abs() < 1e-3, "{arpabet}: {sum}");
        }
    }

    /// Every sound has a commonest spelling with an example that has it.
    #[test]
    fn every_sound_has_spellings_and_examples() {
        let all = all();
        for entry in inventory::cards() {
            let ways = all.of(entry);
            assert!(
                !ways.is_empty() && !ways[0].examples.is_empty(),
                "{}: {ways:?}",
                entry.ipa
            );
        }
    }

    #[test]
    fn counting_stops_when_told() {
        assert!(Spellings::count(|share| share < 0.3).is_none());
    }
}
