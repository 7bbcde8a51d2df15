//! The common words and the choices that each meets.

use std::collections::{BTreeSet, HashMap};
use std::ops::Range;
use std::sync::{Arc, LazyLock, Mutex, PoisonError};

use super::plain::Plainness;
use super::{Choice, plain};
use crate::Sound;
use crate::chain::{Listed, WordList};
use crate::lexicon::{self, Pronunciation};
use crate::parts::Join;
use crate::spelling::{self, LetterBox};
use crate::writing::figures::SpellingCounts;
use crate::writing::place::{SoundContext, is_loud};
use crate::writing::shape::WordStructure;

/// How common a word is at least: about ten times in a million words.
const LEAST_ZIPF: f32 = 4.0;
/// How common a word of the wider list is at least: about four times in a million words.
const WIDER_ZIPF: f32 = 3.6;
/// Letters of a word, fewest and most, that children of 8 to 12 are asked to write.
const LETTERS: std::ops::RangeInclusive<usize> = 3..=10;
/// Letters with a smaller share of the sound's spellings have to be known by heart.
const RARE: f32 = 0.012;

/// A word of the course.
#[derive(Clone, Debug, PartialEq)]
pub struct CourseWord {
    /// In small letters.
    pub word: String,
    /// How it is said.
    pub said: Pronunciation,
    /// How common, on the Zipf scale.
    pub zipf: f32,
    /// Each choice that it meets, in the order of [`Choice::ALL`], with one run of sounds where it does.
    pub met: Vec<(Choice, Range<usize>)>,
    /// What makes it a word to teach with, or not.
    pub(super) plainness: Plainness,
}

impl CourseWord {
    /// Whether it meets `choice`.
    pub fn meets(&self, choice: Choice) -> bool {
        self.met.iter().any(|(met, _)| *met == choice)
    }

    /// Whether lessons show `choice` with it: it meets the choice where it is taught (ck or k at the end), and keeps the rule.
    pub fn shows(&self, choice: Choice) -> bool {
        self.meets(choice) && self.plainness.shows(choice)
    }

    /// Whether it can stand in a lesson after these choices: it meets no other, has no letters that no rule foretells (but where
    /// such letters are what is taught), is no function word, and is no longer than what was taught.
    pub fn fits(&self, taught: &BTreeSet<Choice>) -> bool {
        self.met.iter().all(|(choice, _)| taught.contains(choice)) && self.plainness.fits(taught)
    }

    /// The same of function words too: this and them show the voiced th, which begins hardly any other words.
    pub fn fits_though_small(&self, taught: &BTreeSet<Choice>) -> bool {
        self.met.iter().all(|(choice, _)| taught.contains(choice)) && self.plainness.fits_though_small(taught)
    }

    /// Whether every letter is in its ordinary use, and it is no function word.
    pub fn is_plain(&self) -> bool {
        self.plainness.is_plain()
    }

    /// Syllables of the word without prefix and ending.
    pub fn syllables(&self) -> usize {
        self.plainness.syllables
    }
}

/// The words of the course, the commonest first.
#[derive(Clone, Debug, Default)]
pub struct CourseWords {
    all: Vec<CourseWord>,
    by_word: HashMap<String, usize>,
}

impl CourseWords {
    /// The common words that are said in one way, weak vowels aside, and whose letters can be tied to their sounds. Made on first use.
    pub fn builtin() -> &'static CourseWords {
        static WORDS: LazyLock<CourseWords> = LazyLock::new(|| CourseWords::from(LEAST_ZIPF));
        &WORDS
    }

    /// The same with words that a reader of eight to ten knows and seldom writes (*fin*, *rug*): for chains, which need neighbors.
    pub fn wider() -> &'static CourseWords {
        static WORDS: LazyLock<CourseWords> = LazyLock::new(|| CourseWords::from(WIDER_ZIPF));
        &WORDS
    }

    /// What a written word is evidence of, however rare the word: *hopped* shows whether letters are doubled as *stopped* does. The
    /// list's own entry where it has one; `None` for what the dictionary lacks or says in two ways, and for words that meet no choice.
    /// Each word is worked out once.
    pub fn known(word: &str) -> Option<Arc<CourseWord>> {
        static KNOWN: LazyLock<Mutex<HashMap<String, Option<Arc<CourseWord>>>>> = LazyLock::new(Mutex::default);
        // What a thread left behind that failed is whole: entries are put in as one.
        let known = || KNOWN.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some(found) = known().get(word) {
            return found.clone();
        }
        // Nobody waits for another's word meanwhile: writing is read on several threads.
        let own = CourseWords::builtin().get(word).cloned();
        let found = own.or_else(|| of_dictionary(word)).map(Arc::new);
        known().insert(word.to_owned(), found.clone());
        found
    }

    fn from(least: f32) -> CourseWords {
        let listed = WordList::default().words().into_iter();
        let alike = |w: &Listed| w.zipf >= least && LETTERS.contains(&w.spelling.len()) && said_alike(&w.variants);
        let common = listed.filter(alike);
        CourseWords::of(common.filter_map(|w| entry(&w.spelling, w.variants[0].clone(), w.zipf)))
    }

    /// These words, sorted.
    pub fn of(entries: impl IntoIterator<Item = CourseWord>) -> CourseWords {
        let mut all: Vec<CourseWord> = entries.into_iter().collect();
        all.sort_by(|a, b| b.zipf.total_cmp(&a.zipf).then(a.word.cmp(&b.word)));
        let by_word = all.iter().enumerate().map(|(at, e)| (e.word.clone(), at)).collect();
        CourseWords { all, by_word }
    }

    /// All, the commonest first.
    pub fn all(&self) -> &[CourseWord] {
        &self.all
    }

    /// The word of this spelling.
    pub fn get(&self, word: &str) -> Option<&CourseWord> {
        self.by_word.get(word).map(|&at| &self.all[at])
    }
}

