//! A dictation: the parent says a word and its sentence, the child writes it into one free field and goes on.
//!
//! Nothing of what is written is judged before the child is done. The first try is kept as it was written; what comes after
//! it stands beside it. [`Dictation`] is the words and what was written for each; [`session`] what keeps it; [`told`] what is
//! said of it afterwards, to the parent.
//!
//! ```
//! use soundbead::drill::dictation::{DictatedWord, Dictation};
//!
//! let mut dictation = Dictation::new(vec![DictatedWord::word("bridge"), DictatedWord::word("duck")]);
//! dictation.write("brige");
//! dictation.enter();
//! dictation.enter();
//! assert_eq!(dictation.at(), Some(1), "Enter with an empty field goes nowhere");
//! dictation.back();
//! dictation.write("bridge");
//! dictation.enter();
//! let answer = &dictation.answers()[0];
//! assert_eq!((answer.first(), answer.last()), (Some("brige"), Some("bridge")));
//! ```

pub mod session;
mod standing;
pub mod told;

use serde::{Deserialize, Serialize};
use soundbead_data::lexicon::Pronunciation;
use soundbead_data::which;

use crate::say::many;
use crate::typed;

/// Most words of a dictation.
pub const MOST_WORDS: usize = 60;
/// Most letters that are written for a word, as the notebook keeps them.
pub const LONGEST: usize = 100;
/// Most tries at one word.
const MOST_TRIES: usize = 20;
/// Steps that can be taken back.
const MOST_UNDO: usize = 200;

/// What is asked for: a word, and the sentence in which it is said.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct DictatedWord {
    /// The word.
    pub word: String,
    /// The sentence that the parent says with it, if there is one.
    #[serde(default)]
    pub sentence: Option<String>,
    /// How it is said where it is said in two ways and one was chosen: ARPAbet, a space between.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub said: Option<String>,
}

impl DictatedWord {
    /// A word without a sentence.
    pub fn word(word: impl Into<String>) -> DictatedWord {
        DictatedWord {
            word: word.into(),
            sentence: None,
            said: None,
        }
    }

    /// How it is said where that was chosen.
    pub fn way(&self) -> Option<Pronunciation> {
        typed::pronunciation(self.said.as_deref()?).ok()
    }

    /// What it means where the way to say it was chosen: *moving air*.
    pub fn cue(&self) -> Option<&'static str> {
        which::cue(&self.word.to_lowercase(), &self.way()?)
    }
}

/// What was written for one word.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct DictationAnswer {
    /// As they were written, the first first.
    tries: Vec<String>,
    /// Whether help was used, and whether that was before anything was written.
    help: bool,
    helped_first: bool,
}

impl DictationAnswer {
    /// What was written, first to last.
    pub fn tries(&self) -> &[String] {
        &self.tries
    }

    /// The first try, as it was written.
    pub fn first(&self) -> Option<&str> {
        self.tries.first().map(String::as_str)
    }

    /// The latest try: the first where there is no other.
    pub fn last(&self) -> Option<&str> {
        self.tries.last().map(String::as_str)
    }

    /// The latest try beside the first; none where the first is all.
    pub fn second(&self) -> Option<&str> {
        self.last().filter(|_| self.tries.len() > 1)
    }

    /// Whether help was used.
    pub fn helped(&self) -> bool {
        self.help
    }

    /// Whether help was used before the first try, which then is not the child's alone.
    pub fn helped_first(&self) -> bool {
        self.helped_first
    }

    /// Whether it has every try of `before`, and as much help.
    fn goes_on_from(&self, before: &DictationAnswer) -> bool {
        !before.tries.is_empty() && self.tries.starts_with(&before.tries) && self.help >= before.help
    }

    /// A try beside those before, which never change. The same once more is no other try.
    fn take(&mut self, text: &str) {
        if self.last() != Some(text) && self.tries.len() < MOST_TRIES {
            self.tries.push(text.to_owned());
        }
    }
}

/// Where a dictation is, with all that was written.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
struct DictationState {
    answers: Vec<DictationAnswer>,
    /// The word in hand; as many as there are words once the child is done.
    at: usize,
    /// What stands in the field.
    typed: String,
    /// Where words are chosen one by one: about how many come after the last that was chosen.
    #[serde(default)]
    about: usize,
    /// Whether none of them would tell anything more.
    #[serde(default)]
    settled: bool,
}

/// Words of a set of the course, which are chosen one by one.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct AskedSet {
    /// Which of the parallel sets, from 0.
    pub number: usize,
    /// Words of the set: so many are asked at most.
    pub most: usize,
}

/// A dictation.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Dictation {
    /// The words; those that were chosen so far, where they are chosen one by one.
    asked: Vec<DictatedWord>,
    now: DictationState,
    #[serde(skip)]
    past: Vec<DictationState>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    set: Option<AskedSet>,
}

