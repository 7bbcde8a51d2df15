//! Which words of the dictionary a child may meet, and which are kept from children.

use std::collections::HashSet;
use std::sync::LazyLock;

use crate::lexicon;

/// One bit for each word of the dictionary, made by `data/build-lexicon/common.py`.
static COMMON: &[u8] = include_bytes!("../../tables/common.bin");
static BLOCK: &str = include_str!("../../tables/block.txt");

/// Spellings that are never shown unasked: whole words, and stems with `*` for what may stand before or after.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct BlockList {
    whole: HashSet<String>,
    /// `stem*`.
    starts: HashSet<String>,
    /// `*stem`.
    ends: Vec<String>,
    /// `*stem*`.
    holds: Vec<String>,
}

impl BlockList {
    /// The list that comes with the program: unkind, crude, sexual and violent words (`data/tables/block.txt`).
    pub fn builtin() -> BlockList {
        BlockList::default().with_lines(BLOCK)
    }

    /// This list and one more entry a line of `text`; empty lines and those that begin with `#` are passed over.
    pub fn with_lines(mut self, text: &str) -> BlockList {
        let lines = text
            .lines()
            .map(str::trim)
            .filter(|l| !l.is_empty() && !l.starts_with('#'));
        lines.for_each(|line| self.add(line));
        self
    }

    /// Adds `word`, `stem*`, `*stem` or `*stem*`. Capitals are read as small letters; a lone `*` is nothing.
    pub fn add(&mut self, entry: &str) {
        let stem = entry.trim_matches('*').to_lowercase();
        match (stem.is_empty(), entry.starts_with('*'), entry.ends_with('*')) {
            (true, ..) => {}
            (_, false, false) => drop(self.whole.insert(stem)),
            (_, false, true) => drop(self.starts.insert(stem)),
            (_, true, false) => self.ends.push(stem),
            (_, true, true) => self.holds.push(stem),
        }
    }

    /// Whether `word` (in small letters) is kept out.
    pub fn blocks(&self, word: &str) -> bool {
        self.whole.contains(word)
            || word
                .char_indices()
                .skip(1)
                .any(|(end, _)| self.starts.contains(&word[..end]))
            || self.starts.contains(word)
            || self.ends.iter().any(|stem| word.ends_with(stem.as_str()))
            || self.holds.iter().any(|stem| word.contains(stem.as_str()))
    }
}

/// Whether a child may meet the word of this number in the dictionary.
pub(super) fn is_common(number: usize) -> bool {
    COMMON[number / 8] >> (number % 8) & 1 == 1
}

/// Whether the common words have this one, blocked or not.
pub(crate) fn common(word: &str) -> bool {
    static SET: LazyLock<HashSet<&'static str>> = LazyLock::new(|| {
        let entries = lexicon::words().enumerate();
        let common = entries.filter(|(number, _)| is_common(*number));
        common.map(|(_, entry)| entry.spelling()).collect()
    });
    SET.contains(word)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_four_forms_of_an_entry() {
        let list = BlockList::default().with_lines("# note\n\nPlum\nmud*\n*berry\n*oo*\n*\n");
        for blocked in ["plum", "mud", "muddy", "berry", "strawberry", "moon", "oo"] {
            assert!(list.blocks(blocked), "{blocked}");
        }
        for free in ["plums", "amud", "berries", "on", ""] {
            assert!(!list.blocks(free), "{free}");
        }
    }
}
