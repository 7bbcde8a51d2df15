//! `soundbead help`, and the page of each command.

use clap::{Args, Subcommand};

use super::{AboutCommand, LessonCommand, MeasuringCommand, NotebookCommand};
use crate::fault::{Fault, nearest, one_line};
use crate::page::{OutputPage, TextTone, WIDTH, columns, fold};

#[derive(Args)]
#[command(after_help = EXAMPLE)]
pub struct HelpArgs {
    /// The command whose page is wanted; all commands are listed when not given
    command: Option<String>,
}

const EXAMPLE: &str = "\
For example:
  $ soundbead help rules
  The rules by which sounds are counted, and why

  Usage: soundbead rules [OPTIONS]
  ...";

impl HelpArgs {
    /// Shows the page.
    ///
    /// # Errors
    /// One line for what was asked and cannot be done, or when nothing can be written to standard output.
    pub fn run(self, page: &mut OutputPage) -> Result<(), Fault> {
        self::page(page, self.command.as_deref())
    }
}

/// The page of a command, or the overview of all.
///
/// # Errors
/// One line when there is no such command, or when standard output can no longer be written to.
pub fn page(page: &mut OutputPage, command: Option<&str>) -> Result<(), Fault> {
    let Some(name) = command else { return overview(page) };
    let mut table = super::table();
    let Some(command) = table.find_subcommand_mut(name) else {
        let known: Vec<&str> = table
            .get_subcommands()
            .filter(|c| !c.is_hide_set())
            .map(|c| c.get_name())
            .collect();
        let hint = nearest(name, known).map_or(String::new(), |m| format!(" (did you mean `{m}`?)"));
        return Err(Fault::input(format_args!(
            "there is no command `{}`{hint}; `soundbead help` lists the commands",
            one_line(name)
        )));
    };
    for line in text(command).lines().flat_map(folded) {
        page.line(&line)?;
    }
    Ok(())
}

/// A line of a page, folded to the width of a page: what is said of an option goes on under where it began.
fn folded(line: &str) -> Vec<String> {
    if columns(line) <= WIDTH {
        return vec![line.to_owned()];
    }
    let start = line.len() - line.trim_start().len();
    // The option and what is said of it stand at least two spaces apart.
    let told = line[start..].find("  ").map_or(start, |gap| {
        let after = start + gap;
        after + (line[after..].len() - line[after..].trim_start().len())
    });
    let lines = fold(&line[told..], WIDTH - told);
    let set_in = |(at, text): (usize, &String)| match at {
        0 => format!("{}{text}", &line[..told]),
        _ => format!("{:told$}{text}", ""),
    };
    lines.iter().enumerate().map(set_in).collect()
}

/// A command's page. What it does with a word after its name (`learner add`) stands on the same page.
fn text(command: &mut clap::Command) -> String {
    if !command.has_subcommands() {
        return command.render_help().to_string();
    }
    let inner = |c: &clap::Command| {
        let mut c = c
            .clone()
            .help_template("Usage: {usage}\n\n{about-with-newline}\n{all-args}");
        c.render_help().to_string().trim_end().to_owned()
    };
    let mut parts = vec![command.get_about().map(ToString::to_string).unwrap_or_default()];
    parts.extend(command.get_subcommands().map(inner));
    parts.extend(command.get_after_help().map(ToString::to_string));
    parts.join("\n\n")
}

fn overview(page: &mut OutputPage) -> Result<(), Fault> {
    page.line("soundbead COMMAND ...")?;
    let bare = || clap::Command::new("");
    for (title, group) in [
        ("For lessons", LessonCommand::augment_subcommands(bare())),
        ("The notebook", NotebookCommand::augment_subcommands(bare())),
        (
            "For measuring and trying out",
            MeasuringCommand::augment_subcommands(bare()),
        ),
        ("More", AboutCommand::augment_subcommands(bare())),
    ] {
        page.line("")?;
        page.line(title)?;
        for command in group.get_subcommands().filter(|c| !c.is_hide_set()) {
            let name = page.tone(TextTone::Strong, &format!("{:9}", command.get_name()));
            let about = command.get_about().map(ToString::to_string).unwrap_or_default();
            page.line(&format!("  {name} {about}"))?;
        }
    }
    page.line("")?;
    Ok(OVERVIEW.lines().try_for_each(|line| page.line(line))?)
}

const OVERVIEW: &str = "\
`soundbead` alone opens the window.
`soundbead help COMMAND`, or --help after any command, shows its page.
`soundbead --version` shows the version.

Sounds are typed as P IH G, p-ih-g or /pɪɡ/; `soundbead sounds` lists them all.
With --json an answer is one JSON object on a line of standard output, and
anything else that must be said goes to standard error.
Exit status: 0 done; 2 something given cannot be used (one line says what, where
and what to do); 1 the program itself failed.
Recordings: WAV, FLAC, MP3, Ogg Vorbis, M4A; 8 to 192 kHz; any channels.
The environment: SOUNDBEAD_HOME, the folder for what is remembered; NO_COLOR, to
leave colour out. Nothing is ever sent anywhere: there is no network code.";
