//! `soundbead report`: what the notebook holds of a learner, as a few pages or one HTML file.

use std::path::PathBuf;

use super::args::Given;
use super::who::Who;
use crate::fault::Fault;
use crate::notebook::Notebook;
use crate::page::Page;
use crate::report;
use crate::sheet::Paper;

/// Reads the options, collects, writes.
pub fn run(mut given: Given, page: &mut Page) -> Result<(), Fault> {
    let (mut who, mut out, mut paper, mut replace) = (Who::default(), None::<PathBuf>, Paper::default(), false);
    while let Some(arg) = given.next()? {
        match who.take(arg, 1, &mut given)? {
            None => {}
            Some("out") => out = Some(given.path()?),
            Some("force") => replace = true,
            Some("paper") => {
                let size = given.text()?.parse();
                paper = size.map_err(|e| Fault::input(format_args!("--paper: {e}")))?;
            }
            Some(flag) => return Err(given.strange(flag)),
        }
    }
    if who.json {
        return Err(given.strange("json"));
    }
    if who.words.is_empty() {
        return Err(given.missing("the learner's name"));
    }
    let out = out.ok_or_else(|| given.missing("--out FILE.pdf or FILE.html"))?;
    // A name that cannot be written to is said before the notebook is read.
    report::format(&out).map_err(Fault::input)?;
    let span = who.span()?;
    let notebook = Notebook::open()?;
    let learner = who.learner(0, &notebook, &given)?;
    notebook.outside(&out)?;
    let data = report::collect(&notebook, learner.id, span.from, span.to)?;
    for file in report::save(&data, &out, paper, replace).map_err(Fault::input)? {
        page.line(&format!(
            "{}: {}, {} to {}",
            file.display(),
            data.learner,
            data.from,
            data.to
        ))?;
    }
    Ok(())
}
