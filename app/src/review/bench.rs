//! A review with its equipment and no window: for tests, and for programs that lead one.

use std::path::{Path, PathBuf};
use std::time::{Duration, Instant};

use soundbead_data::Rules;

use super::session::{ReviewIntent, ReviewSession};
use crate::equipment::{Equipment, LearnerInHand};
use crate::later::Wake;
use crate::mic::Microphone;
use crate::mic::spoken::{KeepingPlayer, SpokenFiles};
use crate::notebook::{Author, Desk};
use crate::playback::Playback;

/// How long [`ReviewBench::until`] waits before it gives up.
const PATIENCE: Duration = Duration::from_secs(60);

/// A review, a player that keeps what it is given, and a notebook in a folder.
pub struct ReviewBench {
    /// The review.
    pub session: ReviewSession,
    /// The notebook's folder.
    pub folder: PathBuf,
    /// The notebook.
    pub notebook: Desk,
    /// What was played.
    pub played: KeepingPlayer,
    /// Who learns.
    pub learner: Option<LearnerInHand>,
    /// Who sits there.
    pub author: Author,
    mic: Box<dyn Microphone>,
    device: Option<String>,
    playback: Playback,
    rules: Rules,
    wake: Wake,
}

impl ReviewBench {
    /// A bench over the notebook in `folder`, which is made when it is needed.
    pub fn over(folder: &Path) -> ReviewBench {
        let played = KeepingPlayer::default();
        ReviewBench {
            session: ReviewSession::default(),
            folder: folder.to_owned(),
            notebook: Desk::new(folder.to_owned(), Wake::nobody()),
            playback: Playback::on(Box::new(played.clone())),
            played,
            learner: None,
            author: Author::Parent,
            mic: Box::new(SpokenFiles::new(Vec::new())),
            device: None,
            rules: Rules::default(),
            wake: Wake::nobody(),
        }
    }

    /// Lends the equipment to the review.
    fn lend<R>(&mut self, act: impl FnOnce(&mut ReviewSession, &mut Equipment) -> R) -> R {
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
    pub fn apply(&mut self, intent: ReviewIntent) {
        self.lend(|session, at| session.apply(at, intent));
    }

    /// Takes in what came.
    pub fn poll(&mut self) {
        self.lend(ReviewSession::poll);
    }

    /// Polls until `done`.
    ///
    /// # Panics
    /// When that takes longer than a minute.
    pub fn until(&mut self, done: impl Fn(&ReviewSession) -> bool) {
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
