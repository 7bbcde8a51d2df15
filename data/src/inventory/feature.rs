//! The features by which sounds are told apart, as on the IPA chart (revised 2020).

use serde::Deserialize;
use std::fmt;

/// Declares a feature's values with their plain names, which serve the table and the screen alike.
macro_rules! values {
    ($(#[$about:meta])* $feature:ident { $($(#[$what:meta])* $value:ident = $name:literal,)* }) => {
        $(#[$about])*
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Deserialize)]
        pub enum $feature {
            $($(#[$what])* #[serde(rename = $name)] $value,)*
        }

        /// Writes the plain name.
        impl fmt::Display for $feature {
            fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.pad(match self { $($feature::$value => $name,)* })
            }
        }
    };
}

values! {
    /// Where in the mouth a consonant is made; the chart's columns, front to back.
    Place {
        /// Both lips.
        Bilabial = "bilabial",
        /// Bottom lip and top teeth.
        Labiodental = "labiodental",
        /// Tongue and teeth.
        Dental = "dental",
        /// Tongue and the ridge behind the top teeth.
        Alveolar = "alveolar",
        /// Tongue and the roof just behind the ridge.
        Postalveolar = "postalveolar",
        /// Tongue and the hard roof.
        Palatal = "palatal",
        /// Back of the tongue and the soft roof.
        Velar = "velar",
        /// The voice box itself.
        Glottal = "glottal",
        /// Lips and soft roof at once (the chart's "other symbols").
        LabialVelar = "labial-velar",
    }
}

values! {
    /// How a consonant lets the air through; the chart's rows.
    Manner {
        /// Stopped, then let go.
        Plosive = "plosive",
        /// Through the nose.
        Nasal = "nasal",
        /// Through a narrow gap, with a hiss.
        Fricative = "fricative",
        /// Stopped, then let go through a narrow gap (two symbols tied on the chart).
        Affricate = "affricate",
        /// Freely, between parts that come near.
        Approximant = "approximant",
        /// Freely, past the sides of the tongue.
        LateralApproximant = "lateral-approximant",
    }
}

values! {
    /// Whether the vocal folds buzz.
    Voicing {
        /// They do.
        Voiced = "voiced",
        /// They do not.
        Voiceless = "voiceless",
    }
}

values! {
    /// How near the tongue is to the roof; the chart's levels, top to bottom.
    Height {
        /// Nearest, as in *bee*.
        Close = "close",
        /// A little lower, as in *pig*.
        NearClose = "near-close",
        /// The start of *cake*.
        CloseMid = "close-mid",
        /// Half way, as at the end of *sofa*.
        Mid = "mid",
        /// As in *bed*.
        OpenMid = "open-mid",
        /// As in *cat*.
        NearOpen = "near-open",
        /// Farthest, as in *hot*.
        Open = "open",
    }
}

values! {
    /// How far forward the tongue is.
    Backness {
        /// Far forward, as in *bee*.
        Front = "front",
        /// A little less, as in *pig*.
        NearFront = "near-front",
        /// In the middle, as at the end of *sofa*.
        Central = "central",
        /// Somewhat back, as in *book*.
        NearBack = "near-back",
        /// Far back, as in *hot*.
        Back = "back",
    }
}

values! {
    /// What the lips do.
    Rounding {
        /// They make a ring.
        Rounded = "rounded",
        /// They do not.
        Unrounded = "unrounded",
    }
}

values! {
    /// Whether a vowel can end a strong beat of a word; not on the chart, a term of English handbooks.
    Tenseness {
        /// It can: *bee*.
        Tense = "tense",
        /// It cannot, a consonant must follow (*pig*), or it is schwa.
        Lax = "lax",
        /// Before r in one syllable the difference is not made.
        Neutral = "neutral",
    }
}

values! {
    /// Whether a beat of the word is loud, for the vowels that have a strong and a weak form.
    Stress {
        /// Loud: *bird*.
        Strong = "strong",
        /// Quiet: *water*.
        Weak = "weak",
    }
}

values! {
    /// The name of a feature, for saying in what two sounds differ.
    Feature {
        /// [`Consonant::place`].
        Place = "place",
        /// [`Consonant::manner`].
        Manner = "manner",
        /// [`Consonant::voicing`].
        Voicing = "voicing",
        /// [`Vowel::height`], of its start if it moves.
        Height = "height",
        /// [`Vowel::backness`], of its start if it moves.
        Backness = "backness",
        /// [`Vowel::rounding`], of its start if it moves.
        Rounding = "rounding",
        /// [`Vowel::tenseness`].
        Tenseness = "tenseness",
        /// [`Vowel::glide_to`].
        Glide = "glide",
        /// [`Vowel::r_coloured`].
        RColour = "r-colour",
        /// [`Vowel::stress`], where both vowels have one.
        Stress = "stress",
        /// One is a consonant and the other a vowel.
        Kind = "kind",
    }
}

/// How a consonant is made.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Consonant {
    /// Where.
    pub place: Place,
    /// How.
    pub manner: Manner,
    /// With voice or without.
    pub voicing: Voicing,
}

