//! Why a command ended early.

use std::path::Path;
use std::{fmt, io};

use serde::Serialize;
use serde_json::Value;

use crate::{storage, visible};

/// What stands in a list of questions and cannot be answered: one shape for every command.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Unusable {
    /// What names the question: a manifest line's own id, otherwise the question as it was written.
    pub id: Value,
    /// What is wrong, in a line.
    pub error: String,
}

/// What went wrong, by whose hand it can be mended.
#[derive(Debug)]
pub enum Fault {
    /// The arguments or the input cannot be used: one line saying what, where and what to do. Exit status 2.
    Input(String),
    /// The program itself failed. Exit status 1.
    Internal(String),
    /// Whoever read our output stopped reading.
    Closed,
}

impl Fault {
    /// An [`Fault::Input`] from anything that can be shown. Line breaks become spaces: a fault is one line.
    pub fn input(what: impl fmt::Display) -> Fault {
        Fault::Input(one_line(&what.to_string()))
    }

    /// An [`Fault::Internal`] from anything that can be shown.
    pub fn internal(what: impl fmt::Display) -> Fault {
        Fault::Internal(one_line(&what.to_string()))
    }

    /// The line of a fault in work that prints nothing; `what` stands for the kinds that have none.
    pub fn into_line(self, what: &str) -> String {
        match self {
            Fault::Input(line) | Fault::Internal(line) => line,
            Fault::Closed => what.to_owned(),
        }
    }
}

impl From<io::Error> for Fault {
    /// Faults of writing the output; reading is given its own words where it happens.
    fn from(e: io::Error) -> Fault {
        match e.kind() {
            io::ErrorKind::BrokenPipe => Fault::Closed,
            _ => Fault::internal(format_args!("the output could not be written: {e}")),
        }
    }
}

/// The fault for a file or folder that could not be read or written; `what` says which of the two.
pub fn unusable(path: &Path, what: &str, e: &io::Error) -> Fault {
    Fault::input(format_args!("{}: {what}: {}", path.display(), storage::why(e)))
}

/// The text without line breaks or other control characters, which could break a terminal; other characters that cannot
/// be seen get a visible sign.
pub fn one_line(text: &str) -> String {
    let spaced: String = text.chars().map(|c| if c.is_control() { ' ' } else { c }).collect();
    visible::signs(&spaced).into_owned()
}

/// The name among `known` that `name` was most likely meant to be, if one is near.
pub fn nearest<'a>(name: &str, known: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    let scored = known
        .into_iter()
        .map(|k| (strsim::normalized_damerau_levenshtein(name, k), k));
    scored
        .filter(|(likeness, _)| *likeness >= 0.6)
        .max_by(|a, b| a.0.total_cmp(&b.0))
        .map(|(_, k)| k)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_slip_of_the_fingers_is_understood_and_a_strange_word_is_not() {
        assert_eq!(nearest("spekaing", ["word", "speaking"]), Some("speaking"));
        assert_eq!(nearest("age", ["word", "speaking"]), None);
    }

    #[test]
    fn a_fault_is_one_line() {
        let Fault::Input(line) = Fault::input("a\nb\u{1b}[2J") else {
            panic!()
        };
        assert_eq!(line, "a b [2J");
    }
}
