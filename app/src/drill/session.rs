//! The lesson as a machine: what people want goes in by [`LessonSession::apply`], what devices, files, the ear and the notebook
//! have to say by [`LessonSession::poll`]. It knows no window; whoever draws it reads its state.
//!
//! ```
//! use soundbead::drill::session::{Bench, Intent};
//!
//! let folder = std::env::temp_dir().join(format!("soundbead-session-{}", std::process::id()));
//! let mut bench = Bench::over(&folder);
//! bench.apply(Intent::Start("goat coat".into()));
//! bench.until(|session| session.lesson().is_some());
//! bench.apply(Intent::Beads(3));
//! assert_eq!(bench.session.lesson().unwrap().work().beads, 3);
//! # drop(bench);
//! # std::fs::remove_dir_all(&folder).unwrap();
//! ```

mod files;
mod hear;
mod people;
mod poll;
mod take;

use std::collections::BTreeSet;
use std::path::PathBuf;
use std::sync::mpsc::Receiver;

use soundbead_dsp::audio::Recording;
use soundbead_dsp::judgement::{Speaking, Verdict};

pub(super) use people::planned;

use super::close_up::CloseUp;
use super::draft::LessonDraft;
use super::ending::{LessonEnding, PartDone};
use super::keep::{LessonKeeper, PendingAttempt};
use super::listen::{EarThread, Listened};
use super::model::Models;
use super::voice::WordVoice;
use super::{Lesson, Next, TryKept, WordStep};
use crate::equipment::{Equipment, News};
use crate::later::{Later, Latest};
use crate::mic::{Device, MicFault};
use crate::notebook::{BeadString, Cued, Id, Learner, Note, NoteSubject, NotebookError, Result};
use crate::plan::Plan;
use crate::playback::Sounding;
use crate::recorder::{Recorder, Take};

/// A lesson with its equipment and no window.
pub type Bench = crate::bench::SessionBench<LessonSession>;

/// What a person wants.
#[derive(Clone, Debug, PartialEq)]
pub enum Intent {
    /// Start a lesson of these words.
    Start(String),
    /// A plan was sent: start it, unless a lesson is under way.
    Plan(Box<Plan>),
    /// Start the plan in hand.
    StartPlan,
    /// Go on with the lesson that was broken off.
    Resume,
    /// Let that lesson be.
    DropDraft,
    /// So many beads.
    Beads(usize),
    /// How the word is to be said.
    Say(Speaking),
    /// Record the word.
    Record,
    /// Record the parent's own voice as the model of the word.
    RecordModel,
    /// Hear the word: the parent's own model of it where there is one and it is to be whole, else the model voice. Sound by
    /// sound only once the count is settled, for it tells the number.
    HearModel(Speaking),
    /// Hear the word before this one.
    HearBefore,
    /// End the recording that is under way.
    Stop,
    /// Let go what is being recorded, read or listened to.
    Cancel,
    /// Say the word once more.
    Again,
    /// Play the recording at a share of its speed.
    Play(f32),
    /// Play some of its sounds, from this one to that, the first being 0.
    Hear(usize, usize),
    /// Look closely at a doubtful sound of the recording, the first being 0; `None` looks away.
    CloseUp(Option<usize>),
    /// Hear something of the sound that is looked at.
    HearClose(CloseUpVoice),
    /// Stop playing.
    Silence,
    /// Rule on what was said; `None` takes the ruling back.
    Rule(Option<Verdict>),
    /// This bead changed; whether it is on the earlier word's string.
    Point(usize, bool),
    /// The letters of a box.
    Write(usize, String),
    /// Show the answer of the step in hand, after a first try.
    Show,
    /// Look at the answer in hand, or go on from one that is settled.
    GoOn,
    /// Leave the step in hand as it is.
    Skip,
    /// Take back what was done last.
    Undo,
    /// Take back what was typed last into the letter boxes of the word in hand.
    LettersBack,
    /// Bring it again.
    LettersAgain,
    /// Show or hide what is for the grown-up.
    GrownUp(bool),
    /// Ask a question over the lesson, or close it.
    Ask(Option<OpenQuestion>),
    /// Bring in a recording from this file.
    BringIn(PathBuf),
    /// Record from this device; `None` for the system's choice.
    Device(Option<String>),
    /// Play this file, or all files of this folder, as if they were spoken into a microphone.
    SpeakFrom(PathBuf),
    /// Record from the machine's own microphones again.
    RealMicrophones,
    /// Try again what could not be written into the notebook.
    SaveAgain,
    /// The view is left: a recording that is under way ends, and what was said is kept.
    Away,
    /// End the lesson; while something of it is not in the notebook, ask first.
    End,
    /// End it all the same.
    EndAnyway,
    /// Leave the lesson as it is; it can go on another day.
    Pause,
    /// Another part of the plan is done, on the evening of the lesson that is over.
    Besides(PartDone),
    /// The same, where the plan's words were another evening's: this evening's lesson ends with it.
    EndOfPart(PartDone),
    /// The end of the lesson was looked at.
    Close,
}

