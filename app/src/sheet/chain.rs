//! A chain of words, each one sound away from the one before: boxes for the child, words and changes for the parent.

use std::fmt;

use soundbead_data::chain::{Change, ChangeKind, Place, difference_in_units};
use soundbead_data::inventory;

use super::boxes::{NUMBER, key_row, number, writing_row};
use super::lay::{Align, Composer, PageHead, Style, fit};
use super::page::{Area, Colour, Pen, Point, Sheet};
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
    let mut page = Composer::new(about.paper, about.title_or("Word chain"), &foot(about, &words));
    page.start(PageHead {
        title: about.title_or("Word chain"),
        named: true,
        how: "Each word is one sound away from the word above it. Say the word, tap its sounds, and write the letters of \
              each sound in its box. Then write what changed: the old sound, the new sound; a dash for none."
            .into(),
    });
    let row = writing_row(&words, page.width() - NUMBER);
    for (at, word) in words.iter().enumerate() {
        let (wide, high) = row.size(&word.cells);
        let beside = page.width() - NUMBER - wide - 18.0;
        let below = beside < CHANGED && at > 0;
        page.need(high + if below { 28.0 } else { 0.0 });
        number(&mut page, at + 1, row.side);
        let corner = Point::new(page.left() + NUMBER, page.y);
        row.draw(&word.cells, corner)
            .into_iter()
            .for_each(|item| page.push(item));
        if at > 0 {
            let x = if below { corner.x } else { corner.x + wide + 18.0 };
            let y = if below {
                page.y + high + 6.0
            } else {
                page.y + high - 20.0
            };
            what_changed(&mut page, Area::new(x, y, CHANGED, 20.0));
        }
        page.y += high + if below { 26.0 } else { 0.0 } + 16.0;
    }
    if about.key {
        key(&mut page, chain, &about.title_or("Word chain"));
    }
    page.finish()
}

/// Width of the line on which the child writes what changed.
const CHANGED: f32 = 170.0;

fn what_changed(page: &mut Composer, room: Area) {
    let blank = |page: &mut Composer, from: f32, to: f32| {
        let pen = Pen::solid(0.75, Colour::LINE);
        page.line(Point::new(from, room.bottom()), Point::new(to, room.bottom()), pen);
    };
    let arrow = room.x + room.w * 0.5;
    blank(page, room.x, arrow - 14.0);
    let style = Style::quiet(12.0);
    let middle = Area::new(arrow - 12.0, room.y, 24.0, room.h);
    page.push(fit("→", style, middle, Align::Centre));
    blank(page, arrow + 14.0, room.right());
}

fn key(page: &mut Composer, chain: &[(SheetWord, Option<Change>)], title: &str) {
    page.start(PageHead {
        title: format!("{title}: words and changes"),
        named: false,
        how: "For the parent. The box of the sound that is new is shaded.".into(),
    });
    for (at, (word, change)) in chain.iter().enumerate() {
        let before = at.checked_sub(1).map(|b| &chain[b].0);
        let marked = change.filter(|c| c.kind != ChangeKind::Drop).map(|c| c.at);
        let lines = match (change, before) {
            (Some(change), Some(before)) => in_words(change, before, word),
            _ => vec![many(word.units.len(), "sound"), word.plain.clone()],
        };
        key_row(page, at + 1, word, marked, &lines);
    }
}

/// What a step changes: the place and the sounds, then the letters.
fn in_words(change: &Change, before: &SheetWord, after: &SheetWord) -> Vec<String> {
    let place = match change.place {
        Place::Initial => "first sound",
        Place::Medial => "middle sound",
        Place::Final => "last sound",
    };
    let ipa = |unit: Option<soundbead_data::chain::Unit>| -> String {
        let sounds: Vec<_> = unit.into_iter().flat_map(|u| u.sounds()).collect();
        match inventory::of_unit(&sounds) {
            Some(entry) => format!("/{}/", entry.ipa),
            None => format!(
                "/{}/",
                sounds
                    .iter()
                    .map(|s| inventory::of(*s).ipa.as_str())
                    .collect::<String>()
            ),
        }
    };
    let (from, to) = (ipa(change.from), ipa(change.to));
    let (old, new) = (
        letters_at(&before.cells, change.at),
        letters_at(&after.cells, change.at),
    );
    let count = many(after.units.len(), "sound");
    let (what, letters) = match change.kind {
        ChangeKind::Swap => (format!("{place}: {from} → {to}"), format!("{old} → {new}")),
        ChangeKind::Add => (format!("{place}: {to} added"), format!("{new} added")),
        ChangeKind::Drop => (format!("{place}: {from} dropped"), format!("{old} dropped")),
    };
    vec![what, format!("letters: {letters}   ({count})")]
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
