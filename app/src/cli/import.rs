//! `soundbead import`: old recordings, by the folder, with their dates.

use std::io::{self, IsTerminal, Write};
use std::path::PathBuf;

use clap::Args;
use serde_json::{Value, json};

use super::options;
use crate::ask::import::{ImportOutcome, Importing, OldRecording};
use crate::fault::{Fault, one_line};
use crate::notebook::{Learner, Notebook};
use crate::page::{OutputPage, pad};
use crate::say::many;
use crate::wording;

#[derive(Args)]
#[command(after_help = MORE)]
pub struct ImportArgs {
    /// The folder with the recordings
    #[arg(required_unless_present_any = ["undo", "redo"])]
    folder: Option<PathBuf>,
    /// Whose recordings they are
    #[arg(long, value_name = "NAME")]
    learner: String,
    /// The list that says which word each is: CSV with the columns path, word and date; the CSV file in the folder when not given
    #[arg(long, value_name = "FILE", requires = "folder")]
    list: Option<PathBuf>,
    #[command(flatten)]
    spoken: options::SpeakingArgs,
    /// Shows what would be kept, and keeps nothing
    #[arg(long, requires = "folder")]
    dry_run: bool,
    /// Takes the learner's last import back
    #[arg(long, conflicts_with_all = ["folder", "redo"])]
    undo: bool,
    /// Brings back the import that was taken back
    #[arg(long, conflicts_with = "folder")]
    redo: bool,
    /// One JSON object a line
    #[arg(long)]
    json: bool,
}

const MORE: &str = r#"The word comes from the list, or from the file's name: `2024-05-03 pig 2.wav`,
`pig.wav`. The day comes from the list, the name, the name of a folder that the
file lies in, or else the file's own time. Each recording is judged as in a
lesson, and marked as imported. A file whose word or day cannot be told is
refused with its reason, and so is one that holds no speech. The same sound of
the same word and day is never kept twice: run it again once names are mended.

The list, a CSV file beside the recordings:
  path,word,date
  tape 1.wav,pig,2024-05-03

The JSON answer, a line for each recording: path, kept, word, day, day_from,
verdict, heard; and why, where it is not kept.

For example:
  $ soundbead import recordings-demo --learner Juno --dry-run
  ...
  would keep  ... hat          by the file's time ...
  ..."#;

impl ImportArgs {
    /// Brings the recordings in, or takes them back.
    ///
    /// # Errors
    /// One line for what was asked and cannot be done, or when nothing can be written to standard output.
    pub fn run(self, page: &mut OutputPage) -> Result<(), Fault> {
        let mut notebook = Notebook::open()?;
        let learner = options::learner(&notebook, &self.learner)?;
        let Some(folder) = &self.folder else {
            return mark(page, &mut notebook, &learner, self.undo);
        };
        let mut importing = Importing::new(notebook, learner, self.spoken.speaking(), self.dry_run)?;
        let found = importing.find(folder, self.list.as_deref())?;
        let mut told = ImportTold::new(found.each.len(), self.dry_run, self.json);
        for each in found.each {
            told.tell(page, &importing.take(each))?;
        }
        options::cautions(importing.notebook());
        told.finish(page, importing.learner(), found.others)
    }
}

/// What is told of an import.
struct ImportTold {
    all: usize,
    done: usize,
    kept: usize,
    there: usize,
    refused: usize,
    dry: bool,
    json: bool,
    terminal: bool,
}

impl ImportTold {
    fn new(all: usize, dry: bool, json: bool) -> ImportTold {
        // Where the lines themselves go to the terminal, they are progress enough.
        let terminal = io::stderr().is_terminal() && !io::stdout().is_terminal();
        ImportTold {
            all,
            done: 0,
            kept: 0,
            there: 0,
            refused: 0,
            dry,
            json,
            terminal,
        }
    }

