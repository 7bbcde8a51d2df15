//! `soundbead export`: a learner's attempts and notes for other programs.

use std::path::PathBuf;

use super::args::Given;
use super::handover::free;
use super::who::Who;
use crate::fault::Fault;
use crate::notebook::{Notebook, export};
use crate::page::Page;
use crate::say::many;

/// Reads the options and writes the file.
pub fn run(mut given: Given, page: &mut Page) -> Result<(), Fault> {
    let (mut who, mut out, mut replace) = (Who::default(), None::<PathBuf>, false);
    while let Some(arg) = given.next()? {
        match who.take(arg, 2, &mut given)? {
            None => {}
            Some("out") => out = Some(given.path()?),
            Some("force") => replace = true,
            Some(flag) => return Err(given.strange(flag)),
        }
    }
    let form = who.words.first().map(String::as_str);
    let form = match form {
        Some("csv") => export::Form::Csv,
        Some("json") => export::Form::Json,
        _ => return Err(given.missing("csv or json")),
    };
    let notebook = Notebook::open()?;
    let learner = who.learner(1, &notebook, &given)?;
    let out = out.ok_or_else(|| given.missing("--out FILE"))?;
    free(&out, replace)?;
    let count = export::write(&notebook, learner.id, who.span()?, form, &out)?;
    Ok(page.line(&format!(
        "{}: {} of {}.",
        out.display(),
        many(count, "attempt"),
        learner.name
    ))?)
}
