//! The Rust side must compute what the training framework computed (JAX; `training/export.py` made the vectors).

use serde_json::Value;
use soundbead_dsp::ear::inside::{FRAME_WIDTH, Lattice, Mel, Model, SHIPPED, Scores, class_of, weights_of};

fn vectors() -> Value {
    serde_json::from_str(include_str!("../weights/vectors.json")).expect("vectors.json")
}

fn rows(value: &Value) -> Vec<Vec<f32>> {
    serde_json::from_value(value.clone()).expect("rows of numbers")
}

fn audio(v: &Value) -> Vec<f32> {
    let whole: Vec<i16> = serde_json::from_value(v["audio"].clone()).expect("samples");
    whole.iter().map(|&x| f32::from(x) / 32768.0).collect()
}

#[test]
fn features_agree() {
    let v = vectors();
    let mut out = Vec::new();
    let n = Mel::new(1.0).frames(&audio(&v), &mut out);
    assert_eq!(n, 61);
    for (want, got) in rows(&v["features"])
        .iter()
        .zip(out.chunks_exact(FRAME_WIDTH).step_by(6))
    {
        for (w, g) in want.iter().zip(got) {
            assert!((w - g).abs() < 1e-3, "{w} {g}");
        }
    }
}

#[test]
fn scores_agree_within_a_thousandth() {
    let v = vectors();
    let (mut frames, mut scores) = (Vec::new(), Scores::default());
    Mel::new(1.0).frames(&audio(&v), &mut frames);
    let mut model = Model::from_bytes(SHIPPED).expect("weights");
    model.score(&frames, &mut scores);
    assert_eq!(scores.rows.len(), 61);
    for (want, got) in rows(&v["scores"]).iter().zip(scores.rows.iter().step_by(6)) {
        for (w, g) in want.iter().zip(got) {
            assert!((w - g).abs() < 1e-3, "{w} {g}");
        }
    }
}

#[test]
fn readings_score_as_they_did_in_training() {
    let v = vectors();
    let (mut frames, mut scores) = (Vec::new(), Scores::default());
    Mel::new(1.0).frames(&audio(&v), &mut frames);
    let mut model = Model::from_bytes(SHIPPED).expect("weights");
    model.score(&frames, &mut scores);
    let lattice = Lattice::new(&scores, model.path());
    let readings: Vec<String> = serde_json::from_value(v["readings"].clone()).expect("readings");
    let totals: Vec<f32> = serde_json::from_value(v["totals"].clone()).expect("totals");
    for (reading, want) in readings.iter().zip(totals) {
        let sounds = reading.split(' ').map(|s| s.parse().expect("a sound"));
        let got = lattice.score(&sounds.map(class_of).collect::<Vec<_>>());
        // Sixty-one frames of scores, each allowed a thousandth.
        assert!((got - want).abs() < 0.03, "{reading}: {got} {want}");
    }
}

#[test]
fn the_listener_marks_as_it_did_in_training() {
    let v = vectors();
    let mut frames = Vec::new();
    Mel::new(1.0).frames(&audio(&v), &mut frames);
    let model = Model::from_bytes(SHIPPED).expect("weights");
    let asked = v["marks"]["sounds"].as_str().expect("names").split(' ');
    let classes: Vec<usize> = asked.map(|s| s.parse().map(class_of).expect("a sound")).collect();
    let cuts: Vec<(usize, usize)> = serde_json::from_value(v["marks"]["cuts"].clone()).expect("cuts");
    let numbers = |name: &str| -> Vec<f32> { serde_json::from_value(v["marks"][name].clone()).expect("numbers") };
    let (before, after, votes) = (numbers("before"), numbers("after"), rows(&v["marks"]["votes"]));
    let marks = model.marks(&model.hear(&frames), &classes, &cuts);
    assert_eq!(marks.len(), classes.len());
    for (i, got) in marks.iter().enumerate() {
        let want = [votes[i][0], votes[i][1], votes[i][2], before[i], after[i]];
        let got = [got.right, got.accented, got.wrong, got.added_before, got.added_after];
        let apart = want.iter().zip(got).map(|(w, g)| (w - g).abs()).fold(0.0, f32::max);
        assert!(apart < 1e-3, "sound {i}: {want:?} {got:?}");
    }
}

#[test]
fn the_vectors_are_those_of_the_weights_that_ship() {
    assert_eq!(vectors()["weights"].as_str(), weights_of(SHIPPED).ok().as_deref());
}
