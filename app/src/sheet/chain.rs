//! A chain of words, each one sound away from the one before: boxes for the child, words and changes for the parent.

use std::fmt;

use soundbead_data::chain::{Change, ChangeKind, Place, Unit, difference_in_units};
use soundbead_data::inventory;

use super::boxes::{child_cells, fill, key_row, legend};
use super::lay::{Composer, PageHead};
use super::page::Sheet;
use super::words::{Cell, SheetWord};
use super::{SheetOptions, foot};
use crate::say::many;

/// Two words that follow each other and differ in more, or less, than one sound.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NotAStep {
    /// The number of the later one, from 1.
    pub number: usize,
    /// The earlier word.
    pub from: String,
    /// The later word.
    pub to: String,
    /// Whether they have the very same sounds.
    pub same: bool,
}

impl fmt::Display for NotAStep {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let NotAStep { number, from, to, .. } = self;
        let why = match self.same {
            true => "have the same sounds",
            false => "are more than one sound apart",
        };
        write!(
            f,
            "word {number}: `{from}` and `{to}` {why}; a chain changes one sound at a time"
        )
    }
}

impl std::error::Error for NotAStep {}

/// Picks for each word the pronunciation with which the whole chain changes one sound a step; the commonest where several
/// do. Each element of `words` holds every way of saying one word.
///
/// # Errors
/// The first step that no pronunciation makes.
pub fn steps(words: &[Vec<SheetWord>]) -> Result<Vec<(SheetWord, Option<Change>)>, NotAStep> {
    // For each way of each word: from which way of the word before it can be reached.
    let mut came: Vec<Vec<Option<usize>>> = Vec::new();
    for (at, ways) in words.iter().enumerate() {
        let reached = |way: &SheetWord| match at.checked_sub(1) {
            None => Some(0),
            Some(before) => (0..words[before].len()).find(|&from| {
                came[before][from].is_some() && difference_in_units(&words[before][from].units, &way.units).is_some()
            }),
        };
        let row: Vec<Option<usize>> = ways.iter().map(reached).collect();
        if row.iter().all(Option::is_none) {
            return Err(not_a_step(at, &words[at - 1], ways));
        }
        came.push(row);
    }
    let mut chosen: Vec<(SheetWord, Option<Change>)> = Vec::new();
    let mut way = came
        .last()
        .and_then(|row| row.iter().position(Option::is_some))
        .unwrap_or(0);
    for at in (0..words.len()).rev() {
        let before = came[at][way].unwrap_or(0);
        let change = at
            .checked_sub(1)
            .and_then(|b| difference_in_units(&words[b][before].units, &words[at][way].units));
        chosen.push((words[at][way].clone(), change));
        way = before;
    }
    chosen.reverse();
    Ok(chosen)
}

fn not_a_step(at: usize, from: &[SheetWord], to: &[SheetWord]) -> NotAStep {
    NotAStep {
        number: at + 1,
        from: from[0].word.clone(),
        to: to[0].word.clone(),
        same: from.iter().any(|a| to.iter().any(|b| a.units == b.units)),
    }
}

/// The sheet for the child and, where it is wanted, the words with what changes.
pub fn sheet(chain: &[(SheetWord, Option<Change>)], about: &SheetOptions) -> Sheet {
    let words: Vec<SheetWord> = chain.iter().map(|(word, _)| word.clone()).collect();
    // As many boxes for every word: that one has more or fewer sounds is for the child to find.
    let cells = child_cells(&words, true);
    let mut page = Composer::new(about.paper, about.title_or("Word chain"), &foot(about, &words));
    page.start(PageHead {
        title: about.title_or("Word chain"),
        named: true,
        how: format!(
            "Each word is one sound away from the word above it. Say the word and push a counter for each sound. Write the letters of \
             each sound in a box (boxes are left over), then the word, then what changed: the old sound, the new sound; a dash for \
             none.{}",
            legend(&words, &cells)
        ),
    });
    fill(&mut page, &cells, true);
    if about.key {
        key(&mut page, chain, &about.title_or("Word chain"));
    }
    page.finish()
}

fn key(page: &mut Composer, chain: &[(SheetWord, Option<Change>)], title: &str) {
    page.start(PageHead {
        title: format!("{title}: words and changes"),
        named: false,
        how: "For the grown-up. The box of the sound that is new is shaded.".into(),
    });
    key_rows(page, chain, 1.0);
}

/// A row for each word, with what it changes.
pub(super) fn key_rows(page: &mut Composer, chain: &[(SheetWord, Option<Change>)], scale: f32) {
    for (at, (word, change)) in chain.iter().enumerate() {
        let before = at.checked_sub(1).map(|b| &chain[b].0);
        let marked = change.filter(|c| c.kind != ChangeKind::Drop).map(|c| c.at);
        let lines = match (change, before) {
            (Some(change), Some(before)) => in_words(change, before, word),
            _ => vec![many(word.units.len(), "sound"), word.plain.clone()],
        };
        key_row(page, at + 1, (word, marked), &lines, scale);
    }
}

/// What a step changes: the place and the sounds, then the letters.
fn in_words(change: &Change, before: &SheetWord, after: &SheetWord) -> Vec<String> {
    let place = match change.place {
        Place::Initial => "first sound",
        Place::Medial => "middle sound",
        Place::Final => "last sound",
    };
    let (from, to) = (named(change.from), named(change.to));
    let (old, new) = (
        letters_at(&before.cells, change.at),
        letters_at(&after.cells, change.at),
    );
    let count = many(after.units.len(), "sound");
    let (what, letters) = match change.kind {
        ChangeKind::Swap => (
            format!("{place}: {} → {}   {} → {}", from.0, to.0, from.1, to.1),
            format!("{old} → {new}"),
        ),
        ChangeKind::Add => (format!("{place}: {} added   {}", to.0, to.1), format!("{new} added")),
        ChangeKind::Drop => (
            format!("{place}: {} dropped   {}", from.0, from.1),
            format!("{old} dropped"),
        ),
    };
    vec![what, format!("letters: {letters}   ({count})")]
}

/// A counted sound in plain letters and in IPA between slashes.
fn named(unit: Option<Unit>) -> (String, String) {
    let sounds: Vec<_> = unit.into_iter().flat_map(|u| u.sounds()).collect();
    let each = |text: fn(&inventory::SoundEntry) -> &str| -> String {
        match inventory::of_unit(&sounds) {
            Some(entry) => text(entry).to_owned(),
            None => sounds.iter().map(|s| text(inventory::of(*s))).collect(),
        }
    };
    (each(|e| e.shown()), format!("/{}/", each(|e| &e.ipa)))
}

/// The letters of the box that holds counted sound `at`.
fn letters_at(cells: &[Cell], at: usize) -> &str {
    let mut passed = 0;
    for cell in cells {
        passed += cell.sounds;
        if at < passed {
            return if cell.letters.is_empty() { "?" } else { &cell.letters };
        }
    }
    "?"
}
