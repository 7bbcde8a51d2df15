//! How often the dictionary spells a sound with these letters, by place, and how often children slip, by kind.

use std::collections::{BTreeMap, HashMap};
use std::sync::LazyLock;

use super::place::SoundContext;
use crate::Sound;

/// Most sounds that letters of the table spell at once.
pub const MOST_SOUNDS: usize = 3;
/// Most letters of a spelling.
pub const MOST_LETTERS: usize = 5;
/// A spelling is one of a sound's when it has this share of the sound in common words (found in *great*, *said*, *answer*), ...
const KNOWN_SHARE: f32 = 0.0015;
/// ... in at least so many words ...
const KNOWN_WORDS: u32 = 2;
/// ... and a spelling whose own sound is a near one (the e of *pretty* for the i of *pig*) only with this share, in its place.
const NEAR_SHARE: f32 = 0.03;
/// ... where readers take the letters for it at least so often (the t of *nature*, not that of *test* for *chest*).
const READ_NEAR: f32 = 0.02;
/// A vowel's spelling with this share is one of its chief ones (the a of *baby*, the o of *dog*) and is so in every place.
const CHIEF_SHARE: f32 = 0.25;
/// Common words that must spell the sound so in the place before it is said to fit there: one or two are strays (*allege*).
const FITS_WORDS: u32 = 3;

/// One way in which the dictionary reads some letters.
#[derive(Clone, Debug, PartialEq)]
pub struct LetterReading {
    /// The sounds, one to three.
    pub sounds: Vec<Sound>,
    /// In how many common words, by place.
    words: Vec<(SoundContext, u32)>,
    /// The same by [`SoundContext::sort`], and in all.
    sorts: [u32; SoundContext::SORTS],
    all: u32,
}

impl LetterReading {
    fn new(sounds: Vec<Sound>, words: Vec<(SoundContext, u32)>) -> LetterReading {
        let mut sorts = [0; SoundContext::SORTS];
        words.iter().for_each(|(place, count)| sorts[place.sort()] += count);
        let all = sorts.iter().sum();
        LetterReading {
            sounds,
            words,
            sorts,
            all,
        }
    }

    /// In how many common words in this very place.
    fn at(&self, place: SoundContext) -> u32 {
        let here = self.words.iter().find(|(other, _)| *other == place);
        here.map_or(0, |(_, count)| *count)
    }

    /// In how many common words as a loud vowel or a consonant.
    fn loud(&self) -> u32 {
        self.sorts[0] + self.sorts[1]
    }
}

/// The table of spellings by letters (`ck`, `a_e`), with totals by sounds.
#[derive(Clone, Debug, Default)]
pub struct SpellingCounts {
    by_letters: HashMap<Vec<u8>, Vec<LetterReading>>,
    totals: HashMap<Vec<Sound>, [u32; SoundContext::SORTS]>,
}

/// What may be said of letters that stand for sounds whose own letters they are not.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Likeness {
    /// They spell the sounds in other words; whether also in this place. The share is that of all its spellings.
    Spells {
        /// Whether common words spell it so in this place.
        fits: bool,
        /// How much of the sound's spellings these letters are, 0 to 1.
        share: f32,
    },
    /// They spell a near sound.
    Near {
        /// How much of the near sound's spellings these letters are, 0 to 1.
        share: f32,
    },
    /// They spell another sound of its kind.
    Other,
}

