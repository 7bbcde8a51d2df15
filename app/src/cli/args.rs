//! Raw arguments, one at a time, with one plain line for each thing that can be wrong with them.

use std::ffi::OsString;
use std::path::PathBuf;

use soundbead_data::Rules;
use soundbead_dsp::judgement::Speaking;

use crate::fault::{Fault, nearest, one_line};
use crate::settings;

/// The arguments that are still to be read, and the command they are for.
pub struct Given {
    parser: lexopt::Parser,
    /// The command, once it is known.
    pub command: Option<&'static str>,
    /// The option last read, for the fault that says its value is missing.
    flag: &'static str,
}

/// One argument.
pub enum Next {
    /// An option, by its long name.
    Flag(&'static str),
    /// Anything else: a path, a word.
    Value(OsString),
}

/// Every option of every command. A command refuses those that are not its own.
#[rustfmt::skip]
const FLAGS: &[&str] = &[
    "word", "words", "sounds", "speaking", "rule", "rules", "json", "jobs", "voice", "folder", "set", "unset",
    "reset", "brief", "plan", "chain", "out", "paper", "title", "key", "list", "force", "length", "only", "change", "kind", "contrast",
    "spelling", "syllables", "vowels", "clusters", "seed", "pairs", "block", "unblock", "from", "to", "by", "yes",
    "attempt", "verdict", "disagree", "sentences", "recordings", "passphrase", "learner", "counted", "most", "help",
    "version",
];

impl Given {
    /// The arguments of this run.
    pub fn new(parser: lexopt::Parser) -> Given {
        Given {
            parser,
            command: None,
            flag: "",
        }
    }

    /// The next argument. `--help` and `-h` end the command from anywhere in it.
    pub fn next(&mut self) -> Result<Option<Next>, Fault> {
        let arg = match self.parser.next() {
            Ok(None) => return Ok(None),
            Ok(Some(arg)) => arg,
            Err(e) => return Err(Fault::input(format_args!("{e}; see `soundbead help{}`", self.page()))),
        };
        let name = match arg {
            lexopt::Arg::Value(value) => return Ok(Some(Next::Value(value))),
            lexopt::Arg::Short('h') => "help".to_owned(),
            lexopt::Arg::Short('V') => "version".to_owned(),
            lexopt::Arg::Short(c) => return Err(self.no_flag(&format!("-{c}"))),
            lexopt::Arg::Long(name) => name.to_owned(),
        };
        match FLAGS.iter().find(|f| **f == name) {
            Some(&"help") if self.command.is_some() => Err(Fault::Help(self.command)),
            Some(flag) => {
                self.flag = flag;
                Ok(Some(Next::Flag(flag)))
            }
            None => Err(self.no_flag(&format!("--{name}"))),
        }
    }

    /// The value of the option just read.
    pub fn value(&mut self) -> Result<OsString, Fault> {
        self.parser.value().map_err(|_| {
            Fault::input(format_args!(
                "--{} needs a value; see `soundbead help{}`",
                self.flag,
                self.page()
            ))
        })
    }

    /// The value of the option just read, as text.
    pub fn text(&mut self) -> Result<String, Fault> {
        let flag = self.flag;
        self.value()?
            .into_string()
            .map_err(|v| not_text(&format!("--{flag}"), &v))
    }

    /// The value of the option just read, as a path.
    pub fn path(&mut self) -> Result<PathBuf, Fault> {
        self.value().map(PathBuf::from)
    }

    /// The fault for an option that this command does not have.
    pub fn strange(&self, flag: &str) -> Fault {
        self.no_flag(&format!("--{flag}"))
    }

    /// The fault for one thing too many.
    pub fn too_many(&self, value: &OsString) -> Fault {
        Fault::input(format_args!(
            "`{}` is one thing too many here; see `soundbead help{}`",
            one_line(&value.to_string_lossy()),
            self.page()
        ))
    }

    /// The fault for something that must be given.
    pub fn missing(&self, what: &str) -> Fault {
        Fault::input(format_args!("{what} is missing; see `soundbead help{}`", self.page()))
    }

    fn no_flag(&self, flag: &str) -> Fault {
        let name = flag.trim_start_matches('-');
        let meant = nearest(name, FLAGS.iter().copied()).filter(|m| *m != name);
        let hint = meant.map_or(String::new(), |m| format!(" (did you mean --{m}?)"));
        let place = self
            .command
            .map_or("soundbead".to_owned(), |c| format!("`soundbead {c}`"));
        Fault::input(format_args!(
            "{place} has no option {}{hint}; see `soundbead help{}`",
            one_line(flag),
            self.page()
        ))
    }

    fn page(&self) -> String {
        self.command.map_or(String::new(), |c| format!(" {c}"))
    }
}

/// The fault for an argument that is not text at all.
pub fn not_text(place: &str, value: &OsString) -> Fault {
    Fault::input(format_args!(
        "{place}: `{}` is not UTF-8 text",
        one_line(&value.to_string_lossy())
    ))
}

/// A value that is not a path, as text.
pub fn text_of(place: &str, value: OsString) -> Result<String, Fault> {
    value.into_string().map_err(|v| not_text(place, &v))
}

/// The options that several commands share, as they were written.
#[derive(Default)]
pub struct Common {
    set: Option<String>,
    changes: Vec<String>,
    speaking: Option<String>,
    /// Whether the answer is for a program.
    pub json: bool,
}

impl Common {
    /// Takes `--rule`, `--rules` and `--json`; whether the option was one of them.
    pub fn take(&mut self, flag: &str, given: &mut Given) -> Result<bool, Fault> {
        match flag {
            "rule" => self.changes.push(given.text()?),
            "rules" => self.set = Some(given.text()?),
            "json" => self.json = true,
            _ => return Ok(false),
        }
        Ok(true)
    }

    /// As [`Common::take`], and `--speaking` too.
    pub fn take_spoken(&mut self, flag: &str, given: &mut Given) -> Result<bool, Fault> {
        if flag != "speaking" {
            return self.take(flag, given);
        }
        self.speaking = Some(given.text()?);
        Ok(true)
    }

    /// Whether any counting rules were given.
    pub fn any_rules(&self) -> bool {
        self.set.is_some() || !self.changes.is_empty()
    }

    /// The rules that the options make.
    pub fn rules(&self) -> Result<Rules, Fault> {
        settings::rules(self.set.as_deref(), &self.changes)
    }

    /// The way of speaking; whole words when nothing is said.
    pub fn speaking(&self) -> Result<Speaking, Fault> {
        let named = self.speaking.as_deref().map(str::parse::<Speaking>);
        named
            .transpose()
            .map_err(|e| Fault::input(format_args!("--speaking: {e}")))
            .map(Option::unwrap_or_default)
    }
}
