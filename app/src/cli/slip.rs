//! What is said of arguments that cannot be used: one line with what, where and what to do.

use std::ffi::OsString;

use clap::error::{ContextKind, ContextValue, ErrorKind};

use crate::fault::{Fault, nearest, one_line};

/// The command that the arguments name, and the command inside it, as far as there are such.
pub fn command_in(args: &[OsString]) -> Vec<&'static str> {
    let mut named = Vec::new();
    let mut at = super::table();
    for word in args.iter().skip(1).filter_map(|a| a.to_str()) {
        let Some(found) = at.find_subcommand(word).cloned() else {
            // Before the command stands nothing but options; inside it other words may stand before the next.
            if named.is_empty() && !word.starts_with('-') {
                break;
            }
            continue;
        };
        named.push(leak(found.get_name()));
        at = found;
    }
    named
}

/// Names of commands live as long as the run; there are a few dozen.
fn leak(name: &str) -> &'static str {
    Box::leak(name.to_owned().into_boxed_str())
}

/// The line for an error of the arguments.
pub fn fault(error: &clap::Error, args: &[OsString]) -> Fault {
    let command = command_in(args);
    let slip = ArgumentSlip {
        error,
        page: command.first().map_or(String::new(), |c| format!(" {c}")),
        command,
    };
    match error.kind() {
        ErrorKind::InvalidUtf8 => slip.not_text(args),
        ErrorKind::InvalidSubcommand => slip.no_command(&slip.one(ContextKind::InvalidSubcommand)),
        ErrorKind::UnknownArgument => slip.unknown(&slip.one(ContextKind::InvalidArg)),
        ErrorKind::MissingRequiredArgument => slip.missing(),
        ErrorKind::MissingSubcommand => slip.see(format_args!("missing: {}", or(&slip.inner_commands()))),
        ErrorKind::ArgumentConflict => slip.conflict(),
        ErrorKind::InvalidValue => slip.no_such_value(),
        ErrorKind::ValueValidation => slip.bad_value(),
        _ => slip.other(),
    }
}

struct ArgumentSlip<'a> {
    error: &'a clap::Error,
    command: Vec<&'static str>,
    page: String,
}

