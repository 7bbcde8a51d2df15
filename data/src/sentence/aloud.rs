//! A sentence as a teacher dictates it: its words one after another, which of them are weak, and where the voice rests.
//!
//! ```
//! use soundbead_data::sentence::aloud::{Rest, aloud};
//! use soundbead_data::word::Overrides;
//!
//! let words = aloud("She read the poem aloud to the class.", None, &Overrides::default())?;
//! let said: Vec<String> = words.iter().map(|word| word.said.to_string()).collect();
//! // The sentence is one of ours, and its entry says that she did so yesterday.
//! assert_eq!(said[1], "R EH1 D");
//! assert!(words[2].weak && !words[3].weak);
//! assert_eq!((words[6].rest, words[7].rest), (Rest::Word, Rest::End));
//! # Ok::<(), soundbead_data::sentence::aloud::AloudError>(())
//! ```

use std::fmt;

use super::written::collection;
use crate::Sound;
use crate::lexicon::{self, Pronunciation};
use crate::which;
use crate::word::{self, Overrides, Source, WordError};

/// Most words of a sentence that is said: five times as many as our own longest has.
pub const MOST_WORDS: usize = 60;

/// How long the voice rests after a word.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Rest {
    /// The next word of the phrase comes at once.
    Word,
    /// A phrase ends.
    Phrase,
    /// A comma, or another mark within the sentence.
    Mark,
    /// The sentence ends.
    End,
}

/// A word of a sentence, as it is said there.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct AloudWord {
    /// Small letters, without marks.
    pub spelling: String,
    /// Its sounds here.
    pub said: Pronunciation,
    /// Where they come from.
    pub source: Source,
    /// What it means here, where it is written like another word that is said otherwise.
    pub cue: Option<&'static str>,
    /// Whether it is said softer and shorter than the others, as *the* and *of* are.
    pub weak: bool,
    /// How long the voice rests after it.
    pub rest: Rest,
}

/// Why a sentence cannot be said.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum AloudError {
    /// There is no word in it.
    Empty,
    /// More than [`MOST_WORDS`] words.
    TooLong(usize),
    /// Something in it is no word; the number of the word, from 1, and why.
    Word(usize, WordError),
}

impl fmt::Display for AloudError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            AloudError::Empty => {
                f.write_str("there is no word in the sentence; type one, such as: The frog is in the pond.")
            }
            AloudError::TooLong(words) => {
                write!(
                    f,
                    "the sentence has {words} words; the most that can be said is {MOST_WORDS}: say it in parts"
                )
            }
            AloudError::Word(number, e) => write!(f, "word {number} of the sentence: {e}"),
        }
    }
}

impl std::error::Error for AloudError {}

/// Words that are softer and shorter in a sentence than alone: articles, short prepositions and joining words, forms of *be*, short
/// pronouns (common practice, no source).
const WEAK: &str = "a an the of to in on at by for from with and or but as than if is are am was were be been has have had do does \
                    did can could will would he she it we they you i me him her us them my your his its our their that";
/// Those of them that have a weak form of their own: before a consonant, before a vowel (common practice, no source; the
/// dictionary has these forms too, but not as the first).
const FORMS: [(&str, &str, &str); 5] = [
    ("a", "AH0", "AH0"),
    ("the", "DH AH0", "DH IY0"),
    ("to", "T AH0", "T UW0"),
    ("of", "AH0 V", "AH0 V"),
    ("was", "W AH0 Z", "W AH0 Z"),
];
/// Words with which a phrase begins, where it is long enough (common practice, no source).
const OPENERS: &str = "in on at by for from with into onto under over near behind beside between across through around after before \
                       until while when where because although if and but or as than that who which how what why about during \
                       without past along inside outside above below";
/// Fewest words before a phrase's end, and fewest of the sentence after it: shorter ones are said in one breath.
const BEFORE: usize = 3;
const AFTER: usize = 2;

fn among(list: &str, word: &str) -> bool {
    list.split_whitespace().any(|listed| listed == word)
}

