//! Where speech is: made recordings with every sound's place known. What should be in and out is common practice among
//! those who cut recordings by ear, no source.

use crate::audio_made::{RATE, Source, add_noise, hiss, put, vowel};
use soundbead_dsp::audio::{Clip, Recording};
use soundbead_dsp::voice::{self, LeftOut, Voice, Warning};

const AH: [(f64, f64); 4] = [(900.0, 90.0), (1500.0, 110.0), (2900.0, 170.0), (4200.0, 250.0)];
const EE: [(f64, f64); 4] = [(420.0, 80.0), (3000.0, 120.0), (3600.0, 180.0), (4600.0, 250.0)];
/// Shapes of hiss: s high and narrow; f and th flat; breath low; a chair's scrape lower still.
const S: [(f64, f64); 1] = [(6500.0, 1500.0)];
const F: [(f64, f64); 2] = [(5500.0, 6000.0), (7500.0, 5000.0)];
const BREATH: [(f64, f64); 2] = [(700.0, 500.0), (1600.0, 700.0)];
const CHAIR: [(f64, f64); 2] = [(180.0, 120.0), (420.0, 200.0)];

fn child(seconds: f64, formants: &[(f64, f64)], peak: f64) -> Vec<f32> {
    let mut v = vowel(Source::Glottis, seconds, |t| 270.0 - 60.0 * t, formants, peak);
    let n = v.len();
    for (i, x) in v.iter_mut().enumerate() {
        *x *= (i.min(n - 1 - i) as f32 / 320.0).min(1.0);
    }
    v
}

/// A room with noise at -65 dBFS.
fn room(seconds: f64) -> Vec<f32> {
    let mut x = vec![0.0; (seconds * RATE) as usize];
    add_noise(&mut x, -65.0, 77);
    x
}

fn find(samples: &[f32]) -> Voice {
    voice::find(&Clip {
        samples: samples.to_vec(),
    })
}

fn recording(samples: Vec<f32>) -> (Recording, Voice) {
    let rec = Recording::from_samples(samples).expect("usable samples");
    let v = voice::find(&rec.clip);
    (rec, v)
}

/// The word found must start and end within `slack` of the truth, in seconds.
fn expect(v: &Voice, start: f64, end: f64, slack: f64) {
    let w = v
        .word
        .unwrap_or_else(|| panic!("no word found; left out {:?}", v.left_out));
    let (a, b) = (w.start as f64 / RATE, w.end as f64 / RATE);
    assert!(
        (a - start).abs() <= slack && (b - end).abs() <= slack,
        "found {a:.3}-{b:.3}, true {start}-{end}: {v:?}"
    );
}

#[test]
fn a_plain_word_is_found_at_every_length_and_level() {
    for peak in [0.02, 0.2, 0.9] {
        for (total, at, long) in [(0.5, 0.1, 0.25), (1.2, 0.5, 0.4), (30.0, 14.0, 0.6)] {
            let mut x = room(total);
            put(&mut x, at, &child(long, &AH, peak));
            expect(&find(&x), at, at + long, 0.035);
        }
    }
}

#[test]
fn weak_final_fricatives_stay_in() {
    // 28 dB below the vowel for f and th, 18 dB for s: the order of size of Ladefoged's and others' intensity tables.
    for (shape, peak) in [(&F[..], 0.02), (&S[..], 0.06)] {
        let mut x = room(1.2);
        put(&mut x, 0.3, &child(0.3, &AH, 0.5));
        put(&mut x, 0.59, &hiss(0.16, shape, peak, 5));
        expect(&find(&x), 0.3, 0.75, 0.045);
    }
}

#[test]
fn a_stops_closure_stays_inside() {
    for gap in [0.06, 0.1, 0.14] {
        let mut x = room(1.4);
        put(&mut x, 0.3, &child(0.25, &AH, 0.5));
        put(&mut x, 0.55 + gap, &hiss(0.05, &[(3500.0, 2500.0)], 0.12, 6));
        let v = find(&x);
        expect(&v, 0.3, 0.6 + gap, 0.045);
        assert_eq!(v.spans.len(), 1, "a closure of {gap} s parted the word");
    }
}