/// The entry of a word that the list lacks.
fn of_dictionary(word: &str) -> Option<CourseWord> {
    let found = lexicon::look_up(word).filter(|_| word.len() >= *LETTERS.start())?;
    let variants: Vec<Pronunciation> = found.variants().collect();
    let said = variants.first().filter(|_| said_alike(&variants))?.clone();
    entry(word, said, found.zipf())
}

/// Whether the ways of saying a word differ in weak vowels at most, AH for IH (*boxes*).
fn said_alike(variants: &[Pronunciation]) -> bool {
    let weak = |sound: Sound| matches!(sound, Sound::AH | Sound::IH);
    let alike = |a: Sound, b: Sound| a == b || (weak(a) && weak(b));
    let first = variants[0].sounds();
    variants.iter().all(|said| {
        let sounds = said.sounds();
        sounds.len() == first.len() && sounds.iter().zip(first).all(|(a, b)| alike(*a, *b))
    })
}

/// The entry of a word; `None` where its letters cannot be tied, or it meets no choice.
fn entry(word: &str, said: Pronunciation, zipf: f32) -> Option<CourseWord> {
    let boxes = spelling::boxes(word, said.sounds())?;
    let shape = WordStructure::of(word, &said);
    let met = met(shape.as_ref(), &said, &boxes);
    (!met.is_empty()).then(|| CourseWord {
        plainness: plain::of(word, (&said, zipf), &boxes, shape.as_ref()),
        word: word.to_owned(),
        said,
        zipf,
        met,
    })
}

/// The choices that a word meets.
fn met(shape: Option<&WordStructure>, said: &Pronunciation, boxes: &[LetterBox]) -> Vec<(Choice, Range<usize>)> {
    let end = shape.map_or(said.sounds().len(), |s| s.base.1);
    let mut met: Vec<(Choice, Range<usize>)> = Vec::new();
    for held in boxes {
        // An ending has choices of its own.
        let ending = held.sounds.start >= end;
        met.extend(
            of_box(said, held, end)
                .filter(|_| !ending)
                .map(|choice| (choice, held.sounds.clone())),
        );
    }
    met.extend(clusters(said.sounds(), end));
    met.extend(shape.iter().flat_map(|shape| of_shape(shape, said.sounds().len())));
    met.sort_by_key(|(choice, range)| (*choice, range.start));
    met.dedup_by_key(|(choice, _)| *choice);
    met
}

/// The choice at one box.
fn of_box(said: &Pronunciation, held: &LetterBox, end: usize) -> impl Iterator<Item = Choice> + use<> {
    let sound = said.sounds()[held.sounds.start];
    let last = held.sounds.end == end;
    let found = match sound.is_vowel() {
        true => of_vowel(said, held),
        false => of_consonant(said, held, last),
    };
    found
        .or_else(|| rare(said, held).then_some(Choice::Irregular))
        .into_iter()
}

fn of_vowel(said: &Pronunciation, held: &LetterBox) -> Option<Choice> {
    let at = held.sounds.start;
    let (sounds, letters) = (said.sounds(), held.letters.as_str());
    let sound = sounds[at];
    if !is_loud(said, at) && matches!(sound, Sound::AH | Sound::IH) {
        return Some(Choice::Schwa);
    }
    if sound == Sound::ER || sounds.get(at + 1) == Some(&Sound::R) {
        return Some(Choice::RVowel);
    }
    if rare(said, held) {
        return Some(Choice::Irregular);
    }
    let short = matches!(
        (sound, letters),
        (Sound::AE, "a") | (Sound::EH, "e") | (Sound::IH, "i") | (Sound::AA | Sound::AO, "o") | (Sound::AH, "u")
    );
    let long = matches!(sound, Sound::EY | Sound::IY | Sound::AY | Sound::OW | Sound::UW);
    match () {
        () if short => Some(Choice::ShortVowel),
        () if letters.contains('_') => Some(Choice::SilentE),
        () if long && letters.len() > 1 && letters != "oo" && letters != "ou" => Some(Choice::VowelTeam),
        () if letters.len() > 1 => Some(Choice::OtherVowel),
        () => None,
    }
}

