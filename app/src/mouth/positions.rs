//! Where the parts of the mouth are for each sound of the inventory.
//!
//! Places and manners are those of the IPA chart (revised 2020); how far jaw and lips open, and what the tongue does that the
//! chart does not say, is what handbooks of phonetics draw, from memory of them, in round figures: a picture, not a
//! measurement.

use soundbead_data::Sound;
use soundbead_data::inventory::{Features, Manner, SoundEntry, Stress, Voicing};

use super::Articulation;

/// The articulations that a sound goes through: one for most, two for vowels that move or end in r, for ch and j, and for long u.
pub fn movement(entry: &SoundEntry) -> Vec<Articulation> {
    let sounds = entry.arpabet.sounds();
    let weak = entry.arpabet.stress() == Some(Stress::Weak);
    let steps = match *sounds {
        [Sound::CH | Sound::JH] => vec![held(&shut_for_ch()), hissing(&back_of_ridge())],
        [vowel, Sound::R] => [vowel_steps(vowel, false), vec![bunched()]].concat(),
        [sound] if sound.is_vowel() => vowel_steps(sound, weak),
        [Sound::Y, vowel] => [vec![consonant(Sound::Y)], vowel_steps(vowel, false)].concat(),
        [sound] => vec![consonant(sound)],
        _ => vec![Articulation::REST],
    };
    let (voice, breath) = match entry.features {
        Features::Vowel(_) => (1.0, 1.0),
        Features::Consonant(c) => {
            let free = !matches!(c.manner, Manner::Plosive | Manner::Nasal);
            (
                if c.voicing == Voicing::Voiced { 1.0 } else { 0.0 },
                if free { 1.0 } else { 0.0 },
            )
        }
    };
    let with = |a: Articulation| Articulation {
        voice,
        breath: breath * a.breath,
        ..a
    };
    steps.into_iter().map(with).collect()
}

/// Lips a little apart, nose shut, the tongue at ease: what most sounds start from.
const EASY: Articulation = Articulation {
    jaw: 0.25,
    back: 0.45,
    high: 0.45,
    tip: 1.0,
    tip_high: 0.15,
    lips: 0.32,
    round: 0.0,
    tuck: 0.0,
    nose: 0.0,
    voice: 1.0,
    breath: 1.0,
    hiss: 0.0,
};

/// A vowel: how far the jaw is down, where and how high the tongue is, how far the lips are apart and how round.
const fn vowel(jaw: f32, back: f32, high: f32, lips: f32, round: f32) -> Articulation {
    Articulation {
        jaw,
        back,
        high,
        lips,
        round,
        tip_high: 0.05,
        ..EASY
    }
}

const I: Articulation = vowel(0.10, 0.10, 0.88, 0.30, -0.9);
const NEAR_I: Articulation = vowel(0.22, 0.20, 0.72, 0.36, -0.5);
const E: Articulation = vowel(0.28, 0.16, 0.68, 0.40, -0.6);
const OPEN_E: Articulation = vowel(0.45, 0.22, 0.52, 0.50, -0.35);
const A_FRONT: Articulation = vowel(0.72, 0.28, 0.32, 0.72, -0.4);
const A: Articulation = vowel(0.85, 0.50, 0.14, 0.82, -0.1);
const A_BACK: Articulation = vowel(0.90, 0.78, 0.16, 0.85, 0.0);
const OPEN_O: Articulation = vowel(0.62, 0.86, 0.32, 0.58, 0.55);
const O: Articulation = vowel(0.40, 0.88, 0.55, 0.40, 0.75);
const NEAR_U: Articulation = vowel(0.25, 0.72, 0.68, 0.34, 0.55);
const U: Articulation = vowel(0.16, 0.86, 0.86, 0.22, 1.0);
const UP: Articulation = vowel(0.45, 0.55, 0.38, 0.48, 0.0);
const MIDDLE: Articulation = vowel(0.30, 0.48, 0.46, 0.38, 0.0);

