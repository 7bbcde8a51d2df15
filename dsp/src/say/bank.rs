//! The bank: recordings of one voice, where their sounds lie, and what the voice is like where they may be joined.
//!
//! `voice/bank.bin`, numbers with the little end first, is made by `training/say/pack.py`:
//!
//! | part | bytes |
//! | --- | --- |
//! | name and version | 8 |
//! | number of items (`u16`), of phones (`u32`), of packets (`u32`), bytes of the Vorbis headers (`u32`) | 14 |
//! | the Vorbis headers: identification, then setup | as stated |
//! | items: flags, number of phones, of packets, nothing (`u8` each), number of samples (`u32`) | 8 each |
//! | phones: code (`u8`), start, end, join (`u16`, in steps of [`STEP`] samples), [`FEATURES`] levels (`i8`) | 17 each |
//! | packets: their lengths (`u16`) | 2 each |
//! | the packets | |
//!
//! An item is one recording, coded by itself, so that one word is decoded alone. A phone's code holds the sound's index
//! in its low six bits ([`SILENCE`] for none) and the stress in the high two. A word has silence as its first and last phone.

use std::collections::HashMap;

use soundbead_data::lexicon::Pronunciation;
use soundbead_data::sound::Sound;
use symphonia::core::codecs::audio::{AudioCodecParameters, AudioDecoder, AudioDecoderOptions, well_known};
use symphonia::core::packet::Packet;
use symphonia::core::units::{Duration, Timestamp};

use super::SayError;
use crate::audio::RATE;

/// The bank that comes with the program.
pub const SIZE: usize = SHIPPED.len();
const SHIPPED: &[u8] = include_bytes!("../../voice/bank.bin");
const MAGIC: &[u8; 8] = b"SBVOICE1";
/// Samples to a step of a phone's times (0.25 ms).
pub const STEP: usize = 4;
/// Levels kept of a phone's spectrum where it may be joined.
pub const FEATURES: usize = 10;
/// The index of no sound at all.
pub const SILENCE: usize = Sound::COUNT;
/// Weak AH and ER differ from the strong ones as two vowels do, and are kept apart.
const WEAK: [(Sound, usize); 2] = [(Sound::AH, SILENCE + 1), (Sound::ER, SILENCE + 2)];
/// How many kinds of phone there are.
pub const KINDS: usize = SILENCE + 3;

/// Flag of an item that is one sound alone.
const SINGLE: u8 = 1;
/// Flag of an item that may be played as a word.
const WHOLE: u8 = 2;

/// One sound in one recording; times in samples from the recording's start.
#[derive(Clone, Copy, Debug)]
pub struct Phone {
    /// None for the silence around a word.
    pub sound: Option<Sound>,
    pub stress: u8,
    pub start: usize,
    pub end: usize,
    /// Where it may be joined to another recording of the sound.
    pub join: usize,
    /// Levels of ten bands of equal width on the mel scale there, in dB.
    pub levels: [i8; FEATURES],
    /// Which recording.
    pub item: usize,
}

impl Phone {
    /// What recordings of it are put in one drawer for.
    pub fn kind(&self) -> usize {
        kind(self.sound, self.stress)
    }
}

/// The kind of a sound with its stress; of none, silence.
pub fn kind(sound: Option<Sound>, stress: u8) -> usize {
    let Some(sound) = sound else { return SILENCE };
    let weak = WEAK.iter().find(|(of, _)| *of == sound && stress == 0);
    weak.map_or(sound.index(), |(_, kind)| *kind)
}

/// One recording.
#[derive(Clone, Debug)]
pub struct Item {
    flags: u8,
    phones: std::ops::Range<usize>,
    packets: std::ops::Range<usize>,
    /// Where its first packet begins among the packets' bytes.
    at: usize,
    samples: usize,
}

pub struct Bank<'a> {
    headers: &'a [u8],
    items: Vec<Item>,
    phones: Vec<Phone>,
    lengths: Vec<u16>,
    data: &'a [u8],
    words: HashMap<Vec<usize>, usize>,
    singles: HashMap<Vec<usize>, usize>,
    pairs: HashMap<(usize, usize), Vec<usize>>,
    kinds: Vec<Vec<usize>>,
}

/// Takes bytes off the front.
struct Bytes<'a>(&'a [u8]);

