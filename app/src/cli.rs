//! The command line: the first word picks the command, each command reads its own raw flags.

mod args;
mod attempts;
mod batch;
mod boxes;
mod chain;
mod compare;
mod count;
mod demo;
mod export;
mod handover;
mod help;
mod learner;
mod note;
mod parts;
mod progress;
mod report;
mod rules;
mod sheet;
mod sort;
mod sounds;
mod vowel;
mod who;
mod word;

use crate::fault::{Fault, nearest, one_line};
use crate::page::Page;
use crate::ui;
use args::{Given, Next};

/// Every command, with what it does in a line, in the order the guide shows them.
pub const COMMANDS: [(&str, &str); 21] = [
    ("count", "how many sounds were said, and were they the word's?"),
    ("batch", "the same for many recordings, listed in a file"),
    ("compare", "which of several words was said?"),
    ("word", "a word's sounds, letters and syllables; remember your own"),
    ("sheet", "sheets to print: sound boxes, chains, sorts, charts, cards"),
    ("boxes", "sound boxes of many words"),
    (
        "sort",
        "word sorts by what decides a spelling, weighed on the dictionary",
    ),
    ("parts", "prefixes, bases and suffixes, and sums of them"),
    ("chain", "words, each one sound from the one before"),
    ("vowel", "pitch and formants of a vowel, and which it is nearest to"),
    ("learner", "the children in the notebook: list, add, rename, erase"),
    ("attempts", "what a learner said, the latest first"),
    ("note", "articulation notes: read them, write one"),
    ("progress", "what a learner's attempts add up to, and what to practise"),
    ("report", "a learner's progress on a few pages, or as one HTML file"),
    ("handover", "a learner on the way to another notebook, and back"),
    ("export", "a learner's attempts as CSV or JSON"),
    ("demo", "try it on the made recordings that come with it"),
    ("sounds", "the sounds of American English and how each is made"),
    ("rules", "the rules by which sounds are counted, and why"),
    ("help", "a page on each of these"),
];

/// Reads the command and runs it.
pub fn run(parser: lexopt::Parser, page: &mut Page) -> Result<(), Fault> {
    let mut given = Given::new(parser);
    let command = match given.next()? {
        None => return ui::open(),
        Some(Next::Flag("version")) => return Ok(page.line(concat!("soundbead ", env!("CARGO_PKG_VERSION")))?),
        Some(Next::Flag("help")) => return help::page(page, None),
        Some(Next::Flag(flag)) => {
            return Err(Fault::input(format_args!(
                "the first word must be a command, but found the option `--{flag}`; `soundbead help` lists the commands"
            )));
        }
        Some(Next::Value(value)) => value.to_string_lossy().into_owned(),
    };
    given.command = COMMANDS.iter().map(|(name, _)| *name).find(|name| *name == command);
    let result = match command.as_str() {
        "count" => count::run(given, page),
        "batch" => batch::run(given, page),
        "compare" => compare::run(given, page),
        "word" => word::run(given, page),
        "sheet" => sheet::run(given, page),
        "boxes" => boxes::run(given, page),
        "sort" => sort::run(given, page),
        "parts" => parts::run(given, page),
        "chain" => chain::run(given, page),
        "vowel" => vowel::run(given, page),
        "learner" => learner::run(given, page),
        "attempts" => attempts::run(given, page),
        "note" => note::run(given, page),
        "progress" => progress::run(given, page),
        "report" => report::run(given, page),
        "handover" => handover::run(given, page),
        "export" => export::run(given, page),
        "demo" => demo::run(given, page),
        "sounds" => sounds::run(given, page),
        "rules" => rules::run(given, page),
        "help" => help::run(given, page),
        other => Err(unknown(other)),
    };
    match result {
        Err(Fault::Help(command)) => help::page(page, command),
        other => other,
    }
}

fn unknown(command: &str) -> Fault {
    let meant = nearest(command, COMMANDS.iter().map(|(name, _)| *name));
    let hint = meant.map_or(String::new(), |m| format!(" (did you mean `{m}`?)"));
    Fault::input(format_args!(
        "there is no command `{}`{hint}; `soundbead help` lists the commands",
        one_line(command)
    ))
}
