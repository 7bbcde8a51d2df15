//! What a report is made of: numbers that are already computed, and words that are already written.

use jiff::civil::Date;
use soundbead_data::chain::Unit;
use soundbead_data::{Rules, Sound};
use soundbead_dsp::formant::VoiceKind;

use crate::ask::writing::{Example, MatrixRow, ThenAndNow};

/// So many of so many, and where the true share may lie.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct ShownShare {
    /// How many.
    pub right: usize,
    /// Of how many.
    pub of: usize,
    /// Lower end of the 95 % interval, 0 to 1.
    pub low: f64,
    /// Upper end of it, 0 to 1.
    pub high: f64,
}

/// A stretch of days in the trend.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TrendStretch {
    /// First day.
    pub from: Date,
    /// Last day.
    pub to: Date,
    /// The child's counts that were the expected ones.
    pub counted: ShownShare,
}

/// Shares that belong in one table.
#[derive(Clone, Debug, PartialEq)]
pub struct ShareTable {
    /// What sets the rows apart, such as `Length of the word`.
    pub title: String,
    /// What a row is called, and its share.
    pub rows: Vec<(String, ShownShare)>,
}

/// A habit that the counts show, or may show.
#[derive(Clone, Debug, PartialEq)]
pub struct Habit {
    /// In plain words, such as `A cluster at the start is counted as one sound`.
    pub what: String,
    /// How often, of the times when it could have been so.
    pub evidence: ShownShare,
    /// Some of the words it was seen in.
    pub words: Vec<String>,
    /// Whether there are enough words to say so; if not it is shown as a thing to watch.
    pub enough: bool,
}

/// How often the recording had one sound where another, or the same, was expected.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct HeardFor {
    /// The expected sound.
    pub expected: Unit,
    /// The sound that was heard; none where it was left out.
    pub heard: Option<Unit>,
    /// How many times.
    pub times: usize,
}

/// A vowel of the learner in one month: medians of its measurements.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct VowelSpot {
    /// First day of the month.
    pub month: Date,
    /// The vowel that was meant.
    pub vowel: Sound,
    /// First formant in Hz.
    pub f1_hz: f32,
    /// Second formant in Hz.
    pub f2_hz: f32,
    /// How many measurements.
    pub times: usize,
}

/// A note as it is to be read.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct WrittenNote {
    /// The day.
    pub day: Date,
    /// Who wrote it: `parent` or `consultant`.
    pub by: String,
    /// What it is about, such as `the sound th` or `the word moth`.
    pub on: String,
    /// The note.
    pub text: String,
}

/// Verdicts on the recordings, as numbers of attempts.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Verdicts {
    /// The word's own sounds.
    pub same: usize,
    /// A sound fewer.
    pub fewer: usize,
    /// A sound more.
    pub more: usize,
    /// As many, but others.
    pub changed: usize,
    /// Not settled.
    pub unsure: usize,
    /// Attempts that the parent or the consultant judged.
    pub ruled: usize,
    /// Of those, the ones judged otherwise than the program had, where it was not unsure.
    pub ruled_otherwise: usize,
}

/// What the child wrote in these days.
#[derive(Clone, Debug, PartialEq)]
pub struct WritingData {
    /// First tries without help.
    pub tries: usize,
    /// Different words among them.
    pub words: usize,
    /// How many were right, letter by letter.
    pub right: usize,
    /// The day that parts then from now; none where all was written on one day.
    pub since: Option<Date>,
    /// Each choice of spelling that was met, in order.
    pub choices: Vec<ThenAndNow>,
    /// What was written for each sound.
    pub matrix: Vec<MatrixRow>,
    /// Telling examples, at most five.
    pub examples: Vec<Example>,
}

/// Everything in a report.
#[derive(Clone, Debug, PartialEq)]
pub struct ReportData {
    /// The learner's name.
    pub learner: String,
    /// First day of the report.
    pub from: Date,
    /// Last day of it.
    pub to: Date,
    /// The day on which it is made.
    pub made: Date,
    /// The learner's rules.
    pub rules: Rules,
    /// Attempts that were counted by other rules than these.
    pub by_other_rules: usize,
    /// The acoustic models that judged, by version.
    pub models: Vec<String>,
    /// Lessons.
    pub sessions: usize,
    /// Words said, each time counted.
    pub attempts: usize,
    /// Different words.
    pub words: usize,
    /// The child's counts that were the expected ones.
    pub counted: ShownShare,
    /// What was found in the recordings.
    pub verdicts: Verdicts,
    /// The child's counts over time, oldest first.
    pub trend: Vec<TrendStretch>,
    /// The child's counts by sound, place, cluster, length, way of speaking.
    pub groups: Vec<ShareTable>,
    /// Habits.
    pub patterns: Vec<Habit>,
    /// Sounds heard against sounds expected.
    pub heard: Vec<HeardFor>,
    /// Whose norms the vowels are shown against.
    pub voice: VoiceKind,
    /// The learner's vowels by month, where they were measured.
    pub vowels: Vec<VowelSpot>,
    /// Words on which two people ruled otherwise, a line each with both of them, oldest first.
    pub ruled_apart: Vec<String>,
    /// What the child wrote; none where nothing was.
    pub writing: Option<WritingData>,
    /// Whether the page of the writing is all of the report.
    pub writing_alone: bool,
    /// Articulation notes, oldest first.
    pub notes: Vec<WrittenNote>,
    /// What to practice next, a sentence each.
    pub next: Vec<String>,
    /// A chain made for it; may be empty.
    pub chain: Vec<String>,
}
