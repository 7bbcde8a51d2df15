//! Writing looked for: by day and word in the database, by what it shows once it is read.

use std::collections::HashMap;
use std::panic::resume_unwind;
use std::thread;

use jiff::civil::{Date, date};
use rusqlite::types::Value;
use rusqlite::{Connection, params_from_iter};
use soundbead_data::Sound;
use soundbead_data::course::{Choice, CourseWords, WrittenTry};
use soundbead_data::word::{self, Overrides};
use soundbead_data::writing::{Finding, SpellingAnalysis, WrittenSound, read};

use super::super::browse::ListRange;
use super::super::skipped::Skipped;
use super::super::{Edits, Id, Moment, Notebook, NotebookError, Result, ShownAnswer, learner, time};
use super::{Help, Writing, WritingSource, joined, rows};
use crate::store;

/// What writing is looked for; with nothing set, all of a learner's.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct WritingFilter {
    /// This word.
    pub word: Option<String>,
    /// Words that have this sound.
    pub sound: Option<Sound>,
    /// Words of the course that meet this choice.
    pub choice: Option<Choice>,
    /// First tries with this finding: at the sound or the choice, where one is set, otherwise anywhere.
    pub finding: Option<Finding>,
    /// First tries with letters that stand for no sound.
    pub added: bool,
    /// Written there.
    pub source: Option<WritingSource>,
    /// Not before this day.
    pub from: Option<Date>,
    /// Not after this day.
    pub to: Option<Date>,
}

impl WritingFilter {
    /// The part of it that the database answers, on a table named `at`, and its values.
    fn condition(&self, at: &str, word: &str) -> (String, Vec<Value>) {
        let number = |day: Option<Date>| day.map(|d| Value::from(time::day_number(d)));
        let parts = [
            (format!("{at}.day >= ?"), number(self.from)),
            (format!("{at}.day <= ?"), number(self.to)),
            (format!("{word} = ?"), self.word.clone().map(Value::from)),
        ];
        let set = parts
            .into_iter()
            .filter_map(|(text, value)| Some((format!(" AND {text}"), value?)));
        let (texts, values): (Vec<String>, Vec<Value>) = set.unzip();
        (texts.concat(), values)
    }

    /// Whether a row has to be read to be picked.
    fn reads(&self) -> bool {
        self.sound.is_some() || self.choice.is_some() || self.finding.is_some() || self.added
    }

    /// Whether what a first try shows is what is looked for.
    pub fn fits(&self, reading: &SpellingAnalysis) -> bool {
        let place = match self.choice {
            None => 0..reading.of(),
            Some(choice) => match met(reading, choice) {
                Some(place) => place,
                None => return false,
            },
        };
        let one = |w: &WrittenSound| {
            self.sound.is_none_or(|sound| w.sound == sound)
                && self.finding.is_none_or(|finding| w.finding.name() == finding.name())
        };
        let asked = self.sound.is_some() || self.finding.is_some();
        (!asked || reading.sounds[place].iter().any(one)) && (!self.added || !reading.added.is_empty())
    }
}

/// Where in what was read a choice is met; none where the word does not meet it, or is said with other sounds than in the course.
fn met(reading: &SpellingAnalysis, choice: Choice) -> Option<std::ops::Range<usize>> {
    let entry = CourseWords::known(&reading.word)?;
    let (_, place) = entry.met.iter().find(|(met, _)| *met == choice)?;
    (reading.of() == entry.said.sounds().len()).then(|| place.clone())
}

/// What was written, read by the family's own ways of saying words; the same pair is read once.
pub struct Readings<'a> {
    overrides: &'a Overrides,
    known: HashMap<(String, String), Option<SpellingAnalysis>>,
}