impl<'a> Bytes<'a> {
    fn take(&mut self, n: usize, part: &'static str) -> Result<&'a [u8], SayError> {
        let (taken, rest) = self.0.split_at_checked(n).ok_or(SayError::Bank(part))?;
        self.0 = rest;
        Ok(taken)
    }

    /// The next `n` bytes as one number.
    fn number(&mut self, n: usize, part: &'static str) -> Result<usize, SayError> {
        let bytes = self.take(n, part)?;
        Ok(bytes.iter().rev().fold(0, |sum, byte| sum << 8 | usize::from(*byte)))
    }
}

impl Bank<'static> {
    /// The bank that comes with the program.
    ///
    /// # Errors
    /// As [`Bank::from_bytes`]; a test holds the shipped one to none.
    pub fn shipped() -> Result<Bank<'static>, SayError> {
        Bank::from_bytes(SHIPPED)
    }
}

impl<'a> Bank<'a> {
    /// Reads a bank from its file's bytes.
    ///
    /// # Errors
    /// [`SayError::Bank`], with what is wrong, for bytes that are cut short or of another version.
    pub fn from_bytes(bytes: &'a [u8]) -> Result<Bank<'a>, SayError> {
        let mut bytes = Bytes(bytes);
        if bytes.take(MAGIC.len(), "its name is cut short")? != MAGIC {
            return Err(SayError::Bank("it is no bank of this version"));
        }
        let mut count = |n| bytes.number(n, "its header is cut short");
        let (items, phones, packets, headers) = (count(2)?, count(4)?, count(4)?, count(4)?);
        let headers = bytes.take(headers, "its codec's headers are cut short")?;
        let heads = bytes.take(8 * items, "its items are cut short")?;
        let phones = bytes.take(phones * (7 + FEATURES), "its phones are cut short")?;
        let lengths = bytes.take(2 * packets, "its packets' lengths are cut short")?;
        let lengths: Vec<u16> = lengths
            .chunks_exact(2)
            .map(|b| u16::from_le_bytes([b[0], b[1]]))
            .collect();
        let items = read_items(heads, &lengths);
        let phones = read_phones(phones, &items)?;
        let whole = |item: &Item| item.phones.end <= phones.len() && item.packets.end <= lengths.len();
        if !items.iter().all(whole) || lengths.iter().map(|n| usize::from(*n)).sum::<usize>() != bytes.0.len() {
            return Err(SayError::Bank("its recordings are cut short"));
        }
        let mut bank = Bank {
            headers,
            items,
            phones,
            lengths,
            data: bytes.0,
            words: HashMap::new(),
            singles: HashMap::new(),
            pairs: HashMap::new(),
            kinds: vec![Vec::new(); KINDS],
        };
        bank.index();
        Ok(bank)
    }

    fn index(&mut self) {
        for (number, item) in self.items.iter().enumerate() {
            let phones = &self.phones[item.phones.clone()];
            if item.flags & SINGLE != 0 {
                self.singles.insert(phones.iter().map(Phone::kind).collect(), number);
                continue;
            }
            if item.flags & WHOLE != 0 {
                let spoken = phones[1..phones.len() - 1].iter().map(|p| spoken(p.sound, p.stress));
                self.words.entry(spoken.collect()).or_insert(number);
            }
            for at in item.phones.clone() {
                self.kinds[self.phones[at].kind()].push(at);
            }
            for at in item.phones.start..item.phones.end - 1 {
                let pair = (self.phones[at].kind(), self.phones[at + 1].kind());
                self.pairs.entry(pair).or_default().push(at);
            }
        }
    }

    /// The recording of a word, its sounds and stress the same.
    pub fn word(&self, word: &Pronunciation) -> Option<&Item> {
        let key = word.sounds().iter().zip(word.stress());
        let key: Vec<usize> = key.map(|(sound, stress)| spoken(Some(*sound), *stress)).collect();
        self.words.get(&key).map(|number| &self.items[*number])
    }

    /// The recording of a sound alone. Only AH and ER have a weak form.
    pub fn single(&self, sounds: &[Sound], weak: bool) -> Option<&Item> {
        let stress = if weak && sounds.len() == 1 { 0 } else { 1 };
        let key: Vec<usize> = sounds.iter().map(|sound| kind(Some(*sound), stress)).collect();
        self.singles.get(&key).map(|number| &self.items[*number])
    }

    pub fn item(&self, number: usize) -> &Item {
        &self.items[number]
    }

    pub fn phones_of(&self, item: &Item) -> &[Phone] {
        &self.phones[item.phones.clone()]
    }

    /// A phone by its number in the bank; the next number is the phone after it in the same recording.
    pub fn phone(&self, number: usize) -> &Phone {
        &self.phones[number]
    }

    /// How many phones stand before it in its recording.
    pub fn place(&self, number: usize) -> usize {
        number - self.items[self.phones[number].item].phones.start
    }

    /// Numbers of the phones of the first kind that have one of the second kind after them.
    pub fn pairs(&self, first: usize, second: usize) -> &[usize] {
        self.pairs.get(&(first, second)).map_or(&[], Vec::as_slice)
    }

    /// Numbers of all phones of a kind.
    pub fn of_kind(&self, kind: usize) -> &[usize] {
        &self.kinds[kind]
    }

    /// Decodes one recording.
    ///
    /// # Errors
    /// [`SayError::Bank`] where the recording cannot be decoded.
    pub fn samples(&self, item: &Item) -> Result<Vec<f32>, SayError> {
        const BROKEN: SayError = SayError::Bank("a recording cannot be decoded");
        let mut decoder = self.decoder()?;
        let mut samples = Vec::with_capacity(item.samples);
        let (mut at, mut plane) = (item.at, Vec::new());
        for length in &self.lengths[item.packets.clone()] {
            let bytes = &self.data[at..at + usize::from(*length)];
            at += bytes.len();
            let packet = Packet::new(0, Timestamp::ZERO, Duration::ZERO, bytes);
            let buffer = decoder.decode(&packet).map_err(|_| BROKEN)?;
            if buffer.frames() > 0 {
                buffer.copy_to_vecs_planar(&mut plane);
                samples.extend_from_slice(plane.first().map_or(&[], Vec::as_slice));
            }
        }
        samples.resize(item.samples, 0.0);
        Ok(samples)
    }

    fn decoder(&self) -> Result<Box<dyn AudioDecoder>, SayError> {
        let mut parameters = AudioCodecParameters::new();
        parameters.codec = well_known::CODEC_ID_VORBIS;
        parameters.sample_rate = Some(RATE);
        parameters.extra_data = Some(self.headers.into());
        symphonia::default::get_codecs()
            .make_audio_decoder(&parameters, &AudioDecoderOptions::default())
            .map_err(|_| SayError::Bank("its codec's headers cannot be read"))
    }
}

/// A sound with its stress as a word's recording is looked up by.
fn spoken(sound: Option<Sound>, stress: u8) -> usize {
    sound.map_or(SILENCE, Sound::index) << 2 | usize::from(stress)
}

fn read_items(heads: &[u8], lengths: &[u16]) -> Vec<Item> {
    let (mut phone, mut packet, mut at) = (0, 0, 0);
    let one = |head: &[u8]| {
        let item = Item {
            flags: head[0],
            phones: phone..phone + usize::from(head[1]),
            packets: packet..packet + usize::from(head[2]),
            at,
            samples: u32::from_le_bytes([head[4], head[5], head[6], head[7]]) as usize,
        };
        (phone, packet) = (item.phones.end, item.packets.end);
        let own = lengths.get(item.packets.clone()).unwrap_or_default();
        at += own.iter().map(|n| usize::from(*n)).sum::<usize>();
        item
    };
    heads.chunks_exact(8).map(one).collect()
}

fn read_phones(bytes: &[u8], items: &[Item]) -> Result<Vec<Phone>, SayError> {
    let owners = items
        .iter()
        .enumerate()
        .flat_map(|(number, item)| item.phones.clone().map(move |_| (number, item)));
    let each = bytes.chunks_exact(7 + FEATURES).zip(owners);
    let phones: Vec<Phone> = each
        .map(|(b, (number, item))| read_phone(b, number, item.samples))
        .collect();
    let words = items.iter().filter(|item| item.flags & SINGLE == 0);
    let framed = |item: &Item| item.phones.len() >= 3;
    if phones.len() * (7 + FEATURES) != bytes.len() || !words.clone().all(framed) {
        return Err(SayError::Bank("its phones do not fit its items"));
    }
    Ok(phones)
}

fn read_phone(b: &[u8], item: usize, samples: usize) -> Phone {
    let time = |at: usize| (usize::from(u16::from_le_bytes([b[at], b[at + 1]])) * STEP).min(samples);
    Phone {
        sound: Sound::from_index(usize::from(b[0] & 63)),
        stress: b[0] >> 6,
        start: time(1),
        end: time(3).max(time(1)),
        join: time(5),
        levels: std::array::from_fn(|i| b[7 + i] as i8),
        item,
    }
}
