//! The state machine of a lesson.

use std::collections::BTreeSet;
use std::sync::Arc;

use soundbead_data::Rules;
use soundbead_data::chain::{Change, ChangeKind};
use soundbead_dsp::judgement::{Speaking, Verdict};

use super::task::TaskStanding;
use super::work::{PointedBead, Try, WordStep, WordWork};
use super::{LessonWord, TryKept, letters};
use crate::notebook::{Author, Cued};

/// Most beads that go on the string.
pub const MOST_BEADS: usize = 12;
/// Steps that can be undone.
const MOST_UNDO: usize = 200;

/// What undoing took back, where others must know of it.
#[derive(Clone, Debug)]
pub enum Undone {
    /// Something of the word in hand.
    Plain,
    /// A recording; it must leave the notebook as well.
    Try(Arc<Try>),
}

/// A lesson.
#[derive(Clone, Debug)]
pub struct Lesson {
    /// The counting rules under which it was begun; they hold to its end.
    rules: Rules,
    words: Vec<LessonWord>,
    works: Vec<WordWork>,
    at: usize,
    /// The way of speaking that the next recording is asked for.
    speaking: Speaking,
    past: Vec<Past>,
    /// Letters that were taken back and may come again, the latest last; only until something else is done.
    letters_ahead: Vec<Past>,
    /// Recordings so far; each has its number.
    tries: u64,
    /// Words that the program helped with: heard from it, or looked at after a try. Undoing does not take that back.
    helped: BTreeSet<usize>,
}

/// A word's work as it was before something was done.
#[derive(Clone, Debug)]
struct Past {
    at: usize,
    work: WordWork,
    /// The letter box that was typed in: typing in a row in one box is one step.
    typing: Option<usize>,
}

impl Lesson {
    /// A lesson of these words, at least one, which were counted under these rules.
    pub fn new(words: Vec<LessonWord>, rules: Rules) -> Lesson {
        Lesson {
            rules,
            works: vec![WordWork::default(); words.len()],
            words,
            at: 0,
            speaking: Speaking::Whole,
            past: Vec::new(),
            letters_ahead: Vec::new(),
            tries: 0,
            helped: BTreeSet::new(),
        }
    }

    /// A lesson as it was left; see [`super::draft`]. Works beyond the words are dropped, missing ones are fresh.
    pub(super) fn resumed(
        words: Vec<LessonWord>,
        rules: Rules,
        mut works: Vec<WordWork>,
        at: usize,
        helped: BTreeSet<usize>,
    ) -> Lesson {
        works.resize_with(words.len(), WordWork::default);
        let at = at.min(words.len().saturating_sub(1));
        Lesson {
            rules,
            words,
            works,
            at,
            speaking: Speaking::Whole,
            past: Vec::new(),
            letters_ahead: Vec::new(),
            tries: 0,
            helped,
        }
    }

    /// The counting rules that hold in it.
    pub fn rules(&self) -> &Rules {
        &self.rules
    }

    /// The word in hand was heard from the program.
    pub fn help(&mut self) {
        self.helped.insert(self.at);
    }

    /// Whether the program helped with a word before it is said now.
    pub fn cued(&self, at: usize) -> Cued {
        match self.helped.contains(&at) {
            true => Cued::Cued,
            false => Cued::Alone,
        }
    }

    /// Its words.
    pub fn words(&self) -> &[LessonWord] {
        &self.words
    }

    /// What was done with each.
    pub fn works(&self) -> &[WordWork] {
        &self.works
    }

    /// Number of the word in hand, from 0.
    pub fn at(&self) -> usize {
        self.at
    }

    /// The word in hand.
    pub fn word(&self) -> &LessonWord {
        &self.words[self.at]
    }

    /// What was done with it.
    pub fn work(&self) -> &WordWork {
        &self.works[self.at]
    }

    /// Where the child is with it.
    pub fn step(&self) -> WordStep {
        self.work().step
    }

    /// The word before it.
    pub fn before(&self) -> Option<&LessonWord> {
        self.at.checked_sub(1).map(|i| &self.words[i])
    }

    /// How the word before became this one, where one sound makes the difference.
    pub fn change(&self) -> Option<Change> {
        self.before()?.change(self.word())
    }

    /// Whether anything has been done.
    pub fn begun(&self) -> bool {
        self.at > 0 || self.work().begun()
    }

    /// The way of speaking asked for.
    pub fn speaking(&self) -> Speaking {
        self.speaking
    }

    /// Asks for another way of speaking.
    pub fn ask_for(&mut self, speaking: Speaking) {
        self.speaking = speaking;
    }

    /// Puts so many beads on the string; more than [`MOST_BEADS`] do not fit. They can be put right beside the recording
    /// as well, until the count is settled.
    pub fn set_beads(&mut self, beads: usize) {
        let beads = beads.min(MOST_BEADS);
        let open = matches!(self.step(), WordStep::Beads | WordStep::Look) && !self.work().count.settled();
        if open && beads != self.work().beads {
            self.remember(None);
            self.now().beads = beads;
        }
    }