fn of_consonant(said: &Pronunciation, held: &LetterBox, last: bool) -> Option<Choice> {
    let letters = held.letters.as_str();
    let sound = said.sounds()[held.sounds.start];
    let doubled = letters.len() == 2 && letters.as_bytes()[0] == letters.as_bytes()[1];
    match (sound, letters) {
        (Sound::SH | Sound::ZH, "ti" | "si" | "ssi" | "ci") => Some(Choice::Tion),
        (Sound::CH, "t" | "ti") => Some(Choice::Tion),
        (Sound::CH, "ch" | "tch") if last => Some(Choice::ChSpelling),
        (Sound::JH, _) => Some(Choice::JSpelling),
        (Sound::K, "c" | "k" | "ck") => Some(Choice::KSpelling),
        // who begins with /h/, school has /k/, machine /sh/: these letters are known by heart.
        _ if is_digraph(sound, letters) => Some(Choice::Digraph),
        (Sound::HH, "wh") => Some(Choice::Irregular),
        (_, "kn" | "wr" | "mb" | "gn" | "mn" | "gh" | "gu" | "sc" | "st") => Some(Choice::SilentLetter),
        _ if doubled && last => Some(Choice::DoubledEnd),
        _ if doubled => Some(Choice::InnerDouble),
        _ => None,
    }
}

/// Whether two letters spell the one sound that they stand for by common practice.
fn is_digraph(sound: Sound, letters: &str) -> bool {
    matches!(
        (sound, letters),
        (Sound::SH, "sh")
            | (Sound::CH, "ch")
            | (Sound::TH | Sound::DH, "th")
            | (Sound::W, "wh")
            | (Sound::NG, "ng")
            | (Sound::F, "ph")
    )
}

/// Whether few words spell these sounds so.
fn rare(said: &Pronunciation, held: &LetterBox) -> bool {
    let sounds = &said.sounds()[held.sounds.clone()];
    let place = SoundContext::of(said, held.sounds.start, held.sounds.end, None);
    let letters = held.letters.replace(['\'', '-'], "");
    SpellingCounts::builtin().share_of(letters.as_bytes(), sounds, place) < RARE
}

/// Consonants that stand together at the start, and at the end of the base.
fn clusters(sounds: &[Sound], end: usize) -> Vec<(Choice, Range<usize>)> {
    let base = &sounds[..end];
    let start = base.iter().take_while(|s| !s.is_vowel()).count();
    let tail = end - base.iter().rev().take_while(|s| !s.is_vowel()).count();
    let mut found = Vec::new();
    if start > 1 {
        found.push((Choice::StartCluster, 0..start));
    }
    // r after a vowel belongs to the vowel.
    let first = tail + usize::from(base.get(tail) == Some(&Sound::R));
    if end > first + 1 && tail > 0 {
        let nasal = matches!(base[first], Sound::M | Sound::N | Sound::NG);
        let choice = if nasal { Choice::LostNasal } else { Choice::EndCluster };
        found.push((choice, first..end));
    }
    found
}

/// Whether the word before the ending has two like letters at its end already: *miss*, *add*, *tell*.
fn is_doubled_before(shape: &WordStructure) -> bool {
    let last = shape.stem.chars().last();
    let doubled = last.map(|last| format!("{}{last}", shape.stem));
    let known = doubled.and_then(|word| lexicon::look_up(&word).map(|e| e.zipf()));
    known.is_some_and(|zipf| zipf >= WIDER_ZIPF)
}

/// The choices of prefix, join and ending.
fn of_shape(shape: &WordStructure, sounds: usize) -> Vec<(Choice, Range<usize>)> {
    let (first, end) = shape.base;
    let ending = match shape.ending {
        Some("-s" | "-es") => Some(Choice::SEnding),
        Some("-ed") => Some(Choice::EdEnding),
        _ => None,
    };
    let join = match shape.join {
        // missing is from miss, and doubles nothing.
        Join::Doubles if !is_doubled_before(shape) => Some((Choice::Doubling, end - 1..end)),
        // times adds its s to time; agreed and seed drop no e of a silent-e word.
        Join::DropsE if !matches!(shape.ending, Some("-s" | "-es" | "-ies")) && !shape.stem.ends_with("ee") => {
            Some((Choice::DropsE, end.saturating_sub(2)..end))
        }
        // lies and tied are from lie and tie.
        Join::YToI if shape.stem.len() > 2 => Some((Choice::YToI, end - 1..end)),
        _ => None,
    };
    let prefix = shape.prefix.map(|_| (Choice::Prefix, 0..first));
    let ending = ending.map(|choice| (choice, end..sounds));
    [prefix, join, ending].into_iter().flatten().collect()
}
