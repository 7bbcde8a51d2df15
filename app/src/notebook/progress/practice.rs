//! What to practice next, from what was found and from nothing else.

use serde::Serialize;
use soundbead_data::chain::{Graph, Limits};

use super::cause::Cause;
use super::pattern::{Claim, LEAST_ATTEMPTS, Pattern};
use super::shape::AskedWord;
use super::shape::WordShape;
use super::whole::Progress;
use super::wilson::Share;

/// How frequent a word must be to be offered (Zipf scale: 4 is ten times in a million words).
const LEAST_ZIPF: f32 = 4.0;
/// How many words are offered.
const WORDS: usize = 12;
/// Most sounds of a word that is offered.
const LONGEST: usize = 5;
/// Words of the chain that is made.
const CHAIN: usize = 8;

/// Something to practice.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Practice {
    /// What.
    pub what: String,
    /// Why: the evidence in a line.
    pub why: String,
    /// Frequent words for it, and beside each its count by the rules.
    pub words: Vec<(String, usize)>,
    /// A chain for it, each word one sound from the one before; empty where none was found.
    pub chain: Vec<String>,
}

/// What to practice next, the surest first; empty when nothing stands out. Words come from the graph's list, and are
/// counted by its rules.
pub fn practice(progress: &Progress, graph: &Graph) -> Vec<Practice> {
    let found = progress.patterns.iter().filter(|p| p.claim == Claim::Found);
    let mut all: Vec<Practice> = found.map(|p| for_pattern(p, graph)).collect();
    if all.is_empty() {
        all.extend(for_sound(progress, graph));
    }
    all
}

fn for_pattern(pattern: &Pattern, graph: &Graph) -> Practice {
    let (low, high) = pattern.share.interval();
    let words = words(graph, |shape| touched(shape, pattern.cause));
    let chain = chain(graph, &words, pattern.cause == Cause::Clusters);
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
        words,
        chain,
    }
}

/// Whether a word shows this cause and no other of its side but letter counting.
fn touched(shape: &WordShape, cause: Cause) -> bool {
    let own = shape.by(cause).is_some();
    own && shape
        .astray
        .iter()
        .all(|(c, _)| matches!(c, Cause::Letters) || *c == cause || cause == Cause::Letters)
}

/// The sound whose words are counted right least often, if that is surely less often than over all words.
fn for_sound(progress: &Progress, graph: &Graph) -> Option<Practice> {
    let all = progress.sums.child.share();
    let weak = |share: &Share| share.of >= LEAST_ATTEMPTS && share.interval().1 < all.interval().0;
    let rows = progress.sums.by_sound.iter().map(|row| (row, row.all.share()));
    let (row, share) = rows
        .filter(|(_, share)| weak(share))
        .min_by(|a, b| a.1.interval().1.total_cmp(&b.1.interval().1))?;
    let words = words(graph, |shape| shape.units.iter().any(|(u, _)| *u == row.sound));
    let chain = chain(graph, &words, false);
    Some(Practice {
        what: format!("Words with the sound {}", row.sound),
        why: format!(
            "{} of {} counted right, against {} of {} over all words",
            share.hits, share.of, all.hits, all.of
        ),
        words,
        chain,
    })
}

/// Frequent short words of one syllable that fit, the most frequent first.
fn words(graph: &Graph, fits: impl Fn(&WordShape) -> bool) -> Vec<(String, usize)> {
    let mut frequent = graph.list().words();
    frequent.retain(|w| w.zipf >= LEAST_ZIPF && w.spelling.len() > 2);
    frequent.sort_by(|a, b| b.zipf.total_cmp(&a.zipf).then_with(|| a.spelling.cmp(&b.spelling)));
    let mut found = Vec::new();
    for word in frequent {
        let Some(said) = word.variants.first() else { continue };
        let one_syllable = said.sounds().iter().filter(|s| s.is_vowel()).count() == 1;
        if !one_syllable || said.sounds().len() > LONGEST {
            continue;
        }
        let item = AskedWord {
            word: word.spelling.into_owned(),
            sounds: said.sounds().to_vec(),
        };
        let shape = WordShape::new(&item, graph.rules());
        if fits(&shape) {
            found.push((shape.word.clone(), shape.units.len()));
            if found.len() == WORDS {
                break;
            }
        }
    }
    found
}

/// A chain of short words from the first of these from which there is one; where `clusters`, only consonants beside
/// consonants come and go in it.
fn chain(graph: &Graph, words: &[(String, usize)], clusters: bool) -> Vec<String> {
    let limits = Limits {
        syllables: Some(1..=1),
        count: Some(2..=LONGEST),
        clusters,
        ..Limits::default()
    };
    let made = words
        .iter()
        .find_map(|(word, _)| graph.practice(Some(word), CHAIN, &limits, 0).ok());
    made.map_or_else(Vec::new, |chain| {
        chain.steps.into_iter().map(|step| step.word).collect()
    })
}
