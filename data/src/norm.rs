//! Published formants of American English vowels, as figures of three groups of talkers, and where each vowel of the inventory
//! lies by them.
//!
//! ```
//! use soundbead_data::{Sound, norm::{VoiceKind, way}};
//!
//! let ee = way(&[Sound::IY], false, VoiceKind::Child).expect("a vowel of the table");
//! assert!(ee.measured && ee.from_hz[0] < 500.0 && ee.from_hz[1] > 3_000.0);
//! ```

mod pooled;
mod table;
mod way;

use std::fmt;
use std::str::FromStr;

use crate::sound::Sound;
pub use pooled::{MEASURED_1952, NORMS, means_1952};
pub use table::{GLIDES, MEASURED_1995};
pub use way::{VowelResonances, way};

/// Whose voice it is: this sets where resonances are looked for, and which norms they are held against.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum VoiceKind {
    /// A child of about six to twelve.
    Child,
    /// A woman, or a boy or girl whose voice has grown.
    Woman,
    /// A man.
    Man,
}

impl VoiceKind {
    /// How much higher resonances lie than a man's, because the vocal tract is shorter: the ratio of the mean F3 over all vowels of
    /// [`NORMS`].
    pub fn tract_scale(self) -> f64 {
        match self {
            VoiceKind::Child => 1.28,
            VoiceKind::Woman => 1.17,
            VoiceKind::Man => 1.0,
        }
    }
}

impl FromStr for VoiceKind {
    type Err = NotAVoice;

    /// `child`, `woman` or `man`.
    fn from_str(s: &str) -> Result<VoiceKind, NotAVoice> {
        match s {
            "child" => Ok(VoiceKind::Child),
            "woman" => Ok(VoiceKind::Woman),
            "man" => Ok(VoiceKind::Man),
            _ => Err(NotAVoice(s.into())),
        }
    }
}

impl fmt::Display for VoiceKind {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            VoiceKind::Child => "child",
            VoiceKind::Woman => "woman",
            VoiceKind::Man => "man",
        })
    }
}

/// The text named no [`VoiceKind`].
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NotAVoice(pub String);

impl fmt::Display for NotAVoice {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "`{}` is not a kind of voice; use child, woman or man", self.0)
    }
}

impl std::error::Error for NotAVoice {}

/// A vowel's published formants for a group of talkers; from [`NORMS`].
#[derive(Debug, Clone, Copy)]
pub struct Norm {
    /// The group.
    pub voice: VoiceKind,
    /// The vowel.
    pub vowel: Sound,
    /// Geometric means of F1 to F4, in Hz.
    pub means_hz: [f32; 4],
    /// 10,000 times the covariance of ln F1, ln F2, ln F3: 11, 12, 13, 22, 23, 33.
    pub covariance: [f32; 6],
}

/// Where a vowel that moves starts and ends, for a group of talkers; from [`GLIDES`].
#[derive(Debug, Clone, Copy)]
pub struct Glide {
    /// The group.
    pub voice: VoiceKind,
    /// The vowel: EY or OW.
    pub vowel: Sound,
    /// Geometric means of F1 to F3 at a fifth of the vowel's length, in Hz.
    pub from_hz: [f32; 3],
    /// The same at four fifths.
    pub to_hz: [f32; 3],
}
