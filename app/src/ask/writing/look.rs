//! A learner's writing as it is looked at: the rows that a filter picks, and what they add up to.

use jiff::civil::Date;

use super::{Example, MatrixRow, ReadWritings, ThenAndNow};
use crate::notebook::{Help, Id, ListRange, Notebook, Readings, Result, Writing, WritingFilter};
use crate::wording::{self, misspelling};

/// What a filter picks, and what it adds up to.
#[derive(Clone, Debug, PartialEq)]
pub struct LookedWriting {
    /// Whether anything was written, whatever is looked for.
    pub any: bool,
    /// The rows, the latest first.
    pub rows: Vec<LookedRow>,
    /// What was written for each sound.
    pub matrix: Vec<MatrixRow>,
    /// The day that parts then from now; none where all was written on one day.
    pub since: Option<Date>,
    /// Every choice that was met, or the one that is looked for, then and now.
    pub choices: Vec<ThenAndNow>,
    /// Telling examples.
    pub examples: Vec<Example>,
}

/// A row as people read it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LookedRow {
    /// The word.
    pub word: String,
    /// The first try, as it was written.
    pub first: String,
    /// The last, where it is another.
    pub last: Option<String>,
    /// Help, in words; none where there was none.
    pub help: Option<&'static str>,
    /// The day, `3 Sep 2026`.
    pub day: String,
    /// Where it was written, in words.
    pub from: &'static str,
    /// What the first try shows, in few signs.
    pub short: String,
    /// The same in sentences.
    pub says: String,
    /// Whether the first try is the word, letter by letter.
    pub right: bool,
}

/// Looks at a learner's writing. Runs on the notebook's thread: some thousand rows take a good second.
///
/// # Errors
/// When there is no such learner, or the notebook cannot be read.
pub fn look(notebook: &Notebook, learner: Id, filter: &WritingFilter) -> Result<LookedWriting> {
    const EVERY: ListRange = ListRange {
        skip: 0,
        take: u64::MAX,
    };
    let own = notebook.overrides()?;
    let rows = notebook.writings(learner, filter, EVERY)?;
    let evidence = ReadWritings::of(&rows, &own);
    let since = evidence.middle();
    // With one day alone, all of it is now.
    let parted = since.or(rows.last().map(|row| row.day));
    let choices = parted.map_or(Vec::new(), |since| match filter.choice {
        Some(choice) => vec![evidence.choice_then_and_now(choice, since)],
        None => evidence.then_and_now(since),
    });
    let mut readings = Readings::new(&own);
    Ok(LookedWriting {
        any: !rows.is_empty() || notebook.count_writings(learner, &WritingFilter::default())? > 0,
        rows: rows.iter().map(|row| LookedRow::of(row, &mut readings)).collect(),
        matrix: evidence.matrix(),
        since,
        choices,
        examples: evidence.examples(),
    })
}

impl LookedRow {
    fn of(row: &Writing, readings: &mut Readings) -> LookedRow {
        let unread = || "It is kept as it was written, but cannot be read as one word.".to_owned();
        let reading = readings.first(row);
        LookedRow {
            word: row.word.clone(),
            first: row.first().to_owned(),
            last: (row.last() != row.first()).then(|| row.last().to_owned()),
            help: (row.help != Help::None).then(|| wording::help(row.help)),
            day: row.day.strftime("%-d %b %Y").to_string(),
            from: wording::writing_source(row.source),
            short: reading.map_or_else(|| "cannot be read".to_owned(), misspelling::short),
            says: reading.map_or_else(unread, misspelling::line),
            right: reading.is_some_and(|reading| reading.right()),
        }
    }

    /// All of it in one line, for those who hear it.
    pub fn said(&self) -> String {
        let last = self
            .last
            .as_ref()
            .map_or(String::new(), |last| format!(", then {last}"));
        let help = self.help.map_or(String::new(), |help| format!(", {help}"));
        format!(
            "{}, written {}{last}{help}, {}, {}: {}",
            self.word, self.first, self.day, self.from, self.short
        )
    }
}