/// The words of a sentence in order, each as it is said there; `asked` is the word that a child is to write: it is never weak.
///
/// A sentence of our own says of each word that is written like another how it is said there; in any other such a word is said
/// in its first way. What the family says (`own`) goes before both.
///
/// # Errors
/// When there is no word, or too many, or something in it is no word.
pub fn aloud(text: &str, asked: Option<&str>, own: &Overrides) -> Result<Vec<AloudWord>, AloudError> {
    let text = text.split_whitespace().collect::<Vec<_>>().join(" ");
    let second = collection().second(&text);
    let mut words: Vec<AloudWord> = Vec::new();
    for (place, token) in text.split(' ').enumerate() {
        let (bare, rest) = parted(token);
        if bare.is_empty() {
            // A dash by itself, or a mark.
            if let Some(last) = words.last_mut() {
                last.rest = last.rest.max(rest);
            }
            continue;
        }
        let fault = |e| AloudError::Word(place + 1, e);
        words.extend(parts(bare, second.contains(&place), own).map_err(fault)?);
        if let Some(last) = words.last_mut() {
            last.rest = rest;
        }
    }
    match words.len() {
        0 => return Err(AloudError::Empty),
        n if n > MOST_WORDS => return Err(AloudError::TooLong(n)),
        _ => {}
    }
    soften(&mut words, asked);
    rest(&mut words);
    Ok(words)
}

/// A word without the marks around it, and the rest that the marks after it ask for.
fn parted(token: &str) -> (&str, Rest) {
    let quote = |c: char| matches!(c, '"' | '\u{201c}' | '\u{201d}' | '(' | ')' | '[' | ']');
    let mark = |c: char| {
        quote(c)
            || matches!(
                c,
                '.' | '?' | '!' | '\u{2026}' | ',' | ';' | ':' | '\u{2013}' | '\u{2014}'
            )
    };
    let bare = token.trim_start_matches(mark).trim_end_matches(mark);
    let bare = if bare.chars().any(char::is_alphanumeric) {
        bare
    } else {
        ""
    };
    let after = &token[token.rfind(bare).map_or(0, |at| at + bare.len())..];
    let rest = match after {
        _ if after.contains(['.', '?', '!', '\u{2026}']) => Rest::End,
        _ if bare.is_empty() || after.contains(|c| mark(c) && !quote(c)) => Rest::Mark,
        _ => Rest::Word,
    };
    (bare, rest)
}

/// The words of what stands between two spaces: one, but of a hyphened word that is not known as a whole each part.
fn parts(bare: &str, second: bool, own: &Overrides) -> Result<Vec<AloudWord>, WordError> {
    let whole = found(bare, second, own);
    match &whole {
        Ok(word) if word.source == Source::Guess && bare.trim_matches('-').contains('-') => bare
            .split('-')
            .filter(|part| !part.is_empty())
            .map(|part| found(part, second, own))
            .collect(),
        _ => Ok(vec![whole?]),
    }
}

fn found(bare: &str, second: bool, own: &Overrides) -> Result<AloudWord, WordError> {
    let mut word = word::find(bare, own)?;
    // The dogs' bowls: the apostrophe of more than one owner has no sound.
    let short = word.spelling.trim_end_matches('\'');
    if word.source == Source::Guess && short.len() < word.spelling.len() && lexicon::look_up(short).is_some() {
        let spelling = word.spelling.clone();
        word = word::Word {
            spelling,
            ..word::find(short, own)?
        };
    }
    let two = which::ask(&word.spelling).filter(|_| word.source == Source::Dictionary);
    let way = two.and_then(|ways| ways.get(usize::from(second)));
    let said = way
        .map(|way| way.said.clone())
        .or_else(|| word.variants.into_iter().next());
    Ok(AloudWord {
        spelling: word.spelling,
        // A word that was found has a way of saying it.
        said: said.ok_or(WordError::Empty)?,
        source: word.source,
        cue: way.map(|way| way.cue),
        weak: false,
        rest: Rest::Word,
    })
}

/// Makes the weak words weak: never the last of a sentence, nor the one that is asked.
fn soften(words: &mut [AloudWord], asked: Option<&str>) {
    let asked = asked.map(str::to_lowercase);
    for at in 0..words.len() {
        let next = words.get(at + 1).map(|next| next.said.sounds()[0]);
        let word = &mut words[at];
        let full = word.rest == Rest::End || asked.as_deref() == Some(&word.spelling) || !among(WEAK, &word.spelling);
        let (Some(next), false) = (next, full) else { continue };
        word.weak = true;
        if word.source == Source::Dictionary {
            word.said = form(&word.spelling, next).unwrap_or_else(|| word.said.clone());
        }
    }
}

fn form(word: &str, next: Sound) -> Option<Pronunciation> {
    let (_, consonant, vowel) = FORMS.iter().find(|(of, ..)| *of == word)?;
    which::pronunciation(if next.is_vowel() { vowel } else { consonant })
}

