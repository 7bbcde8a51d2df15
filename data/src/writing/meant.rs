//! Which word somebody most likely meant by letters that are none, or are one only as a rare name.
//!
//! Letters that are no word are held against the common words that look or sound like them. What decides is how likely someone who
//! hears the word would write these letters ([`super::read`]'s tie), how far the letters are from the word's own, and how common the
//! word is. The weights are fitted on one half of real misspellings by their writers' words (Birkbeck and Holbrook collections,
//! R. Mitton), and measured on the other.

use std::sync::LazyLock;

use super::own_letters;
use super::tie::TieInput;
use crate::Sound;
use crate::guess;
use crate::lexicon::{self, Entry, Pronunciation};

/// Only words this common are proposed: about once in a million words. So what was meant is a candidate in 71 of 100 real slips; it was
/// in 60 when the bound was four times as common.
const KNOWN_ZIPF: f32 = 3.0;
/// An entry of the dictionary is questioned when a word with two neighbors in the other order is 300 times as common (*freind*).
const RARER: f32 = 2.5;
/// Candidates that look like the letters, and that sound like them: more are hardly ever what was meant.
const LOOKING: usize = 60;
const SOUNDING: usize = 40;
/// Slips of letters beyond which a word does not look alike, in a written word of fewer than [`SHORT`] letters and in a longer one.
const MOST_SLIPS: (usize, usize) = (2, 3);
const SHORT: usize = 5;
/// Sounds that differ beyond which a word does not sound alike.
const MOST_SOUNDS: usize = 2;

/// What a candidate is judged by: the tie's cost in nats, slips of letters, whether it begins with another letter for another
/// sound (*nife* begins as *knife* does), sounds that differ from those of a reader, and how common it is (Zipf scale).
pub const FEATURES: usize = 5;
/// Weights of the features, and the score that no candidate is meant: fitted by `measure writing --rows meant`.
pub const WEIGHTS: MeantWeights = MeantWeights {
    features: [-0.381, -0.270, -2.055, -0.461, 0.750],
    none: -2.113,
};
/// A word is proposed when it is at least so likely, ...
const LIKELY: f32 = 0.2;
/// ... and a second beside it when it is at least so much of the first: *nite* may be *not* or *night*, *brige* is *bridge*.
const CLOSE: f32 = 0.6;

/// Weights of the features of a candidate, and the score that none of them is meant.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct MeantWeights {
    /// See [`FEATURES`].
    pub features: [f32; FEATURES],
    /// Natural logarithm, like the scores of candidates.
    pub none: f32,
}

/// A word that may have been meant.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct MeantCandidate {
    /// In small letters.
    pub word: &'static str,
    /// See [`FEATURES`].
    pub features: [f32; FEATURES],
}

/// The word that was most likely meant.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct MeantWord {
    /// The likeliest.
    pub word: &'static str,
    /// Another that is nearly as likely.
    pub or: Option<&'static str>,
}

impl MeantWeights {
    /// How likely each candidate was meant, 0 to 1; what is missing to 1 goes to none of them.
    pub fn shares(&self, candidates: &[MeantCandidate]) -> Vec<f32> {
        let score = |c: &MeantCandidate| self.features.iter().zip(c.features).map(|(w, x)| w * x).sum::<f32>();
        let scores: Vec<f32> = candidates.iter().map(score).collect();
        let most = scores.iter().copied().fold(self.none, f32::max);
        let whole: f32 = scores.iter().map(|s| (s - most).exp()).sum::<f32>() + (self.none - most).exp();
        scores.iter().map(|s| (s - most).exp() / whole).collect()
    }
}

/// The common word that `spelling` (small letters) most likely is a slip for; `None` where it is a word, or near none.
///
/// Letters that the dictionary does not have are held against its common words. Those that it has are questioned only where they
/// are rare and two letters have changed places: *thier* and *freind* are in it, as names.
pub fn meant(spelling: &str) -> Option<MeantWord> {
    match lexicon::look_up(spelling) {
        Some(entry) => turned_about(spelling, entry.zipf()).map(|word| MeantWord { word, or: None }),
        None => likeliest(&candidates(spelling)),
    }
}

/// The likeliest of the candidates, and the next where the two are close.
fn likeliest(candidates: &[MeantCandidate]) -> Option<MeantWord> {
    let shares = WEIGHTS.shares(candidates);
    let mut order: Vec<usize> = (0..candidates.len()).collect();
    order.sort_by(|a, b| shares[*b].total_cmp(&shares[*a]));
    let first = *order.first().filter(|first| shares[**first] >= LIKELY)?;
    let second = order.get(1).filter(|second| shares[**second] >= CLOSE * shares[first]);
    Some(MeantWord {
        word: candidates[first].word,
        or: second.map(|second| candidates[*second].word),
    })
}

