//! Learners, sessions, attempts and notes, and the recordings beside them.
//!
//! Everything lies in one folder that only its user may read: `notebook.db` (SQLite) and `recordings/`, one WAV file a
//! recording, named by the SHA-256 of its bytes. Nothing leaves the folder but by a hand-over that a person asks for.
//!
//! ```no_run
//! use soundbead::notebook::{NewAttempt, NewSession, Notebook};
//! use soundbead_data::{Rules, Sound};
//!
//! let mut notebook = Notebook::open()?;
//! let juno = notebook.add_learner("Juno", &Rules::default())?;
//! let session = notebook.begin_session(juno.id, &NewSession::default())?;
//! let pig = NewAttempt { word: "pig", sounds: &[Sound::P, Sound::IH, Sound::G], child: Some(3), ..NewAttempt::default() };
//! let kept = notebook.record(session.id, &pig)?; // on the disk when this returns
//! assert!(kept.child_right());
//! # Ok::<(), soundbead::notebook::NotebookError>(())
//! ```
//!
//! Two programs may have the same notebook open: each change is one transaction, and one that finds the notebook in use
//! waits for a few seconds. Every row has a random id and the time of its last change, so that two notebooks can be
//! brought together (see `FORMAT.md` beside this file).

mod attempt;
pub mod backup;
pub mod beside;
mod bounds;
mod browse;
mod code;
mod counting;
mod desk;
mod draft;
mod erase;
mod error;
pub mod export;
mod families;
mod goal;
pub mod handover;
mod history;
mod id;
mod imported;
mod learner;
mod leftover;
mod lessons;
mod naming;
mod note;
mod older;
mod opening;
mod phrases;
pub mod progress;
mod recording;
mod ruling;
mod schema;
mod session;
mod since;
mod skipped;
mod string;
mod time;
mod undo;
mod voice;
pub(crate) mod writing;

use std::cell::Cell;
use std::path::{Path, PathBuf};
use std::time::Duration;

use rusqlite::config::DbConfig;
use rusqlite::{Connection, Transaction, TransactionBehavior};

pub use attempt::{AfterFirst, Attempt, Edits, NewAttempt, Pointed, ShownAnswer};
pub use beside::DoneBeside;
pub use browse::{AttemptRun, Filter, ListRange};
pub use desk::Desk;
pub use erase::Erased;
pub use error::NotebookError;
pub use families::{DUE_WITHIN, DeskEntry};
pub use goal::{Goal, GoalBody, GoalSubject};
pub use history::Earlier;
pub use id::{Content, Id};
pub use imported::{IMPORTED, IMPORTED_TIMED, ImportRun, is_imported};
pub use learner::Learner;
pub use lessons::LessonRow;
pub use note::{
    Author, Cued, HowOften, Lips, Manner, NewNote, Note, NoteAnswer, NoteBody, NoteSubject, NotedMoment, Place,
    Settled, Voice, WhereInWord,
};
pub use phrases::{PHRASES, Phrase};
pub use ruling::{Ruling, TakenBack};
pub use session::{HeldLesson, NewSession, Session};
pub use since::{DESK_DAYS, DeskSeen, NewFrom, OpenWork};
pub use string::{BeadDays, BeadString};
pub use time::Moment;
pub use voice::{Enrolment, VowelMeasure};
pub use writing::{Help, NewWriting, Readings, Writing, WritingFilter, WritingSource, course_day};

use crate::storage::{self, FileId};

/// How long a change waits for another program that is writing.
const PATIENCE: Duration = Duration::from_secs(5);
/// The database's name in the notebook's folder.
pub const DATABASE: &str = "notebook.db";

/// The name under which a judgement without its model's id is kept.
pub const MODEL: &str = concat!("soundbead ", env!("CARGO_PKG_VERSION"));

/// What fails here fails with a [`NotebookError`].
pub type Result<T> = std::result::Result<T, NotebookError>;

/// An open notebook. One a thread: open it again elsewhere rather than share it.
pub struct Notebook {
    folder: PathBuf,
    db: Connection,
    file: FileId,
    skipped: skipped::Skipped,
    doubted: Cell<bool>,
    /// Why nothing can be written, where nothing can.
    closed: Option<String>,
}

/// How long the window's notebook goes unlooked at, at most, where nobody asks it anything.
const LOOK: Duration = Duration::from_millis(500);

impl Notebook {
    /// Opens the notebook in the user's own folder (`SOUNDBEAD_HOME`, or where the platform keeps programs' data), and
    /// makes it when there is none.
    ///
    /// # Errors
    /// When the folder cannot be made or written, or what is there is no notebook or a later version's.
    pub fn open() -> Result<Notebook> {
        let folder = crate::store::folder().map_err(|e| NotebookError::Refused(format!("{e:?}")))?;
        Notebook::open_in(&folder)
    }

    /// As [`Notebook::open`], in a folder of one's choice.
    ///
    /// # Errors
    /// As [`Notebook::open`].
    pub fn open_in(folder: &Path) -> Result<Notebook> {
        opening::open(folder)
    }

    /// What people should know, in lines that are given once: rows that could not be read and were passed over, and a
    /// clock that is wrong.
    pub fn cautions(&self) -> Vec<String> {
        let mut all = self.skipped.take();
        if !self.doubted.replace(true) {
            // A notebook that cannot be read at all says so where it is read.
            let latest = self.latest_day().ok().flatten();
            all.extend(bounds::Clock::now().doubt(latest));
        }
        all
    }

    /// Closes it without touching what lies in its place now: SQLite would put the end of its log into a file that nobody
    /// sees, and remove the log of the other.
    fn let_go(self) {
        // If that cannot be had, it is closed as ever.
        let _ = self.db.set_db_config(DbConfig::SQLITE_DBCONFIG_NO_CKPT_ON_CLOSE, true);
    }

    /// Whether its file still lies where it was opened: a program that syncs folders, or a copy that is put back, may take
    /// it away under an open window, and what is written then is in no file that anyone will open again.
    ///
    /// # Errors
    /// When the file is gone, or another lies in its place.
    pub fn in_place(&self) -> Result<()> {
        let path = self.folder.join(DATABASE);
        match storage::file_id(&path) {
            Ok(file) if file == self.file => Ok(()),
            Ok(_) => Err(NotebookError::Replaced(path)),
            Err(_) => Err(NotebookError::Gone(path)),
        }
    }

    /// The latest day of an attempt or a note.
    fn latest_day(&self) -> Result<Option<jiff::civil::Date>> {
        let number: Option<i64> = self.db.query_row(
            "SELECT max(max(ifnull((SELECT max(day) FROM attempt WHERE learner = l.n AND undone = 0), 0),
                 ifnull((SELECT max(day) FROM note WHERE learner = l.n), 0))) FROM learner l",
            [],
            |row| row.get(0),
        )?;
        Ok(number.and_then(time::day_of))
    }

    /// The folder it lies in.
    pub fn folder(&self) -> &Path {
        &self.folder
    }

    /// A transaction that writes: it waits for its turn at the start, so that it cannot fail half way for want of one.
    fn writing(&mut self) -> Result<Transaction<'_>> {
        if let Some(why) = &self.closed {
            return Err(NotebookError::refused(why));
        }
        self.in_place()?;
        Ok(self.db.transaction_with_behavior(TransactionBehavior::Immediate)?)
    }
}
