//! The notebook on a thread of its own, for a window that must never wait for a disk.

use std::panic::{AssertUnwindSafe, catch_unwind};
use std::path::PathBuf;
use std::sync::mpsc::{self, RecvTimeoutError, Sender};
use std::sync::{Arc, Mutex, PoisonError};
use std::thread::JoinHandle;

use super::{LOOK, Notebook, NotebookError, Result};
use crate::later::{Later, Wake, WorkResult};

type Errand = Box<dyn FnOnce(&mut Option<Notebook>) + Send>;

/// Who takes errands to the notebook. They are done one after another, in the order in which they were given, so that
/// what is asked after a change sees it. When it is dropped, what was given is still done.
pub struct Desk {
    errands: Option<Sender<Errand>>,
    thread: Option<JoinHandle<()>>,
    folder: PathBuf,
    wake: Wake,
    cautions: Cautions,
}

/// Lines that people should know, from the desk's thread.
type Cautions = Arc<Mutex<Vec<String>>>;

impl Desk {
    /// A desk for the notebook in `folder`, which is opened (and made, if there is none) with the first errand. `wake` is
    /// called after each answer, from the desk's thread.
    pub fn new(folder: PathBuf, wake: impl Into<Wake>) -> Desk {
        let (errands, todo) = mpsc::channel::<Errand>();
        let (wake, cautions) = (wake.into(), Cautions::default());
        let mut watch = Watch {
            cautions: cautions.clone(),
            wake: wake.clone(),
            lost: false,
        };
        let thread = std::thread::spawn(move || {
            let mut notebook = None;
            loop {
                match todo.recv_timeout(LOOK) {
                    // A fault of the program's own must not end the lesson: its answer says so, and the next errand opens
                    // the notebook anew (a change half made was rolled back with its transaction).
                    Ok(errand) => {
                        if catch_unwind(AssertUnwindSafe(|| errand(&mut notebook))).is_err() {
                            notebook = None;
                        }
                    }
                    Err(RecvTimeoutError::Timeout) => {}
                    Err(RecvTimeoutError::Disconnected) => break,
                }
                watch.look(&mut notebook);
            }
        });
        Desk {
            errands: Some(errands),
            thread: Some(thread),
            folder,
            wake,
            cautions,
        }
    }

    /// Gives an errand. The answer may be dropped: the errand is done all the same.
    pub fn ask<T: Send + 'static>(
        &self,
        errand: impl FnOnce(&mut Notebook) -> Result<T> + Send + 'static,
    ) -> Later<Result<T>> {
        let (promise, answer) = Later::promised(self.wake.clone(), "Asking the notebook");
        let folder = self.folder.clone();
        let errand = move |slot: &mut Option<Notebook>| promise.keep(opened(slot, &folder).and_then(errand));
        // The thread lives as long as the desk.
        let _ = self.errands.as_ref().map(|errands| errands.send(Box::new(errand)));
        answer
    }
}

impl Desk {
    /// What people should know of the notebook, in lines that are given once: see [`Notebook::cautions`]; and, within a
    /// second, that its file was taken away under the window.
    pub fn cautions(&self) -> Vec<String> {
        std::mem::take(&mut *self.cautions.lock().unwrap_or_else(PoisonError::into_inner))
    }
}

/// Looks after each errand, and now and then, whether the notebook is still there.
struct Watch {
    cautions: Cautions,
    wake: Wake,
    /// Whether it was said that it is not.
    lost: bool,
}

impl Watch {
    fn look(&mut self, slot: &mut Option<Notebook>) {
        let Some(notebook) = slot else { return };
        let mut lines = notebook.cautions();
        let lost = notebook.in_place().err();
        lines.extend(lost.iter().filter(|_| !self.lost).map(ToString::to_string));
        self.lost = lost.is_some();
        if let Some(NotebookError::Replaced(_)) = lost {
            self.lost = false;
            if let Some(replaced) = slot.take() {
                replaced.let_go();
            }
        }
        if !lines.is_empty() {
            self.cautions
                .lock()
                .unwrap_or_else(PoisonError::into_inner)
                .extend(lines);
            self.wake.call();
        }
    }
}

