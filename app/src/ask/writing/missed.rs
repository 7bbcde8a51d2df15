//! Words in which a choice of spelling was missed, as they were written.

use jiff::civil::Date;
use soundbead_data::course::Choice;

use super::ReadWritings;

/// Words that are named for one choice.
const WORDS: usize = 4;

impl ReadWritings {
    /// Each choice that was missed from a day on, with words as they were written, the latest first: `bak for back`.
    pub fn missed(&self, since: Date) -> Vec<(&'static str, Vec<String>)> {
        let each = Choice::ALL
            .iter()
            .map(|choice| (choice.name(), self.missed_in(*choice, since)));
        each.filter(|(_, words)| !words.is_empty()).collect()
    }

    fn missed_in(&self, choice: Choice, since: Date) -> Vec<String> {
        let mut words: Vec<String> = Vec::new();
        for (row, tried) in self.meeting(choice).into_iter().rev() {
            let missed = tried.kept.iter().any(|(met, kept)| *met == choice && !kept);
            let line = format!("{} for {}", row.first(), row.word);
            if missed && row.day >= since && !words.contains(&line) && words.len() < WORDS {
                words.push(line);
            }
        }
        words
    }
}
