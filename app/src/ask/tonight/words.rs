//! The words of a lesson: which may stand in it, which show what it is about, which are written, and sentences of them.

use std::collections::BTreeSet;

use soundbead_data::chain::BlockList;
use soundbead_data::course::{self, Choice, CourseWord, CourseWords, is_function_word};
use soundbead_data::sort::Level;
use soundbead_data::{Sound, lexicon};

use super::super::dictation::DictationRequest;
use super::{DICTATED, SENTENCES};
use crate::keyed::{LONG, called};

/// Words of a side that are looked at for one with an easy sentence.
const POOL: usize = 60;
/// Sentences of a word that are looked at.
const DRAFTS: usize = 12;
/// Words that a choice, or each of two sounds, needs so that chain, cards and writing do not share all of theirs.
pub const ENOUGH: usize = 8;
/// Fewest words of each of two sounds with which they can be told apart.
const FEWEST: usize = 2;
/// Most syllables of the other words of a sentence.
const LONGEST: usize = 3;
/// How common the other words of a sentence are at least: ten times in a million.
const EASY_ZIPF: f32 = 4.0;

/// Choices that a mix-up of sounds is met with, the plainest letters first; the next are added where words are too few.
const BY_THE_WAY: [&[Choice]; 4] = [
    &[
        Choice::ShortVowel,
        Choice::Digraph,
        Choice::StartCluster,
        Choice::EndCluster,
        Choice::DoubledEnd,
    ],
    &[
        Choice::LostNasal,
        Choice::KSpelling,
        Choice::ChSpelling,
        Choice::SilentE,
    ],
    &[Choice::JSpelling, Choice::VowelTeam, Choice::OtherVowel],
    &[Choice::RVowel, Choice::SilentLetter, Choice::InnerDouble, Choice::Schwa],
];

/// The words of a lesson.
#[derive(Default)]
pub struct LessonWords {
    /// Words whose every choice was taught, is new or is met by the way, the commonest first.
    pub words: Vec<&'static CourseWord>,
    /// The new choice.
    pub new: Option<Choice>,
    /// Words that come again.
    pub review: Vec<String>,
    /// Two sounds that are to be told apart.
    pub sounds: Option<(Sound, Sound)>,
}

impl LessonWords {
    /// For two sounds that are taken for each other: in words whose letters are no riddle, ship for sh, stop for st.
    ///
    /// # Errors
    /// One line, where plain words with one of them are too few.
    pub fn of_sounds(
        (a, b): (Sound, Sound),
        taught: &BTreeSet<Choice>,
        block: &BlockList,
    ) -> Result<LessonWords, String> {
        let mut allowed = taught.clone();
        allowed.remove(&Choice::Irregular);
        if [a, b].iter().any(|s| LONG.iter().any(|(_, long)| long == s)) {
            allowed.insert(Choice::SilentE);
        }
        let mut lesson = LessonWords {
            words: Vec::new(),
            new: None,
            review: Vec::new(),
            sounds: Some((a, b)),
        };
        let least = |lesson: &LessonWords| lesson.sides().iter().map(Vec::len).min().unwrap_or(0);
        for more in BY_THE_WAY {
            allowed.extend(more);
            lesson.words = fitting(block, |e| e.fits(&allowed));
            if least(&lesson) >= ENOUGH {
                return Ok(lesson);
            }
        }
        // this, them, than: the voiced th begins hardly any other words.
        if least(&lesson) < FEWEST {
            lesson.words = fitting(block, |e| e.fits_though_small(&allowed));
        }
        let few = [a, b]
            .into_iter()
            .zip(lesson.sides())
            .find(|(_, side)| side.len() < FEWEST);
        match few {
            Some((sound, _)) => Err(format!(
                "too few plain words have the sound {}; choose two other sounds",
                called(sound)
            )),
            None => Ok(lesson),
        }
    }

    /// For a choice of spelling, in words that meet no choice but these.
    pub fn of_choice(
        new: Option<Choice>,
        review: Vec<String>,
        allowed: &BTreeSet<Choice>,
        block: &BlockList,
    ) -> LessonWords {
        LessonWords {
            words: fitting(block, |e| e.fits(allowed)),
            new,
            review,
            sounds: None,
        }
    }

