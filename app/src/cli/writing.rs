//! `soundbead writing`: what a child wrote, kept and looked at.

use std::path::{Path, PathBuf};

use clap::{ArgGroup, Args};
use jiff::civil::Date;
use serde_json::{Value, json};
use soundbead_data::Sound;
use soundbead_data::course::Choice;
use soundbead_data::inventory;
use soundbead_data::word::Overrides;
use soundbead_data::writing::SpellingAnalysis;

use super::{options, values};
use crate::ask::paper::{PaperWords, Unread};
use crate::ask::writing::{ChoiceStretch, MatrixCell, MatrixRow, ReadWritings, ThenAndNow};
use crate::ask::wrote::WroteAnswer;
use crate::fault::{Fault, one_line};
use crate::list;
use crate::notebook::{Id, Learner, ListRange as Part, Notebook, Readings, Writing, WritingFilter, WritingSource};
use crate::page::{OutputPage, pad};
use crate::say::many;
use crate::wording::{self, misspelling};

#[derive(Args)]
#[command(after_help = MORE, group = ArgGroup::new("looks").multiple(true))]
pub struct WritingArgs {
    /// The learner's name
    learner: String,
    /// Keeps what the child wrote on paper: a list or a passage in FILE
    #[arg(long, value_name = "FILE", group = "deed", conflicts_with = "looks")]
    add: Option<PathBuf>,
    /// The day on which it was written; today when not given
    #[arg(long, value_name = "DAY", value_parser = values::day, requires = "add")]
    day: Option<Date>,
    /// Takes back what the sign names, which stands before each row
    #[arg(long, value_name = "SIGN", group = "deed", conflicts_with = "looks")]
    undo: Option<String>,
    /// Brings back what was taken back
    #[arg(long, value_name = "SIGN", group = "deed", conflicts_with = "looks")]
    redo: Option<String>,
    /// With --undo or --redo: everything that was added with it, from one file
    #[arg(long, conflicts_with_all = ["add", "looks"])]
    whole: bool,
    /// What was written for each sound
    #[arg(long, group = "looks")]
    matrix: bool,
    /// Of this word alone
    #[arg(long, group = "looks")]
    word: Option<String>,
    /// Of words that have this sound
    #[arg(long = "sounds", value_name = "SOUND", value_parser = values::sound, group = "looks")]
    sound: Option<Sound>,
    /// Of words that meet this choice of spelling, such as "ge, dge or j"; and the choice then and now
    #[arg(long, value_parser = values::choice, group = "looks")]
    choice: Option<Choice>,
    /// The day from which on it is "now"; the middle of the days on which something was written when not given
    #[arg(long, value_name = "DAY", value_parser = values::day, requires = "choice")]
    since: Option<Date>,
    /// First tries with this finding (`soundbead help wrote` tells what each means), at the sound or the choice where one is named
    #[arg(long, value_parser = values::finding(), ignore_case = true, group = "looks")]
    finding: Option<values::FindingName>,
    /// Written there alone
    #[arg(long, value_name = "WHERE", value_parser = values::writing_source(), ignore_case = true, group = "looks")]
    source: Option<WritingSource>,
    #[command(flatten)]
    days: options::DaysArgs,
    /// At most N of them
    #[arg(long, value_name = "N", default_value = "50", value_parser = values::number("a number of rows", 1..=1_000_000_u64))]
    most: u64,
    /// One JSON object a line
    #[arg(long)]
    json: bool,
}

const MORE: &str = "\
What a child wrote is kept as it was written; the first try never changes. What
it shows is worked out anew each time it is looked at. Letters in the boxes of
a lesson are shown with the rest.

FILE for --add holds a passage or a list: what was meant stands behind what was
written where the two differ (`siter = sister`); or lines with the word, a tab
and what was written. A word that is none, without what was meant, is not kept
as the child's own: it is named, and the rest is kept. Add the file again once
it is mended: what is kept already is not kept twice.

The JSON answer: id, day, word, tries, source, help, and reading (as
`soundbead wrote --json`), null where it cannot be read. It shows how words
were spelled; it is no test of a child.

For example:
  $ soundbead writing Juno
  Nothing that Juno wrote is in the notebook yet; ...
  ...";

impl WritingArgs {
    /// Keeps, takes back, or shows.
    ///
    /// # Errors
    /// One line for what was asked and cannot be done, or when nothing can be written to standard output.
    pub fn run(self, page: &mut OutputPage) -> Result<(), Fault> {
        let mut notebook = Notebook::open()?;
        let learner = options::learner(&notebook, &self.learner)?;
        if let Some(file) = &self.add {
            let added = add(&mut notebook, &learner, file, self.day)?;
            return added.show(page, &learner, self.json);
        }
        match (&self.undo, &self.redo) {
            (Some(sign), _) => return mark(page, &mut notebook, &learner, sign, (false, self.whole)),
            (_, Some(sign)) => return mark(page, &mut notebook, &learner, sign, (true, self.whole)),
            _ if self.whole => return Err(Fault::input("--whole goes with --undo or --redo; give one of them")),
            _ => {}
        }
        self.look(page, &notebook, &learner)
    }

