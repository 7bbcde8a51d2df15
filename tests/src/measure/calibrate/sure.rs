//! How sure what is told may be: how far the probabilities of counts, and of choices between two words, lie from how often they are right;
//! how far they would if they were exact, for so few answers; and what a power gives that was fitted on other speakers.

use std::collections::BTreeSet;

use super::super::figure::{calibration_error, likeliest, share};
use super::blind::{BlindCount, best_power, sureness};
use super::marked::{MarkedResult, NamedCount};

/// Parts that the speakers are cut into: the power for each comes from the others.
const PARTS: usize = 8;
/// Times that answers are drawn by their own probabilities.
const DRAWS: usize = 200;
/// The kinds of words that are told from the said one, in the order of [`MarkedResult::choices`].
const KINDS: [&str; 3] = ["fewer", "changed", "more"];

/// Prints what is told of words `said` in one way: counts with a word named and without, and choices.
pub fn run(said: &str, found: &[MarkedResult], children: &BTreeSet<String>) {
    let named = || found.iter().flat_map(|f| &f.named);
    let own: Vec<BlindCount> = named().filter(|n| n.own).map(|n| n.told.clone()).collect();
    lines(&format!("{said}, count with the word named"), &own, children);
    let beside: Vec<BlindCount> = named().filter(|n| !n.own).map(|n| n.told.clone()).collect();
    under(
        &format!("{said}, count with a word beside named"),
        &beside,
        best_power(&own).0,
        children,
    );
    let blind: Vec<BlindCount> = found.iter().filter_map(|f| f.count.clone()).collect();
    lines(&format!("{said}, count without a word"), &blind, children);
    let choices = || found.iter().flat_map(|f| &f.choices);
    for (kind, name) in KINDS.iter().enumerate() {
        let these: Vec<BlindCount> = choices().filter(|c| c.0 == kind).map(|c| c.1.clone()).collect();
        lines(&format!("{said}, told from a word with one {name}"), &these, children);
    }
    let all: Vec<BlindCount> = choices().map(|c| c.1.clone()).collect();
    lines(&format!("{said}, told from a word beside"), &all, children);
    let right = found.iter().filter(|f| f.is_right()).flat_map(|f| &f.choices);
    let right: Vec<BlindCount> = right.map(|c| c.1.clone()).collect();
    lines(
        &format!("{said}, told from a word beside, all listeners calling it right"),
        &right,
        children,
    );
    others(&named().collect::<Vec<_>>());
}

/// Prints what is counted where a word beside is named that has another count, and whether verdicts and counts agree.
fn others(named: &[&NamedCount]) {
    let wrong: Vec<&&NamedCount> = named.iter().filter(|n| !n.own && n.asked != n.told.count).collect();
    let counted = |of: fn(&NamedCount) -> usize| wrong.iter().filter(|n| n.answer.0 == of(n)).count();
    println!(
        "  a word beside named that has another count: the said word's count {}, the named one's {}",
        share(counted(|n| n.told.count), wrong.len()),
        share(counted(|n| n.asked), wrong.len())
    );
    let apart = named.iter().filter(|n| !n.answer.1.agrees(n.answer.0, n.asked)).count();
    println!(
        "  answers whose verdict does not go with their count: {apart} of {}",
        named.len()
    );
}

fn lines(name: &str, all: &[BlindCount], children: &BTreeSet<String>) {
    if all.is_empty() {
        return;
    }
    let powers = powers(all);
    println!("{name}; of all the best power {:.2}", best_power(all).0);
    for (who, child) in [("children", true), ("adults", false)] {
        let these = all
            .iter()
            .zip(&powers)
            .filter(|(c, _)| children.contains(&c.speaker) == child);
        let (these, powers): (Vec<BlindCount>, Vec<f32>) = these.map(|(c, p)| (c.clone(), *p)).unzip();
        let within = |most: usize| {
            let near = |c: &&BlindCount| likeliest(&c.probabilities).0.abs_diff(c.count) <= most;
            share(these.iter().filter(near).count(), these.len())
        };
        let now = sureness(&these, 1.0);
        let fitted: Vec<(f32, bool)> = these
            .iter()
            .zip(&powers)
            .map(|(c, p)| sureness(std::slice::from_ref(c), *p)[0])
            .collect();
        println!(
            "  {who}: exact {}; within one {}; calibration error {:.3}, by a power from the others {:.3}; were they exact {:.3}",
            within(0),
            within(1),
            calibration_error(&now),
            calibration_error(&fitted),
            were_exact(&now)
        );
    }
}