impl ArgumentSlip<'_> {
    fn see(&self, what: impl std::fmt::Display) -> Fault {
        Fault::input(format_args!("{what}; see `soundbead help{}`", self.page))
    }

    fn one(&self, kind: ContextKind) -> String {
        self.several(kind).join(", ")
    }

    fn several(&self, kind: ContextKind) -> Vec<String> {
        match self.error.get(kind) {
            Some(ContextValue::String(one)) => vec![one_line(one)],
            Some(ContextValue::Strings(all)) => all.iter().map(|one| one_line(one)).collect(),
            _ => Vec::new(),
        }
    }

    /// The table of the command that was named, or of the whole program.
    fn table(&self) -> clap::Command {
        let inner = |table: clap::Command, name: &&str| table.find_subcommand(name).cloned().unwrap_or(table);
        self.command.iter().fold(super::table(), inner)
    }

    fn inner_commands(&self) -> Vec<String> {
        let table = self.table();
        let shown = table.get_subcommands().filter(|c| !c.is_hide_set());
        shown.map(|c| c.get_name().to_owned()).collect()
    }

    fn not_text(&self, args: &[OsString]) -> Fault {
        let odd = args.iter().find(|a| a.to_str().is_none());
        let odd = odd.map_or("an argument".to_owned(), |a| format!("`{}`", a.to_string_lossy()));
        self.see(format_args!("{odd} is not UTF-8 text"))
    }

    fn no_command(&self, name: &str) -> Fault {
        let known = self.inner_commands();
        let hint = did_you_mean(name, known.iter().map(String::as_str));
        if let Some(outer) = self.command.first() {
            return Fault::input(format_args!(
                "`soundbead {outer}` has no `{name}`{hint}; there are {}",
                and(&known)
            ));
        }
        Fault::input(format_args!(
            "there is no command `{name}`{hint}; `soundbead help` lists the commands"
        ))
    }

    fn unknown(&self, argument: &str) -> Fault {
        let Some(command) = self.command.first() else {
            return match argument.starts_with('-') {
                true => Fault::input(format_args!(
                    "the first word must be a command, but found the option `{argument}`; `soundbead help` lists the \
                     commands"
                )),
                false => self.no_command(argument),
            };
        };
        if !argument.starts_with('-') {
            let quotes = match argument.chars().all(char::is_alphanumeric) {
                true => "; a name or text of several words needs quotes round it",
                false => "",
            };
            return self.see(format_args!("`{argument}` is one thing too many here{quotes}"));
        }
        let table = self.table();
        let name = argument.trim_start_matches('-');
        let known = table
            .get_opts()
            .chain(table.get_positionals())
            .filter_map(|a| a.get_long());
        let hint = did_you_mean_option(name, known);
        self.see(format_args!("`soundbead {command}` has no option {argument}{hint}"))
    }

    /// What must be given and is not, each with what it is.
    fn missing(&self) -> Fault {
        let table = self.table();
        let about = |name: &String| {
            let named = |a: &&clap::Arg| bare(&a.to_string()) == bare(name);
            let help = table.get_arguments().find(named).and_then(clap::Arg::get_help);
            let help = help.map(|h| h.to_string()).unwrap_or_default();
            let first = help.split([';', ':', '(']).next().unwrap_or_default().trim().to_owned();
            let name = name.replace(['<', '>'], "");
            match lower_first(&first) {
                what if what.is_empty() => name,
                what => format!("{name} ({what})"),
            }
        };
        let missing: Vec<String> = self.several(ContextKind::InvalidArg).iter().map(about).collect();
        self.see(format_args!("missing: {}", and(&missing)))
    }

    fn conflict(&self) -> Fault {
        let (this, others) = (self.one(ContextKind::InvalidArg), self.several(ContextKind::PriorArg));
        let (this, others) = (bare(&this), others.iter().map(|o| bare(o)).collect::<Vec<_>>());
        match others.first() {
            None => self.see(format_args!("{this} cannot be given with what stands beside it")),
            Some(other) if *other == this => self.see(format_args!("{this} was given twice")),
            Some(_) => self.see(format_args!("{this} and {} cannot both be given", and(&others))),
        }
    }

    /// A value that is none of a few names, or none at all.
    fn no_such_value(&self) -> Fault {
        let (option, found) = (self.one(ContextKind::InvalidArg), self.one(ContextKind::InvalidValue));
        let (option, known) = (bare(&option), self.several(ContextKind::ValidValue));
        if found.is_empty() {
            return self.see(format_args!("{option} needs a value"));
        }
        let hint = did_you_mean(&found.to_lowercase(), known.iter().map(String::as_str));
        Fault::input(format_args!("{option}: found `{found}`, wanted {}{hint}", or(&known)))
    }

    fn bad_value(&self) -> Fault {
        let option = self.one(ContextKind::InvalidArg);
        let why = std::error::Error::source(self.error).map_or(String::new(), ToString::to_string);
        Fault::input(format_args!("{}: {why}", bare(&option)))
    }

    /// The first line of what the parser itself says.
    fn other(&self) -> Fault {
        let text = self.error.to_string();
        let line = text.lines().next().unwrap_or_default().trim_start_matches("error: ");
        self.see(line)
    }
}

fn did_you_mean<'a>(name: &str, known: impl IntoIterator<Item = &'a str>) -> String {
    nearest(name, known).map_or(String::new(), |m| format!(" (did you mean `{m}`?)"))
}

fn did_you_mean_option<'a>(name: &str, known: impl IntoIterator<Item = &'a str>) -> String {
    nearest(name, known).map_or(String::new(), |m| format!(" (did you mean --{m}?)"))
}

/// The option without its value: `--word` of `--word <WORD>`; the name of what has no option, without its marks.
fn bare(argument: &str) -> String {
    let name = argument.split([' ', '=']).next().unwrap_or_default();
    name.trim_matches(['<', '>', '[', ']', '.']).to_owned()
}

fn lower_first(text: &str) -> String {
    let mut letters = text.chars();
    let first = letters.next().map(|c| c.to_lowercase().to_string()).unwrap_or_default();
    format!("{first}{}", letters.as_str())
}

fn and(all: &[String]) -> String {
    joined(all, "and")
}

fn or(all: &[String]) -> String {
    joined(all, "or")
}

fn joined(all: &[String], word: &str) -> String {
    match all {
        [] => String::new(),
        [one] => one.clone(),
        [some @ .., last] => format!("{} {word} {last}", some.join(", ")),
    }
}
