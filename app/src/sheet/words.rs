//! Words ready to be printed: each counted sound in a box, with the letters that spell it.

use soundbead_data::chain::{self, Unit};
use soundbead_data::lexicon::Pronunciation;
use soundbead_data::word::{self, Overrides, Source, WordError};
use soundbead_data::{Rules, spelling};

use super::font::FontFace;
use super::lay::{Align, Style, fit};
use super::page::{Area, Colour, PageItem, Pen, Point};
use crate::say::{CountedSounds, capital, many};

/// Letters, and how many counted sounds they spell: mostly one, two for the x of *box* where x counts as two.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Cell {
    /// The letters; empty when the word's letters cannot be tied to its sounds.
    pub letters: String,
    /// Counted sounds, at least one.
    pub sounds: usize,
}

/// A word in one pronunciation, counted.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SheetWord {
    /// Small letters, but for *I* and its contractions.
    pub word: String,
    /// Where its sounds come from.
    pub source: Source,
    /// Its boxes, which together hold as many sounds as `units`.
    pub cells: Vec<Cell>,
    /// Its counted sounds.
    pub units: Vec<Unit>,
    /// In IPA, without slashes.
    pub ipa: String,
    /// In plain letters: `ch-eh-s`.
    pub plain: String,
    /// Its other pronunciations in plain letters, each with its count.
    pub others: Vec<(String, usize)>,
}

/// Every way of saying `text` that is known, the commonest first; at least one.
///
/// # Errors
/// When the text is not one word of English letters.
pub fn ways(text: &str, rules: &Rules, overrides: &Overrides) -> Result<Vec<SheetWord>, WordError> {
    let found = word::find(text, overrides)?;
    let one = |said: &Pronunciation| spelled(&found.spelling, found.source, said, rules);
    let mut all: Vec<SheetWord> = Vec::new();
    for said in &found.variants {
        let way = one(said);
        if !all.iter().any(|known| known.units == way.units) {
            all.push(way);
        }
    }
    let known: Vec<(String, usize)> = all.iter().map(|way| (way.plain.clone(), way.units.len())).collect();
    for way in &mut all {
        way.others = known.iter().filter(|(plain, _)| *plain != way.plain).cloned().collect();
    }
    Ok(all)
}

/// `text` in its commonest pronunciation.
///
/// # Errors
/// As [`ways`].
pub fn spell(text: &str, rules: &Rules, overrides: &Overrides) -> Result<SheetWord, WordError> {
    ways(text, rules, overrides).map(|mut all| all.swap_remove(0))
}

/// The word said in this way.
pub fn spelled(word: &str, source: Source, said: &Pronunciation, rules: &Rules) -> SheetWord {
    let written = CountedSounds::new(word, said.clone(), rules);
    let mut cells = cells(word, said, rules);
    // I, I'll, I'd: written large wherever they stand.
    let large = word == "i" || word.starts_with("i'");
    if let Some(first) = cells.first_mut().filter(|_| large) {
        first.letters = capital(&first.letters);
    }
    SheetWord {
        word: if large { capital(word) } else { word.to_owned() },
        source,
        cells,
        units: chain::units(word, said.sounds(), rules),
        ipa: written.ipa(),
        plain: written.plain_letters(),
        others: Vec::new(),
    }
}

/// Boxes of letters and counted sounds brought together: a box ends where both end.
fn cells(word: &str, said: &Pronunciation, rules: &Rules) -> Vec<Cell> {
    let boxes = spelling::boxes(word, said.sounds()).unwrap_or_default();
    let letters: Vec<_> = boxes.iter().map(|b| (b.letters.as_str(), b.sounds.clone())).collect();
    let units = rules.units(said.sounds(), &letters);
    if boxes.is_empty() {
        let empty = Cell {
            letters: String::new(),
            sounds: 1,
        };
        return vec![empty; units.len()];
    }
    let (mut cells, mut taken, mut next_unit, mut next_box) = (Vec::new(), 0, 0, 0);
    while next_unit < units.len() && next_box < boxes.len() {
        let (first_unit, first_box) = (next_unit, next_box);
        taken = boxes[next_box].sounds.end.max(units[next_unit].end).max(taken);
        loop {
            while next_unit < units.len() && units[next_unit].start < taken {
                taken = taken.max(units[next_unit].end);
                next_unit += 1;
            }
            let before = taken;
            while next_box < boxes.len() && boxes[next_box].sounds.start < taken {
                taken = taken.max(boxes[next_box].sounds.end);
                next_box += 1;
            }
            if taken == before {
                break;
            }
        }
        cells.push(Cell {
            letters: joined(boxes[first_box..next_box].iter().map(|b| b.letters.as_str())),
            sounds: next_unit - first_unit,
        });
    }
    cells
}

