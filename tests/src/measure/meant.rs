//! How often the word that is proposed for letters that are none is the one that was meant, on real misspellings.
//!
//! The pairs are parted by a hash of the word: the weights are fitted on one half, and everything that is reported is counted on the
//! other.

use soundbead_data::lexicon;
use soundbead_data::word;
use soundbead_data::writing::{self, MeantCandidate, MeantWeights};

use super::hits::Hits;

/// Lengths of what was written that are told apart: below 5 letters, 5 to 6, 7 and more.
const LENGTHS: [(&str, std::ops::Range<usize>); 3] = [
    ("under 5 letters", 0..5),
    ("5 to 6 letters", 5..7),
    ("7 letters and more", 7..usize::MAX),
];
/// Rounds of the fit, and how far a round goes: the loss does not move in its fourth digit by then.
const ROUNDS: usize = 400;
const STEP: f32 = 0.5;

/// A misspelling that is no word.
struct SlipPair {
    word: String,
    wrote: String,
}

/// The slips of a file of `word<TAB>written` lines that are no word of the dictionary, of the half to fit on and the half to report.
fn halves(text: &str) -> (Vec<SlipPair>, Vec<SlipPair>) {
    let pair = |line: &str| {
        let mut fields = line.split('\t');
        let (word, wrote) = (fields.next()?.to_lowercase(), word::normal(fields.next()?).ok()?);
        (wrote != word && lexicon::look_up(&wrote).is_none()).then_some(SlipPair { word, wrote })
    };
    let slips = text.lines().skip(1).filter_map(pair);
    slips.partition(|slip| hash(&slip.word).is_multiple_of(2))
}

/// FNV-1a, 64 bits (Fowler, Noll, Vo; offset and prime from memory of the published ones): any hash does that knows nothing of spelling.
fn hash(word: &str) -> u64 {
    let mixed = word.bytes().fold(0xcbf2_9ce4_8422_2325_u64, |hash, byte| {
        (hash ^ u64::from(byte)).wrapping_mul(0x0100_0000_01b3)
    });
    // The lowest bit of FNV depends on the lowest bits of the letters alone.
    mixed >> 32
}

/// What was proposed for slips.
#[derive(Clone, Copy, Default)]
struct Proposed {
    slips: usize,
    /// A word was proposed; it was the one.
    first: Hits,
    /// It or the other that was named with it.
    named: Hits,
    /// Two were named.
    two: usize,
}

/// Prints how often the proposal is right on the half that nothing was fitted on.
pub fn report(text: &str) {
    let (_, slips) = halves(text);
    let found = over(&slips, |slip| writing::meant(&slip.wrote));
    let mut by_length = [Proposed::default(); 3];
    for (slip, meant) in slips.iter().zip(&found) {
        let length = LENGTHS.iter().position(|(_, range)| range.contains(&slip.wrote.len()));
        let at = &mut by_length[length.unwrap_or(0)];
        at.slips += 1;
        let Some(meant) = meant else { continue };
        let first = meant.word == slip.word;
        at.first.add(usize::from(first), 1);
        at.named
            .add(usize::from(first || meant.or == Some(slip.word.as_str())), 1);
        at.two += usize::from(meant.or.is_some());
    }
    for ((name, _), at) in LENGTHS.iter().zip(by_length) {
        println!(
            "meant, {name}: of {} slips that are no word proposed for {}; the first right {}",
            at.slips,
            at.first.of,
            at.first.shown()
        );
        println!(
            "meant, {name}: one of those named right {}; two named {} times",
            at.named.shown(),
            at.two
        );
    }
}

/// Fits the weights on the other half and prints them, with the loss before and after.
pub fn fit(text: &str) {
    let (slips, _) = halves(text);
    let all = over(&slips, |slip| writing::candidates(&slip.wrote));
    let right: Vec<Option<usize>> = slips
        .iter()
        .zip(&all)
        .map(|(slip, candidates)| candidates.iter().position(|c| c.word == slip.word))
        .collect();
    let there = right.iter().flatten().count();
    println!(
        "fitted on {} slips; what was meant is among the candidates of {there}",
        slips.len()
    );
    let mut weights = writing::WEIGHTS;
    println!("loss before {:.4}", loss(&weights, &all, &right));
    for _ in 0..ROUNDS {
        round(&mut weights, &all, &right);
    }
    println!("loss after  {:.4}", loss(&weights, &all, &right));
    println!("{weights:.3?}");
}

/// Mean negative logarithm of the share that what was meant gets; of none, where it is no candidate.
fn loss(weights: &MeantWeights, all: &[Vec<MeantCandidate>], right: &[Option<usize>]) -> f64 {
    let one = |(candidates, right): (&Vec<MeantCandidate>, &Option<usize>)| {
        let shares = weights.shares(candidates);
        let share = right.map_or_else(|| 1.0 - shares.iter().sum::<f32>(), |at| shares[at]);
        -f64::from(share.max(1e-6)).ln()
    };
    all.iter().zip(right).map(one).sum::<f64>() / all.len() as f64
}

/// One step down the gradient, each feature measured by its own spread so that all move alike.
fn round(weights: &mut MeantWeights, all: &[Vec<MeantCandidate>], right: &[Option<usize>]) {
    let mut slope = [0.0_f32; writing::FEATURES];
    let mut spread = [0.0_f32; writing::FEATURES];
    let mut none = 0.0;
    for (candidates, right) in all.iter().zip(right) {
        let shares = weights.shares(candidates);
        for (at, candidate) in candidates.iter().enumerate() {
            let pull = f32::from(u8::from(*right == Some(at))) - shares[at];
            for (k, x) in candidate.features.iter().enumerate() {
                slope[k] += pull * x;
                spread[k] += shares[at] * x * x;
            }
        }
        none += f32::from(u8::from(right.is_none())) - (1.0 - shares.iter().sum::<f32>());
    }
    for ((weight, slope), spread) in weights.features.iter_mut().zip(slope).zip(spread) {
        *weight += STEP * slope / spread.max(1.0);
    }
    weights.none += STEP * none / all.len() as f32;
}

/// `work` on each slip, on every core, in order.
fn over<T: Send>(slips: &[SlipPair], work: impl Fn(&SlipPair) -> T + Sync) -> Vec<T> {
    let cores = std::thread::available_parallelism().map_or(1, usize::from);
    let part = slips.len().div_ceil(cores).max(1);
    let work = &work;
    std::thread::scope(|scope| {
        let parts: Vec<_> = slips
            .chunks(part)
            .map(|part| scope.spawn(move || part.iter().map(work).collect::<Vec<T>>()))
            .collect();
        let done = parts
            .into_iter()
            .flat_map(|part| part.join().expect("reading a slip does not panic"));
        done.collect()
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_halves_share_no_word_and_are_of_like_size() {
        let words = lexicon::words().filter(|e| e.zipf() > 3.5);
        let text: String = words
            .map(|e| format!("{}\t{}qx\n", e.spelling(), e.spelling()))
            .collect();
        let (fit, report) = halves(&format!("word\twrote\n{text}"));
        assert!(
            fit.len().abs_diff(report.len()) * 20 < fit.len() + report.len(),
            "{} {}",
            fit.len(),
            report.len()
        );
        let words: std::collections::HashSet<&str> = fit.iter().map(|slip| slip.word.as_str()).collect();
        assert!(report.iter().all(|slip| !words.contains(slip.word.as_str())));
    }
}
