//! The kinds of a choice take turns among the words that show it.

use std::collections::BTreeMap;

use super::{Choice, CourseWord};
use crate::Sound;

/// Words that show a choice, so that its kinds take turns: lamp, hand and pink for m, n and ng before a consonant; ship, thin and
/// chin for the digraphs. Within a kind they keep their order, and each kind comes as early as it can.
pub fn varied<'w>(choice: Choice, words: impl IntoIterator<Item = &'w CourseWord>) -> Vec<&'w CourseWord> {
    let mut seen: BTreeMap<usize, usize> = BTreeMap::new();
    let mut turns: Vec<(usize, &CourseWord)> = Vec::new();
    for word in words {
        let turn = seen.entry(kind(choice, word)).or_default();
        turns.push((*turn, word));
        *turn += 1;
    }
    // Where a choice has one kind, every word has a turn of its own and nothing moves.
    turns.sort_by_key(|(turn, _)| *turn);
    turns.into_iter().map(|(_, word)| word).collect()
}

/// Which kind of the choice a word shows, by number; 0 where a choice has one kind.
fn kind(choice: Choice, word: &CourseWord) -> usize {
    let sounds = word.said.sounds();
    match choice {
        Choice::LostNasal => {
            let nasals = [Sound::M, Sound::N, Sound::NG];
            let before = sounds.windows(2).filter(|pair| !pair[1].is_vowel());
            before
                .filter_map(|pair| nasals.iter().position(|n| *n == pair[0]))
                .next()
                .unwrap_or(0)
        }
        Choice::Digraph => {
            let letters = ["sh", "th", "ch", "wh", "ph", "ng"];
            letters.iter().position(|two| word.word.contains(two)).unwrap_or(0)
        }
        _ => 0,
    }
}