/// Letters of neighbouring boxes as one: the consonant of a split vowel goes into its gap (`a_e` and `r` make *are*).
fn joined<'a>(letters: impl Iterator<Item = &'a str>) -> String {
    letters.fold(String::new(), |all, next| match all.split_once('_') {
        Some((before, after)) => format!("{before}{next}{after}"),
        None => all + next,
    })
}

/// How a row of boxes is drawn.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct BoxRowStyle {
    /// Side of a box in points.
    pub side: f32,
    /// Most boxes beside each other.
    pub per_row: usize,
    /// Whether the letters are in them.
    pub filled: bool,
    /// The counted sound whose box is marked.
    pub marked: Option<usize>,
}

impl BoxRowStyle {
    /// Boxes of side `best` for words of up to `longest` sounds in `width` points, smaller where they would not fit, but
    /// not below `least`: then they go on in a second row.
    pub fn for_width(longest: usize, width: f32, best: f32, least: f32) -> BoxRowStyle {
        let side = (width / longest.max(1) as f32).clamp(least, best);
        BoxRowStyle {
            side,
            per_row: ((width / side + 0.001).floor() as usize).max(1),
            filled: false,
            marked: None,
        }
    }

    /// Points that `cells` take: width of the widest row, height of all of them.
    pub fn size(&self, cells: &[Cell]) -> (f32, f32) {
        let rows = self.rows(cells);
        let widest = rows.iter().map(|r| r.iter().map(|c| c.sounds).sum::<usize>()).max();
        let gap = self.side * 0.3;
        let height = rows.len() as f32 * (self.side + gap) - gap;
        (widest.unwrap_or(0) as f32 * self.side, height.max(0.0))
    }

    fn rows<'a>(&self, cells: &'a [Cell]) -> Vec<&'a [Cell]> {
        let (mut rows, mut start, mut used) = (Vec::new(), 0, 0);
        for (at, cell) in cells.iter().enumerate() {
            if used > 0 && used + cell.sounds > self.per_row {
                rows.push(&cells[start..at]);
                (start, used) = (at, 0);
            }
            used += cell.sounds;
        }
        rows.push(&cells[start..]);
        rows
    }

    /// The boxes, the first of them with its top left corner at `at`.
    pub fn draw(&self, cells: &[Cell], at: Point) -> Vec<PageItem> {
        let (mut items, mut sound, mut y) = (Vec::new(), 0, at.y);
        for row in self.rows(cells) {
            let mut x = at.x;
            for cell in row {
                let area = Area::new(x, y, self.side * cell.sounds as f32, self.side);
                self.cell(&mut items, cell, area, sound);
                x += area.w;
                sound += cell.sounds;
            }
            y += self.side * 1.3;
        }
        items
    }

    fn cell(&self, items: &mut Vec<PageItem>, cell: &Cell, area: Area, first: usize) {
        let marked = self.marked.is_some_and(|m| (first..first + cell.sounds).contains(&m));
        let edge = (self.side / 26.0).clamp(0.6, 1.2);
        items.push(PageItem::Box {
            area,
            fill: marked.then_some(Colour::SHADE),
            pen: Some(Pen::solid(if marked { edge * 1.6 } else { edge }, Colour::INK)),
        });
        // A division between sounds that share their letters; short where it would run through them.
        let reach = if self.filled { self.side * 0.18 } else { self.side / 2.0 };
        for division in 1..cell.sounds {
            let x = area.x + self.side * division as f32;
            for (from, to) in [(area.y, area.y + reach), (area.bottom() - reach, area.bottom())] {
                items.push(PageItem::Line {
                    from: Point::new(x, from),
                    to: Point::new(x, to),
                    pen: Pen::dashed(edge, Colour::GREY),
                });
            }
        }
        if self.filled && !cell.letters.is_empty() {
            let style = Style {
                size: self.side * 0.52,
                face: FontFace::Regular,
                colour: Colour::INK,
            };
            items.push(fit(&cell.letters, style, area.shrunk(self.side * 0.1), Align::Centre));
        }
    }
}

/// What is to be said of a word beside its sounds: its count, and that it is a guess.
pub fn remark(word: &SheetWord) -> String {
    let text = many(word.units.len(), "sound");
    match word.source {
        Source::Guess => text + ", a guess from its letters",
        Source::Override => text + ", as you set it",
        Source::Dictionary => text,
    }
}

/// Its other pronunciations with their counts where those differ: `also r-ee-d`; nothing when there are none.
pub fn also(word: &SheetWord) -> Option<String> {
    let one = |(plain, count): &(String, usize)| match *count == word.units.len() {
        true => plain.clone(),
        false => format!("{plain} ({})", many(*count, "sound")),
    };
    let all: Vec<String> = word.others.iter().take(2).map(one).collect();
    (!all.is_empty()).then(|| format!("also {}", all.join(", ")))
}
