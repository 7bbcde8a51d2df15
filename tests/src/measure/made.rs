//! Words made from real sounds: said one by one, drawn out; and the boundaries of a synthesiser not trained on.

use std::path::Path;

use serde::Deserialize;
use soundbead_data::{Rules, Sound};
use soundbead_dsp::audio::{RATE, Recording};
use soundbead_dsp::judgement::{Placed, Speaking};

use super::figure::share;
use super::report::spread;
use super::speech;

/// A small generator for gaps and noise, so that every run makes the same words (SplitMix64, Steele, Lea, Flood 2014).
struct Dice(u64);

impl Dice {
    fn next(&mut self) -> f64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        ((z ^ (z >> 31)) >> 11) as f64 / (1u64 << 53) as f64
    }

    /// Near enough to a normal deviate of variance one: the sum of twelve even ones.
    fn normal(&mut self) -> f32 {
        ((0..12).map(|_| self.next()).sum::<f64>() - 6.0) as f32
    }
}

fn at(seconds: f32) -> usize {
    (f64::from(seconds) * f64::from(RATE)) as usize
}

/// White noise `snr` dB under the mean power of `speech`, over the whole of `samples`.
fn add_noise(samples: &mut [f32], speech: &[f32], snr: f64, dice: &mut Dice) {
    let power = speech.iter().map(|x| f64::from(*x) * f64::from(*x)).sum::<f64>() / speech.len().max(1) as f64;
    let level = (power / 10f64.powf(snr / 10.0)).sqrt() as f32;
    samples.iter_mut().for_each(|x| *x += level * dice.normal());
}

/// The word's sounds one by one with gaps of 150 to 600 ms, in white noise at `snr` dB. Sounds lie where the ear's own
/// alignment to the dictionary puts them. None if a sound has no length. With it, where each sound lies, in samples.
pub fn apart(
    recording: &Recording,
    placed: &[Placed],
    snr: f64,
    seed: u64,
) -> Option<(Recording, Vec<(usize, usize)>)> {
    let mut dice = Dice(seed);
    let mut out = vec![0.0f32; at(0.3)];
    let (mut speech, mut spans) = (Vec::new(), Vec::new());
    for sound in placed {
        let piece = recording.clip.samples.get(at(sound.start_s)..at(sound.end_s))?;
        if piece.len() < at(0.02) {
            return None;
        }
        // 3 ms in and out, so that no cut clicks.
        let fade = |i: usize| (i.min(piece.len() - 1 - i) as f32 / 48.0).min(1.0);
        spans.push((out.len(), out.len() + piece.len()));
        out.extend(piece.iter().enumerate().map(|(i, x)| x * fade(i)));
        speech.extend_from_slice(piece);
        out.extend(std::iter::repeat_n(0.0, at(0.15 + 0.45 * dice.next() as f32)));
    }
    add_noise(&mut out, &speech, snr, &mut dice);
    Some((Recording::from_samples(out).ok()?, spans))
}

/// The same word as a poorer recording of it: up to 30 ms off each end, in noise 15 dB down.
pub fn roughened(recording: &Recording, seed: u64) -> Option<Recording> {
    let mut dice = Dice(seed ^ 0x0dd);
    let all = &recording.clip.samples;
    let mut off = || at(0.03 * dice.next() as f32);
    let (first, last) = (off(), off());
    let mut out = all.get(first..all.len().checked_sub(last)?)?.to_vec();
    let speech = out.clone();
    add_noise(&mut out, &speech, 15.0, &mut dice);
    Recording::from_samples(out).ok()
}

/// Sounds that can be held.
fn is_held(sound: Sound) -> bool {
    sound.is_vowel() || !matches!(sound.arpabet(), "P" | "B" | "T" | "D" | "K" | "G" | "CH" | "JH")
}

/// The word drawn out: each sound that can be held 2 to 6 times as long, the others as they were.
pub fn stretched(recording: &Recording, placed: &[Placed], seed: u64) -> Option<Recording> {
    let mut dice = Dice(seed ^ 0x5eed);
    let samples = &recording.clip.samples;
    let mut out = samples.get(..at(placed.first()?.start_s))?.to_vec();
    for sound in placed {
        let piece = samples.get(at(sound.start_s)..at(sound.end_s))?;
        if is_held(sound.sound) && piece.len() >= at(0.03) {
            out.extend(lengthened(
                samples,
                at(sound.start_s),
                piece.len(),
                2.0 + 4.0 * dice.next(),
            ));
        } else {
            out.extend_from_slice(piece);
        }
    }
    out.extend_from_slice(samples.get(at(placed.last()?.end_s)..)?);
    Recording::from_samples(out).ok()
}

