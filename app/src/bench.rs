//! A session with its equipment and no window: for tests, and for programs that lead one.

use std::path::{Path, PathBuf};
use std::time::{Duration, Instant};

use soundbead_data::Rules;

use crate::equipment::{Equipment, LearnerInHand};
use crate::later::Wake;
use crate::mic::Microphone;
use crate::mic::spoken::{KeepingPlayer, SpokenFiles};
use crate::notebook::{Author, Desk};
use crate::playback::Playback;

/// How long [`SessionBench::until`] waits before it gives up.
const PATIENCE: Duration = Duration::from_secs(60);

/// A machine without a window: what people want goes in, what came is taken in.
pub trait BenchedSession: Default {
    /// What a person wants.
    type Intent;

    /// Does what a person wants.
    fn want(&mut self, at: &mut Equipment, intent: Self::Intent);

    /// Takes in what came.
    fn take_in(&mut self, at: &mut Equipment);
}

/// A session, a microphone, a player that keeps what it is given, and a notebook in a folder.
pub struct SessionBench<S> {
    /// The session.
    pub session: S,
    /// The notebook's folder.
    pub folder: PathBuf,
    /// The notebook.
    pub notebook: Desk,
    /// What is recorded from; silent until [`SessionBench::hearing`] is given another.
    pub mic: Box<dyn Microphone>,
    /// The chosen device.
    pub device: Option<String>,
    /// What sounds are played on.
    pub playback: Playback,
    /// What was played.
    pub played: KeepingPlayer,
    /// Who learns.
    pub learner: Option<LearnerInHand>,
    /// Who sits there.
    pub author: Author,
    /// The counting rules.
    pub rules: Rules,
    wake: Wake,
}

impl<S: BenchedSession> SessionBench<S> {
    /// A bench over the notebook in `folder`, which is made when it is needed.
    pub fn over(folder: &Path) -> SessionBench<S> {
        let played = KeepingPlayer::default();
        SessionBench {
            session: S::default(),
            folder: folder.to_owned(),
            notebook: Desk::new(folder.to_owned(), Wake::nobody()),
            mic: Box::new(SpokenFiles::new(Vec::new())),
            device: None,
            playback: Playback::on(Box::new(played.clone())),
            played,
            learner: None,
            author: Author::Parent,
            rules: Rules::default(),
            wake: Wake::nobody(),
        }
    }

    /// The same with this microphone.
    #[must_use]
    pub fn hearing(mut self, mic: impl Microphone + 'static) -> SessionBench<S> {
        self.mic = Box::new(mic);
        self
    }

    /// Lends the equipment to the session.
    pub(crate) fn lend<R>(&mut self, act: impl FnOnce(&mut S, &mut Equipment) -> R) -> R {
        let mut equipment = Equipment {
            folder: &self.folder,
            notebook: &self.notebook,
            mic: &mut self.mic,
            device: &mut self.device,
            playback: &mut self.playback,
            learner: &mut self.learner,
            author: &mut self.author,
            rules: &self.rules,
            wake: &self.wake,
        };
        act(&mut self.session, &mut equipment)
    }

    /// Does what a person wants.
    pub fn apply(&mut self, intent: S::Intent) {
        self.lend(|session, at| session.want(at, intent));
    }

    /// Takes in what came.
    pub fn poll(&mut self) {
        self.lend(S::take_in);
    }

    /// Polls until `done`.
    ///
    /// # Panics
    /// When that takes longer than a minute.
    pub fn until(&mut self, done: impl Fn(&S) -> bool) {
        let end = Instant::now() + PATIENCE;
        loop {
            self.poll();
            if done(&self.session) {
                return;
            }
            assert!(Instant::now() < end, "waited in vain");
            std::thread::sleep(Duration::from_millis(1));
        }
    }
}
