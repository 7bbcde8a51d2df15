//! Where each vowel of the inventory lies and which way it goes, from the published means where there are any.

use crate::sound::Sound;

use super::{GLIDES, NORMS, VoiceKind};

/// A vowel's resonances at its start and, if it moves, at its end.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct VowelResonances {
    /// F1 to F4 at the start, in Hz.
    pub from_hz: [f32; 4],
    /// The same at the end of a vowel that moves.
    pub to_hz: Option<[f32; 4]>,
    /// Whether both come from the published table. Where not, they are put together from the vowels that its IPA names.
    pub measured: bool,
}

/// The way of a vowel in a voice: one sound, or a vowel and R. `weak` is the quiet form of AH (schwa) and ER.
///
/// The table has twelve vowels of stressed syllables, two of them with their movement (EY, OW). What it lacks is put
/// together: schwa is the middle of the twelve (their geometric mean); AY and AW start between AA and AE, a third of the
/// way, and OY at AO, and they head for IH or UH as their IPA says; a vowel before R heads for ER.
///
/// `None` for anything that is not such a vowel.
pub fn way(sounds: &[Sound], weak: bool, voice: VoiceKind) -> Option<VowelResonances> {
    let mean = |vowel: Sound| {
        let norm = NORMS.iter().find(|n| n.voice == voice && n.vowel == vowel);
        norm.map(|n| n.means_hz)
    };
    let built = |from: [f32; 4], to: Sound| {
        Some(VowelResonances {
            from_hz: from,
            to_hz: Some(mean(to)?),
            measured: false,
        })
    };
    match *sounds {
        [Sound::AH] if weak => Some(VowelResonances {
            from_hz: middle(voice),
            to_hz: None,
            measured: false,
        }),
        [Sound::AY] => built(between(mean(Sound::AA)?, mean(Sound::AE)?), Sound::IH),
        [Sound::AW] => built(between(mean(Sound::AA)?, mean(Sound::AE)?), Sound::UH),
        [Sound::OY] => built(mean(Sound::AO)?, Sound::IH),
        [vowel, Sound::R] => built(mean(vowel)?, Sound::ER),
        [vowel] => {
            let still = mean(vowel)?;
            let glide = GLIDES.iter().find(|g| g.voice == voice && g.vowel == vowel);
            let with = |f: [f32; 3]| [f[0], f[1], f[2], still[3]];
            Some(VowelResonances {
                from_hz: glide.map_or(still, |g| with(g.from_hz)),
                to_hz: glide.map(|g| with(g.to_hz)),
                measured: true,
            })
        }
        _ => None,
    }
}

/// A third of the way from `a` to `b`, in logarithms.
fn between(a: [f32; 4], b: [f32; 4]) -> [f32; 4] {
    std::array::from_fn(|k| a[k] * (b[k] / a[k]).powf(1.0 / 3.0))
}

/// Geometric mean of the voice's twelve vowels.
fn middle(voice: VoiceKind) -> [f32; 4] {
    let mine = || NORMS.iter().filter(|n| n.voice == voice);
    let n = mine().count() as f32;
    std::array::from_fn(|k| (mine().map(|norm| norm.means_hz[k].ln()).sum::<f32>() / n).exp())
}