/// Waveform-similarity overlap-add (Verhelst, Roelands 1993, ICASSP): the same pitch, `factor` times as long.
fn lengthened(samples: &[f32], start: usize, length: usize, factor: f64) -> Vec<f32> {
    const HALF: usize = 160; // 10 ms: half a window
    const SEEK: isize = 120; // a pitch period of 133 Hz each way
    let total = (length as f64 * factor) as usize;
    let sample = |i: isize| {
        usize::try_from(i)
            .ok()
            .and_then(|i| samples.get(i))
            .copied()
            .unwrap_or(0.0)
    };
    let mut out = vec![0.0f32; total + 2 * HALF];
    let mut previous: Option<isize> = None;
    for (k, place) in (0..total).step_by(HALF).enumerate() {
        let aim = start as isize + ((k * HALF) as f64 / factor) as isize;
        let source = previous.map_or(aim, |before| {
            let natural = before + HALF as isize;
            let alike = |shift: &isize| -> f32 {
                (0..HALF as isize)
                    .step_by(2)
                    .map(|i| sample(natural + i) * sample(aim + shift + i))
                    .sum()
            };
            aim + (-SEEK..=SEEK)
                .step_by(2)
                .max_by(|a, b| alike(a).total_cmp(&alike(b)))
                .unwrap_or(0)
        });
        for i in 0..2 * HALF {
            let window = 0.5 - 0.5 * (std::f32::consts::PI * i as f32 / HALF as f32).cos();
            out[place + i] += window * sample(source + i as isize);
        }
        previous = Some(source);
    }
    out.truncate(total);
    out
}

/// A word of a made voice with its exact times.
#[derive(Deserialize)]
struct Made {
    voice: String,
    off: usize,
    n: usize,
    /// Start, end (samples from `off`) and ARPAbet name, silence as SIL.
    segments: Vec<(usize, usize, String)>,
}

/// Prints how many boundaries of `heldout.ogg` lie within 20 ms of the synthesiser's own.
///
/// # Errors
/// When the files cannot be read.
pub fn boundaries(folder: &Path) -> Result<(), String> {
    let path = folder.join("heldout.jsonl");
    let text = std::fs::read_to_string(&path).map_err(|e| format!("{}: {e}", path.display()))?;
    let made: Result<Vec<Made>, _> = text.lines().map(serde_json::from_str).collect();
    let made = made.map_err(|e| format!("{}: {e}", path.display()))?;
    let source = speech::source(&folder.join("heldout.ogg"))?;
    let rate = f64::from(RATE);
    let results = spread(&made, |ear, word| {
        let said: Vec<&(usize, usize, String)> = word.segments.iter().filter(|s| s.2 != "SIL").collect();
        let sounds: Option<Vec<Sound>> = said.iter().map(|s| s.2.parse().ok()).collect();
        let recording = source
            .cut(word.off as f64 / rate, (word.off + word.n) as f64 / rate)
            .ok()?;
        let target = speech::asked(&sounds?);
        let judged = ear
            .judge(&recording, Some(&target), Speaking::Whole, &Rules::default())
            .ok()?;
        let near = |a: f32, b: usize| f64::from((a - b as f32 / RATE as f32).abs()) <= 0.020;
        let starts = said.iter().zip(&judged.sounds).map(|(s, p)| near(p.start_s, s.0));
        let end = said
            .iter()
            .zip(&judged.sounds)
            .next_back()
            .map(|(s, p)| near(p.end_s, s.1));
        Some((word.voice.clone(), starts.chain(end).collect::<Vec<bool>>()))
    });
    let mut voices: std::collections::BTreeMap<String, (usize, usize, usize)> = Default::default();
    for (made, result) in made.iter().zip(results) {
        let slot = voices.entry(made.voice.clone()).or_default();
        let Some((_, hits)) = result else {
            slot.2 += 1;
            continue;
        };
        slot.0 += hits.iter().filter(|h| **h).count();
        slot.1 += hits.len();
    }
    for (voice, (hits, n, lost)) in voices {
        println!(
            "boundaries within 20 ms, {voice:<35} {} ({lost} words not judged)",
            share(hits, n)
        );
    }
    Ok(())
}
