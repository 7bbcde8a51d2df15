//! The tests' own filters and the program's reading of harmonics, against scipy.signal (reference/spectrum.*).

use crate::audio_made::{RATE, Source, resonate, source};
use serde_json::Value;

const FORMANTS: [(f64, f64); 4] = [(700.0, 90.0), (1500.0, 110.0), (2900.0, 170.0), (4200.0, 250.0)];

fn figures() -> Value {
    serde_json::from_str(include_str!("../../reference/spectrum.json")).expect("the figures are JSON")
}

fn numbers(v: &Value) -> Vec<f64> {
    v.as_array()
        .expect("a list")
        .iter()
        .map(|x| x.as_f64().expect("a number"))
        .collect()
}

/// The impulse response agrees with scipy.signal.lfilter, so vowels made here have the formants they are said to have.
#[test]
fn the_tests_resonators_are_scipys() {
    let want = numbers(&figures()["impulse"]);
    let mut x = vec![0.0; want.len()];
    x[0] = 1.0;
    for (hz, bw) in FORMANTS {
        resonate(&mut x, hz, bw);
    }
    for (i, (got, want)) in x.iter().zip(&want).enumerate() {
        assert!((got - want).abs() < 1e-8, "sample {i}: {got} against {want}");
    }
}

/// The levels of a pulse train's harmonics after the filters are the filters' response at those frequencies, from
/// scipy.signal.freqz: the pulses are band-limited and stand where they should.
#[test]
fn harmonics_have_the_levels_that_scipy_gives() {
    let f = figures();
    let mut x = source(Source::Pulses, 1.0, |_| 250.0);
    for (hz, bw) in FORMANTS {
        resonate(&mut x, hz, bw);
    }
    // 250 Hz divides the rate: 32 whole periods hold every harmonic exactly.
    let part = &x[8_000..8_000 + 2_048];
    let level = |hz: f64| {
        let turn = |i: usize| std::f64::consts::TAU * hz * i as f64 / RATE;
        let re: f64 = part.iter().enumerate().map(|(i, v)| v * turn(i).cos()).sum();
        let im: f64 = part.iter().enumerate().map(|(i, v)| v * turn(i).sin()).sum();
        10.0 * (re * re + im * im).log10()
    };
    let got: Vec<f64> = numbers(&f["hz"]).into_iter().map(level).collect();
    let want = numbers(&f["db"]);
    for (i, (g, w)) in got.iter().zip(&want).enumerate() {
        assert!(
            ((g - got[0]) - (w - want[0])).abs() < 0.05,
            "harmonic {}: {g:.3} against {w:.3}",
            i + 1
        );
    }
}
