//! How long the ear takes over one second of sound, from samples to judgement.

use std::hint::black_box;

use criterion::{Criterion, criterion_group, criterion_main};
use soundbead_data::{Rules, Sound};
use soundbead_dsp::audio::Recording;
use soundbead_dsp::ear::Ear;
use soundbead_dsp::judgement::{Speaking, Target};

/// A buzz at a child's pitch with silence around it: what matters here is its length.
fn second() -> Recording {
    let sample = |i: usize| {
        let t = i as f32 / 16_000.0;
        let buzz: f32 = (1..20)
            .map(|h| (std::f32::consts::TAU * 250.0 * h as f32 * t).sin() / h as f32)
            .sum();
        if (4_000..12_000).contains(&i) {
            0.1 * buzz
        } else {
            0.0005 * ((i * i) as f32 * 0.37).sin()
        }
    };
    Recording::from_samples((0..16_000).map(sample).collect()).expect("samples")
}

fn ear(c: &mut Criterion) {
    let (recording, rules) = (second(), Rules::default());
    let mut ear = Ear::new().expect("weights");
    let target = Target {
        variants: vec![vec![Sound::S, Sound::AH, Sound::N]],
        letters: Vec::new(),
    };
    c.bench_function("judge 1 s against a word", |b| {
        b.iter(|| ear.judge(black_box(&recording), Some(&target), Speaking::Whole, &rules));
    });
    let word = |vowel| Target {
        variants: vec![vec![Sound::S, vowel, Sound::N]],
        letters: Vec::new(),
    };
    let vowels = [Sound::AH, Sound::IH, Sound::IY, Sound::AE, Sound::EH, Sound::UW];
    let list = vowels.map(word);
    c.bench_function("judge 1 s against a word of a list of six", |b| {
        b.iter(|| ear.judge_among(black_box(&recording), &target, &list, Speaking::Whole, &rules));
    });
    c.bench_function("listen to 1 s", |b| {
        b.iter(|| ear.listen(black_box(&recording), Speaking::Whole))
    });
    c.bench_function("count 1 s blindly", |b| {
        b.iter(|| ear.judge(black_box(&recording), None, Speaking::Whole, &rules));
    });
}

criterion_group!(benches, ear);
criterion_main!(benches);
