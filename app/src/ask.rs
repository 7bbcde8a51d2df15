//! Questions below both faces: typed requests and their answers.
//!
//! The command line and the window read what a person wants and show what comes back. What a request means, what it leaves
//! open and what fills the gap is decided here, once. Nothing here knows a flag, a screen or a terminal.

pub mod aloud;
pub mod boxes;
pub mod chain;
pub mod coming_back;
pub mod course;
pub mod desk;
pub mod dictation;
pub mod ear;
pub mod import;
pub(crate) mod line;
pub mod noted;
pub mod paper;
pub mod parts;
pub mod say;
pub mod sort;
pub mod tonight;
pub mod writing;
pub mod wrote;
