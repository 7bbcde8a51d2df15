//! The report on a learner: a few pages for the parent, the consultant, and whoever they choose to show it to.
//!
//! [`data`] is what it is made of, [`content`] puts it into words and plots once, and two renderers show the same content:
//! [`pages`] as pages (PDF, SVG, the preview), [`html`] as one file that needs nothing else.

use std::path::{Path, PathBuf};

pub mod collect;
pub mod content;
pub mod data;
pub mod diagnosis;
pub mod html;
pub mod pages;
pub mod passage;
pub mod plots;
pub mod written;

pub use collect::collect;
pub use data::ReportData;

use crate::sheet::save::NotSaved;
use crate::sheet::{Paper, save};
use crate::storage::Access;

/// Writes the report to `path`: `.pdf`, `.svg` (one file a page) or `.html`, and gives the files that were written.
///
/// # Errors
/// One line: what could not be written, and what to do. A file that is there is replaced only where `replace` says so.
pub fn save(data: &ReportData, path: &Path, paper: Paper, replace: bool) -> Result<Vec<PathBuf>, NotSaved> {
    format(path)?;
    if !is_html(path) {
        return save::save(&pages::sheet(data, paper), path, Access::Private, replace);
    }
    save::write(path, html::page(data).as_bytes(), Access::Private, replace)?;
    Ok(vec![path.to_owned()])
}

/// Whether the ending of `path` names something that a report can be written as.
///
/// # Errors
/// One line, when it does not.
pub fn format(path: &Path) -> Result<(), String> {
    if is_html(path) || save::format(path).is_ok() {
        return Ok(());
    }
    Err(format!(
        "{}: the name must end in .pdf or .html, which says what to write",
        path.display()
    ))
}

/// Whether the ending of `path` names HTML.
pub fn is_html(path: &Path) -> bool {
    let ending = path.extension().map(|e| e.to_string_lossy().to_ascii_lowercase());
    matches!(ending.as_deref(), Some("html" | "htm"))
}