/// Prints how far counts are off as they are, and under a power that others gave.
fn under(name: &str, all: &[BlindCount], power: f32, children: &BTreeSet<String>) {
    println!("{name}");
    for (who, child) in [("children", true), ("adults", false)] {
        let these = all.iter().filter(|c| children.contains(&c.speaker) == child);
        let these: Vec<BlindCount> = these.cloned().collect();
        let [now, then] = [1.0, power].map(|power| calibration_error(&sureness(&these, power)));
        println!(
            "  {who}: calibration error {now:.3} of {}, under the power {power:.2} {then:.3}",
            these.len()
        );
    }
}

/// For each answer, the power that suits those of the other speakers best.
fn powers(all: &[BlindCount]) -> Vec<f32> {
    let who: BTreeSet<&str> = all.iter().map(|c| c.speaker.as_str()).collect();
    let part = |c: &BlindCount| who.iter().position(|w| *w == c.speaker).unwrap_or(0) % PARTS;
    let others = |k: usize| all.iter().filter(|c| part(c) != k).cloned().collect::<Vec<_>>();
    let each: Vec<f32> = (0..PARTS).map(|k| best_power(&others(k)).0).collect();
    all.iter().map(|c| each[part(c)]).collect()
}

/// The mean calibration error of so many answers that are right exactly as often as their probabilities say: what chance alone makes.
fn were_exact(answers: &[(f32, bool)]) -> f64 {
    // The generator of Numerical Recipes, 2nd ed., section 7.1: the same draws every time.
    let mut seed = 1u32;
    let mut even = || {
        seed = seed.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
        (seed >> 8) as f32 / (1u32 << 24) as f32
    };
    let mut draw = || calibration_error(&answers.iter().map(|(p, _)| (*p, even() < *p)).collect::<Vec<_>>());
    (0..DRAWS).map(|_| draw()).sum::<f64>() / DRAWS as f64
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Five speakers' counts that are told with 0.9 and right in three of four.
    fn told() -> Vec<BlindCount> {
        let one = |i: usize| BlindCount {
            speaker: (i % 5).to_string(),
            count: if (i / 5).is_multiple_of(4) { 4 } else { 3 },
            probabilities: vec![(3, 0.9), (4, 0.1)],
            alone: true,
        };
        (0..400).map(one).collect()
    }

    #[test]
    fn a_power_from_other_speakers_brings_too_sure_counts_down() {
        let all = told();
        let powers = powers(&all);
        // (0.9^p / (0.9^p + 0.1^p)) = 3/4 where p is 1/2.
        assert!(powers.iter().all(|p| (*p - 0.5).abs() < 1e-6), "{powers:?}");
        let (before, after) = (
            calibration_error(&sureness(&all, 1.0)),
            calibration_error(&sureness(&all, 0.5)),
        );
        assert!((before - 0.15).abs() < 1e-3 && after < 0.01, "{before} {after}");
    }

    #[test]
    fn exact_probabilities_are_off_by_chance_alone_and_less_with_more_answers() {
        let answers = |n: usize| vec![(0.75, true); n];
        let (few, many) = (were_exact(&answers(100)), were_exact(&answers(10_000)));
        // The mean distance of a share from its probability: sqrt(2 p (1 - p) / (pi n)).
        assert!(
            (few - 0.0346).abs() < 0.006 && (many - 0.00346).abs() < 0.0006,
            "{few} {many}"
        );
    }
}
