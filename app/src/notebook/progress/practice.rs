//! What to practise next, from what was found and from nothing else.

use serde::Serialize;
use soundbead_data::{Rules, lexicon};

use super::pattern::{Cause, Claim, Pattern};
use super::shape::Shape;
use super::tally::Item;
use super::{Progress, Share};

/// How frequent a word must be to be offered (Zipf scale: 4 is ten times in a million words).
const LEAST_ZIPF: f32 = 4.0;
/// How many words are offered.
const WORDS: usize = 12;
/// Most sounds of a word that is offered.
const LONGEST: usize = 5;

/// Something to practise.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Practice {
    /// What.
    pub what: String,
    /// Why: the evidence in a line.
    pub why: String,
    /// Frequent words for it, and beside each its count by the rules.
    pub words: Vec<(String, usize)>,
}

/// What to practise next, the surest first; empty when nothing stands out.
pub fn practice(progress: &Progress, rules: &Rules) -> Vec<Practice> {
    let found = progress.patterns.iter().filter(|p| p.claim == Claim::Found);
    let mut all: Vec<Practice> = found.map(|p| for_pattern(p, rules)).collect();
    if all.is_empty() {
        all.extend(for_sound(progress, rules));
    }
    all
}

fn for_pattern(pattern: &Pattern, rules: &Rules) -> Practice {
    let (low, high) = pattern.share.interval();
    Practice {
        what: pattern.cause.to_string(),
        why: format!(
            "{} of {} attempts at {} such words ({:.0} to {:.0} in 100); elsewhere {} of {}",
            pattern.share.hits,
            pattern.share.of,
            pattern.words,
            low * 100.0,
            high * 100.0,
            pattern.background.hits,
            pattern.background.of
        ),
        words: words(rules, |shape| touched(shape, pattern.cause)),
    }
}

/// Whether a word shows this cause and no other of its side but letter counting.
fn touched(shape: &Shape, cause: Cause) -> bool {
    let own = shape.by(cause).is_some();
    own && shape
        .astray
        .iter()
        .all(|(c, _)| matches!(c, Cause::Letters) || *c == cause || cause == Cause::Letters)
}

/// The sound whose words are counted right least often, if that is surely less often than over all words.
fn for_sound(progress: &Progress, rules: &Rules) -> Option<Practice> {
    let all = progress.sums.child.share();
    let weak = |share: &Share| share.of >= super::LEAST_ATTEMPTS && share.interval().1 < all.interval().0;
    let rows = progress.sums.by_sound.iter().map(|row| (row, row.all.share()));
    let (row, share) = rows
        .filter(|(_, share)| weak(share))
        .min_by(|a, b| a.1.interval().1.total_cmp(&b.1.interval().1))?;
    Some(Practice {
        what: format!("Words with the sound {}", row.sound),
        why: format!(
            "{} of {} counted right, against {} of {} over all words",
            share.hits, share.of, all.hits, all.of
        ),
        words: words(rules, |shape| shape.units.iter().any(|(u, _)| *u == row.sound)),
    })
}

/// Frequent short words of one syllable that fit, the most frequent first.
fn words(rules: &Rules, fits: impl Fn(&Shape) -> bool) -> Vec<(String, usize)> {
    let mut frequent: Vec<_> = lexicon::words()
        .filter(|e| e.zipf() >= LEAST_ZIPF && e.spelling().len() > 2)
        .collect();
    frequent.sort_by(|a, b| {
        b.zipf()
            .total_cmp(&a.zipf())
            .then_with(|| a.spelling().cmp(b.spelling()))
    });
    let mut found = Vec::new();
    for entry in frequent {
        let Some(said) = entry.variants().next() else { continue };
        let one_syllable = said.sounds().iter().filter(|s| s.is_vowel()).count() == 1;
        if !one_syllable || said.sounds().len() > LONGEST || entry.spelling().contains(['\'', '-']) {
            continue;
        }
        let item = Item {
            word: entry.spelling().to_owned(),
            sounds: said.sounds().to_vec(),
        };
        let shape = Shape::new(&item, rules);
        if fits(&shape) {
            found.push((shape.word.clone(), shape.units.len()));
            if found.len() == WORDS {
                break;
            }
        }
    }
    found
}
