//! Which stretches of which recordings a word is put together from.
//!
//! The unit is the diphone: from the joining place of one sound to that of the next. Each neighbouring pair of sounds of
//! the word has candidates in the bank; two candidates that follow each other in one recording join for nothing. The
//! cheapest path is found by dynamic programming (Viterbi). The weights are ours, tried on words that are not measured.

use soundbead_data::lexicon::Pronunciation;
use soundbead_data::sound::Sound;

use super::SayError;
use super::bank::{Bank, FEATURES, Phone, kind};

/// Candidates kept for a pair; the rest fit their place worse.
const MOST: usize = 80;
/// Halves tried on each side where the bank lacks a pair.
const HALVES: usize = 8;
/// A pair whose two sounds never meet in the bank is put together at their border: as bad as several joins.
const BORDER: f32 = 12.0;

/// Costs of what differs between a candidate and its place.
const STRESSED: f32 = 2.0;
const STRESS_DEGREE: f32 = 0.4;
const NEIGHBOR: f32 = 0.9;
const NEIGHBOR_CLASS: f32 = 0.7;
const FROM_END: f32 = 0.35;
const FROM_START: f32 = 0.15;
const SYLLABLES: f32 = 0.12;
/// dB of difference between the two sides of a join that cost as much as one more unit.
const LEVELS: f32 = 4.0;

/// A part of one recording, between the joining places of its first and last phone.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct BankStretch {
    /// Number of the first phone in the bank.
    pub first: usize,
    /// Number of the last phone.
    pub last: usize,
    /// Whether the first phone is taken from its start instead of its joining place.
    pub from_start: bool,
    /// Whether the last phone is taken to its end.
    pub to_end: bool,
}

/// A place in the word: a sound or the silence at an end.
struct WordSlot {
    sound: Option<Sound>,
    stress: u8,
}

/// What a pair of places may be taken from.
#[derive(Clone, Copy)]
enum UnitSource {
    /// A phone and the one after it.
    Pair(usize),
    /// The second half of one phone and the first half of another.
    Halves(usize, usize),
}

impl UnitSource {
    fn first(self) -> usize {
        match self {
            UnitSource::Pair(at) | UnitSource::Halves(at, _) => at,
        }
    }

    fn last(self) -> usize {
        match self {
            UnitSource::Pair(at) => at + 1,
            UnitSource::Halves(_, at) => at,
        }
    }
}

#[derive(Clone, Copy)]
struct UnitCandidate {
    source: UnitSource,
    /// How badly it fits its place.
    misfit: f32,
    /// Cheapest way from the word's start up to and with it.
    total: f32,
    before: usize,
}

/// The cheapest stretches for a word.
///
/// # Errors
/// A word with a sound that the bank does not have.
pub fn stretches(bank: &Bank, word: &Pronunciation) -> Result<Vec<BankStretch>, SayError> {
    let places = places(word);
    let mut columns: Vec<Vec<UnitCandidate>> = Vec::with_capacity(places.len());
    for at in 0..places.len() - 1 {
        let mut column = candidates(bank, &places, at)?;
        if let Some(before) = columns.last() {
            column.iter_mut().for_each(|candidate| reach(bank, before, candidate));
        }
        columns.push(column);
    }
    Ok(merged(&cheapest(&columns)))
}

fn places(word: &Pronunciation) -> Vec<WordSlot> {
    let silence = || WordSlot { sound: None, stress: 0 };
    let sounds = word.sounds().iter().zip(word.stress());
    let sounds = sounds.map(|(sound, stress)| WordSlot {
        sound: Some(*sound),
        stress: *stress,
    });
    std::iter::once(silence()).chain(sounds).chain([silence()]).collect()
}

/// Candidates for the pair at places `at` and `at + 1`, the best fitting first.
fn candidates(bank: &Bank, places: &[WordSlot], at: usize) -> Result<Vec<UnitCandidate>, SayError> {
    let kind_at = |at: usize| kind(places[at].sound, places[at].stress);
    let pairs = bank.pairs(kind_at(at), kind_at(at + 1));
    if pairs.is_empty() {
        return halves(bank, places, at);
    }
    let sources = pairs.iter().map(|number| UnitSource::Pair(*number));
    Ok(best(bank, places, at, sources.collect(), MOST))
}

