//! Counting without a target: how the ways of hearing are weighed, and how sure to be.

use soundbead_data::Rules;
use soundbead_dsp::ear::Settings;
use soundbead_dsp::judgement::Speaking;

use super::super::figure::calibration_error;
use super::{Fold, over};

/// Tries every mixture with every power, on words said alone; prints the best by log loss, then by exact counts.
pub fn run(folds: &[Fold]) {
    let mut tried = Vec::new();
    for strange in [-6.0f32, -3.0] {
        for frequency in [0.3f32, 0.5] {
            for temperature in [0.8f32, 1.0, 1.2] {
                for follow in [0.5f32, 1.0] {
                    let mut settings = Settings::default();
                    settings.blind.strange = strange;
                    settings.blind.frequency = frequency;
                    settings.blind.temperature = temperature;
                    settings.blind.follow = follow;
                    settings.doubt_blind = 1.0;
                    let counts = counts(folds, &settings);
                    let (power, loss) = best_power(&counts);
                    let exact = share(&counts, |off| off == 0);
                    let near = share(&counts, |off| off <= 1);
                    let error = calibration_error(&sureness(&counts, power));
                    let name =
                        format!("strange {strange} frequency {frequency} follow {follow} temperature {temperature}");
                    tried.push((loss, format!("loss {loss:.3}, exact {exact:.1} %, within one {near:.1} %, doubt {power:.2}, error {error:.3}: {name}")));
                }
            }
        }
    }
    tried.sort_by(|a, b| a.0.total_cmp(&b.0));
    println!("blind, words said alone:");
    tried.iter().take(12).for_each(|t| println!("  {}", t.1));
}

/// A word's count, and the probabilities of counts.
type Counted = (usize, Vec<(usize, f32)>);

fn counts(folds: &[Fold], settings: &Settings) -> Vec<Counted> {
    let all = over(folds, |ear, case| {
        if !case.alone {
            return None;
        }
        *ear.settings_mut() = *settings;
        let j = ear
            .judge_evidence(&case.evidence, None, Speaking::Whole, &Rules::default())
            .ok()?;
        Some((case.word.phones.len(), j.count_probabilities))
    });
    all.into_iter().flatten().collect()
}

fn raised(probabilities: &[(usize, f32)], power: f32) -> Vec<(usize, f32)> {
    let sum: f32 = probabilities.iter().map(|p| p.1.powf(power)).sum();
    probabilities.iter().map(|p| (p.0, p.1.powf(power) / sum)).collect()
}

/// The power on the probabilities that gives the least log loss, and that loss.
fn best_power(counts: &[Counted]) -> (f32, f64) {
    let loss = |power: f32| {
        let one = |(count, all): &Counted| {
            let p = raised(all, power).iter().find(|c| c.0 == *count).map_or(1e-3, |c| c.1);
            -f64::from(p.max(1e-4)).ln()
        };
        counts.iter().map(one).sum::<f64>() / counts.len().max(1) as f64
    };
    let powers = (4..=24).map(|i| i as f32 / 20.0).map(|p| (p, loss(p)));
    powers.fold((1.0, f64::MAX), |best, x| if x.1 < best.1 { x } else { best })
}

fn top(all: &[(usize, f32)]) -> (usize, f32) {
    all.iter().fold((0, 0.0), |m, c| if c.1 > m.1 { *c } else { m })
}

fn share(counts: &[Counted], hit: impl Fn(usize) -> bool) -> f64 {
    let hits = counts
        .iter()
        .filter(|(count, all)| hit(top(all).0.abs_diff(*count)))
        .count();
    100.0 * hits as f64 / counts.len().max(1) as f64
}

fn sureness(counts: &[Counted], power: f32) -> Vec<(f32, bool)> {
    let one = |(count, all): &Counted| {
        let best = top(&raised(all, power));
        (best.1, best.0 == *count)
    };
    counts.iter().map(one).collect()
}