impl<'a> Readings<'a> {
    /// Nothing is read yet.
    pub fn new(overrides: &'a Overrides) -> Readings<'a> {
        Readings {
            overrides,
            known: HashMap::new(),
        }
    }

    /// What `written` shows; none where it cannot be read as one word.
    pub fn of(&mut self, word: &str, written: &str) -> Option<&SpellingAnalysis> {
        let overrides = self.overrides;
        let known = self.known.entry((word.to_owned(), written.to_owned()));
        known.or_insert_with(|| read_by(overrides, word, written)).as_ref()
    }

    /// Reads the first tries of many rows, on all of the machine's cores: what they show is then known.
    pub fn read_ahead<'r>(&mut self, rows: impl IntoIterator<Item = &'r Writing>) {
        let pairs = rows.into_iter().map(|row| (row.word.clone(), row.first().to_owned()));
        let mut new: Vec<(String, String)> = pairs.filter(|pair| !self.known.contains_key(pair)).collect();
        new.sort_unstable();
        new.dedup();
        let cores = thread::available_parallelism().map_or(1, usize::from);
        let part = new.len().div_ceil(cores).max(LEAST_ALONE);
        let overrides = self.overrides;
        let all = |pairs: &[(String, String)]| -> Vec<_> {
            let each = pairs.iter().map(|(word, wrote)| read_by(overrides, word, wrote));
            each.collect()
        };
        let read: Vec<_> = thread::scope(|scope| {
            let parts: Vec<_> = new.chunks(part).map(|pairs| scope.spawn(move || all(pairs))).collect();
            let joined = parts
                .into_iter()
                .map(|part| part.join().unwrap_or_else(|fault| resume_unwind(fault)));
            joined.flatten().collect()
        });
        self.known.extend(new.into_iter().zip(read));
    }

    /// What the first try of a row shows.
    pub fn first(&mut self, row: &Writing) -> Option<&SpellingAnalysis> {
        self.of(&row.word, row.first())
    }
}

fn read_by(overrides: &Overrides, word: &str, written: &str) -> Option<SpellingAnalysis> {
    read(&word::find(word, overrides).ok()?, written).ok()
}

/// Fewest pairs for a thread of their own: to begin one takes as long as to read one or two.
const LEAST_ALONE: usize = 50;

/// The number of a day by which the course counts: days since 1970 began.
pub fn course_day(day: Date) -> i64 {
    day.duration_since(date(1970, 1, 1)).as_hours() / 24
}

/// Letters in boxes, as writing. Those that were not finished are no try.
fn boxes(db: &Connection, learner: i64, filter: &WritingFilter, skipped: &Skipped) -> Result<Vec<Writing>> {
    let (condition, values) = filter.condition("a", "i.word");
    let mut query = db.prepare(&format!(
        "SELECT a.id, s.id, i.word, a.edits, a.day, a.at, a.changed FROM attempt a JOIN session s ON s.n = a.session
             JOIN item i ON i.n = a.item
         WHERE a.learner = ? AND a.undone = 0 AND instr(a.edits, '\"letters\":') > 0{condition}
         ORDER BY a.day, a.at, a.n"
    ))?;
    let mut rows = query.query(params_from_iter([vec![learner.into()], values].concat()))?;
    let mut all: Vec<Writing> = Vec::new();
    while let Some(row) = rows.next()? {
        let wrong = |e: &dyn std::fmt::Display| NotebookError::refused(format_args!("an attempt cannot be read: {e}"));
        let edits = serde_json::from_str::<Edits>(&row.get::<_, String>(3)?).map_err(|e| wrong(&e));
        let day = time::day_of(row.get(4)?).ok_or_else(|| wrong(&"it has no day"));
        let (Some(edits), Some(day)) = (skipped.row(edits)?, skipped.row(day)?) else {
            continue;
        };
        let new = in_boxes(row.get(0)?, row.get(2)?, &edits).map(|new| Writing {
            session: row.get(1).ok(),
            day,
            ..new
        });
        let Some(mut new) = new else { continue };
        (new.kept_at, new.changed) = (row.get(5)?, row.get(6)?);
        // A word that was said again has another attempt with the same letters.
        let again = |old: &Writing| (old.session, &old.word, &old.tries) == (new.session, &new.word, &new.tries);
        if !all.last().is_some_and(again) {
            all.push(new);
        }
    }
    Ok(all)
}

