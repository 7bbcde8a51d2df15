//! Sounds said one by one, made of the words' own sounds: how the witnesses for speech are weighed.

use soundbead_data::Rules;
use soundbead_dsp::apart::ApartCalibration;
use soundbead_dsp::ear::{Ear, Evidence};
use soundbead_dsp::judgement::Speaking;

use super::super::{made, report::spread};
use super::{Fold, asked, over};

/// Tries every weighing; prints the best.
pub fn run(folds: &[Fold]) {
    let made: Vec<Vec<(usize, f64, Evidence)>> = over(folds, |ear, case| {
        let target = asked(&case.word.sounds());
        let judged = ear.judge_evidence(&case.evidence, Some(&target), Speaking::Whole, &Rules::default());
        let (true, Ok(placed)) = (case.alone, judged) else {
            return Vec::new();
        };
        let one = |snr: f64| {
            let (made, _) = made::apart(&case.recording, &placed.sounds, snr, case.word.start as u64)?;
            Some((placed.sounds.len(), snr, ear.listen(&made, Speaking::Separate).ok()?))
        };
        [20.0, 10.0].into_iter().filter_map(one).collect()
    });
    let made: Vec<(usize, f64, Evidence)> = made.into_iter().flatten().collect();
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
                    });
                }
            }
        }
    }
    let mut results: Vec<([f64; 2], String)> =
        spread(&all, |ear: &mut Ear, c| (exact(ear, c, &made), format!("{c:?}")));
    results.sort_by(|a, b| (b.0[0] + b.0[1]).total_cmp(&(a.0[0] + a.0[1])));
    println!("apart: exact at 20 dB, at 10 dB, of {}", made.len());
    results
        .iter()
        .take(25)
        .for_each(|r| println!("  {:.1} {:.1} {}", r.0[0], r.0[1], r.1));
}

fn exact(ear: &mut Ear, c: &ApartCalibration, made: &[(usize, f64, Evidence)]) -> [f64; 2] {
    ear.settings_mut().apart = *c;
    let (mut hits, mut n) = ([0usize; 2], [0usize; 2]);
    for (count, snr, evidence) in made {
        let judged = ear.judge_evidence(evidence, None, Speaking::Separate, &Rules::default());
        let which = usize::from(*snr < 15.0);
        n[which] += 1;
        hits[which] += usize::from(judged.is_ok_and(|j| j.heard == *count));
    }
    [0, 1].map(|i| 100.0 * hits[i] as f64 / n[i].max(1) as f64)
}
