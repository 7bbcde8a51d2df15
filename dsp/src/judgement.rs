//! What is said about one recording: the only thing that the window, the command line and the notebook know.

use std::fmt;
use std::ops::Range;
use std::str::FromStr;

use serde::{Deserialize, Deserializer, Serialize, Serializer, de::Error};
use soundbead_data::Sound;

use crate::voice::Quality;

/// Which model judged: the first six bytes of a hash of its weights and its calibration. Written as twelve hexadecimal
/// digits.
#[derive(Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct ModelId([u8; 6]);

impl ModelId {
    pub(crate) fn of(hash: [u8; 6]) -> ModelId {
        ModelId(hash)
    }
}

impl fmt::Display for ModelId {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.0.iter().try_for_each(|byte| write!(f, "{byte:02x}"))
    }
}

impl fmt::Debug for ModelId {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        fmt::Display::fmt(self, f)
    }
}

/// The text was no [`ModelId`].
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NotAModelId(pub String);

impl fmt::Display for NotAModelId {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "`{}` is no model's id; wanted twelve hexadecimal digits", self.0)
    }
}

impl std::error::Error for NotAModelId {}

impl FromStr for ModelId {
    type Err = NotAModelId;

    fn from_str(text: &str) -> Result<ModelId, NotAModelId> {
        let bad = || NotAModelId(text.to_owned());
        if text.len() != 12 || !text.bytes().all(|b| b.is_ascii_hexdigit()) {
            return Err(bad());
        }
        let all = u64::from_str_radix(text, 16).map_err(|_| bad())?;
        let [_, _, hash @ ..] = all.to_be_bytes();
        Ok(ModelId(hash))
    }
}

/// Written as its twelve digits.
impl Serialize for ModelId {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        to.collect_str(self)
    }
}

/// Read from its twelve digits.
impl<'de> Deserialize<'de> for ModelId {
    fn deserialize<D: Deserializer<'de>>(from: D) -> Result<Self, D::Error> {
        String::deserialize(from)?.parse().map_err(D::Error::custom)
    }
}

/// How the word was spoken.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Speaking {
    /// As one word: sun.
    #[default]
    Whole,
    /// Drawn out without a break: sss-uuu-nnn.
    Stretched,
    /// Each sound by itself, with a gap between: s, u, n.
    Separate,
}

impl Speaking {
    /// Every way, with the word that names it on the command line.
    pub const ALL: [(Speaking, &'static str); 3] = [
        (Speaking::Whole, "whole"),
        (Speaking::Stretched, "stretched"),
        (Speaking::Separate, "separate"),
    ];

    /// The word that names it.
    pub fn name(self) -> &'static str {
        Self::ALL
            .iter()
            .find(|(way, _)| *way == self)
            .map_or("", |(_, name)| name)
    }
}

/// The text named no way of speaking.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NotAWay(pub String);

impl fmt::Display for NotAWay {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(
            f,
            "`{}` is no way of speaking; use whole, stretched or separate",
            self.0
        )
    }
}

impl std::error::Error for NotAWay {}

impl FromStr for Speaking {
    type Err = NotAWay;

    fn from_str(text: &str) -> Result<Self, Self::Err> {
        let found = Self::ALL.iter().find(|(_, name)| *name == text);
        found.map(|(way, _)| *way).ok_or_else(|| NotAWay(text.to_owned()))
    }
}

/// How what was said compares with the target.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Verdict {
    /// The target's sounds.
    Same,
    /// A sound of the target was left out.
    Fewer,
    /// A sound was added.
    More,
    /// As many sounds, but not the same ones.
    Changed,
    /// The evidence does not settle it.
    Unsure,
}

impl Verdict {
    /// Every verdict, in the order in which they are listed everywhere.
    pub const ALL: [Verdict; 5] = [
        Verdict::Same,
        Verdict::Fewer,
        Verdict::More,
        Verdict::Changed,
        Verdict::Unsure,
    ];

