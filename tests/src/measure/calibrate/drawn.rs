//! Words drawn out: whether the target was said, as for words said whole.

use soundbead_dsp::judgement::Speaking;

use super::super::decision::Sample;
use super::super::made;
use super::{Case, Ear, Fold, over, target};

/// Of the words in sentences, one in so many is drawn out.
const SENTENCE_WORDS: usize = 2;

/// Fits, shows what the fit gives on speakers left out of it, and proposes thresholds.
pub fn run(folds: &[Fold]) {
    let all = over(folds, samples);
    println!("words drawn out, those said alone and one in {SENTENCE_WORDS} of those in sentences:");
    target::show(&all.into_iter().flatten().flatten().collect::<Vec<_>>());
}

fn samples(ear: &mut Ear, case: &Case) -> Option<Vec<Sample>> {
    if !case.is_among(SENTENCE_WORDS) {
        return None;
    }
    let made = made::stretched(&case.recording, &case.placed(ear)?, case.word.start as u64)?;
    let evidence = ear.listen(&made, Speaking::Stretched).ok()?;
    Some(target::samples(ear, case, &evidence, Speaking::Stretched))
}
