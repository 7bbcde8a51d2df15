//! What an installation needs beside the program, written from the table of commands: completions and man pages.

use std::fs;
use std::path::PathBuf;

use clap::Args;
use clap_complete::Shell;

use super::values;
use crate::fault::{Fault, unusable};
use crate::page::OutputPage;
use crate::say::many;

#[derive(Args)]
#[command(after_help = COMPLETIONS)]
pub struct CompletionsArgs {
    /// The shell
    #[arg(value_parser = values::one_of::<Shell>(&["bash", "elvish", "fish", "powershell", "zsh"]), ignore_case = true)]
    shell: Shell,
}

const COMPLETIONS: &str = "\
The completions are written to standard output.

For example:
  $ soundbead completions bash > soundbead.bash";

impl CompletionsArgs {
    /// Writes them.
    ///
    /// # Errors
    /// One line for what was asked and cannot be done, or when nothing can be written to standard output.
    pub fn run(self, page: &mut OutputPage) -> Result<(), Fault> {
        let mut script = Vec::new();
        clap_complete::generate(self.shell, &mut super::table(), "soundbead", &mut script);
        Ok(page.raw(&script)?)
    }
}

#[derive(Args)]
#[command(after_help = MANUAL)]
pub struct ManualArgs {
    /// The folder in which to write them; it is made if it is not there
    #[arg(long, value_name = "FOLDER")]
    out: PathBuf,
}

const MANUAL: &str = "\
Writes soundbead.1 and a page for each command, such as soundbead-count.1.

For example:
  $ soundbead manual --out man
  man: ... pages";

impl ManualArgs {
    /// Writes them.
    ///
    /// # Errors
    /// One line for what was asked and cannot be done, or when nothing can be written to standard output.
    pub fn run(self, page: &mut OutputPage) -> Result<(), Fault> {
        let cannot = |e| unusable(&self.out, "the pages cannot be written there", &e);
        fs::create_dir_all(&self.out).map_err(cannot)?;
        clap_mangen::generate_to(super::table(), &self.out).map_err(cannot)?;
        let written = fs::read_dir(&self.out).map_err(cannot)?.count();
        Ok(page.line(&format!("{}: {}", self.out.display(), many(written, "page")))?)
    }
}
