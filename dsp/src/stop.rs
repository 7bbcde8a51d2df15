//! A stop said alone: how long a vowel follows its burst.
//!
//! Readers who say "buh" for b teach a sound too many: a child counts the vowel. [`vowel_after`] says how long it was, in steps of 1 ms.
//! Voice before the burst, which b, d and g may have, is no vowel; a voice is found where the samples repeat at a period of speech
//! (75 to 400 Hz), as in Boersma (1993), Proc. Inst. Phonetic Sciences 17, 97-110, without its corrections, which matter less than
//! the 10 ms that are looked at.
//!
//! ```
//! use soundbead_dsp::{audio::Clip, stop};
//! let silence = Clip { samples: vec![0.0; 16_000] };
//! assert_eq!(stop::vowel_after(&silence), None);
//! ```

use crate::audio::{Clip, RATE};

/// The vowel that a stop alone may have, in seconds: longer, and a child may count it. As the model voice is held to.
pub const MOST_S: f32 = 0.03;
/// How far a measure may be off, in seconds: the span that is looked at, and half a period of a low voice.
pub const ERROR_S: f32 = 0.015;

/// Samples of a step of 1 ms.
const STEP: usize = RATE as usize / 1000;
/// What is compared with itself a period later, in samples: 10 ms.
const SPAN: usize = 160;
/// Correlation from which a step is voice; noise of this length stays under 0.5.
const VOICE: f32 = 0.6;
/// A burst must stand out of the room by this power: 12 dB.
const OUT: f32 = 16.0;
/// How far the treble rises at a burst over the 5 ms before it, as power: 6 dB.
const STEEP: f32 = 4.0;
/// The treble of a burst beside the loudest of the recording, as power: -20 dB.
const STRONG: f32 = 0.01;
/// A vowel begins within this time of the burst, in steps: the breath after p, t and k takes up to 0.1 s.
const SOON: usize = 140;
/// What breaks a vowel in two, in steps; less is one rough period.
const GAP: usize = 12;
/// A vowel is at least this strong beside the loudest of the recording after the burst, as power: -30 dB.
const FAINT: f32 = 1e-3;

/// How long a vowel follows the burst, in seconds, 0 where none does; none where there is no burst that stands out of the room.
pub fn vowel_after(clip: &Clip) -> Option<f32> {
    let burst = burst(&clip.samples)?;
    Some(vowel(&clip.samples, burst) as f32 / 1000.0)
}

/// What a measured length comes to.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum StopVowel {
    /// Hardly a vowel: no more than [`MOST_S`].
    Hardly,
    /// A vowel that a child may count.
    Counted,
    /// Too near the line to say.
    Unsure,
}

/// Whether a vowel of this length may be counted.
pub fn told(seconds: f32) -> StopVowel {
    match seconds {
        s if s <= MOST_S - ERROR_S => StopVowel::Hardly,
        s if s > MOST_S + ERROR_S => StopVowel::Counted,
        _ => StopVowel::Unsure,
    }
}

/// The first step in which the treble rises steeply and is strong. Voice before a burst is low: its treble stays far under that of
/// burst and vowel. None where nothing stands out of the recording's quiet.
fn burst(samples: &[f32]) -> Option<usize> {
    let power = |step: &[f32]| -> f32 { step.windows(2).map(|w| (w[1] - w[0]).powi(2)).sum() };
    let powers: Vec<f32> = samples.chunks_exact(STEP).map(power).collect();
    let mut sorted = powers.clone();
    sorted.sort_by(f32::total_cmp);
    // Most of the recording is room: a stop alone is short.
    let quiet = sorted.get(sorted.len() / 4)?.max(1e-9);
    let loudest = sorted.last().copied().unwrap_or(0.0);
    let least = (OUT * quiet).max(STRONG * loudest);
    let before = |step: usize| {
        powers[step.saturating_sub(5)..step]
            .iter()
            .copied()
            .fold(quiet, f32::max)
    };
    (5..powers.len()).find(|step| powers[*step] >= least && powers[*step] >= STEEP * before(*step))
}

