//! The list of attempts, the latest first, under the days and lessons in which they were made.

use std::collections::HashMap;
use std::ops::Range;

use jiff::civil::Date;

use super::signs::{NoteSign, signs};
use crate::equipment::{Equipment, News};
use crate::later::Latest;
use crate::notebook::{Attempt, AttemptRun, Filter, Id, ListRange, Note, NoteSubject, NotebookError};

/// Rows that are fetched at once.
const TAKE: u64 = 200;

/// A row of the list as it is shown.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum ListRow<'a> {
    /// A day and its lesson, above what was said in it.
    Heading(&'a AttemptRun),
    /// An attempt by its number, the latest being 0; itself once it is here.
    Attempt(u64, Option<&'a Attempt>),
}

/// The list.
#[derive(Default)]
pub struct AttemptList {
    filter: Filter,
    asked: Option<Filter>,
    runs: Latest<Vec<AttemptRun>, NotebookError>,
    /// The number of the first attempt of each run.
    firsts: Vec<u64>,
    rows: Latest<(u64, Vec<Attempt>), NotebookError>,
    /// Which attempts have notes.
    noted: Latest<HashMap<Id, NoteSign>, NotebookError>,
    /// Which attempt is in hand.
    at: u64,
    /// An attempt that is to be taken in hand, once its number is known.
    sought: Latest<Option<u64>, NotebookError>,
    /// Whether the attempt in hand is to be brought into sight.
    follow: bool,
    /// The attempts that are in sight.
    seen: Range<u64>,
}

impl AttemptList {
    /// How many attempts there are.
    pub fn len(&self) -> u64 {
        let runs = self.runs.value.iter().flatten();
        runs.map(|run| run.attempts).sum()
    }

    /// Whether there are none that are looked for.
    pub fn is_empty(&self) -> bool {
        self.len() == 0
    }

    /// Whether there is nothing at all, whatever is looked for.
    pub fn is_empty_notebook(&self) -> bool {
        self.is_empty() && self.filter == Filter::default()
    }

    /// Whether the number is not known yet.
    pub fn is_opening(&self) -> bool {
        self.runs.value.is_none()
    }

    /// What is looked for.
    pub fn filter(&self) -> &Filter {
        &self.filter
    }

    /// Looks for this from now on.
    pub fn look_for(&mut self, filter: Filter) {
        self.filter = filter;
    }

    /// Asks for everything anew.
    pub fn stale(&mut self) {
        self.asked = None;
    }

    /// The number of the attempt in hand, the latest being 0.
    pub fn at(&self) -> u64 {
        self.at
    }

    /// The attempt of this number, if it is here.
    pub fn attempt(&self, at: u64) -> Option<&Attempt> {
        let (skip, rows) = self.rows.value.as_ref()?;
        rows.get(usize::try_from(at.checked_sub(*skip)?).ok()?)
    }

    /// That an attempt has notes.
    pub fn noted(&self, id: Id) -> Option<NoteSign> {
        self.noted.value.as_ref()?.get(&id).copied()
    }

    /// A note was kept.
    pub fn note(&mut self, note: &Note) {
        if let NoteSubject::Attempt(id) = note.on {
            let noted = self.noted.value.get_or_insert_default();
            noted.entry(id).or_default().add(note);
        }
    }

    /// The attempt in hand, if it is here.
    pub fn in_hand(&self) -> Option<&Attempt> {
        self.attempt(self.at)
    }

    /// Every attempt that is here, to be changed in place.
    pub fn here_mut(&mut self) -> impl Iterator<Item = &mut Attempt> {
        self.rows.value.iter_mut().flat_map(|(_, rows)| rows)
    }

    /// The days and lessons, the latest first.
    pub fn runs(&self) -> &[AttemptRun] {
        self.runs.value.as_deref().unwrap_or_default()
    }

    /// How many rows are shown, headings among them.
    pub fn shown(&self) -> u64 {
        self.len() + self.runs().len() as u64
    }

    /// What stands in a row.
    pub fn row(&self, row: u64) -> Option<ListRow<'_>> {
        // The heading of run `i` stands at the first attempt's number and the headings above it.
        let run = self.firsts.iter().enumerate();
        let run = run.take_while(|(i, first)| **first + *i as u64 <= row).last()?.0;
        let heading = self.firsts[run] + run as u64;
        if row == heading {
            return Some(ListRow::Heading(&self.runs()[run]));
        }
        let at = row - run as u64 - 1;
        (at < self.len()).then(|| ListRow::Attempt(at, self.attempt(at)))
    }

    /// In which row an attempt stands.
    pub fn row_of(&self, at: u64) -> u64 {
        at + self.run_of(at).map_or(0, |run| run as u64 + 1)
    }

    /// In which day and lesson an attempt stands.
    fn run_of(&self, at: u64) -> Option<usize> {
        self.firsts.partition_point(|first| *first <= at).checked_sub(1)
    }

    /// Takes the attempt of this number in hand; whether another is in hand now.
    pub fn pick(&mut self, at: u64) -> bool {
        let to = at.min(self.len().saturating_sub(1));
        let moved = to != self.at;
        (self.at, self.follow) = (to, true);
        moved
    }

    /// Moves by so many attempts; whether another is in hand now.
    pub fn step(&mut self, by: i64) -> bool {
        self.pick(self.at.saturating_add_signed(by))
    }

    /// Moves by so many days or lessons, to the first attempt in the list of each; whether another is in hand now.
    pub fn step_lesson(&mut self, by: i64) -> bool {
        let Some(now) = self.run_of(self.at) else { return false };
        let last = self.firsts.len() - 1;
        let to = now.saturating_add_signed(isize::try_from(by).unwrap_or(0)).min(last);
        self.pick(self.firsts[to])
    }

    /// Goes to the latest attempt of a day, or of the day before it that has any; whether another is in hand now.
    pub fn go_to_day(&mut self, day: Date) -> bool {
        let run = self.runs().iter().position(|run| run.day <= day);
        let run = run.unwrap_or(self.firsts.len().saturating_sub(1));
        match self.firsts.get(run) {
            Some(first) => self.pick(*first),
            None => false,
        }
    }

    /// Takes an attempt in hand by its name, as soon as its number is known.
    pub fn seek(&mut self, at: &Equipment, learner: Id, id: Id) {
        let filter = self.filter.clone();
        self.sought
            .ask(at.notebook.ask(move |n| n.place_of(learner, &filter, id)));
    }

    /// Whether the number of an attempt is asked for, so that what is in hand is not what is wanted.
    pub fn is_seeking(&self) -> bool {
        self.sought.busy()
    }

    /// Tells which attempts are in sight.
    pub fn see(&mut self, seen: Range<u64>) {
        self.seen = seen;
    }

    /// Whether the attempt in hand is to be brought into sight now; true once for each move.
    pub fn take_follow(&mut self) -> bool {
        std::mem::take(&mut self.follow)
    }

    /// Asks for what is missing, and takes in what came. Whether rows came.
    pub fn poll(&mut self, at: &Equipment, learner: Id, news: &mut Vec<News>) -> bool {
        if self.asked.as_ref() != Some(&self.filter) {
            let same = self.asked.is_none() && self.runs.value.is_some();
            // What is looked for changes no note: notes are asked for at first, and again when they may have changed.
            if self.asked.is_none() {
                self.noted.ask(at.notebook.ask(move |n| Ok(signs(&n.notes(learner)?))));
            }
            let filter = self.filter.clone();
            self.asked = Some(filter.clone());
            self.runs
                .ask(at.notebook.ask(move |n| n.attempt_runs(learner, &filter)));
            if !same {
                (self.at, self.follow) = (0, true);
            }
            self.fetch(at, learner, self.at);
        }
        self.noted.take(news);
        if self.runs.take(news) {
            let sums = self.runs().iter().scan(0, |sum, run| {
                let first = *sum;
                *sum += run.attempts;
                Some(first)
            });
            self.firsts = sums.collect();
            self.at = self.at.min(self.len().saturating_sub(1));
        }
        // A number means something once the list that it is of is here.
        if !self.runs.busy()
            && self.sought.take(news)
            && let Some(Some(place)) = self.sought.value.take()
        {
            self.pick(place);
        }
        let came = self.rows.take(news);
        self.fetch_missing(at, learner);
        came
    }

    fn fetch_missing(&mut self, at: &Equipment, learner: Id) {
        let last = self.len().saturating_sub(1);
        let wanted = [self.at, self.seen.start, self.seen.end.saturating_sub(1)].map(|n| n.min(last));
        let missing = wanted.into_iter().find(|n| self.attempt(*n).is_none());
        if let Some(missing) = missing.filter(|_| !self.is_empty() && !self.rows.busy()) {
            self.fetch(at, learner, missing);
        }
    }

    fn fetch(&mut self, at: &Equipment, learner: Id, around: u64) {
        let (filter, skip) = (self.filter.clone(), around.saturating_sub(TAKE / 2));
        let page = ListRange { skip, take: TAKE };
        self.rows.ask(
            at.notebook
                .ask(move |n| Ok((skip, n.attempts(learner, &filter, page)?))),
        );
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use jiff::civil::date;

    fn list(runs: &[(i8, u64)]) -> AttemptList {
        let run = |(day, attempts): &(i8, u64)| AttemptRun {
            day: date(2026, 11, *day),
            plans: Vec::new(),
            attempts: *attempts,
        };
        let mut list = AttemptList::default();
        let (mut sum, mut all) = (0, Vec::new());
        for one in runs {
            list.firsts.push(sum);
            sum += one.1;
            all.push(run(one));
        }
        list.runs.value = Some(all);
        list
    }

    /// What each row is: a day, or the number of an attempt.
    fn rows(list: &AttemptList) -> Vec<String> {
        let told = |row| match list.row(row) {
            Some(ListRow::Heading(run)) => format!("day {}", run.day.day()),
            Some(ListRow::Attempt(at, _)) => at.to_string(),
            None => "none".into(),
        };
        (0..=list.shown()).map(told).collect()
    }

    #[test]
    fn each_day_stands_above_its_attempts_and_every_attempt_knows_its_row() {
        let list = list(&[(24, 2), (20, 1), (17, 3)]);
        assert_eq!(
            rows(&list),
            ["day 24", "0", "1", "day 20", "2", "day 17", "3", "4", "5", "none"]
        );
        for at in 0..list.len() {
            assert!(matches!(list.row(list.row_of(at)), Some(ListRow::Attempt(n, _)) if n == at));
        }
        assert_eq!(rows(&super::AttemptList::default()), ["none"]);
    }

    #[test]
    fn a_day_that_has_none_leads_to_the_one_before_it() {
        let mut list = list(&[(24, 2), (20, 1), (17, 3)]);
        for (day, at) in [(30, 0), (24, 0), (22, 2), (17, 3), (1, 3)] {
            list.go_to_day(date(2026, 11, day));
            assert_eq!(list.at(), at, "{day}");
        }
        assert!(list.step_lesson(-1) && list.at() == 2);
        assert!(list.step_lesson(-9) && list.at() == 0);
        assert!(!list.step_lesson(-1));
        assert!(list.step_lesson(9) && list.at() == 3);
        assert!(list.step(99) && list.at() == 5);
    }
}
