//! All that a learner's attempts add up to.

use serde::Serialize;
use soundbead_data::Rules;
use soundbead_data::miscount::{Cause, Pattern, SoundRest};

use super::last::LastSeen;
use super::sum::Sums;

/// What a learner's attempts add up to.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Progress {
    /// Attempts in all.
    pub attempts: u64,
    /// Different words among them.
    pub words: usize,
    /// Agreement by sound, place, cluster, length and way of speaking.
    #[serde(flatten)]
    pub sums: Sums,
    /// Miscounts that may have one cause, the surest first.
    pub patterns: Vec<Pattern>,
    /// For patterns that were found before, when they were seen last and what came since.
    pub last_seen: Vec<LastSeen>,
    /// Sounds in the latest two months, against what the words' length and the causes explain; those that stand out come first.
    #[serde(rename = "sounds_left")]
    pub sounds: Vec<SoundRest>,
    /// How many attempts were counted by which rules.
    #[serde(skip)]
    pub by_rules: Vec<(Rules, u64)>,
}

impl Progress {
    /// When the pattern of a cause was seen last; none for one that was not found before.
    pub fn seen_last(&self, cause: Cause) -> Option<&LastSeen> {
        self.last_seen.iter().find(|last| last.cause == cause)
    }

    /// How many attempts were counted by other rules than these when they were made; here they are counted anew.
    pub fn by_other_rules(&self, rules: &Rules) -> u64 {
        let others = self.by_rules.iter().filter(|(by, _)| by != rules);
        others.map(|(_, attempts)| attempts).sum()
    }
}