    /// Whether so many beads are as many as the word has sounds: in any pronunciation of it, or in the one that was
    /// heard.
    fn counts_right(&self, beads: usize) -> bool {
        let heard = self.work().latest.as_ref().and_then(|l| l.judgement()?.expected);
        heard == Some(beads) || self.word().counts.contains(&beads)
    }

    /// Takes the beads on the string for the child's answer.
    fn take_count(&mut self) {
        let beads = self.work().beads;
        if beads > 0 {
            let right = self.counts_right(beads);
            self.now().count.answer(beads, right);
        }
    }

    /// A recording came, was judged and is kept: look at it.
    pub fn heard(&mut self, heard: Try) {
        self.remember(None);
        let heard = self.numbered(heard);
        self.helped.insert(self.at);
        let now = self.now();
        (now.ruling, now.step) = (None, WordStep::Look);
        now.latest = Some(Arc::new(heard));
        self.take_count();
    }

    /// The recording that was being looked at when the lesson was broken off, brought back. Not a step of its own.
    pub fn bring_back(&mut self, heard: Try) {
        let heard = self.numbered(heard);
        let now = self.now();
        (now.latest, now.step) = (Some(Arc::new(heard)), WordStep::Look);
    }

    fn numbered(&mut self, heard: Try) -> Try {
        self.tries += 1;
        Try {
            number: self.tries,
            ..heard
        }
    }

    /// The latest recording of word `at` is kept here now, wherever the lesson remembers it.
    pub fn set_kept(&mut self, at: usize, kept: TryKept) {
        let Some(number) = self.works.get(at).and_then(|w| Some(w.latest.as_ref()?.number)) else {
            return;
        };
        let remembered = self.past.iter_mut().chain(&mut self.letters_ahead);
        let past = remembered.map(|past| &mut past.work);
        let all = self.works.iter_mut().chain(past).filter_map(|w| w.latest.as_mut());
        for latest in all.filter(|l| l.number == number) {
            Arc::make_mut(latest).kept = kept.clone();
        }
    }

    /// Back to the string, to say the word once more.
    pub fn again(&mut self) {
        if self.step() != WordStep::Beads {
            self.remember(None);
            self.now().step = WordStep::Beads;
        }
    }

    /// A person's ruling on the latest recording; `None` takes it back.
    pub fn rule(&mut self, ruling: Option<(Verdict, Author)>) {
        if self.work().latest.is_some() && self.work().ruling != ruling {
            self.remember(None);
            self.now().ruling = ruling;
        }
    }

    /// The child says that bead `at` changed. The row is the earlier word's where a sound went, this word's otherwise.
    pub fn point(&mut self, at: usize, earlier: bool) {
        let Some(change) = self.change().filter(|_| self.step() == WordStep::Which) else {
            return;
        };
        let right =
            at == change.at && (change.kind == ChangeKind::Swap || (change.kind == ChangeKind::Drop) == earlier);
        let pointed = PointedBead { at, earlier, right };
        self.try_task(|work| work.which.answer(pointed, right));
    }

    /// Does something that may change nothing; only what changed something can be undone.
    fn try_task(&mut self, act: impl FnOnce(&mut WordWork) -> bool) {
        self.remember(None);
        if !act(self.now()) {
            self.past.pop();
        }
    }

    /// The letters of box `at`.
    pub fn write(&mut self, at: usize, text: String) {
        let boxes = self.boxes();
        let open = self.step() == WordStep::Letters && !self.work().spelled.settled();
        if !open || at >= boxes || self.work().letters.get(at).map_or("", String::as_str) == text {
            return;
        }
        self.remember(Some(at));
        let now = self.now();
        now.letters.resize(boxes, String::new());
        now.letters[at] = text;
    }

    /// Shows the answer of the step in hand, after a first try at it.
    pub fn show(&mut self) {
        match self.step() {
            WordStep::Beads => {}
            WordStep::Look => self.try_task(|work| work.count.show()),
            WordStep::Which => self.try_task(|work| work.which.show()),
            WordStep::Letters => self.try_task(|work| work.spelled.show()),
        }
    }

    /// How many boxes there are to write in: as many as the child counted sounds, or was shown. One for the whole word
    /// where nothing was counted.
    pub fn boxes(&self) -> usize {
        let count = &self.work().count;
        match count.standing() {
            TaskStanding::Shown => self.word().count(),
            TaskStanding::Open | TaskStanding::Hint | TaskStanding::Right => count.last().copied().unwrap_or(1),
        }
    }

    /// What is to be said of the letters in each box.
    pub fn looks(&self) -> Vec<letters::BoxState> {
        letters::look(self.word(), &self.work().letters, self.boxes())
    }