/// The much commoner word with two neighboring letters in the other order.
fn turned_about(spelling: &str, zipf: f32) -> Option<&'static str> {
    let letters = spelling.as_bytes();
    let turned = (1..letters.len()).filter_map(|at| {
        let mut other = letters.to_vec();
        other.swap(at - 1, at);
        lexicon::look_up(std::str::from_utf8(&other).ok()?)
    });
    let commoner = turned.filter(|e| e.zipf() >= KNOWN_ZIPF && e.zipf() >= zipf + RARER);
    commoner
        .max_by(|a, b| a.zipf().total_cmp(&b.zipf()))
        .map(|e| e.spelling())
}

/// A word that is proposed, with its ways of saying it.
struct KnownWord {
    spelling: &'static str,
    zipf: f32,
    said: Vec<Pronunciation>,
}

/// The common words. Made on first use.
fn known() -> &'static [KnownWord] {
    static KNOWN: LazyLock<Vec<KnownWord>> = LazyLock::new(|| {
        let common = lexicon::words().filter(|e| e.zipf() >= KNOWN_ZIPF);
        let word = |e: Entry<'static>| KnownWord {
            spelling: e.spelling(),
            zipf: e.zipf(),
            said: e.variants().collect(),
        };
        common.map(word).collect()
    });
    &KNOWN
}

/// The common words that look or sound like `spelling` (small letters), each with what it is judged by.
pub fn candidates(spelling: &str) -> Vec<MeantCandidate> {
    let letters: Vec<u8> = spelling.bytes().filter(u8::is_ascii_lowercase).collect();
    if letters.is_empty() {
        return Vec::new();
    }
    let mut sounds: Vec<Pronunciation> = match lexicon::look_up(spelling) {
        Some(entry) => entry.variants().collect(),
        None => guess::guess_by_chains(spelling).into_iter().collect(),
    };
    let shortened = sounds.first().and_then(|said| short_before_ge(spelling, said));
    sounds.extend(shortened);
    let most = if letters.len() < SHORT {
        MOST_SLIPS.0
    } else {
        MOST_SLIPS.1
    };
    let near = |w: &'static KnownWord| NearWord::of(w, &letters, &sounds);
    let all: Vec<NearWord> = known().iter().map(near).collect();
    let mut picked = nearest(&all, LOOKING, |near| (near.slips <= most).then_some(near.slips));
    picked.extend(nearest(&all, SOUNDING, |near| {
        (near.apart <= MOST_SOUNDS).then_some(near.apart)
    }));
    picked.sort_unstable();
    picked.dedup();
    picked.into_iter().map(|at| all[at].judged(&letters, &sounds)).collect()
}

/// The reading with a short vowel before -ge: who leaves out the d of -dge (*brige*, *juge*) writes what looks long.
fn short_before_ge(spelling: &str, said: &Pronunciation) -> Option<Pronunciation> {
    let mut sounds = said.sounds().to_vec();
    let vowel = sounds.len().checked_sub(2).filter(|_| spelling.ends_with("ge"))?;
    sounds[vowel] = match sounds[vowel] {
        Sound::EY => Sound::AE,
        Sound::IY => Sound::EH,
        Sound::AY => Sound::IH,
        Sound::OW => Sound::AA,
        Sound::UW => Sound::AH,
        _ => return None,
    };
    Some(Pronunciation::of(spelling, &sounds))
}

/// Places of the `most` that are nearest, the commoner first.
fn nearest(all: &[NearWord], most: usize, far: impl Fn(&NearWord) -> Option<usize>) -> Vec<usize> {
    let mut near: Vec<(usize, usize)> = (0..all.len()).filter_map(|at| Some((far(&all[at])?, at))).collect();
    near.sort_by(|a, b| (a.0.cmp(&b.0)).then(all[b.1].word.zipf.total_cmp(&all[a.1].word.zipf)));
    near.into_iter().take(most).map(|(_, at)| at).collect()
}

/// A common word, and how far letters and their sounds are from it.
struct NearWord {
    word: &'static KnownWord,
    slips: usize,
    apart: usize,
}

impl NearWord {
    fn of(word: &'static KnownWord, letters: &[u8], sounds: &[Pronunciation]) -> NearWord {
        let own = word.spelling.as_bytes();
        // What is much longer or shorter is far without a closer look.
        let slips = match own.len().abs_diff(letters.len()) {
            n if n > MOST_SLIPS.1 => n,
            _ => slips(letters, own),
        };
        let pairs = word.said.iter().flat_map(|said| sounds.iter().map(move |s| (said, s)));
        let apart = pairs.map(|(said, read)| apart(said.sounds(), read.sounds())).min();
        NearWord {
            word,
            slips,
            apart: apart.unwrap_or(usize::MAX),
        }
    }

