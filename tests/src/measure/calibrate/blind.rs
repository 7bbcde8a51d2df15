//! Counting without a target: how the ways of hearing are weighed, and how sure to be.

use soundbead_data::Rules;
use soundbead_dsp::ear::Ear;
use soundbead_dsp::ear::inside::{BlindCalibration, Settings};
use soundbead_dsp::judgement::Speaking;

use super::super::decision::ALONE;
use super::super::figure::{calibration_error, likeliest};
use super::{Fold, over};

/// One in so many of the words cut out of sentences is asked: they are many, and each takes a while.
const SENTENCE_WORDS: usize = 2;

/// Tries every mixture with every power; prints the best by log loss, then by exact counts, and returns the first of them with
/// its power.
pub fn run(folds: &[Fold]) -> (BlindCalibration, f32) {
    let own = Ear::new().expect("the model comes with the program");
    let mut tried = Vec::new();
    for strange in [-6.0f32, -3.0] {
        for frequency in [0.3f32, 0.5, 0.7] {
            for temperature in [1.0f32, 1.2, 1.4] {
                for follow in [0.5f32, 1.0] {
                    let mut settings = *own.settings();
                    settings.blind = BlindCalibration {
                        frequency,
                        strange,
                        follow,
                        temperature,
                    };
                    settings.doubt_blind = 1.0;
                    tried.push((figures(&counts(folds, &settings)), settings.blind));
                }
            }
        }
    }
    tried.sort_by(|a, b| a.0.loss.total_cmp(&b.0.loss));
    println!("blind, words said alone and one in {SENTENCE_WORDS} of those in sentences:");
    tried.iter().take(12).for_each(|(f, b)| println!("  {}: {b:?}", f.line));
    let (figures, best) = &tried[0];
    (*best, figures.doubt)
}

/// What counts come to.
pub struct CountFigures {
    /// Mean log loss under the power that suits them best.
    pub loss: f64,
    /// That power.
    pub doubt: f32,
    /// All of it in a line.
    pub line: String,
}

/// What counts come to, words said alone and in sentences apart.
pub fn figures(counts: &[BlindCount]) -> CountFigures {
    let (power, loss) = best_power(counts);
    let [alone, within] = [true, false].map(|alone| {
        let these: Vec<BlindCount> = counts.iter().filter(|c| c.alone == alone).cloned().collect();
        let exact = share(&these, |off| off == 0);
        let near = share(&these, |off| off <= 1);
        let error = calibration_error(&sureness(&these, power));
        let (own, _) = best_power(&these);
        format!("exact {exact:.1} %, within one {near:.1} %, error {error:.3}, by itself doubt {own:.2}")
    });
    CountFigures {
        loss,
        doubt: power,
        line: format!("loss {loss:.3}, doubt {power:.2}; alone {alone}; in sentences {within}"),
    }
}

/// A word's count, the probabilities of counts, and whether it was said alone.
#[derive(Clone)]
pub struct BlindCount {
    /// Whose voice it is.
    pub speaker: String,
    /// As the dictionary has it.
    pub count: usize,
    /// Of counts, as heard.
    pub probabilities: Vec<(usize, f32)>,
    /// Whether there was silence on both sides.
    pub alone: bool,
}

fn counts(folds: &[Fold], settings: &Settings) -> Vec<BlindCount> {
    let all = over(folds, |ear, case| {
        if !case.is_among(SENTENCE_WORDS) {
            return None;
        }
        *ear.settings_mut() = *settings;
        let j = ear
            .judge_evidence(&case.evidence, None, Speaking::Whole, &Rules::default())
            .ok()?;
        Some(BlindCount {
            speaker: case.word.speaker.clone(),
            count: case.word.phones.len(),
            probabilities: j.count_probabilities,
            alone: case.alone,
        })
    });
    all.into_iter().flatten().collect()
}

/// Probabilities raised to a power: below 1, less sure.
fn raised(probabilities: &[(usize, f32)], power: f32) -> Vec<(usize, f32)> {
    let sum: f32 = probabilities.iter().map(|p| p.1.powf(power)).sum();
    probabilities.iter().map(|p| (p.0, p.1.powf(power) / sum)).collect()
}

/// The power on the probabilities that gives the least mean log loss, and that loss.
pub fn best_power(counts: &[BlindCount]) -> (f32, f64) {
    let weight = |c: &BlindCount| if c.alone { ALONE } else { 1.0 };
    let weights: f64 = counts.iter().map(weight).sum();
    let loss = |power: f32| {
        let one = |c: &BlindCount| {
            let all = raised(&c.probabilities, power);
            let p = all.iter().find(|p| p.0 == c.count).map_or(1e-3, |p| p.1);
            -f64::from(p.max(1e-4)).ln() * weight(c)
        };
        counts.iter().map(one).sum::<f64>() / weights.max(1.0)
    };
    let powers = (4..=24).map(|i| i as f32 / 20.0).map(|p| (p, loss(p)));
    powers.fold((1.0, f64::MAX), |best, x| if x.1 < best.1 { x } else { best })
}

fn share(counts: &[BlindCount], hit: impl Fn(usize) -> bool) -> f64 {
    let right = |c: &&BlindCount| hit(likeliest(&c.probabilities).0.abs_diff(c.count));
    100.0 * counts.iter().filter(right).count() as f64 / counts.len().max(1) as f64
}

/// The likeliest count's probability under a power, and whether it is right.
pub fn sureness(counts: &[BlindCount], power: f32) -> Vec<(f32, bool)> {
    let one = |c: &BlindCount| {
        let best = likeliest(&raised(&c.probabilities, power));
        (best.1, best.0 == c.count)
    };
    counts.iter().map(one).collect()
}