#[test]
fn sounds_said_apart_are_listed_and_the_word_covers_them() {
    for gap in [0.2, 0.4, 0.8] {
        let mut x = room(4.0);
        put(&mut x, 0.3, &hiss(0.25, &S, 0.08, 8));
        put(&mut x, 0.55 + gap, &child(0.25, &AH, 0.5));
        put(
            &mut x,
            0.8 + 2.0 * gap,
            &child(0.25, &[(300.0, 80.0), (1200.0, 300.0)], 0.25),
        );
        let (rec, v) = recording(x);
        assert_eq!(v.spans.len(), 3, "gap {gap}: {v:?}");
        expect(&v, 0.3, 1.05 + 2.0 * gap, 0.045);
        assert!(voice::quality(&rec, &v).warnings.contains(&Warning::SeveralStretches));
    }
}

#[test]
fn other_sounds_are_left_out() {
    let word = |x: &mut Vec<f32>| put(x, 1.2, &child(0.35, &AH, 0.5));
    let click = [0.6f32, -0.7, 0.5, -0.3, 0.2, -0.1];
    let far = child(0.5, &EE, 0.5 * 10f32.powf(-22.0 / 20.0) as f64);
    let breath = hiss(0.45, &BREATH, 0.02, 2);
    let chair = hiss(0.3, &CHAIR, 0.25, 3);
    for (name, at, sound, reason) in [
        ("click before", 0.5, &click[..], LeftOut::Click),
        ("click after", 1.9, &click[..], LeftOut::Click),
        ("breath", 0.6, &breath[..], LeftOut::Breath),
        ("far voice", 0.3, &far[..], LeftOut::FarVoice),
        ("far voice after", 2.1, &far[..], LeftOut::FarVoice),
        ("chair", 0.4, &chair[..], LeftOut::Noise),
        ("chair after", 2.0, &chair[..], LeftOut::Noise),
    ] {
        let mut x = room(3.0);
        word(&mut x);
        put(&mut x, at, sound);
        let v = find(&x);
        println!("{name}: {:?}", v.left_out);
        expect(&v, 1.2, 1.55, 0.04);
        assert!(
            v.left_out.iter().any(|(_, why)| *why == reason),
            "{name}: {:?}",
            v.left_out
        );
    }
}

#[test]
fn hum_and_offset_do_not_hide_or_make_a_word() {
    for mains in [50.0, 60.0] {
        let hum = |x: &mut [f32], level: f64| {
            for (i, v) in x.iter_mut().enumerate() {
                let t = i as f64 / RATE * std::f64::consts::TAU * mains;
                *v += (level * (t.sin() + 0.4 * (2.0 * t).sin() + 0.2 * (3.0 * t).sin())) as f32;
            }
        };
        let mut x = room(1.5);
        hum(&mut x, 0.03);
        assert!(find(&x).word.is_none(), "hum at {mains} Hz taken for a word");
        put(&mut x, 0.6, &child(0.4, &AH, 0.4));
        expect(&find(&x), 0.6, 1.0, 0.05);
    }
    let mut x = room(1.5);
    x.iter_mut().for_each(|v| *v += 0.25);
    assert!(find(&x).word.is_none());
    put(&mut x, 0.6, &child(0.4, &AH, 0.4));
    expect(&find(&x), 0.6, 1.0, 0.04);
}

#[test]
fn noise_that_starts_after_the_word_is_not_its_end() {
    let mut x = room(3.0);
    put(&mut x, 0.5, &child(0.4, &AH, 0.5));
    put(&mut x, 1.2, &hiss(1.75, &[(500.0, 600.0), (1200.0, 1500.0)], 0.05, 4));
    expect(&find(&x), 0.5, 0.9, 0.05);
}

#[test]
fn nothing_is_found_in_nothing() {
    for x in [
        vec![],
        vec![0.0; 1],
        vec![0.0; 100],
        vec![0.0; 16_000],
        vec![0.5; 16_000],
        room(1.0),
        room(0.2),
    ] {
        let v = find(&x);
        assert!(v.word.is_none() && v.spans.is_empty(), "{v:?}");
    }
    let (rec, v) = recording(vec![0.0; 16_000]);
    let q = voice::quality(&rec, &v);
    assert_eq!(q.warnings, [Warning::NoSpeech]);
    assert!(q.snr_db.is_none() && q.speech_s == 0.0);
    assert!(find(&[f32::NAN; 4000]).word.is_none());
}

