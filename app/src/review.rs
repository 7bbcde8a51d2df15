//! The consultant's review: attempts one after another, heard, seen, ruled on and annotated, as a machine without a window.
//!
//! [`session::ReviewSession`] is all of it: what people want goes in by `apply`, what the notebook and the loudspeaker have
//! to say by `poll`. Whoever draws it reads its state. [`list::AttemptList`] is the list with its days and lessons,
//! [`note::NoteEditor`] a note as it is written, [`notes::NotesSession`] all notes on a learner, [`compare::Comparison`] one
//! word at two times.

pub mod compare;
pub mod days;
pub mod drafts;
pub mod list;
pub mod note;
pub mod notes;
pub mod opened;
mod rulings;
pub mod session;
pub mod signs;
pub mod told;

/// A review with its equipment and no window.
pub type ReviewBench = crate::bench::SessionBench<session::ReviewSession>;
