//! Recordings in: any common sound file to mono at 16 kHz.
//!
//! WAV (8 to 32 bit whole numbers, 32 and 64 bit float), FLAC, MP3, Ogg Vorbis and AAC (or lossless ALAC) in MP4, any
//! rate from 8 to 192 kHz, any number of channels up to [`MAX_CHANNELS`] (more than two of them for less time:
//! [`MAX_CHANNEL_SECONDS`]). Several channels are made one as
//! [`mix`] says; the rate is changed as [`Resampler`] says; clipping is looked for before either.
//!
//! ```no_run
//! use soundbead_dsp::audio;
//! let pig = audio::decode("pig.wav".as_ref())?;
//! println!("{:.2} s, clipped: {}", pig.clip.seconds(), pig.clipped);
//!
//! // Many words of one long file: decoded once, cut as often as wanted.
//! let lesson = audio::SourceRecording::open("lesson.flac".as_ref())?;
//! let word = lesson.cut(61.2, 62.0)?;
//! # Ok::<(), audio::AudioError>(())
//! ```

mod clipping;
mod container;
mod error;
mod intake;
pub mod mix;
mod near;
mod quiet;
mod resample;
mod source;

use std::fs::File;
use std::io::Cursor;
use std::ops::Range;
use std::path::Path;

use symphonia::core::io::MediaSource;

pub use error::{AudioError, AudioFault};
pub use mix::Mix;
pub use resample::{MAX_RATE, MIN_RATE, RATE, Resampler, from_16k, to_16k};
pub use source::{Cache, SourceRecording};

/// Longest recording of one word or answer that [`decode`] takes, in seconds.
pub const MAX_SECONDS: f64 = 600.0;
/// Most sound that [`decode`] takes, over all channels, in seconds: [`MAX_SECONDS`] of two channels. The channels are held side
/// by side until they are mixed, 64 kB a second each: 77 MB.
pub const MAX_CHANNEL_SECONDS: f64 = 1_200.0;
/// Longest file that words may be cut out of, in hours times channels: 4 h mono, 2 h stereo.
pub const MAX_SOURCE_CHANNEL_HOURS: f64 = 4.0;
/// Most channels that are read.
pub const MAX_CHANNELS: usize = 32;
/// Shortest recording that can hold a speech sound, in seconds.
pub const MIN_SECONDS: f64 = 0.02;
/// What must be left of a damaged file for it to be used, in seconds.
pub const MIN_BROKEN_SECONDS: f64 = 0.1;

/// Sound: one channel at [`RATE`], full scale at -1 to 1 (a float source may go beyond).
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Clip {
    /// The samples; all finite.
    pub samples: Vec<f32>,
}

impl Clip {
    /// Length in seconds.
    pub fn seconds(&self) -> f64 {
        self.samples.len() as f64 / f64::from(RATE)
    }
}

/// A decoded recording and what is worth knowing of where it came from.
#[derive(Debug, Clone)]
pub struct Recording {
    /// The sound.
    pub clip: Clip,
    /// Samples a second in the file.
    pub source_rate: u32,
    /// Channels in the file.
    pub channels: u16,
    /// Whether any channel was clipped, at the source's own scale.
    pub clipped: bool,
    /// Where, as ranges of `clip.samples`, in order.
    pub clipped_at: Vec<Range<usize>>,
    /// Whether the file was damaged or ended early, so that sound is missing.
    pub truncated: bool,
    /// How the channels were made one.
    pub mix: Mix,
    /// Name of the container: WAV, FLAC, MP3, Ogg, MP4, AAC.
    pub container: &'static str,
}

impl Recording {
    /// A recording made of samples already at [`RATE`], as from a microphone or a synthesiser.
    ///
    /// Clipping is looked for at 16 bits.
    ///
    /// # Errors
    /// When there are no samples, fewer than [`MIN_SECONDS`] of them, or some that are not finite.
    pub fn from_samples(samples: Vec<f32>) -> Result<Recording, AudioFault> {
        let mut intake = intake::Intake::new(RATE, 1, None, false, f64::INFINITY)?;
        intake.take(&[samples])?;
        intake.finish("samples", false)
    }

    /// A recording made of the channels of a microphone at `rate` Hz, [`MIN_RATE`] to [`MAX_RATE`]; `bits` is the depth of its samples where they are whole numbers. They are mixed,
    /// resampled and looked through for clipping as a file's are.
    ///
    /// Channels of unequal length are cut to the shortest.
    ///
    /// # Errors
    /// As for a file of such sound: a rate or a number of channels that is not read, no samples, or some that are not finite.
    pub fn from_channels(rate: u32, channels: &[Vec<f32>], bits: Option<u32>) -> Result<Recording, AudioFault> {
        let mut intake = intake::Intake::new(rate, channels.len(), bits, false, f64::INFINITY)?;
        intake.take(channels)?;
        intake.finish("samples", false)
    }
}

