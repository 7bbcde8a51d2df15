//! The lesson through its accessibility tree, with files spoken into the microphone.
//!
//! What was made of each recording is in recordings-demo/README.md; no person speaks there.

mod beside;
mod faults;
mod hearing;
mod keeping;
mod steps;
mod taking;