    fn tell(&mut self, page: &mut OutputPage, outcome: &ImportOutcome) -> Result<(), Fault> {
        self.done += 1;
        match outcome {
            ImportOutcome::Kept(..) => self.kept += 1,
            ImportOutcome::There(_) => self.there += 1,
            ImportOutcome::Refused(_) => self.refused += 1,
        }
        match self.json {
            true => page.json(&self.as_json(outcome))?,
            false => page.line(&self.in_a_line(outcome))?,
        }
        page.flush()?;
        if self.terminal {
            // Progress that cannot be shown is no reason to stop.
            let _ = write!(io::stderr(), "\r{} of {}", self.done, self.all);
        }
        Ok(())
    }

    fn in_a_line(&self, outcome: &ImportOutcome) -> String {
        let line = |what: &str, old: &OldRecording, heard: &str| {
            format!(
                "{}  {}  {} {}  {}{heard}",
                pad(what, 10),
                old.day,
                pad(&old.word.spelling, 12),
                pad(old.day_source.words(), 18),
                one_line(&old.name)
            )
        };
        match outcome {
            ImportOutcome::Kept(old, judgement) => {
                let heard = judgement.verdict.map(|v| format!(": {}", wording::verdict(v).short));
                line(
                    if self.dry { "would keep" } else { "kept" },
                    old,
                    &heard.unwrap_or_default(),
                )
            }
            ImportOutcome::There(old) => line("there", old, ""),
            ImportOutcome::Refused(refused) => {
                format!("refused     {}: {}", one_line(&refused.name), one_line(&refused.why))
            }
        }
    }

    fn as_json(&self, outcome: &ImportOutcome) -> Value {
        let of = |old: &OldRecording, kept: bool| {
            json!({"path": old.name, "kept": kept, "word": old.word.spelling, "day": old.day.to_string(),
                "day_from": old.day_source.words()})
        };
        match outcome {
            ImportOutcome::Kept(old, judgement) => {
                let mut answer = of(old, !self.dry);
                answer["verdict"] = json!(judgement.verdict.map(|v| v.name()));
                answer["heard"] = json!(judgement.heard);
                answer
            }
            ImportOutcome::There(old) => {
                let mut answer = of(old, false);
                answer["why"] = json!("it is in the notebook already");
                answer
            }
            ImportOutcome::Refused(refused) => json!({"path": refused.name, "kept": false, "why": refused.why}),
        }
    }

    fn finish(&self, page: &mut OutputPage, learner: &Learner, others: usize) -> Result<(), Fault> {
        if self.terminal {
            let _ = write!(io::stderr(), "\r");
        }
        if self.json {
            return Ok(());
        }
        let kept = if self.dry { "would be kept" } else { "kept" };
        page.line(&format!(
            "{} {kept}, {} there already, {} refused.",
            many(self.kept, "recording"),
            self.there,
            self.refused
        ))?;
        if others > 0 {
            page.line(&format!(
                "{} passed over, which by the ending is no sound.",
                many(others, "other file")
            ))?;
        }
        if self.kept > 0 && !self.dry {
            page.line(&format!("Undo: soundbead import --learner \"{}\" --undo", learner.name))?;
        }
        Ok(())
    }
}

/// Takes the last import back, or brings it again.
fn mark(page: &mut OutputPage, notebook: &mut Notebook, learner: &Learner, undo: bool) -> Result<(), Fault> {
    let name = &learner.name;
    if undo {
        let count = notebook.take_back_import(learner.id)?;
        page.line(&format!("{} taken back.", many(count, "recording")))?;
        return Ok(page.line(&format!(
            "Within a day, to bring it back: soundbead import --learner \"{name}\" --redo"
        ))?);
    }
    let count = notebook.bring_back_import(learner.id)?;
    page.line(&format!("{} back again.", many(count, "recording")))?;
    Ok(page.line(&format!("Undo: soundbead import --learner \"{name}\" --undo"))?)
}
