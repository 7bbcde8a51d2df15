//! Syllables against the dictionary's own vowels, and onsets against what can begin an English word.

use std::collections::BTreeSet;

use soundbead_data::lexicon::{self, Pronunciation};
use soundbead_data::rule::Fire;
use soundbead_data::syllable::{syllables, syllables_by};

fn first(word: &str) -> Pronunciation {
    lexicon::look_up(word).unwrap().variants().next().unwrap()
}

/// A syllable has one vowel, so there are as many as vowels; together they are the whole word, sounds and letters.
#[test]
fn syllables_of_the_whole_dictionary() {
    for entry in lexicon::words() {
        for said in entry.variants() {
            let parts = syllables_by(entry.spelling(), &said, Fire::Two);
            let vowels = said.sounds().iter().filter(|s| s.is_vowel()).count();
            assert_eq!(parts.len(), vowels, "{entry:?}");
            let mut next = 0;
            for part in &parts {
                assert_eq!((part.onset.start, part.onset.end), (next, part.rime.start), "{entry:?}");
                assert!(said.sounds()[part.rime.start].is_vowel(), "{entry:?}");
                next = part.rime.end;
            }
            assert!(parts.is_empty() || next == said.sounds().len(), "{entry:?}");
            let letters: Option<String> = parts.iter().map(|p| p.letters.as_deref()).collect();
            assert!(
                parts.is_empty() || letters.is_none_or(|l| l == entry.spelling()),
                "{entry:?} {parts:?}"
            );
        }
    }
}

/// Onsets inside words are onsets that also begin words of the dictionary: the maximal onset principle
/// (Kahn 1976) asks for nothing else.
#[test]
fn onsets_inside_words_also_begin_words() {
    let common = || lexicon::words().filter(|e| e.zipf() >= 3.0);
    let mut begin = BTreeSet::new();
    let mut inside = BTreeSet::new();
    for entry in common() {
        let said = entry.variants().next().unwrap();
        for (i, part) in syllables_by(entry.spelling(), &said, Fire::Two).iter().enumerate() {
            let onset = said.sounds()[part.onset.clone()].to_vec();
            if i == 0 {
                begin.insert(onset)
            } else {
                inside.insert(onset)
            };
        }
    }
    let strangers: Vec<_> = inside.difference(&begin).collect();
    assert!(strangers.is_empty(), "{strangers:?}");
}

/// Numbers of syllables that every teacher counts alike: common practice, no source.
#[test]
fn known_counts() {
    for (word, count) in [
        ("cat", 1),
        ("through", 1),
        ("table", 2),
        ("rabbit", 2),
        ("elephant", 3),
        ("banana", 3),
        ("watermelon", 4),
    ] {
        assert_eq!(syllables(word, &first(word)).len(), count, "{word}");
    }
}
