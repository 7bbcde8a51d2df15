//! Model sounds: vowels, and consonants that can be held, made from a source and a filter.
//!
//! A glottal pulse (Klatt and Klatt 1990, J. Acoust. Soc. Am. 87, 820-857, their KLGLOTT88 polynomial) or noise drives
//! resonators in cascade (Klatt 1980, J. Acoust. Soc. Am. 67, 971-995, equations 1 to 4), updated at every sample so that
//! a diphthong glides. Vowels take their resonances from [`soundbead_data::norm::way`], that is, from the published means of
//! the voice; consonants theirs from Klatt's table II and, for nasal murmurs, Fujimura (1962), J. Acoust. Soc. Am. 34,
//! 1865-1875, both in round figures from memory, scaled to the voice.
//!
//! A stop or affricate cannot be held and is not made here: alone it is only said with a bit of vowel, which is what a
//! child must not learn to count.
//!
//! ```
//! use soundbead_data::Sound;
//! use soundbead_dsp::{formant::VoiceKind, synth};
//! let ee = synth::say(&[Sound::IY], false, VoiceKind::Child).expect("a vowel can be said");
//! assert!(ee.len() > 8_000 && ee.iter().all(|x| x.abs() <= 0.6));
//! assert!(synth::say(&[Sound::P], false, VoiceKind::Child).is_none());
//! ```

mod filter;
mod held;
mod source;

use soundbead_data::norm::{VoiceKind, VowelResonances, way};
use soundbead_data::sound::Sound;

use crate::audio::RATE;
use filter::{Cascade, fade, level};
use source::Glottis;

/// A vowel to make: its way, its pitch at the start and end, and its length.
#[derive(Debug, Clone, Copy)]
pub struct VowelSound {
    /// F1 to F4 at the start, in Hz.
    pub from_hz: [f32; 4],
    /// F1 to F4 at the end.
    pub to_hz: [f32; 4],
    /// Pitch at the start and at the end, in Hz.
    pub pitch_hz: [f32; 2],
    /// Length in seconds.
    pub seconds: f32,
    /// Factor on the bandwidths of the resonances; 1 for a usual voice, more for a breathy or damped one.
    pub damping: f32,
}

/// Loudest sample of a model sound.
const PEAK: f32 = 0.5;

/// A sound by itself at 16 kHz, mono: a vowel, a vowel with r, or a consonant that can be held. `weak` is the quiet form
/// of AH and ER.
///
/// W and Y are glides and end in a bit of schwa. `None` for stops, affricates and anything else.
pub fn say(sounds: &[Sound], weak: bool, voice: VoiceKind) -> Option<Vec<f32>> {
    if let Some(way) = way(sounds, weak, voice) {
        return Some(vowel(&spoken(way, voice)));
    }
    match *sounds {
        [consonant] => held::say(consonant, voice),
        _ => None,
    }
}

/// Pitch of a voice at the start and end of a short sound, in Hz; about the means of Hillenbrand et al. (1995), the
/// child's a little higher, for eight-year-olds.
pub fn pitch_of(voice: VoiceKind) -> [f32; 2] {
    match voice {
        VoiceKind::Child => [262.0, 238.0],
        VoiceKind::Woman => [222.0, 200.0],
        VoiceKind::Man => [132.0, 114.0],
    }
}

fn spoken(way: VowelResonances, voice: VoiceKind) -> VowelSound {
    VowelSound {
        from_hz: way.from_hz,
        to_hz: way.to_hz.unwrap_or(way.from_hz),
        pitch_hz: pitch_of(voice),
        seconds: if way.to_hz.is_some() { 0.62 } else { 0.55 },
        damping: 1.0,
    }
}

/// Makes a vowel at 16 kHz, mono, its loudest sample 0.5.
///
/// The resonances stay at the start for a quarter of the length, glide, and stay at the end for a quarter.
pub fn vowel(sound: &VowelSound) -> Vec<f32> {
    let n = (sound.seconds * RATE as f32) as usize;
    let mut glottis = Glottis::new();
    let mut cascade = Cascade::new(5 + 1);
    let mut out: Vec<f32> = (0..n)
        .map(|i| {
            let t = i as f32 / n as f32;
            let s = ((t - 0.25) / 0.5).clamp(0.0, 1.0);
            let s = s * s * (3.0 - 2.0 * s);
            let f: [f32; 4] = std::array::from_fn(|k| sound.from_hz[k] * (sound.to_hz[k] / sound.from_hz[k]).powf(s));
            let pitch = sound.pitch_hz[0] * (sound.pitch_hz[1] / sound.pitch_hz[0]).powf(t);
            if i % 16 == 0 {
                cascade.set(&upper(f).map(|(hz, width)| (hz, width * sound.damping)));
            }
            cascade.next(glottis.next(pitch))
        })
        .collect();
    fade(&mut out, 0.035, 0.11);
    level(&mut out, PEAK);
    out
}

/// Frequencies and bandwidths of six resonances: the four given, and two above them, spaced as in a tube of that length.
fn upper(f: [f32; 4]) -> [(f32, f32); 6] {
    let gap = (f[3] / 3.5).min(1250.0);
    [
        (f[0], 0.06 * f[0] + 40.0),
        (f[1], 0.03 * f[1] + 45.0),
        (f[2], 0.03 * f[2] + 55.0),
        (f[3], 0.04 * f[3] + 60.0),
        ((f[3] + gap).min(7000.0), 320.0),
        ((f[3] + 2.0 * gap).min(7700.0), 420.0),
    ]
}

#[cfg(test)]
mod tests;