impl Drop for Desk {
    fn drop(&mut self) {
        drop(self.errands.take());
        // A window that closes waits for what is still to be written.
        let _ = self.thread.take().map(JoinHandle::join);
    }
}

fn opened<'a>(slot: &'a mut Option<Notebook>, folder: &std::path::Path) -> Result<&'a mut Notebook> {
    match slot {
        // What is asked of a notebook that is gone is not answered from what SQLite still holds of it.
        Some(notebook) => notebook.in_place()?,
        None => *slot = Some(Notebook::open_in(folder)?),
    }
    Ok(slot.as_mut().expect("it was opened just now"))
}

impl<T> Later<Result<T>> {
    /// The answer, once, when it is there.
    pub fn answer(&mut self) -> Option<Result<T>> {
        self.take().map(answered)
    }

    /// The answer, waited for: for tests and programs without a window.
    ///
    /// # Errors
    /// The errand's own.
    pub fn wait(self) -> Result<T> {
        answered(self.ending())
    }
}

fn answered<T>(ending: WorkResult<Result<T>>) -> Result<T> {
    match ending {
        WorkResult::Done(answer) => answer,
        WorkResult::Cancelled | WorkResult::Failed => Err(broken()),
    }
}

fn broken() -> NotebookError {
    NotebookError::refused("the notebook stopped answering; start the program again: what was written is kept")
}

#[cfg(test)]
mod tests {
    use super::*;
    use soundbead_data::Rules;

    /// Waits for a line, as the window does frame by frame.
    fn told(desk: &Desk) -> String {
        loop {
            match desk.cautions() {
                lines if lines.is_empty() => std::thread::sleep(LOOK / 10),
                lines => return lines.join(" "),
            }
        }
    }

    #[test]
    fn a_notebook_taken_away_under_the_window_is_said_and_nothing_is_kept_in_it() {
        let folder = std::env::temp_dir().join(format!("soundbead-desk-lost-{}", std::process::id()));
        let desk = Desk::new(folder.clone(), Wake::nobody());
        let add = |name: &'static str| desk.ask(move |n| n.add_learner(name, &Rules::default())).wait();
        add("Juno").unwrap();
        let (file, away) = (folder.join("notebook.db"), folder.join("away.db"));
        std::fs::rename(&file, &away).unwrap();
        assert!(told(&desk).contains("moved or deleted"));
        let fault = add("Alby").unwrap_err().to_string();
        assert!(fault.contains("put it back"), "{fault}");
        assert!(!file.exists(), "nothing was made in its place");
        std::fs::rename(&away, &file).unwrap();
        add("Alby").unwrap();
        // Another file in its place is read, after that was said.
        let other = rusqlite::Connection::open(&file).unwrap();
        other.execute("VACUUM INTO ?", [away.to_str().unwrap()]).unwrap();
        drop(other);
        std::fs::rename(&away, &file).unwrap();
        assert!(told(&desk).contains("replaced by another"));
        add("Wren").unwrap();
        drop(desk);
        assert_eq!(Notebook::open_in(&folder).unwrap().learners().unwrap().len(), 3);
        std::fs::remove_dir_all(&folder).unwrap();
    }

    #[test]
    fn errands_are_done_in_order_and_one_that_fails_ends_nothing() {
        let folder = std::env::temp_dir().join(format!("soundbead-desk-{}", std::process::id()));
        let desk = Desk::new(folder.clone(), Wake::nobody());
        let added = desk.ask(|n| n.add_learner("Juno", &Rules::default()));
        let broken = desk.ask(|_| -> Result<()> { panic!("a fault of the errand's own, for the test") });
        let names = desk.ask(|n| Ok(n.learners()?.into_iter().map(|l| l.name).collect::<Vec<_>>()));
        assert!(added.wait().is_ok());
        assert!(broken.wait().is_err());
        assert_eq!(names.wait().unwrap(), ["Juno"]);
        let last = desk.ask(|n| n.add_learner("Alby", &Rules::default()));
        drop((desk, last));
        assert_eq!(Notebook::open_in(&folder).unwrap().learners().unwrap().len(), 2);
        std::fs::remove_dir_all(&folder).unwrap();
    }
}