/// What is heard of a sound that is looked at closely.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum CloseUpVoice {
    /// The sound in the model voice.
    Model,
    /// The child's own, out of the recording.
    Own,
    /// The sound in the model voice once more.
    ModelAgain,
    /// The other sound in the model voice.
    Other,
}

/// A question that is open over the lesson.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum OpenQuestion {
    /// Which file is to be brought in.
    File,
    /// Which microphone.
    Device,
    /// Whether it is the grown-up who records a model of the word.
    Model,
    /// Whether the lesson is to be left, and how.
    Leave,
    /// Whether the lesson is to end although something of it is not in the notebook.
    Unkept,
}

/// A line under the record button.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Notice {
    /// What there is to say.
    pub text: String,
    /// Whether something failed, rather than wants care.
    pub failed: bool,
}

/// What is being done with a recording.
#[derive(Default)]
enum Busy {
    #[default]
    Free,
    /// The ear listens to it. `kept` is where it is kept already, if it comes from the notebook.
    Listening {
        take: Box<Take>,
        /// How it was to be said, and whether help came before it.
        said: (Speaking, Option<Cued>),
        kept: Option<TryKept>,
        answer: Later<Listened>,
    },
    /// It is being written to the notebook.
    Writing(PendingAttempt),
    /// It is being fetched from there.
    Fetching(Id, Later<Result<Option<Recording>>>),
}

/// A lesson that can begin.
struct Ready {
    lesson: Lesson,
    models: Models,
    /// The draft that it goes on from.
    draft: Option<LessonDraft>,
    /// What people should know of it.
    said: Option<String>,
}

impl Ready {
    fn new(lesson: Lesson) -> Ready {
        Ready {
            lesson,
            models: Models::default(),
            draft: None,
            said: None,
        }
    }
}

/// The lesson, and what is before and around it.
#[derive(Default)]
pub struct LessonSession {
    /// Who was in hand last, asked once; and who the notebook knows to be in hand.
    last_in_hand: Option<Later<Result<Option<Learner>>>>,
    asked_in_hand: bool,
    in_hand: Option<Id>,
    lesson: Option<Lesson>,
    plan: Option<Plan>,
    /// Words or a plan on their way to become a lesson, and what was wrong with the last.
    words: Option<Later<std::result::Result<Ready, String>>>,
    words_fault: Option<String>,
    /// The words that were read last, as they were typed.
    doubted: Option<String>,
    /// The learner whose broken-off lesson was asked for, the answer on its way, and what it was.
    drafts_of: Option<Id>,
    asked_draft: Option<Later<Result<Option<LessonDraft>>>>,
    draft: Option<LessonDraft>,
    /// Words of the lesson under way that were recorded before it was broken off, by number.
    said_before: BTreeSet<usize>,
    /// Whether what is for the grown-up is shown.
    grown_up: bool,
    recorder: Recorder,
    /// The parent's recordings of the words, and whether one is being made.
    models: Models,
    modelling: bool,
    keeping_model: Option<Later<std::result::Result<(), String>>>,
    listener: Option<EarThread>,
    busy: Busy,
    keeper: LessonKeeper,
    /// Lessons that are over, until the notebook has all of them.
    finishing: Vec<LessonKeeper>,
    /// What was noted of the learner's sounds.
    notes: Latest<Vec<Note>, NotebookError>,
    /// The end of the lesson that is over, and what the notebook says was there before it.
    ending: Option<LessonEnding>,
    asked_before: Option<Later<Result<BeadString>>>,
    question: Option<OpenQuestion>,
    question_fault: Option<String>,
    reading: Option<Later<std::result::Result<Recording, String>>>,
    looking: Option<Receiver<std::result::Result<Vec<Device>, MicFault>>>,
    devices: Option<std::result::Result<Vec<Device>, MicFault>>,
    sounding: Option<Sounding>,
    voice: WordVoice,
    /// The sound that is looked at closely, the number of its recording, and what was heard of it last.
    close_up: Option<(usize, u64, Option<CloseUpVoice>)>,
    no_sound: Option<String>,
    notice: Option<Notice>,
    news: Vec<News>,
}

impl crate::bench::BenchedSession for LessonSession {
    type Intent = Intent;

    fn want(&mut self, at: &mut Equipment, intent: Intent) {
        self.apply(at, intent);
    }

    fn take_in(&mut self, at: &mut Equipment) {
        self.poll(at);
    }
}

