//! What a learner's writing adds up to: what was written for each sound, the same choice then and now, telling examples.
//!
//! Everything is worked out from the rows when it is asked for. First tries that were made without help are what counts; where a
//! word was written on several days, the latest of them says how it stands.

mod look;
mod missed;

use std::collections::{BTreeMap, BTreeSet};

use jiff::civil::Date;
use serde::Serialize;
use soundbead_data::course::{self, Choice, WrittenTry};
use soundbead_data::word::Overrides;
use soundbead_data::writing::{Finding, SpellingAnalysis};

use crate::notebook::{Readings, Writing, course_day};
use crate::wording::misspelling::{self, Flaw};

pub use look::{LookedRow, LookedWriting, look};

/// Rows that were read, the latest first.
pub struct ReadWritings {
    read: Vec<(Writing, SpellingAnalysis)>,
    /// Those of words that the course knows, as it reads them, each with its place in `read`; the oldest first.
    tried: Vec<(usize, WrittenTry)>,
    /// What cannot be read as one word, as it was written.
    pub unread: Vec<Writing>,
}

/// What was written for one sound.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct MatrixRow {
    /// ARPAbet.
    pub sound: &'static str,
    /// How often the sound was to be written.
    pub times: usize,
    /// How often it had the word's own letters.
    pub kept: usize,
    /// What was written, the most frequent first.
    pub wrote: Vec<MatrixCell>,
}

/// Letters that were written for a sound.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct MatrixCell {
    /// The letters; empty where nothing was written.
    pub letters: String,
    /// How often.
    pub times: usize,
    /// How often they were the word's own.
    pub kept: usize,
    /// Words in which they were not, each as it was written, at most three.
    pub examples: Vec<String>,
}

/// One choice in some days, by word: the latest writing of each counts, by its first try without help.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct ChoiceStretch {
    /// The first of the days on which it was met.
    pub from: String,
    /// The last of them.
    pub to: String,
    /// In how many different words it was met.
    pub met: usize,
    /// In how many of them it was kept the last time that they were written in these days.
    pub kept: usize,
    /// In how many of them it was kept the first time in these days.
    pub kept_first: usize,
    /// Ends of the 95 % interval of the share kept, 0 to 1 (Clopper and Pearson 1934).
    pub low: f64,
    /// See `low`.
    pub high: f64,
}

/// One choice before a day and from that day on.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct ThenAndNow {
    /// Its name.
    pub choice: &'static str,
    /// Before that day; none where it was not met.
    pub then: Option<ChoiceStretch>,
    /// From that day on.
    pub now: Option<ChoiceStretch>,
    /// Words that were written in both: as they were written the first time of all, and the last.
    pub again: Vec<WrittenAgain>,
}

/// A word that was written then and now.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct WrittenAgain {
    /// The word.
    pub word: String,
    /// As it was written first.
    pub then: String,
    /// As it was written last.
    pub now: String,
}

/// A word in the child's own letters, and what it shows.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Example {
    /// The word.
    pub word: String,
    /// As it was written.
    pub wrote: String,
    /// The day, ISO 8601.
    pub day: String,
    /// What it shows, a plain sentence.
    pub shows: String,
    /// In how many different words the same was seen.
    pub words: usize,
}

/// Telling examples that are shown at most.
pub const MOST_EXAMPLES: usize = 5;
/// Words that a cell of the matrix names.
const CELL_EXAMPLES: usize = 3;

impl ReadWritings {
    /// Reads the first tries that were made without help, by the family's ways of saying words.
    pub fn of(rows: &[Writing], overrides: &Overrides) -> ReadWritings {
        let mut readings = Readings::new(overrides);
        readings.read_ahead(rows.iter().filter(|row| row.own()));
        let (mut read, mut unread) = (Vec::new(), Vec::new());
        for row in rows.iter().filter(|row| row.own()) {
            match readings.first(row) {
                Some(reading) => read.push((row.clone(), reading.clone())),
                None => unread.push(row.clone()),
            }
        }
        let tried = |(at, (row, reading)): (usize, &(Writing, SpellingAnalysis))| {
            Some((at, WrittenTry::of(course_day(row.day), reading)?))
        };
        let tried = read.iter().enumerate().rev().filter_map(tried).collect();
        ReadWritings { read, tried, unread }
    }

    /// The rows and what they show, the latest first.
    pub fn read(&self) -> &[(Writing, SpellingAnalysis)] {
        &self.read
    }

