//! Whether the target was said: weights of the measures, and thresholds.

use super::super::decision::{self, Sample};
use super::super::figure::calibration_error;
use super::{Fold, asked, over};
use soundbead_data::{Rules, Sound};
use soundbead_dsp::judgement::Speaking;

/// Fits, shows what the fit gives on speakers left out of it, and proposes thresholds.
pub fn run(folds: &[Fold]) {
    let samples: Vec<Sample> = over(folds, |ear, case| {
        let said = case.word.sounds();
        let sample = |sounds: &[Sound], word: bool| {
            let strange: &[Sound] = if word { &[] } else { &said };
            Some(Sample {
                speaker: case.word.speaker.clone(),
                right: sounds == said,
                alone: case.alone,
                word,
                measures: ear.measures(&case.evidence, sounds, strange)?,
            })
        };
        let wrong = case.others.iter().flat_map(|o| [sample(o, true), sample(o, false)]);
        std::iter::once(sample(&said, true))
            .chain(wrong)
            .flatten()
            .collect::<Vec<_>>()
    })
    .into_iter()
    .flatten()
    .collect();
    let crossed = decision::crossed(&samples);
    let pick = |of: &dyn Fn(&Sample) -> bool| -> Vec<f32> {
        samples
            .iter()
            .zip(&crossed)
            .filter(|(s, _)| of(s))
            .map(|(_, p)| *p)
            .collect()
    };
    type Some<'a> = (&'a str, fn(&Sample) -> bool);
    let sets: [Some; 3] = [
        ("said alone", |s| s.alone),
        ("in sentences", |s| !s.alone),
        ("all", |_| true),
    ];
    for (name, of) in sets {
        for (what, word) in [("slips between words", true), ("slips that make no word", false)] {
            println!("{name}, {what}, each speaker's probabilities from a fit to the others:");
            let wrong = pick(&|s| !s.right && of(s) && s.word == word);
            decision::print_curve(&pick(&|s| s.right && of(s)), &wrong);
        }
    }
    println!("{:?}", decision::fit(&samples.iter().collect::<Vec<_>>()));
}

/// How sure counts around the right target are, and how often right, under the settings as they are.
pub fn sureness(folds: &[Fold]) {
    let answers = over(folds, |ear, case| {
        let target = asked(&case.word.sounds());
        let j = ear
            .judge_evidence(&case.evidence, Some(&target), Speaking::Whole, &Rules::default())
            .ok()?;
        let top = j.count_probabilities.iter().fold(0.0f32, |m, c| m.max(c.1));
        Some((case.alone, top, j.heard == case.word.phones.len()))
    });
    let alone: Vec<(f32, bool)> = answers
        .into_iter()
        .flatten()
        .filter(|a| a.0)
        .map(|a| (a.1, a.2))
        .collect();
    println!(
        "count given the right target, said alone: calibration error {:.3} of {}",
        calibration_error(&alone),
        alone.len()
    );
}