/// What the edits of an attempt say of writing; day, session and times are left open.
fn in_boxes(id: Id, word: String, edits: &Edits) -> Option<Writing> {
    let tries = [&edits.letters, &edits.after.letters];
    let tries: Vec<String> = tries.iter().filter(|t| finished(&word, t)).map(|t| joined(t)).collect();
    let shown = edits.after.shown.contains(&ShownAnswer::Letters);
    finished(&word, &edits.letters).then(|| Writing {
        id,
        session: None,
        word,
        tries,
        source: WritingSource::Boxes,
        help: if shown { Help::AfterFirst } else { Help::None },
        day: Date::default(),
        kept_at: Moment::default(),
        changed: Moment::default(),
    })
}

/// Whether letters in boxes are the whole of what the child meant to write: no box is empty; or they are the word itself, however
/// they are divided (*six* in three of four boxes); or they are as many as the boxes and go another way than the word does
/// (*bet* in two boxes for *bit*). A beginning of the word, such as *che* for *chess*, was left there.
fn finished(word: &str, boxes: &[String]) -> bool {
    let (written, empty) = (joined(boxes).to_lowercase(), |text: &String| text.trim().is_empty());
    let all = written.chars().count() >= boxes.len() && !word.starts_with(&written);
    !written.is_empty() && (!boxes.iter().any(empty) || written == word || all)
}

/// Every row of a learner that the filter picks, whether it is read or not, the latest first.
fn all(db: &Connection, learner: i64, filter: &WritingFilter, skipped: &Skipped) -> Result<Vec<Writing>> {
    let wanted = |source: WritingSource| filter.source.is_none_or(|s| s == source);
    let (condition, values) = filter.condition("w", "w.word");
    let mut all = rows::pick(db, learner, &condition, values, skipped)?;
    if wanted(WritingSource::Boxes) {
        all.extend(boxes(db, learner, filter, skipped)?);
    }
    all.retain(|row| wanted(row.source));
    all.sort_by_key(|row| std::cmp::Reverse((row.day, row.kept_at)));
    Ok(all)
}

impl Notebook {
    /// What a learner wrote that the filter picks, the latest first; letters in the boxes of lessons too.
    ///
    /// # Errors
    /// When there is no such learner, or the family's own pronunciations cannot be read.
    pub fn writings(&self, learner: Id, filter: &WritingFilter, page: ListRange) -> Result<Vec<Writing>> {
        let picked = self.picked(learner, filter)?;
        let place = |n: u64| usize::try_from(n).unwrap_or(usize::MAX);
        Ok(picked
            .into_iter()
            .skip(place(page.skip))
            .take(place(page.take))
            .collect())
    }

    /// How many rows the filter picks.
    ///
    /// # Errors
    /// As [`Notebook::writings`].
    pub fn count_writings(&self, learner: Id, filter: &WritingFilter) -> Result<u64> {
        Ok(self.picked(learner, filter)?.len() as u64)
    }

    fn picked(&self, learner: Id, filter: &WritingFilter) -> Result<Vec<Writing>> {
        let mut found = all(&self.db, learner::number(&self.db, learner)?, filter, &self.skipped)?;
        if filter.reads() {
            let overrides = self.overrides()?;
            let mut readings = Readings::new(&overrides);
            readings.read_ahead(&found);
            found.retain(|row| readings.first(row).is_some_and(|reading| filter.fits(reading)));
        }
        Ok(found)
    }

    /// The rows of a learner whose id begins with `sign`; those that were taken back too. None for an empty sign.
    ///
    /// # Errors
    /// When there is no such learner.
    pub fn writings_by_sign(&self, learner: Id, sign: &str) -> Result<Vec<Writing>> {
        if sign.is_empty() {
            return Ok(Vec::new());
        }
        let number = learner::number(&self.db, learner)?;
        let sign = Value::from(sign.to_lowercase());
        let values = vec![sign.clone(), sign];
        rows::pick_any(
            &self.db,
            number,
            " AND substr(lower(hex(w.id)), 1, length(?)) = ?",
            values,
            &self.skipped,
        )
    }

