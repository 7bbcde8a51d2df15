//! Questions to the ear. Whoever asks, the command line, a manifest or a lesson, the ear is asked here.

use std::panic::{AssertUnwindSafe, catch_unwind};
use std::sync::LazyLock;

use soundbead_data::chain::{Listed, WordList};
use soundbead_data::word::{Overrides, Source};
use soundbead_data::{Rules, Sound};
use soundbead_dsp::audio::Recording;
use soundbead_dsp::ear::{Ear, EarError, ModelError};
use soundbead_dsp::judgement::{Judgement, Speaking, Target, Verdict};

use crate::fault::Fault;
use crate::target;

/// How many sounds are there, and are they the word's? With neither word nor sounds the count is blind.
#[derive(Clone, Debug, Default)]
pub struct CountRequest {
    /// The word that was to be said.
    pub word: Option<String>,
    /// Its sounds, where the dictionary's are not meant.
    pub sounds: Option<Vec<Sound>>,
    /// How it was to be said.
    pub speaking: Speaking,
    /// How sounds are counted.
    pub rules: Rules,
}

/// The same, with what is listened for worked out.
#[derive(Clone, Debug)]
pub struct Hearing {
    /// What is listened for; none when the count is blind.
    pub target: Option<Target>,
    /// Where its sounds come from; none when they were given by hand.
    pub source: Option<Source>,
    /// How it was to be said.
    pub speaking: Speaking,
    /// How sounds are counted.
    pub rules: Rules,
}

impl CountRequest {
    /// Looks the word up; `own` are the family's own pronunciations.
    ///
    /// # Errors
    /// One line about the word.
    pub fn hearing(self, own: &Overrides) -> Result<Hearing, String> {
        let asked = target::resolve(self.word.as_deref(), self.sounds.as_deref(), own)?;
        let source = asked.as_ref().and_then(|a| a.source);
        Ok(Hearing {
            target: asked.map(|a| a.target),
            source,
            speaking: self.speaking,
            rules: self.rules,
        })
    }
}

impl Hearing {
    /// Asks the ear.
    ///
    /// # Errors
    /// When the recording cannot be judged: no speech, too short for the word.
    pub fn answer(&self, ear: &mut Ear, recording: &Recording) -> Result<Judgement, EarError> {
        ear.judge(recording, self.target.as_ref(), self.speaking, &self.rules)
    }
}

/// Which of several words, or rows of sounds, was said?
#[derive(Clone, Debug)]
pub struct CompareRequest {
    /// For each choice, the ways in which it may be said.
    choices: Vec<Vec<Vec<Sound>>>,
}

/// How probable each choice is, if it was one of them.
#[derive(Clone, Debug)]
pub struct CompareAnswer {
    /// The most probable, counted from 0; the first of equals.
    pub best: usize,
    /// One for each choice.
    pub probabilities: Vec<f32>,
}

impl CompareRequest {
    /// A choice between words, each in all its ways.
    ///
    /// # Errors
    /// One line about a word that is none.
    pub fn of_words(words: &[String], own: &Overrides) -> Result<CompareRequest, String> {
        let ways = |word: &String| {
            let asked = target::resolve(Some(word), None, own)?;
            Ok(asked.map_or_else(Vec::new, |a| a.target.variants))
        };
        let choices = words.iter().map(ways).collect::<Result<_, String>>()?;
        Ok(CompareRequest { choices })
    }

    /// A choice between rows of sounds.
    pub fn of_sounds(rows: &[Vec<Sound>]) -> CompareRequest {
        CompareRequest {
            choices: rows.iter().map(|row| vec![row.clone()]).collect(),
        }
    }

    /// Asks the ear.
    ///
    /// # Errors
    /// When the recording cannot be judged.
    pub fn answer(&self, ear: &mut Ear, recording: &Recording) -> Result<CompareAnswer, EarError> {
        let probabilities = ear.compare(recording, &self.choices)?;
        let mut best = 0;
        for (at, p) in probabilities.iter().enumerate() {
            if *p > probabilities[best] {
                best = at;
            }
        }
        Ok(CompareAnswer { best, probabilities })
    }
}