    /// The word that names it.
    pub fn name(self) -> &'static str {
        match self {
            Verdict::Same => "same",
            Verdict::Fewer => "fewer",
            Verdict::More => "more",
            Verdict::Changed => "changed",
            Verdict::Unsure => "unsure",
        }
    }

    /// Whether it can stand beside a count of `heard` sounds where `expected` were asked for. "Unsure" can beside any.
    pub fn agrees(self, heard: usize, expected: usize) -> bool {
        match self {
            Verdict::Same | Verdict::Changed => heard == expected,
            Verdict::Fewer => heard < expected,
            Verdict::More => heard > expected,
            Verdict::Unsure => true,
        }
    }

    /// Whether it bears that count out: it can stand beside it, and is itself sure.
    pub fn settles(self, heard: usize, expected: usize) -> bool {
        self != Verdict::Unsure && self.agrees(heard, expected)
    }
}

/// The text named no verdict.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NotAVerdict(pub String);

impl fmt::Display for NotAVerdict {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let names = Verdict::ALL.map(Verdict::name).join(", ");
        write!(f, "`{}` is no verdict; the verdicts are {names}", self.0)
    }
}

impl std::error::Error for NotAVerdict {}

impl FromStr for Verdict {
    type Err = NotAVerdict;

    fn from_str(text: &str) -> Result<Self, Self::Err> {
        let found = Verdict::ALL.into_iter().find(|v| v.name() == text);
        found.ok_or_else(|| NotAVerdict(text.to_owned()))
    }
}

/// One sound at its place in the recording.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Placed {
    /// The sound.
    pub sound: Sound,
    /// Start in seconds from the recording's start.
    pub start_s: f32,
    /// End in seconds.
    pub end_s: f32,
    /// How sure it is that this sound was said here, 0 to 1.
    pub evidence: f32,
    /// The probability, 0 to 1, that a trained listener would call this sound right. None where that is not known: without a
    /// target, for words said sound by sound, and in judgements kept before it was told.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub right: Option<f32>,
    /// The sound that was perhaps said in its place, where the likeliest reading beside the target's has another sound here: the one
    /// that [`Judgement::said`] names. None elsewhere, and where the target's own sounds were heard.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub taken_for: Option<Sound>,
    /// Whether this sound was perhaps left out: the likeliest reading beside the target's is without it, and [`Judgement::said`]
    /// asks about it. False in judgements kept before it was told.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub left_out: bool,
}

impl Placed {
    /// How sure it is that this sound was said as it should be, 0 to 1: what a trained listener would say, or else the evidence.
    pub fn sure(&self) -> f32 {
        self.right.unwrap_or(self.evidence)
    }
}

/// How probable each relation to the target is; sums to one.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Fit {
    /// The target's sounds.
    pub same: f32,
    /// Fewer sounds than the target's.
    pub fewer: f32,
    /// More sounds.
    pub more: f32,
    /// As many, but others.
    pub changed: f32,
}

impl Fit {
    /// How probable a verdict is; none for "unsure", which is no relation to the target.
    pub fn of(&self, verdict: Verdict) -> Option<f32> {
        match verdict {
            Verdict::Same => Some(self.same),
            Verdict::Fewer => Some(self.fewer),
            Verdict::More => Some(self.more),
            Verdict::Changed => Some(self.changed),
            Verdict::Unsure => None,
        }
    }
}

/// What was asked of the child.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Target {
    /// Every pronunciation that counts as right; at least one, none of them empty.
    pub variants: Vec<Vec<Sound>>,
    /// For each variant, letters tied to ranges of its sounds, where known (rules on x and qu need them). May be empty.
    pub letters: Vec<Vec<(String, Range<usize>)>>,
}