    /// How many different words were written.
    pub fn words(&self) -> usize {
        self.read
            .iter()
            .map(|(row, _)| row.word.as_str())
            .collect::<BTreeSet<_>>()
            .len()
    }

    /// How many first tries are the word, letter by letter.
    pub fn right(&self) -> usize {
        self.read.iter().filter(|(_, reading)| reading.right()).count()
    }

    /// What was written for each sound, in the order of the sounds.
    pub fn matrix(&self) -> Vec<MatrixRow> {
        let mut rows: BTreeMap<usize, (&'static str, BTreeMap<&str, MatrixCell>)> = BTreeMap::new();
        for (row, reading) in &self.read {
            for written in &reading.sounds {
                let (_, cells) = rows
                    .entry(written.sound.index())
                    .or_insert_with(|| (written.sound.arpabet(), BTreeMap::new()));
                let cell = cells
                    .entry(&written.wrote)
                    .or_insert_with(|| MatrixCell::of(&written.wrote));
                cell.add(written.finding == Finding::Kept, &row.word, row.first());
            }
        }
        rows.into_values()
            .map(|(sound, cells)| MatrixRow::of(sound, cells))
            .collect()
    }

    /// The tries as the course reads them, the oldest first.
    pub fn tries(&self) -> Vec<WrittenTry> {
        self.tried.iter().map(|(_, tried)| tried.clone()).collect()
    }

    /// The day that parts then from now where nobody named one: the middle one of the days on which something was written. None
    /// where all was written on one day.
    pub fn middle(&self) -> Option<Date> {
        let days: BTreeSet<Date> = self.read.iter().map(|(row, _)| row.day).collect();
        let days: Vec<Date> = days.into_iter().collect();
        (days.len() > 1).then(|| days[days.len() / 2])
    }

    /// Every choice that was met, before `since` and from that day on, in the order of the choices.
    pub fn then_and_now(&self, since: Date) -> Vec<ThenAndNow> {
        let all = Choice::ALL
            .iter()
            .map(|choice| self.choice_then_and_now(*choice, since));
        all.filter(|c| c.then.is_some() || c.now.is_some()).collect()
    }

    /// One choice before `since` and from that day on.
    pub fn choice_then_and_now(&self, choice: Choice, since: Date) -> ThenAndNow {
        let (now, then): (Vec<_>, Vec<_>) = self.meeting(choice).into_iter().partition(|(row, _)| row.day >= since);
        ThenAndNow {
            choice: choice.name(),
            again: again(&then, &now),
            then: stretch(choice, &then),
            now: stretch(choice, &now),
        }
    }

    /// The rows of words that meet a choice, with their tries, the oldest first.
    fn meeting(&self, choice: Choice) -> Vec<(&Writing, &WrittenTry)> {
        let all = self.tried.iter();
        all.filter(|(_, tried)| tried.kept.iter().any(|(met, _)| *met == choice))
            .map(|(at, tried)| (&self.read[*at].0, tried))
            .collect()
    }

    /// The words that show most of how the child spells, each for another reason: what was seen in the most words goes first, and of
    /// the words that show it the one that shows little else.
    pub fn examples(&self) -> Vec<Example> {
        let flawed: Vec<(&Writing, Vec<Flaw>)> = self
            .read
            .iter()
            .map(|(row, reading)| (row, misspelling::flaws(reading)))
            .filter(|(_, flaws)| !flaws.is_empty())
            .collect();
        let mut seen: BTreeMap<&str, BTreeSet<&str>> = BTreeMap::new();
        for (row, flaws) in &flawed {
            for flaw in flaws {
                seen.entry(&flaw.kind).or_default().insert(&row.word);
            }
        }
        let mut kinds: Vec<(&str, usize)> = seen.iter().map(|(kind, words)| (*kind, words.len())).collect();
        kinds.sort_by_key(|(kind, words)| (std::cmp::Reverse(*words), *kind));
        let mut examples: Vec<Example> = Vec::new();
        let mut told: Vec<&BTreeSet<&str>> = Vec::new();
        let mut said: BTreeSet<&str> = BTreeSet::new();
        let first = kinds.iter().map(|kind| (*kind, false));
        let later = kinds.iter().map(|kind| (*kind, true));
        for ((kind, words), fills) in first.chain(later) {
            // What was seen in no other words than something that is told already is most likely the same thing; it stands where there
            // is room left.
            let same = told.iter().any(|words| seen[kind].is_subset(words));
            if examples.len() == MOST_EXAMPLES || said.contains(kind) || (same && !fills) {
                continue;
            }
            let new = |word: &str| examples.iter().all(|e| e.word != word);
            let shows = flawed.iter().filter_map(|(row, flaws)| {
                let flaw = flaws.iter().find(|flaw| flaw.kind == kind)?;
                new(&row.word).then_some((flaws, row, &flaw.says))
            });
            // The first of equal ones is the latest.
            if let Some((flaws, row, says)) = shows.min_by_key(|(flaws, ..)| flaws.len()) {
                said.insert(kind);
                said.extend(others(flaws, kind, &seen).map(|flaw| flaw.kind.as_str()));
                examples.push(Example {
                    word: row.word.clone(),
                    wrote: row.first().to_owned(),
                    day: row.day.to_string(),
                    shows: with_others(says, flaws, kind, &seen),
                    words,
                });
                told.push(&seen[kind]);
            }
        }
        examples
    }
}

/// What else a row shows that was seen in no words but those of one of its flaws.
fn others<'a>(
    flaws: &'a [Flaw],
    kind: &'a str,
    seen: &'a BTreeMap<&str, BTreeSet<&str>>,
) -> impl Iterator<Item = &'a Flaw> {
    flaws
        .iter()
        .filter(move |f| f.kind != kind && seen[f.kind.as_str()].is_subset(&seen[kind]))
}

