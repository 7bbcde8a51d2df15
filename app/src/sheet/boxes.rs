//! Sound boxes for any list of words: one box a sound, letters to fill in, and a key on pages of its own.

use super::font;
use super::lay::{Align, Composer, PageHead, Style, fit, wrap};
use super::page::{Area, Point, Sheet};
use super::words::{BoxRowStyle, Cell, SheetWord, also, remark};
use super::{SheetOptions, foot};

/// Width of the numbers at the left.
pub(super) const NUMBER: f32 = 26.0;
/// Sides of a box, the best first; each is larger than a child of eight needs.
const BEST: [f32; 3] = [42.0, 38.0, 34.0];
/// The least that a child can write into.
pub(super) const LEAST: f32 = 26.0;
/// Room for a whole word, written by a child, ...
const WRITE: f32 = 110.0;
/// ... and for each sound of a long one: a child's letter takes half a centimeter, and a sound has seldom more than one and a half.
const WRITE_SOUND: f32 = 21.0;
/// Width of the two blanks and the arrow on which the child writes what changed.
const CHANGED: f32 = 136.0;
/// Between boxes and what is written beside them.
const BESIDE: f32 = 16.0;
/// Height of a line to write on below the boxes.
const BELOW: f32 = 30.0;
/// Least and largest gap between two rows.
const GAPS: [f32; 2] = [8.0, 26.0];

/// The sheet for the child and, where it is wanted, the key.
pub fn sheet(words: &[SheetWord], about: &SheetOptions) -> Sheet {
    let mut page = Composer::new(about.paper, about.title_or("Sound boxes"), &foot(about, words));
    let cells = child_cells(words, about.spare);
    let each = if about.spare {
        "Each box is for one sound; boxes are left over."
    } else {
        "Each box is for one sound."
    };
    page.start(PageHead {
        title: about.title_or("Sound boxes"),
        named: true,
        how: format!(
            "Listen to the word and say it slowly. {each} Write the letters of each sound in its box, then the whole word on the \
             line.{}",
            legend(words, &cells)
        ),
    });
    fill(&mut page, &cells, false);
    if about.key {
        key(&mut page, words, &format!("{}: key", about.title_or("Sound boxes")));
    }
    page.finish()
}

/// The empty boxes of each word; where they are `alike`, as many for every word, one more than the longest has, so that the child
/// finds the number.
pub(super) fn child_cells(words: &[SheetWord], alike: bool) -> Vec<Vec<Cell>> {
    let longest = words.iter().map(|w| w.units.len()).max().unwrap_or(0);
    let empty = Cell {
        letters: String::new(),
        sounds: 1,
    };
    let of = |word: &SheetWord| match alike {
        true => vec![empty.clone(); longest + 1],
        false => word.cells.clone(),
    };
    words.iter().map(of).collect()
}

/// What a child has to know of the boxes to fill them in; nothing where each takes the letters in their order.
pub(super) fn legend(words: &[SheetWord], cells: &[Vec<Cell>]) -> String {
    let mut text = String::new();
    if words.iter().any(|w| w.cells.iter().any(|c| c.letters.contains('_'))) {
        text += " An e at the end that you do not hear goes into the box of its vowel: game is g, a_e, m.";
    }
    if cells.iter().flatten().any(|c| c.sounds > 1) {
        text += " A short broken line: two sounds that share their letters.";
    }
    text
}

/// Rows for the child on as many pages as they take, as large as they can be without taking one more. `changed`: with blanks for what
/// changed from one to the next.
pub(super) fn fill(page: &mut Composer, cells: &[Vec<Cell>], changed: bool) {
    let rows = BEST.map(|best| ChildRow::new(cells, page.width(), best, changed));
    let pages = |row: &ChildRow| cells.len().div_ceil(row.to_a_page(page, cells));
    let fewest = rows.iter().map(pages).min().unwrap_or(1);
    if let Some(row) = rows.iter().find(|row| pages(row) == fewest) {
        row.fill(page, cells);
    }
}

/// How the child's rows are drawn: number, boxes, a line for the word and, in a chain, blanks for what changed.
pub(super) struct ChildRow {
    boxes: BoxRowStyle,
    width: f32,
    changed: bool,
}

