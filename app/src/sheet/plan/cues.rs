//! Cues for the sounds that change in a lesson's chains: how to tell them apart.

use std::collections::BTreeMap;

use soundbead_data::chain::ChangeKind;
use soundbead_data::inventory::{self, SoundEntry};

use super::LessonPart;
use crate::keyed::{called, key_word};
use crate::plan::PlanItem;

/// Most pairs of sounds that are told of.
const PAIRS: usize = 3;

/// A pair of sounds by name, and how they are told apart. Where the cards part two sounds, the lesson is about these, and no other
/// pair is told; where they part spellings, none is. Without cards: the pairs that the chains swap, the most frequent first.
pub fn cues(parts: &[(&PlanItem, LessonPart)]) -> Vec<(String, String)> {
    let sorted = parts.iter().find_map(|(_, part)| headings(part));
    if let Some((a, b)) = sorted {
        let pair = by_call(a).zip(by_call(b));
        return pair.and_then(|(a, b)| tell(a, b)).into_iter().collect();
    }
    let mut times: BTreeMap<(&str, &str), usize> = BTreeMap::new();
    for (from, to) in parts.iter().flat_map(|(_, part)| swaps(part)) {
        let pair = if from.ipa < to.ipa { (from, to) } else { (to, from) };
        *times.entry((&pair.0.respelling, &pair.1.respelling)).or_default() += 1;
    }
    let mut pairs: Vec<((&str, &str), usize)> = times.into_iter().collect();
    pairs.sort_by_key(|(_, times)| std::cmp::Reverse(*times));
    let told = pairs.iter().filter_map(|((a, b), _)| tell(by_name(a)?, by_name(b)?));
    told.take(PAIRS).collect()
}

/// The two headings of a sort.
fn headings(part: &LessonPart) -> Option<(&str, &str)> {
    match part {
        LessonPart::Sort(sort) => match sort.columns.as_slice() {
            [a, b] => Some((&a.heading, &b.heading)),
            _ => None,
        },
        _ => None,
    }
}

/// The sound that is called so: `short e`, `sh`.
fn by_call(name: &str) -> Option<&'static SoundEntry> {
    inventory::all().iter().find(|e| match e.arpabet.sounds() {
        [sound] => called(*sound) == name,
        _ => false,
    })
}

fn by_name(respelling: &str) -> Option<&'static SoundEntry> {
    inventory::all().iter().find(|e| e.respelling == respelling)
}

/// The sounds of each step of a chain that puts one for another.
fn swaps(part: &LessonPart) -> Vec<(&'static SoundEntry, &'static SoundEntry)> {
    let LessonPart::Chain(steps) = part else {
        return Vec::new();
    };
    let swaps = steps
        .iter()
        .filter_map(|(_, change)| change.filter(|c| c.kind == ChangeKind::Swap));
    let entry = |unit: Option<soundbead_data::chain::Unit>| {
        let sounds: Vec<_> = unit.into_iter().flat_map(|u| u.sounds()).collect();
        inventory::of_unit(&sounds)
    };
    swaps.filter_map(|c| entry(c.from).zip(entry(c.to))).collect()
}

/// What the inventory says of two sounds that are taken for each other; nothing for two that are not.
fn tell(a: &SoundEntry, b: &SoundEntry) -> Option<(String, String)> {
    let says = |one: &SoundEntry, other: &SoundEntry| {
        let also = one.also.iter().find(|m| m.with.as_ref() == Some(&other.arpabet));
        match one.confused.with == other.arpabet {
            true => Some(one.confused.tell_apart.clone()),
            false => also.map(|m| m.tell_apart.clone()),
        }
    };
    let text = says(a, b).or_else(|| says(b, a))?;
    Some((format!("{} and {}", name(a), name(b)), text))
}

/// `short e (bed)`.
fn name(entry: &SoundEntry) -> String {
    let plain = match entry.arpabet.sounds() {
        [sound] => called(*sound),
        _ => entry.shown().to_owned(),
    };
    match plain.ends_with(')') {
        true => plain,
        false => format!("{plain} ({})", key_word(entry)),
    }
}
