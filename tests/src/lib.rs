//! Checks against the outside world, and the measurement of the ear on real children's and adults' speech.
#![warn(missing_docs)]

pub mod house;
pub mod measure;
