//! Sounds said one by one, made of the words' own sounds: how the witnesses for speech are weighed.

use soundbead_data::{Rules, Sound};
use soundbead_dsp::ear::inside::ApartCalibration;
use soundbead_dsp::ear::{Ear, Evidence};
use soundbead_dsp::judgement::{Speaking, Verdict};

use super::super::figure::{calibration_error, likeliest};
use super::super::{made, spread::spread};
use super::{Case, Fold, asked, over};

/// Of the words in sentences, one in so many is said sound by sound.
const SENTENCE_WORDS: usize = 3;
/// The same where all weighings are tried on each.
const WEIGHED_WORDS: usize = 8;

/// A word's sounds one by one in noise of `snr` dB; whether one of them is lost in it.
struct NoisySounds {
    count: usize,
    snr: f64,
    lost: bool,
    evidence: Evidence,
}

/// Every weighing that is tried: `own` with other numbers in it.
fn weighings(own: ApartCalibration) -> Vec<ApartCalibration> {
    let mut all = Vec::new();
    for belief in [0.3f32, 0.45, 0.6] {
        for lift in [1.75f32, 2.25, 2.75] {
            for (group, treble) in [
                (0.0f32, 0.0f32),
                (1.0, 1.0),
                (1.8, 1.0),
                (1.0, 1.6),
                (1.8, 1.6),
                (2.5, 2.0),
            ] {
                for turn in [-0.5f32, -1.25, -2.0] {
                    all.push(ApartCalibration {
                        belief,
                        lift,
                        level: 1.1,
                        group,
                        treble,
                        turn,
                        ..own
                    });
                }
            }
        }
    }
    all
}

/// Tries every weighing; prints the best. Returns what is set now with the witnesses weighed as counts most exactly, and the
/// doubt of the least log loss; how far a piece is believed to be another sound weighs two faults against each other, and
/// stays for a person to set.
pub fn run(folds: &[Fold]) -> ApartCalibration {
    let own = Ear::new().expect("the model comes with the program").settings().apart;
    let spoken: Vec<Vec<NoisySounds>> = over(folds, |ear, case| {
        let asked = case.is_among(WEIGHED_WORDS);
        let Some(placed) = asked.then(|| case.placed(ear)).flatten() else {
            return Vec::new();
        };
        let one = |snr: f64| {
            let made = made::apart(&case.recording, &placed, snr, case.word.start as u64)?;
            Some(NoisySounds {
                count: placed.len(),
                snr,
                lost: made.is_lost(),
                evidence: ear.listen(&made.recording, Speaking::Separate).ok()?,
            })
        };
        [20.0, 10.0].into_iter().filter_map(one).collect()
    });
    let spoken: Vec<NoisySounds> = spoken.into_iter().flatten().collect();
    // To count a sound that is lost in the noise would be to hear sounds in noise; but it makes a count less sure.
    let (lost, whole): (Vec<&NoisySounds>, Vec<&NoisySounds>) = spoken.iter().partition(|s| s.lost);
    let all = weighings(own);
    let mut results: Vec<([f64; 2], ApartCalibration)> = spread(&all, |ear: &mut Ear, c| (exact(ear, c, &whole), *c));
    results.sort_by(|a, b| (b.0[0] + b.0[1]).total_cmp(&(a.0[0] + a.0[1])));
    println!(
        "apart: exact at 20 dB, at 10 dB, of {}; {} with a sound lost in the noise left out",
        whole.len(),
        lost.len()
    );
    results
        .iter()
        .take(25)
        .for_each(|r| println!("  {:.1} {:.1} {:?}", r.0[0], r.0[1], r.1));
    let doubt = doubt(&spoken);
    likeness(folds, own);
    ApartCalibration { doubt, ..results[0].1 }
}

