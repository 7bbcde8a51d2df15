//! The family's own pronunciations, kept between runs in the platform's data folder.
//!
//! The folder is `SOUNDBEAD_HOME` when that is set, otherwise `soundbead` in the place where the platform
//! keeps programs' data (on Linux `~/.local/share`). In it, `pronunciations.txt` holds one word a line:
//! the word, a tab, its sounds in ARPAbet. It is plain text so that a person can read and mend it.

use std::fs::{self, File};
use std::io::ErrorKind;
use std::path::{Path, PathBuf};

use etcetera::BaseStrategy;
use soundbead_data::chain::{BlockList, Range, WordList};
use soundbead_data::lexicon::Pronunciation;
use soundbead_data::word::Overrides;

use crate::fault::Fault;
use crate::storage::{self, Access, cannot_write};

const FILE: &str = "pronunciations.txt";
/// Words that the family keeps out of chains and lists, one a line.
const BLOCKED: &str = "blocked.txt";
/// Held while either is changed.
const LOCK: &str = "words.lock";

/// The folder in which what is remembered is kept. It may not exist yet.
///
/// # Errors
/// When the platform names no folder.
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
///
/// # Errors
/// As [`overrides_in`].
pub fn overrides() -> Result<Overrides, Fault> {
    overrides_in(&folder()?)
}

/// What is remembered in `folder`.
///
/// # Errors
/// When the file is there and cannot be read; the line names it.
pub fn overrides_in(folder: &Path) -> Result<Overrides, Fault> {
    let path = folder.join(FILE);
    match fs::read_to_string(&path) {
        Ok(text) => Overrides::from_lines(&text).map_err(|e| fault(&path, &e)),
        Err(e) if e.kind() == ErrorKind::NotFound => Ok(Overrides::default()),
        Err(e) => Err(fault(&path, &format_args!("cannot be read: {e}"))),
    }
}

/// Remembers how `word` is said.
///
/// # Errors
/// When what is remembered cannot be read or written.
pub fn set(word: &str, said: &Pronunciation) -> Result<(), Fault> {
    let _held = held()?;
    let mut all = overrides()?;
    all.set(word, &said.to_string()).map_err(Fault::input)?;
    save(&all)
}

/// Forgets how `word` is said; a fault when nothing was remembered.
///
/// # Errors
/// As [`set`], and when nothing was remembered.
pub fn unset(word: &str) -> Result<(), Fault> {
    let _held = held()?;
    let mut all = overrides()?;
    if !all.remove(word) {
        return Err(Fault::input(format_args!(
            "`{word}` has no pronunciation of your own; there is nothing to forget"
        )));
    }
    save(&all)
}

/// What the family keeps out; nothing when there is no file yet.
///
/// # Errors
/// When the file is there and cannot be read; the line names it.
pub fn blocked() -> Result<Vec<String>, Fault> {
    blocked_in(&folder()?)
}

fn blocked_in(folder: &Path) -> Result<Vec<String>, Fault> {
    let path = folder.join(BLOCKED);
    match fs::read_to_string(&path) {
        Ok(text) => {
            let lines = text.lines().map(str::trim);
            let entries = lines.filter(|l| !l.is_empty() && !l.starts_with('#'));
            Ok(entries.map(str::to_owned).collect())
        }
        Err(e) if e.kind() == ErrorKind::NotFound => Ok(Vec::new()),
        Err(e) => Err(fault(&path, &format_args!("cannot be read: {e}"))),
    }
}

/// Keeps `entry` (a word, or a stem with `*`) out of chains and lists, or lets it in again.
///
/// # Errors
/// When `entry` is no word, is not blocked where it should be let in, or the file cannot be read or written.
pub fn block(entry: &str, out: bool) -> Result<(), Fault> {
    let entry = entry.trim().to_lowercase();
    let letters = entry.trim_matches('*');
    if letters.is_empty() || !letters.chars().all(|c| c.is_ascii_lowercase() || c == '\'' || c == '-') {
        return Err(Fault::input(format_args!(
            "`{entry}` cannot be blocked; give a word, or its beginning and a star, such as mud*"
        )));
    }
    let _held = held()?;
    let mut all = blocked()?;
    let known = all.iter().position(|e| *e == entry);
    match (known, out) {
        (Some(_), true) => return Ok(()),
        (None, true) => all.push(entry),
        (Some(at), false) => drop(all.remove(at)),
        (None, false) => {
            return Err(Fault::input(format_args!(
                "`{entry}` is not among the words you block; there is nothing to let in"
            )));
        }
    }
    write(
        BLOCKED,
        &format!(
            "# Words kept out of chains and lists. Written by Soundbead.\n{}\n",
            all.join("\n")
        ),
    )
}

/// The word list in force: `range` less what is blocked, said as the family says it.
///
/// # Errors
/// When a file of the family's own words cannot be read; the line names it.
pub fn word_list(range: Range) -> Result<WordList, Fault> {
    word_list_in(&folder()?, range)
}

/// As [`word_list`], with what is kept in `folder`.
///
/// # Errors
/// As [`word_list`].
pub fn word_list_in(folder: &Path, range: Range) -> Result<WordList, Fault> {
    Ok(WordList {
        range,
        block: BlockList::builtin().with_lines(&blocked_in(folder)?.join("\n")),
        overrides: overrides_in(folder)?,
    })
}

fn save(all: &Overrides) -> Result<(), Fault> {
    let lines = all.to_lines();
    write(
        FILE,
        &format!("# A word, a tab, its sounds in ARPAbet with stress. Written by Soundbead.\n{lines}"),
    )
}

/// Holds the family's words while one is added: another program that adds one waits, and then finds both.
fn held() -> Result<File, Fault> {
    let path = made()?.join(LOCK);
    storage::hold(&path).map_err(|e| Fault::input(cannot_write(&path)(e)))
}

/// The folder, made if it was not there.
fn made() -> Result<PathBuf, Fault> {
    let folder = folder()?;
    storage::folder(&folder, Access::Private).map_err(|e| Fault::input(cannot_write(&folder)(e)))?;
    Ok(folder)
}

fn write(name: &str, text: &str) -> Result<(), Fault> {
    let path = made()?.join(name);
    storage::write(&path, text.as_bytes(), Access::Private).map_err(|e| Fault::input(cannot_write(&path)(e)))
}

fn fault(path: &Path, what: &dyn std::fmt::Display) -> Fault {
    Fault::input(format_args!("{}: {what}", path.display()))
}
