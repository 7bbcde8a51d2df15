//! Whether the target was said: weights of the measures, and thresholds.

use super::super::decision::{self, Sample, SampleKind};
use super::super::figure::{calibration_error, likeliest};
use super::{Case, Fold, asked, over};
use soundbead_data::{Rules, Sound};
use soundbead_dsp::ear::Ear;
use soundbead_dsp::ear::inside::Decision;
use soundbead_dsp::judgement::Speaking;

/// Fits, shows what the fit gives on speakers left out of it, and proposes thresholds.
pub fn run(folds: &[Fold]) -> Decision {
    let all = over(folds, samples);
    let samples: Vec<Sample> = all.into_iter().flatten().collect();
    let crossed = decision::crossed(&samples);
    let pick = |of: &dyn Fn(&Sample) -> bool| -> Vec<f32> {
        let of = samples.iter().zip(&crossed).filter(|(s, _)| of(s));
        of.map(|(_, p)| *p).collect()
    };
    type SampleFilter<'a> = (&'a str, fn(&Sample) -> bool);
    let sets: [SampleFilter; 3] = [
        ("said alone", |s| s.alone),
        ("in sentences", |s| !s.alone),
        ("all", |_| true),
    ];
    let kinds = [
        (SampleKind::Word, "slips between words"),
        (SampleKind::Strange, "slips that make no word"),
        (SampleKind::Near, "near sounds, no word"),
    ];
    for (name, of) in sets {
        for (kind, what) in kinds {
            println!("{name}, {what}, each speaker's probabilities from a fit to the others:");
            let wrong = pick(&|s| of(s) && s.kind == kind);
            decision::print_curve(&pick(&|s| s.kind == SampleKind::Right && of(s)), &wrong);
        }
    }
    let fitted = decision::fit(&samples.iter().collect::<Vec<_>>());
    println!("{fitted:?}");
    fitted
}

/// The word itself, the real words beside it, twice, and near sounds in the place of its own.
fn samples(ear: &mut Ear, case: &Case) -> Vec<Sample> {
    let said = case.word.sounds();
    let near = super::near::asked(&said);
    let asked = [
        (SampleKind::Right, std::slice::from_ref(&said)),
        (SampleKind::Word, &case.others),
        (SampleKind::Strange, &case.others),
        (SampleKind::Near, &near),
    ];
    let sample = |(kind, sounds, among): (SampleKind, &Vec<Sound>, usize)| {
        let strange: &[Sound] = match kind {
            SampleKind::Right | SampleKind::Word | SampleKind::Slipped => &[],
            SampleKind::Strange | SampleKind::Near | SampleKind::Ending => &said,
        };
        Some(Sample {
            speaker: case.word.speaker.clone(),
            alone: case.alone,
            kind,
            among,
            measures: ear.measures(&case.evidence, sounds, strange)?,
            choice: None,
            pieces: None,
        })
    };
    let each = asked
        .iter()
        .flat_map(|(kind, list)| list.iter().map(|s| (*kind, s, list.len())));
    each.filter_map(sample).collect()
}

/// How sure counts around the right target are, and how often right, under the settings as they are.
pub fn sureness(folds: &[Fold]) {
    let answers = over(folds, |ear, case| {
        let target = asked(&case.word.sounds());
        let j = ear
            .judge_evidence(&case.evidence, Some(&target), Speaking::Whole, &Rules::default())
            .ok()?;
        let top = likeliest(&j.count_probabilities).1;
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
