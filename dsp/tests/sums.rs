//! The quick sums against the plain slow ones: every way of laying sounds on a few frames, counted one by one.

use soundbead_data::Sound;
use soundbead_dsp::align::{Lattice, Weighing};
use soundbead_dsp::count::{Calibration, Slip, readings, sounds_of};
use soundbead_dsp::model::{CLASSES, PathWeights, SILENCE, Scores, class_of};

/// Made-up but fixed numbers between -1 and 1.
fn wave(i: usize) -> f32 {
    ((i as f32 * 12.9898).sin() * 43_758.547).fract()
}

fn path() -> PathWeights {
    let log_sigmoid = |x: f32| -(1.0 + (-x).exp()).ln();
    PathWeights {
        stay: std::array::from_fn(|i| log_sigmoid(1.0 + wave(i))),
        leave: std::array::from_fn(|i| log_sigmoid(-1.0 - wave(i))),
        enter: std::array::from_fn(|i| 0.5 * wave(i + 100)),
        scale: 0.8,
        prior: std::array::from_fn(|i| -3.5 + wave(i + 200)),
    }
}

fn scores(frames: usize) -> Scores {
    let row = |t: usize| {
        let raw: [f32; CLASSES] = std::array::from_fn(|c| 2.0 * wave(t * CLASSES + c + 300));
        let norm = raw.iter().map(|x| x.exp()).sum::<f32>().ln();
        raw.map(|x| x - norm)
    };
    Scores {
        rows: (0..frames).map(row).collect(),
    }
}

/// Every split of `frames` into silence, sounds of two or more frames, silence.
fn splits(frames: usize, sounds: usize) -> Vec<Vec<usize>> {
    fn go(left: usize, parts: usize, least: usize, so_far: &mut Vec<usize>, out: &mut Vec<Vec<usize>>) {
        if parts == 0 {
            so_far.push(left);
            out.push(so_far.clone());
            so_far.pop();
            return;
        }
        for n in least..=left {
            so_far.push(n);
            go(left - n, parts - 1, 2, so_far, out);
            so_far.pop();
        }
    }
    let mut out = Vec::new();
    go(frames, sounds + 1, 0, &mut Vec::new(), &mut out);
    out
}

fn plain_score(scores: &Scores, path: &PathWeights, classes: &[usize]) -> f64 {
    let evidence = |t: usize, c: usize| f64::from((scores.rows[t][c] - 0.5 * path.prior[c]) * path.scale);
    let mut total = 0.0f64;
    for split in splits(scores.rows.len(), classes.len()) {
        let (mut value, mut t) = (0.0, 0);
        for (i, &n) in split.iter().enumerate() {
            let silent = i == 0 || i + 1 == split.len();
            let c = if silent { SILENCE } else { classes[i - 1] };
            value += (t..t + n).map(|t| evidence(t, c)).sum::<f64>();
            t += n;
            let stays = if silent { n.saturating_sub(1) } else { n - 2 };
            value += stays as f64 * f64::from(path.stay[c]);
            if i == 0 && n > 0 || !silent {
                value += f64::from(path.leave[c]);
            }
            if !silent {
                value += f64::from(path.enter[c]);
            }
        }
        total += value.exp();
    }
    total.ln()
}

fn sounds(text: &str) -> Vec<Sound> {
    text.split(' ').map(|s| s.parse().expect("a sound")).collect()
}

fn classes(sounds: &[Sound]) -> Vec<usize> {
    sounds.iter().map(|s| class_of(*s)).collect()
}

#[test]
fn the_forward_sum_is_the_sum_over_every_way() {
    let (scores, path) = (scores(9), path());
    let lattice = Lattice::new(&scores, &path, Weighing::default());
    for text in ["P", "P IH", "P IH G", "S T AH P"] {
        let c = classes(&sounds(text));
        let (quick, plain) = (f64::from(lattice.score(&c)), plain_score(&scores, &path, &c));
        assert!((quick - plain).abs() < 1e-3, "{text}: {quick} {plain}");
    }
}

#[test]
fn a_word_too_long_for_its_frames_has_no_place() {
    let (scores, path) = (scores(5), path());
    let lattice = Lattice::new(&scores, &path, Weighing::default());
    assert!(lattice.cuts(&classes(&sounds("P IH G"))).is_none());
    assert!(lattice.score(&classes(&sounds("P IH G"))) < -1e8);
}

/// Each reading's weight, less its prior, must be what the reading scores when it is asked about by itself.
#[test]
fn shared_sums_give_each_reading_its_own_score() {
    let (scores, path) = (scores(14), path());
    let lattice = Lattice::new(&scores, &path, Weighing::default());
    let target = sounds("P IH G");
    let none = Calibration {
        fewer: 0.0,
        more: 0.0,
        changed: 0.0,
        other: 0.0,
        temperature: 1.0,
    };
    let all = readings(&lattice, &target, &none);
    assert_eq!(all[0].slip, Slip::None);
    // One sound fewer at three places; 38 or 37 added at four; 36 or 37 changed at three (no twins side by side).
    assert_eq!(all.iter().filter(|r| matches!(r.slip, Slip::Fewer(_))).count(), 3);
    assert_eq!(
        all.iter().filter(|r| matches!(r.slip, Slip::More(..))).count(),
        38 + 37 + 37 + 38
    );
    let own = lattice.score(&classes(&target));
    assert!((all[0].weight - own).abs() < 1e-3);
    let mut prior: Option<f32> = None;
    for reading in all.iter().filter(|r| matches!(r.slip, Slip::Fewer(_))) {
        let gap = reading.weight - lattice.score(&classes(&sounds_of(&target, reading.slip)));
        assert!((gap - prior.unwrap_or(gap)).abs() < 1e-3, "{:?}", reading.slip);
        prior = Some(gap);
    }
    // The priors of all ways to add a sound sum to one.
    let share: f32 = all
        .iter()
        .filter(|r| matches!(r.slip, Slip::More(..)))
        .map(|r| (r.weight - lattice.score(&classes(&sounds_of(&target, r.slip)))).exp())
        .sum();
    assert!((share - 1.0).abs() < 1e-2, "{share}");
}

#[test]
fn the_best_way_is_in_order_and_inside() {
    let (scores, path) = (scores(30), path());
    for pauses in [false, true] {
        let lattice = Lattice::new(&scores, &path, Weighing { slow: 1.0, pauses });
        let cuts = lattice.cuts(&classes(&sounds("S T AH P"))).expect("it fits");
        assert!(cuts.iter().all(|(a, b)| b >= &(a + 2) && *b <= 30), "{cuts:?}");
        assert!(
            cuts.windows(2)
                .all(|w| if pauses { w[0].1 <= w[1].0 } else { w[0].1 == w[1].0 }),
            "{cuts:?}"
        );
    }
}