/// Candidates for a pair that the bank lacks: halves of the two sounds.
fn halves(bank: &Bank, places: &[WordSlot], at: usize) -> Result<Vec<UnitCandidate>, SayError> {
    let side = |place: usize| {
        let wanted = &places[place];
        let mut numbers = bank.of_kind(kind(wanted.sound, wanted.stress)).to_vec();
        numbers.sort_by(|a, b| {
            let misfit = |number: usize| phone_misfit(bank, places, place, number);
            misfit(*a).total_cmp(&misfit(*b)).then(a.cmp(b))
        });
        numbers.truncate(HALVES);
        match (numbers.is_empty(), wanted.sound) {
            (true, Some(sound)) => Err(SayError::NoSound(sound)),
            _ => Ok(numbers),
        }
    };
    let (first, second) = (side(at)?, side(at + 1)?);
    let both = first
        .iter()
        .flat_map(|a| second.iter().map(move |b| UnitSource::Halves(*a, *b)));
    let mut found = best(bank, places, at, both.collect(), HALVES * HALVES);
    found.iter_mut().for_each(|candidate| {
        candidate.misfit += BORDER;
        candidate.total += BORDER;
    });
    Ok(found)
}

fn best(bank: &Bank, places: &[WordSlot], at: usize, sources: Vec<UnitSource>, most: usize) -> Vec<UnitCandidate> {
    let one = |source: UnitSource| {
        let misfit = phone_misfit(bank, places, at, source.first()) + phone_misfit(bank, places, at + 1, source.last());
        UnitCandidate {
            source,
            misfit,
            total: misfit,
            before: 0,
        }
    };
    let mut all: Vec<UnitCandidate> = sources.into_iter().map(one).collect();
    all.sort_by(|a, b| {
        a.misfit
            .total_cmp(&b.misfit)
            .then(a.source.first().cmp(&b.source.first()))
    });
    all.truncate(most);
    all
}

/// How badly a phone of the bank fits a place of the word. Each place is counted in two pairs, so each weighs half.
fn phone_misfit(bank: &Bank, places: &[WordSlot], at: usize, number: usize) -> f32 {
    let phone = bank.phone(number);
    let phones = bank.phones_of(bank.item(phone.item));
    let own = bank.place(number);
    let neighbors = [(own.checked_sub(1), at.checked_sub(1)), (Some(own + 1), Some(at + 1))];
    let around: f32 = neighbors
        .iter()
        .map(|(own, wanted)| {
            let own = own.and_then(|own| phones.get(own)).map(|p| p.sound);
            let wanted = wanted.and_then(|wanted| places.get(wanted)).map(|p| p.sound);
            neighbor_misfit(own, wanted)
        })
        .sum();
    let distance = |a: usize, b: usize| (a.min(4) as f32 - b.min(4) as f32).abs();
    let vowels = |n: usize| n.min(4);
    let own_vowels = vowels(phones.iter().filter(|p| p.sound.is_some_and(Sound::is_vowel)).count());
    let word_vowels = vowels(places.iter().filter(|p| p.sound.is_some_and(Sound::is_vowel)).count());
    let from_end = FROM_END * distance(phones.len() - own, places.len() - at);
    let from_start = FROM_START * distance(own, at);
    let syllables = SYLLABLES * (own_vowels as f32 - word_vowels as f32).abs();
    0.5 * (around + from_end + from_start + syllables + stress_misfit(phone, &places[at]))
}

fn stress_misfit(phone: &Phone, place: &WordSlot) -> f32 {
    match (phone.stress, place.stress) {
        (own, wanted) if own == wanted => 0.0,
        (0, _) | (_, 0) => STRESSED,
        _ => STRESS_DEGREE,
    }
}

fn neighbor_misfit(own: Option<Option<Sound>>, wanted: Option<Option<Sound>>) -> f32 {
    if own == wanted {
        return 0.0;
    }
    let class = |sound: Option<Option<Sound>>| sound.map(|sound| sound.map(Class::of));
    if class(own) == class(wanted) {
        NEIGHBOR
    } else {
        NEIGHBOR + NEIGHBOR_CLASS
    }
}

