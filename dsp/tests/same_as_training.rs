//! The Rust side must compute what the training framework computed (JAX; `training/export.py` made the vectors).

use serde_json::Value;
use soundbead_dsp::frame::{FRAME_WIDTH, Mel};
use soundbead_dsp::model::{Model, Scores};

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
    assert_eq!(n, 60);
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
    let mut model = Model::new().expect("weights");
    model.score(&frames, &mut scores);
    assert_eq!(scores.rows.len(), 60);
    for (want, got) in rows(&v["scores"]).iter().zip(scores.rows.iter().step_by(6)) {
        for (w, g) in want.iter().zip(got) {
            assert!((w - g).abs() < 1e-3, "{w} {g}");
        }
    }
}
