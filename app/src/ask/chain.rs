//! A chain of words: what may be asked, and what an asker leaves open.

use std::hash::{BuildHasher, RandomState};
use std::ops::RangeInclusive;

use soundbead_data::Rules;
use soundbead_data::chain::{Chain, Graph, Limits, NoChain};

use crate::typed;

/// Fewest and most words that can be asked for. Two words make a step; no lesson goes through two hundred.
pub const WORDS: RangeInclusive<usize> = 2..=200;
/// Words of a chain to practice with when nothing is said.
pub const USUAL: usize = 8;

/// What is asked.
#[derive(Clone, Debug, Default)]
pub struct ChainRequest {
    /// The first word, said as stands behind a colon where that is meant (`wind:W-AY-N-D`). With `to` alone the chain begins
    /// there: a chain may be read either way.
    pub from: Option<String>,
    /// The last word, in the same form.
    pub to: Option<String>,
    /// How many words, the first and last counted. None: the fewest between two words, [`USUAL`] otherwise.
    pub words: Option<usize>,
    /// What the words and changes must be.
    pub limits: Limits,
    /// Which of the chains that fit. None: the one of the commonest words between two words, chance otherwise.
    pub seed: Option<u64>,
}

/// What was found.
#[derive(Clone, Debug)]
pub struct ChainAnswer {
    /// The chain, or why there is none and the nearest that there is.
    pub found: Result<Chain, NoChain>,
    /// The same request with this seed has the same answer; with another, another.
    pub seed: u64,
    /// The rules by which sounds were counted.
    pub rules: Rules,
}

impl ChainRequest {
    /// Looks for the chain among the words of `graph`.
    pub fn answer(&self, graph: &Graph) -> ChainAnswer {
        let (from, to) = match (self.from.as_deref(), self.to.as_deref()) {
            (None, Some(to)) => (Some(to), None),
            ends => ends,
        };
        let mut limits = self.limits.clone();
        let (from, to) = (from.map(|w| plain(w, &mut limits)), to.map(|w| plain(w, &mut limits)));
        let limits = &limits;
        let seed = self.seed.unwrap_or_else(|| if to.is_some() { 0 } else { chance() });
        let found = match (from, to, self.words) {
            (Some(from), Some(to), None) => graph.shortest(from, to, limits, seed),
            (Some(from), Some(to), Some(words)) => graph.exact(from, to, words, limits, seed),
            _ => graph.practice(from, self.words.unwrap_or(USUAL), limits, seed),
        };
        ChainAnswer {
            found,
            seed,
            rules: graph.rules().clone(),
        }
    }
}

/// The word without its way, which goes into the limits. What cannot be read stays as it is, and the graph says that it is no word.
fn plain<'w>(text: &'w str, limits: &mut Limits) -> &'w str {
    match typed::meant(text) {
        Ok((word, Some(said))) => {
            limits.said.push((word.to_lowercase(), said));
            word
        }
        _ => text,
    }
}

/// A short number, so that it can be typed again.
fn chance() -> u64 {
    // The standard library's hash maps are seeded by the system: the only chance there is without a further library.
    RandomState::new().hash_one(0u8) % 1_000_000
}

#[cfg(test)]
mod tests {
    use super::*;
    use soundbead_data::chain::WordList;

    #[test]
    fn what_is_left_open_is_filled_in() {
        let graph = Graph::new(&WordList::default(), &Rules::default());
        let ends = |from: Option<&str>, to: Option<&str>| ChainRequest {
            from: from.map(str::to_owned),
            to: to.map(str::to_owned),
            ..ChainRequest::default()
        };
        let words = |answer: &ChainAnswer| -> Vec<String> {
            let chain = answer.found.as_ref().expect("a chain");
            chain.steps.iter().map(|s| s.word.clone()).collect()
        };
        let between = ends(Some("pig"), Some("peg")).answer(&graph);
        assert_eq!(
            (words(&between), between.seed),
            (vec!["pig".to_owned(), "peg".to_owned()], 0)
        );
        let practice = ends(Some("pig"), None).answer(&graph);
        assert_eq!(words(&practice).len(), USUAL);
        let again = ChainRequest {
            seed: Some(practice.seed),
            ..ends(Some("pig"), None)
        }
        .answer(&graph);
        assert_eq!(words(&again), words(&practice));
        let wound = ends(Some("wind:W-AY-N-D"), Some("mine")).answer(&graph);
        let chain = wound.found.expect("a chain");
        assert_eq!(chain.steps[0].said.to_string(), "W AY1 N D", "the way behind the colon");
        assert_eq!(
            (
                words(&ends(Some("wind:w-eye-n-d"), Some("mine")).answer(&graph))[0].as_str(),
                chain.steps.len()
            ),
            ("wind", 3),
            "wind, wine, mine or wind, mind, mine"
        );
        let last_alone = ends(None, Some("pig")).answer(&graph);
        assert_eq!(words(&last_alone)[0], "pig");
    }
}
