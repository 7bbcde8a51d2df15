//! What is kept: the store, its hand-over and its copies; one file a subject.

#[path = "../common/mod.rs"]
mod common;

mod backup;
mod counting;
mod erase;
mod families;
mod faults;
mod goals;
mod handover;
mod older;
mod progress;
mod store;
mod writing;
