//! The review as a machine: what people want goes in by [`ReviewSession::apply`], what the notebook and the loudspeaker have to
//! say by [`ReviewSession::poll`]. It knows no window; whoever draws it reads its state.
//!
//! ```
//! use soundbead::review::ReviewBench;
//! use soundbead::review::session::ReviewIntent;
//!
//! let folder = std::env::temp_dir().join(format!("soundbead-review-{}", std::process::id()));
//! let mut bench = ReviewBench::over(&folder);
//! bench.poll();
//! bench.apply(ReviewIntent::Step(1)); // Nobody is in hand, so there is nowhere to go.
//! assert!(bench.session.opened().is_none() && bench.session.list().is_empty());
//! # drop(bench);
//! # let _ = std::fs::remove_dir_all(&folder);
//! ```

use std::ops::Range;

use jiff::civil::Date;
use soundbead_data::Sound;
use soundbead_dsp::judgement::Verdict;

use super::compare::{ComparedTime, ComparedWord};
use super::drafts::DraftKeeper;
use super::list::AttemptList;
use super::note::{NoteEdit, NoteEditor, NoteOutcome, NoteTarget};
use super::opened::{self, OpenedAttempt};
use super::rulings::{self, RulingKeeper};
use super::told::ToldSounds;
use crate::equipment::{Equipment, News};
use crate::later::Latest;
use crate::notebook::{Author, Filter, Id, NoteSubject, NotebookError, Ruling};
use crate::playback::{PlayedPart, Sounding};
use crate::wording;

/// What a person wants.
#[derive(Clone, Debug, PartialEq)]
pub enum ReviewIntent {
    /// So many attempts on.
    Step(i64),
    /// So many lessons on.
    StepLesson(i64),
    /// This attempt, by its number in the list.
    Pick(u64),
    /// This attempt, by its name; nothing is looked for any more.
    Open(Id),
    /// The latest attempt of this day, or of the last day before it that has any.
    Day(Date),
    /// Look for these.
    Filter(Box<Filter>),
    /// These attempts, by their numbers, are in sight.
    InSight(Range<u64>),
    /// Play all of it, at this share of its speed; or stop.
    Play(f32),
    /// Play a part, in seconds.
    PlayPart(f32, f32),
    /// Play each attempt as it is reached.
    PlayAtOnce(bool),
    /// Rule; or take the ruling back.
    Rule(Option<Verdict>),
    /// This sound was said in the place of the word's own, counted from 0; none where it was left out.
    Tell(usize, Option<Sound>),
    /// Rule by the sounds that were told.
    KeepTold,
    /// Undo the last ruling.
    Undo,
    /// Write a note on the attempt, or stop; what was typed stays.
    Note,
    /// Something to that note.
    Edit(NoteEdit),
    /// Put the same word's attempts side by side, or stop.
    Compare,
    /// So many attempts later on one of the sides.
    CompareStep(ComparedTime, i64),
    /// Play one of the sides.
    ComparePlay(ComparedTime),
    /// Play a part of one of the sides, in seconds.
    ComparePart(ComparedTime, f32, f32),
    /// This person sits here.
    Author(Author),
    /// Try again what could not be kept.
    SaveAgain,
    /// The review is left: nothing plays on.
    Away,
}

/// A ruling as it was before another took its place.
struct RulingBefore {
    attempt: Id,
    by: Author,
    ruling: Option<Ruling>,
}

/// The review.
pub struct ReviewSession {
    learner: Option<Id>,
    list: AttemptList,
    opened: Latest<OpenedAttempt, NotebookError>,
    /// Which attempt was asked for.
    wanted: Option<Id>,
    play_at_once: bool,
    play_next: bool,
    sounding: Option<Sounding>,
    rulings: RulingKeeper,
    before: Vec<RulingBefore>,
    /// What was done last.
    done: Option<String>,
    note: Option<NoteEditor>,
    /// Notes that were left while they were on their way into the notebook.
    left: Vec<NoteEditor>,
    drafts: DraftKeeper,
    told: ToldSounds,
    compare: Option<ComparedWord>,
    news: Vec<News>,
}

impl Default for ReviewSession {
    fn default() -> Self {
        ReviewSession {
            learner: None,
            list: AttemptList::default(),
            opened: Latest::default(),
            wanted: None,
            play_at_once: true,
            play_next: false,
            sounding: None,
            rulings: RulingKeeper::default(),
            before: Vec::new(),
            done: None,
            note: None,
            left: Vec::new(),
            drafts: DraftKeeper::default(),
            told: ToldSounds::default(),
            compare: None,
            news: Vec::new(),
        }
    }
}

impl crate::bench::BenchedSession for ReviewSession {
    type Intent = ReviewIntent;

    fn want(&mut self, at: &mut Equipment, intent: ReviewIntent) {
        self.apply(at, intent);
    }

