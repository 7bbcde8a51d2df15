//! Sound in and sound out: capture and playback, each behind one trait.
//!
//! [`Microphone`] and [`Player`] are what the window knows. Each has two makers: the machine's own devices
//! ([`device::Devices`], [`speaker::Speaker`]) and a twin made of files ([`spoken::SpokenFiles`], [`spoken::KeepingPlayer`]), with
//! which a recorded word is played as if it were spoken: to rehearse a lesson where there is no microphone, and in tests.
//!
//! ```
//! use soundbead::mic::{Capture, Flow, Microphone, spoken::{Pace, SpokenFiles}};
//! use std::time::Duration;
//!
//! // Each reading brings a fifth of a second of the room, then of the file, then of the room again.
//! let goat = "../recordings-demo/01-goat.wav".into();
//! let mut mic = SpokenFiles::new(vec![goat]).paced(Pace::EachRead(Duration::from_millis(200)));
//! let mut capture = mic.open(None);
//! let mut heard = Vec::new();
//! for _ in 0..10 {
//!     assert!(matches!(capture.read(&mut heard), Flow::Running(_)));
//! }
//! assert_eq!(heard.len(), 32_000); // two seconds at the file's own 16 kHz
//! ```
//!
//! Nothing here waits: a device is opened on a thread of its own, and what goes wrong is told by the next reading. What
//! had arrived before is never lost. The audio callbacks take no lock and allocate nothing; samples cross to the window
//! through a ring buffer (the `rtrb` crate).

use std::fmt;
use std::sync::mpsc::Receiver;

pub mod device;
pub mod feed;
pub mod meter;
pub mod speaker;
pub mod spoken;

/// Something that can be listened to.
pub trait Microphone {
    /// Looks for what can be chosen; the answer comes when it is known, since some systems take a second to tell.
    fn look(&self) -> Receiver<Result<Vec<Device>, MicFault>>;

    /// Begins to listen to the device of that id, or to the system's choice. Never waits: faults come with
    /// [`Capture::read`].
    fn open(&mut self, device: Option<&str>) -> Box<dyn Capture>;
}

/// One listening, from when it was opened until it is dropped.
pub trait Capture {
    /// Appends all frames that arrived since the last reading to `into`: samples from -1 to 1, channels interleaved.
    fn read(&mut self, into: &mut Vec<f32>) -> Flow;

    /// Frames that came faster than they were read and are lost.
    fn missed(&self) -> u64 {
        0
    }
}

/// How a listening goes.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Flow {
    /// The device is not ready yet.
    Opening,
    /// It is, and sends sound of this format.
    Running(StreamFormat),
    /// It will send no more. All that it sent has been read.
    Lost(MicFault),
}

/// The shape of a stream of samples.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct StreamFormat {
    /// Frames a second.
    pub rate: u32,
    /// Samples in a frame.
    pub channels: u16,
    /// Depth of the device's samples where they are whole numbers, in bits.
    pub bits: Option<u32>,
}

/// A device that can be chosen.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Device {
    /// What [`Microphone::open`] knows it by.
    pub id: String,
    /// What the system calls it, for people.
    pub name: String,
}

/// Something that sound can be played on. One sound at a time.
pub trait Player {
    /// Plays mono samples at 16 kHz ([`soundbead_dsp::audio::RATE`]) once. What was playing stops. Never waits.
    fn play(&mut self, samples: &[f32]);

    /// Stops what is playing.
    fn stop(&mut self);

    /// How far it is. Also how faults are told; a fault stays until the next [`Player::play`].
    fn playing(&mut self) -> Playing;
}

/// What a player is doing.
#[derive(Clone, Debug, PartialEq)]
pub enum Playing {
    /// Nothing: no sound was given, or it has ended.
    Nothing,
    /// Seconds played of the sound; 0 while the device is being opened.
    At(f32),
    /// It could not be played.
    Failed(MicFault),
}

/// Why there is no sound, in words for people.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum MicFault {
    /// The machine has no microphone.
    NoMicrophone,
    /// The machine has no loudspeaker.
    NoSpeaker,
    /// The chosen device is not there (any more); its name.
    NotThere(String),
    /// Another program has the device.
    Busy,
    /// The system does not let this program listen.
    Refused,
    /// The device went away while it was in use.
    Unplugged,
    /// The device is there but has sent nothing for two seconds.
    Silent,
    /// The device has no format that can be read; which it offers.
    Format(String),
    /// A file that was to be played as if spoken cannot be read; the decoder's line.
    File(String),
    /// Anything else; the system's own words.
    Other(String),
}

/// The environment variable that names a file, or a folder of files, to be played as if spoken.
pub const VARIABLE: &str = "SOUNDBEAD_MIC";

/// The machine's microphones, or the files that [`VARIABLE`] names.
///
/// # Errors
/// When it names something that cannot be played.
pub fn from_environment() -> Result<Box<dyn Microphone>, MicFault> {
    match std::env::var_os(VARIABLE).filter(|v| !v.is_empty()) {
        Some(path) => Ok(Box::new(spoken::SpokenFiles::from_path(path.as_ref())?)),
        None => Ok(Box::new(device::Devices)),
    }
}

impl fmt::Display for MicFault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            MicFault::NoMicrophone => f.write_str("No microphone was found. Plug one in, or bring in a recording."),
            MicFault::NoSpeaker => f.write_str("No loudspeaker was found. Plug one in to hear the sound."),
            MicFault::NotThere(name) => write!(f, "\"{name}\" is not there. Plug it in, or choose another."),
            MicFault::Busy => f.write_str("Another program is using the device. Close it there, then try again."),
            MicFault::Refused => {
                f.write_str("The system does not let Soundbead listen. Allow the microphone in the system's settings.")
            }
            MicFault::Unplugged => f.write_str("The device went away. Plug it in again, then try again."),
            MicFault::Silent => f.write_str("The device stopped sending sound. Unplug it and plug it in again."),
            MicFault::Format(offered) => {
                write!(
                    f,
                    "The device's sound cannot be read ({offered}). Choose another device."
                )
            }
            MicFault::File(line) => f.write_str(line),
            MicFault::Other(words) => write!(
                f,
                "The sound system had a fault ({words}). Try again, or choose another device."
            ),
        }
    }
}

impl std::error::Error for MicFault {}
