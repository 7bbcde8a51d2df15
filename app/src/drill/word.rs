//! What is known of a word before the child says it.

use soundbead_data::chain::{self, Change, Unit};
use soundbead_data::spelling::{self, LetterBox};
use soundbead_data::word::{Overrides, Source};
use soundbead_data::{Rules, Sound};
use soundbead_dsp::judgement::Target;

use crate::{say, target, typed};

/// A short chain to begin with, our own. One sound changes at each step.
pub const STARTER: &str = "mud mug rug rag bag back black lack shack";
/// Most words in one lesson.
const MOST_WORDS: usize = 60;

/// A word of a lesson, as it is said and counted under the rules in force.
#[derive(Clone, Debug)]
pub struct LessonWord {
    /// Small letters.
    pub spelling: String,
    /// Its sounds, in the pronunciation that is expected first.
    pub sounds: Vec<Sound>,
    /// Its sounds as they are counted.
    pub units: Vec<Unit>,
    /// How many sounds each of its pronunciations has, as they are counted.
    pub counts: Vec<usize>,
    /// Each counted sound in IPA and in plain letters.
    pub written: Vec<(String, String)>,
    /// Its letters, a box a sound; empty where they cannot be divided.
    pub boxes: Vec<LetterBox>,
    /// What the ear is asked about: every pronunciation there is.
    pub target: Target,
    /// Whether its sounds are a guess from its letters.
    pub guess: bool,
}

impl LessonWord {
    /// The word in `text`.
    ///
    /// # Errors
    /// When it is not one English word; the line says what to do.
    pub fn find(text: &str, overrides: &Overrides, rules: &Rules) -> Result<LessonWord, String> {
        let spelling = soundbead_data::word::normal(text).map_err(|e| e.to_string())?;
        let asked = target::resolve(Some(&spelling), None, overrides)?;
        let asked = asked.ok_or("no word was given; type one English word, such as moth")?;
        let guess = asked.source == Some(Source::Guess);
        let sounds = asked.target.variants.first().cloned().unwrap_or_default();
        Ok(LessonWord::new(spelling, sounds, asked.target, guess, rules))
    }

    /// A word of a plan, which says which of its pronunciations is meant. The others count as right too.
    ///
    /// # Errors
    /// As [`LessonWord::find`].
    pub fn said_as(text: &str, sounds: &[Sound], overrides: &Overrides, rules: &Rules) -> Result<LessonWord, String> {
        let mut word = LessonWord::find(text, overrides, rules)?;
        if sounds.is_empty() || sounds == word.sounds {
            return Ok(word);
        }
        let mut target = Target {
            variants: vec![sounds.to_vec()],
            letters: vec![target::letters(&word.spelling, sounds)],
        };
        for (variant, letters) in word.target.variants.drain(..).zip(word.target.letters.drain(..)) {
            if variant != sounds {
                target.variants.push(variant);
                target.letters.push(letters);
            }
        }
        Ok(LessonWord::new(
            word.spelling,
            sounds.to_vec(),
            target,
            word.guess,
            rules,
        ))
    }

    fn new(spelling: String, sounds: Vec<Sound>, target: Target, guess: bool, rules: &Rules) -> LessonWord {
        let said = say::with_stress(Some(&spelling), &sounds);
        let of = |said: &Vec<Sound>| chain::units(&spelling, said, rules).len();
        LessonWord {
            counts: target.variants.iter().chain([&sounds]).map(of).collect(),
            units: chain::units(&spelling, &sounds, rules),
            written: say::CountedSounds::new(&spelling, said, rules).each(),
            boxes: spelling::boxes(&spelling, &sounds).unwrap_or_default(),
            spelling,
            sounds,
            target,
            guess,
        }
    }

    /// How many sounds it has under the rules in force.
    pub fn count(&self) -> usize {
        self.units.len()
    }

    /// IPA between slashes.
    pub fn ipa(&self) -> String {
        let all: String = self.written.iter().map(|(ipa, _)| ipa.as_str()).collect();
        format!("/{all}/")
    }

