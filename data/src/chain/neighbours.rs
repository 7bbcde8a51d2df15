//! Pairs of sounds that a child takes for each other.

use super::Unit;
use crate::Sound;

/// Every pair of neighbouring sounds. Vowels: those beside each other on the IPA chart, or a glide and its start.
/// Consonants: those that differ in voice, in place by one step, or in manner alone. And the pairs that lessons know to
/// be mixed (w and r, f and th).
///
/// Some mix-ups on the cards are left out, because hardly any two common words differ in them: the two th, z and zh, sh and
/// zh, j and zh, y and ee, r and er. So are ah and aw, which very many Americans say alike. From the IPA chart
/// (International Phonetic Association, revised 2020), from memory of it, and common practice.
const PAIRS: [(Sound, Sound); 61] = [
    (Sound::IY, Sound::IH),
    (Sound::IH, Sound::EH),
    (Sound::EY, Sound::EH),
    (Sound::EY, Sound::AY),
    (Sound::EH, Sound::AE),
    (Sound::EH, Sound::AH),
    (Sound::AE, Sound::AH),
    (Sound::AE, Sound::AA),
    (Sound::AH, Sound::AA),
    (Sound::AH, Sound::UH),
    (Sound::AH, Sound::IH),
    (Sound::AA, Sound::OW),
    (Sound::AO, Sound::OW),
    (Sound::AO, Sound::AH),
    (Sound::UH, Sound::UW),
    (Sound::UW, Sound::OW),
    (Sound::AW, Sound::OW),
    (Sound::AY, Sound::OY),
    (Sound::IY, Sound::EY),
    (Sound::ER, Sound::AO),
    (Sound::P, Sound::B),
    (Sound::T, Sound::D),
    (Sound::K, Sound::G),
    (Sound::F, Sound::V),
    (Sound::S, Sound::Z),
    (Sound::CH, Sound::JH),
    (Sound::M, Sound::N),
    (Sound::N, Sound::NG),
    (Sound::F, Sound::TH),
    (Sound::V, Sound::DH),
    (Sound::TH, Sound::S),
    (Sound::TH, Sound::T),
    (Sound::DH, Sound::D),
    (Sound::S, Sound::SH),
    (Sound::SH, Sound::CH),
    (Sound::CH, Sound::T),
    (Sound::JH, Sound::D),
    (Sound::P, Sound::F),
    (Sound::B, Sound::V),
    (Sound::B, Sound::D),
    (Sound::B, Sound::M),
    (Sound::D, Sound::N),
    (Sound::W, Sound::R),
    (Sound::R, Sound::L),
    (Sound::W, Sound::V),
    (Sound::L, Sound::W),
    (Sound::T, Sound::K),
    (Sound::D, Sound::G),
    (Sound::JH, Sound::Y),
    (Sound::F, Sound::HH),
    (Sound::DH, Sound::Z),
    (Sound::M, Sound::NG),
    (Sound::G, Sound::NG),
    (Sound::AE, Sound::EY),
    (Sound::AE, Sound::AY),
    (Sound::AE, Sound::AW),
    (Sound::AA, Sound::AY),
    (Sound::AA, Sound::AW),
    (Sound::AO, Sound::OY),
    (Sound::UH, Sound::OW),
    (Sound::AH, Sound::ER),
];

/// The pairs of neighbouring sounds, for [`super::Limits::contrasts`].
pub fn neighbouring_sounds() -> impl ExactSizeIterator<Item = (Unit, Unit)> {
    PAIRS.iter().map(|&(a, b)| (a.into(), b.into()))
}