    /// What it is judged by. Beyond four, one slip or sound more makes no difference.
    fn judged(&self, letters: &[u8], sounds: &[Pronunciation]) -> MeantCandidate {
        let costs = self
            .word
            .said
            .iter()
            .map(|said| cost(self.word.spelling, said, letters));
        let other_letter = self.word.spelling.as_bytes().first() != letters.first();
        let begin = |said: &Pronunciation| said.sounds().first().copied();
        let same_sound = sounds
            .iter()
            .any(|read| self.word.said.iter().any(|own| begin(own) == begin(read)));
        let other_start = other_letter && !same_sound;
        MeantCandidate {
            word: self.word.spelling,
            features: [
                costs.fold(f32::INFINITY, f32::min).min(40.0),
                self.slips.min(4) as f32,
                f32::from(u8::from(other_start)),
                self.apart.min(4) as f32,
                self.word.zipf,
            ],
        }
    }
}

/// Nats of the likeliest way from a word said so to these letters.
fn cost(word: &str, said: &Pronunciation, letters: &[u8]) -> f32 {
    let (own, _) = own_letters(word, said);
    let tie = TieInput {
        letters,
        said,
        own: &own,
        homophone: false,
    };
    tie.best().cost
}

/// Sounds put in, left out or changed; no more than three apart are told apart.
fn apart(a: &[Sound], b: &[Sound]) -> usize {
    match a.len().abs_diff(b.len()) {
        n if n > MOST_SOUNDS => n,
        _ => distance(a, b),
    }
}

/// Letters put in, left out, changed, or two neighbors in the other order.
fn slips(a: &[u8], b: &[u8]) -> usize {
    distance(a, b)
}

/// The distance of Damerau (1964), in its restricted form.
fn distance<T: PartialEq>(a: &[T], b: &[T]) -> usize {
    let width = b.len() + 1;
    let mut table = vec![0; (a.len() + 1) * width];
    for i in 0..=a.len() {
        for j in 0..=b.len() {
            let at = |i: usize, j: usize| table[i * width + j];
            table[i * width + j] = match (i, j) {
                (0, n) | (n, 0) => n,
                _ => {
                    let changed = at(i - 1, j - 1) + usize::from(a[i - 1] != b[j - 1]);
                    let best = changed.min(at(i - 1, j) + 1).min(at(i, j - 1) + 1);
                    let turned = i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1];
                    if turned { best.min(at(i - 2, j - 2) + 1) } else { best }
                }
            };
        }
    }
    table[a.len() * width + b.len()]
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn slips_are_questioned_and_words_are_not() {
        for (typed, word) in [
            ("brige", "bridge"),
            ("freind", "friend"),
            ("thier", "their"),
            ("becuase", "because"),
            ("beutiful", "beautiful"),
        ] {
            assert_eq!(meant(typed).map(|m| m.word), Some(word), "{typed}");
        }
        for word in [
            "bridge", "newt", "moth", "trail", "trial", "form", "from", "snorbles", "quiet", "angel",
        ] {
            assert_eq!(meant(word), None, "{word}");
        }
    }

    #[test]
    fn a_word_with_a_silent_first_letter_begins_as_its_sounds_are_written() {
        let begins_otherwise = |typed: &str, word: &str| {
            let all = candidates(typed);
            all.iter().find(|c| c.word == word).map(|c| c.features[2])
        };
        assert_eq!(begins_otherwise("nife", "knife"), Some(0.0));
        assert_eq!(begins_otherwise("foto", "photo"), Some(0.0));
        assert_eq!(begins_otherwise("nife", "wife"), Some(1.0));
    }

    /// That these are slips for these words is common practice, no source.
    #[test]
    fn where_two_are_close_both_are_named() {
        let asked = meant("siter").unwrap();
        assert!([Some(asked.word), asked.or].contains(&Some("sister")), "{asked:?}");
    }

    #[test]
    fn shares_and_what_is_left_for_none_make_one() {
        let all = candidates("brige");
        assert!(all.iter().any(|c| c.word == "bridge"));
        let shares = WEIGHTS.shares(&all);
        let sum: f32 = shares.iter().sum();
        assert!(sum > 0.0 && sum < 1.0 + 1e-5, "{sum}");
        assert!(candidates("").is_empty() && candidates("'").is_empty());
    }
}
