//! Records one word: listens to the room, waits for a voice, and stops when it has ended.
//!
//! A state machine that knows no window: something calls [`Recorder::poll`] some sixty times a second and shows
//! [`Recorder::stage`]. All times are counted in sound, not by a clock, so that a file played as if spoken
//! ([`crate::mic::spoken::SpokenFiles`]) goes through exactly what a child's voice does.
//!
//! ```
//! use std::time::Duration;
//! use soundbead::{mic::spoken::{Pace, SpokenFiles}, recorder::{RecordingOutcome, Recorder}};
//! use soundbead_dsp::judgement::Speaking;
//!
//! let goat = SpokenFiles::new(vec!["../recordings-demo/01-goat.wav".into()]);
//! let mut mic = goat.paced(Pace::EachRead(Duration::from_millis(16)));
//! let mut recorder = Recorder::default();
//! recorder.start(&mut mic, None, Speaking::Whole);
//! let outcome = loop {
//!     if let Some(outcome) = recorder.poll() { break outcome }
//! };
//! let RecordingOutcome::Take(take) = outcome else { panic!("{outcome:?}") };
//! assert!(take.notes().is_empty() && take.recording.clip.seconds() < 3.0);
//! ```

use soundbead_dsp::audio::Recording;
use soundbead_dsp::judgement::Speaking;
use soundbead_dsp::voice;

use crate::mic::meter::Meter;
use crate::mic::{Capture, Flow, MicFault, Microphone, StreamFormat};

mod follow;
mod take;

pub use follow::{BLOCK_S, Follow};
pub use take::{EndedBy, NOISY_ROOM_DBFS, Take};

/// How long the room is listened to before the first word, in seconds.
const CHECK_S: f32 = 0.5;
/// Nothing is taken for a voice so soon after the start, in seconds: the key or button itself is heard.
const GUARD_S: f32 = 0.15;
/// How long a voice is waited for, in seconds.
pub const WAIT_S: f32 = 10.0;
/// A recording that ended by itself with less voice than this was a knock or a cough, in seconds. The shortest words
/// take about 0.2 s (figure from memory).
const SHORTEST_S: f32 = 0.12;
/// What is kept from before the voice was noticed, in seconds. A soft f or s may go before it.
const BEFORE_S: f32 = 0.5;
/// What is kept after the last that was heard, in seconds.
const AFTER_S: f32 = 0.6;
/// Longest recording, in seconds; the ear takes fifteen.
pub const LONGEST_S: f32 = 13.0;

/// How long it must be quiet for the word to have ended, in seconds. Sounds said apart may lie over a second from each
/// other ([`voice::FARTHEST_S`]); within a word, a stop's closure is the longest quiet, about 0.15 s.
fn ending_s(speaking: Speaking) -> f32 {
    match speaking {
        Speaking::Whole | Speaking::Stretched => 0.9,
        Speaking::Separate => voice::FARTHEST_S + 0.3,
    }
}

/// What the recorder is doing.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Stage {
    /// Nothing.
    Idle,
    /// The microphone is being opened.
    Opening,
    /// It listens to the room, before the first word.
    Checking,
    /// It waits for a voice.
    Waiting,
    /// Someone speaks.
    Hearing,
}

/// How a recording came out.
#[derive(Clone, Debug)]
pub enum RecordingOutcome {
    /// Something was recorded.
    Take(Box<Take>),
    /// Nobody spoke, or what was heard was no voice.
    NotHeard,
    /// There is no sound, and nothing had been recorded.
    Fault(MicFault),
}

/// Records words, one at a time.
pub struct Recorder {
    capture: Option<Box<dyn Capture>>,
    stage: Stage,
    speaking: Speaking,
    room_dbfs: Option<f32>,
    now: HeardSoFar,
}

/// What has been heard since the microphone was opened.
#[derive(Default)]
struct HeardSoFar {
    format: Option<StreamFormat>,
    samples: Vec<f32>,
    follow: Follow,
    meter: Meter,
    /// Block in which the voice was noticed.
    onset: Option<usize>,
    /// Blocks before this are not looked at for an onset.
    from: usize,
}

impl Default for Recorder {
    fn default() -> Recorder {
        Recorder {
            capture: None,
            stage: Stage::Idle,
            speaking: Speaking::Whole,
            room_dbfs: None,
            now: HeardSoFar::default(),
        }
    }
}

impl Recorder {
    /// Another microphone, or another place: the room is checked anew before the next word.
    pub fn forget_room(&mut self) {
        self.room_dbfs = None;
    }

    /// What it is doing.
    pub fn stage(&self) -> Stage {
        self.stage
    }

    /// How loud it is.
    pub fn meter(&self) -> &Meter {
        &self.now.meter
    }

    /// Level and peak of every hundredth of a second since the microphone was opened.
    pub fn follow(&self) -> &Follow {
        &self.now.follow
    }

    /// Noise of the room as it was checked, in dBFS.
    pub fn room_dbfs(&self) -> Option<f32> {
        self.room_dbfs
    }

    /// Begins a recording from that device of `mic` (`None`: the system's choice); one that is under way is dropped.
    pub fn start(&mut self, mic: &mut dyn Microphone, device: Option<&str>, speaking: Speaking) {
        self.now = HeardSoFar::default();
        self.speaking = speaking;
        self.capture = Some(mic.open(device));
        self.stage = Stage::Opening;
    }

    /// Drops the recording that is under way.
    pub fn cancel(&mut self) {
        self.capture = None;
        self.stage = Stage::Idle;
    }

    /// Ends the recording now; what was heard until then is kept if there is a voice in it.
    pub fn stop(&mut self) -> Option<RecordingOutcome> {
        self.capture.as_ref()?;
        let outcome = self.poll();
        if outcome.is_some() || self.stage == Stage::Idle {
            return outcome;
        }
        Some(self.finish(EndedBy::ByHand))
    }