fn vowel_steps(sound: Sound, weak: bool) -> Vec<Articulation> {
    match sound {
        Sound::IY => vec![I],
        Sound::IH => vec![NEAR_I],
        Sound::EH => vec![OPEN_E],
        Sound::AE => vec![A_FRONT],
        Sound::AA => vec![A_BACK],
        Sound::AO => vec![OPEN_O],
        Sound::UH => vec![NEAR_U],
        Sound::UW => vec![U],
        Sound::AH if weak => vec![MIDDLE],
        Sound::AH => vec![UP],
        Sound::EY => vec![E, NEAR_I],
        Sound::OW => vec![O, NEAR_U.towards(&U, 0.6)],
        Sound::AY => vec![A, NEAR_I],
        Sound::AW => vec![A, NEAR_U],
        Sound::OY => vec![OPEN_O, NEAR_I],
        _ if weak => vec![MIDDLE.towards(&bunched(), 0.85)],
        _ => vec![bunched()],
    }
}

/// r and the vowel of bird: the tongue drawn up and back, its tip touching nothing, the lips a little round.
fn bunched() -> Articulation {
    Articulation {
        jaw: 0.25,
        back: 0.46,
        high: 0.70,
        tip: 2.0,
        tip_high: 0.46,
        lips: 0.30,
        round: 0.45,
        ..EASY
    }
}

/// Shut where the tongue or lips are: the moment before the air is let go.
fn held(a: &Articulation) -> Articulation {
    Articulation { breath: 0.0, ..*a }
}

fn hissing(a: &Articulation) -> Articulation {
    Articulation { hiss: 1.0, ..*a }
}

/// The tip at the ridge, touching (1) or nearly.
fn ridge(tip_high: f32) -> Articulation {
    Articulation {
        jaw: 0.15,
        back: 0.35,
        high: 0.50,
        tip: 1.0,
        tip_high: if tip_high > 0.85 { 1.0 } else { tip_high },
        ..EASY
    }
}

/// Shut before ch or j: the tip and what is behind it at the ridge, the lips pushed forward already.
fn shut_for_ch() -> Articulation {
    Articulation {
        back: 0.26,
        high: 0.66,
        tip: 1.4,
        round: 0.6,
        ..ridge(1.0)
    }
}

/// The blade near the roof behind the ridge, lips pushed forward.
fn back_of_ridge() -> Articulation {
    Articulation {
        jaw: 0.12,
        back: 0.22,
        high: 0.74,
        tip: 1.7,
        tip_high: 0.86,
        lips: 0.34,
        round: 0.6,
        ..EASY
    }
}

fn both_lips() -> Articulation {
    Articulation {
        jaw: 0.18,
        lips: 0.0,
        ..EASY
    }
}

fn soft_roof() -> Articulation {
    Articulation {
        jaw: 0.28,
        back: 0.88,
        high: 1.0,
        tip_high: 0.0,
        lips: 0.40,
        ..EASY
    }
}

fn lip_and_teeth() -> Articulation {
    Articulation {
        jaw: 0.12,
        lips: 0.2,
        tuck: 1.0,
        ..EASY
    }
}

fn between_teeth() -> Articulation {
    Articulation {
        jaw: 0.26,
        back: 0.30,
        high: 0.42,
        tip: 0.0,
        tip_high: 0.94,
        lips: 0.36,
        ..EASY
    }
}

fn consonant(sound: Sound) -> Articulation {
    let nasal = |a: Articulation| Articulation { nose: 1.0, ..held(&a) };
    match sound {
        Sound::P | Sound::B => held(&both_lips()),
        Sound::T | Sound::D => held(&ridge(1.0)),
        Sound::K | Sound::G => held(&soft_roof()),
        Sound::M => nasal(both_lips()),
        Sound::N => nasal(ridge(1.0)),
        Sound::NG => nasal(soft_roof()),
        Sound::F | Sound::V => hissing(&lip_and_teeth()),
        Sound::TH | Sound::DH => hissing(&between_teeth()),
        Sound::S | Sound::Z => hissing(&Articulation {
            jaw: 0.04,
            high: 0.58,
            round: -0.5,
            ..ridge(0.84)
        }),
        Sound::SH | Sound::ZH => hissing(&back_of_ridge()),
        Sound::HH => Articulation {
            jaw: 0.40,
            lips: 0.50,
            ..MIDDLE
        },
        Sound::L => Articulation {
            jaw: 0.35,
            back: 0.62,
            high: 0.36,
            lips: 0.42,
            ..ridge(1.0)
        },
        Sound::R => Articulation {
            round: 0.6,
            ..bunched()
        },
        Sound::W => Articulation {
            lips: 0.13,
            high: 0.90,
            ..U
        },
        Sound::Y => Articulation { high: 0.93, ..I },
        _ => EASY,
    }
}
