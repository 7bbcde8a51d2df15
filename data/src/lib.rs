//! What is known of the language: the sounds of General American English, the rules by which
//! teachers count them, the words, and how letters spell sounds. No audio, no screen, no clock.
#![warn(missing_docs)]

pub mod lexicon;
pub mod rule;
pub mod sound;

pub use rule::Rules;
pub use sound::Sound;
