//! A word into its sounds: what the recording is weighed against; and whether the word is one at all.

use std::fmt;

use soundbead_data::sound::Sound;
use soundbead_data::spelling;
use soundbead_data::word::{self, Overrides, Source, Word};
use soundbead_data::writing::meant;
use soundbead_dsp::judgement::Target;

/// A target and where its sounds come from.
pub struct WordTarget {
    /// What the ear is asked about.
    pub target: Target,
    /// Where the sounds come from; `None` when they were given by hand.
    pub source: Option<Source>,
}

/// A word that may be a slip: the dictionary does not have it, or has it only as something rare that is spelled nearly like a word.
///
/// It is asked about, and never refused for that: lessons use words that are none (*blick*), families have names of their own.
/// Only as the target of a child's writing it is not kept until somebody says what was meant, for there the slip itself would be
/// called right.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Doubt {
    /// As it is spelled.
    pub spelling: String,
    /// The word that was most likely meant, if one is near.
    pub meant: Option<String>,
    /// Another that was meant nearly as likely.
    pub or: Option<String>,
    /// Whether the dictionary has it, as a name or as a rare word (*freind*, *thier*).
    rare: bool,
}

/// The doubt about a word; none for what the dictionary has as a word, and for what the family said itself.
pub fn doubt(word: &Word) -> Option<Doubt> {
    let meant = || meant(&word.spelling);
    let (meant, rare) = match word.source {
        Source::Override => return None,
        Source::Dictionary => (Some(meant()?), true),
        Source::Guess => (meant(), false),
    };
    Some(Doubt {
        spelling: word.spelling.clone(),
        meant: meant.map(|m| m.word.to_owned()),
        or: meant.and_then(|m| m.or).map(str::to_owned),
        rare,
    })
}

/// The doubt about a word as it was typed, where there is something to ask: a word that was most likely meant.
pub fn question(text: &str, own: &Overrides) -> Option<Doubt> {
    let found = word::find(text, own).ok()?;
    doubt(&found).filter(|doubt| doubt.meant.is_some())
}

impl Doubt {
    /// ` or site`, where another word was meant nearly as likely.
    fn or_else(&self) -> String {
        self.or.as_ref().map_or(String::new(), |or| format!(" or {or}"))
    }

    /// Which word was meant: `Did you mean sister or site?`
    pub fn asks(&self) -> Option<String> {
        let meant = self.meant.as_ref()?;
        Some(format!("Did you mean {meant}{}?", self.or_else()))
    }
}

impl fmt::Display for Doubt {
    /// `brige is not in the dictionary; did you mean bridge?`
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let what = match self.rare {
            true => "is in the dictionary only as a name or a rare word",
            false => "is not in the dictionary",
        };
        match &self.meant {
            Some(meant) => write!(f, "{} {what}; did you mean {meant}{}?", self.spelling, self.or_else()),
            None => write!(f, "{} {what}.", self.spelling),
        }
    }
}

/// What to listen for, from a word, or sounds, or both (the sounds then win and the word gives the letters).
///
/// `None` when neither is given: the count is blind. An error is one line about the word.
///
/// # Errors
/// One line when the text is no word.
pub fn resolve(
    word: Option<&str>,
    sounds: Option<&[Sound]>,
    overrides: &Overrides,
) -> Result<Option<WordTarget>, String> {
    let (variants, source) = match (word, sounds) {
        (None, None) => return Ok(None),
        (_, Some(sounds)) => (vec![sounds.to_vec()], None),
        (Some(word), None) => {
            let found = word::find(word, overrides).map_err(|e| e.to_string())?;
            (variants(&found), Some(found.source))
        }
    };
    let letters = variants
        .iter()
        .map(|v| word.map_or_else(Vec::new, |w| letters(w, v)))
        .collect();
    Ok(Some(WordTarget {
        target: Target { variants, letters },
        source,
    }))
}

/// Each way of saying the word, as sounds, without doubles that differ in stress alone.
pub fn variants(word: &Word) -> Vec<Vec<Sound>> {
    let mut out: Vec<Vec<Sound>> = Vec::new();
    for said in &word.variants {
        if !out.iter().any(|v| v == said.sounds()) {
            out.push(said.sounds().to_vec());
        }
    }
    out
}

/// The letters that spell each stretch of sounds; empty when the two cannot be tied together.
pub fn letters(word: &str, sounds: &[Sound]) -> Vec<(String, std::ops::Range<usize>)> {
    let boxes = spelling::boxes(word, sounds).unwrap_or_default();
    boxes.into_iter().map(|b| (b.letters, b.sounds)).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// That these are slips for these words is common practice, no source.
    #[test]
    fn slips_are_asked_about_words_and_own_words_are_not() {
        let mut own = Overrides::default();
        let asked = |text: &str, own: &Overrides| question(text, own).map(|doubt| doubt.to_string());
        assert_eq!(
            asked("Brige", &own).as_deref(),
            Some("brige is not in the dictionary; did you mean bridge?")
        );
        for (typed, meant) in [("freind", "friend"), ("thier", "their")] {
            let says = asked(typed, &own).unwrap();
            assert!(
                says.contains("only as a name") && says.ends_with(&format!("did you mean {meant}?")),
                "{says}"
            );
        }
        for word in ["bridge", "friend", "trail", "snorbles", "", "4", "two words"] {
            assert_eq!(asked(word, &own), None, "{word}");
        }
        own.set("brige", "B R IH1 JH").unwrap();
        assert_eq!(asked("brige", &own), None, "the family says so itself");
    }
}
