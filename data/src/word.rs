//! A word as it was typed, made ready: how it is said, and how we know.
//!
//! ```
//! use soundbead_data::word::{Overrides, Source, find};
//!
//! let mut overrides = Overrides::default();
//! assert_eq!(find(" Moth ", &overrides)?.source, Source::Dictionary);
//! assert_eq!(find("snorb", &overrides)?.source, Source::Guess);
//! overrides.set("snorb", "S N AO1 R B")?;
//! assert_eq!(find("snorb", &overrides)?.source, Source::Override);
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```

use std::collections::BTreeMap;
use std::fmt;

use crate::Sound;
use crate::guess;
use crate::lexicon::{self, Pronunciation};
use crate::which;

/// Most letters a word may have: as many as the longest word of the large English dictionaries (figure from memory).
pub const MOST_LETTERS: usize = 45;
/// Most sounds an override may have.
const MOST_SOUNDS: usize = 60;

/// Where a pronunciation comes from.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Source {
    /// The pronouncing dictionary.
    Dictionary,
    /// The parent's or teacher's own entry.
    Override,
    /// Worked out from the letters: may be wrong, and must be shown as a guess.
    Guess,
}

impl Source {
    /// `dictionary`, `override` or `guess`.
    pub fn name(self) -> &'static str {
        match self {
            Source::Dictionary => "dictionary",
            Source::Override => "override",
            Source::Guess => "guess",
        }
    }
}

/// A word and the ways of saying it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Word {
    /// Small letters, plain apostrophes, no space around.
    pub spelling: String,
    /// How we know how it is said.
    pub source: Source,
    /// At least one way of saying it, each with at least one sound.
    pub variants: Vec<Pronunciation>,
}

/// Why a text is not a word that can be worked with.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum WordError {
    /// Nothing but space or marks.
    Empty,
    /// More than [`MOST_LETTERS`] letters.
    TooLong(usize),
    /// Two words or more.
    Several(String),
    /// A digit in it.
    Digits(String),
    /// A sign that is no English letter, apostrophe or hyphen.
    Sign(String, char),
}

impl fmt::Display for WordError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            WordError::Empty => write!(f, "no word was given; type one English word, such as moth"),
            WordError::TooLong(letters) => {
                write!(
                    f,
                    "the word has {letters} letters; the most that can be worked with is {MOST_LETTERS}"
                )
            }
            WordError::Several(text) => write!(f, "`{text}` has a space in it; give one word at a time"),
            WordError::Digits(text) => write!(f, "`{text}` has a digit in it; write numbers as words, such as seven"),
            WordError::Sign(text, sign) => write!(
                f,
                "`{text}` has `{sign}` in it, which is not an English letter; use a to z, an apostrophe or a hyphen"
            ),
        }
    }
}

impl std::error::Error for WordError {}

/// The word in `text` and how it is said: by an override if there is one, else the dictionary, else a guess.
///
/// Space around it is dropped, capitals become small letters, curly apostrophes plain ones, and letters with
/// accents the letters without (*café*).
///
/// # Errors
/// When the text is not one word of English letters; the error says what to do.
pub fn find(text: &str, overrides: &Overrides) -> Result<Word, WordError> {
    let spelling = normal(text)?;
    if let Some(said) = overrides.get(&spelling) {
        return Ok(Word {
            spelling,
            source: Source::Override,
            variants: vec![said.clone()],
        });
    }
    if let Some(entry) = lexicon::look_up(&spelling) {
        return Ok(Word {
            source: Source::Dictionary,
            variants: which::completed(&spelling, entry.variants().collect()),
            spelling,
        });
    }
    let variants = vec![guess::guess(&spelling).ok_or(WordError::Empty)?];
    Ok(Word {
        spelling,
        source: Source::Guess,
        variants,
    })
}

/// The spelling under which a word is looked up; see [`find`].
///
/// # Errors
/// As [`find`].
pub fn normal(text: &str) -> Result<String, WordError> {
    let trimmed = text.trim().trim_matches('\u{feff}');
    // Long texts are not shown back: one line must stay one line.
    let shown: String = trimmed.chars().filter(|c| !c.is_control()).take(40).collect();
    let mut spelling = String::new();
    for c in trimmed.chars().flat_map(char::to_lowercase) {
        match c {
            'a'..='z' | '\'' | '-' => spelling.push(c),
            '\u{2018}' | '\u{2019}' | '\u{02bc}' | '`' | '\u{00b4}' => spelling.push('\''),
            '\u{2010}' | '\u{2011}' => spelling.push('-'),
            c if c.is_whitespace() => return Err(WordError::Several(shown)),
            c if c.is_numeric() => return Err(WordError::Digits(shown)),
            c => spelling.push_str(without_accent(c).ok_or(WordError::Sign(shown.clone(), visible(c)))?),
        }
    }
    match spelling.bytes().filter(u8::is_ascii_lowercase).count() {
        0 => Err(WordError::Empty),
        letters if letters > MOST_LETTERS || spelling.len() > lexicon::LONGEST => Err(WordError::TooLong(letters)),
        _ => Ok(spelling),
    }
}

