//! Words one sound apart, and chains of them: each word is the one before with a single sound swapped, added or dropped.
//!
//! A sound is what the rules in force count as one ([`Unit`]), so under `r_vowels=one` *car* and *core* differ in one
//! sound and so do *car* and *coo*. Stress plays no part, and spelling none: *know* to *gnome* adds a sound at the end.
//!
//! ```
//! use soundbead_data::Sound;
//! use soundbead_data::chain::{Kind, Place, difference};
//!
//! let change = difference(&[Sound::P, Sound::IH, Sound::G], &[Sound::P, Sound::EH, Sound::G]).unwrap();
//! assert_eq!((change.kind, change.place, change.at), (Kind::Swap, Place::Medial, 1));
//! assert_eq!((change.from.unwrap().to_string(), change.to.unwrap().to_string()), ("IH".into(), "EH".into()));
//! ```

mod change;
mod unit;

pub use change::{Change, Kind, Place, UnknownName, difference, difference_in_units};
pub use unit::{Unit, units};
