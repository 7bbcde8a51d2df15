//! `soundbead export`: a learner's attempts and notes for other programs.

use std::path::PathBuf;

use clap::Args;

use super::handover::free;
use super::{options, values};
use crate::fault::Fault;
use crate::notebook::{Notebook, export};
use crate::page::OutputPage;
use crate::say::many;

#[derive(Args)]
#[command(after_help = MORE)]
pub struct ExportArgs {
    /// The form: csv, one attempt a line, or json, everything
    #[arg(value_parser = values::form(), ignore_case = true)]
    form: export::ExportForm,
    /// The learner's name
    learner: String,
    /// The file to write; - is standard output
    #[arg(long, value_name = "FILE")]
    out: PathBuf,
    #[command(flatten)]
    days: options::DaysArgs,
    /// Puts the new file in the place of one that is there
    #[arg(long)]
    force: bool,
}

const MORE: &str = "\
csv is RFC 4180 in UTF-8, with the fields id, day, at (UTC), word, sounds,
before, speaking, rules, model, expected, child, heard, verdict, sure, ruling,
ruled_by, ruled_sounds, letters, pointed_right, and recording (the SHA-256 that
names its file). Text that begins as a formula does gets an apostrophe before it.
json is one object: learner, attempts, writing, notes, vowels, with fields as
app/src/notebook/FORMAT.md describes it.

For example:
  $ soundbead export csv Juno --out juno.csv
  juno.csv: 3 attempts of Juno.";

impl ExportArgs {
    /// Writes the file.
    ///
    /// # Errors
    /// One line for what was asked and cannot be done, or when nothing can be written to standard output.
    pub fn run(self, page: &mut OutputPage) -> Result<(), Fault> {
        let span = self.days.span()?;
        let notebook = Notebook::open()?;
        let learner = options::learner(&notebook, &self.learner)?;
        if self.out.as_os_str() == "-" {
            let mut text = Vec::new();
            export::write_to(&notebook, learner.id, span, self.form, &mut text)?;
            options::cautions(&notebook);
            return Ok(page.raw(&text)?);
        }
        free(&self.out, self.force)?;
        let count = export::write(&notebook, learner.id, span, self.form, &self.out)?;
        options::cautions(&notebook);
        Ok(page.line(&format!(
            "{}: {} of {}.",
            self.out.display(),
            many(count, "attempt"),
            learner.name
        ))?)
    }
}