/// The plain letters for a letter with an accent that English borrows; nothing for a lone combining accent.
fn without_accent(c: char) -> Option<&'static str> {
    Some(match c {
        'à' | 'á' | 'â' | 'ã' | 'ä' | 'å' => "a",
        'ç' => "c",
        'è' | 'é' | 'ê' | 'ë' => "e",
        'ì' | 'í' | 'î' | 'ï' => "i",
        'ñ' => "n",
        'ò' | 'ó' | 'ô' | 'õ' | 'ö' | 'ø' => "o",
        'ù' | 'ú' | 'û' | 'ü' => "u",
        'ý' | 'ÿ' => "y",
        'æ' => "ae",
        'œ' => "oe",
        '\u{0300}'..='\u{0304}' | '\u{0308}' | '\u{030a}' | '\u{0327}' => "",
        _ => return None,
    })
}

/// The sign itself, or the mark for an unknown one when it cannot be seen.
fn visible(c: char) -> char {
    if c.is_control() { char::REPLACEMENT_CHARACTER } else { c }
}

/// The parent's own pronunciations, by spelling. Kept in memory; [`Overrides::to_lines`] and
/// [`Overrides::from_lines`] are for whoever stores them.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Overrides {
    said: BTreeMap<String, Pronunciation>,
}

/// Why an override cannot be taken.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum OverrideError {
    /// The word is none.
    Word(WordError),
    /// A sound is none; the text says which and what is allowed.
    Sound(String),
    /// No sounds, or more than 60.
    Count(usize),
    /// Line of a stored list (from 1), and why.
    Line(usize, Box<OverrideError>),
    /// A stored line without a tab.
    NoTab,
}

impl fmt::Display for OverrideError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            OverrideError::Word(error) => write!(f, "{error}"),
            OverrideError::Sound(error) => write!(f, "{error}"),
            OverrideError::Count(count) => {
                write!(f, "{count} sounds were given; give 1 to {MOST_SOUNDS}, such as M AO TH")
            }
            OverrideError::Line(line, error) => write!(f, "own pronunciations, line {line}: {error}"),
            OverrideError::NoTab => write!(f, "no tab between the word and its sounds; write moth, a tab, M AO1 TH"),
        }
    }
}

impl std::error::Error for OverrideError {}

impl Overrides {
    /// Says `word` as `sounds` from now on (ARPAbet with spaces, stress digits allowed: `M AO1 TH`).
    ///
    /// # Errors
    /// When the word is none, a sound is none, or there are no sounds or more than 60.
    pub fn set(&mut self, word: &str, sounds: &str) -> Result<(), OverrideError> {
        let spelling = normal(word).map_err(OverrideError::Word)?;
        let said = read_sounds(sounds)?;
        self.said.insert(spelling, said);
        Ok(())
    }

    /// Forgets the override of `word`; whether there was one.
    pub fn remove(&mut self, word: &str) -> bool {
        normal(word).is_ok_and(|spelling| self.said.remove(&spelling).is_some())
    }

    /// How `word` is to be said, if the parent has said so.
    pub fn get(&self, word: &str) -> Option<&Pronunciation> {
        self.said.get(&normal(word).ok()?)
    }

    /// As [`Overrides::get`], for a spelling that is already [`normal`].
    pub(crate) fn get_exact(&self, spelling: &str) -> Option<&Pronunciation> {
        self.said.get(spelling)
    }

