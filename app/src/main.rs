//! Soundbead: which sounds, and how many, did the child say?
//!
//! ```console
//! $ soundbead word spoon                                          # what the word should have
//! $ soundbead count spoon.wav --word spoon                        # what was said, and where each sound lies
//! $ soundbead count s-p-oo-n.wav --word spoon --speaking separate # the same, sound by sound
//! $ soundbead batch lesson.jsonl --json                           # many recordings, for programs
//! ```
//!
//! `main` is parse, run, exit status; each command is a file under `cli/`. What the commands share lies
//! beside it: [`settings`] turns raw flags into rules, [`target`] a word into its sounds, [`clips`] a path
//! into a recording, [`answer`] a judgement into JSON, [`strip`] into a picture.
#![warn(missing_docs)]

mod answer;
mod ask;
mod cli;
mod clips;
mod fault;
mod manifest;
mod page;
mod say;
mod settings;
mod shown;
mod store;
mod strip;
mod target;

use std::panic::catch_unwind;
use std::process::ExitCode;

use fault::Fault;
use page::Page;

fn main() -> ExitCode {
    let run = || {
        let mut page = Page::stdout();
        cli::run(lexopt::Parser::from_env(), &mut page)?;
        Ok(page.finish()?)
    };
    // A panic is a fault of the program's own, and has its own exit status.
    let done =
        catch_unwind(run).unwrap_or_else(|_| Err(Fault::internal("the program itself failed; please report it")));
    match done {
        Ok(()) => ExitCode::SUCCESS,
        // The reader (`| head`) has what it wanted and closed the pipe: that is success, not failure.
        Err(Fault::Closed | Fault::Help(_)) => ExitCode::SUCCESS,
        Err(Fault::Input(line)) => {
            eprintln!("soundbead: {line}");
            ExitCode::from(2)
        }
        Err(Fault::Internal(line)) => {
            eprintln!("soundbead: {line}");
            ExitCode::from(1)
        }
    }
}