/// Adds the cheapest way to a candidate from the candidates for the pair before.
fn reach(bank: &Bank, before: &[UnitCandidate], candidate: &mut UnitCandidate) {
    let ways = before.iter().enumerate();
    let costs = ways.map(|(number, from)| {
        (
            number,
            from.total + join_cost(bank, from.source.last(), candidate.source.first()),
        )
    });
    if let Some((number, cost)) = costs.min_by(|a, b| a.1.total_cmp(&b.1)) {
        (candidate.before, candidate.total) = (number, cost + candidate.misfit);
    }
}

/// What it costs to go from the first half of one phone to the second half of another.
fn join_cost(bank: &Bank, from: usize, to: usize) -> f32 {
    if from == to {
        return 0.0;
    }
    let (from, to) = (bank.phone(from), bank.phone(to));
    let Some(sound) = from.sound else { return 0.0 };
    let class = Class::of(sound);
    let square = |i: usize| (f32::from(from.levels[i]) - f32::from(to.levels[i])).powi(2);
    let apart = (0..FEATURES).map(square).sum::<f32>() / FEATURES as f32;
    class.join() + class.ring() * apart.sqrt() / LEVELS
}

/// Sounds that join alike.
#[derive(Clone, Copy, PartialEq, Eq)]
pub enum Class {
    Stop,
    Hiss,
    VoicedHiss,
    Nasal,
    Glide,
    Vowel,
    Moving,
}

impl Class {
    pub fn of(sound: Sound) -> Class {
        match sound {
            Sound::P | Sound::T | Sound::K | Sound::B | Sound::D | Sound::G | Sound::CH | Sound::JH => Class::Stop,
            Sound::F | Sound::S | Sound::SH | Sound::TH | Sound::HH => Class::Hiss,
            Sound::V | Sound::Z | Sound::ZH | Sound::DH => Class::VoicedHiss,
            Sound::M | Sound::N | Sound::NG => Class::Nasal,
            Sound::L | Sound::R | Sound::W | Sound::Y => Class::Glide,
            Sound::AW | Sound::AY | Sound::OY | Sound::EY | Sound::OW | Sound::ER => Class::Moving,
            _ => Class::Vowel,
        }
    }

    /// Cost of a join in it: nothing is heard of one in a closure, most of one in a sound that moves.
    fn join(self) -> f32 {
        match self {
            Class::Stop => 1.0,
            Class::Hiss => 1.2,
            Class::VoicedHiss => 1.8,
            Class::Nasal => 2.0,
            Class::Vowel => 2.8,
            Class::Moving => 3.4,
            Class::Glide => 3.4,
        }
    }

    /// How much the spectrum's difference matters.
    fn ring(self) -> f32 {
        match self {
            Class::Stop => 0.15,
            Class::Hiss => 0.6,
            _ => 1.2,
        }
    }
}

fn cheapest(columns: &[Vec<UnitCandidate>]) -> Vec<UnitSource> {
    let mut path = Vec::with_capacity(columns.len());
    let last = columns.last().map_or(&[][..], Vec::as_slice).iter().enumerate();
    let mut at = last
        .min_by(|a, b| a.1.total.total_cmp(&b.1.total))
        .map_or(0, |(number, _)| number);
    for column in columns.iter().rev() {
        let candidate = column[at];
        path.push(candidate.source);
        at = candidate.before;
    }
    path.reverse();
    path
}

/// Pairs that follow each other in one recording become one stretch.
fn merged(path: &[UnitSource]) -> Vec<BankStretch> {
    let mut out: Vec<BankStretch> = Vec::new();
    let mut add = |first: usize, last: usize, from_start: bool, to_end: bool| match out.last_mut() {
        Some(before) if before.last == first && !before.to_end && !from_start => {
            (before.last, before.to_end) = (last, to_end);
        }
        _ => out.push(BankStretch {
            first,
            last,
            from_start,
            to_end,
        }),
    };
    for source in path {
        match *source {
            UnitSource::Pair(at) => add(at, at + 1, false, false),
            UnitSource::Halves(a, b) => {
                add(a, a, false, true);
                add(b, b, true, false);
            }
        }
    }
    out
}
