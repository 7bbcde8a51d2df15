//! A learner's records as plain CSV or JSON, for other programs. One way only: hand-overs are what comes back.

use std::io::{self, BufWriter, Write};
use std::path::Path;

use serde_json::json;

use super::error::fault;
use super::progress::DaySpan;
use super::{Attempt, Filter, Id, ListRange, Notebook, NotebookError, Result, Ruling, WritingFilter, WritingSource};
use crate::storage::{Access, NewFile};
use crate::{answer, visible};

/// In which form.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ExportForm {
    /// RFC 4180, UTF-8, a line of names first; attempts alone.
    Csv,
    /// One object: `learner`, `attempts`, `writing`, `notes`, `vowels`.
    Json,
}

/// The columns of the CSV form.
pub const COLUMNS: [&str; 20] = [
    "id",
    "day",
    "at",
    "word",
    "sounds",
    "before",
    "speaking",
    "rules",
    "model",
    "expected",
    "child",
    "heard",
    "verdict",
    "sure",
    "ruling",
    "ruled_by",
    "ruled_sounds",
    "letters",
    "pointed_right",
    "recording",
];
/// Attempts that are read at once.
const AT_ONCE: u64 = 2_000;

/// Writes the attempts of a span, the latest first, to a file that only its user may read; gives how many. The file is
/// whole or not there.
///
/// # Errors
/// When there is no such learner, or the file cannot be written or lies in the notebook's own folder.
pub fn write(notebook: &Notebook, learner: Id, span: DaySpan, form: ExportForm, to: &Path) -> Result<u64> {
    notebook.outside(to)?;
    let fault = fault(to);
    let mut file = BufWriter::new(NewFile::begin(to, Access::Private).map_err(&fault)?);
    let count = write_to(notebook, learner, span, form, &mut file)?;
    let placed = file.into_inner().map_err(io::Error::from).and_then(NewFile::put);
    placed.map_err(&fault)?;
    Ok(count)
}

/// As [`write`], to a stream.
///
/// # Errors
/// When there is no such learner, or the stream takes no more.
pub fn write_to(notebook: &Notebook, learner: Id, span: DaySpan, form: ExportForm, to: &mut dyn Write) -> Result<u64> {
    match form {
        ExportForm::Csv => csv(notebook, learner, span, to),
        ExportForm::Json => json(notebook, learner, span, to),
    }
}

fn each(notebook: &Notebook, learner: Id, span: DaySpan, mut take: impl FnMut(Attempt) -> Result<()>) -> Result<u64> {
    let filter = Filter {
        from: span.from,
        to: span.to,
        ..Filter::default()
    };
    let (mut skip, mut count) = (0, 0);
    // A page may be shorter than was asked for: rows that cannot be read are passed over.
    let all = notebook.count_attempts(learner, &filter)?;
    while skip < all {
        let page = notebook.attempts(learner, &filter, ListRange { skip, take: AT_ONCE })?;
        skip += AT_ONCE;
        count += page.len() as u64;
        page.into_iter().try_for_each(&mut take)?;
    }
    Ok(count)
}

fn unwritable(e: impl std::fmt::Display) -> NotebookError {
    NotebookError::refused(format_args!("the file cannot be written: {e}"))
}

fn csv(notebook: &Notebook, learner: Id, span: DaySpan, to: &mut dyn Write) -> Result<u64> {
    let mut table = csv::WriterBuilder::new()
        .terminator(csv::Terminator::CRLF)
        .from_writer(to);
    table.write_record(COLUMNS).map_err(unwritable)?;
    let count = each(notebook, learner, span, |a| {
        table.write_record(row(&a)).map_err(unwritable)
    })?;
    table.flush().map_err(unwritable)?;
    Ok(count)
}

/// Signs with which a spreadsheet's formula begins, and their full-width twins (U+FF01 on), which some take for them.
const FORMULA: [char; 10] = [
    '=', '+', '-', '@', '\t', '\r', '\u{ff1d}', '\u{ff0b}', '\u{ff0d}', '\u{ff20}',
];

