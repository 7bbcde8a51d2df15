//! What can be chosen in a note rather than written: closed sets, each with its word in files and its words on the screen.

use std::fmt;

use serde::{Deserialize, Serialize};
use soundbead_data::Sound;

/// Declares a closed set, the words for it in files, and the words for it on the screen.
macro_rules! choices {
    ($(#[$about:meta])* $name:ident { $($(#[$what:meta])* $value:ident = $text:literal, $shown:literal;)* }) => {
        $(#[$about])*
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
        pub enum $name {
            $($(#[$what])* #[serde(rename = $text)] $value,)*
        }

        impl $name {
            /// Every choice, in the order in which they are offered.
            pub const ALL: &[$name] = &[$($name::$value,)*];

            /// The word that names it in files.
            pub fn name(self) -> &'static str {
                match self { $($name::$value => $text,)* }
            }
        }

        /// Writes it for people.
        impl fmt::Display for $name {
            fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.pad(match self { $($name::$value => $shown,)* })
            }
        }
    };
}

choices! {
    /// Who wrote or ruled.
    Author {
        /// Who teaches at home.
        Parent = "parent", "parent";
        /// Who reviews.
        Consultant = "consultant", "consultant";
    }
}

choices! {
    /// Where the closure or narrowing was seen or heard (columns of the IPA chart, in plain words).
    Place {
        /// Both lips.
        Lips = "bilabial", "both lips";
        /// Lower lip and upper teeth.
        LipTeeth = "labiodental", "lip on teeth";
        /// Tongue and teeth.
        Teeth = "dental", "tongue at the teeth";
        /// Tongue and the ridge behind the teeth.
        Ridge = "alveolar", "tongue at the ridge";
        /// Just behind the ridge.
        BehindRidge = "postalveolar", "behind the ridge";
        /// The hard roof.
        Roof = "palatal", "roof of the mouth";
        /// The soft roof.
        Back = "velar", "back of the mouth";
        /// The voice box.
        Throat = "glottal", "throat";
    }
}

choices! {
    /// How the air came out (rows of the IPA chart, in plain words).
    Manner {
        /// Stopped, then let go.
        Stop = "plosive", "stopped and let go";
        /// Through the nose.
        Nose = "nasal", "through the nose";
        /// With a hiss.
        Hiss = "fricative", "with a hiss";
        /// Stopped, then with a hiss.
        StopHiss = "affricate", "stopped, then a hiss";
        /// Freely.
        Glide = "approximant", "gliding, no hiss";
        /// Past the sides of the tongue.
        Side = "lateral", "past the tongue's sides";
        /// As a vowel.
        Open = "vowel", "open, as a vowel";
    }
}

choices! {
    /// Whether the voice was on.
    Voice {
        /// It was.
        On = "voiced", "voice on";
        /// It was not.
        Off = "voiceless", "voice off";
        /// For a part of the sound.
        Partly = "partly", "voice on for a part";
    }
}

choices! {
    /// What the lips did.
    Lips {
        /// A ring.
        Round = "rounded", "round";
        /// Drawn wide.
        Spread = "spread", "spread";
        /// Neither.
        Neutral = "neutral", "at rest";
        /// Together.
        Closed = "closed", "together";
    }
}

choices! {
    /// Where in the word.
    WhereInWord {
        /// At its start.
        Start = "initial", "at the start";
        /// Inside it.
        Middle = "medial", "in the middle";
        /// At its end.
        End = "final", "at the end";
        /// Beside another consonant.
        Cluster = "cluster", "in a cluster";
    }
}

choices! {
    /// How regularly.
    HowOften {
        /// Nearly every time.
        Consistent = "consistent", "nearly every time";
        /// Sometimes.
        NowAndThen = "now-and-then", "now and then";
        /// Only this once.
        Once = "once", "this once";
    }
}

choices! {
    /// Whether the child had been helped to it.
    Cued {
        /// After a model, a mirror, a hint.
        Cued = "cued", "after a hint";
        /// By itself.
        Alone = "uncued", "without help";
    }
}

impl WhereInWord {
    /// Where a sound of a word stands. A consonant beside another is in a cluster, wherever that is.
    pub fn of(sounds: &[Sound], at: usize) -> WhereInWord {
        let consonant = |i: Option<usize>| i.and_then(|i| sounds.get(i)).is_some_and(|s| !s.is_vowel());
        let beside = consonant(at.checked_sub(1)) || consonant(at.checked_add(1));
        match at {
            _ if beside && consonant(Some(at)) => WhereInWord::Cluster,
            0 => WhereInWord::Start,
            _ if at + 1 == sounds.len() => WhereInWord::End,
            _ => WhereInWord::Middle,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Common practice, no source.
    #[test]
    fn a_sound_stands_at_the_start_inside_at_the_end_or_beside_another_consonant() {
        for (sounds, at, wanted) in [
            ("TH IH N", 0, WhereInWord::Start),
            ("F EH DH ER", 2, WhereInWord::Middle),
            ("B AE TH", 2, WhereInWord::End),
            ("TH R IY", 0, WhereInWord::Cluster),
            ("F IH F TH", 3, WhereInWord::Cluster),
            ("IY T", 0, WhereInWord::Start),
        ] {
            let sounds: Vec<Sound> = sounds.split(' ').map(|s| s.parse().unwrap()).collect();
            assert_eq!(WhereInWord::of(&sounds, at), wanted, "{sounds:?}");
        }
    }
}