/// A chair alone or a click alone is no word; a whispered word is.
#[test]
fn noises_alone_are_no_word_but_a_whisper_is() {
    for sound in [hiss(0.4, &CHAIR, 0.3, 9), vec![0.7, -0.6, 0.4, -0.2]] {
        let mut x = room(1.5);
        put(&mut x, 0.5, &sound);
        let v = find(&x);
        assert!(v.word.is_none(), "{v:?}");
    }
    let mut x = room(1.5);
    put(
        &mut x,
        0.5,
        &hiss(0.4, &[(900.0, 200.0), (1500.0, 250.0), (2900.0, 300.0)], 0.05, 9),
    );
    expect(&find(&x), 0.5, 0.9, 0.05);
}

#[test]
fn a_word_cut_tight_is_still_a_word() {
    let x = child(0.35, &AH, 0.5);
    let w = find(&x).word.expect("a vowel without silence about it");
    assert!(w.seconds() > 0.25, "{w:?}");
}

#[test]
fn level_and_noise_are_measured() {
    // Levels set here by their root-mean-square; the noise is white to 8 kHz and the measure reads 120 Hz to 7.6 kHz,
    // 0.3 dB less.
    for (dbfs, snr) in [(-20.0, 30.0), (-35.0, 20.0), (-30.0, 10.0)] {
        let mut x = vec![0.0; 32_000];
        let mut word = child(0.6, &AH, 0.5);
        let gain = (10f64.powf(dbfs / 20.0) / crate::audio_made::rms(&word)) as f32;
        word.iter_mut().for_each(|v| *v *= gain);
        put(&mut x, 0.7, &word);
        add_noise(&mut x, dbfs - snr, 5);
        let v = find(&x);
        assert!(
            (f64::from(v.level_dbfs) - dbfs).abs() < 1.5,
            "level {} for {dbfs}",
            v.level_dbfs
        );
        assert!(
            (f64::from(v.noise_dbfs) - (dbfs - snr - 0.3)).abs() < 2.0,
            "noise {} for {}",
            v.noise_dbfs,
            dbfs - snr
        );
        assert!(
            (f64::from(v.snr_db.unwrap()) - snr).abs() < 2.5,
            "snr {:?} for {snr}",
            v.snr_db
        );
    }
}

#[test]
fn warnings_say_what_is_wrong() {
    let warned = |x: Vec<f32>| {
        let (rec, v) = recording(x);
        voice::quality(&rec, &v).warnings
    };
    let word = |peak: f64| child(0.4, &AH, peak);
    let mut good = room(1.4);
    put(&mut good, 0.5, &word(0.4));
    assert_eq!(warned(good.clone()), []);

    let clipped = good
        .iter()
        .map(|x| (x * 6.0).clamp(-1.0, 32_767.0 / 32_768.0))
        .collect();
    assert_eq!(warned(clipped), [Warning::Clipped]);
    // Cut flat and then turned down: no sample is near full scale, but the tops are as flat.
    let turned_down = good.iter().map(|x| (x * 6.0).clamp(-1.0, 1.0) * 0.5).collect();
    assert!(warned(turned_down).contains(&Warning::Clipped));

    assert_eq!(warned(good[(0.6 * RATE) as usize..].to_vec()), [Warning::StartsClipped]);
    assert_eq!(warned(good[..(0.8 * RATE) as usize].to_vec()), [Warning::EndsCut]);

    let mut quiet = vec![0.0; 22_400];
    add_noise(&mut quiet, -85.0, 3);
    put(&mut quiet, 0.5, &word(0.008));
    assert_eq!(warned(quiet), [Warning::TooQuiet]);

    let mut noisy = vec![0.0; 22_400];
    add_noise(&mut noisy, -30.0, 3);
    put(&mut noisy, 0.5, &word(0.2));
    assert!(warned(noisy).contains(&Warning::Noisy));
    for w in [
        Warning::NoSpeech,
        Warning::TooQuiet,
        Warning::Noisy,
        Warning::Clipped,
        Warning::StartsClipped,
    ] {
        assert!(!w.to_string().contains('\n') && w.to_string().len() < 90);
    }
}