impl ChildRow {
    /// Boxes that are large enough to write in and alike for all of `cells`, of side `best` where there is room.
    pub fn new(cells: &[Vec<Cell>], width: f32, best: f32, changed: bool) -> ChildRow {
        let longest = cells
            .iter()
            .map(|row| row.iter().map(|c| c.sounds).sum())
            .max()
            .unwrap_or(1);
        let beside = beside(longest, changed);
        let free = width - NUMBER;
        // Boxes go on in a second row only where they would fill the first.
        let fits = (free - beside) / longest.max(1) as f32 >= LEAST;
        let room = if fits { free - beside } else { free };
        ChildRow {
            boxes: BoxRowStyle::for_width(longest, room, best, LEAST),
            width,
            changed,
        }
    }

    fn size(&self, cells: &[Cell]) -> (f32, f32) {
        self.boxes.size(cells)
    }

    /// Whether what is written stands below the boxes.
    fn below(&self, cells: &[Cell], changed: bool) -> bool {
        let sounds = cells.iter().map(|c| c.sounds).sum();
        self.width - NUMBER - self.size(cells).0 < beside(sounds, changed)
    }

    fn high(&self, cells: &[Cell], changed: bool) -> f32 {
        self.size(cells).1 + if self.below(cells, changed) { BELOW } else { 0.0 }
    }

    /// The height of the tallest row.
    fn tallest(&self, cells: &[Vec<Cell>]) -> f32 {
        let high = cells
            .iter()
            .enumerate()
            .map(|(at, row)| self.high(row, self.changed && at > 0));
        high.fold(1.0, f32::max)
    }

    /// How many rows a page takes at the smallest gap.
    fn to_a_page(&self, page: &Composer, cells: &[Vec<Cell>]) -> usize {
        let most = (page.bottom() - page.y) / (self.tallest(cells) + GAPS[0]);
        (most.floor() as usize).max(1)
    }

    /// Every row, as many on each page: the gap is as large as the pages allow, and no page has a row or two alone.
    fn fill(&self, page: &mut Composer, cells: &[Vec<Cell>]) {
        let pages = cells.len().div_ceil(self.to_a_page(page, cells)).max(1);
        let each = cells.len().div_ceil(pages).max(1);
        let gap = ((page.bottom() - page.y) / each as f32 - self.tallest(cells)).clamp(GAPS[0], GAPS[1]);
        for (at, row) in cells.iter().enumerate() {
            if at > 0 && at.is_multiple_of(each) {
                page.break_page();
            }
            self.row(page, at, row, gap);
        }
    }

    /// One row, on a new page where this one has no room for it, and `gap` points below it.
    pub fn row(&self, page: &mut Composer, at: usize, cells: &[Cell], gap: f32) {
        let high = self.high(cells, self.changed && at > 0);
        page.need(high);
        self.draw(page, at, cells);
        page.y += high + gap;
    }

    /// One row at the height where the page stands; the page stays there.
    fn draw(&self, page: &mut Composer, at: usize, cells: &[Cell]) {
        let changed = self.changed && at > 0;
        let (wide, high) = self.size(cells);
        number(page, at + 1, self.boxes.side);
        let (left, top) = (page.left() + NUMBER, page.y);
        let boxes = self.boxes.draw(cells, Point::new(left, top));
        boxes.into_iter().for_each(|item| page.push(item));
        let (x, base) = match self.below(cells, changed) {
            true => (left, top + high + BELOW - 4.0),
            false => (left + wide + BESIDE, top + high),
        };
        let end = page.left() + self.width;
        let line = end - x - if changed { CHANGED + BESIDE } else { 0.0 };
        page.write_on(x, base, line.min(2.0 * WRITE));
        if changed {
            what_changed(page, Area::new(end - CHANGED, base - 20.0, CHANGED, 20.0));
        }
    }
}

/// What a word of so many sounds needs beside its boxes.
fn beside(sounds: usize, changed: bool) -> f32 {
    let write = WRITE.max(sounds as f32 * WRITE_SOUND);
    write + BESIDE + if changed { CHANGED + BESIDE } else { 0.0 }
}

/// Two blanks with an arrow between them: the old sound, the new sound.
fn what_changed(page: &mut Composer, room: Area) {
    let half = room.w * 0.5;
    page.write_on(room.x, room.bottom(), half - 14.0);
    let middle = Area::new(room.x + half - 12.0, room.y, 24.0, room.h);
    page.push(fit("→", Style::quiet(12.0), middle, Align::Centre));
    page.write_on(room.x + half + 14.0, room.bottom(), half - 14.0);
}

/// The number of a row whose boxes have this side.
pub(super) fn number(page: &mut Composer, number: usize, side: f32) {
    let room = Area::new(page.left(), page.y, NUMBER - 6.0, side);
    let style = Style::quiet(11.0);
    page.push(fit(&format!("{number}."), style, room, Align::Left));
}

