//! The window through its accessibility tree; one file a view.

mod bench;
mod drill;
mod live;
mod notebook;
mod plan;
mod preview;
mod shell;
mod sounds;
mod start;
mod writing;