/// What is said about one recording.
///
/// Its written form (serde) is one object that begins with `"format": 1`, has every field below by its name, and every
/// number unrounded. Files keep it, so a name or a meaning changes only with that number; a field may be added without,
/// when it has a default.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Judgement {
    /// The version of the written form.
    pub(crate) format: FormatVersion,
    /// The model that judged; none only in a judgement that was kept before models had ids.
    pub model: Option<ModelId>,
    /// How the word was held to be spoken.
    pub speaking: Speaking,
    /// Sounds in the target under the rules in force; none when there is no target.
    pub expected: Option<usize>,
    /// The pronunciation of the target that fits best; empty when there is no target.
    pub expected_sounds: Vec<Sound>,
    /// The most probable count of sounds in the recording.
    pub heard: usize,
    /// Probability of each count, lowest count first; those under a thousandth are left out.
    pub count_probabilities: Vec<(usize, f32)>,
    /// None when there is no target.
    pub verdict: Option<Verdict>,
    /// None when there is no target.
    pub fit: Option<Fit>,
    /// The target's sounds where they lie best, or those heard when there is no target.
    pub sounds: Vec<Placed>,
    /// How good the recording is.
    pub quality: Quality,
    /// One plain line on where to listen, when the recording differs from the target or leaves a doubt.
    pub said: Option<String>,
}

impl Judgement {
    /// How probable the verdict is, 0 to 1; none for "unsure" and without a target.
    pub fn sure(&self) -> Option<f32> {
        self.fit?.of(self.verdict?)
    }
}

/// The version of a judgement's written form; no other is read.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(crate) struct FormatVersion;

impl FormatVersion {
    const VERSION: u32 = 1;
}

impl Serialize for FormatVersion {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        to.serialize_u32(Self::VERSION)
    }
}

impl<'de> Deserialize<'de> for FormatVersion {
    fn deserialize<D: Deserializer<'de>>(from: D) -> Result<FormatVersion, D::Error> {
        match u32::deserialize(from)? {
            Self::VERSION => Ok(FormatVersion),
            other => Err(D::Error::custom(format_args!(
                "a judgement of format {other}; only format {} can be read",
                Self::VERSION
            ))),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The written form is kept in families' notebooks: this text was written once and must stay readable.
    const WRITTEN: &str = r#"{"format":1,"model":"0123456789ab","speaking":"whole","expected":3,"expected_sounds":["P","IH","G"],"heard":3,"count_probabilities":[[2,0.0625],[3,0.9375]],"verdict":"same","fit":{"same":0.875,"fewer":0.0625,"more":0.03125,"changed":0.03125},"sounds":[{"sound":"P","start_s":0.21,"end_s":0.29,"evidence":0.123456789}],"quality":{"level_dbfs":-21.3,"snr_db":null,"clipped":false,"speech_s":0.62,"warnings":["starts_clipped"]},"said":"Listen to the first sound."}"#;

    #[test]
    fn the_written_form_stays_as_it_is() {
        let judgement: Judgement = serde_json::from_str(WRITTEN).unwrap();
        assert_eq!(
            (judgement.verdict, judgement.sure()),
            (Some(Verdict::Same), Some(0.875))
        );
        // The nearest 32-bit number; its shortest text has no more digits than it needs.
        let again = serde_json::to_string(&judgement).unwrap();
        assert_eq!(again, WRITTEN.replace("0.123456789", "0.12345679"));
        let later = WRITTEN.replace("\"format\":1", "\"format\":2");
        let fault = serde_json::from_str::<Judgement>(&later).unwrap_err();
        assert!(fault.to_string().contains("format 2"), "{fault}");
    }

    #[test]
    fn files_have_the_same_names_as_people_and_programs_type() {
        for verdict in Verdict::ALL {
            assert_eq!(
                serde_json::to_string(&verdict).unwrap(),
                format!("\"{}\"", verdict.name())
            );
            assert_eq!(verdict.name().parse(), Ok(verdict));
        }
        for (speaking, name) in Speaking::ALL {
            assert_eq!(serde_json::to_string(&speaking).unwrap(), format!("\"{name}\""));
        }
        assert!(
            "wrong"
                .parse::<Verdict>()
                .unwrap_err()
                .to_string()
                .contains("same, fewer")
        );
    }
}
