//! Which learner is meant, from which day to which: what the notebook's commands share.

use jiff::civil::Date;

use super::args::{Given, Next, text_of};
use crate::fault::{Fault, nearest, one_line};
use crate::notebook::progress::Span;
use crate::notebook::{Learner, Notebook};

/// The options that the notebook's commands share, as they were written.
#[derive(Default)]
pub struct Who {
    /// The words that are no options: a deed, a learner, a file.
    pub words: Vec<String>,
    /// Whether the answer is for a program.
    pub json: bool,
    span: Span,
}

impl Who {
    /// Takes one argument if it is of these; gives it back if not. At most `most` words.
    pub fn take(&mut self, arg: Next, most: usize, given: &mut Given) -> Result<Option<&'static str>, Fault> {
        match arg {
            Next::Flag("json") => self.json = true,
            Next::Flag("from") => self.span.from = Some(day("--from", &given.text()?)?),
            Next::Flag("to") => self.span.to = Some(day("--to", &given.text()?)?),
            Next::Flag(flag) => return Ok(Some(flag)),
            Next::Value(value) if self.words.len() < most => self.words.push(text_of("a name", value)?),
            Next::Value(more) => return Err(given.too_many(&more)),
        }
        Ok(None)
    }

    /// The days asked for.
    pub fn span(&self) -> Result<Span, Fault> {
        if self.span.from.zip(self.span.to).is_some_and(|(from, to)| from > to) {
            return Err(Fault::input("--from is after --to; no day lies between"));
        }
        Ok(self.span)
    }

    /// The learner named by word `at`.
    pub fn learner(&self, at: usize, notebook: &Notebook, given: &Given) -> Result<Learner, Fault> {
        let name = self.words.get(at).ok_or_else(|| given.missing("the learner's name"))?;
        learner(notebook, name)
    }
}

/// A day such as 2026-11-25.
fn day(flag: &str, text: &str) -> Result<Date, Fault> {
    text.parse().map_err(|_| {
        Fault::input(format_args!(
            "{flag}: `{}` is not a day; write it as 2026-11-25",
            one_line(text)
        ))
    })
}

/// The learner of this name, in whatever letters; or of this id, or its beginning, where two have one name.
pub fn learner(notebook: &Notebook, name: &str) -> Result<Learner, Fault> {
    let all = notebook.learners()?;
    let same = |l: &&Learner| l.name.to_lowercase() == name.trim().to_lowercase();
    let by_name: Vec<&Learner> = all.iter().filter(same).collect();
    match by_name[..] {
        [one] => return Ok(one.clone()),
        [first, second, ..] => {
            return Err(Fault::input(format_args!(
                "two learners are named {}; say which by the beginning of its id: {} or {}",
                first.name,
                short(first),
                short(second)
            )));
        }
        [] => {}
    }
    let by_id: Vec<&Learner> = all
        .iter()
        .filter(|l| name.len() >= 6 && l.id.to_string().starts_with(name))
        .collect();
    if let [one] = by_id[..] {
        return Ok(one.clone());
    }
    let hint = nearest(name, all.iter().map(|l| l.name.as_str())).map(|m| format!(" (did you mean `{m}`?)"));
    let none = if all.is_empty() {
        "; `soundbead learner add NAME` adds one"
    } else {
        "; `soundbead learner` lists them"
    };
    Err(Fault::input(format_args!(
        "there is no learner named `{}`{}{none}",
        one_line(name),
        hint.unwrap_or_default()
    )))
}

/// The beginning of an id, enough to tell learners apart.
pub fn short(learner: &Learner) -> String {
    learner.id.to_string().chars().take(8).collect()
}

/// A passphrase from a file, or from standard input when the file is `-`: never from the command line, which other
/// programs can see. Its last line break is no part of it.
pub fn passphrase(path: &std::path::Path) -> Result<String, Fault> {
    use std::io::Read;
    let fault = |e: std::io::Error| Fault::input(format_args!("--passphrase: {}: {e}", path.display()));
    let mut text = String::new();
    if path.as_os_str() == "-" {
        std::io::stdin().take(4_096).read_to_string(&mut text).map_err(fault)?;
    } else {
        std::fs::File::open(path)
            .and_then(|f| f.take(4_096).read_to_string(&mut text))
            .map_err(fault)?;
    }
    let text = text.trim_end_matches(['\n', '\r']).to_owned();
    if text.is_empty() {
        return Err(Fault::input(
            "--passphrase: it is empty; an empty passphrase locks nothing",
        ));
    }
    Ok(text)
}
