//! How long a second of sound takes: decoding, resampling, finding the word, pitch, formants.
//!
//! `cargo bench -p soundbead-dsp --bench audio`

use std::hint::black_box;
use std::io::Cursor;

use criterion::{Criterion, criterion_group, criterion_main};
use soundbead_dsp::audio::{self, Clip};
use soundbead_dsp::formant::{VoiceKind, vowel};
use soundbead_dsp::voice::Span;
use soundbead_dsp::{pitch, voice};

/// A child's vowel of 0.5 s in the middle of a second of faint noise, at `rate` Hz.
fn second(rate: usize) -> Vec<f32> {
    let (mut seed, mut y1, mut y2) = (1u32, 0.0f32, 0.0f32);
    let (period, from, to) = (rate / 260, rate / 4, rate * 3 / 4);
    let turn = std::f32::consts::TAU * 800.0 / rate as f32;
    let step = |i: usize| {
        seed = seed.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
        let noise = (seed >> 9) as f32 / (1u32 << 23) as f32 - 0.5;
        let pulse = if (from..to).contains(&i) && i.is_multiple_of(period) {
            0.3
        } else {
            0.0
        };
        let y = pulse + 2.0 * 0.97 * turn.cos() * y1 - 0.97 * 0.97 * y2;
        (y2, y1) = (y1, y);
        y * 0.4 + noise * 0.002
    };
    (0..rate).map(step).collect()
}

fn wav(samples: &[f32], rate: usize) -> Vec<u8> {
    let spec = hound::WavSpec {
        channels: 1,
        sample_rate: rate as u32,
        bits_per_sample: 16,
        sample_format: hound::SampleFormat::Int,
    };
    let mut bytes = Cursor::new(Vec::new());
    let mut writer = hound::WavWriter::new(&mut bytes, spec).expect("a writer in memory");
    for &x in samples {
        writer
            .write_sample((x.clamp(-1.0, 1.0) * 32_767.0) as i16)
            .expect("memory takes samples");
    }
    writer.finalize().expect("memory takes the header");
    bytes.into_inner()
}

fn one_second(c: &mut Criterion) {
    let samples = second(16_000);
    let clip = Clip {
        samples: samples.clone(),
    };
    let file = wav(&samples, 16_000);
    let middle = Span {
        start: 5_000,
        end: 11_000,
    };
    let high = second(44_100);
    let mut group = c.benchmark_group("one_second");
    group.bench_function("decode_wav_16k", |b| {
        b.iter(|| audio::decode_bytes(black_box(file.clone()), "wav"))
    });
    group.bench_function("decode_and_find", |b| {
        b.iter(|| audio::decode_bytes(black_box(file.clone()), "wav").map(|r| voice::find(&r.clip)))
    });
    group.bench_function("resample_44k1", |b| b.iter(|| audio::to_16k(black_box(&high), 44_100)));
    group.bench_function("find", |b| b.iter(|| voice::find(black_box(&clip))));
    group.bench_function("pitch", |b| b.iter(|| pitch::track(black_box(&samples))));
    group.bench_function("formants", |b| {
        b.iter(|| vowel(black_box(&clip), middle, VoiceKind::Child))
    });
    group.finish();
}

criterion_group!(benches, one_second);
criterion_main!(benches);
