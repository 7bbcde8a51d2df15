//! What may lead a count astray, by its name for programs and in words.

use std::fmt;

use crate::Rules;
use serde::{Serialize, Serializer};

/// What may lead a count astray.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Cause {
    /// Every letter is counted.
    Letters,
    /// A silent e is counted.
    SilentE,
    /// A doubled letter is counted twice.
    DoubledLetters,
    /// Letters that together spell one consonant are counted apart.
    ConsonantTeams,
    /// Letters that together spell one vowel are counted apart.
    VowelTeams,
    /// Neighbouring consonants are counted as one, whichever they are.
    Clusters,
    /// A nasal between the vowel and another consonant is not counted.
    LostNasal,
    /// An l or r beside another consonant is not counted.
    LostLiquid,
    /// Neighbouring consonants without a nasal or a liquid are counted as one.
    OtherClusters,
    /// Counted as another rule than the one in force would have it.
    Rule {
        /// The rule.
        rule: &'static str,
        /// The value by which the child seems to count.
        value: &'static str,
    },
}

impl Cause {
    /// The single causes of which this one is made; none of a single one.
    pub fn parts(self) -> &'static [Cause] {
        match self {
            Cause::Letters => &[
                Cause::SilentE,
                Cause::DoubledLetters,
                Cause::ConsonantTeams,
                Cause::VowelTeams,
            ],
            Cause::Clusters => &[Cause::LostNasal, Cause::LostLiquid, Cause::OtherClusters],
            _ => &[],
        }
    }

    /// A short name for programs.
    pub fn name(self) -> String {
        match self {
            Cause::Letters => "letters".into(),
            Cause::SilentE => "silent_e".into(),
            Cause::DoubledLetters => "doubled_letters".into(),
            Cause::ConsonantTeams => "consonant_teams".into(),
            Cause::VowelTeams => "vowel_teams".into(),
            Cause::Clusters => "clusters".into(),
            Cause::LostNasal => "lost_nasal".into(),
            Cause::LostLiquid => "lost_liquid".into(),
            Cause::OtherClusters => "other_clusters".into(),
            Cause::Rule { rule, value } => format!("{rule}={value}"),
        }
    }
}

/// Writes what is seen, in plain words.
impl fmt::Display for Cause {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let what = match self {
            Cause::Letters => "Letters are counted, not sounds",
            Cause::SilentE => "A silent e is counted (cake)",
            Cause::DoubledLetters => "A doubled letter is counted twice (chess)",
            Cause::ConsonantTeams => "Letters that spell one consonant are counted apart (ship)",
            Cause::VowelTeams => "Letters that spell one vowel are counted apart (boat)",
            Cause::Clusters => "Neighboring consonants are counted as one (spoon, hand, flag)",
            Cause::LostNasal => "The n, m or ng before a consonant is not counted (hand, jump, pink)",
            Cause::LostLiquid => "The l or r beside a consonant is not counted (flag, frog, milk)",
            Cause::OtherClusters => {
                "Neighboring consonants other than those with n, m, ng, l, r are counted as one (spoon)"
            }
            Cause::Rule { rule, value } => {
                let info = Rules::about_one(rule);
                let choice = info.map_or(*value, |info| info.choice(value)).to_lowercase();
                let what = info.and_then(|info| info.counts).unwrap_or(rule);
                return write!(f, "{what}: counted as {choice}");
            }
        };
        f.write_str(what)
    }
}

impl Serialize for Cause {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        to.serialize_str(&self.name())
    }
}