    /// What was kept at one go with a row, itself too, as a list from paper is; those that were taken back too.
    ///
    /// # Errors
    /// When there is no such learner.
    pub fn kept_with(&self, learner: Id, row: &Writing) -> Result<Vec<Writing>> {
        let number = learner::number(&self.db, learner)?;
        let values = vec![row.kept_at.0.into(), row.source.name().to_owned().into()];
        rows::pick_any(
            &self.db,
            number,
            " AND w.kept_at = ? AND w.source = ?",
            values,
            &self.skipped,
        )
    }

    /// The family's own ways of saying words, which lie beside the notebook.
    ///
    /// # Errors
    /// When they are there and cannot be read.
    pub fn overrides(&self) -> Result<Overrides> {
        let own = store::overrides_in(&self.folder);
        own.map_err(|e| NotebookError::refused(e.into_line("the family's own pronunciations cannot be read")))
    }

    /// The first tries of a learner that were made without help, as the course reads them, the oldest first: from dictations, from
    /// paper and from the letters in the boxes of lessons. Days are numbered by [`course_day`].
    ///
    /// # Errors
    /// As [`Notebook::writings`].
    pub fn course_tries(&self, learner: Id) -> Result<Vec<WrittenTry>> {
        let mut found = all(
            &self.db,
            learner::number(&self.db, learner)?,
            &WritingFilter::default(),
            &self.skipped,
        )?;
        // Other words say nothing of a choice.
        found.retain(|row| row.own() && CourseWords::known(&row.word).is_some());
        let overrides = self.overrides()?;
        let mut readings = Readings::new(&overrides);
        readings.read_ahead(&found);
        let tried = |row: &Writing| WrittenTry::of(course_day(row.day), readings.first(row)?);
        Ok(found.iter().rev().filter_map(tried).collect())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn letters_in_boxes_are_a_try_however_they_are_divided_once_they_are_finished() {
        let is_try = |word: &str, texts: &[&str]| {
            let boxes: Vec<String> = texts.iter().map(|t| (*t).to_owned()).collect();
            finished(word, &boxes)
        };
        for (word, texts) in [
            ("six", &["s", "i", "x", ""][..]),
            ("sit", &["sit", "", ""]),
            ("bit", &["be", "t", ""]),
            ("chess", &["ch", "e", "s"]),
        ] {
            assert!(is_try(word, texts), "{word} {texts:?}");
        }
        for (word, texts) in [
            ("chess", &["ch", "e", ""][..]),
            ("bit", &["b", "", ""]),
            ("bit", &["", "", ""]),
            ("bit", &["b", "e", ""]),
        ] {
            assert!(!is_try(word, texts), "{word} {texts:?} was left there");
        }
    }

    #[test]
    fn what_is_read_ahead_is_what_is_read_one_by_one() {
        let overrides = Overrides::default();
        let words = ["bridge", "light", "catch", "made", "friend"];
        // More than one core's part, some of it twice, some of it no word.
        let row = |n: usize| Writing {
            id: format!("{n:032x}").parse().unwrap(),
            session: None,
            word: words[n % words.len()].to_owned(),
            tries: vec![match n % 7 {
                0 => words[n % words.len()].to_owned(),
                1 => "3!".to_owned(),
                _ => format!("{}{}", &words[n % words.len()][1..], char::from(b'a' + (n % 26) as u8)),
            }],
            source: WritingSource::Paper,
            help: Help::None,
            day: Date::default(),
            kept_at: Moment::default(),
            changed: Moment::default(),
        };
        let rows: Vec<Writing> = (0..400).map(row).collect();
        let (mut ahead, mut alone) = (Readings::new(&overrides), Readings::new(&overrides));
        ahead.read_ahead(&rows);
        assert!(ahead.known.len() > LEAST_ALONE, "{}", ahead.known.len());
        for row in &rows {
            let known = ahead.known.get(&(row.word.clone(), row.first().to_owned()));
            assert_eq!(known.expect("it was read").as_ref(), alone.first(row), "{row:?}");
        }
    }
}