/// Least probability, among the words that may have been said, at which another word is named.
const CLEAR: f32 = 0.9;

/// A word that may have been said, and the ways in which it is.
pub type WordWays = (String, Vec<Vec<Sound>>);

/// Was another whole word said in the target's place? Asked of the words of the lesson and of common words that are one sound
/// away from the target.
#[derive(Clone, Debug)]
pub struct OtherWordRequest {
    target: Target,
    others: Vec<WordWays>,
    rules: Rules,
}

impl OtherWordRequest {
    /// For a target and the words of its lesson, among which it may be itself.
    pub fn new(target: Target, lesson: &[WordWays], rules: Rules) -> OtherWordRequest {
        let own = &target.variants;
        let mut others: Vec<WordWays> = lesson.to_vec();
        others.extend(neighbors(own));
        // What is said like the target, or like one before it, tells nothing apart.
        let mut heard: Vec<Vec<Sound>> = own.clone();
        others.retain(|(_, ways)| {
            let fresh = !ways.iter().any(|way| heard.contains(way));
            heard.extend(ways.iter().filter(|_| fresh).cloned());
            fresh
        });
        OtherWordRequest { target, others, rules }
    }

    /// The other word, where the ear is clear about it: it contradicts the target, prefers one other word to all the rest, and finds
    /// that word's own sounds when asked for it. Else none.
    pub fn answer(&self, ear: &mut Ear, recording: &Recording, judged: &Judgement) -> Option<String> {
        let contradicted = !matches!(judged.verdict, None | Some(Verdict::Same | Verdict::Unsure));
        if judged.speaking != Speaking::Whole || !contradicted || self.others.is_empty() {
            return None;
        }
        let ways = self.others.iter().map(|(_, ways)| ways.clone());
        let choices = std::iter::once(self.target.variants.clone()).chain(ways).collect();
        let told = CompareRequest { choices }.answer(ear, recording).ok()?;
        let (word, ways) = self.others.get(told.best.checked_sub(1)?)?;
        if told.probabilities[told.best] < CLEAR {
            return None;
        }
        let other = Target {
            variants: ways.clone(),
            letters: Vec::new(),
        };
        let affirmed = ear.judge(recording, Some(&other), Speaking::Whole, &self.rules).ok()?;
        (affirmed.verdict == Some(Verdict::Same)).then(|| word.clone())
    }
}

/// Common words whose sounds are one away from these: one changed, added or gone; the commonest first. Words that are kept from
/// children are not among them.
fn neighbors(of: &[Vec<Sound>]) -> Vec<WordWays> {
    static COMMON: LazyLock<Vec<Listed>> = LazyLock::new(|| WordList::default().words());
    let near = |listed: &&Listed| {
        let ways = || listed.variants.iter().map(|way| way.sounds());
        of.iter().any(|own| ways().any(|way| one_apart(own, way)))
    };
    let mut found: Vec<&Listed> = COMMON.iter().filter(near).collect();
    found.sort_by(|a, b| b.zipf.total_cmp(&a.zipf));
    let said = |listed: &Listed| {
        let ways = listed.variants.iter().map(|way| way.sounds().to_vec());
        (listed.spelling.to_string(), ways.collect())
    };
    found.into_iter().map(said).collect()
}

/// Whether two rows differ in one sound: another in its place, or one more.
fn one_apart(a: &[Sound], b: &[Sound]) -> bool {
    let (short, long) = if a.len() <= b.len() { (a, b) } else { (b, a) };
    let front = short.iter().zip(long).take_while(|(x, y)| x == y).count();
    match long.len() - short.len() {
        0 => front < short.len() && short[front + 1..] == long[front + 1..],
        1 => short[front..] == long[front + 1..],
        _ => false,
    }
}

/// The ear, or the fault that ends the run: without it there is nothing to do.
///
/// # Errors
/// When the weights that come with the program are broken.
pub fn ear() -> Result<Ear, Fault> {
    Ear::new().map_err(Fault::internal)
}

