//! What a report is made of: numbers that are already computed, and words that are already written.

use std::collections::BTreeSet;

use jiff::civil::Date;
use soundbead_data::chain::Unit;
use soundbead_data::{Rules, Sound};
use soundbead_dsp::formant::VoiceKind;

use super::diagnosis;
use crate::ask::writing::{Example, MatrixRow, ThenAndNow};
use crate::notebook::{DoneBeside, Goal};

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
    /// What is to be known of it, such as that its rows were chosen for being low; may be empty.
    pub caption: String,
    /// What a row is called, and its share.
    pub rows: Vec<(String, ShownShare)>,
}

/// A habit that the counts show, or may show, or showed.
#[derive(Clone, Debug, PartialEq)]
pub struct Habit {
    /// In plain words, such as `A cluster at the start is counted as one sound`.
    pub what: String,
    /// How often in the last two months, of the times when it could have been so.
    pub evidence: ShownShare,
    /// Words that showed it, and of how many that could.
    pub seen: (usize, usize),
    /// Some of the words it was seen in.
    pub words: Vec<String>,
    /// Some of the counts that showed it: `spoon counted 3 of 4 on 3 November`.
    pub examples: Vec<String>,
    /// Whether there are enough words to say so; if not it is shown as a thing to watch.
    pub enough: bool,
    /// Where it was so earlier and is not now: until when, and what came since.
    pub past: Option<String>,
}

/// Words by how they stand, and the same words then and now.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct WordsThenNow {
    /// Words tried again two weeks or more after the first time.
    pub again: usize,
    /// Of them, those counted right the first time.
    pub right_then: usize,
    /// Those counted right the last time.
    pub right_now: usize,
    /// Right now, not then.
    pub gained: Vec<String>,
    /// Right then, not now.
    pub lost: Vec<String>,
    /// Words counted right on their last three days.
    pub holds: Vec<String>,
    /// Words counted right the last time that missed before, not yet three days in a row.
    pub fragile: Vec<String>,
    /// Words counted right each time, on fewer than three days.
    pub so_far: Vec<String>,
    /// Words not counted right the last time.
    pub not_yet: Vec<String>,
}

/// Something to practice next.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct NextStep {
    /// What.
    pub what: String,
    /// The evidence in a line.
    pub why: String,
    /// Words for it, each with its count.
    pub words: Vec<String>,
    /// A chain for it; may be empty.
    pub chain: Vec<String>,
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
    /// Whether the program kept it of something done, and nobody answered it.
    pub record: bool,
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

/// So many days, from the first to the last; none where there are none.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct DaysTold {
    /// How many different days.
    pub days: usize,
    /// The first and the last.
    pub ends: Option<(Date, Date)>,
}

impl DaysTold {
    /// Of these days, in any order, some of them maybe twice.
    pub fn of(days: impl IntoIterator<Item = Date>) -> DaysTold {
        let days: BTreeSet<Date> = days.into_iter().collect();
        DaysTold {
            days: days.len(),
            ends: days.first().copied().zip(days.last().copied()),
        }
    }
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
    /// Choices that are still missed, each with words as they were written the last time: `bak for back`.
    pub missed: Vec<(&'static str, Vec<String>)>,
}

impl WritingData {
    /// Choices that hold: met in three words or more in the later days and kept the last time in each; with the number of words.
    pub fn holds(&self) -> Vec<(&'static str, usize)> {
        let now = self.choices.iter().filter_map(|c| Some((c.choice, c.now.as_ref()?)));
        now.filter(|(_, now)| now.met >= HOLDS_AT && now.kept == now.met)
            .map(|(choice, now)| (choice, now.met))
            .collect()
    }

    /// Choices that were kept in each word the last time, but in one or two words only; with the number of words.
    pub fn few(&self) -> Vec<(&'static str, usize)> {
        let now = self.choices.iter().filter_map(|c| Some((c.choice, c.now.as_ref()?)));
        now.filter(|(_, now)| now.met < HOLDS_AT && now.kept == now.met)
            .map(|(choice, now)| (choice, now.met))
            .collect()
    }

