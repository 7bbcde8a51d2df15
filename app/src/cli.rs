//! The command line: one table of commands, from which parsing, help, completions and man pages are made.
//!
//! Each command is a file with its arguments and a `run`. What several commands take is in `options`; how a value is
//! read from text is in `values`; what is said when arguments cannot be used is in `slip`.

mod attempts;
mod batch;
mod boxes;
mod chain;
mod compare;
mod count;
mod course;
mod demo;
mod desk;
mod export;
mod files;
mod handover;
mod help;
mod import;
mod learner;
mod note;
mod options;
mod parts;
mod progress;
mod questioned;
mod report;
mod restore;
mod rules;
mod say;
mod sheet;
mod slip;
mod sort;
mod sounds;
mod values;
mod vowel;
mod word;
mod writing;
mod wrote;

use std::ffi::OsString;

use clap::error::ErrorKind;
use clap::{ArgAction, CommandFactory, Parser, Subcommand};

use crate::fault::Fault;
use crate::page::OutputPage;

/// A companion for teaching the sounds in words.
#[derive(Parser)]
#[command(name = "soundbead", version)]
#[command(
    disable_help_flag = true,
    disable_help_subcommand = true,
    disable_version_flag = true
)]
struct Soundbead {
    /// Shows the page of the command
    #[arg(short, long, global = true, hide = true, action = ArgAction::HelpShort)]
    help: Option<bool>,
    /// Shows the version
    #[arg(short = 'V', long, action = ArgAction::Version)]
    version: Option<bool>,
    #[command(subcommand)]
    command: Option<Command>,
}

/// Every command. The groups are those of `soundbead help`.
#[derive(Subcommand)]
enum Command {
    #[command(flatten)]
    Lesson(Box<LessonCommand>),
    #[command(flatten)]
    Notebook(NotebookCommand),
    #[command(flatten)]
    Measuring(MeasuringCommand),
    #[command(flatten)]
    About(AboutCommand),
}

/// For lessons: words, sounds and what was said.
#[derive(Subcommand)]
enum LessonCommand {
    /// How many sounds were said, and were they the word's?
    Count(count::CountArgs),
    /// A word's sounds, letters and syllables; remembers your own way
    Word(word::WordArgs),
    /// What a misspelling shows, sound by sound
    Wrote(wrote::WroteArgs),
    /// Words to dictate, where a writer stands, what to teach next
    Course(course::CourseArgs),
    /// Words, each one sound from the one before
    Chain(chain::ChainArgs),
    /// Word sorts by what decides a spelling, weighed on the dictionary
    Sort(sort::SortArgs),
    /// Prefixes, bases and suffixes, and sums of them
    Parts(parts::PartsArgs),
    /// Sound boxes of many words
    Boxes(boxes::BoxesArgs),
    /// Sheets to print: sound boxes, chains, sorts, charts, cards
    Sheet(sheet::SheetArgs),
    /// The sounds of American English and how each is made
    Sounds(sounds::SoundsArgs),
    /// The rules by which sounds are counted, and why
    Rules(rules::RulesArgs),
    /// A model voice says a word, or one sound, into a WAV file
    Say(say::SayArgs),
}

/// For the notebook: what is kept of a learner.
#[derive(Subcommand)]
enum NotebookCommand {
    /// The children in the notebook: list, add, rename, erase
    Learner(learner::LearnerArgs),
    /// What a learner said, the latest first
    Attempts(attempts::AttemptsArgs),
    /// Articulation notes: read them, write one
    Note(note::NoteArgs),
    /// What a learner's attempts add up to, and what to practice
    Progress(progress::ProgressArgs),
    /// What a child wrote: kept from paper, looked through, then and now
    Writing(writing::WritingArgs),
    /// All learners at a glance: what is new, and what most wants an ear
    Desk(desk::DeskArgs),
    /// A learner's progress on a few pages, or as one HTML file
    Report(report::ReportArgs),
    /// A learner on the way to another notebook, and back
    Handover(handover::HandoverArgs),
    /// Old recordings come in by the folder, with their dates
    Import(Box<import::ImportArgs>),
    /// A learner's attempts as CSV or JSON
    Export(export::ExportArgs),
    /// Puts a copy of the notebook back; lists the copies
    Restore(restore::RestoreArgs),
}

/// For measuring and trying out: of use to engineers more than to a family.
#[derive(Subcommand)]
enum MeasuringCommand {
    /// Counts for many recordings, listed in a file or on standard input
    Batch(batch::BatchArgs),
    /// Which of several words was said?
    Compare(compare::CompareArgs),
    /// Pitch and formants of a vowel, and which it is nearest to
    Vowel(vowel::VowelArgs),
    /// Goes through the made recordings that come with the program
    Demo(demo::DemoArgs),
}