/// Text for a cell: what cannot be seen has a sign, and what a spreadsheet would run as a formula an apostrophe before it.
fn cell(text: &str) -> String {
    let shown = visible::signs(text);
    let runs = text.trim_start_matches(visible::is_hidden).starts_with(FORMULA) || text.starts_with(FORMULA);
    format!("{}{shown}", if runs { "'" } else { "" })
}

/// One attempt's cells.
fn row(a: &Attempt) -> [String; COLUMNS.len()] {
    let number = |n: Option<u16>| n.map_or(String::new(), |n| n.to_string());
    let names = |sounds: &[soundbead_data::Sound]| answer::names(sounds).join(" ");
    let rulings = |of: &dyn Fn(&Ruling) -> String| a.edits.rulings.iter().map(of).collect::<Vec<_>>().join("; ");
    [
        a.id.to_string(),
        a.day.to_string(),
        a.moment().map_or(String::new(), |at| at.to_string()),
        cell(&a.word),
        names(&a.sounds),
        cell(a.before.as_deref().unwrap_or_default()),
        a.speaking.name().to_owned(),
        a.rules.to_string(),
        cell(&a.model),
        a.expected.to_string(),
        number(a.edits.child),
        number(a.heard),
        a.verdict.map_or(String::new(), |v| v.name().to_owned()),
        a.sure.map_or(String::new(), |p| format!("{p:.4}")),
        rulings(&|r| r.verdict.name().to_owned()),
        rulings(&|r| r.by.name().to_owned()),
        rulings(&|r| names(&r.sounds)).trim_matches([';', ' ']).to_owned(),
        cell(&a.edits.letters.join(" ")),
        a.edits.pointed.as_ref().map_or(String::new(), |p| p.right.to_string()),
        a.recording.map_or(String::new(), |r| r.to_string()),
    ]
}

fn json(notebook: &Notebook, learner: Id, span: DaySpan, to: &mut dyn Write) -> Result<u64> {
    let who = notebook
        .learner(learner)?
        .ok_or_else(|| NotebookError::refused("no such learner"))?;
    let mut put = |text: &str| to.write_all(text.as_bytes()).map_err(unwritable);
    let value = visible::json_text;
    put(&format!("{{\"learner\":{},\n\"attempts\":[", value(&json!(who))))?;
    let mut first = true;
    let count = each(notebook, learner, span, |a| {
        let mut all = json!(a);
        all["at"] = json!(a.moment());
        all["heard"] = a.heard.into();
        all["verdict"] = a.verdict.map(|v| v.name()).into();
        all["sure"] = a.sure.into();
        put(if std::mem::take(&mut first) { "\n" } else { ",\n" })?;
        put(&value(&all))
    })?;
    let inside = |day| span.from.is_none_or(|d| day >= d) && span.to.is_none_or(|d| day <= d);
    let (mut notes, mut vowels) = (notebook.notes(learner)?, notebook.vowels(learner)?);
    let written = WritingFilter {
        from: span.from,
        to: span.to,
        ..WritingFilter::default()
    };
    // Letters in boxes are with their attempt.
    let every = ListRange {
        skip: 0,
        take: u64::MAX,
    };
    let mut written = notebook.writings(learner, &written, every)?;
    written.retain(|w| w.source != WritingSource::Boxes);
    notes.retain(|n| inside(n.day));
    vowels.retain(|v| inside(v.day));
    put(&format!(
        "],\n\"writing\":{},\n\"notes\":{},\n\"vowels\":{}}}\n",
        value(&json!(written)),
        value(&json!(notes)),
        value(&json!(vowels))
    ))?;
    Ok(count)
}

#[cfg(test)]
mod tests {
    use super::cell;

    #[test]
    fn what_a_spreadsheet_would_run_is_marked_as_text() {
        for text in [
            "=1+1",
            "+1",
            "-1",
            "@x",
            "\u{ff1d}1",
            "\u{ff0b}1",
            "\u{ff0d}1",
            "\u{ff20}x",
            "\u{200b}=1",
            "\t=1",
        ] {
            assert!(cell(text).starts_with('\''), "{text:?}: {}", cell(text));
        }
        assert_eq!(cell("sh ee p"), "sh ee p");
        assert_eq!(cell("a\u{1b}[2J\u{202e}"), "a␛[2J<U+202E>");
    }
}