/// The length of the first voiced stretch that begins soon after the burst, in steps.
fn vowel(samples: &[f32], burst: usize) -> usize {
    let steps = samples.len() / STEP;
    let strength = |step: usize| {
        let part = &samples[step * STEP..(step * STEP + SPAN).min(samples.len())];
        part.iter().map(|x| x * x).sum::<f32>() / SPAN as f32
    };
    let loudest = (burst..steps).map(strength).fold(0.0, f32::max);
    let voiced = |step: usize| strength(step) > FAINT * loudest && repeats(samples, step * STEP) > VOICE;
    let mut first = None;
    let mut last = burst;
    for step in burst..steps {
        match (voiced(step), first) {
            (true, None) if step > burst + SOON => break,
            (true, None) => (first, last) = (Some(step), step),
            (true, Some(_)) if step - last <= GAP => last = step,
            (_, Some(_)) if step - last > GAP => break,
            _ => {}
        }
    }
    first.map_or(0, |first| last + 1 - first)
}

/// The highest correlation of [`SPAN`] samples from `at` on with what comes one period of a voice later.
fn repeats(samples: &[f32], at: usize) -> f32 {
    let like = |lag: usize| {
        let (a, b) = (samples.get(at..at + SPAN)?, samples.get(at + lag..at + lag + SPAN)?);
        let sum = |x: &[f32], y: &[f32]| x.iter().zip(y).map(|(x, y)| x * y).sum::<f32>();
        Some(sum(a, b) / (sum(a, a) * sum(b, b) + 1e-12).sqrt())
    };
    (RATE as usize / 400..RATE as usize / 75)
        .filter_map(like)
        .fold(0.0, f32::max)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::say::ModelVoice;
    use crate::synth::{VowelSound, vowel as made};
    use soundbead_data::Sound;

    /// A room, a burst of noise of 8 ms, and a vowel of so many ms, 0.3 s of room on both sides.
    fn stop(vowel_ms: usize, pitch: f32, room: f32) -> Clip {
        let mut seed = 0x9e37_79b9u32;
        let mut noise = |size: f32| {
            seed = seed.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
            size * (seed as f32 / u32::MAX as f32 * 2.0 - 1.0)
        };
        let mut samples: Vec<f32> = (0..4800).map(|_| noise(room)).collect();
        samples.extend((0..128).map(|_| noise(0.25)));
        let hz = [650.0, 1200.0, 2500.0, 3600.0];
        let sound = VowelSound {
            from_hz: hz,
            to_hz: hz,
            pitch_hz: [pitch, pitch],
            seconds: vowel_ms as f32 / 1000.0,
            damping: 1.0,
        };
        samples.extend((vowel_ms > 0).then(|| made(&sound)).into_iter().flatten());
        samples.extend((0..4800).map(|_| noise(room)));
        Clip { samples }
    }

    #[test]
    fn a_vowel_of_known_length_is_measured_and_none_is_found_where_there_is_none() {
        for (pitch, room) in [(120.0, 0.001), (210.0, 0.001), (210.0, 0.01)] {
            let bare = vowel_after(&stop(0, pitch, room)).expect("a burst");
            assert_eq!(told(bare), StopVowel::Hardly, "{bare} s at {pitch} Hz");
            for long in [100, 180, 300] {
                let heard = vowel_after(&stop(long, pitch, room)).expect("a burst");
                assert_eq!(told(heard), StopVowel::Counted, "{heard} s at {pitch} Hz");
                // The synthesiser fades its vowels in over 35 ms and out over 110.
                assert!((heard - long as f32 / 1000.0).abs() < 0.06, "{heard} s for {long} ms");
            }
        }
    }

    #[test]
    fn the_model_voice_is_never_told_that_it_says_a_vowel_after_a_stop() {
        let voice = ModelVoice::new().unwrap();
        for sound in [Sound::P, Sound::T, Sound::K, Sound::B, Sound::D, Sound::G] {
            let said = voice.sound(&[sound], false).unwrap().samples;
            let around = vec![0.0; 4800];
            let clip = Clip {
                samples: [around.clone(), said, around].concat(),
            };
            let told = vowel_after(&clip).map(told);
            assert_ne!(told, Some(StopVowel::Counted), "{sound}");
        }
    }

    #[test]
    fn noise_alone_has_no_burst() {
        let mut noise = stop(0, 120.0, 0.02).samples;
        noise.truncate(4800);
        assert_eq!(vowel_after(&Clip { samples: noise }), None);
    }
}
