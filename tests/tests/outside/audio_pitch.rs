//! Pitch against pulses of known rate.

use crate::audio_made::{RATE, Random, Source, add_noise, rms, vowel};
use soundbead_dsp::pitch;

const FORMANTS: [(f64, f64); 3] = [(700.0, 90.0), (1500.0, 110.0), (2900.0, 170.0)];

struct Tally {
    frames: usize,
    voiced: usize,
    gross: usize,
    octave: usize,
    fine: Vec<f64>,
}

fn tally(samples: &[f32], truth: impl Fn(f64) -> f64) -> Tally {
    let track = pitch::track(samples);
    let mut t = Tally {
        frames: 0,
        voiced: 0,
        gross: 0,
        octave: 0,
        fine: vec![],
    };
    // The first and last 40 ms have no whole window.
    for p in &track[4..track.len() - 4] {
        t.frames += 1;
        let Some(hz) = p.hz else { continue };
        t.voiced += 1;
        let ratio = f64::from(hz) / truth(f64::from(p.time_s));
        if (ratio - 1.0).abs() > 0.2 {
            t.gross += 1;
            let octaves = ratio.log2();
            t.octave += usize::from((octaves - octaves.round()).abs() < 0.1);
        } else {
            t.fine.push((ratio - 1.0).abs());
        }
    }
    t.fine.sort_by(f64::total_cmp);
    t
}

fn add(all: &mut Tally, one: Tally) {
    all.frames += one.frames;
    all.voiced += one.voiced;
    all.gross += one.gross;
    all.octave += one.octave;
    all.fine.extend(one.fine);
    all.fine.sort_by(f64::total_cmp);
}

/// Rates from a man's to a child's squeal; clean, jittered by 1 %, and at 10 dB signal-to-noise. The limits are our
/// own: 1 % gross errors (over 20 % off, the usual definition of Rabiner et al. 1976, IEEE Trans. ASSP 24, 399-418).
#[test]
fn known_pitches_are_found() {
    for (name, jitter, noise) in [
        ("clean", 0.0, None),
        ("jitter 1 %", 0.01, None),
        ("noise 10 dB", 0.0, Some(10.0)),
    ] {
        let mut all = Tally {
            frames: 0,
            voiced: 0,
            gross: 0,
            octave: 0,
            fine: vec![],
        };
        for (i, f0) in (0..18).map(|i| (i, 80.0 * 1.115f64.powi(i))) {
            for kind in [Source::Pulses, Source::Glottis] {
                let mut random = Random::new(i as u64 + 1);
                let steps: Vec<f64> = (0..200).map(|_| 1.0 + jitter * random.normal()).collect();
                let rate = |t: f64| f0 * steps[(t * f0) as usize % 200];
                let mut x = vowel(kind, 0.6, rate, &FORMANTS, 0.5);
                if let Some(db) = noise {
                    let level = 20.0 * rms(&x).log10() - db;
                    add_noise(&mut x, level, i as u64 + 50);
                }
                add(&mut all, tally(&x, |_| f0));
            }
        }
        let gross = all.gross as f64 / all.voiced.max(1) as f64;
        println!(
            "{name}: {} frames, voiced {:.1} %, gross errors {:.2} % (octaves {}), median fine error {:.2} %",
            all.frames,
            100.0 * all.voiced as f64 / all.frames as f64,
            100.0 * gross,
            all.octave,
            100.0 * all.fine[all.fine.len() / 2]
        );
        assert!(
            gross <= 0.01,
            "{name}: gross errors in {:.2} % of frames",
            100.0 * gross
        );
        assert!(
            all.voiced as f64 >= 0.95 * all.frames as f64,
            "{name}: too few frames voiced"
        );
        assert!(
            all.fine[all.fine.len() / 2] < 0.01,
            "{name}: median error {}",
            all.fine[all.fine.len() / 2]
        );
    }
}

/// A child's rising and falling call, 220 to 400 Hz in a quarter of a second, is followed.
#[test]
fn a_glide_is_followed() {
    let f0 = |t: f64| 220.0 + 180.0 * (std::f64::consts::PI * t / 0.5).sin();
    let t = tally(&vowel(Source::Glottis, 0.5, f0, &FORMANTS, 0.5), f0);
    assert!(
        t.gross == 0 && t.fine[t.fine.len() * 9 / 10] < 0.03,
        "gross {}, fine {:?}",
        t.gross,
        t.fine.last()
    );
}

/// Noise, silence, a constant and scraps have no pitch.
#[test]
fn what_is_no_voice_has_no_pitch() {
    let mut noise = vec![0.0; RATE as usize];
    add_noise(&mut noise, -20.0, 9);
    let voiced = pitch::track(&noise).iter().filter(|p| p.hz.is_some()).count();
    assert!(voiced <= 3, "{voiced} of 100 frames of noise called voiced");
    for x in [
        vec![],
        vec![0.0; 5],
        vec![0.0; 16_000],
        vec![0.3; 16_000],
        vec![1.0; 333],
    ] {
        assert!(pitch::track(&x).iter().all(|p| p.hz.is_none()));
    }
}
