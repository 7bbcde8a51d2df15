//! Sound in, evidence out.
#![warn(missing_docs)]

pub mod align;
pub mod apart;
pub mod audio;
pub mod blind;
pub mod count;
pub mod ear;
pub mod formant;
pub mod frame;
pub mod heard;
pub mod judgement;
pub mod model;
pub mod pitch;
pub mod resample;
pub mod voice;
