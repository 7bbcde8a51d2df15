//! `soundbead report`: what the notebook holds of a learner, as a few pages or one HTML file.

use std::path::PathBuf;

use clap::Args;

use super::{options, values};
use crate::fault::{Fault, one_line};
use crate::notebook::Notebook;
use crate::page::OutputPage;
use crate::report::{self, ReportData};
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
    days: options::DaysArgs,
    /// The size of the paper; letter when nothing is given
    #[arg(long, value_name = "SIZE", value_parser = values::paper(), ignore_case = true)]
    paper: Option<Paper>,
    /// Who made the report, to be named under its title
    #[arg(long, value_name = "NAME")]
    by: Option<String>,
    /// What to do with notes that name a diagnosis: print them, or leave-out
    #[arg(long, value_name = "WHAT", value_parser = ["print", "leave-out"])]
    diagnoses: Option<String>,
    /// Replaces a file that is there; without it none is touched
    #[arg(long)]
    force: bool,
}

const MORE: &str = "\
Pages for the parent, the consultant, a school, and whoever they choose to show
them to: who, when, by whom, what was planned; then and now on the same words;
what holds and what is fragile, with examples of what the child counted, said
and wrote; what is past; what to practice next, with words and a chain; charts;
the notes; how it was counted, and how far to trust it. One lesson gives a page
or two, months give three or four: charts that would leave a page half empty are
left out on paper and stand in the .html, which reads well on a telephone.

A note or goal that names a diagnosis is not printed unasked: --diagnoses says
what to do.

The file is yours: erasing the learner from the notebook does not remove it. It
is a record about a child; there may be rules on who may keep and see it.

For example:
  $ soundbead report Juno --out juno.pdf
  juno.pdf: Juno, ...";

impl ReportArgs {
    /// Collects and writes.
    ///
    /// # Errors
    /// One line for what was asked and cannot be done, or when nothing can be written to standard output.
    pub fn run(self, page: &mut OutputPage) -> Result<(), Fault> {
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
        data.by = self.by.as_deref().map(one_line);
        let left_out = self.ask_about_diagnoses(&mut data)?;
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
        if left_out > 0 {
            page.line(&format!(
                "Left out for naming a diagnosis: {left_out} of the notes, goals and lines on lessons."
            ))?;
        }
        Ok(())
    }

    /// A note that names a diagnosis goes in only where that was said; gives how many were left out.
    fn ask_about_diagnoses(&self, data: &mut ReportData) -> Result<usize, Fault> {
        match (self.diagnoses.as_deref(), data.names_diagnosis()) {
            (Some("leave-out"), _) => Ok(data.leave_diagnoses_out()),
            (None, Some((day, what, name))) => Err(Fault::input(format_args!(
                "a {what} of {} names a diagnosis ({name}); is it meant for everyone who will read the report? Nothing is written yet: \
                 --diagnoses leave-out leaves such notes out, --diagnoses print keeps them",
                day.strftime("%-d %B %Y")
            ))),
            _ => Ok(0),
        }
    }
}
