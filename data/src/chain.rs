//! Words one sound apart, and chains of them: each word is the one before with a single sound swapped, added or dropped.
//!
//! A sound is what the rules in force count as one ([`Unit`]), so under `r_vowels=one` *car* and *core* differ in one
//! sound and so do *car* and *coo*. Stress plays no part, and spelling none: *know* to *gnome* adds a sound at the end.
//!
//! ```
//! use soundbead_data::Sound;
//! use soundbead_data::chain::{ChangeKind, Place, difference};
//!
//! let change = difference(&[Sound::P, Sound::IH, Sound::G], &[Sound::P, Sound::EH, Sound::G]).unwrap();
//! assert_eq!((change.kind, change.place, change.at), (ChangeKind::Swap, Place::Medial, 1));
//! assert_eq!((change.from.unwrap().to_string(), change.to.unwrap().to_string()), ("IH".into(), "EH".into()));
//! ```
//!
//! A [`Graph`] holds the words of a [`WordList`] and answers for chains over them:
//!
//! ```
//! use soundbead_data::Rules;
//! use soundbead_data::chain::{Graph, Limits, WordList};
//!
//! let graph = Graph::new(&WordList::default(), &Rules::default());
//! let chain = graph.shortest("pig", "ten", &Limits::default(), 0)?;
//! assert_eq!(chain.steps.len(), 4);
//! # Ok::<(), soundbead_data::chain::NoChain>(())
//! ```

mod ask;
mod change;
mod graph;
mod known;
mod letters;
mod limits;
mod neighbours;
mod search;
mod unit;
mod words;

pub use ask::{Chain, ChainStep, NoChain, Why};
pub use change::{Change, ChangeKind, Place, UnknownName, difference, difference_in_units};
pub(crate) use graph::mix;
pub use graph::{Graph, SpelledWord};
pub use known::BlockList;
pub(crate) use known::common;
pub use letters::LetterChange;
pub use limits::{Limit, Limits};
pub use neighbours::neighbouring_sounds;
pub use unit::{Unit, units};
pub use words::{Listed, Range, WordList};