impl Dictation {
    /// A dictation of these words, at most [`MOST_WORDS`].
    pub fn new(mut asked: Vec<DictatedWord>) -> Dictation {
        asked.truncate(MOST_WORDS);
        let now = DictationState {
            answers: vec![DictationAnswer::default(); asked.len()],
            at: 0,
            typed: String::new(),
            about: 0,
            settled: false,
        };
        Dictation {
            asked,
            now,
            past: Vec::new(),
            set: None,
        }
    }

    /// What was written on paper: each word with what stands for it. The child is done with it.
    pub fn of_paper(written: impl IntoIterator<Item = (String, String)>) -> Dictation {
        let (asked, wrote): (Vec<_>, Vec<_>) = written.into_iter().take(MOST_WORDS).unzip();
        let mut dictation = Dictation::new(asked.into_iter().map(DictatedWord::word).collect());
        for (answer, text) in dictation.now.answers.iter_mut().zip(wrote) {
            answer.tries = Some(tidy(&text)).filter(|t| !t.is_empty()).into_iter().collect();
        }
        dictation.now.at = dictation.asked.len();
        dictation
    }

    /// The words.
    pub fn asked(&self) -> &[DictatedWord] {
        &self.asked
    }

    /// The set from which the words are chosen one by one; none where all of them are known from the beginning.
    pub fn set(&self) -> Option<AskedSet> {
        self.set
    }

    /// How many words come after the one in hand; about so many where they are chosen one by one.
    pub fn to_come(&self) -> usize {
        self.asked.len().saturating_sub(self.now.at + 1) + self.now.about
    }

    /// What was written for each.
    pub fn answers(&self) -> &[DictationAnswer] {
        &self.now.answers
    }

    /// Number of the word in hand, from 0; none once the child is done.
    pub fn at(&self) -> Option<usize> {
        (self.now.at < self.asked.len()).then_some(self.now.at)
    }

    /// The word in hand.
    pub fn word(&self) -> Option<&DictatedWord> {
        self.asked.get(self.now.at)
    }

    /// What was written for it so far.
    pub fn answer(&self) -> Option<&DictationAnswer> {
        self.now.answers.get(self.now.at)
    }

    /// What stands in the field.
    pub fn typed(&self) -> &str {
        &self.now.typed
    }

    /// Whether the child is done.
    pub fn done(&self) -> bool {
        self.at().is_none()
    }

    /// Whether a set was asked until nothing more would be learned from its words.
    pub fn settled(&self) -> bool {
        self.now.settled
    }

    /// Whether anything was written.
    pub fn begun(&self) -> bool {
        self.now.at > 0
            || !self.now.typed.is_empty()
            || self.now.answers.iter().any(|a| *a != DictationAnswer::default())
    }

    /// How many words something was written for.
    pub fn written(&self) -> usize {
        self.now.answers.iter().filter(|a| a.first().is_some()).count()
    }

    /// Whether these are its words; no words are nobody's.
    pub fn is_of(&self, words: &[String]) -> bool {
        let asked = self.asked.iter().map(|asked| &asked.word);
        !words.is_empty() && asked.eq(words)
    }

    /// The words that were written right in the end.
    pub fn written_right(&self) -> impl Iterator<Item = &str> {
        let each = self.asked.iter().zip(&self.now.answers);
        let right =
            each.filter(|(asked, answer)| answer.last().is_some_and(|last| last.eq_ignore_ascii_case(&asked.word)));
        right.map(|(asked, _)| asked.word.as_str())
    }

    /// What the child did: told to the child.
    pub fn deed(&self) -> String {
        match self.written() {
            0 => "Nothing was written this time.".to_owned(),
            written => format!("You listened and wrote {}.", many(written, "word")),
        }
    }

    /// What stands in the field now. Typing is no step of its own.
    pub fn write(&mut self, text: &str) {
        if !self.done() {
            self.now.typed = text.chars().filter(|c| !c.is_control()).take(LONGEST).collect();
        }
    }

    /// Takes what stands in the field and goes to the next word. An empty field goes on only from a word that was written
    /// before; whether it went on.
    pub fn enter(&mut self) -> bool {
        let text = tidy(&self.now.typed);
        let has = self.answer().is_some_and(|a| a.first().is_some());
        if self.done() || (text.is_empty() && !has) {
            return false;
        }
        self.remember();
        self.seal();
        self.now.at += 1;
        true
    }

    /// Help was used at the word in hand. What stands in the field was written without it, and is the first try.
    pub fn help(&mut self) {
        if self.answer().is_none_or(|a| a.help) {
            return;
        }
        self.remember();
        self.seal();
        if let Some(answer) = self.now.answers.get_mut(self.now.at) {
            (answer.help, answer.helped_first) = (true, answer.tries.is_empty());
        }
    }

    /// Back to the word before, to look and to try once more. What stands in the field is kept.
    pub fn back(&mut self) {
        if self.now.at > 0 {
            self.remember();
            self.seal();
            self.now.at -= 1;
        }
    }

    /// Leaves the word in hand; what stands in the field is kept.
    pub fn skip(&mut self) {
        if !self.done() {
            self.remember();
            self.seal();
            self.now.at += 1;
        }
    }