    fn look(&self, page: &mut OutputPage, notebook: &Notebook, learner: &Learner) -> Result<(), Fault> {
        let filter = self.filter()?;
        let own = notebook.overrides()?;
        if self.matrix {
            let rows = notebook.writings(learner.id, &filter, EVERY)?;
            return matrix(page, &ReadWritings::of(&rows, &own).matrix(), self.json);
        }
        if let Some(choice) = self.choice {
            let rows = notebook.writings(learner.id, &filter, EVERY)?;
            let evidence = ReadWritings::of(&rows, &own);
            let since = self.since.or(evidence.middle());
            let compared = since.map(|day| (day, evidence.choice_then_and_now(choice, day)));
            if let Some((day, compared)) = compared {
                then_and_now(page, day, &compared, self.json)?;
            }
        }
        let all = notebook.count_writings(learner.id, &filter)?;
        let part = Part {
            skip: 0,
            take: self.most,
        };
        let rows = notebook.writings(learner.id, &filter, part)?;
        show(page, &rows, &own, self.json)?;
        if self.json {
            return Ok(());
        }
        let shown = rows.len() as u64;
        if all == 0 {
            page.paragraph(0, &none(&learner.name, &filter))?;
        } else if shown < all {
            page.line(&format!("The latest {shown} of {all}; --most N shows more."))?;
        }
        Ok(())
    }

    fn filter(&self) -> Result<WritingFilter, Fault> {
        let span = self.days.span()?;
        let found = self.finding;
        Ok(WritingFilter {
            word: self.word.as_ref().map(|w| w.trim().to_lowercase()),
            sound: self.sound,
            choice: self.choice,
            finding: found.and_then(values::FindingName::finding),
            added: found == Some(values::FindingName::Added),
            source: self.source,
            from: span.from,
            to: span.to,
        })
    }
}

/// All rows there are.
const EVERY: Part = Part {
    skip: 0,
    take: u64::MAX,
};

fn none(name: &str, filter: &WritingFilter) -> String {
    match *filter == WritingFilter::default() {
        true => format!(
            "Nothing that {name} wrote is in the notebook yet; `soundbead writing \"{name}\" --add FILE` keeps a list or a passage \
             from paper."
        ),
        false => format!("Nothing of that kind that {name} wrote is in the notebook."),
    }
}

/// What was added, and what could not be.
struct AddedWriting {
    kept: Vec<Writing>,
    again: usize,
    unread: Vec<Unread>,
}

/// Keeps what a file holds.
fn add(notebook: &mut Notebook, learner: &Learner, file: &Path, day: Option<Date>) -> Result<AddedWriting, Fault> {
    let text = list::read_text(file)
        .map_err(|why| Fault::input(format_args!("{}: {why}; wanted a text file", file.display())))?;
    let paper = PaperWords::read(&text, &notebook.overrides()?);
    let day = day.unwrap_or_else(|| jiff::Zoned::now().date());
    let there = WritingFilter {
        source: Some(WritingSource::Paper),
        from: Some(day),
        to: Some(day),
        ..WritingFilter::default()
    };
    let (new, again) = paper.new_beside(&notebook.writings(learner.id, &there, EVERY)?, day);
    if new.is_empty() && again == 0 {
        let why = paper
            .unread
            .first()
            .map_or("it holds no word".to_owned(), ToString::to_string);
        return Err(Fault::input(format_args!("{}: nothing is kept: {why}", file.display())));
    }
    Ok(AddedWriting {
        kept: notebook.keep_writings(learner.id, &new)?,
        again,
        unread: paper.unread,
    })
}

impl AddedWriting {
    fn show(&self, page: &mut OutputPage, learner: &Learner, json: bool) -> Result<(), Fault> {
        if json {
            let unread: Vec<Value> = self
                .unread
                .iter()
                .map(|u| json!({ "id": u.text, "error": u.to_string() }))
                .collect();
            let ids: Vec<Id> = self.kept.iter().map(|w| w.id).collect();
            return Ok(page.json(&json!({ "kept": ids, "again": self.again, "unread": unread }))?);
        }
        for unread in &self.unread {
            page.paragraph(0, &format!("Not kept: {unread}"))?;
        }
        let again = match self.again {
            0 => String::new(),
            n => format!(
                " {} there already.",
                if n == 1 {
                    "1 was".to_owned()
                } else {
                    format!("{n} were")
                }
            ),
        };
        page.line(&format!("{} kept.{again}", many(self.kept.len(), "word")))?;
        if let Some(first) = self.kept.first() {
            let (name, sign) = (&learner.name, options::sign(&first.id));
            page.line(&format!("Undo: soundbead writing \"{name}\" --undo {sign} --whole"))?;
        }
        Ok(())
    }
}

