//! The quick sums against the plain slow ones: every way of laying sounds on a few frames, counted one by one.

use soundbead_data::{Rules, Sound};
use soundbead_dsp::ear::inside::{
    BlindCalibration, CLASSES, Calibration, GIVEN_UP, Lattice, MOST, PathWeights, SILENCE, Scores, Slip, Vocabulary,
    class_of, count_among, readings, sounds_of,
};

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
    let lattice = Lattice::new(&scores, &path);
    for text in ["P", "P IH", "P IH G", "S T AH P"] {
        let c = classes(&sounds(text));
        let (quick, plain) = (f64::from(lattice.score(&c)), plain_score(&scores, &path, &c));
        assert!((quick - plain).abs() < 1e-3, "{text}: {quick} {plain}");
    }
}

#[test]
fn a_word_too_long_for_its_frames_has_no_place() {
    let (scores, path) = (scores(5), path());
    let lattice = Lattice::new(&scores, &path);
    assert!(lattice.cuts(&classes(&sounds("P IH G"))).is_none());
    assert!(lattice.score(&classes(&sounds("P IH G"))) < -1e8);
}

/// Each reading's weight, less its prior, must be what the reading scores when it is asked about by itself.
#[test]
fn shared_sums_give_each_reading_its_own_score() {
    let (scores, path) = (scores(14), path());
    let lattice = Lattice::new(&scores, &path);
    let target = sounds("P IH G");
    let all = readings(&lattice, &target);
    assert_eq!(all[0].slip, Slip::None);
    // One sound fewer at three places; 38 or 37 added at four; 36 or 37 changed at three (no twins side by side).
    assert_eq!(all.iter().filter(|r| matches!(r.slip, Slip::Fewer(_))).count(), 3);
    assert_eq!(
        all.iter().filter(|r| matches!(r.slip, Slip::More(..))).count(),
        38 + 37 + 37 + 38
    );
    for reading in &all {
        let alone = lattice.score(&classes(&sounds_of(&target, reading.slip)));
        assert!(
            (reading.score - alone).abs() < 1e-3,
            "{:?}: {} {alone}",
            reading.slip,
            reading.score
        );
    }
    // The priors of all ways to add a sound sum to one, and so do those of all ways to change one.
    for kind in [Slip::is_more, Slip::is_changed] {
        let share: f32 = all.iter().filter(|r| kind(r.slip)).map(|r| r.share.exp()).sum();
        assert!((share - 1.0).abs() < 1e-3, "{share}");
    }
}

/// Words, and no others, are known to be words: peg and big are, pif is not.
#[test]
fn readings_that_make_a_word_are_marked() {
    let (scores, path) = (scores(14), path());
    let target = sounds("P IH G");
    let all = readings(&Lattice::new(&scores, &path), &target);
    let zipf = |slip| all.iter().find(|r| r.slip == slip).expect("a reading").zipf;
    let sound = |name: &str| name.parse().expect("a sound");
    assert!(zipf(Slip::Changed(1, sound("EH"))).is_some() && zipf(Slip::Changed(0, sound("B"))).is_some());
    assert!(zipf(Slip::More(3, sound("Z"))).is_some(), "pigs");
    assert!(zipf(Slip::Changed(2, sound("F"))).is_none());
    let c = Calibration {
        fewer: -1.0,
        more: -1.0,
        changed: -1.0,
        other: -8.0,
        temperature: 1.0,
        word: 30.0,
        frequency: 0.3,
    };
    let gain = |slip| {
        let r = all.iter().find(|r| r.slip == slip).expect("a reading");
        r.weight(&c) - r.score - r.share
    };
    assert!(gain(Slip::Changed(0, sound("B"))) > gain(Slip::Changed(2, sound("F"))) + 3.0);
}

/// Walking only beginnings that are alive must give the sum over the words, each scored by itself.
#[test]
fn the_tree_of_words_is_the_sum_over_its_words() {
    let (scores, path) = (scores(30), path());
    let lattice = Lattice::new(&scores, &path);
    let words = ["P IH G", "P EH G", "P IH", "S T AH P", "S T AA P S", "AH P", "P IH G"];
    let rows = words.iter().map(|w| (sounds(w), 4.0)).collect();
    let c = BlindCalibration {
        frequency: 0.5,
        strange: -40.0,
        follow: 1.0,
        temperature: 1.0,
    };
    let vocabulary = Vocabulary::new(rows);
    let mut want = [0.0f64; MOST + 1];
    let each: Vec<f64> = words
        .iter()
        .map(|w| f64::from(lattice.score(&classes(&sounds(w)))))
        .collect();
    let top = each.iter().copied().fold(f64::MIN, f64::max);
    words
        .iter()
        .zip(&each)
        .for_each(|(w, e)| want[sounds(w).len()] += (e - top).exp());
    let all: f64 = want.iter().sum();
    for given_up in [0.0, GIVEN_UP] {
        let got = count_among(&vocabulary, &lattice, &path, &Rules::default(), &c, given_up);
        for (k, w) in want.iter().enumerate() {
            assert!(
                (f64::from(got.counts[k]) - w / all).abs() < 1e-3,
                "{k}: {} {}",
                got.counts[k],
                w / all
            );
        }
        let total = top + (all / words.len() as f64).ln();
        assert!((got.total - total).abs() < 1e-2, "{} {total}", got.total);
        let likeliest = words[each.iter().position(|e| *e == top).expect("one")];
        assert!(
            got.best == sounds(likeliest) || likeliest == "P IH G",
            "{:?} {likeliest}",
            got.best
        );
    }
}

#[test]
fn the_best_way_is_in_order_and_inside() {
    let (scores, path) = (scores(30), path());
    let lattice = Lattice::new(&scores, &path);
    let cuts = lattice.cuts(&classes(&sounds("S T AH P"))).expect("it fits");
    assert!(cuts.iter().all(|(a, b)| b >= &(a + 2) && *b <= 30), "{cuts:?}");
    assert!(cuts.windows(2).all(|w| w[0].1 == w[1].0), "{cuts:?}");
}
