//! Words drawn out: whether the target was said, as for words said whole; and their sounds counted without one.

use soundbead_data::Rules;
use soundbead_dsp::ear::Evidence;
use soundbead_dsp::ear::inside::Decision;
use soundbead_dsp::judgement::Speaking;

use super::super::made;
use super::blind::{self, BlindCount};
use super::{Case, Ear, Fold, over, target};

/// Of the words in sentences, one in so many is drawn out.
const SENTENCE_WORDS: usize = 2;
/// Factors on the evidence of each frame that are tried without a target.
const WEIGHTS: [f32; 6] = [0.3, 0.4, 0.5, 0.65, 0.8, 1.0];

/// Fits, shows what the fit gives on speakers left out of it, and proposes thresholds; then counts without a target. Returns
/// the fit, and the weight and the doubt that give the least log loss.
pub fn run(folds: &[Fold]) -> (Decision, f32, f32) {
    let each = over(folds, |ear, case| {
        let evidence = drawn(ear, case)?;
        let samples = target::samples(ear, case, &evidence, Speaking::Stretched);
        Some((samples, counts(ear, case, &evidence)))
    });
    let (samples, counts): (Vec<_>, Vec<_>) = each.into_iter().flatten().unzip();
    println!("words drawn out, those said alone and one in {SENTENCE_WORDS} of those in sentences:");
    let decision = target::show(&samples.into_iter().flatten().collect::<Vec<_>>());
    println!("words drawn out, counted without a target:");
    let mut best = (f64::MAX, 1.0, 1.0);
    for (i, weight) in WEIGHTS.into_iter().enumerate() {
        let these: Vec<BlindCount> = counts
            .iter()
            .flatten()
            .map(|c: &Vec<BlindCount>| c[i].clone())
            .collect();
        let found = blind::figures(&these);
        println!("  weight {weight}: {}", found.line);
        if found.loss < best.0 {
            best = (found.loss, weight, found.doubt);
        }
    }
    (decision, best.1, best.2)
}

fn drawn(ear: &mut Ear, case: &Case) -> Option<Evidence> {
    if !case.is_among(SENTENCE_WORDS) {
        return None;
    }
    let made = made::stretched(&case.recording, &case.placed(ear)?, case.word.start as u64)?;
    ear.listen(&made, Speaking::Stretched).ok()
}

/// The blind count under each of the weights.
fn counts(ear: &mut Ear, case: &Case, evidence: &Evidence) -> Option<Vec<BlindCount>> {
    ear.settings_mut().doubt_drawn = 1.0;
    let count = |weight: &f32| {
        ear.settings_mut().drawn_weight = *weight;
        let j = ear
            .judge_evidence(evidence, None, Speaking::Stretched, &Rules::default())
            .ok()?;
        Some(BlindCount {
            count: case.word.phones.len(),
            probabilities: j.count_probabilities,
            alone: case.alone,
        })
    };
    WEIGHTS.iter().map(count).collect()
}