/// What a flaw says, and what else the row shows that is told along with it.
fn with_others(says: &str, flaws: &[Flaw], kind: &str, seen: &BTreeMap<&str, BTreeSet<&str>>) -> String {
    let all = std::iter::once(says).chain(others(flaws, kind, seen).map(|f| f.alone.as_str()));
    all.collect::<Vec<_>>().join(" ")
}

impl MatrixCell {
    fn of(letters: &str) -> MatrixCell {
        MatrixCell {
            letters: letters.to_owned(),
            times: 0,
            kept: 0,
            examples: Vec::new(),
        }
    }

    fn add(&mut self, kept: bool, word: &str, wrote: &str) {
        self.times += 1;
        self.kept += usize::from(kept);
        let example = format!("{wrote} for {word}");
        if !kept && self.examples.len() < CELL_EXAMPLES && !self.examples.contains(&example) {
            self.examples.push(example);
        }
    }
}

impl MatrixRow {
    fn of(sound: &'static str, cells: BTreeMap<&str, MatrixCell>) -> MatrixRow {
        let mut wrote: Vec<MatrixCell> = cells.into_values().collect();
        wrote.sort_by(|a, b| b.times.cmp(&a.times).then_with(|| a.letters.cmp(&b.letters)));
        MatrixRow {
            sound,
            times: wrote.iter().map(|cell| cell.times).sum(),
            kept: wrote.iter().map(|cell| cell.kept).sum(),
            wrote,
        }
    }
}

/// What the tries at one choice add up to, by word.
fn stretch(choice: Choice, rows: &[(&Writing, &WrittenTry)]) -> Option<ChoiceStretch> {
    let (first, last) = (rows.first()?.0.day, rows.last()?.0.day);
    let tries: Vec<WrittenTry> = rows.iter().map(|(_, tried)| (*tried).clone()).collect();
    let at = course::standing(&tries)[choice.index()];
    let share = at.share?;
    Some(ChoiceStretch {
        from: first.to_string(),
        to: last.to_string(),
        met: at.met,
        kept: at.kept,
        kept_first: at.kept_first,
        low: share.low,
        high: share.high,
    })
}

/// Words that were written then and now, by the alphabet.
fn again(then: &[(&Writing, &WrittenTry)], now: &[(&Writing, &WrittenTry)]) -> Vec<WrittenAgain> {
    let mut first: BTreeMap<&str, &str> = BTreeMap::new();
    for (row, _) in then {
        first.entry(&row.word).or_insert(row.first());
    }
    let last: BTreeMap<&str, &str> = now.iter().map(|(row, _)| (row.word.as_str(), row.first())).collect();
    let both = first.into_iter().filter_map(|(word, then)| {
        Some(WrittenAgain {
            word: word.to_owned(),
            then: then.to_owned(),
            now: (*last.get(word)?).to_owned(),
        })
    });
    both.collect()
}
