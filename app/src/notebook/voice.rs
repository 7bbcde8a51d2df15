//! A learner's own voice: the settings of the ear that were found for it, and vowels as measured over the months.

use jiff::civil::Date;
use rusqlite::{Connection, OptionalExtension, params};
use serde::{Deserialize, Serialize};
use serde_json::Value;
use soundbead_data::Sound;

use super::bounds::{self, CheckResult, CheckedRow};
use super::skipped::Skipped;
use super::{Content, Id, Moment, Notebook, NotebookError, Result, learner, time};

/// The frequencies that a voice can have, in Hz: wider than any pitch or formant by a good margin.
const VOICE_HZ: std::ops::RangeInclusive<f64> = 10.0..=10_000.0;

/// The ear's settings for one voice. No part of the program makes or uses them now; those of earlier notebooks are kept and
/// handed over.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Enrolment {
    /// Its name in every notebook.
    pub id: Id,
    /// When it was done.
    pub at: Moment,
    /// The model it was done with.
    pub model: String,
    /// The numbers, as the ear gives and takes them.
    pub numbers: Value,
}

/// One vowel as the learner said it.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct VowelMeasure {
    /// Its name in every notebook.
    pub id: Id,
    /// When.
    pub at: Moment,
    /// The day on the family's calendar.
    #[serde(with = "time::iso")]
    pub day: Date,
    /// The vowel that was meant.
    pub vowel: Sound,
    /// The word it was said in, if in one.
    pub word: Option<String>,
    /// Pitch in Hz, where it could be told.
    pub f0: Option<f64>,
    /// First formant, Hz.
    pub f1: f64,
    /// Second formant, Hz.
    pub f2: f64,
    /// Third formant, Hz, where it could be told.
    pub f3: Option<f64>,
    /// What it was measured on, when that was kept.
    pub recording: Option<Content>,
}

impl VowelMeasure {
    fn read(row: &rusqlite::Row) -> Result<VowelMeasure> {
        let wrong = |e: String| NotebookError::refused(format_args!("a measured vowel cannot be read: {e}"));
        Ok(VowelMeasure {
            id: row.get(0)?,
            at: row.get(1)?,
            day: time::day_of(row.get(2)?).ok_or_else(|| wrong("it has no day".into()))?,
            vowel: row
                .get::<_, String>(3)?
                .parse()
                .map_err(|e: soundbead_data::sound::NotASound| wrong(e.to_string()))?,
            word: row.get(4)?,
            f0: row.get(5)?,
            f1: row.get(6)?,
            f2: row.get(7)?,
            f3: row.get(8)?,
            recording: row.get(9)?,
        })
    }
}

impl CheckedRow for Enrolment {
    fn check(&self) -> CheckResult {
        bounds::short("the model's name", &self.model)
    }

    fn state(&self) -> (Id, Moment) {
        (self.id, self.at)
    }

    fn times(&mut self) -> (Vec<&mut Moment>, Option<&mut Date>) {
        (vec![&mut self.at], None)
    }
}

impl CheckedRow for VowelMeasure {
    fn check(&self) -> CheckResult {
        let hz = [Some(self.f1), Some(self.f2), self.f3, self.f0];
        if hz.iter().flatten().any(|hz| !VOICE_HZ.contains(hz)) || !self.vowel.is_vowel() {
            return Err("its pitch or formants are none that a voice has, or its sound is no vowel".into());
        }
        bounds::short("the word", self.word.as_deref().unwrap_or_default())
    }

    fn state(&self) -> (Id, Moment) {
        (self.id, self.at)
    }

    fn times(&mut self) -> (Vec<&mut Moment>, Option<&mut Date>) {
        (vec![&mut self.at], Some(&mut self.day))
    }
}

/// Puts a measured vowel in as it stands.
pub(super) fn insert_vowel(db: &Connection, learner: i64, v: &VowelMeasure) -> Result<()> {
    let (day, vowel) = (time::day_number(v.day), v.vowel.arpabet());
    db.execute(
        "INSERT INTO vowel (id, learner, at, day, sound, word, f0, f1, f2, f3, recording)
         VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)",
        params![
            v.id,
            learner,
            v.at,
            day,
            vowel,
            v.word,
            v.f0,
            v.f1,
            v.f2,
            v.f3,
            v.recording
        ],
    )?;
    Ok(())
}

/// Puts an enrolment in as it stands.
pub(super) fn insert_enrolment(db: &Connection, learner: i64, e: &Enrolment) -> Result<()> {
    db.execute(
        "INSERT INTO enrolment (id, learner, at, model, numbers) VALUES (?, ?, ?, ?, ?)",
        params![e.id, learner, e.at, e.model, e.numbers.to_string()],
    )?;
    Ok(())
}

/// Every enrolment of a learner, the latest first.
pub(super) fn enrolments(db: &Connection, learner: i64) -> Result<Vec<Enrolment>> {
    let mut query =
        db.prepare("SELECT id, at, model, numbers FROM enrolment WHERE learner = ? ORDER BY at DESC, id")?;
    let rows = query.query_map([learner], |row| {
        Ok(Enrolment {
            id: row.get(0)?,
            at: row.get(1)?,
            model: row.get(2)?,
            numbers: serde_json::from_str(&row.get::<_, String>(3)?).unwrap_or_default(),
        })
    })?;
    Ok(rows.collect::<rusqlite::Result<_>>()?)
}

/// Every vowel measured of a learner, the earliest first.
pub(super) fn vowels(db: &Connection, learner: i64, skipped: &Skipped) -> Result<Vec<VowelMeasure>> {
    let mut query = db.prepare(
        "SELECT id, at, day, sound, word, f0, f1, f2, f3, recording FROM vowel WHERE learner = ? ORDER BY at, id",
    )?;
    let mut rows = query.query([learner])?;
    let mut all = Vec::new();
    while let Some(row) = rows.next()? {
        all.extend(skipped.row(VowelMeasure::read(row))?);
    }
    Ok(all)
}

impl Notebook {
    /// Keeps a vowel as it was measured. Its `id` is given here, whatever it says.
    ///
    /// # Errors
    /// When there is no such learner, or a formant is none that a voice has.
    pub fn keep_vowel(&mut self, learner: Id, measure: &VowelMeasure) -> Result<Id> {
        measure.check().map_err(NotebookError::refused)?;
        bounds::Clock::now().allow_day(measure.at, measure.day)?;
        let change = self.writing()?;
        let number = learner::number(&change, learner)?;
        let id = Id::fresh(&change)?;
        insert_vowel(&change, number, &VowelMeasure { id, ..measure.clone() })?;
        change.commit()?;
        Ok(id)
    }

    /// Every vowel measured of a learner, the earliest first.
    ///
    /// # Errors
    /// When there is no such learner.
    pub fn vowels(&self, learner: Id) -> Result<Vec<VowelMeasure>> {
        vowels(&self.db, learner::number(&self.db, learner)?, &self.skipped)
    }
}

/// Whether any row speaks of this recording.
pub(super) fn recording_is_used(db: &Connection, content: Content) -> Result<bool> {
    let found = db.query_row(
        "SELECT 1 FROM attempt WHERE recording = ?1 UNION ALL SELECT 1 FROM vowel WHERE recording = ?1 LIMIT 1",
        [content],
        |_| Ok(()),
    );
    Ok(found.optional()?.is_some())
}