/// Where the tongue and lips are at one moment of a vowel.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Position {
    /// How high the tongue is.
    pub height: Height,
    /// How far forward the tongue is.
    pub backness: Backness,
    /// Whether the lips are round.
    pub rounding: Rounding,
}

/// How a vowel is made.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Vowel {
    /// How high the tongue is, at the start.
    pub height: Height,
    /// How far forward the tongue is, at the start.
    pub backness: Backness,
    /// Whether the lips are round, at the start.
    pub rounding: Rounding,
    /// Whether it can stand at the end of a strong beat.
    pub tenseness: Tenseness,
    /// Where a vowel that moves (a diphthong) is headed; it need not get all the way.
    pub glide_to: Option<Position>,
    /// Whether an r is part of it, throughout (*bird*) or at the end (*car*).
    #[serde(default)]
    pub r_coloured: bool,
    /// Strong or weak, where the two have entries of their own.
    pub stress: Option<Stress>,
}

impl Vowel {
    /// Where tongue and lips start out, and stay if the vowel does not move.
    pub fn start(&self) -> Position {
        Position {
            height: self.height,
            backness: self.backness,
            rounding: self.rounding,
        }
    }
}

/// How a sound is made.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Features {
    /// A consonant.
    Consonant(Consonant),
    /// A vowel.
    Vowel(Vowel),
}

impl Features {
    /// The features in which two sounds differ, in the order of [`Feature`]; empty if in none.
    ///
    /// A consonant and a vowel differ in kind, and nothing else of them is compared.
    pub fn differences(&self, other: &Features) -> Vec<Feature> {
        let found: Vec<(Feature, bool)> = match (self, other) {
            (Features::Consonant(a), Features::Consonant(b)) => vec![
                (Feature::Place, a.place != b.place),
                (Feature::Manner, a.manner != b.manner),
                (Feature::Voicing, a.voicing != b.voicing),
            ],
            (Features::Vowel(a), Features::Vowel(b)) => vec![
                (Feature::Height, a.height != b.height),
                (Feature::Backness, a.backness != b.backness),
                (Feature::Rounding, a.rounding != b.rounding),
                (Feature::Tenseness, a.tenseness != b.tenseness),
                (Feature::Glide, a.glide_to != b.glide_to),
                (Feature::RColour, a.r_coloured != b.r_coloured),
                (Feature::Stress, a.stress.zip(b.stress).is_some_and(|(a, b)| a != b)),
            ],
            _ => vec![(Feature::Kind, true)],
        };
        found
            .into_iter()
            .filter(|(_, differs)| *differs)
            .map(|(feature, _)| feature)
            .collect()
    }
}