    fn take_in(&mut self, at: &mut Equipment) {
        self.poll(at);
    }
}

impl ReviewSession {
    /// Does what a person wants. What takes long goes on elsewhere; [`ReviewSession::poll`] takes it in.
    pub fn apply(&mut self, at: &mut Equipment, intent: ReviewIntent) {
        match intent {
            ReviewIntent::Step(by) => self.moving(at, |list| list.step(by)),
            ReviewIntent::StepLesson(by) => self.moving(at, |list| list.step_lesson(by)),
            ReviewIntent::Pick(number) => self.moving(at, |list| list.pick(number)),
            ReviewIntent::Open(id) => self.open(at, id),
            ReviewIntent::Day(day) => self.moving(at, |list| list.go_to_day(day)),
            ReviewIntent::Filter(filter) => self.list.look_for(*filter),
            ReviewIntent::InSight(seen) => self.list.see(seen),
            ReviewIntent::Play(speed) => match self.sounding {
                Some(_) => self.silence(at),
                None => self.play(at, speed),
            },
            ReviewIntent::PlayPart(from, to) => self.play_part(at, (from, to), 1.0),
            ReviewIntent::PlayAtOnce(on) => self.play_at_once = on,
            ReviewIntent::Rule(verdict) => self.rule(at, verdict, Vec::new()),
            ReviewIntent::Tell(sound, said) => self.told.choose(sound, said),
            ReviewIntent::KeepTold => self.keep_told(at),
            ReviewIntent::Undo => self.undo(),
            ReviewIntent::Note => self.write(at),
            ReviewIntent::Edit(edit) => self.edit(at, edit),
            ReviewIntent::Compare => self.compare(at),
            ReviewIntent::CompareStep(time, by) => {
                if let Some(compare) = &mut self.compare {
                    compare.step(time, by);
                }
            }
            ReviewIntent::ComparePlay(time) => self.play_compared(at, time, None),
            ReviewIntent::ComparePart(time, from, to) => self.play_compared(at, time, Some((from, to))),
            ReviewIntent::Author(author) => *at.author = author,
            ReviewIntent::SaveAgain => {
                self.rulings.again();
                self.drafts.again();
            }
            ReviewIntent::Away => self.silence(at),
        }
        self.rulings.poll(at.notebook);
        self.drafts.poll(at.notebook);
    }

    /// Moves in the list, unless two attempts are being compared.
    fn moving(&mut self, at: &mut Equipment, how: impl FnOnce(&mut AttemptList) -> bool) {
        if self.compare.is_none() && how(&mut self.list) {
            self.silence(at);
            self.play_next = self.play_at_once;
            self.follow_hand(at);
        }
    }

    fn open(&mut self, at: &mut Equipment, id: Id) {
        let Some(learner) = at.learner.as_ref().map(|l| l.id) else {
            return;
        };
        self.change_learner(at);
        self.compare = None;
        // It may be newer than the list that is here: its number is one of a list asked for now.
        self.stale();
        self.list.look_for(Filter::default());
        self.list.seek(at, learner, id);
    }

    fn rule(&mut self, at: &Equipment, verdict: Option<Verdict>, sounds: Vec<Sound>) {
        // A key that comes before the attempt in hand is shown is not for the one before it.
        let Some(opened) = self.opened.value.as_ref().filter(|o| Some(o.attempt.id) == self.wanted) else {
            return;
        };
        let by = *at.author;
        let ruling = verdict.map(|verdict| Ruling::new(verdict, by).telling(sounds));
        let before = opened.attempt.edits.ruling_by(by).cloned();
        if ruling.is_none() && before.is_none() {
            return;
        }
        let word = &opened.attempt.word;
        self.done = Some(match verdict {
            Some(verdict) => format!("{word}: the {by} says {}.", wording::verdict(verdict).full),
            None => format!("{word}: the {by}'s ruling is taken back."),
        });
        let attempt = opened.attempt.id;
        self.before.push(RulingBefore {
            attempt,
            by,
            ruling: before,
        });
        self.put(attempt, by, ruling);
    }

    /// Gives a ruling: shown now, kept in the notebook as soon as that can be.
    fn put(&mut self, attempt: Id, by: Author, ruling: Option<Ruling>) {
        let opened = self.opened.value.as_mut().map(|o| &mut o.attempt);
        for here in self.list.here_mut().chain(opened).filter(|a| a.id == attempt) {
            rulings::put(&mut here.edits, by, ruling.as_ref());
        }
        self.rulings.want(attempt, by, ruling);
    }

    fn undo(&mut self) {
        let Some(RulingBefore { attempt, by, ruling }) = self.before.pop() else {
            return;
        };
        // It is given anew, at a later moment: what was taken back meanwhile would go before it otherwise.
        let ruling = ruling.map(|r| Ruling::new(r.verdict, r.by).telling(r.sounds));
        self.put(attempt, by, ruling);
        self.done = None;
    }

