//! `soundbead restore`: a copy of the notebook put back.

use clap::Args;

use super::options;
use crate::fault::Fault;
use crate::notebook::backup::{self, Backup};
use crate::page::OutputPage;
use crate::say::many;
use crate::store;

#[derive(Args)]
#[command(after_help = MORE)]
pub struct RestoreArgs {
    /// The copy's day, or its file's name; the copies are listed when not given
    copy: Option<String>,
}

const MORE: &str = "\
A copy of all that is written is made every week and before a new version changes
the notebook; three are kept, and each goes with a learner who is in it and is
erased. Recordings are not in it: they are never changed. What is in the
notebook's place now is kept as a copy too.

For example:
  $ soundbead restore
  ...";

impl RestoreArgs {
    /// Lists the copies, or puts one back.
    ///
    /// # Errors
    /// One line for what was asked and cannot be done, or when nothing can be written to standard output.
    pub fn run(self, page: &mut OutputPage) -> Result<(), Fault> {
        let folder = store::folder()?;
        let all = backup::all(&folder)?;
        let Some(wanted) = self.copy else {
            return list(page, &all);
        };
        let named = |b: &&Backup| b.day.to_string() == wanted || file_name(b) == wanted;
        let Some(copy) = all.iter().find(named) else {
            return Err(Fault::input(format_args!(
                "there is no copy `{}`; `soundbead restore` lists them",
                crate::fault::one_line(&wanted)
            )));
        };
        let aside = backup::restore(&folder, copy)?;
        page.line(&format!("The notebook of {} is put back.", copy.day))?;
        if let Some(aside) = aside {
            page.line(&format!("The one that was here is kept as {}", aside.display()))?;
        }
        options::cautions(&crate::notebook::Notebook::open_in(&folder)?);
        Ok(())
    }
}

fn file_name(copy: &Backup) -> String {
    copy.path.file_name().unwrap_or_default().to_string_lossy().into_owned()
}

fn list(page: &mut OutputPage, all: &[Backup]) -> Result<(), Fault> {
    if all.is_empty() {
        return Ok(page.line("There is no copy of the notebook yet; one is made every week.")?);
    }
    for copy in all {
        let held = match copy.held() {
            Ok(held) => format!("{}, {}", many(held.learners, "learner"), many(held.attempts, "attempt")),
            Err(e) => format!("cannot be read: {e}"),
        };
        page.line(&format!("{}   {held}   {}", copy.day, file_name(copy)))?;
    }
    Ok(page.paragraph(0, "`soundbead restore DAY` puts one back.")?)
}