impl SpellingCounts {
    /// The table that comes with the program.
    pub fn builtin() -> &'static SpellingCounts {
        static TABLE: LazyLock<SpellingCounts> = LazyLock::new(|| {
            SpellingCounts::read(include_str!("../../tables/writing.tsv"))
                .expect("the table is checked by this crate's tests")
        });
        &TABLE
    }

    /// Reads letters, sounds and `place:words` of each line, tabs between; `None` where a line is not so.
    pub fn read(text: &str) -> Option<SpellingCounts> {
        let mut figures = SpellingCounts::default();
        for line in text.lines().filter(|l| !l.is_empty() && !l.starts_with('#')) {
            let mut fields = line.split('\t');
            let letters = fields.next()?.as_bytes().to_vec();
            let sounds: Option<Vec<Sound>> = fields.next()?.split(' ').map(|s| s.parse().ok()).collect();
            let pair = |text: &str| {
                let (place, words) = text.split_once(':')?;
                Some((SoundContext::read(place)?, words.parse().ok()?))
            };
            let words: Option<Vec<(SoundContext, u32)>> = fields.next()?.split(' ').map(pair).collect();
            figures.add(letters, sounds?, words?);
        }
        Some(figures)
    }

    fn add(&mut self, letters: Vec<u8>, sounds: Vec<Sound>, words: Vec<(SoundContext, u32)>) {
        let spelled = LetterReading::new(sounds, words);
        let totals = self.totals.entry(spelled.sounds.clone()).or_default();
        totals
            .iter_mut()
            .zip(spelled.sorts)
            .for_each(|(total, more)| *total += more);
        self.by_letters.entry(letters).or_default().push(spelled);
    }

    /// Every way in which the dictionary reads `letters`.
    pub fn readings(&self, letters: &[u8]) -> &[LetterReading] {
        self.by_letters.get(letters).map_or(&[], Vec::as_slice)
    }

    /// What the dictionary says of `letters` for `sounds` at `place`; `None` where they spell nothing of the kind.
    pub fn likeness(&self, letters: &[u8], sounds: &[Sound], place: SoundContext) -> Option<Likeness> {
        let readings = self.readings(letters);
        if readings.is_empty() {
            return None;
        }
        let (words, share) = self.share(readings, sounds, place);
        let fits = self.words_here(readings, sounds, place) >= FITS_WORDS;
        let main = main_reading(readings);
        // Weak vowels are one blur; the letters of any of them spell any other.
        // Letters in a team (si, oo) are read both ways; a single letter has one sound that readers take it for first.
        let both_ways = letters.len() > 1 && self.read_in(readings, sounds) >= READ_SHARE;
        let from_near = !place.is_weak()
            && sounds.len() == 1
            && !both_ways
            && main.is_some_and(|(main, _)| super::near(main, sounds[0]));
        let known = words >= KNOWN_WORDS && share >= KNOWN_SHARE;
        let chief = sounds[0].is_vowel() && share >= CHIEF_SHARE;
        let read_so = || {
            self.read_as(letters, sounds, place)
                .is_some_and(|share| share >= READ_NEAR)
        };
        if known && (!from_near || chief || (share >= NEAR_SHARE && fits && read_so())) {
            return Some(Likeness::Spells { fits, share });
        }
        let [sound] = sounds else { return None };
        let near = self.near_reading(readings, *sound);
        near.or_else(|| {
            let (main, _) = main?;
            (main.is_vowel() == sound.is_vowel()).then_some(Likeness::Other)
        })
    }

    /// Common words that spell the sounds so in a place of the same loudness, and their share of all that have the sounds there.
    fn share(&self, readings: &[LetterReading], sounds: &[Sound], place: SoundContext) -> (u32, f32) {
        let sort = place.sort();
        let served = readings.iter().filter(|s| same(&s.sounds, sounds, place));
        let here: u32 = served.map(|s| s.sorts[sort]).sum();
        let total = |sounds: &[Sound]| self.totals.get(sounds).map_or(0, |sorts| sorts[sort]);
        let twin = weak_twin(sounds, place).map_or(0, |twin| total(&[twin]));
        let all = total(sounds) + twin;
        (here, here as f32 / all.max(1) as f32)
    }

    /// How much of the sounds' spellings in this sort of place the letters are, 0 to 1.
    pub fn share_of(&self, letters: &[u8], sounds: &[Sound], place: SoundContext) -> f32 {
        self.share(self.readings(letters), sounds, place).1
    }

    /// In which share of their common words the letters spell these sounds, wherever they stand, 0 to 1.
    pub fn read_anywhere(&self, letters: &[u8], sounds: &[Sound]) -> f32 {
        self.read_in(self.readings(letters), sounds)
    }

    /// In which share of their common words the letters spell these sounds.
    fn read_in(&self, readings: &[LetterReading], sounds: &[Sound]) -> f32 {
        let all: u32 = readings.iter().map(|s| s.all).sum();
        let so = readings.iter().find(|s| s.sounds == sounds).map_or(0, |s| s.all);
        so as f32 / all.max(1) as f32
    }

    /// Common words that spell the sounds so in this very place.
    fn words_here(&self, readings: &[LetterReading], sounds: &[Sound], place: SoundContext) -> u32 {
        let alike = readings.iter().filter(|s| same(&s.sounds, sounds, place));
        alike.map(|s| s.at(place)).sum()
    }

    /// Of the letters' common readings, the near sound that they spell most.
    fn near_reading(&self, readings: &[LetterReading], sound: Sound) -> Option<Likeness> {
        let all: u32 = readings.iter().map(|s| s.all).sum();
        let near = readings.iter().filter_map(|s| match s.sounds[..] {
            [other] if super::near(other, sound) => Some((other, s.all)),
            _ => None,
        });
        let (other, words) = near.max_by_key(|(_, words)| *words)?;
        // A sound that the letters spell in few of their words is not what a reader takes them for.
        let read_so = words as f32 / all.max(1) as f32;
        let total: u32 = self.totals.get(&[other][..])?.iter().sum();
        let share = words as f32 / total.max(1) as f32;
        // Nor is one that they spell in a handful of strays (the is of *debris*).
        let known = words >= KNOWN_WORDS && share >= KNOWN_SHARE;
        (known && read_so >= READ_SHARE).then_some(Likeness::Near { share })
    }

    /// How much of the letters' readings in this place are these sounds, 0 to 1; `None` where the dictionary has none there.
    pub fn read_as(&self, letters: &[u8], sounds: &[Sound], place: SoundContext) -> Option<f32> {
        let readings = self.readings(letters);
        let here = self.words_here(readings, sounds, place);
        let all: u32 = readings.iter().map(|s| s.at(place)).sum();
        (all > 0).then(|| here as f32 / all as f32)
    }
}