impl LessonSession {
    /// Does what a person wants. What takes long goes on elsewhere; [`LessonSession::poll`] takes it in.
    pub fn apply(&mut self, at: &mut Equipment, intent: Intent) {
        match intent {
            Intent::Start(text) => self.read_words(at, text),
            Intent::Plan(plan) => self.planned(at, *plan),
            Intent::StartPlan => self.read_plan(at),
            Intent::Resume => self.resume(at),
            Intent::DropDraft => self.drop_draft(at),
            Intent::Beads(count) => self.with(|lesson| lesson.set_beads(count)),
            Intent::Say(way) => self.with(|lesson| lesson.ask_for(way)),
            Intent::Record => self.record(at, false),
            Intent::RecordModel => {
                self.question = None;
                self.record(at, true);
            }
            Intent::HearModel(speaking) => self.hear_model(at, speaking),
            Intent::HearBefore => self.hear_before(at),
            Intent::Stop | Intent::Away => self.stop(at),
            Intent::Cancel => self.cancel(),
            Intent::Again => self.again(at),
            Intent::Play(speed) => self.play(at, None, speed),
            Intent::Hear(first, last) => self.play(at, Some((first, last)), 1.0),
            Intent::CloseUp(which) => self.look_closely(at, which),
            Intent::HearClose(what) => self.hear_close(at, what),
            Intent::Silence => self.silence(at),
            Intent::Rule(verdict) => {
                let by = *at.author;
                self.with(|lesson| lesson.rule(verdict.map(|verdict| (verdict, by))));
            }
            Intent::Point(bead, earlier) => self.with(|lesson| lesson.point(bead, earlier)),
            Intent::Write(letter_box, text) => self.with(|lesson| lesson.write(letter_box, text)),
            Intent::Show => self.with(Lesson::show),
            Intent::GoOn => self.go_on(at),
            Intent::Skip => self.skip(at),
            Intent::Undo => self.undo(at),
            Intent::LettersBack => self.with(Lesson::take_letters_back),
            Intent::LettersAgain => self.with(Lesson::bring_letters_again),
            Intent::GrownUp(shown) => self.grown_up = shown,
            Intent::Ask(question) => self.ask(at, question),
            Intent::BringIn(path) => self.bring_in(at, path),
            Intent::Device(device) => self.use_device(at, device),
            Intent::SpeakFrom(path) => self.speak_from(at, path),
            Intent::RealMicrophones => self.real_microphones(at),
            Intent::SaveAgain => self.save_again(at),
            Intent::End => self.end(at, false),
            Intent::EndAnyway => self.end(at, true),
            Intent::Pause => self.pause(at),
            Intent::Besides(done) => {
                if let Some(ending) = &mut self.ending {
                    ending.add(done);
                }
            }
            Intent::EndOfPart(done) => match &mut self.ending {
                Some(ending) => ending.add(done),
                None => self.ending = Some(LessonEnding::of_part(done)),
            },
            Intent::Close => self.ending = None,
        }
        self.keeper.poll(at.notebook, self.lesson.as_ref());
    }

    fn with(&mut self, act: impl FnOnce(&mut Lesson)) {
        if self.free()
            && let Some(lesson) = &mut self.lesson
        {
            act(lesson);
        }
    }

    fn go_on(&mut self, at: &mut Equipment) {
        if self.lesson.as_ref().is_some_and(|l| l.next() == Next::End) {
            self.end(at, false);
            return;
        }
        self.silence(at);
        let mut went = false;
        self.with(|lesson| went = lesson.go_on());
        // What is for the grown-up goes with the step that it was asked for at.
        self.grown_up &= !went;
    }

    fn skip(&mut self, at: &mut Equipment) {
        self.silence(at);
        let last = |l: &Lesson| l.step() == WordStep::Letters && l.at() + 1 == l.words().len();
        if self.lesson.as_ref().is_some_and(last) {
            // Behind the last word comes the end.
            return self.end(at, false);
        }
        self.with(Lesson::skip);
        self.grown_up = false;
    }

    fn undo(&mut self, at: &mut Equipment) {
        self.silence(at);
        if !self.free() {
            return;
        }
        if let Some(undone) = self.lesson.as_mut().and_then(Lesson::undo) {
            self.keeper.undone(at.notebook, &undone);
        }
    }

    /// The lesson, while there is one.
    pub fn lesson(&self) -> Option<&Lesson> {
        self.lesson.as_ref()
    }

    /// Takes the plan in hand, without starting it.
    pub fn hold_plan(&mut self, plan: Option<Plan>) {
        self.plan = plan;
    }

    /// The plan in hand.
    pub fn plan(&self) -> Option<&Plan> {
        self.plan.as_ref()
    }

    /// The end of the lesson that is over, until it was looked at.
    pub fn ending(&self) -> Option<&LessonEnding> {
        self.ending.as_ref().filter(|_| self.lesson.is_none())
    }

