//! What may lead a count astray, by its name for programs and in words.

use std::fmt;

use serde::{Serialize, Serializer};
use soundbead_data::Rules;

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
    /// Neighbouring consonants are counted as one.
    Clusters,
    /// Counted as another rule than the one in force would have it.
    Rule {
        /// The rule.
        rule: &'static str,
        /// The value by which the child seems to count.
        value: &'static str,
    },
}

impl Cause {
    /// A short name for programs.
    pub fn name(self) -> String {
        match self {
            Cause::Letters => "letters".into(),
            Cause::SilentE => "silent_e".into(),
            Cause::DoubledLetters => "doubled_letters".into(),
            Cause::ConsonantTeams => "consonant_teams".into(),
            Cause::VowelTeams => "vowel_teams".into(),
            Cause::Clusters => "clusters".into(),
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
            Cause::Clusters => "Neighbouring consonants are counted as one (spoon)",
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
