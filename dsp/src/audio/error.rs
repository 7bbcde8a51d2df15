//! What can be wrong with a recording, each in one line: what, where, what to do.

use std::fmt;

/// Why a recording could not be used, and which recording it was.
///
/// `Display` gives one line: the file, what is wrong with it, what to do about it.
#[derive(Debug, Clone, PartialEq)]
pub struct AudioError {
    /// The file as the caller named it, or `recording` for bytes in memory.
    pub file: String,
    /// What is wrong.
    pub fault: AudioFault,
}

/// What is wrong with a recording.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub enum AudioFault {
    /// No such file.
    Missing,
    /// The path is a folder.
    Folder,
    /// The path is neither a file nor a folder (a device or a pipe).
    NotAFile,
    /// The system refused to open or read it; its own reason.
    Unreadable(String),
    /// The file has no bytes.
    Empty,
    /// The bytes are of no sound format known here.
    NotAudio,
    /// A known format whose header is cut short or damaged; the format and the decoder's reason.
    Header(&'static str, String),
    /// A known container with a codec that is not decoded here; its name.
    Codec(String),
    /// The sound data end or break before anything usable; seconds that could be read.
    Truncated(f64),
    /// The header is sound, but there is not one sample.
    NoSamples,
    /// Too short to hold a speech sound; its length in seconds.
    TooShort(f64),
    /// Longer than the limit; length in seconds if known, and the limit in seconds.
    TooLong(Option<f64>, f64),
    /// Longer than its many channels may be; how many they are, and the limit for so many in seconds.
    TooManyLong(usize, f64),
    /// Samples that are not numbers or are infinite; the second at which the first stands.
    NotFinite(f64),
    /// Samples far beyond full scale (integers stored as float); the largest magnitude.
    OutOfScale(f32),
    /// A sample rate outside 8 to 192 kHz.
    Rate(u32),
    /// More channels than are handled.
    Channels(usize),
    /// The range asked for is not a range in seconds (not a number, negative, or end before start).
    Range(f64, f64),
    /// The range asked for lies outside the recording; start, end, and the recording's length in seconds.
    Outside(f64, f64, f64),
}

impl AudioFault {
    /// Ties the fault to a file.
    pub fn in_file(self, file: impl Into<String>) -> AudioError {
        AudioError {
            file: file.into(),
            fault: self,
        }
    }
}

/// What to do, said the same way wherever a plain format would help.
const SAVE_AGAIN: &str = "save it as WAV, FLAC, MP3, Ogg Vorbis or M4A (AAC) and try again";

impl fmt::Display for AudioError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        // A name may hold line ends; the error is one line all the same.
        let name: String = self
            .file
            .chars()
            .map(|c| if c.is_control() { '?' } else { c })
            .collect();
        write!(f, "{name}: ")?;
        self.fault.fmt(f)
    }
}

impl fmt::Display for AudioFault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            AudioFault::Missing => write!(f, "there is no such file; check the name and the folder"),
            AudioFault::Folder => write!(f, "this is a folder; name one recording inside it"),
            AudioFault::NotAFile => write!(f, "this is not a plain file; name a recording"),
            AudioFault::Unreadable(why) => write!(f, "could not be read ({why}); check that it may be opened"),
            AudioFault::Empty => write!(f, "the file is empty (0 bytes); record again"),
            AudioFault::NotAudio => write!(f, "this is not a sound file, whatever its name says; {SAVE_AGAIN}"),
            AudioFault::Header(kind, why) => {
                write!(
                    f,
                    "the start of this {kind} file is cut short or damaged ({why}); record or copy it again"
                )
            }
            AudioFault::Codec(name) => write!(f, "its sound is stored as {name}, which is not read here; {SAVE_AGAIN}"),
            AudioFault::Truncated(s) => {
                write!(
                    f,
                    "the file is damaged: only {s:.2} s of sound could be read; record or copy it again"
                )
            }
            AudioFault::NoSamples => write!(f, "the file holds no sound (0 samples); record again"),
            AudioFault::TooShort(s) => write!(f, "only {:.0} ms long, too short to hold a word; record again", s * 1e3),
            AudioFault::TooLong(length, limit) => too_long(f, length.map(SpokenLength), SpokenLength(*limit)),
            AudioFault::TooManyLong(channels, limit) => {
                let limit = SpokenLength(*limit);
                write!(
                    f,
                    "{channels} channels are read for {limit} at most; export it as mono, or cut out the word"
                )
            }
            AudioFault::NotFinite(s) => {
                write!(
                    f,
                    "a sample at {s:.3} s is not a number or is infinite; export the recording again"
                )
            }
            AudioFault::OutOfScale(x) => {
                write!(
                    f,
                    "samples reach {x:.0} times full scale; export it again as 16-bit or as float within -1 to 1"
                )
            }
            AudioFault::Rate(r) => write!(
                f,
                "{r} samples a second is outside 8000 to 192000; export it at 16000 or 44100"
            ),
            AudioFault::Channels(n) => write!(
                f,
                "{n} channels are more than are read here; export it as mono or stereo"
            ),
            AudioFault::Range(a, b) => write!(
                f,
                "{a} to {b} s is not a range; give a start of 0 or more and an end after it"
            ),
            AudioFault::Outside(a, b, len) => outside(f, (*a, *b), *len),
        }
    }
}

fn outside(f: &mut fmt::Formatter<'_>, (a, b): (f64, f64), len: f64) -> fmt::Result {
    write!(
        f,
        "{a:.3} to {b:.3} s lies outside the recording, which is {len:.3} s long; check both times"
    )
}

fn too_long(f: &mut fmt::Formatter<'_>, length: Option<SpokenLength>, limit: SpokenLength) -> fmt::Result {
    match length {
        Some(length) if length.to_string() == limit.to_string() => {
            write!(f, "a little longer than {limit}, the limit")?
        }
        Some(length) => write!(f, "{length} long, over the limit of {limit}")?,
        None => write!(f, "longer than the limit of {limit}")?,
    }
    f.write_str("; cut out the word and try again")
}

/// A length of time in the words people use.
struct SpokenLength(f64);

impl fmt::Display for SpokenLength {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.0 {
            s if s >= 7200.0 => write!(f, "{:.1} hours", s / 3600.0),
            s if s >= 120.0 => write!(f, "{:.1} minutes", s / 60.0),
            s => write!(f, "{s:.1} seconds"),
        }
    }
}

impl std::error::Error for AudioError {}
impl std::error::Error for AudioFault {}