/// Sets the rests between phrases, and the one at the end.
fn rest(words: &mut [AloudWord]) {
    let all = words.len();
    let mut begun = 0;
    for at in 1..all {
        let mark = words[at - 1].rest > Rest::Word;
        let opens = at - begun >= BEFORE && all - at >= AFTER && among(OPENERS, &words[at].spelling);
        // Two openers in a row (on how) belong together, and none is parted from what it opens.
        let open = among(OPENERS, &words[at - 1].spelling);
        if !mark && opens && !open {
            words[at - 1].rest = Rest::Phrase;
        }
        if words[at - 1].rest > Rest::Word {
            begun = at;
        }
    }
    if let Some(last) = words.last_mut() {
        last.rest = Rest::End;
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn words(text: &str) -> Vec<AloudWord> {
        aloud(text, None, &Overrides::default()).unwrap()
    }

    fn said(text: &str) -> Vec<String> {
        words(text).iter().map(|word| word.said.to_string()).collect()
    }

    /// Facts of the trade (common practice, no source): the is said otherwise before a vowel, a weak word alone is strong again.
    #[test]
    fn weak_words_have_their_weak_forms_in_a_sentence_and_are_full_at_its_end() {
        assert_eq!(
            said("The egg is the best."),
            ["DH IY0", "EH1 G", "IH1 Z", "DH AH0", "B EH1 S T"]
        );
        let of = words("What is it made of?");
        assert!(of[1].weak && !of[4].weak && !of[0].weak);
        let asked = aloud("There was a frog.", Some("was"), &Overrides::default()).unwrap();
        assert!(!asked[1].weak && asked[2].weak);
    }

    #[test]
    fn a_word_written_like_another_is_said_as_the_sentence_has_it() {
        assert_eq!(said("Please wind the string around your hand.")[1], "W AY1 N D");
        assert_eq!(said("The branch is bending in the wind.")[6], "W IH1 N D");
        let near = words("We sat close to the fire.");
        assert_eq!(
            (near[2].said.to_string().as_str(), near[2].cue),
            ("K L OW1 S", Some("near"))
        );
        // A sentence that nobody marked: the first way.
        assert_eq!(said("The string will wind.")[3], "W IH1 N D");
    }

    #[test]
    fn the_familys_own_way_goes_first() {
        let mut own = Overrides::default();
        own.set("close", "K L OW1 S").unwrap();
        let words = aloud("Please close the door.", None, &own).unwrap();
        assert_eq!(
            (words[1].said.to_string().as_str(), words[1].source),
            ("K L OW1 S", Source::Override)
        );
    }

    #[test]
    fn contractions_plurals_and_hyphens_are_words() {
        assert_eq!(
            said("They're the dogs' bowls."),
            ["DH EH1 R", "DH AH0", "D AO1 G Z", "B OW1 L Z"]
        );
        assert_eq!(said("Don\u{2019}t!"), ["D OW1 N T"]);
        assert_eq!(words("a mud-brick hut").len(), 4);
    }

    #[test]
    fn the_voice_rests_at_marks_and_between_phrases() {
        let rests = |text: &str| words(text).iter().map(|word| word.rest).collect::<Vec<_>>();
        assert_eq!(rests("Yes, \"it\" is")[..2], [Rest::Mark, Rest::Word]);
        assert_eq!(rests("The dog ran \u{2014} fast")[2], Rest::Mark);
        assert_eq!(rests("It is. We go.")[1], Rest::End);
        let dog = rests("The dog caught the ball in the air.");
        assert_eq!(dog.iter().position(|rest| *rest == Rest::Phrase), Some(4));
        assert_eq!(rests("Sit in it.")[0], Rest::Word, "too short for two phrases");
    }

    #[test]
    fn what_is_no_sentence_is_refused_with_its_place() {
        let fault = |text: &str| aloud(text, None, &Overrides::default()).unwrap_err();
        assert_eq!(fault(" ... "), AloudError::Empty);
        assert!(matches!(
            fault("We saw 12 frogs."),
            AloudError::Word(3, WordError::Digits(_))
        ));
        assert_eq!(fault(&"frog ".repeat(61)), AloudError::TooLong(61));
        let every = &collection().sentences;
        assert!(
            every
                .iter()
                .all(|s| aloud(&s.text, None, &Overrides::default()).is_ok_and(|w| w.len() >= s.words.len()))
        );
    }
}
