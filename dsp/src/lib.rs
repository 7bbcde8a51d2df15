//! Sound in, evidence out.
#![warn(missing_docs)]

pub mod audio;
pub mod resample;
pub mod voice;