    /// All of them, by spelling.
    pub fn iter(&self) -> impl Iterator<Item = (&str, &Pronunciation)> {
        self.said.iter().map(|(word, said)| (word.as_str(), said))
    }

    /// One line each, word and sounds with a tab between, to be read by [`Overrides::from_lines`].
    pub fn to_lines(&self) -> String {
        self.iter().map(|(word, said)| format!("{word}\t{said}\n")).collect()
    }

    /// Reads what [`Overrides::to_lines`] wrote. Empty lines and lines that begin with `#` are passed over; the last of
    /// two lines for one word holds.
    ///
    /// # Errors
    /// The first line that cannot be read, by number.
    pub fn from_lines(text: &str) -> Result<Self, OverrideError> {
        let mut overrides = Overrides::default();
        for (i, line) in text.lines().enumerate() {
            if line.trim().is_empty() || line.starts_with('#') {
                continue;
            }
            let parts = line.split_once('\t').ok_or(OverrideError::NoTab);
            let taken = parts.and_then(|(word, sounds)| overrides.set(word, sounds));
            taken.map_err(|error| OverrideError::Line(i + 1, Box::new(error)))?;
        }
        Ok(overrides)
    }
}

/// Sounds from ARPAbet text; a vowel without a digit has no stress mark.
fn read_sounds(text: &str) -> Result<Pronunciation, OverrideError> {
    let (mut sounds, mut stress) = (Vec::new(), Vec::new());
    for name in text.split_whitespace() {
        sounds.push(name.parse::<Sound>().map_err(|e| OverrideError::Sound(e.to_string()))?);
        stress.push(
            name.bytes()
                .last()
                .map_or(0, |b| if b.is_ascii_digit() { b - b'0' } else { 0 }),
        );
    }
    match sounds.len() {
        1..=MOST_SOUNDS => Ok(Pronunciation::new(sounds, &stress)),
        count => Err(OverrideError::Count(count)),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn text_is_made_ready() {
        for (text, spelling) in [
            (" Moth\n", "moth"),
            ("DON\u{2019}T", "don't"),
            ("Café", "cafe"),
            ("cafe\u{301}", "cafe"),
            ("ice-cream", "ice-cream"),
        ] {
            assert_eq!(normal(text).unwrap(), spelling);
        }
    }

    #[test]
    fn what_is_no_word_is_refused_in_one_line() {
        let long = "a".repeat(60);
        let bad = [
            "",
            "  ",
            "''",
            "7up",
            "2",
            "½",
            "\u{1f600}",
            "cat\u{1f431}",
            "a b",
            "мышь",
            "a\0b",
            "x=y",
            long.as_str(),
        ];
        for text in bad {
            let error = find(text, &Overrides::default()).unwrap_err().to_string();
            assert!(!error.contains('\n') && error.len() < 200, "{text}: {error}");
        }
        assert_eq!(normal("a1"), Err(WordError::Digits("a1".into())));
        assert_eq!(normal(&long), Err(WordError::TooLong(60)));
    }

    #[test]
    fn overrides_come_first_and_survive_storing() {
        let mut overrides = Overrides::default();
        overrides.set("Moth", "M AA1 TH").unwrap();
        overrides.set("we\u{2019}ll", "w iy l").unwrap();
        let stored = Overrides::from_lines(&format!("# mine\n\n{}", overrides.to_lines())).unwrap();
        assert_eq!(stored, overrides);
        let moth = find("moth", &stored).unwrap();
        assert_eq!(
            (moth.source, moth.variants[0].to_string()),
            (Source::Override, "M AA1 TH".to_owned())
        );
        assert!(overrides.remove("MOTH") && !overrides.remove("moth"));
        assert_eq!(find("moth", &overrides).unwrap().source, Source::Dictionary);
    }

    #[test]
    fn bad_overrides_say_where() {
        assert!(matches!(
            Overrides::from_lines("a\tB IY\nb B IY"),
            Err(OverrideError::Line(2, _))
        ));
        let mut overrides = Overrides::default();
        for (word, sounds) in [
            ("moth", ""),
            ("moth", "M QQ"),
            ("", "M"),
            ("moth", "M9"),
            ("moth", &"M ".repeat(61)),
        ] {
            assert!(overrides.set(word, sounds).is_err(), "{word} {sounds}");
        }
        assert!(overrides.iter().next().is_none());
    }
}
