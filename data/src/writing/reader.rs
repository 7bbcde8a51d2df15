//! Whether a reader would say the word from what was written.

use super::figures::SpellingCounts;
use super::place::{self, SoundContext};
use super::{Finding, SpellingAnalysis};
use crate::Sound;
use crate::lexicon::{self, Entry};

/// Written letters that are a word of their own are read as that word when it is this common (once in a million words).
const KNOWN_ZIPF: f32 = 3.0;
/// A word rarer than the one meant by this much (300 times) is a name or somebody's slip that found its way into the word list
/// (*freind*); a reader takes it for the word.
const RARER: f32 = 2.5;
/// A reader says a sound for letters when the dictionary does so in this share of the words that have them in such a place.
const READ_SHARE: f32 = 0.15;

/// Whether readers know the word.
pub(super) fn known_word(entry: &Entry) -> bool {
    entry.zipf() >= KNOWN_ZIPF
}

/// Whether a reader who does not know the word would say it, or come so near that it is understood.
///
/// What is a word of its own is read as that word (*hoping* is not *hopping*). Else every sound must be there: kept, spelled so that
/// the letters are read so in such a place, or a weak vowel left out beside l, m, n or r.
pub(super) fn readable(reading: &SpellingAnalysis) -> bool {
    if reading.right() {
        return true;
    }
    let meant = lexicon::look_up(&reading.word).map_or(0.0, |e| e.zipf());
    let read_as_word = |zipf: f32| zipf >= KNOWN_ZIPF && zipf >= meant - RARER;
    if let Some(entry) = lexicon::look_up(&reading.wrote).filter(|e| read_as_word(e.zipf())) {
        return entry.variants().any(|said| said.sounds() == reading.said.sounds());
    }
    let silent_e = |added: &super::AddedLetters| added.wrote == "e" && added.after == reading.of();
    reading.added.iter().all(silent_e) && (0..reading.of()).all(|at| sound_readable(reading, at))
}

fn sound_readable(reading: &SpellingAnalysis, at: usize) -> bool {
    let written = &reading.sounds[at];
    match written.finding {
        Finding::Kept => true,
        Finding::SpelledOtherwise { .. } => spelled(reading, at),
        Finding::Swapped => written.wrote != written.letters && spells_at_all(&written.wrote, written.sound),
        Finding::NearSound => near(reading, at),
        Finding::Omitted => weak_left_out(reading, at),
        Finding::OtherSound => false,
    }
}

/// Whether the letters are read as this sound in such a place.
fn spelled(reading: &SpellingAnalysis, at: usize) -> bool {
    let written = &reading.sounds[at];
    let (sounds, wrote) = (reading.said.sounds(), &written.wrote);
    // Letters over several sounds (x, qu) are read so wherever they stand.
    let alone = [at.checked_sub(1), Some(at + 1)]
        .iter()
        .all(|n| n.and_then(|n| reading.sounds.get(n)).is_none_or(|w| w.wrote != *wrote));
    let place = SoundContext::of(&reading.said, at, at + 1, next_letter(reading, at));
    let weak = sounds[at].is_vowel() && place.is_weak();
    let read_so = SpellingCounts::builtin().read_as(wrote.as_bytes(), &sounds[at..=at], place);
    !alone || weak || read_so.map_or_else(|| known(wrote, written.sound), |share| share >= READ_SHARE)
}

/// The letter behind those of a sound, as far as the sounds tell.
fn next_letter(reading: &SpellingAnalysis, at: usize) -> Option<u8> {
    if at > 0 && reading.sounds[at - 1].wrote.contains('_') {
        return Some(b'e');
    }
    let rest = reading.sounds[at + 1..].iter();
    rest.filter_map(|w| w.wrote.bytes().find(u8::is_ascii_lowercase)).next()
}

/// Whether the letters spell the sound in any common word: of letters in the wrong order a reader makes the right ones.
fn spells_at_all(letters: &str, sound: Sound) -> bool {
    let readings = SpellingCounts::builtin().readings(letters.as_bytes());
    readings.iter().any(|reading| reading.sounds.contains(&sound))
}

/// Whether the letters spell the sound in a good share of their words.
fn known(letters: &str, sound: Sound) -> bool {
    SpellingCounts::builtin().read_anywhere(letters.as_bytes(), &[sound]) >= READ_SHARE / 3.0
}

/// Near letters that a reader takes for the sound all the same: s and z, and ch or j before r.
fn near(reading: &SpellingAnalysis, at: usize) -> bool {
    let before_r = reading.said.sounds().get(at + 1) == Some(&Sound::R);
    match reading.sounds[at].sound {
        Sound::S | Sound::Z => matches!(reading.sounds[at].wrote.as_str(), "s" | "z" | "ss" | "zz" | "se" | "ze"),
        Sound::T | Sound::D => before_r && matches!(reading.sounds[at].wrote.as_str(), "ch" | "j"),
        Sound::ZH => reading.sounds[at].wrote == "sh",
        _ => false,
    }
}

/// Whether the sound is a weak vowel beside l, m, n or r, which are said without it.
fn weak_left_out(reading: &SpellingAnalysis, at: usize) -> bool {
    let sounds = reading.said.sounds();
    let melts = |s: &Sound| matches!(*s, Sound::L | Sound::M | Sound::N | Sound::R);
    let beside = sounds.get(at + 1).is_some_and(melts) || at.checked_sub(1).is_some_and(|b| melts(&sounds[b]));
    sounds[at].is_vowel() && !place::is_loud(&reading.said, at) && beside
}
