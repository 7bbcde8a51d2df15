//! The Drill view: a lesson, word by word.
//!
//! What is drawn is a [`Scene`]; what people do comes back as [`Intent`]s, which `act` carries out. Files, the ear and
//! the notebook are on threads of their own: `poll` takes in what they have to say.

mod act;
mod beads;
mod bring;
mod frame;
mod keep;
mod keys;
mod letters;
mod look;
mod picture;
mod poll;
mod record;
mod start;
mod which;

use egui::Ui;
use soundbead_dsp::judgement::{Speaking, Verdict};

use super::jobs::Job;
use super::parts::Tone;
use super::shared::Shared;
use crate::drill::draft::Draft;
use crate::drill::listen::Listener;
use crate::drill::model::Models;
use crate::drill::{Kept, Lesson, Step};
use crate::notebook::{Answer, Id};
use crate::plan::Plan;
use crate::recorder::{Recorder, Stage, Take};

/// What a person does.
#[derive(Clone, Debug, PartialEq)]
enum Intent {
    /// Start a lesson of these words.
    Start(String),
    /// Start the plan in hand.
    StartPlan,
    /// Go on with the lesson that was broken off, or forget it.
    Resume,
    DropDraft,
    /// So many beads.
    Beads(usize),
    /// How the word is to be said.
    Say(Speaking),
    Record,
    /// Record the parent's own voice as the model; play it.
    RecordModel,
    HearModel,
    Stop,
    Cancel,
    /// Say the word once more.
    Again,
    /// Play the recording at a speed, or one of its sounds, or stop.
    Play(f32),
    Hear(usize),
    Silence,
    Rule(Option<Verdict>),
    /// This bead changed; whether it is on the earlier word's string.
    Point(usize, bool),
    Write(usize, String),
    Check,
    ShowLetters,
    GoOn,
    Undo,
    ChildView,
    /// Bring a file in; choose a microphone.
    Import,
    Devices,
    End,
}

/// What is drawn.
struct Scene<'a> {
    lesson: &'a Lesson,
    recorder: &'a Recorder,
    /// Whether numbers and notes are hidden.
    child: bool,
    /// Whether there is a model of the word.
    model: bool,
    /// Whether the model is what is being recorded.
    modelling: bool,
    /// Where in the recording it is playing, in seconds.
    playing_s: Option<f32>,
    /// Why nothing can be played.
    no_sound: Option<&'a str>,
    /// What there is to say under the record button.
    line: Option<&'a (Tone, String)>,
}

/// What is being done with a recording.
#[derive(Default)]
enum Busy {
    #[default]
    Free,
    /// The ear listens to it. `kept` is where it is kept already, if it comes from the notebook.
    Listening {
        take: Box<Take>,
        speaking: Speaking,
        kept: Option<Kept>,
    },
    /// It is being written to the notebook.
    Writing(keep::Writing),
    /// It is being fetched from there.
    Fetching(Id, Answer<Option<soundbead_dsp::audio::Recording>>),
}

/// A lesson that can begin.
struct Ready {
    lesson: Lesson,
    models: Models,
    /// The notebook's session that goes on.
    session: Option<Id>,
    /// The attempt whose recording was being looked at when it was broken off.
    looked_at: Option<Id>,
}

/// A stretch of the recording that is being played.
struct Playing {
    from_s: f32,
    speed: f32,
}

/// The lesson.
#[derive(Default)]
pub struct DrillView {
    start: start::Start,
    lesson: Option<Lesson>,
    child: bool,
    recorder: Recorder,
    /// The parent's recordings of the words, and whether one is being made.
    models: Models,
    modelling: bool,
    keeping_model: Option<Job<Result<(), String>>>,
    listener: Option<Listener>,
    busy: Busy,
    keeper: keep::Keeper,
    /// The learner whose broken-off lesson was asked for, and the answer on its way.
    drafts: Option<Id>,
    draft: Option<Answer<Option<Draft>>>,
    /// The plan that was brought last.
    plan: Option<Plan>,
    words: Option<Job<Result<Ready, String>>>,
    bring: bring::Bring,
    cache: picture::Cache,
    playing: Option<Playing>,
    no_sound: Option<String>,
    line: Option<(Tone, String)>,
    /// The word and step that were shown last, to know when they change.
    shown: Option<(usize, Step)>,
    /// When it was shown last, in the window's seconds.
    seen: f64,
    /// Whether there is news for the notebook.
    news: bool,
}

impl DrillView {
    /// Shows it.
    pub fn show(&mut self, ui: &mut Ui, shared: &mut Shared) {
        let mut out = Vec::new();
        self.poll(ui, shared);
        self.keys(ui, shared, &mut out);
        if self.lesson.is_some() {
            self.lesson(ui, shared, &mut out);
        } else {
            self.begin(ui, shared, &mut out);
        }
        self.bring.show(ui, shared, &mut self.recorder);
        for intent in out {
            self.act(ui, shared, intent);
        }
        if std::mem::take(&mut self.news)
            && let Some(lesson) = &self.lesson
        {
            self.keeper.tell(shared, lesson);
        }
    }

    fn begin(&mut self, ui: &mut Ui, shared: &mut Shared, out: &mut Vec<Intent>) {
        if let Some(job) = &self.words {
            job.show(ui);
        }
        self.start.show(ui, shared, self.plan.as_ref(), out);
    }

    fn lesson(&mut self, ui: &mut Ui, shared: &mut Shared, out: &mut Vec<Intent>) {
        let Some(lesson) = &self.lesson else { return };
        let now = (lesson.at(), lesson.step());
        let fresh = self.shown.replace(now) != Some(now);
        let playing_s = self.playing_s(shared);
        let scene = Scene {
            lesson,
            recorder: &self.recorder,
            child: self.child,
            model: self.models.contains_key(&lesson.word().spelling),
            modelling: self.modelling,
            playing_s,
            no_sound: self.no_sound.as_deref(),
            line: self.line.as_ref(),
        };
        frame::top(ui, &scene, out);
        frame::foot(ui, &scene, self.busy.free(), out);
        let busy = &self.busy;
        let (cache, bring) = (&mut self.cache, &self.bring);
        egui::ScrollArea::vertical().auto_shrink([false, false]).show(ui, |ui| {
            if busy.free() && !bring.reading() {
                frame::step(ui, &scene, cache, fresh, out);
            } else {
                frame::working(ui, &scene, busy, out);
            }
        });
    }
}

impl Busy {
    fn free(&self) -> bool {
        matches!(self, Busy::Free)
    }
}