    /// Plain letters with hyphens between the sounds.
    pub fn plain(&self) -> String {
        self.written
            .iter()
            .map(|(_, plain)| plain.as_str())
            .collect::<Vec<_>>()
            .join("-")
    }

    /// How `self` becomes `next`, where one counted sound makes the difference.
    pub fn change(&self, next: &LessonWord) -> Option<Change> {
        chain::difference_in_units(&self.units, &next.units)
    }
}

/// The words in a text: parted by anything but letters, apostrophes and hyphens. Where a word is said in two ways, the one that
/// is meant may stand behind a colon: `read:R-EH-D`.
///
/// # Errors
/// When there is none, one cannot be read, or there are too many for a lesson; the line says which and what to do.
pub fn read(text: &str, overrides: &Overrides, rules: &Rules) -> Result<Vec<LessonWord>, String> {
    let words = parted(text);
    match words.len() {
        0 => return Err("Type the words first, with spaces between: sun, fun, fin.".into()),
        n if n > MOST_WORDS => return Err(format!("{n} words are too many for one lesson; {MOST_WORDS} at most.")),
        _ => {}
    }
    words
        .into_iter()
        .map(|w| match w.split_once(':') {
            Some((word, sounds)) => {
                let sounds = typed::sounds(&sounds.replace('-', " "))?;
                LessonWord::said_as(word, &sounds, overrides, rules)
            }
            None => LessonWord::find(w, overrides, rules),
        })
        .collect()
}

/// The words of a text, however they are parted.
pub(super) fn parted(text: &str) -> Vec<&str> {
    let parts = text.split(|c: char| c.is_whitespace() || matches!(c, ',' | ';' | '/' | '>' | '.' | '|'));
    parts.filter(|w| w.chars().any(char::is_alphanumeric)).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// What "one sound changes" means is checked by hand here: mu(d/g), (m/r)ug, r(u/a)g, (r/b)ag, ba(g/ck), b(+l)ack,
    /// (-b)lack, (l/sh)ack.
    #[test]
    fn the_starter_changes_one_sound_at_a_time() {
        let words = read(STARTER, &Overrides::default(), &Rules::default()).unwrap();
        let changes: Vec<String> = words
            .windows(2)
            .map(|w| w[0].change(&w[1]).unwrap().kind.to_string())
            .collect();
        assert_eq!(changes, ["swap", "swap", "swap", "swap", "swap", "add", "drop", "swap"]);
        assert!(words.iter().all(|w| !w.guess && w.boxes.len() == w.count()));
    }

    #[test]
    fn words_are_read_however_they_are_parted_and_a_bad_one_is_named() {
        let read = |text| read(text, &Overrides::default(), &Rules::default());
        let spelt = |text| {
            read(text)
                .unwrap()
                .iter()
                .map(|w| w.spelling.clone())
                .collect::<Vec<_>>()
        };
        assert_eq!(spelt("Sun, fun > fin\n don't"), ["sun", "fun", "fin", "don't"]);
        assert!(read("sun 7 fin").unwrap_err().contains("`7`"));
        assert!(read("  - ").unwrap_err().contains("Type the words"));
        assert!(read(&"sun ".repeat(61)).unwrap_err().contains("61"));
    }

    #[test]
    fn the_rules_in_force_count_and_a_plan_may_choose_the_pronunciation() {
        let phonics = Rules::named("phonics").unwrap();
        let barn = |rules: &Rules| LessonWord::find("barn", &Overrides::default(), rules).unwrap();
        assert_eq!((barn(&Rules::default()).count(), barn(&phonics).count()), (4, 3));
        assert_eq!(barn(&phonics).plain(), "b-ar-n");
        let read_as = [Sound::R, Sound::IY, Sound::D];
        let word = LessonWord::said_as("read", &read_as, &Overrides::default(), &Rules::default()).unwrap();
        assert_eq!(word.sounds, read_as);
        assert!(word.target.variants.len() > 1 && word.target.variants[0] == read_as);
        assert_eq!(word.target.variants.len(), word.target.letters.len());
    }
}
