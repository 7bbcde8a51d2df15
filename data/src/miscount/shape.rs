//! What of a word can lead a count astray: its letters, its clusters, and the habits in which counting rules differ.

use std::ops::{Range, RangeInclusive};

use super::cause::Cause;
use crate::chain::{Place, Unit};
use crate::lexicon::Pronunciation;
use crate::spelling::{self, LetterBox};
use crate::{Rules, Sound, syllable};

/// A word with the sounds that were asked for.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct AskedWord {
    /// The word.
    pub word: String,
    /// Its sounds.
    pub sounds: Vec<Sound>,
}

/// A word under the rules by which it was counted.
pub struct WordShape {
    /// The word.
    pub word: String,
    /// Its counted sounds, each with its place.
    pub units: Vec<(Unit, Place)>,
    /// The letters of its sound boxes; empty where letters and sounds cannot be tied together.
    pub letters: Vec<String>,
    /// Its clusters: neighbouring consonants of one syllable, with the place in the syllable.
    pub clusters: Vec<(Vec<Unit>, Place)>,
    /// What each cause would make of it: the counts that would follow, never the expected one.
    pub astray: Vec<(Cause, RangeInclusive<u16>)>,
}

impl WordShape {
    /// The shape of a word under these rules.
    pub fn new(item: &AskedWord, rules: &Rules) -> WordShape {
        let boxes = spelling::boxes(&item.word, &item.sounds);
        let letters: Vec<(&str, Range<usize>)> = boxes
            .iter()
            .flatten()
            .map(|b| (b.letters.as_str(), b.sounds.clone()))
            .collect();
        let ranges = rules.units(&item.sounds, &letters);
        let count = ranges.len();
        let unit = |r: &Range<usize>| Unit::new(&item.sounds[r.clone()]).unwrap_or(item.sounds[r.start].into());
        let units = ranges
            .iter()
            .enumerate()
            .map(|(at, r)| (unit(r), Place::of(at, count)))
            .collect();
        let clusters = clusters(item, &ranges, boxes.as_deref().unwrap_or_default());
        let mut astray = letter_causes(&item.word, boxes.as_deref().unwrap_or_default(), &item.sounds, count);
        astray.extend(cluster_causes(&clusters, count));
        astray.extend(rule_causes(rules, &item.sounds, &letters, count));
        WordShape {
            word: item.word.clone(),
            letters: boxes.iter().flatten().map(|b| b.letters.clone()).collect(),
            units,
            clusters,
            astray,
        }
    }

    /// What this cause would make of the word; none where it makes no difference.
    pub fn by(&self, cause: Cause) -> Option<&RangeInclusive<u16>> {
        self.astray.iter().find(|(c, _)| *c == cause).map(|(_, counts)| counts)
    }
}

fn small(n: usize) -> u16 {
    u16::try_from(n).unwrap_or(u16::MAX)
}

fn less(count: usize, by: usize) -> u16 {
    small(count.saturating_sub(by))
}

/// Neighbouring counted consonants before and after the vowel of each syllable, two or more.
///
/// An r right after its vowel belongs to that vowel, whether the rules count it with it or not; and two consonants that one
/// box of letters spells (x, qu) are the business of their own rules. Lessons call neither a cluster (common practice, no
/// source).
fn clusters(item: &AskedWord, ranges: &[Range<usize>], boxes: &[LetterBox]) -> Vec<(Vec<Unit>, Place)> {
    let said = Pronunciation::of(&item.word, &item.sounds);
    let vowels_r = |at: usize| item.sounds[at] == Sound::R && at > 0 && item.sounds[at - 1].is_vowel();
    let boxed = |at: usize| boxes.iter().any(|b| b.sounds.len() > 1 && b.sounds.contains(&at));
    let mut found = Vec::new();
    for part in syllable::syllables(&item.word, &said) {
        for (within, place) in [(part.onset, Place::Initial), (part.rime, Place::Final)] {
            let inside = ranges.iter().filter(|r| within.start <= r.start && r.end <= within.end);
            let own = inside.filter(|r| !vowels_r(r.start) && !boxed(r.start));
            let units = own.filter_map(|r| Unit::new(&item.sounds[r.clone()]));
            let consonants: Vec<Unit> = units.filter(|u| !u.is_vowel()).collect();
            if consonants.len() > 1 {
                found.push((consonants, place));
            }
        }
    }
    found
}

/// Where clusters would be counted short. A child may take one cluster as one sound, or each of them.
fn cluster_causes(clusters: &[(Vec<Unit>, Place)], count: usize) -> Vec<(Cause, RangeInclusive<u16>)> {
    let nasal =
        |(units, place): &&(Vec<Unit>, Place)| *place == Place::Final && units[..units.len() - 1].iter().any(is_nasal);
    let liquid = |(units, _): &&(Vec<Unit>, Place)| units.iter().any(is_liquid);
    let merged: usize = clusters.iter().map(|(c, _)| c.len() - 1).sum();
    let other = clusters.iter().filter(|c| !nasal(c) && !liquid(c));
    let causes = [
        (Cause::Clusters, merged),
        (Cause::LostNasal, clusters.iter().filter(nasal).count()),
        (Cause::LostLiquid, clusters.iter().filter(liquid).count()),
        (Cause::OtherClusters, other.map(|(c, _)| c.len() - 1).sum()),
    ];
    let made = causes.into_iter().filter(|(_, missing)| *missing > 0);
    made.map(|(cause, missing)| (cause, less(count, missing)..=less(count, 1)))
        .collect()
}