/// Share of the letters' words in which they must spell a sound to count as letters of it.
pub const READ_SHARE: f32 = 0.15;

/// Whether a reading with these sounds serves for `sounds`: the same, or the other of the two weak vowels that dictionaries mix.
fn same(reading: &[Sound], sounds: &[Sound], place: SoundContext) -> bool {
    reading == sounds || (reading.len() == 1 && weak_twin(sounds, place) == Some(reading[0]))
}

/// IH for AH and AH for IH where the vowel is weak: the dictionary has now one, now the other (*cabbage*, *minute*).
fn weak_twin(sounds: &[Sound], place: SoundContext) -> Option<Sound> {
    match sounds {
        [Sound::AH] if place.is_weak() => Some(Sound::IH),
        [Sound::IH] if place.is_weak() => Some(Sound::AH),
        _ => None,
    }
}

/// The single sound that the letters spell in most common words, weak vowels aside where they spell loud ones.
fn main_reading(readings: &[LetterReading]) -> Option<(Sound, u32)> {
    let single = |weak: bool| {
        let singles = readings.iter().filter(|s| s.sounds.len() == 1);
        let counted = singles.map(move |s| (s.sounds[0], if weak { s.all } else { s.loud() }));
        counted.filter(|(_, words)| *words > 0).max_by_key(|(_, words)| *words)
    };
    single(false).or_else(|| single(true))
}

/// The natural logarithm of how likely each kind of slip is, learned from misspellings.
#[derive(Clone, Debug, PartialEq)]
pub struct Slips(BTreeMap<String, f32>);

impl Slips {
    /// The table that comes with the program.
    pub fn builtin() -> &'static Slips {
        static TABLE: LazyLock<Slips> = LazyLock::new(|| {
            Slips::read(include_str!("../../tables/slips.tsv")).expect("the table is checked by this crate's tests")
        });
        &TABLE
    }

    /// Reads a kind and its share of chances (0 to 1) from each line, a tab between; `None` where a line is not so.
    pub fn read(text: &str) -> Option<Slips> {
        let lines = text.lines().filter(|l| !l.is_empty() && !l.starts_with('#'));
        let pairs = lines.map(|line| {
            let (kind, share) = line.split_once('\t')?;
            Some((kind.to_owned(), share.parse().ok()?))
        });
        Some(Slips(pairs.collect::<Option<_>>()?))
    }

    /// The share of `kind`.
    ///
    /// # Panics
    /// When the table has no such kind.
    pub fn share(&self, kind: &str) -> f32 {
        *self.0.get(kind).unwrap_or_else(|| panic!("slips.tsv has no `{kind}`"))
    }
}
