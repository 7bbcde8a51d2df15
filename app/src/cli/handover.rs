//! `soundbead handover`: a learner on the way from one notebook to another.

use std::path::{Path, PathBuf};

use serde_json::json;

use super::args::Given;
use super::who::{self, Who};
use crate::fault::Fault;
use crate::notebook::Notebook;
use crate::notebook::handover::Handover;
use crate::page::Page;
use crate::say::many;

/// Writes an archive, or takes one in.
pub fn run(mut given: Given, page: &mut Page) -> Result<(), Fault> {
    let (mut who, mut what, mut out, mut replace) = (Who::default(), Handover::default(), None::<PathBuf>, false);
    while let Some(arg) = given.next()? {
        match who.take(arg, 2, &mut given)? {
            None => {}
            Some("out") => out = Some(given.path()?),
            Some("recordings") => what.recordings = true,
            Some("passphrase") => what.passphrase = Some(who::passphrase(&given.path()?)?),
            Some("force") => replace = true,
            Some(flag) => return Err(given.strange(flag)),
        }
    }
    let mut notebook = Notebook::open()?;
    match who.words.first().map(String::as_str) {
        Some("export") => {
            let learner = who.learner(1, &notebook, &given)?;
            let out = out.ok_or_else(|| given.missing("--out FILE.soundbead"))?;
            free(&out, replace)?;
            let span = who.span()?;
            (what.from, what.to) = (span.from, span.to);
            let written = notebook.hand_over(learner.id, &what, &out, &|_| true)?;
            if who.json {
                return Ok(page.json(
                    &json!({"file": out, "attempts": written.attempts, "notes": written.notes,
                    "recordings": written.recordings, "missing": written.missing}),
                )?);
            }
            page.line(&format!(
                "{}: {} with {}, {}, {}.",
                out.display(),
                learner.name,
                many(written.attempts, "attempt"),
                many(written.notes, "note"),
                many(written.recordings, "recording")
            ))?;
            if written.missing > 0 {
                page.line(&format!(
                    "{} recordings are missing or damaged here, and are left out.",
                    written.missing
                ))?;
            }
            let care = if what.passphrase.is_some() { LOCKED } else { OPEN };
            Ok(page.paragraph(0, care)?)
        }
        Some("import") => {
            let file = who.words.get(1).ok_or_else(|| given.missing("the archive"))?;
            let merged = notebook.take_in(Path::new(file), what.passphrase.as_deref(), &|_| true)?;
            if who.json {
                return Ok(
                    page.json(&json!({"learner": merged.learner.name, "id": merged.learner.id,
                    "new": merged.new, "added": merged.added, "changed": merged.changed, "removed": merged.removed,
                    "recordings": merged.recordings}))?,
                );
            }
            Ok(page.line(&said(&merged))?)
        }
        _ => Err(given.missing("export or import")),
    }
}

const LOCKED: &str = "It opens with the passphrase alone; give that another way than the file.";
const OPEN: &str = "It holds a child's records, and anyone who has the file can read it. --passphrase locks it.";

fn said(merged: &crate::notebook::handover::Merged) -> String {
    let name = &merged.learner.name;
    if merged.nothing_new() {
        return format!("{name}: nothing new; the notebook had all of it already.");
    }
    let new = if merged.new { " is in the notebook now" } else { "" };
    format!(
        "{name}{new}: {} rows came in, {} changed, {} taken out, {} recordings.",
        merged.added, merged.changed, merged.removed, merged.recordings
    )
}

/// Refuses a file that is there, unless it may be replaced.
pub fn free(path: &Path, replace: bool) -> Result<(), Fault> {
    if path.exists() && !replace {
        return Err(Fault::input(format_args!(
            "{}: there is such a file already; choose another name, or --force puts the new one in its place",
            path.display()
        )));
    }
    Ok(())
}