    /// Choices that are still missed: some word of the later days missed them the last time it was written. Those come first that are
    /// most surely kept little: none of ten words goes before none of three.
    pub fn still_missed(&self) -> Vec<&ThenAndNow> {
        let missed = |c: &&ThenAndNow| c.now.as_ref().is_some_and(|now| now.kept < now.met);
        let most = |c: &ThenAndNow| c.now.as_ref().map_or(1.0, |now| now.high);
        let mut all: Vec<&ThenAndNow> = self.choices.iter().filter(missed).collect();
        all.sort_by(|a, b| most(a).total_cmp(&most(b)));
        all
    }
}

/// Words in which a choice is kept before it is said to hold: one or two may be known by heart.
const HOLDS_AT: usize = 3;

/// Everything in a report.
#[derive(Clone, Debug, PartialEq)]
pub struct ReportData {
    /// The learner's name.
    pub learner: String,
    /// The family's; empty where it is not known.
    pub family: String,
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
    /// Who made the report, if that is to be said.
    pub by: Option<String>,
    /// Lessons: days on which something was said or written; old recordings that were taken in are none.
    pub lessons: DaysTold,
    /// Days from which old recordings were taken in.
    pub old: DaysTold,
    /// Plans that were followed, by title, each with its lessons.
    pub plans: Vec<(String, usize)>,
    /// How the latest lessons went, in the words of who led them, the earliest first.
    pub went: Vec<(Date, String)>,
    /// Words said, each time counted.
    pub attempts: usize,
    /// Different words.
    pub words: usize,
    /// The child's counts that were the expected ones.
    pub counted: ShownShare,
    /// Counts of the child's that are left out of it: nobody can say how many sounds were said.
    pub unsettled: usize,
    /// What was found in the recordings.
    pub verdicts: Verdicts,
    /// The child's counts over time, oldest first.
    pub trend: Vec<TrendStretch>,
    /// The child's counts by sound, place, cluster, length, way of speaking.
    pub groups: Vec<ShareTable>,
    /// Habits.
    pub patterns: Vec<Habit>,
    /// What stands out among the sounds beyond the words' length and the habits, a sentence each; none where sounds could not be
    /// looked at.
    pub sounds: Option<Vec<String>>,
    /// How each word stands.
    pub standing: WordsThenNow,
    /// What was tried after a first count that missed, a sentence each.
    pub tried: Vec<String>,
    /// What a person heard in the place of a word: `spoon said as p-oo-n (parent, 3 November)`, the latest first.
    pub said: Vec<String>,
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
    /// Earlier notes that are left out: what the program kept of something done.
    pub records_left_out: usize,
    /// What was done beside counting and writing.
    pub beside: DoneBeside,
    /// Goals: the open ones first, by their day.
    pub goals: Vec<Goal>,
    /// What to practice next.
    pub next: Vec<NextStep>,
}

impl ReportData {
    /// The day of the first note, goal or line on a lesson that names a diagnosis, what it is, and all that it names.
    pub fn names_diagnosis(&self) -> Option<(Date, &'static str, String)> {
        let notes = self.notes.iter();
        let notes = notes.map(|note| (note.day, "note", diagnosis::named(&note.text)));
        let goals = self.goals.iter().map(|goal| (goal.day, "goal", named_in(goal)));
        let lines = self.went.iter();
        let lines = lines.map(|(day, line)| (*day, "line on the lesson", diagnosis::named(line)));
        let mut all = notes.chain(goals).chain(lines);
        all.find(|(.., names)| !names.is_empty())
            .map(|(day, what, names)| (day, what, names.join(", ")))
    }

    /// Leaves out every note, goal and line on a lesson that names a diagnosis, and gives their number.
    pub fn leave_diagnoses_out(&mut self) -> usize {
        let count = |data: &ReportData| data.notes.len() + data.goals.len() + data.went.len();
        let all = count(self);
        self.notes.retain(|note| diagnosis::named(&note.text).is_empty());
        self.goals.retain(|goal| named_in(goal).is_empty());
        self.went.retain(|(_, line)| diagnosis::named(line).is_empty());
        all - count(self)
    }
}

/// The diagnoses that a goal's own words name.
fn named_in(goal: &Goal) -> Vec<&'static str> {
    let settled = goal.body.settled.as_ref().map_or("", |s| s.evidence.as_str());
    diagnosis::named(&format!("{} {settled}", goal.body.evidence))
}

#[cfg(test)]
mod tests {
    use soundbead_data::share::Share;

    use super::*;
    use crate::ask::writing::ChoiceStretch;

    /// A choice that was kept in so many of so many words.
    fn choice(choice: &'static str, kept: usize, met: usize) -> ThenAndNow {
        let share = Share {
            hits: kept as u64,
            of: met as u64,
        };
        let (low, high) = share.interval();
        let now = ChoiceStretch {
            from: "2026-11-03".to_owned(),
            to: "2026-11-03".to_owned(),
            met,
            kept,
            kept_first: kept,
            low,
            high,
        };
        ThenAndNow {
            choice,
            then: None,
            now: Some(now),
            again: Vec::new(),
        }
    }

    #[test]
    fn what_was_missed_in_many_words_comes_before_what_was_missed_in_a_few() {
        let data = WritingData {
            tries: 40,
            words: 40,
            right: 20,
            since: None,
            choices: vec![
                choice("missed in three of three", 0, 3),
                choice("missed in nine of ten", 1, 10),
                choice("kept in all", 17, 17),
                choice("missed in ten of ten", 0, 10),
            ],
            matrix: Vec::new(),
            examples: Vec::new(),
            missed: Vec::new(),
        };
        let order: Vec<&str> = data.still_missed().into_iter().map(|c| c.choice).collect();
        assert_eq!(
            order,
            [
                "missed in ten of ten",
                "missed in nine of ten",
                "missed in three of three"
            ]
        );
    }
}
