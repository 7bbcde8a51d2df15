//! Whether a word was said as it should be, fitted on what trained listeners marked.
//!
//! The decision is by the sixth listener alone, and not in use (the card says why): only what the listener finds is weighed. The other measures come from a network that learned the dictionary's sounds of these
//! very speakers: for them it takes slips for right (`weights/README.md`), and would be trusted wrongly.

use std::path::{Path, PathBuf};

use serde::Deserialize;
use soundbead_data::Sound;
use soundbead_dsp::audio::Source;
use soundbead_dsp::ear::Ear;
use soundbead_dsp::ear::inside::{Decision, Measures, RightCalibration, log_odds};
use soundbead_dsp::judgement::Speaking;

use super::super::decision::{self, Kind, Sample};
use super::super::speech::{self, parse};
use super::super::spread::spread_by;
use super::{Neighbours, ear};

/// One word in so many is asked about; slipped ones all are.
const ONE_IN: usize = 3;
/// Real words beside each, of each kind, and near readings.
const BESIDE: usize = 1;
const NEAR: usize = 2;
/// Rounds of Newton's method for a line through log-odds.
const ROUNDS: usize = 20;

/// One word as `training/marked_words.py` writes it: cut as by a list's times.
#[derive(Clone, Deserialize)]
struct Word {
    speaker: String,
    sounds: Vec<String>,
    start: usize,
    end: usize,
    alone: bool,
    /// Of five listeners, how many call each sound right, and wrong.
    right: Vec<u8>,
    wrong: Vec<u8>,
    /// How many heard one and the same sound added, at most.
    added: u8,
}

impl Word {
    fn kind(&self) -> Option<Kind> {
        if self.right.iter().all(|r| *r == 5) && self.added == 0 {
            Some(Kind::Right)
        } else {
            (self.wrong.iter().any(|w| *w >= 3) || self.added >= 3).then_some(Kind::Slipped)
        }
    }

    fn is_among(&self) -> bool {
        (self.start / 160).is_multiple_of(ONE_IN)
    }
}

/// What came of one word: samples for the decision, and of each sound the listener's share and how many of five call it right.
type Found = (Vec<Sample>, Vec<(f32, u8)>);

/// Fits the decision and the line for single sounds, and shows what they give on speakers left out of the fit. Each fold: words of
/// speakers, and the network whose sixth listener has not heard them.
pub fn run(source: &Source, folds: &[(PathBuf, Option<PathBuf>)]) -> Result<(Decision, RightCalibration), String> {
    let (mut samples, mut sounds) = (Vec::new(), Vec::new());
    for (list, weights) in folds {
        for (some, marks) in fold(source, list, weights.as_deref())? {
            samples.extend(some);
            sounds.extend(marks);
        }
    }
    Ok((decide(&samples), line(&sounds)))
}

fn fold(source: &Source, list: &Path, weights: Option<&Path>) -> Result<Vec<Found>, String> {
    let named = |path: &Path, e: std::io::Error| format!("{}: {e}", path.display());
    let text = std::fs::read_to_string(list).map_err(|e| named(list, e))?;
    let words: Result<Vec<Word>, _> = text.lines().map(serde_json::from_str).collect();
    let mut words = words.map_err(|e| format!("{}: {e}", list.display()))?;
    words.retain(|w| w.is_among() || w.kind() == Some(Kind::Slipped));
    let bytes = weights.map(|p| std::fs::read(p).map_err(|e| named(p, e))).transpose()?;
    ear(bytes.as_deref()).map_err(|e| e.to_string())?;
    let neighbours = Neighbours::new();
    let ear = || ear(bytes.as_deref()).expect("the model was read before");
    let found = spread_by(&words, ear, |ear, word| found(ear, source, word, &neighbours));
    Ok(found.into_iter().flatten().collect())
}

