//! No bytes may make the decoder or the analysis panic or hang: valid files of every container, mutated at random for a
//! few seconds. A panic inside the decoding library would be caught by `decode`; here it fails the test all the same,
//! by its message.

use std::path::Path;
use std::sync::atomic::{AtomicUsize, Ordering};
use std::time::{Duration, Instant};

use crate::audio_made::Random;
use soundbead_dsp::audio::{AudioFault, Clip, decode_bytes};
use soundbead_dsp::formant::{VoiceKind, vowel};
use soundbead_dsp::voice;

fn mutate(bytes: &mut Vec<u8>, random: &mut Random) {
    for _ in 0..1 + random.below(6) {
        if bytes.is_empty() {
            return;
        }
        let n = bytes.len();
        // Headers matter most: half of all changes fall into the first 100 bytes.
        let at = if random.below(2) == 0 {
            random.below(n.min(100))
        } else {
            random.below(n)
        };
        match random.below(6) {
            0 => bytes[at] = random.bits() as u8,
            1 => bytes[at] ^= 1 << random.below(8),
            2 => bytes.truncate(at),
            3 => bytes[at] = [0, 0xff, 0x7f, 0x80][random.below(4)],
            4 => {
                let to = (at + 1 + random.below(64)).min(n);
                bytes.drain(at..to);
            }
            _ => {
                let from = random.below(n);
                let to = (from + random.below(200)).min(n);
                let part = bytes[from..to].to_vec();
                bytes.splice(at..at, part);
            }
        }
    }
}

static PANICS: AtomicUsize = AtomicUsize::new(0);

#[test]
fn no_bytes_make_it_panic_or_hang() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("reference/audio");
    let mut names: Vec<_> = std::fs::read_dir(folder)
        .expect("reference/audio")
        .flatten()
        .map(|e| e.path())
        .collect();
    names.sort();
    let files: Vec<Vec<u8>> = names
        .iter()
        .map(|p| std::fs::read(p).expect("a reference file"))
        .collect();
    assert!(files.len() >= 12);
    let usual = std::panic::take_hook();
    std::panic::set_hook(Box::new(move |info| {
        PANICS.fetch_add(1, Ordering::Relaxed);
        usual(info);
    }));
    let mut random = Random::new(2024);
    let until = Instant::now() + Duration::from_secs(8);
    let (mut tries, mut read) = (0, 0);
    while Instant::now() < until {
        let i = random.below(files.len());
        let mut bytes = files[i].clone();
        mutate(&mut bytes, &mut random);
        let begun = Instant::now();
        let got = decode_bytes(bytes, "");
        let took = begun.elapsed();
        assert!(took < Duration::from_secs(5), "{:?}: hangs for {took:?}", names[i]);
        tries += 1;
        match got {
            Ok(rec) => {
                read += 1;
                assert!(rec.clip.samples.iter().all(|x| x.is_finite()));
                let found = voice::find(&rec.clip);
                assert!(
                    found
                        .word
                        .is_none_or(|w| w.start < w.end && w.end <= rec.clip.samples.len())
                );
            }
            Err(e) => {
                assert!(!e.to_string().contains('\n'));
                let why = format!("{:?}: {e}", names[i]);
                assert!(
                    !matches!(e.fault, AudioFault::Header("sound", _)),
                    "a panic was caught: {why}"
                );
            }
        }
    }
    println!("{tries} mutated files, {read} still readable");
    assert!(tries > 100 && PANICS.load(Ordering::Relaxed) == 0);
}

/// Samples of any kind and length go through the analysis without a panic.
#[test]
fn no_samples_make_the_analysis_panic() {
    let mut random = Random::new(5);
    let until = Instant::now() + Duration::from_secs(3);
    while Instant::now() < until {
        let n = random.below(9_000);
        let kind = random.below(5);
        let mut samples: Vec<f32> = (0..n)
            .map(|i| match kind {
                0 => random.normal() as f32,
                1 => f32::from_bits(random.bits() as u32),
                2 => ((i / (1 + i % 7)) % 3) as f32 * 1e30,
                3 => (i as f32 * 0.1).sin(),
                _ => f32::from(u8::from(i % 61 == 0)),
            })
            .collect();
        let v = voice::find(&Clip {
            samples: samples.clone(),
        });
        assert!(v.spans.iter().all(|s| s.start < s.end && s.end <= n));
        samples
            .iter_mut()
            .for_each(|x| *x = if x.is_finite() { x.clamp(-100.0, 100.0) } else { 0.0 });
        let (a, b) = (random.below(n + 1), random.below(n + 1));
        let reading = vowel(
            &Clip { samples },
            voice::Span {
                start: a.min(b),
                end: a.max(b),
            },
            VoiceKind::Child,
        );
        assert!(reading.nearest.iter().all(|x| x.probability.is_finite()));
    }
}
