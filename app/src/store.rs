//! The family's own pronunciations, kept between runs in the platform's data folder.
//!
//! The folder is `SOUNDBEAD_HOME` when that is set, otherwise `soundbead` in the place where the platform
//! keeps programs' data (on Linux `~/.local/share`). In it, `pronunciations.txt` holds one word a line:
//! the word, a tab, its sounds in ARPAbet. It is plain text so that a person can read and mend it.

use std::fs;
use std::io::ErrorKind;
use std::path::{Path, PathBuf};

use etcetera::BaseStrategy;
use soundbead_data::lexicon::Pronunciation;
use soundbead_data::word::Overrides;

use crate::fault::Fault;

const FILE: &str = "pronunciations.txt";

/// The folder in which what is remembered is kept. It may not exist yet.
pub fn folder() -> Result<PathBuf, Fault> {
    if let Some(home) = std::env::var_os("SOUNDBEAD_HOME").filter(|h| !h.is_empty()) {
        return Ok(PathBuf::from(home));
    }
    let base = etcetera::choose_base_strategy().map_err(|e| {
        Fault::input(format_args!(
            "no folder for what is remembered was found ({e}); set SOUNDBEAD_HOME to one"
        ))
    })?;
    Ok(base.data_dir().join("soundbead"))
}

/// What is remembered; nothing when there is no file yet.
pub fn overrides() -> Result<Overrides, Fault> {
    let path = folder()?.join(FILE);
    match fs::read_to_string(&path) {
        Ok(text) => Overrides::from_lines(&text).map_err(|e| fault(&path, &e)),
        Err(e) if e.kind() == ErrorKind::NotFound => Ok(Overrides::default()),
        Err(e) => Err(fault(&path, &format_args!("cannot be read: {e}"))),
    }
}

/// Remembers how `word` is said.
pub fn set(word: &str, said: &Pronunciation) -> Result<(), Fault> {
    let mut all = overrides()?;
    all.set(word, &said.to_string()).map_err(Fault::input)?;
    save(&all)
}

/// Forgets how `word` is said; a fault when nothing was remembered.
pub fn unset(word: &str) -> Result<(), Fault> {
    let mut all = overrides()?;
    if !all.remove(word) {
        return Err(Fault::input(format_args!(
            "`{word}` has no pronunciation of your own; there is nothing to forget"
        )));
    }
    save(&all)
}

/// Written beside the file and then put in its place, so that a stop half way leaves the old one whole.
fn save(all: &Overrides) -> Result<(), Fault> {
    let folder = folder()?;
    let cannot = |path: &Path, e: std::io::Error| fault(path, &format_args!("cannot be written: {e}"));
    fs::create_dir_all(&folder).map_err(|e| cannot(&folder, e))?;
    let (path, fresh) = (folder.join(FILE), folder.join(format!("{FILE}.{}", std::process::id())));
    let text = format!(
        "# A word, a tab, its sounds in ARPAbet with stress. Written by soundbead word --set.\n{}",
        all.to_lines()
    );
    fs::write(&fresh, text)
        .and_then(|()| fs::rename(&fresh, &path))
        .map_err(|e| cannot(&path, e))
}

fn fault(path: &Path, what: &dyn std::fmt::Display) -> Fault {
    Fault::input(format_args!("{}: {what}", path.display()))
}
