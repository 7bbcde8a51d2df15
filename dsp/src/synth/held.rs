//! Consonants that can be held, and the two glides.

use soundbead_data::norm::{VoiceKind, way};
use soundbead_data::sound::Sound;

use crate::audio::RATE;

use super::filter::{Cascade, Resonator, fade, level};
use super::source::{Glottis, Noise};
use super::{PEAK, VowelSound, pitch_of, upper, vowel};

const SECONDS: f32 = 0.6;

/// How a consonant that can be held is made.
enum HeldKind {
    /// A voice through three resonances (a man's, in Hz).
    Voiced([f32; 3]),
    /// A voice by the nose; the mouth, shut, takes away what is about this frequency.
    Nasal(f32),
    /// A hiss: frequency and width of what it is loudest at (a man's), its level and, where the voice buzzes too, the three
    /// resonances that the voice goes through (a man's).
    Hiss {
        hz: f32,
        width: f32,
        peak: f32,
        voiced: Option<[f32; 3]>,
    },
    /// Breath through an open mouth.
    Breath,
    /// Starts here and moves into schwa.
    Glide([f32; 3]),
}

fn kind(sound: Sound) -> Option<HeldKind> {
    let hiss = |hz, width, peak, voiced| HeldKind::Hiss {
        hz,
        width,
        peak,
        voiced,
    };
    Some(match sound {
        Sound::L => HeldKind::Voiced([330.0, 1080.0, 2850.0]),
        Sound::R => HeldKind::Voiced([320.0, 1110.0, 1480.0]),
        Sound::M => HeldKind::Nasal(950.0),
        Sound::N => HeldKind::Nasal(1600.0),
        Sound::NG => HeldKind::Nasal(3000.0),
        // f is a flat hiss from lip and teeth; th, from the tongue at the teeth, is higher. Voiced, each lets through the
        // resonances of its own place (Klatt 1980, table II, from memory): that tells v from the voiced th.
        Sound::S => hiss(5600.0, 1500.0, 0.30, None),
        Sound::Z => hiss(5600.0, 1500.0, 0.22, Some([240.0, 1390.0, 2530.0])),
        Sound::SH => hiss(2900.0, 900.0, 0.34, None),
        Sound::ZH => hiss(2900.0, 900.0, 0.24, Some([300.0, 1840.0, 2750.0])),
        Sound::F => hiss(4200.0, 6000.0, 0.08, None),
        Sound::V => hiss(4200.0, 6000.0, 0.10, Some([220.0, 1100.0, 2080.0])),
        Sound::TH => hiss(6800.0, 1700.0, 0.08, None),
        Sound::DH => hiss(6800.0, 1700.0, 0.08, Some([270.0, 1290.0, 2540.0])),
        Sound::HH => HeldKind::Breath,
        Sound::W => HeldKind::Glide([290.0, 610.0, 2150.0]),
        Sound::Y => HeldKind::Glide([270.0, 2150.0, 3020.0]),
        _ => return None,
    })
}

/// The consonant by itself; `None` for one that cannot be held.
pub fn say(sound: Sound, voice: VoiceKind) -> Option<Vec<f32>> {
    let s = voice.tract_scale() as f32;
    let middle = way(&[Sound::AH], true, voice)?.from_hz;
    let pitch = pitch_of(voice);
    Some(match kind(sound)? {
        HeldKind::Voiced(f) => {
            let f = [f[0] * s, f[1] * s, f[2] * s, middle[3]];
            finished(voiced(&upper(f), None, pitch), PEAK * 0.8)
        }
        HeldKind::Nasal(zero) => {
            let zero = (zero * s).min(7000.0);
            finished(
                voiced(&murmur(s), Some(Resonator::new(zero, 0.12 * zero + 60.0)), pitch),
                PEAK * 0.6,
            )
        }
        HeldKind::Hiss {
            hz,
            width,
            peak,
            voiced,
        } => {
            let buzz = voiced.map(|f| ([f[0] * s, f[1] * s, f[2] * s, middle[3]], pitch));
            hiss((hz * s).min(7000.0), width, peak, buzz)
        }
        HeldKind::Breath => {
            let mut cascade = Cascade::new(6);
            cascade.set(&upper(middle));
            let mut noise = Noise::new(5);
            finished((0..samples()).map(|_| cascade.next(noise.next())).collect(), 0.12)
        }
        HeldKind::Glide(f) => vowel(&VowelSound {
            from_hz: [f[0] * s, f[1] * s, f[2] * s, middle[3]],
            to_hz: middle,
            pitch_hz: pitch,
            seconds: 0.36,
            damping: 1.0,
        }),
    })
}