/// An ear for many questions, which a fault of the program's own in one of them does not take from the others.
#[derive(Default)]
pub struct SteadyEar(Option<Ear>);

/// Why a question has no answer, though there is nothing wrong with it.
#[derive(Debug)]
pub enum NoAnswer {
    /// The weights that come with the program are broken.
    Model(ModelError),
    /// The program itself failed.
    Failed,
}

impl SteadyEar {
    /// An ear whose model is loaded at once, so that a broken one is said before any question.
    ///
    /// # Errors
    /// As for [`ear`].
    pub fn loaded() -> Result<SteadyEar, Fault> {
        Ok(SteadyEar(Some(ear()?)))
    }

    /// Asks; the model is loaded where it is not in hand.
    ///
    /// # Errors
    /// When the model cannot be loaded, or the program itself fails: the ear is then made anew for the next question, for
    /// what the failure left in its working space is not to be relied on.
    pub fn ask<T>(&mut self, question: impl FnOnce(&mut Ear) -> T) -> Result<T, NoAnswer> {
        let mut ear = self.0.take().map_or_else(Ear::new, Ok).map_err(NoAnswer::Model)?;
        let answer = catch_unwind(AssertUnwindSafe(|| question(&mut ear)));
        let answer = answer.map_err(|_| NoAnswer::Failed)?;
        self.0 = Some(ear);
        Ok(answer)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use soundbead_dsp::audio;

    fn said(file: &str, target: &str, lesson: &[&str]) -> (Option<Verdict>, Option<String>) {
        let path = std::path::Path::new(env!("CARGO_MANIFEST_DIR"))
            .join("../recordings-demo")
            .join(file);
        let recording = audio::decode(&path).unwrap();
        let own = Overrides::default();
        let ways = |word: &str| target::resolve(Some(word), None, &own).unwrap().unwrap().target;
        let lesson: Vec<WordWays> = lesson.iter().map(|w| (w.to_string(), ways(w).variants)).collect();
        let rules = Rules::default();
        let mut ear = Ear::new().unwrap();
        let judged = ear
            .judge(&recording, Some(&ways(target)), Speaking::Whole, &rules)
            .unwrap();
        let other = OtherWordRequest::new(ways(target), &lesson, rules).answer(&mut ear, &recording, &judged);
        (judged.verdict, other)
    }

    /// What was made is in recordings-demo/README.md: goat and shed, said right and asked for as other words; a stamp without its start.
    #[test]
    fn another_word_is_named_where_that_is_clear_and_a_word_said_right_never_is() {
        assert_eq!(
            said("01-goat.wav", "goat", &["coat", "boat"]),
            (Some(Verdict::Same), None)
        );
        let named = |file: &str, target: &str, lesson: &[&str]| said(file, target, lesson).1;
        assert_eq!(
            named("01-goat.wav", "coat", &["coat", "goat", "boat"]).as_deref(),
            Some("goat")
        );
        // Out of the dictionary, one sound away.
        assert_eq!(named("01-goat.wav", "gate", &[]).as_deref(), Some("goat"));
        let (verdict, other) = said("01-goat.wav", "boot", &["goat"]);
        assert_eq!((verdict, other), (Some(Verdict::Unsure), None), "never when unsure");
        assert_eq!(named("33-stamp.wav", "stamp", &[]), None, "its start is cut off");
    }

    #[test]
    fn neighbors_are_common_words_one_sound_away_and_none_that_is_kept_from_children() {
        let of = |sounds: &[Sound]| neighbors(&[sounds.to_vec()]);
        let words = of(&[Sound::P, Sound::IH, Sound::G]);
        for word in ["peg", "big", "pin", "pick"] {
            assert!(words.iter().any(|(w, _)| w == word), "{word}");
        }
        assert!(!words.iter().any(|(w, _)| ["pig", "dog"].contains(&w.as_str())));
        let blocked = soundbead_data::chain::BlockList::builtin();
        assert!(words.iter().all(|(word, _)| !blocked.blocks(word)));
    }
}