/// Takes rows back, or brings them again.
fn mark(
    page: &mut OutputPage,
    notebook: &mut Notebook,
    learner: &Learner,
    sign: &str,
    (again, whole): (bool, bool),
) -> Result<(), Fault> {
    let all = notebook.writings_by_sign(learner.id, sign.trim())?;
    let one = match &all[..] {
        [one] => one.clone(),
        [] => return Err(no_row(learner, sign)),
        _ => {
            return Err(Fault::input(format_args!(
                "more than one row has the sign {}; write more of its id, which --json shows",
                one_line(sign)
            )));
        }
    };
    let rows = match whole {
        true => notebook.kept_with(learner.id, &one)?,
        false => vec![one],
    };
    for row in &rows {
        match again {
            true => notebook.redo_writing(row.id)?,
            false => notebook.take_back_writing(row.id)?,
        }
    }
    let (what, other) = if again {
        ("back again", "undo")
    } else {
        ("taken back", "redo")
    };
    let whole = if whole { " --whole" } else { "" };
    page.line(&format!("{} {what}.", many(rows.len(), "word")))?;
    Ok(page.line(&format!(
        "{}: soundbead writing \"{}\" --{other} {}{whole}",
        if again {
            "Undo"
        } else {
            "Within a day, to bring it back"
        },
        learner.name,
        options::sign(&rows[0].id)
    ))?)
}

fn no_row(learner: &Learner, sign: &str) -> Fault {
    Fault::input(format_args!(
        "there is no row {} of {}; `soundbead writing \"{}\"` shows the sign of each. Letters in the boxes of a lesson are taken \
         back in the lesson",
        one_line(sign),
        learner.name,
        learner.name
    ))
}

fn show(page: &mut OutputPage, rows: &[Writing], own: &Overrides, as_lines: bool) -> Result<(), Fault> {
    let mut readings = Readings::new(own);
    for row in rows {
        let reading = readings.first(row);
        match as_lines {
            true => page.json(&as_json(row, reading))?,
            false => page.line(&in_a_line(row, reading))?,
        }
    }
    Ok(())
}

fn as_json(row: &Writing, reading: Option<&SpellingAnalysis>) -> Value {
    json!({
        "id": row.id, "session": row.session, "day": row.day.to_string(), "word": row.word, "tries": row.tries,
        "source": row.source.name(), "help": row.help.name(),
        "reading": reading.cloned().map(WroteAnswer::of),
    })
}

fn in_a_line(row: &Writing, reading: Option<&SpellingAnalysis>) -> String {
    let shows = match reading {
        None => "cannot be read as one word".to_owned(),
        Some(reading) => misspelling::short(reading),
    };
    let helped = match row.help {
        crate::notebook::Help::None => "",
        crate::notebook::Help::AfterFirst => ", then helped",
        crate::notebook::Help::BeforeFirst => ", with help",
    };
    let tries: Vec<String> = row.tries.iter().map(|t| one_line(t)).collect();
    format!(
        "{}  {}  {} {}  {shows}{helped}",
        options::sign(&row.id),
        row.day,
        pad(&row.word, 12),
        pad(&tries.join(", "), 14)
    )
    .trim_end()
    .to_owned()
}

fn matrix(page: &mut OutputPage, rows: &[MatrixRow], as_lines: bool) -> Result<(), Fault> {
    if as_lines {
        return Ok(rows.iter().try_for_each(|row| page.json(row))?);
    }
    if rows.is_empty() {
        return Ok(page.line("Nothing of that kind is in the notebook.")?);
    }
    for row in rows {
        let cells: Vec<String> = row.wrote.iter().map(cell).collect();
        let plain = inventory::find(row.sound).map_or(row.sound, |entry| entry.shown());
        let head = format!("{} kept {} of {}: ", pad(plain, 3), row.kept, row.times);
        page.paragraph(2, &(head + &cells.join(", ")))?;
    }
    Ok(page.paragraph(
        0,
        "First tries without help. A star: letters that were not the word's own.",
    )?)
}

/// `ge 3 (2*)`: written three times, twice where the word has other letters.
fn cell(cell: &MatrixCell) -> String {
    let letters = if cell.letters.is_empty() {
        "nothing"
    } else {
        &cell.letters
    };
    match cell.times - cell.kept {
        0 => format!("{letters} {}", cell.times),
        n if n == cell.times => format!("{letters} {n}*"),
        n => format!("{letters} {} ({n}*)", cell.times),
    }
}

fn then_and_now(page: &mut OutputPage, since: Date, compared: &ThenAndNow, json: bool) -> Result<(), Fault> {
    if json {
        return Ok(page.json(&json!({ "since": since.to_string(), "then_and_now": compared }))?);
    }
    let said = |stretch: &Option<ChoiceStretch>| match stretch {
        None => "not met".to_owned(),
        Some(s) => format!(
            "kept in {} of {}{} ({} to {} %)",
            s.kept,
            many(s.met, "word"),
            wording::kept_first(s.kept, s.kept_first),
            (100.0 * s.low).round(),
            (100.0 * s.high).round()
        ),
    };
    page.line(&format!("{}, before {since} and from then on:", compared.choice))?;
    page.line(&format!("  then  {}", said(&compared.then)))?;
    page.line(&format!("  now   {}", said(&compared.now)))?;
    for again in &compared.again {
        page.line(&format!(
            "  {}  {}, now {}",
            pad(&again.word, 12),
            one_line(&again.then),
            one_line(&again.now)
        ))?;
    }
    Ok(page.line("")?)
}
