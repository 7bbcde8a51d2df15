//! How common the words of a sort are: what a parent chooses.

use std::collections::HashSet;
use std::fmt;
use std::str::FromStr;
use std::sync::LazyLock;

use crate::chain::UnknownName;

/// Bands of word frequency, by the Zipf scale ([`crate::lexicon::Entry::zipf`]).
///
/// The bounds are our own judgement, from reading what falls into each. The frequencies are those of grown-up writing, so
/// words that are common there and strange to children (`tables/grown.txt`) are kept out of all but the last.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub enum Level {
    /// Words of every day: 4.3 and more (said or read several times in an hour).
    Everyday,
    /// Words that a reader of eight to ten knows: 3.6 and more.
    #[default]
    Known,
    /// Words of longer books: 3.0 and more.
    Bookish,
    /// Every word of the list.
    All,
}

impl Level {
    /// Every level, the commonest words first.
    pub const ALL: [Level; 4] = [Level::Everyday, Level::Known, Level::Bookish, Level::All];

    /// `everyday`, `known`, `bookish` or `all`.
    pub fn name(self) -> &'static str {
        match self {
            Level::Everyday => "everyday",
            Level::Known => "known",
            Level::Bookish => "bookish",
            Level::All => "all",
        }
    }

    /// In words for a parent.
    pub fn about(self) -> &'static str {
        match self {
            Level::Everyday => "words of every day",
            Level::Known => "words a reader of eight to ten knows",
            Level::Bookish => "words of longer books",
            Level::All => "every word of the list",
        }
    }

    /// The Zipf frequency from which a word belongs to it.
    pub fn least(self) -> f32 {
        match self {
            Level::Everyday => 4.3,
            Level::Known => 3.6,
            Level::Bookish => 3.0,
            Level::All => 0.0,
        }
    }

    /// Whether a word of this frequency belongs to it.
    pub fn has(self, word: &str, zipf: f32) -> bool {
        static GROWN: LazyLock<HashSet<&'static str>> = LazyLock::new(|| {
            let lines = include_str!("../../tables/grown.txt").lines();
            lines
                .filter(|l| !l.starts_with('#'))
                .flat_map(str::split_whitespace)
                .collect()
        });
        self == Level::All || (zipf >= self.least() && !GROWN.contains(word))
    }
}

impl fmt::Display for Level {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(self.name())
    }
}

impl FromStr for Level {
    type Err = UnknownName;

    /// Reads the name, in small or capital letters.
    ///
    /// # Errors
    /// When it is none of the names.
    fn from_str(text: &str) -> Result<Self, Self::Err> {
        let found = Level::ALL
            .into_iter()
            .find(|level| level.name().eq_ignore_ascii_case(text));
        found.ok_or_else(|| UnknownName {
            found: text.to_owned(),
            wanted: "everyday, known, bookish or all",
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn each_level_has_words_of_its_own_and_takes_in_more_than_the_one_before() {
        assert_eq!(Level::Everyday.about(), "words of every day");
        assert_eq!(Level::All.name(), "all");
        for two in Level::ALL.windows(2) {
            assert!(
                two[0].least() > two[1].least() && two[0].about() != two[1].about(),
                "{two:?}"
            );
        }
    }
}