/// About the program itself.
#[derive(Subcommand)]
enum AboutCommand {
    /// A page on each of these
    Help(help::HelpArgs),
    /// Writes the completions of a shell
    #[command(hide = true)]
    Completions(files::CompletionsArgs),
    /// Writes the man pages
    #[command(hide = true)]
    Manual(files::ManualArgs),
}

/// Reads the arguments, the program's own name first, and runs the command.
///
/// # Errors
/// One line when an argument or an input cannot be used, or when the program itself failed.
pub fn run(args: impl IntoIterator<Item = OsString>, page: &mut OutputPage) -> Result<(), Fault> {
    let args: Vec<OsString> = args.into_iter().collect();
    match Soundbead::try_parse_from(&args) {
        Ok(Soundbead { command: None, .. }) => window(),
        Ok(Soundbead {
            command: Some(command), ..
        }) => command.run(page),
        Err(e) if e.kind() == ErrorKind::DisplayVersion => Ok(page.line(&e.to_string())?),
        Err(e) if e.kind() == ErrorKind::DisplayHelp => help::page(page, slip::command_in(&args).first().copied()),
        Err(e) => Err(slip::fault(&e, &args)),
    }
}

/// Opens the window.
#[cfg(feature = "window")]
fn window() -> Result<(), Fault> {
    crate::ui::open()
}

/// Says that this build has none.
#[cfg(not(feature = "window"))]
fn window() -> Result<(), Fault> {
    Err(Fault::input(
        "this build has no window; build it with `cargo build --release -p soundbead`, or see `soundbead help`",
    ))
}

/// The table of commands, with every name in it known.
fn table() -> clap::Command {
    let mut table = Soundbead::command();
    table.build();
    table
}

impl Command {
    fn run(self, page: &mut OutputPage) -> Result<(), Fault> {
        match self {
            Command::Lesson(lesson) => lesson.run(page),
            Command::Notebook(notebook) => notebook.run(page),
            Command::Measuring(measuring) => measuring.run(page),
            Command::About(about) => about.run(page),
        }
    }
}

impl LessonCommand {
    fn run(self, page: &mut OutputPage) -> Result<(), Fault> {
        match self {
            LessonCommand::Count(args) => args.run(page),
            LessonCommand::Word(args) => args.run(page),
            LessonCommand::Wrote(args) => args.run(page),
            LessonCommand::Course(args) => args.run(page),
            LessonCommand::Chain(args) => args.run(page),
            LessonCommand::Sort(args) => args.run(page),
            LessonCommand::Parts(args) => args.run(page),
            LessonCommand::Boxes(args) => args.run(page),
            LessonCommand::Sheet(args) => args.run(page),
            LessonCommand::Sounds(args) => args.run(page),
            LessonCommand::Rules(args) => args.run(page),
            LessonCommand::Say(args) => args.run(page),
        }
    }
}

impl NotebookCommand {
    fn run(self, page: &mut OutputPage) -> Result<(), Fault> {
        match self {
            NotebookCommand::Learner(args) => args.run(page),
            NotebookCommand::Attempts(args) => args.run(page),
            NotebookCommand::Note(args) => args.run(page),
            NotebookCommand::Progress(args) => args.run(page),
            NotebookCommand::Writing(args) => args.run(page),
            NotebookCommand::Desk(args) => args.run(page),
            NotebookCommand::Report(args) => args.run(page),
            NotebookCommand::Handover(args) => args.run(page),
            NotebookCommand::Import(args) => args.run(page),
            NotebookCommand::Export(args) => args.run(page),
            NotebookCommand::Restore(args) => args.run(page),
        }
    }
}

impl MeasuringCommand {
    fn run(self, page: &mut OutputPage) -> Result<(), Fault> {
        match self {
            MeasuringCommand::Batch(args) => args.run(page),
            MeasuringCommand::Compare(args) => args.run(page),
            MeasuringCommand::Vowel(args) => args.run(page),
            MeasuringCommand::Demo(args) => args.run(page),
        }
    }
}

impl AboutCommand {
    fn run(self, page: &mut OutputPage) -> Result<(), Fault> {
        match self {
            AboutCommand::Help(args) => args.run(page),
            AboutCommand::Completions(args) => args.run(page),
            AboutCommand::Manual(args) => args.run(page),
        }
    }
}