    /// A lesson that was broken off.
    pub fn draft(&self) -> Option<&LessonDraft> {
        self.draft.as_ref().filter(|_| self.lesson.is_none())
    }

    /// What is being made into a lesson, as people read it.
    pub fn coming(&self) -> Option<&'static str> {
        self.words.as_ref().map(Later::name)
    }

    /// What was wrong with the words that were to become a lesson.
    pub fn words_fault(&self) -> Option<&str> {
        self.words_fault.as_deref()
    }

    /// Whether what is for the grown-up is shown.
    pub fn grown_up(&self) -> bool {
        self.grown_up
    }

    /// The recorder: its stage, its level.
    pub fn recorder(&self) -> &Recorder {
        &self.recorder
    }

    /// Whether there is a model of the word in hand.
    pub fn has_model(&self) -> bool {
        let word = self.lesson.as_ref().map(|l| &l.word().spelling);
        word.is_some_and(|word| self.models.contains_key(word))
    }

    /// Whether the model is what is being recorded.
    pub fn modelling(&self) -> bool {
        self.modelling
    }

    /// The latest open note on a sound that the word in hand has, for the grown-up.
    pub fn noted(&self) -> Option<&Note> {
        let word = self.lesson.as_ref()?.word();
        let open = self.notes.value.iter().flatten().filter(|n| !n.body.is_settled());
        let mut fits = open.filter(|n| matches!(n.on, NoteSubject::Sound(sound) if word.sounds.contains(&sound)));
        fits.next()
    }

    /// Whether nothing is being done with a recording, so that the lesson can go on.
    pub fn free(&self) -> bool {
        matches!(self.busy, Busy::Free) && self.reading.is_none()
    }

    /// What is being done with a recording, and whether it can be let go.
    pub fn work(&self) -> Option<(&'static str, bool)> {
        match &self.busy {
            Busy::Listening { .. } => Some(("Listening to the recording", true)),
            // What is being written is written.
            Busy::Writing(_) => Some(("Writing it into the notebook", false)),
            Busy::Fetching(..) => Some(("Fetching the recording", true)),
            Busy::Free => self.reading.as_ref().map(|reading| (reading.name(), true)),
        }
    }

    /// The question that is open, and what was wrong with the last answer to it.
    pub fn question(&self) -> Option<(OpenQuestion, Option<&str>)> {
        self.question.map(|question| (question, self.question_fault.as_deref()))
    }

    /// The microphones that there are, once they are known.
    pub fn devices(&self) -> Option<&std::result::Result<Vec<Device>, MicFault>> {
        self.devices.as_ref()
    }

    /// Whether the recording or the model is being played.
    pub fn plays(&self, at: &Equipment) -> bool {
        self.voice.speaks() || self.sounding.is_some_and(|s| at.playback.plays(s))
    }

    /// The counted sound of the word in hand that the model voice says just now, from 0; none while the count is open.
    pub fn model_says(&self, at: &Equipment) -> Option<usize> {
        let settled = self.lesson.as_ref().is_some_and(|l| l.work().count.settled());
        self.voice.counted_now(at).filter(|_| settled)
    }

    /// Where in the child's recording it is playing, in seconds.
    pub fn playing_s(&self, at: &Equipment) -> Option<f32> {
        self.sounding.and_then(|s| at.playback.position_s(s))
    }

    /// The sound that is looked at closely, and what was heard of it last.
    pub fn close_up(&self) -> Option<(CloseUp, Option<CloseUpVoice>)> {
        let (at, number, last) = self.close_up?;
        let lesson = self.lesson.as_ref().filter(|l| l.step() == WordStep::Look)?;
        let latest = lesson.work().latest.as_ref().filter(|latest| latest.number == number)?;
        Some((CloseUp::of(latest.judgement()?, at)?, last))
    }

    /// Why nothing can be played.
    pub fn no_sound(&self) -> Option<&str> {
        self.no_sound.as_deref().or(self.voice.fault())
    }

    /// What there is to say under the record button.
    pub fn notice(&self) -> Option<&Notice> {
        self.notice.as_ref()
    }

    /// Why something of this lesson is not in the notebook, while that is so.
    pub fn unkept(&self) -> Option<&str> {
        let failed = |lesson: &Lesson| {
            let mut latest = lesson.works().iter().filter_map(|w| w.latest.as_ref());
            latest.any(|l| matches!(l.kept, TryKept::Failed(_)))
        };
        let keepers = std::iter::once(&self.keeper).chain(&self.finishing);
        match keepers.into_iter().find_map(LessonKeeper::fault) {
            None if self.lesson.as_ref().is_some_and(failed) => Some("a recording could not be written"),
            fault => fault,
        }
    }

    /// The lines that came up since this was asked last.
    pub fn news(&mut self) -> Vec<News> {
        std::mem::take(&mut self.news)
    }
}