    fn keep_told(&mut self, at: &Equipment) {
        let told = self.opened.value.as_ref().and_then(|o| self.told.ruling(&o.attempt));
        if let Some((verdict, sounds)) = told {
            self.rule(at, Some(verdict), sounds);
        }
    }

    /// Begins a note on the attempt in hand, or leaves it as it is.
    fn write(&mut self, at: &Equipment) {
        if self.note.is_some() {
            return self.leave_note();
        }
        let opened = self.opened.value.as_ref().filter(|o| Some(o.attempt.id) == self.wanted);
        if let (Some(opened), Some(learner)) = (opened, self.learner) {
            self.note = Some(NoteEditor::on(NoteTarget::of(&opened.attempt), at, learner));
        }
    }

    /// Leaves the note as it is. One that is on its way into the notebook is followed until it is there.
    fn leave_note(&mut self) {
        self.left.extend(self.note.take().filter(NoteEditor::is_busy));
    }

    fn edit(&mut self, at: &Equipment, edit: NoteEdit) {
        let outcome = self.note.as_mut().and_then(|n| n.apply(at, &mut self.drafts, edit));
        if outcome.is_some() {
            self.note = None;
        }
    }

    fn compare(&mut self, at: &mut Equipment) {
        self.silence(at);
        self.compare = match (&self.compare, &self.opened.value) {
            (None, Some(opened)) => Some(ComparedWord::new(&opened.attempt.word)),
            (Some(_), _) | (None, None) => None,
        };
    }

    fn play(&mut self, at: &mut Equipment, speed: f32) {
        if let Some(opened) = &self.opened.value {
            self.play_part(at, opened.reach(), speed);
        }
    }

    fn play_part(&mut self, at: &mut Equipment, (from_s, to_s): (f32, f32), speed: f32) {
        if let Some(Ok(sound)) = self.opened.value.as_ref().map(|o| &o.sound) {
            let part = PlayedPart { from_s, to_s, speed };
            self.sounding = Some(at.playback.play(&sound.samples, part, at.wake));
        }
    }

    fn play_compared(&mut self, at: &mut Equipment, time: ComparedTime, part: Option<(f32, f32)>) {
        let opened = self.compare.as_ref().and_then(|c| c.side(time).opened());
        if let Some((opened, sound)) = opened.and_then(|o| Some((o, o.sound.as_ref().ok()?))) {
            let (from_s, to_s) = part.unwrap_or_else(|| opened.reach());
            let part = PlayedPart {
                from_s,
                to_s,
                speed: 1.0,
            };
            self.sounding = Some(at.playback.play(&sound.samples, part, at.wake));
        }
    }

    fn silence(&mut self, at: &mut Equipment) {
        at.playback.stop();
        self.sounding = None;
    }

    /// Takes in what came. Whether it wants to be polled again soon: something is played.
    pub fn poll(&mut self, at: &mut Equipment) -> bool {
        self.change_learner(at);
        self.rulings.poll(at.notebook);
        self.drafts.poll(at.notebook);
        if let Some(learner) = self.learner {
            self.poll_list(at, learner);
            self.poll_opened(at);
            if let Some(compare) = &mut self.compare {
                compare.poll(at, learner, &mut self.news);
            }
        }
        self.poll_note();
        self.poll_playback(at)
    }

    /// Begins anew with another learner. What is on its way into the notebook stays on its way.
    fn change_learner(&mut self, at: &mut Equipment) {
        let learner = at.learner.as_ref().map(|l| l.id);
        if learner == self.learner {
            return;
        }
        self.silence(at);
        self.leave_note();
        *self = ReviewSession {
            learner,
            left: std::mem::take(&mut self.left),
            play_at_once: self.play_at_once,
            rulings: std::mem::take(&mut self.rulings),
            drafts: std::mem::take(&mut self.drafts),
            news: std::mem::take(&mut self.news),
            ..ReviewSession::default()
        };
    }

    fn poll_list(&mut self, at: &Equipment, learner: Id) {
        let sought = self.list.is_seeking();
        if self.list.poll(at, learner, &mut self.news) {
            let rulings = &self.rulings;
            self.list.here_mut().for_each(|a| rulings.lay_over(a));
        }
        if sought && !self.list.is_seeking() {
            self.play_next = self.play_at_once;
        }
        if !self.list.is_seeking() {
            self.follow_hand(at);
        }
    }

    /// Opens the attempt in hand, once it is known. A note that was begun stays with its own attempt.
    fn follow_hand(&mut self, at: &Equipment) {
        let (Some(learner), Some(id)) = (self.learner, self.list.in_hand().map(|a| a.id)) else {
            return;
        };
        if self.wanted != Some(id) {
            self.wanted = Some(id);
            self.leave_note();
            self.opened.ask(at.notebook.ask(move |n| opened::fetch(n, learner, id)));
        }
    }

