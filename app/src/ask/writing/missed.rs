//! Words in which a choice of spelling was missed, as they were written.

use std::collections::BTreeSet;

use jiff::civil::Date;
use soundbead_data::course::Choice;

use super::ReadWritings;

/// Words that are named for one choice.
const WORDS: usize = 4;

impl ReadWritings {
    /// Each choice that is missed now: words in which it was missed the last time they were written, from a day on, as they were
    /// written then, the latest first: `bak for back`.
    pub fn missed(&self, since: Date) -> Vec<(&'static str, Vec<String>)> {
        let each = Choice::ALL
            .iter()
            .map(|choice| (choice.name(), self.missed_in(*choice, since)));
        each.filter(|(_, words)| !words.is_empty()).collect()
    }

    fn missed_in(&self, choice: Choice, since: Date) -> Vec<String> {
        let mut seen: BTreeSet<&str> = BTreeSet::new();
        let of_late = self.meeting(choice).into_iter().rev();
        let latest = of_late.filter(|(row, _)| row.day >= since && seen.insert(&row.word));
        let missed = latest.filter(|(_, tried)| tried.kept.iter().any(|(met, kept)| *met == choice && !kept));
        let lines = missed.map(|(row, _)| format!("{} for {}", row.first(), row.word));
        lines.take(WORDS).collect()
    }
}
