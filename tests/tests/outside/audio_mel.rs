//! The transform and the log mel frames against numpy and scipy (reference/mel.*), and against the mel scale itself.

use realfft::RealFftPlanner;
use serde_json::Value;
use soundbead_dsp::audio::RATE;
use soundbead_dsp::ear::inside::{FRAME, FRAME_WIDTH, MELS, Mel};

fn figures() -> Value {
    serde_json::from_str(include_str!("../../reference/mel.json")).expect("the figures are JSON")
}

fn numbers(v: &Value) -> Vec<f32> {
    let list = v.as_array().expect("a list");
    list.iter().map(|x| x.as_f64().expect("a number") as f32).collect()
}

fn samples(figures: &Value) -> Vec<f32> {
    numbers(&figures["pcm"]).iter().map(|x| x / 32768.0).collect()
}

/// The transform the frames are made with is numpy.fft.rfft's: same sign, no scaling.
#[test]
fn the_transform_is_numpys() {
    let figures = figures();
    let fft = RealFftPlanner::<f32>::new().plan_fft_forward(512);
    let (mut x, mut spectrum) = (samples(&figures)[..512].to_vec(), fft.make_output_vec());
    fft.process(&mut x, &mut spectrum).expect("the lengths are the plan's");
    let (re, im) = (numbers(&figures["rfft"]["re"]), numbers(&figures["rfft"]["im"]));
    assert_eq!(spectrum.len(), re.len());
    for (bin, got) in spectrum.iter().enumerate() {
        // numpy works in double precision and the figures have five places.
        let (dr, di) = ((got.re - re[bin]).abs(), (got.im - im[bin]).abs());
        assert!(
            dr < 1e-4 && di < 1e-4,
            "bin {bin}: {got} against {}{:+}i",
            re[bin],
            im[bin]
        );
    }
}

/// Every number of every frame, for the model's own frequency axis and for one stretched for a shorter vocal tract.
#[test]
fn frames_are_what_numpy_and_scipy_make_of_their_description() {
    let figures = figures();
    let x = samples(&figures);
    for (warp, key) in [(1.0, "1.0"), (1.18, "1.18")] {
        let want = numbers(&figures["frames"][key]);
        let mut got = Vec::new();
        assert_eq!(Mel::new(warp).frames(&x, &mut got), x.len() / FRAME);
        assert_eq!(got.len(), want.len());
        for (i, (g, w)) in got.iter().zip(&want).enumerate() {
            let (row, column) = (i / FRAME_WIDTH, i % FRAME_WIDTH);
            assert!(
                (g - w).abs() < 1e-3,
                "warp {warp}, row {row}, number {column}: {g} against {w}"
            );
        }
    }
}

/// The mel scale is fixed at 1000 Hz = 1000 mel (Stevens, Volkmann and Newman, 1937, J. Acoust. Soc. Am. 8; from
/// memory), so a 1000 Hz tone is loudest in the band whose middle lies nearest 1000 mel. 60 and 7600 Hz are 92.7 and
/// 2787.0 mel by O'Shaughnessy's formula, worked out by hand; 49 equal steps of 54.99 lie between them, and
/// (1000 - 92.7) / 54.99 = 16.5, so band 15 or 16 it is.
#[test]
fn a_tone_of_1000_hz_is_loudest_where_1000_mel_lies() {
    let tone = |hz: f32| move |i: usize| (std::f32::consts::TAU * hz * i as f32 / RATE as f32).sin();
    // A second tone, half of the time, keeps the first from being the level that is taken out.
    let (first, second) = (tone(1000.0), tone(5000.0));
    let x: Vec<f32> = (0..16_000)
        .map(|i| if i < 8_000 { first(i) } else { second(i) })
        .collect();
    let mut frames = Vec::new();
    let rows = Mel::new(1.0).frames(&x, &mut frames);
    let row = &frames[rows / 4 * FRAME_WIDTH..][..MELS];
    let loudest = (0..MELS)
        .max_by(|a, b| row[*a].total_cmp(&row[*b]))
        .expect("there are bands");
    assert!((15..=16).contains(&loudest), "band {loudest}: {row:?}");
}

/// How loud the recording is makes no difference: the model must not care how near the microphone stands.
#[test]
fn loudness_makes_no_difference() {
    let x = samples(&figures());
    let soft: Vec<f32> = x.iter().map(|v| v * 0.05).collect();
    let (mut loud, mut quiet, mut mel) = (Vec::new(), Vec::new(), Mel::new(1.0));
    mel.frames(&x, &mut loud);
    mel.frames(&soft, &mut quiet);
    for (a, b) in loud.iter().zip(&quiet) {
        assert!((a - b).abs() < 2e-3, "{a} against {b}");
    }
}

/// No whole frame, no row; and nothing that is not finite, even of silence.
#[test]
fn nothing_in_nothing_out() {
    let (mut mel, mut out) = (Mel::new(1.0), vec![1.0]);
    assert_eq!(mel.frames(&[0.3; FRAME - 1], &mut out), 0);
    assert!(out.is_empty());
    assert_eq!(mel.frames(&[0.0; 3 * FRAME + 7], &mut out), 3);
    assert!(out.len() == 3 * FRAME_WIDTH && out.iter().all(|x| x.is_finite()));
}