    /// What the lead button, or Enter, does now.
    pub fn next(&self) -> Next {
        let work = self.work();
        let last = self.at + 1 == self.words.len();
        match work.step {
            WordStep::Look if work.count.settled() => Next::Step(self.after_count()),
            WordStep::Beads | WordStep::Look if work.beads == 0 => Next::Wait,
            WordStep::Look if work.count.last() == Some(&work.beads) => Next::Wait,
            WordStep::Beads | WordStep::Look => Next::CheckBeads,
            WordStep::Which if work.which.settled() => Next::Step(WordStep::Letters),
            WordStep::Which => Next::Wait,
            WordStep::Letters if work.spelled.settled() && last => Next::End,
            WordStep::Letters if work.spelled.settled() => Next::Word,
            WordStep::Letters if work.checked() || work.letters.iter().all(|t| t.trim().is_empty()) => Next::Wait,
            WordStep::Letters => Next::CheckLetters,
        }
    }

    /// Which sound changed, where one did; else the letters.
    fn after_count(&self) -> WordStep {
        if self.change().is_some() {
            WordStep::Which
        } else {
            WordStep::Letters
        }
    }

    /// Does what comes next: looks at an answer, or goes on from one that is settled. An answer that was looked at and
    /// is not settled waits for another. Whether anything was done.
    pub fn go_on(&mut self) -> bool {
        let next = self.next();
        match next {
            Next::Wait | Next::End => return false,
            Next::CheckBeads => {
                self.remember(None);
                self.now().step = WordStep::Look;
                self.take_count();
            }
            Next::CheckLetters => {
                let letters = self.work().letters.clone();
                let right = letters::right(self.word(), &letters);
                self.try_task(|work| work.spelled.answer(letters, right));
            }
            Next::Step(step) => {
                self.remember(None);
                self.now().step = step;
            }
            Next::Word => {
                self.remember(None);
                self.at += 1;
            }
        }
        true
    }

    /// Leaves the step in hand as it is, without an answer.
    pub fn skip(&mut self) {
        let last = self.at + 1 == self.words.len();
        let step = match self.step() {
            WordStep::Beads | WordStep::Look => self.after_count(),
            WordStep::Which => WordStep::Letters,
            WordStep::Letters if last => return,
            WordStep::Letters => {
                self.go_to(self.at + 1);
                return;
            }
        };
        self.remember(None);
        self.now().step = step;
    }

    /// Goes to a word.
    pub fn go_to(&mut self, at: usize) {
        if at < self.words.len() && at != self.at {
            self.remember(None);
            self.at = at;
        }
    }

    /// Whether something can be undone.
    pub fn can_undo(&self) -> bool {
        !self.past.is_empty()
    }

    /// Takes back what was done last.
    pub fn undo(&mut self) -> Option<Undone> {
        let past = self.past.pop()?;
        self.letters_ahead.clear();
        self.at = past.at;
        let gone = std::mem::replace(&mut self.works[past.at], past.work).latest;
        let still = self.work().latest.clone();
        Some(match gone {
            Some(gone) if still.is_none_or(|s| s.number != gone.number) => Undone::Try(gone),
            _ => Undone::Plain,
        })
    }

    fn now(&mut self) -> &mut WordWork {
        &mut self.works[self.at]
    }

    /// The box whose letters [`Lesson::take_letters_back`] would take back: an answer that was looked at stands, and so does
    /// all that came before it.
    pub fn letters_behind(&self) -> Option<usize> {
        let last = self.past.last().filter(|past| past.at == self.at)?;
        last.typing.filter(|_| self.step() == WordStep::Letters)
    }

    /// The box whose letters [`Lesson::bring_letters_again`] would bring.
    pub fn letters_ahead(&self) -> Option<usize> {
        self.letters_ahead.last()?.typing
    }

    /// Takes back what was typed last into the boxes of the word in hand, box by box.
    pub fn take_letters_back(&mut self) {
        if self.letters_behind().is_some()
            && let Some(past) = self.past.pop()
        {
            let work = std::mem::replace(self.now(), past.work);
            self.letters_ahead.push(Past { work, ..past });
        }
    }

    /// Brings again what was taken back last.
    pub fn bring_letters_again(&mut self) {
        if let Some(ahead) = self.letters_ahead.pop() {
            let work = std::mem::replace(self.now(), ahead.work);
            self.past.push(Past { work, ..ahead });
        }
    }

    fn remember(&mut self, typing: Option<usize>) {
        let at = self.at;
        self.letters_ahead.clear();
        if typing.is_some() && self.past.last().is_some_and(|p| p.typing == typing && p.at == at) {
            return;
        }
        if self.past.len() == MOST_UNDO {
            self.past.remove(0);
        }
        self.past.push(Past {
            at,
            work: self.work().clone(),
            typing,
        });
    }
}

/// What comes next in a lesson.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Next {
    /// Nothing yet: the child's turn.
    Wait,
    /// Look at the beads.
    CheckBeads,
    /// Look at the letters.
    CheckLetters,
    /// Another step with the same word.
    Step(WordStep),
    /// The next word.
    Word,
    /// The last word is done.
    End,
}

#[cfg(test)]
mod tests;