/// Reads and decodes a recording of at most [`MAX_SECONDS`].
///
/// A file cut short is used if at least [`MIN_BROKEN_SECONDS`] of it can be read, with `truncated` set. A file that is too
/// long is refused without decoding the whole of it.
///
/// # Errors
/// When there is no such file, or none that can be opened; when it is no sound, of a kind that is not read, broken, too long
/// or too short. The error names the file, what is wrong and what to do.
pub fn decode(path: &Path) -> Result<Recording, AudioError> {
    let name = || path.display().to_string();
    let file = open(path).map_err(|f| f.in_file(name()))?;
    read(Box::new(file), &extension(path), most_seconds).map_err(|f| f.in_file(name()))
}

/// As [`decode`], from bytes in memory. `hint` is a file extension such as `"wav"`, or empty.
///
/// # Errors
/// As [`decode`]; the file is called `recording`.
pub fn decode_bytes(bytes: Vec<u8>, hint: &str) -> Result<Recording, AudioError> {
    read(Box::new(Cursor::new(bytes)), hint, most_seconds).map_err(|f| f.in_file("recording"))
}

/// How long a recording of so many channels may be, in seconds.
fn most_seconds(channels: usize) -> f64 {
    MAX_SECONDS.min(MAX_CHANNEL_SECONDS / channels.max(1) as f64)
}

fn extension(path: &Path) -> String {
    path.extension()
        .map(|e| e.to_string_lossy().to_lowercase())
        .unwrap_or_default()
}

fn open(path: &Path) -> Result<File, AudioFault> {
    let about = std::fs::metadata(path).map_err(|e| match e.kind() {
        std::io::ErrorKind::NotFound => AudioFault::Missing,
        _ => AudioFault::Unreadable(e.to_string()),
    })?;
    if about.is_dir() {
        return Err(AudioFault::Folder);
    }
    if !about.is_file() {
        return Err(AudioFault::NotAFile);
    }
    File::open(path).map_err(|e| AudioFault::Unreadable(e.to_string()))
}

/// Decodes a source whose longest length, given its channels, is `limit` seconds.
fn read(source: Box<dyn MediaSource>, hint: &str, limit: impl Fn(usize) -> f64) -> Result<Recording, AudioFault> {
    // The decoding library is written not to panic, and damaged files are found that make it panic all the same. That is a
    // fault of the file, and no reason to lose a batch.
    quiet::catch(|| read_plain(source, hint, &limit)).unwrap_or_else(|| {
        Err(AudioFault::Header(
            "sound",
            "its data make no sense to the decoder".into(),
        ))
    })
}

fn read_plain(source: Box<dyn MediaSource>, hint: &str, limit: &dyn Fn(usize) -> f64) -> Result<Recording, AudioFault> {
    let mut reader = container::SoundReader::open(source, hint)?;
    let header = reader.header.clone();
    if let (Some(frames), Some(rate)) = (header.frames, header.rate) {
        let channels = header.channels.max(1);
        let (seconds, most) = (frames as f64 / f64::from(rate.max(1)), limit(channels));
        if seconds > most {
            return Err(too_long(Some(seconds), channels, most, limit(1)));
        }
    }
    let mut intake: Option<intake::Intake> = None;
    while let Some((rate, planes)) = reader.next() {
        let taking = match &mut intake {
            Some(i) => i,
            None => {
                let most = limit(planes.len());
                intake.insert(intake::Intake::new(
                    rate,
                    planes.len(),
                    header.bits,
                    header.lossy,
                    most,
                )?)
            }
        };
        if !taking.fits(rate, planes.len()) {
            // Chained streams may change shape midway; what came before is kept.
            reader.broken = true;
            break;
        }
        if !taking.take(planes)? {
            return Err(too_long(None, planes.len(), limit(planes.len()), limit(1)));
        }
    }
    let Some(intake) = intake else {
        let promised = header.frames.is_some_and(|n| n > 0);
        return Err(if reader.broken || promised {
            AudioFault::Truncated(0.0)
        } else {
            AudioFault::NoSamples
        });
    };
    let short = header.frames.is_some_and(|n| intake.frames() + slack(&header) < n);
    intake.finish(header.kind, reader.broken || short)
}

/// That a recording is too long: by itself, or only because of its many channels.
fn too_long(seconds: Option<f64>, channels: usize, most: f64, most_of_one: f64) -> AudioFault {
    if most < most_of_one {
        AudioFault::TooManyLong(channels, most)
    } else {
        AudioFault::TooLong(seconds, most)
    }
}

/// Frames by which a sound file may fall short of its header's promise: lossy coders pad, and say so loosely.
fn slack(header: &container::Header) -> u64 {
    if header.lossy { 4_800 } else { 0 }
}
