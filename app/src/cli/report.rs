//! `soundbead report`: what the notebook holds of a learner, as a few pages or one HTML file.

use std::path::PathBuf;

use clap::Args;

use super::{options, values};
use crate::fault::Fault;
use crate::notebook::Notebook;
use crate::page::Page;
use crate::report;
use crate::sheet::Paper;

#[derive(Args)]
#[command(after_help = MORE)]
pub struct ReportArgs {
    /// The learner's name
    learner: String,
    /// The file to write: .pdf, or .html, one file that needs nothing else
    #[arg(long, value_name = "FILE")]
    out: PathBuf,
    /// The page of what the child wrote, and nothing else
    #[arg(long)]
    writing: bool,
    #[command(flatten)]
    days: options::Days,
    /// The size of the paper; letter when nothing is given
    #[arg(long, value_name = "SIZE", value_parser = values::paper(), ignore_case = true)]
    paper: Option<Paper>,
    /// Replaces a file that is there; without it none is touched
    #[arg(long)]
    force: bool,
}

const MORE: &str = "\
A few pages for the parent, the consultant, and whoever they choose to show them
to: what was said and counted, the patterns, what to practice next, counts over
time, sounds heard against sounds expected, vowels where they were measured, the
notes, a page of what the child wrote (each choice of spelling then and now,
what was written for each sound, five telling examples), the counting rules, and
how far to trust it.

The file is yours: erasing the learner from the notebook does not remove it. It
is a record about a child; there may be rules on who may keep and see it.

For example:
  $ soundbead report Juno --out juno.pdf
  juno.pdf: Juno, ...";

impl ReportArgs {
    /// Collects and writes.
    pub fn run(self, page: &mut Page) -> Result<(), Fault> {
        // A name that cannot be written to is said before the notebook is read.
        report::format(&self.out).map_err(Fault::input)?;
        let span = self.days.span()?;
        let notebook = Notebook::open()?;
        let learner = options::learner(&notebook, &self.learner)?;
        notebook.outside(&self.out)?;
        let mut data = report::collect(&notebook, learner.id, span.from, span.to)?;
        if self.writing && data.writing.is_none() {
            return Err(Fault::input(format_args!(
                "nothing that {} wrote is in the notebook for that time; `soundbead writing \"{}\" --add FILE` keeps what was \
                 written on paper",
                data.learner, data.learner
            )));
        }
        data.writing_alone = self.writing;
        options::cautions(&notebook);
        let paper = self.paper.unwrap_or_default();
        for file in report::save(&data, &self.out, paper, self.force).map_err(options::not_saved)? {
            page.line(&format!(
                "{}: {}, {} to {}",
                file.display(),
                data.learner,
                data.from,
                data.to
            ))?;
        }
        Ok(())
    }
}
