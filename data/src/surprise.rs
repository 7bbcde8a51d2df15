//! Surprising letters: those in common words that no rule foretells, and why they are there.
//!
//! ```
//! use soundbead_data::surprise;
//!
//! let said = surprise::find("said").unwrap();
//! assert_eq!((said.letters().collect::<Vec<_>>(), said.marked()), (vec!["ai"], "s[ai]d".to_owned()));
//! ```
//!
//! Histories are from memory of what handbooks of English spelling and dictionaries say; where the reason is not known, the line
//! says so.

use std::collections::HashMap;
use std::ops::Range;
use std::sync::LazyLock;

/// A word with letters that no rule foretells.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Surprise {
    /// The word, in small letters.
    pub word: String,
    /// Where those letters stand, as ranges of bytes of the word, in order.
    pub places: Vec<Range<usize>>,
    /// Why they are there, in a sentence or two for a parent and a child.
    pub why: &'static str,
}

impl Surprise {
    /// The letters, in order.
    pub fn letters(&self) -> impl Iterator<Item = &str> {
        self.places.iter().map(|place| &self.word[place.clone()])
    }

    /// The word with those letters in brackets, as `data/tables/surprise.tsv` writes it: `s[ai]d`.
    pub fn marked(&self) -> String {
        let mut text = String::new();
        let mut done = 0;
        for place in &self.places {
            text += &self.word[done..place.start];
            text += &format!("[{}]", &self.word[place.clone()]);
            done = place.end;
        }
        text + &self.word[done..]
    }

    /// Whether letter `at` (a byte of the word) is one of them.
    pub fn holds(&self, at: usize) -> bool {
        self.places.iter().any(|place| place.contains(&at))
    }
}

static TABLE: LazyLock<HashMap<String, Surprise>> = LazyLock::new(|| {
    let lines = include_str!("../tables/surprise.tsv").lines();
    let read = lines.filter(|line| !line.starts_with('#')).filter_map(read_line);
    read.map(|surprise| (surprise.word.clone(), surprise)).collect()
});

/// A word with brackets, a tab, the reason.
fn read_line(line: &'static str) -> Option<Surprise> {
    let (marked, why) = line.split_once('\t')?;
    let (mut word, mut places, mut open) = (String::new(), Vec::new(), None);
    for c in marked.chars() {
        match c {
            '[' => open = Some(word.len()),
            ']' => places.push(open.take()?..word.len()),
            c => word.push(c),
        }
    }
    Some(Surprise { word, places, why })
}

/// The surprising letters of `word` (small letters), if it is a common word that has some.
pub fn find(word: &str) -> Option<&'static Surprise> {
    TABLE.get(word)
}

/// Every word that has some, in no order.
pub fn all() -> impl Iterator<Item = &'static Surprise> {
    TABLE.values()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::lexicon;

    #[test]
    fn the_table_is_whole() {
        let lines = include_str!("../tables/surprise.tsv")
            .lines()
            .filter(|l| !l.starts_with('#'));
        let lines: Vec<&str> = lines.collect();
        assert!(lines.len() >= 150 && all().count() == lines.len(), "{}", all().count());
        for line in lines {
            let surprise = read_line(line).unwrap_or_else(|| panic!("{line}"));
            assert_eq!(surprise.marked(), line.split('\t').next().unwrap());
            assert!(
                !surprise.places.is_empty() && surprise.why.ends_with('.') && surprise.why.len() <= 160,
                "{line}"
            );
            assert!(
                lexicon::look_up(&surprise.word).is_some_and(|e| e.zipf() >= 2.5),
                "{line}"
            );
        }
    }

    /// Facts of the trade, common practice, no source: these letters are the ones that lessons mark.
    #[test]
    fn words_that_every_lesson_marks() {
        for (word, letters) in [("said", "ai"), ("friend", "ie"), ("does", "oe"), ("people", "eo")] {
            assert_eq!(find(word).unwrap().letters().collect::<Vec<_>>(), [letters], "{word}");
        }
        assert!(find("pig").is_none() && find("rain").is_none());
    }
}
