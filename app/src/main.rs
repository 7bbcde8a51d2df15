//! `main` is parse, run, exit status; the rest is the library beside it.

use std::panic::catch_unwind;
use std::process::ExitCode;

use soundbead::cli;
use soundbead::fault::Fault;
use soundbead::page::OutputPage;

fn main() -> ExitCode {
    let run = || {
        let mut page = OutputPage::stdout();
        cli::run(std::env::args_os(), &mut page)?;
        Ok(page.finish()?)
    };
    // A panic is a fault of the program's own, and has its own exit status.
    let done =
        catch_unwind(run).unwrap_or_else(|_| Err(Fault::internal("the program itself failed; please report it")));
    match done {
        Ok(()) => ExitCode::SUCCESS,
        // The reader (`| head`) has what it wanted and closed the pipe: that is success, not failure.
        Err(Fault::Closed) => ExitCode::SUCCESS,
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
