//! What is known of the language: the sounds of General American English, the rules by which
//! teachers count them, the words, and how letters spell sounds. No audio, no screen, no clock.
//!
//! ```
//! use soundbead_data::{Rules, Sound, inventory};
//!
//! let mut rules = Rules::default();
//! rules.set("r_vowels", "one")?;
//! let farm = ["F", "AA", "R", "M"].map(|name| name.parse::<Sound>().unwrap());
//! println!("farm has {} sounds, by the rules {rules}", rules.count(&farm, &[]));
//! for unit in rules.units(&farm, &[]) {
//!     let sound = inventory::of_unit(&farm[unit]).expect("f, ar and m are in the inventory");
//!     println!("/{}/ as in {:?}: {}", sound.ipa, sound.words.medial, sound.cues.tongue);
//! }
//! # Ok::<(), soundbead_data::rule::RuleError>(())
//! ```
//!
//! Counting rules are in [`rule`], what a mouth does for each sound is in [`inventory`].
#![warn(missing_docs)]

pub mod chain;
pub mod course;
pub mod guess;
pub mod inventory;
mod joined;
pub mod lexicon;
pub mod miscount;
pub mod norm;
pub mod parts;
pub mod rule;
mod seam;
pub mod sentence;
pub mod share;
pub mod sort;
pub mod sound;
pub mod spelling;
pub mod surprise;
pub mod syllable;
pub mod which;
pub mod word;
pub mod writing;

pub use rule::Rules;
pub use sound::Sound;
