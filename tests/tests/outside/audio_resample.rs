//! Resampling against scipy.signal (figures and the script that made them in reference/resample.*), and against what
//! band-limiting means.

use std::f64::consts::TAU;

use serde_json::Value;
use soundbead_dsp::audio::{Resampler, to_16k};

const RATES: [u32; 8] = [8_000, 11_025, 22_050, 24_000, 44_100, 48_000, 96_000, 192_000];

fn tone(rate: u32, hz: f64, seconds: f64) -> Vec<f32> {
    let n = (f64::from(rate) * seconds) as usize;
    (0..n)
        .map(|i| (0.5 * (TAU * hz * i as f64 / f64::from(rate)).sin()) as f32)
        .collect()
}

/// Level of the middle of a signal against a tone of 0.5, in dB.
fn level(y: &[f32]) -> f64 {
    let middle = &y[y.len() / 4..3 * y.len() / 4];
    20.0 * (crate::audio_made::rms(middle) / (0.5 / 2f64.sqrt()))
        .max(1e-12)
        .log10()
}

#[test]
fn a_mixture_comes_out_as_scipy_has_it() {
    let text = include_str!("../../reference/resample.json");
    let figures: Value = serde_json::from_str(text).expect("the figures are JSON");
    for case in figures["cases"].as_array().expect("cases") {
        let rate = case["rate"].as_u64().unwrap() as u32;
        let tones = [(313.0, 0.2, 0.3), (1502.7, 0.15, 1.1), (3307.0, 0.1, 2.0)];
        let x: Vec<f32> = (0..rate / 2)
            .map(|i| f64::from(i) / f64::from(rate))
            .map(|t| tones.iter().map(|(f, a, p)| a * (TAU * f * t + p).sin()).sum::<f64>() as f32)
            .collect();
        let y = to_16k(&x, rate).expect("the rate is handled");
        let from = case["from"].as_u64().unwrap() as usize;
        let values: Vec<f64> = case["values"]
            .as_array()
            .unwrap()
            .iter()
            .map(|v| v.as_f64().unwrap())
            .collect();
        // 60 dB under the mixture's peak of 0.45; a delay of a tenth of a sample would show as 0.02.
        for (i, want) in values.iter().enumerate() {
            let got = f64::from(y[from + i]);
            assert!(
                (got - want).abs() < 4.5e-4,
                "{rate} Hz, sample {}: {got} against scipy's {want}",
                from + i
            );
        }
        assert!(
            (y.len() as i64 - case["samples"].as_i64().unwrap()).abs() <= 1,
            "{rate} Hz: {} samples",
            y.len()
        );
    }
}

/// Level within 0.1 dB up to 90 % of the lower Nyquist frequency.
#[test]
fn the_pass_band_is_flat() {
    for rate in RATES {
        let top = 0.9 * f64::from(rate.min(16_000)) / 2.0;
        for step in 1..=20 {
            let hz = top * f64::from(step) / 20.0;
            let db = level(&to_16k(&tone(rate, hz, 0.5), rate).unwrap());
            assert!(db.abs() < 0.1, "{rate} Hz source, tone of {hz:.0} Hz: {db:.3} dB");
        }
    }
}

/// What cannot be held at 16 kHz must not come back lower down: at least 60 dB under.
#[test]
fn tones_above_8_khz_do_not_fold_back() {
    let mut worst = f64::MIN;
    for rate in RATES.into_iter().filter(|&r| r > 16_000) {
        let top = f64::from(rate) / 2.0;
        let mut hz = 8_020.0;
        while hz < top - 10.0 {
            let db = level(&to_16k(&tone(rate, hz, 0.4), rate).unwrap());
            worst = worst.max(db);
            assert!(
                db < -60.0,
                "{rate} Hz source: a tone of {hz:.0} Hz comes through at {db:.1} dB"
            );
            hz += if hz < 9_000.0 { 170.0 } else { 1_900.0 };
        }
    }
    println!("loudest alias {worst:.1} dB");
}

/// Upward, no mirror image above the source's own Nyquist frequency: the energy must be in the tone alone.
#[test]
fn no_images_appear_on_the_way_up() {
    for (rate, hz) in [(8_000, 3_000.0), (8_000, 3_600.0), (11_025, 5_000.0)] {
        let y = to_16k(&tone(rate, hz, 0.5), rate).unwrap();
        let middle = &y[2_000..6_000];
        let (mut re, mut im) = (0.0, 0.0);
        for (i, v) in middle.iter().enumerate() {
            let turn = TAU * hz * (2_000 + i) as f64 / 16_000.0;
            re += f64::from(*v) * turn.cos() * 2.0 / middle.len() as f64;
            im += f64::from(*v) * turn.sin() * 2.0 / middle.len() as f64;
        }
        let rest: Vec<f32> = middle
            .iter()
            .enumerate()
            .map(|(i, v)| {
                let turn = TAU * hz * (2_000 + i) as f64 / 16_000.0;
                (f64::from(*v) - re * turn.cos() - im * turn.sin()) as f32
            })
            .collect();
        let db = 20.0 * (crate::audio_made::rms(&rest) / crate::audio_made::rms(middle)).log10();
        assert!(db < -60.0, "{rate} Hz, {hz} Hz: images at {db:.1} dB");
    }
}

/// Length to the nearest sample and no delay: an impulse stays at its time, at the start, middle and end.
#[test]
fn times_stay_what_they_were() {
    for rate in RATES.into_iter().chain([16_000, 44_099, 12_345]) {
        for seconds in [0.02, 0.1, 0.777, 1.0] {
            let n = (f64::from(rate) * seconds) as usize;
            let want = (n as f64 * 16_000.0 / f64::from(rate)).round() as usize;
            assert_eq!(
                to_16k(&vec![0.1; n], rate).unwrap().len(),
                want,
                "{rate} Hz, {n} samples"
            );
        }
        for share in [0.1, 0.5, 0.9] {
            let mut x = vec![0.0f32; rate as usize];
            let at = (share * f64::from(rate)) as usize;
            x[at] = 1.0;
            let y = to_16k(&x, rate).unwrap();
            let sum: f64 = y.iter().map(|v| f64::from(v * v)).sum();
            let centre = y
                .iter()
                .enumerate()
                .map(|(i, v)| i as f64 * f64::from(v * v))
                .sum::<f64>()
                / sum;
            let want = at as f64 * 16_000.0 / f64::from(rate);
            assert!(
                (centre - want).abs() < 0.5,
                "{rate} Hz: impulse at {centre:.2}, should be at {want:.2}"
            );
        }
    }
}

/// In pieces or at once, the result is the same to the last bit.
#[test]
fn pieces_and_whole_agree() {
    let x = tone(44_100, 700.0, 0.3);
    let whole = to_16k(&x, 44_100).unwrap();
    let mut r = Resampler::new(44_100).unwrap();
    for (i, piece) in x.chunks(777).enumerate() {
        r.push(piece);
        assert!(r.ready() <= (i + 1) * 777);
    }
    assert_eq!(r.finish(), whole);
}

#[test]
fn rates_that_are_not_handled_are_refused() {
    for rate in [0, 1, 7_999, 192_001, u32::MAX] {
        assert!(Resampler::new(rate).is_none(), "{rate}");
    }
}
