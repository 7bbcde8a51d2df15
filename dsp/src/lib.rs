//! Sound in, evidence out: from a recording of one spoken word to which of its sounds were heard, where, and how surely.
//!
//! ```
//! use soundbead_dsp::{audio, ear::Ear, judgement::{Speaking, Target}};
//!
//! let spoon = ["S", "P", "UW", "N"].map(|name| name.parse().unwrap());
//! let asked = Target { variants: vec![spoon.to_vec()], letters: Vec::new() };
//! let recording = audio::decode("../recordings-demo/16-spoon.wav".as_ref())?;
//! let judged = Ear::new()?.judge(&recording, Some(&asked), Speaking::Whole, &Default::default())?;
//! println!("{:?}: {} sounds heard", judged.verdict, judged.heard);
//! for p in &judged.sounds {
//!     println!("{} from {:.2} to {:.2} s, evidence {:.2}", p.sound, p.start_s, p.end_s, p.evidence);
//! }
//! # assert_eq!(judged.sounds.len(), 4);
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```
//!
//! A microphone or a synthesiser has samples rather than a file: [`audio::Recording::from_samples`]. Without a target
//! the count is blind; [`ear::Ear::compare`] tells which of several words was said.
//!
//! | step | module |
//! | --- | --- |
//! | any sound file to 16 kHz mono | [`audio`] |
//! | where in it the word is, and how good the recording is | [`voice`] |
//! | which sounds are heard, whether the target was said, and how surely | [`ear`] |
//! | what is said about one recording | [`judgement`] |
//! | pitch and vowels | [`pitch`], [`formant`] |
//! | the vowel after a stop alone | [`stop`] |
//! | model sounds, and slower playback | [`synth`], [`slow`] |
//!
//! The feature `measure` opens `ear::inside`, what measuring and fitting need; nothing else should ask for it.
#![warn(missing_docs)]

pub mod audio;
pub mod ear;
pub mod formant;
pub mod judgement;
pub mod pitch;
pub mod say;
pub mod slow;
pub mod stop;
pub mod synth;
pub mod voice;
