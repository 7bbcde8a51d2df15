//! Sound boxes for any list of words: one box a sound, letters to fill in, and a key on pages of its own.

use super::font;
use super::lay::{Align, Composer, PageHead, Style, fit, wrap};
use super::page::{Area, Colour, Pen, Point, Sheet};
use super::words::{BoxRowStyle, SheetWord, also, remark};
use super::{SheetOptions, foot};

/// Width of the numbers at the left.
pub(super) const NUMBER: f32 = 26.0;
const BEST: f32 = 42.0;
/// The least that a child can write into.
const LEAST: f32 = 26.0;
/// Room for a whole word, written by a child.
const WRITE: f32 = 110.0;

/// The sheet for the child and, where it is wanted, the key.
pub fn sheet(words: &[SheetWord], about: &SheetOptions) -> Sheet {
    let mut page = Composer::new(about.paper, about.title_or("Sound boxes"), &foot(about, words));
    page.start(PageHead {
        title: about.title_or("Sound boxes"),
        named: true,
        how: "Listen to the word and say it slowly. Each box is for one sound. Write the letters of each sound in its \
              box, then the whole word on the line."
            .into(),
    });
    let row = writing_row(words, page.width() - NUMBER);
    for (at, word) in words.iter().enumerate() {
        let (wide, high) = row.size(&word.cells);
        let beside = page.width() - NUMBER - wide - 18.0;
        let below = beside < WRITE;
        page.need(high + if below { 30.0 } else { 0.0 });
        number(&mut page, at + 1, row.side);
        let corner = Point::new(page.left() + NUMBER, page.y);
        row.draw(&word.cells, corner)
            .into_iter()
            .for_each(|item| page.push(item));
        let (x, y, w) = match below {
            true => (corner.x, page.y + high + 26.0, 2.0 * WRITE),
            false => (corner.x + wide + 18.0, page.y + high, beside.min(2.0 * WRITE)),
        };
        page.line(Point::new(x, y), Point::new(x + w, y), Pen::solid(0.75, Colour::LINE));
        page.y = y.max(page.y + high) + 20.0;
    }
    if about.key {
        key(&mut page, words, &format!("{}: key", about.title_or("Sound boxes")));
    }
    page.finish()
}

/// Boxes that are large enough to write in and alike for all of `words`.
pub(super) fn writing_row(words: &[SheetWord], width: f32) -> BoxRowStyle {
    let longest = words.iter().map(|w| w.units.len()).max().unwrap_or(1);
    BoxRowStyle::for_width(longest, width, BEST, LEAST)
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
        key_row(page, at + 1, word, None, &lines);
    }
}

fn how_key(words: &[SheetWord]) -> String {
    let has = |sign: char| words.iter().any(|w| w.cells.iter().any(|c| c.letters.contains(sign)));
    let shared = words.iter().any(|w| w.cells.iter().any(|c| c.sounds > 1));
    let untied = words.iter().any(|w| w.cells.iter().any(|c| c.letters.is_empty()));
    let mut text = String::from("For the parent.");
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

/// One row of a key: number, word, small boxes, and lines of what is said of it.
pub(super) fn key_row(page: &mut Composer, number: usize, word: &SheetWord, marked: Option<usize>, lines: &[String]) {
    const GAP: f32 = 10.0;
    let (text, boxes) = (page.width() * 0.36, page.width() * 0.64 - NUMBER - WORD - 2.0 * GAP);
    let row = BoxRowStyle {
        filled: true,
        marked,
        ..BoxRowStyle::for_width(word.units.len(), boxes, 25.0, 17.0)
    };
    let (bold, said) = (Style::bold(13.0), Style::plain(9.5));
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
    page.y = top + high + 9.0;
}