    fn poll_opened(&mut self, at: &mut Equipment) {
        if !self.opened.take(&mut self.news) {
            return;
        }
        if let Some(opened) = &mut self.opened.value {
            self.rulings.lay_over(&mut opened.attempt);
            self.told.begin(&opened.attempt);
        }
        if std::mem::take(&mut self.play_next) {
            self.play(at, 1.0);
        }
    }

    /// Takes in what became of notes that were left on their way.
    fn poll_left(&mut self) {
        for mut note in std::mem::take(&mut self.left) {
            let outcome = note.poll(&mut self.drafts, &mut self.news);
            if let Some(why) = note.fault() {
                let line = format!(
                    "The note on {} was not kept: {why}. It is there as it was typed.",
                    note.target().word
                );
                self.news.push(News::Failed(line));
            } else {
                match outcome {
                    Some(NoteOutcome::Kept(Some(note))) => self.list.note(&note),
                    Some(_) => {}
                    None => self.left.push(note),
                }
            }
        }
    }

    fn poll_note(&mut self) {
        self.poll_left();
        let outcome = self
            .note
            .as_mut()
            .and_then(|n| n.poll(&mut self.drafts, &mut self.news));
        let Some(outcome) = outcome else { return };
        self.note = None;
        if let NoteOutcome::Kept(note) = outcome {
            self.done = Some("The note is kept.".into());
            if let Some(note) = &note {
                self.list.note(note);
            }
            if let (Some(note), Some(opened)) = (note, self.opened.value.as_mut())
                && note.on == NoteSubject::Attempt(opened.attempt.id)
            {
                opened.notes.insert(0, *note);
            }
        }
    }

    fn poll_playback(&mut self, at: &mut Equipment) -> bool {
        let Some(sounding) = self.sounding else { return false };
        at.playback.poll();
        if let Some(fault) = at.playback.take_fault(sounding) {
            self.news.push(News::Failed(fault.to_string()));
        }
        self.sounding = self.sounding.filter(|s| at.playback.plays(*s));
        self.sounding.is_some()
    }

    /// Asks for everything anew: a lesson may have added to it, or the counting rules changed.
    pub fn stale(&mut self) {
        self.list.stale();
        self.wanted = None;
    }

    /// The list of attempts.
    pub fn list(&self) -> &AttemptList {
        &self.list
    }

    /// Whether the attempt in hand is to be brought into sight now; true once for each move.
    pub fn take_follow(&mut self) -> bool {
        self.list.take_follow()
    }

    /// The attempt that is shown: the one in hand, or the one before it until that is here.
    pub fn opened(&self) -> Option<&OpenedAttempt> {
        self.opened.value.as_ref()
    }

    /// The attempt to which what people do goes: the one in hand, once it is shown.
    pub fn in_hand(&self) -> Option<Id> {
        self.opened()
            .map(|o| o.attempt.id)
            .filter(|id| Some(*id) == self.wanted)
    }

    /// The note that is being written.
    pub fn note(&self) -> Option<&NoteEditor> {
        self.note.as_ref()
    }

    /// What is told of each sound of the word.
    pub fn told(&self) -> &ToldSounds {
        &self.told
    }

    /// Two attempts at one word, while they are compared.
    pub fn comparison(&self) -> Option<&ComparedWord> {
        self.compare.as_ref()
    }

    /// Whether each attempt is played as it is reached.
    pub fn plays_at_once(&self) -> bool {
        self.play_at_once
    }

    /// Whether something is played.
    pub fn plays(&self) -> bool {
        self.sounding.is_some()
    }

    /// Where in the recording it is playing, in seconds.
    pub fn playing_s(&self, at: &Equipment) -> Option<f32> {
        self.sounding.and_then(|s| at.playback.position_s(s))
    }

    /// What was done last.
    pub fn done(&self) -> Option<&str> {
        self.done.as_deref()
    }

    /// Whether a ruling can be undone.
    pub fn can_undo(&self) -> bool {
        !self.before.is_empty()
    }

    /// Why something is not in the notebook, while that is so.
    pub fn unkept(&self) -> Option<&str> {
        self.rulings.fault().or(self.drafts.fault())
    }

    /// Whether all that was done is known to be in the notebook.
    pub fn settled(&self) -> bool {
        let writes = self.note.as_ref().is_some_and(NoteEditor::is_busy) || !self.left.is_empty();
        self.rulings.settled() && self.drafts.settled() && !writes
    }

    /// The lines that came up since this was asked last.
    pub fn news(&mut self) -> Vec<News> {
        std::mem::take(&mut self.news)
    }
}
