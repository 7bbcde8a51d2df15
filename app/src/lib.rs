//! The people's side of Soundbead: its window, command line, microphone and notebook.
//!
//! ```console
//! $ soundbead                                                     # opens the window
//! $ soundbead word spoon                                          # what the word should have
//! $ soundbead count spoon.wav --word spoon                        # what was said, and where each sound lies
//! $ soundbead count s-p-oo-n.wav --word spoon --speaking separate # the same, sound by sound
//! $ soundbead batch lesson.jsonl --json                           # many recordings, for programs
//! ```
//!
//! Each command is a file under `cli/`. What the commands share lies beside it: `settings` turns names into
//! rules, `typed` text into sounds, `target` a word into its sounds, `clips` a path into a recording, `answer` a judgement into JSON, `strip`
//! into a picture. The window is `ui`, behind the feature of that name (`window`): one file a view, each a view over one state.
#![warn(missing_docs)]
// Without the window, what only the window asks stands idle.
#![cfg_attr(not(feature = "window"), allow(dead_code))]

mod answer;
pub mod ask;
pub mod bench;
pub mod chart;
pub mod cli;
mod clips;
pub mod drill;
pub mod equipment;
pub mod fault;
pub mod keyed;
pub mod later;
mod links;
mod list;
pub mod live;
mod manifest;
pub mod mic;
pub mod mouth;
pub mod notebook;
pub mod page;
pub mod plan;
pub mod playback;
pub mod recorder;
pub mod report;
pub mod review;
mod say;
mod settings;
pub mod sheet;
mod shown;
pub mod spellings;
pub mod storage;
mod store;
mod strip;
mod target;
mod typed;
#[cfg(feature = "window")]
pub mod ui;
mod visible;
pub mod wording;