    /// Words that can stand alone on a card.
    pub fn cards(&self) -> impl Iterator<Item = &'static CourseWord> {
        self.words.iter().copied()
    }

    /// Words that show what the lesson is about.
    pub fn asked(&self) -> impl Iterator<Item = &'static CourseWord> {
        self.sides().into_iter().flatten()
    }

    /// The same apart: for each of two sounds, or all for a choice.
    pub fn sides(&self) -> Vec<Vec<&'static CourseWord>> {
        let all = |shows: &dyn Fn(&CourseWord) -> bool| -> Vec<&'static CourseWord> {
            self.cards().filter(|e| shows(e)).collect()
        };
        match (self.sounds, self.new) {
            (Some((a, b)), _) => vec![all(&|e| has_one(e, a, b)), all(&|e| has_one(e, b, a))],
            (None, Some(new)) => vec![course::varied(new, all(&|e| e.shows(new)))],
            (None, None) => vec![all(&CourseWord::is_plain)],
        }
    }

    /// Words to write: what comes again, and of each side what is not in the chain; first those that have an easy sentence.
    pub fn to_write(&self, chain: &[&str], sentences: &SentenceFinder) -> Vec<String> {
        let sides = self.sides();
        let each = DICTATED / sides.len();
        let mut words: Vec<String> = self.review.iter().take(DICTATED).cloned().collect();
        for side in sides {
            let pool = side.iter().take(POOL).map(|e| e.word.as_str());
            let (seen, fresh): (Vec<&str>, Vec<&str>) = pool.partition(|w| chain.contains(w));
            let easy = |w: &&str| sentences.easiest(self, w).is_some_and(|s| s.hard == 0);
            let mut picked: Vec<&str> = fresh.iter().copied().filter(easy).take(each).collect();
            for more in seen
                .iter()
                .copied()
                .filter(easy)
                .chain(fresh)
                .chain(seen.iter().copied())
            {
                if picked.len() < each && !picked.contains(&more) {
                    picked.push(more);
                }
            }
            words.extend(picked.into_iter().map(str::to_owned));
        }
        words
    }

    /// Sentences that hold words to write: one for each of two sounds, or two for a choice.
    pub fn sentences(&self, to_write: &[String], finder: &SentenceFinder) -> Vec<String> {
        let sides = self.sides();
        let mut told: Vec<String> = Vec::new();
        for side in &sides {
            let own = |w: &&String| sides.len() == 1 || side.iter().any(|e| e.word == **w);
            let mut found: Vec<FoundSentence> = to_write
                .iter()
                .filter(own)
                .filter_map(|w| finder.easiest(self, w))
                .collect();
            found.sort_by_key(|s| (s.hard, s.strangers));
            let most = told.len() + SENTENCES / sides.len();
            for sentence in found {
                if told.len() < most && !told.contains(&sentence.text) {
                    told.push(sentence.text);
                }
            }
        }
        told
    }

    /// How many words of a sentence for `word` are far harder than the lesson: rarer than ten in a million, strange to a child, or
    /// long.
    fn hard(&self, text: &str, word: &str) -> usize {
        let longest = self.words.iter().map(|e| e.syllables()).max().unwrap_or(1);
        let most = (longest + 1).clamp(2, LONGEST);
        let is_easy = |word: &str| {
            let Some(entry) = lexicon::look_up(word) else {
                return false;
            };
            let syllables = |said: lexicon::Pronunciation| said.sounds().iter().filter(|s| s.is_vowel()).count();
            let short = entry.variants().next().is_some_and(|said| syllables(said) <= most);
            let known = entry.zipf() >= EASY_ZIPF && Level::Known.has(word, entry.zipf());
            short && (known || is_function_word(word))
        };
        let lower = text.to_lowercase();
        words_in(&lower).filter(|w| *w != word && !is_easy(w)).count()
    }

    /// How many words of a sentence may not stand in the lesson.
    fn strangers(&self, text: &str) -> usize {
        let lower = text.to_lowercase();
        let own = |word: &str| self.words.iter().any(|e| e.word == word) || self.review.iter().any(|r| r == word);
        words_in(&lower).filter(|w| !own(w)).count()
    }
}

fn words_in(text: &str) -> impl Iterator<Item = &str> {
    let words = text.split(|c: char| !c.is_alphabetic() && c != '\'');
    words.map(|w| w.trim_matches('\'')).filter(|w| !w.is_empty())
}

/// The words of the course that are not blocked and fit, the commonest first.
pub fn fitting(block: &BlockList, fits: impl Fn(&CourseWord) -> bool) -> Vec<&'static CourseWord> {
    let all = CourseWords::wider().all().iter();
    all.filter(|e| fits(e) && !block.blocks(&e.word)).collect()
}

/// Whether a word of one syllable has the one sound and not the other. An r that colors a vowel is no r of *red*, and the vowel
/// that it colors is none of the short and long ones.
pub fn has_one(entry: &CourseWord, this: Sound, other: Sound) -> bool {
    let sounds = entry.said.sounds();
    let plain = |at: usize| match sounds.get(at + 1) {
        Some(next) if sounds[at] == Sound::R => next.is_vowel(),
        None if sounds[at] == Sound::R => false,
        next => !sounds[at].is_vowel() || next != Some(&Sound::R),
    };
    let has = sounds.iter().enumerate().any(|(at, s)| *s == this && plain(at));
    has && !sounds.contains(&other) && sounds.iter().filter(|s| s.is_vowel()).count() == 1
}

/// Where the sentences of a lesson come from.
pub struct SentenceFinder<'a> {
    /// Others for each day.
    pub seed: u64,
    /// Words that are kept out.
    pub block: &'a BlockList,
}

/// A sentence, and how far it fits a lesson.
pub struct FoundSentence {
    text: String,
    /// Words far harder than the lesson.
    hard: usize,
    /// Words that may not stand in the lesson otherwise.
    strangers: usize,
}

impl SentenceFinder<'_> {
    /// The easiest sentence of a word: the fewest hard words, then the fewest that were not taught; of those alike, the first made.
    fn easiest(&self, lesson: &LessonWords, word: &str) -> Option<FoundSentence> {
        let made = DictationRequest {
            words: &[word],
            sentences: DRAFTS,
            seed: self.seed,
        }
        .answer(self.block);
        let read = |text: String| FoundSentence {
            hard: lesson.hard(&text, word),
            strangers: lesson.strangers(&text),
            text,
        };
        let found = made.sentences.into_iter().map(|s| read(s.text));
        found.min_by_key(|s| (s.hard, s.strangers))
    }
}
