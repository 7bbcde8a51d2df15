//! Plans on disk: any file, and the shelf of the family's own.

use std::fs;
use std::io::ErrorKind;
use std::path::{Path, PathBuf};
use std::time::SystemTime;

use super::{Plan, PlanFault};
use crate::list;
use crate::storage::{self, Access};

/// Longest file name made from a title, in letters.
const LONGEST_NAME: usize = 60;

impl Plan {
    /// Reads the plan in `path`.
    ///
    /// # Errors
    /// When there is no such file, or it is no plan; the line says which file, where in it, and what was wanted.
    pub fn load(path: &Path) -> Result<Plan, PlanFault> {
        let fault = |what: &dyn std::fmt::Display| PlanFault(format!("{}: {what}", path.display()));
        let text = list::read_text(path).map_err(|why| fault(&format_args!("the plan cannot be read: {why}")))?;
        Plan::from_text(&text).map_err(|e| fault(&e))
    }

    /// Writes the plan to `path`; its folder is made if it is not there.
    ///
    /// # Errors
    /// When the folder cannot be written to.
    pub fn save(&self, path: &Path) -> Result<(), PlanFault> {
        let write = || {
            if let Some(folder) = path.parent().filter(|f| !f.as_os_str().is_empty()) {
                storage::folder(folder, Access::Usual)?;
            }
            storage::write(path, self.to_text().as_bytes(), Access::Usual)
        };
        write().map_err(|e| {
            PlanFault(format!(
                "{}: the plan cannot be written: {}",
                path.display(),
                storage::why(&e)
            ))
        })
    }
}

impl Plan {
    /// Removes the file of a plan.
    ///
    /// # Errors
    /// When it cannot be removed.
    pub fn remove(path: &Path) -> Result<(), PlanFault> {
        fs::remove_file(path).map_err(|e| {
            PlanFault(format!(
                "{}: the plan cannot be removed: {}",
                path.display(),
                storage::why(&e)
            ))
        })
    }
}

/// The folder of the family's plans: `plans` in the folder where everything is kept.
#[derive(Clone, Debug)]
pub struct Shelf {
    folder: PathBuf,
}

/// A plan on the shelf.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Shelved {
    /// Its file.
    pub path: PathBuf,
    /// Its title, or why it cannot be read.
    pub title: Result<String, PlanFault>,
    /// When it was last saved.
    pub saved: Option<SystemTime>,
}

impl Shelf {
    /// The shelf in `folder` (the data folder, or `SOUNDBEAD_HOME`). It may not exist yet.
    pub fn new(folder: &Path) -> Shelf {
        Shelf {
            folder: folder.join("plans"),
        }
    }

    /// Every plan, the last saved first.
    ///
    /// # Errors
    /// When the folder is there and cannot be read.
    pub fn list(&self) -> Result<Vec<Shelved>, PlanFault> {
        let fault = |e: std::io::Error| {
            PlanFault(format!(
                "{}: the plans cannot be listed: {}",
                self.folder.display(),
                storage::why(&e)
            ))
        };
        let entries = match fs::read_dir(&self.folder) {
            Ok(entries) => entries,
            Err(e) if e.kind() == ErrorKind::NotFound => return Ok(Vec::new()),
            Err(e) => return Err(fault(e)),
        };
        let paths = entries.filter_map(|entry| Some(entry.ok()?.path()));
        let plans = paths.filter(|path| path.extension().is_some_and(|e| e == "toml"));
        let mut plans: Vec<Shelved> = plans
            .map(|path| Shelved {
                title: Plan::load(&path).map(|plan| plan.title),
                saved: fs::metadata(&path).and_then(|m| m.modified()).ok(),
                path,
            })
            .collect();
        plans.sort_by(|a, b| b.saved.cmp(&a.saved).then(a.path.cmp(&b.path)));
        Ok(plans)
    }

    /// A path that no plan has yet, named after `title`.
    pub fn fresh(&self, title: &str) -> PathBuf {
        let letters = title.to_lowercase();
        let words = letters.split(|c: char| !c.is_alphanumeric()).filter(|w| !w.is_empty());
        let name: String = words.collect::<Vec<_>>().join("-").chars().take(LONGEST_NAME).collect();
        let name = if name.is_empty() { "plan".to_owned() } else { name };
        let numbered = (2..).map(|n| format!("{name}-{n}"));
        let mut names = std::iter::once(name.clone()).chain(numbered);
        let free = |name: &String| !self.folder.join(format!("{name}.toml")).exists();
        let name = names.find(free).expect("numbers do not end");
        self.folder.join(format!("{name}.toml"))
    }
}
