//! `soundbead handover`: a learner on the way from one notebook to another.

use std::path::{Path, PathBuf};

use clap::{Args, Subcommand};
use serde_json::json;

use super::options;
use crate::fault::{Fault, unusable};
use crate::notebook::Notebook;
use crate::notebook::handover::{Handover, WrittenArchive};
use crate::page::OutputPage;
use crate::say::many;
use crate::sheet::save::NotSaved;

#[derive(Args)]
#[command(after_help = MORE)]
pub struct HandoverArgs {
    #[command(subcommand)]
    way: HandoverCommand,
}

#[derive(Subcommand)]
enum HandoverCommand {
    /// Writes a learner into an archive for another notebook, such as the consultant's
    Export(HandoverExportArgs),
    /// Takes an archive in
    Import(HandoverImportArgs),
}

#[derive(Args)]
struct HandoverExportArgs {
    /// The learner's name
    learner: String,
    /// The archive to write
    #[arg(long, value_name = "FILE.soundbead")]
    out: PathBuf,
    /// The recordings too
    #[arg(long)]
    recordings: bool,
    #[command(flatten)]
    days: options::DaysArgs,
    /// Locks it by the passphrase in FILE, or on standard input where FILE is -
    #[arg(long, value_name = "FILE")]
    passphrase: Option<PathBuf>,
    /// Puts the new file in the place of one that is there
    #[arg(long)]
    force: bool,
    /// What was written, as one JSON object
    #[arg(long)]
    json: bool,
}

#[derive(Args)]
struct HandoverImportArgs {
    /// The archive
    archive: PathBuf,
    /// Unlocks it by the passphrase in FILE, or on standard input where FILE is -
    #[arg(long, value_name = "FILE")]
    passphrase: Option<PathBuf>,
    /// What came in, as one JSON object
    #[arg(long)]
    json: bool,
}

const MORE: &str = "\
What comes in is merged: nothing is doubled, notes and rulings are added, of two
changes to one thing the later stands and the other is kept. Both sides end
equal. An archive that was changed, cut short, or is not this program's is
refused whole; a row that no notebook writes is set aside, with its reason. Its format is described in app/src/notebook/FORMAT.md. Ask your
local rules on records of children before you send one.

For example:
  $ soundbead handover export Juno --recordings --out juno.soundbead
  juno.soundbead: Juno with 3 attempts, 1 note, 3 recordings.
  ...
  $ soundbead handover import juno.soundbead
  Juno: nothing new; the notebook had all of it already.";

impl HandoverArgs {
    /// Writes an archive, or takes one in.
    ///
    /// # Errors
    /// One line for what was asked and cannot be done, or when nothing can be written to standard output.
    pub fn run(self, page: &mut OutputPage) -> Result<(), Fault> {
        match self.way {
            HandoverCommand::Export(args) => args.run(page),
            HandoverCommand::Import(args) => args.run(page),
        }
    }
}

impl HandoverExportArgs {
    fn run(self, page: &mut OutputPage) -> Result<(), Fault> {
        let span = self.days.span()?;
        let what = Handover {
            recordings: self.recordings,
            passphrase: self.passphrase.as_deref().map(passphrase).transpose()?,
            from: span.from,
            to: span.to,
        };
        let mut notebook = Notebook::open()?;
        let learner = options::learner(&notebook, &self.learner)?;
        free(&self.out, self.force)?;
        let written = notebook.hand_over(learner.id, &what, &self.out, &|_| true)?;
        options::cautions(&notebook);
        if self.json {
            return Ok(page.json(
                &json!({"file": self.out, "attempts": written.attempts, "notes": written.notes,
                "goals": written.goals, "writings": written.writings, "recordings": written.recordings, "missing": written.missing}),
            )?);
        }
        page.line(&said_of_export(&self.out, &learner.name, &written))?;
        if written.missing > 0 {
            let are = if written.missing == 1 { "is" } else { "are" };
            page.line(&format!(
                "{} {are} missing or damaged here, and left out.",
                many(written.missing, "recording")
            ))?;
        }
        if !what.recordings {
            page.paragraph(0, SILENT)?;
        }
        let care = if what.passphrase.is_some() { LOCKED } else { OPEN };
        Ok(page.paragraph(0, care)?)
    }
}

impl HandoverImportArgs {
    fn run(self, page: &mut OutputPage) -> Result<(), Fault> {
        let passphrase = self.passphrase.as_deref().map(passphrase).transpose()?;
        let mut notebook = Notebook::open()?;
        let merged = notebook.take_in(&self.archive, passphrase.as_deref(), &|_| true)?;
        options::cautions(&notebook);
        if self.json {
            return Ok(
                page.json(&json!({"learner": merged.learner.name, "id": merged.learner.id,
                "new": merged.new, "added": merged.added, "changed": merged.changed, "removed": merged.removed,
                "recordings": merged.recordings, "set_aside": merged.aside, "redated": merged.redated,
                "clock_ahead_days": merged.days_ahead}))?,
            );
        }
        page.paragraph(0, &merged.told())?;
        merged.besides().iter().try_for_each(|line| page.paragraph(0, line))?;
        Ok(())
    }
}

const SILENT: &str = "Without --recordings nobody there can listen: what was said cannot be ruled on, and notes that point at a \
     moment point at nothing.";
const LOCKED: &str = "It opens with the passphrase alone; give that another way than the file.";
const OPEN: &str = "It holds a child's records, and anyone who has the file can read it. --passphrase locks it.";

fn said_of_export(out: &Path, name: &str, written: &WrittenArchive) -> String {
    format!("{}: {name} with {}.", out.display(), written.told())
}

/// A passphrase from a file, or from standard input when the file is `-`: never from the command line, which other
/// programs can see. Its last line break is no part of it.
fn passphrase(path: &Path) -> Result<String, Fault> {
    use std::io::Read;
    // A passphrase is a few words; what is longer is another file.
    const MOST: u64 = 4_096;
    let cannot = |e| unusable(path, "the passphrase cannot be read", &e);
    let mut text = String::new();
    if path.as_os_str() == "-" {
        std::io::stdin().take(MOST).read_to_string(&mut text).map_err(cannot)?;
    } else {
        let file = std::fs::File::open(path).map_err(cannot)?;
        file.take(MOST).read_to_string(&mut text).map_err(cannot)?;
    }
    let text = text.trim_end_matches(['\n', '\r']).to_owned();
    if text.is_empty() {
        return Err(Fault::input(
            "--passphrase: it is empty; an empty passphrase locks nothing",
        ));
    }
    Ok(text)
}

/// Refuses a file that is there, unless it may be replaced.
///
/// # Errors
/// One line when the file is there and may not be replaced.
pub fn free(path: &Path, replace: bool) -> Result<(), Fault> {
    if path.as_os_str() == "-" {
        return Err(Fault::input(
            "--out: an archive cannot go to standard output; name a file",
        ));
    }
    if path.exists() && !replace {
        return Err(options::not_saved(NotSaved::There(path.to_owned())));
    }
    Ok(())
}