    /// The child is done, whatever is left.
    pub fn stop(&mut self) {
        if !self.done() {
            self.remember();
            self.seal();
            self.now.at = self.asked.len();
        }
    }

    /// Whether something can be taken back.
    pub fn can_undo(&self) -> bool {
        !self.past.is_empty()
    }

    /// Takes back what was done last.
    pub fn undo(&mut self) {
        if let Some(before) = self.past.pop() {
            // A word that was chosen since goes as well: with another answer another may be asked.
            self.asked.truncate(before.answers.len());
            self.now = before;
        }
    }

    /// What stands in the field becomes a try of the word in hand.
    fn seal(&mut self) {
        let text = tidy(&std::mem::take(&mut self.now.typed));
        if let (false, Some(answer)) = (text.is_empty(), self.now.answers.get_mut(self.now.at)) {
            answer.take(&text);
        }
    }

    fn remember(&mut self) {
        if self.past.len() == MOST_UNDO {
            self.past.remove(0);
        }
        self.past.push(self.now.clone());
    }

    /// As text, to go on with another day.
    pub fn text(&self) -> String {
        serde_json::to_string(self).unwrap_or_default()
    }

    /// From text.
    ///
    /// # Errors
    /// When it is not a dictation.
    pub fn read(text: &str) -> Result<Dictation, String> {
        let mut dictation: Dictation = serde_json::from_str(text).map_err(|e| e.to_string())?;
        if dictation.asked.is_empty() || dictation.asked.len() > MOST_WORDS {
            return Err("it has no words, or too many".into());
        }
        dictation
            .now
            .answers
            .resize(dictation.asked.len(), DictationAnswer::default());
        dictation.now.at = dictation.now.at.min(dictation.asked.len());
        Ok(dictation)
    }
}

/// As it is kept: without space around it, runs of space made one. Nothing else of what a child wrote is changed.
fn tidy(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

#[cfg(test)]
mod tests {
    use super::*;

    fn two() -> Dictation {
        Dictation::new(vec![DictatedWord::word("bridge"), DictatedWord::word("duck")])
    }

    #[test]
    fn the_first_try_is_never_overwritten() {
        let mut dictation = two();
        for text in ["brij", "bridge", "birdge"] {
            dictation.write(text);
            dictation.enter();
            dictation.back();
        }
        let answer = &dictation.answers()[0];
        assert_eq!((answer.first(), answer.second()), (Some("brij"), Some("birdge")));
        assert!(!answer.helped());
    }

    #[test]
    fn enter_twice_skips_no_word() {
        let mut dictation = two();
        assert!(!dictation.enter(), "nothing is written");
        dictation.write("  ");
        assert!(!dictation.enter(), "a blank is nothing");
        dictation.write("brige");
        assert!(dictation.enter() && !dictation.enter());
        assert_eq!((dictation.at(), dictation.written()), (Some(1), 1));
    }

    #[test]
    fn help_is_a_press_and_parts_what_was_written_before_from_what_came_after() {
        let mut dictation = two();
        dictation.write("brig");
        dictation.help();
        assert_eq!((dictation.typed(), dictation.at()), ("", Some(0)));
        dictation.write("bridge");
        dictation.enter();
        dictation.help();
        dictation.write("duk");
        dictation.enter();
        let [bridge, duck] = dictation.answers() else {
            panic!("two words")
        };
        assert_eq!((bridge.first(), bridge.second()), (Some("brig"), Some("bridge")));
        assert!(bridge.helped() && !bridge.helped_first());
        assert!(duck.helped_first() && duck.second().is_none());
        assert!(dictation.done());
    }

    #[test]
    fn every_step_can_be_taken_back_and_nothing_typed_is_lost() {
        let mut dictation = two();
        dictation.write("brig");
        dictation.skip();
        assert_eq!(dictation.answers()[0].first(), Some("brig"), "what was typed is kept");
        dictation.write("d");
        dictation.stop();
        assert!(dictation.done());
        dictation.undo();
        assert_eq!((dictation.at(), dictation.typed()), (Some(1), "d"));
        dictation.undo();
        assert_eq!((dictation.at(), dictation.typed()), (Some(0), "brig"));
        assert!(!dictation.can_undo());
    }

    #[test]
    fn it_comes_back_as_it_was_left() {
        let mut dictation = two();
        dictation.write("brige");
        dictation.enter();
        dictation.write("du");
        let back = Dictation::read(&dictation.text()).unwrap();
        assert_eq!((back.at(), back.typed()), (Some(1), "du"));
        assert_eq!(back.answers(), dictation.answers());
        for text in ["", "{}", "[]", r#"{"asked":[],"now":{"answers":[],"at":0,"typed":""}}"#] {
            assert!(Dictation::read(text).is_err(), "{text}");
        }
    }

    #[test]
    fn what_was_written_on_paper_is_done_at_once() {
        let dictation = Dictation::of_paper([("sister".to_owned(), " siter ".to_owned())]);
        assert!(dictation.done() && dictation.begun());
        assert_eq!(dictation.answers()[0].first(), Some("siter"));
    }
}