fn found(ear: &mut Ear, source: &Source, word: &Word, neighbours: &Neighbours) -> Option<Found> {
    let said = parse(&word.sounds);
    let recording = speech::bare(source, word.start, word.end)?;
    let evidence = ear.listen(&recording, Speaking::Whole).ok()?;
    let sample = |kind: Kind, sounds: &[Sound], among: usize| {
        Some(Sample {
            speaker: word.speaker.clone(),
            alone: word.alone,
            kind,
            among,
            measures: of_the_listener(&ear.measures(&evidence, sounds, &[], Speaking::Whole)?),
        })
    };
    let mut samples = Vec::new();
    if let Some(kind) = word.kind() {
        samples.extend(sample(kind, &said, 1));
        if kind == Kind::Right && said.len() > 1 {
            let near = super::near::asked(&said);
            let step = near.len().div_ceil(NEAR).max(1);
            let near: Vec<_> = near.into_iter().skip(word.start / 160 % step).step_by(step).collect();
            for (kind, asked) in [(Kind::Word, neighbours.of(&said, BESIDE)), (Kind::Near, near)] {
                samples.extend(asked.iter().filter_map(|s| sample(kind, s, asked.len())));
            }
        }
    }
    let mut sounds = Vec::new();
    if word.is_among() {
        let marks = ear.marks_of(&evidence, &said)?;
        sounds.extend(marks.iter().zip(&word.right).map(|(m, r)| (m.right, *r)));
    }
    Some((samples, sounds))
}

/// The measures of the sixth listener alone.
fn of_the_listener(m: &Measures) -> Measures {
    Measures {
        least_right: m.least_right,
        second_right: m.second_right,
        all_right: m.all_right,
        mean_right: m.mean_right,
        none_wrong: m.none_wrong,
        most_wrong: m.most_wrong,
        most_added: m.most_added,
        how_many: m.how_many,
        ..Measures::default()
    }
}

fn decide(samples: &[Sample]) -> Decision {
    let crossed = decision::crossed(samples);
    let pick = |of: &dyn Fn(&Sample) -> bool| -> Vec<f32> {
        let of = samples.iter().zip(&crossed).filter(|(s, _)| of(s));
        of.map(|(_, p)| *p).collect()
    };
    for alone in [true, false] {
        let right = pick(&|s| s.kind == Kind::Right && s.alone == alone);
        for (kind, what) in [
            (Kind::Slipped, "real slips"),
            (Kind::Word, "other words"),
            (Kind::Near, "near sounds, no word"),
        ] {
            let wrong = pick(&|s| s.kind == kind && s.alone == alone);
            let way = if alone { "said alone" } else { "in sentences" };
            println!(
                "{way}, {what}, area {:.3}; each speaker's probabilities from a fit to the others:",
                area(&wrong, &right)
            );
            decision::print_curve(&right, &wrong);
        }
    }
    let fitted = decision::fit(&samples.iter().collect::<Vec<_>>());
    println!("{fitted:?}");
    fitted
}

/// How often one of `high` lies above one of `low`: the area under the curve.
fn area(low: &[f32], high: &[f32]) -> f64 {
    super::super::listeners::area(low, high)
}

/// The line through the listener's log-odds that gives the marks the greatest likelihood.
fn line(sounds: &[(f32, u8)]) -> RightCalibration {
    let (mut slope, mut shift) = (1.0f64, 0.0f64);
    for _ in 0..ROUNDS {
        let (mut a, mut b) = ([[1e-6f64, 0.0], [0.0, 1e-6]], [0.0f64; 2]);
        for (share, right) in sounds {
            let x = [f64::from(log_odds(*share)), 1.0];
            let p = 1.0 / (1.0 + (-(slope * x[0] + shift)).exp());
            let (gap, weight) = (f64::from(*right) / 5.0 - p, p * (1.0 - p));
            for i in 0..2 {
                b[i] += gap * x[i];
                (0..2).for_each(|j| a[i][j] += weight * x[i] * x[j]);
            }
        }
        let whole = a[0][0] * a[1][1] - a[0][1] * a[1][0];
        slope += (b[0] * a[1][1] - b[1] * a[0][1]) / whole;
        shift += (a[0][0] * b[1] - a[1][0] * b[0]) / whole;
    }
    println!(
        "right: slope {slope:.3}, shift {shift:.3}, over {} sounds",
        sounds.len()
    );
    RightCalibration {
        slope: slope as f32,
        shift: shift as f32,
    }
}