/// Prints how sure counts are under each power on their probabilities; returns the one of the least log loss.
fn doubt(spoken: &[NoisySounds]) -> f32 {
    let powers: Vec<f32> = (1..=20).map(|i| i as f32 / 20.0).collect();
    let lines = spread(&powers, |ear: &mut Ear, power| {
        ear.settings_mut().apart.doubt = *power;
        let mut both = 0.0;
        let figures = [20.0, 10.0].map(|at| {
            let (mut loss, mut sure) = (0.0, Vec::new());
            for s in spoken.iter().filter(|s| s.snr == at) {
                let judged = ear.judge_evidence(&s.evidence, None, Speaking::Separate, &Rules::default());
                let all = judged.map(|j| j.count_probabilities).unwrap_or_default();
                let p = all.iter().find(|c| c.0 == s.count).map_or(1e-3, |c| c.1);
                loss -= f64::from(p.max(1e-3)).ln();
                let top = likeliest(&all);
                sure.push((top.1, top.0 == s.count));
            }
            let loss = loss / sure.len().max(1) as f64;
            both += loss;
            format!("{at} dB loss {loss:.3}, error {:.3}", calibration_error(&sure))
        });
        (
            both,
            *power,
            format!("doubt {power:.2}: {}; {}", figures[0], figures[1]),
        )
    });
    println!("apart: how sure counts are");
    lines.iter().for_each(|l| println!("  {}", l.2));
    lines.iter().min_by(|a, b| a.0.total_cmp(&b.0)).map_or(1.0, |l| l.1)
}

/// A word's sounds one by one at 20 dB, and what is asked about them: the word, and real words with a sound changed.
struct ApartCase {
    evidence: Evidence,
    word: Vec<Sound>,
    changed: Vec<Vec<Sound>>,
}

fn said(ear: &mut Ear, case: &Case) -> Option<ApartCase> {
    if !case.is_among(SENTENCE_WORDS) {
        return None;
    }
    let word = case.word.sounds();
    let made = made::apart(&case.recording, &case.placed(ear)?, 20.0, case.word.start as u64)?;
    Some(ApartCase {
        evidence: ear.listen(&made.recording, Speaking::Separate).ok()?,
        changed: case.others.iter().filter(|o| o.len() == word.len()).cloned().collect(),
        word,
    })
}

/// Tries how far a piece is believed to be another sound; prints all.
fn likeness(folds: &[Fold], own: ApartCalibration) {
    let all: Vec<ApartCase> = over(folds, said).into_iter().flatten().collect();
    let mut tried = Vec::new();
    for unlike in [0.35f32, 0.45, 0.6, 1.0] {
        for benefit in [3.4f32, 8.0, 10.0, 12.0] {
            tried.push(ApartCalibration { unlike, benefit, ..own });
        }
    }
    let lines = spread(&tried, |ear: &mut Ear, c| {
        ear.settings_mut().apart = *c;
        let asked_about = |sounds: &Vec<Sound>, s: &ApartCase| {
            let judged = ear.judge_evidence(&s.evidence, Some(&asked(sounds)), Speaking::Separate, &Rules::default());
            judged.ok().and_then(|j| j.verdict)
        };
        let right: Vec<_> = all.iter().map(|s| asked_about(&s.word, s)).collect();
        let pairs = || all.iter().flat_map(|s| s.changed.iter().map(move |o| (s, o)));
        let wrong: Vec<_> = pairs().map(|(s, o)| asked_about(o, s)).collect();
        let part = |of: &[Option<Verdict>], v| {
            100.0 * of.iter().filter(|x| **x == Some(v)).count() as f64 / of.len().max(1) as f64
        };
        format!(
            "right affirmed {:.1} %, held to be changed {:.1} %, of {}; with one changed affirmed {:.1} %, caught {:.1} %, of {}: \
             unlike {} benefit {}",
            part(&right, Verdict::Same),
            part(&right, Verdict::Changed),
            right.len(),
            part(&wrong, Verdict::Same),
            part(&wrong, Verdict::Changed),
            wrong.len(),
            c.unlike,
            c.benefit
        )
    });
    println!("each piece like its sound, 20 dB, words said alone and one in {SENTENCE_WORDS} of those in sentences:");
    lines.iter().for_each(|l| println!("  {l}"));
}

fn exact(ear: &mut Ear, c: &ApartCalibration, spoken: &[&NoisySounds]) -> [f64; 2] {
    ear.settings_mut().apart = *c;
    let (mut hits, mut n) = ([0usize; 2], [0usize; 2]);
    for s in spoken {
        let judged = ear.judge_evidence(&s.evidence, None, Speaking::Separate, &Rules::default());
        let which = usize::from(s.snr < 15.0);
        n[which] += 1;
        hits[which] += usize::from(judged.is_ok_and(|j| j.heard == s.count));
    }
    [0, 1].map(|i| 100.0 * hits[i] as f64 / n[i].max(1) as f64)
}