    /// Takes in what has arrived; says how the recording came out once it has ended.
    pub fn poll(&mut self) -> Option<RecordingOutcome> {
        let capture = self.capture.as_mut()?;
        let before = self.now.samples.len();
        match capture.read(&mut self.now.samples) {
            Flow::Opening => None,
            Flow::Running(format) => {
                self.now.format = Some(format);
                self.now.hear(before);
                self.step()
            }
            Flow::Lost(fault) => {
                self.now.hear(before);
                Some(self.lost(fault))
            }
        }
    }

    fn step(&mut self) -> Option<RecordingOutcome> {
        let heard_s = self.now.follow.seconds();
        match self.stage {
            Stage::Opening => {
                let first = self.room_dbfs.is_none();
                self.stage = if first { Stage::Checking } else { Stage::Waiting };
                self.now.from = follow::blocks(if first { CHECK_S } else { GUARD_S });
                None
            }
            Stage::Checking if heard_s >= CHECK_S => {
                self.room_dbfs = Some(self.now.follow.middle());
                self.stage = Stage::Waiting;
                self.wait()
            }
            Stage::Waiting => self.wait(),
            Stage::Hearing => self.hear(),
            Stage::Checking | Stage::Idle => None,
        }
    }

    fn wait(&mut self) -> Option<RecordingOutcome> {
        if let Some(onset) = self.now.follow.onset(self.now.from) {
            self.now.onset = Some(onset);
            self.stage = Stage::Hearing;
            return self.hear();
        }
        // Not quite loud enough to be noticed may still be a voice: it is looked for in all that was heard.
        (self.now.follow.seconds() > WAIT_S).then(|| self.finish(EndedBy::NobodySpoke))
    }

    fn hear(&mut self) -> Option<RecordingOutcome> {
        let onset = self.now.onset?;
        let follow = &self.now.follow;
        if follow.len() - onset > follow::blocks(LONGEST_S - BEFORE_S - AFTER_S) {
            return Some(self.finish(EndedBy::Longest));
        }
        if follow.quiet_since(onset) < follow::blocks(ending_s(self.speaking)) {
            return None;
        }
        match self.finish(EndedBy::Quiet) {
            // A cough, a chair: not a voice. Go on waiting, as long as there is patience left.
            RecordingOutcome::NotHeard if self.now.follow.seconds() < WAIT_S => {
                self.now.from = self.now.follow.len();
                self.now.onset = None;
                self.stage = Stage::Waiting;
                None
            }
            outcome => {
                self.cancel();
                Some(outcome)
            }
        }
    }

    fn lost(&mut self, fault: MicFault) -> RecordingOutcome {
        let outcome = match self.now.format {
            Some(_) => self.finish(EndedBy::Lost(fault.clone())),
            None => RecordingOutcome::NotHeard,
        };
        self.cancel();
        match outcome {
            RecordingOutcome::NotHeard => RecordingOutcome::Fault(fault),
            other => other,
        }
    }

    /// Makes a take of what was heard. Closes the microphone unless the word seems to have ended by itself, for then
    /// it may turn out that it was none.
    fn finish(&mut self, ended: EndedBy) -> RecordingOutcome {
        let missed = self.capture.as_ref().map_or(0, |c| c.missed());
        if ended != EndedBy::Quiet {
            self.capture.take();
            self.stage = Stage::Idle;
        }
        let Some(recording) = self.now.cut(&ended) else {
            return RecordingOutcome::NotHeard;
        };
        let voice = voice::find(&recording.clip);
        if voice.word.is_none() {
            return RecordingOutcome::NotHeard;
        }
        let quality = voice::quality(&recording, &voice);
        if ended == EndedBy::Quiet && quality.speech_s < SHORTEST_S {
            return RecordingOutcome::NotHeard;
        }
        RecordingOutcome::Take(Box::new(Take {
            quality,
            recording,
            ended,
            room_dbfs: self.room_dbfs,
            missed,
        }))
    }
}

impl HeardSoFar {
    /// Looks at the samples from `before` on, once it is known what they are.
    fn hear(&mut self, before: usize) {
        let Some(format) = self.format else { return };
        let fresh = &self.samples[before.min(self.samples.len())..];
        let frames = fresh.len() / usize::from(format.channels.max(1));
        self.meter.push(fresh, frames as f32 / format.rate.max(1) as f32);
        self.follow.push(fresh, format);
    }

    /// The part of what was heard that is worth keeping, as a recording.
    fn cut(&self, ended: &EndedBy) -> Option<Recording> {
        let format = self.format?;
        let follow = &self.follow;
        let start = match self.onset {
            Some(onset) => onset.saturating_sub(follow::blocks(BEFORE_S)),
            None => follow.len().saturating_sub(follow::blocks(LONGEST_S)),
        };
        let end = match (ended, self.onset) {
            (EndedBy::Quiet, Some(onset)) => {
                (follow.len() - follow.quiet_since(onset) + follow::blocks(AFTER_S)).min(follow.len())
            }
            _ => usize::MAX, // to the very last sample
        };
        let channels = usize::from(format.channels);
        let frames = self.samples.len() / channels;
        let frame = |block: usize| block.saturating_mul(follow::block_frames(format.rate)).min(frames);
        let wanted = &self.samples[frame(start) * channels..frame(end) * channels];
        let planes: Vec<Vec<f32>> = (0..channels)
            .map(|c| wanted.iter().skip(c).step_by(channels).copied().collect())
            .collect();
        Recording::from_channels(format.rate, &planes, format.bits).ok()
    }
}

#[cfg(test)]
mod tests;