fn samples() -> usize {
    (SECONDS * RATE as f32) as usize
}

fn finished(mut x: Vec<f32>, peak: f32) -> Vec<f32> {
    fade(&mut x, 0.05, 0.10);
    level(&mut x, peak);
    x
}

/// Resonances of the nose and throat with the mouth shut.
fn murmur(s: f32) -> [(f32, f32); 6] {
    [
        (270.0 * s, 70.0),
        (1000.0 * s, 160.0),
        (2050.0 * s, 240.0),
        (2900.0 * s, 320.0),
        ((3900.0 * s).min(7000.0), 420.0),
        ((4900.0 * s).min(7600.0), 520.0),
    ]
}

fn voiced(resonances: &[(f32, f32); 6], mut zero: Option<Resonator>, pitch: [f32; 2]) -> Vec<f32> {
    let mut glottis = Glottis::new();
    let mut cascade = Cascade::new(6);
    cascade.set(resonances);
    let n = samples();
    let hz = |i: usize| pitch[0] * (pitch[1] / pitch[0]).powf(i as f32 / n as f32);
    (0..n)
        .map(|i| {
            let x = cascade.next(glottis.next(hz(i)));
            zero.as_mut().map_or(x, |z| z.next_inverse(x))
        })
        .collect()
}

/// Loudest sample of the voice in a voiced hiss, against the hiss's own: about as loud, so that both are heard.
const BUZZ: f32 = 0.85;

/// Share of the voice's own slope (it falls by 12 dB an octave) that is taken back. Its resonances above the hum are
/// then heard, as in a real v; without it nearly all of the sound lies under 400 Hz.
const LIFT: f32 = 0.92;

/// Noise about a frequency; with a voice, its hum through the resonances given (Hz), which also sets the hiss's rhythm.
fn hiss(hz: f32, width: f32, peak: f32, voice: Option<([f32; 4], [f32; 2])>) -> Vec<f32> {
    let mut noise = Noise::new(3);
    let mut shape = [Resonator::new(hz, width), Resonator::new(hz, width)];
    let mut low = Resonator::new(0.0, 900.0);
    let mut out: Vec<f32> = (0..samples())
        .map(|_| {
            let x = shape.iter_mut().fold(noise.next(), |x, one| one.next(x));
            // What is low goes: a hiss is made in a narrow gap before a short tube.
            x - low.next(x)
        })
        .collect();
    level(&mut out, peak);
    if let Some((resonances, pitch)) = voice {
        let hum = buzz(resonances, pitch, BUZZ * peak);
        for (x, h) in out.iter_mut().zip(hum) {
            *x = *x * (0.65 + 2.0 * h.max(-0.2)) + h;
        }
    }
    fade(&mut out, 0.06, 0.10);
    out
}

/// The voice of a voiced hiss, its loudest sample `peak`.
fn buzz(resonances: [f32; 4], pitch: [f32; 2], peak: f32) -> Vec<f32> {
    let mut hum = voiced(&upper(resonances), None, pitch);
    let mut before = 0.0;
    for x in &mut hum {
        let lifted = *x - LIFT * before;
        before = *x;
        *x = lifted;
    }
    level(&mut hum, peak);
    hum
}
