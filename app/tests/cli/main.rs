//! The built program as a person or a script runs it; one file a subject.

#[path = "../common/mod.rs"]
mod common;

mod bad_input;
mod batch;
mod chain;
mod contract;
mod course;
mod fuzz;
mod hostile;
mod hostile_bytes;
mod import;
mod notebook;
mod pages;
mod people;
mod remember;
mod report;
mod say;
mod sheet;
mod slips;
mod writing;
mod wrote;