/// A page with every word: its boxes filled in, its count and its sounds.
pub(super) fn key(page: &mut Composer, words: &[SheetWord], title: &str) {
    page.start(PageHead {
        title: title.to_owned(),
        named: false,
        how: how_key(words),
    });
    for (at, word) in words.iter().enumerate() {
        let mut lines = vec![remark(word), format!("{}   /{}/", word.plain, word.ipa)];
        lines.extend(also(word));
        key_row(page, at + 1, (word, None), &lines, 1.0);
    }
}

fn how_key(words: &[SheetWord]) -> String {
    let has = |sign: char| words.iter().any(|w| w.cells.iter().any(|c| c.letters.contains(sign)));
    let shared = words.iter().any(|w| w.cells.iter().any(|c| c.sounds > 1));
    let untied = words.iter().any(|w| w.cells.iter().any(|c| c.letters.is_empty()));
    let mut text = String::from("For the grown-up.");
    if has('_') {
        text += " A split vowel is written in one box: the e of a_e stands after the next letter.";
    }
    if shared {
        text += " A broken line divides letters that spell two sounds together, such as x.";
    }
    if untied {
        text += " Boxes stay empty where a word's letters could not be tied to its sounds.";
    }
    text
}

/// Width of the words in a key; a longer one stands above its boxes.
const WORD: f32 = 100.0;

/// One row of a key: number, word, small boxes of which one may be marked, and lines of what is said of it; `scale` 1 or smaller.
pub(super) fn key_row(
    page: &mut Composer,
    number: usize,
    (word, marked): (&SheetWord, Option<usize>),
    lines: &[String],
    scale: f32,
) {
    const GAP: f32 = 10.0;
    let (text, boxes) = (page.width() * 0.36, page.width() * 0.64 - NUMBER - WORD - 2.0 * GAP);
    let row = BoxRowStyle {
        filled: true,
        marked,
        ..BoxRowStyle::for_width(word.units.len(), boxes, 25.0 * scale, 17.0)
    };
    let (bold, said) = (Style::bold(13.0), Style::plain(9.5 * scale));
    let above = font::width(bold.face, bold.size, &word.word) > WORD;
    let drop = if above { bold.line() + 3.0 } else { 0.0 };
    let written: Vec<String> = lines.iter().flat_map(|line| wrap(line, said, text)).collect();
    let high = (drop + row.size(&word.cells).1).max(written.len() as f32 * said.line());
    page.need(high);
    let (left, top) = (page.left(), page.y);
    let name_high = if above { bold.line() } else { row.side };
    let label = Area::new(left, top, NUMBER - 6.0, name_high);
    page.push(fit(&format!("{number}."), Style::quiet(10.0), label, Align::Left));
    let name_wide = if above {
        page.width() - text - NUMBER - GAP
    } else {
        WORD
    };
    let room = Area::new(left + NUMBER, top, name_wide, name_high);
    page.push(fit(&word.word, bold, room, Align::Left));
    let corner = Point::new(left + NUMBER + WORD + GAP, top + drop);
    row.draw(&word.cells, corner)
        .into_iter()
        .for_each(|item| page.push(item));
    for (at, line) in written.iter().enumerate() {
        let y = top + at as f32 * said.line();
        let room = Area::new(left + page.width() - text, y, text, said.line());
        page.push(fit(line, said, room, Align::Left));
    }
    page.y = top + high + 9.0 * scale;
}

#[cfg(test)]
mod tests {
    use super::super::page::Paper;
    use super::*;

    /// A child of eight writes letters half a centimeter wide or so (common practice, no source): 14 points.
    #[test]
    fn a_long_word_has_room_to_be_written_as_a_short_one_has() {
        let cell = Cell {
            letters: String::new(),
            sounds: 1,
        };
        for paper in [Paper::Letter, Paper::A4] {
            let width = paper.inside().w;
            for sounds in 1..=12 {
                let cells = vec![vec![cell.clone(); sounds]];
                let row = ChildRow::new(&cells, width, BEST[0], false);
                let (wide, _) = row.size(&cells[0]);
                assert!(wide <= width - NUMBER + 0.01, "{sounds} boxes fit");
                let line = match row.below(&cells[0], false) {
                    true => width - NUMBER,
                    false => width - NUMBER - wide - BESIDE,
                };
                assert!(
                    line.min(2.0 * WRITE) >= 14.0 * sounds as f32,
                    "{sounds} sounds, {line} points"
                );
            }
        }
    }
}