fn is_nasal(unit: &Unit) -> bool {
    [Sound::M, Sound::N, Sound::NG].iter().any(|s| *unit == Unit::from(*s))
}

fn is_liquid(unit: &Unit) -> bool {
    [Sound::L, Sound::R].iter().any(|s| *unit == Unit::from(*s))
}

/// Where letters would be counted that are no sound of their own.
fn letter_causes(word: &str, boxes: &[LetterBox], sounds: &[Sound], count: usize) -> Vec<(Cause, RangeInclusive<u16>)> {
    let mut causes = Vec::new();
    let letters = word.chars().filter(char::is_ascii_alphabetic).count();
    if letters != count {
        causes.push((Cause::Letters, small(letters)..=small(letters)));
    }
    let (mut doubled, mut consonants, mut vowels, mut silent) = (0, 0, 0, 0);
    for b in boxes {
        let plain: Vec<char> = b.letters.chars().filter(char::is_ascii_alphabetic).collect();
        let vowel = sounds[b.sounds.clone()].iter().any(|s| s.is_vowel());
        let ends_in_e = plain.len() > 1 && plain.last() == Some(&'e');
        // A box of two sounds (x, qu) is the business of the counting rules.
        match plain.as_slice() {
            _ if b.letters.contains('_') => silent += 1,
            _ if !vowel && ends_in_e && b.sounds.end == sounds.len() => silent += 1,
            _ if b.sounds.len() > 1 => {}
            [a, b] if a == b && !vowel => doubled += 1,
            [_, _, ..] if !vowel => consonants += 1,
            [_, _, ..] => vowels += 1,
            _ => {}
        }
    }
    // A child may count one of them, or all.
    for (cause, extra) in [
        (Cause::SilentE, silent.min(1)),
        (Cause::DoubledLetters, doubled),
        (Cause::ConsonantTeams, consonants),
        (Cause::VowelTeams, vowels),
    ] {
        if extra > 0 {
            causes.push((cause, small(count + 1)..=small(count + extra)));
        }
    }
    causes
}

/// Where another counting rule than the one in force would give another count.
fn rule_causes<'a>(
    rules: &'a Rules,
    sounds: &'a [Sound],
    letters: &'a [(&str, Range<usize>)],
    count: usize,
) -> impl Iterator<Item = (Cause, RangeInclusive<u16>)> + 'a {
    rules.alternatives().filter_map(move |(rule, value, other)| {
        let counted = other.count(sounds, letters);
        (counted != count).then(|| (Cause::Rule { rule, value }, small(counted)..=small(counted)))
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::lexicon;

    /// What the letters are is common practice, no source. None of these words has letters of two kinds.
    #[test]
    fn letters_that_are_no_sound_of_their_own_are_told_by_what_they_are() {
        use Cause::{ConsonantTeams, DoubledLetters, SilentE, VowelTeams};
        for (word, own) in [
            ("cake", SilentE),
            ("dance", SilentE),
            ("house", SilentE),
            ("rabbit", DoubledLetters),
            ("ship", ConsonantTeams),
            ("boat", VowelTeams),
        ] {
            let said = lexicon::look_up(word).unwrap().variants().next().unwrap();
            let asked = AskedWord {
                word: word.into(),
                sounds: said.sounds().to_vec(),
            };
            let shape = WordShape::new(&asked, &Rules::default());
            let count = small(said.sounds().len());
            assert_eq!(shape.by(own), Some(&(count + 1..=count + 1)), "{word}");
            for other in [SilentE, DoubledLetters, ConsonantTeams, VowelTeams] {
                let also = word == "house" && other == VowelTeams;
                assert!(other == own || also || shape.by(other).is_none(), "{word}: {other:?}");
            }
        }
    }

    /// Which consonants stand together in these words is common practice, no source: of each cluster all but one may be lost.
    #[test]
    fn consonants_that_stand_together_may_be_counted_as_one() {
        use Cause::{Clusters, LostLiquid, LostNasal, OtherClusters};
        for (word, own) in [("stop", OtherClusters), ("hand", LostNasal), ("plan", LostLiquid)] {
            let said = lexicon::look_up(word).unwrap().variants().next().unwrap();
            let asked = AskedWord {
                word: word.into(),
                sounds: said.sounds().to_vec(),
            };
            let shape = WordShape::new(&asked, &Rules::default());
            let one_less = small(said.sounds().len()) - 1;
            assert_eq!(shape.by(own), Some(&(one_less..=one_less)), "{word}");
            assert_eq!(shape.by(Clusters), Some(&(one_less..=one_less)), "{word}");
            for other in [LostNasal, LostLiquid, OtherClusters] {
                assert!(other == own || shape.by(other).is_none(), "{word}: {other:?}");
            }
        }
    }
}
