//! A word sort: words in a bank at the top, headed columns to sort them into, and a key.

use super::font;
use super::lay::{Align, Composer, PageHead, Style, fit};
use super::page::{Area, Colour, PageItem, Pen, Point, Sheet};
use super::words::SheetWord;
use super::{SheetOptions, foot};

/// Words that belong together.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SheetColumn {
    /// What they have in common, such as `ck`.
    pub heading: String,
    /// When it is so, such as `after a short vowel`; may be empty.
    pub when: String,
    /// The words.
    pub words: Vec<SheetWord>,
}

/// Columns beside each other; more go below.
const BESIDE: usize = 5;
/// From one line to write on to the next.
const LINE: f32 = 27.0;

/// The sheet for the child and, where it is wanted, the key. `why` stands on the key, a line each: the
/// rules, and how often they hold.
pub fn sheet(columns: &[SheetColumn], why: &[String], about: &SheetOptions) -> Sheet {
    let words: Vec<SheetWord> = columns.iter().flat_map(|c| c.words.iter().cloned()).collect();
    let title = about.title_or("Word sort");
    let mut page = Composer::new(about.paper, &title, &foot(about, &words));
    page.start(PageHead {
        title: title.clone(),
        named: true,
        how: "Read each word aloud. Write it in the column where it belongs, and cross it out above.".into(),
    });
    bank(&mut page, &words);
    each_band(&mut page, columns, true);
    if about.key {
        page.start(PageHead {
            title: format!("{title}: key"),
            named: false,
            how: "For the parent.".into(),
        });
        each_band(&mut page, columns, false);
        for line in why {
            page.paragraph(line, Style::plain(10.5));
            page.y += 3.0;
        }
    }
    page.finish()
}

/// The words in the order of the alphabet, which gives nothing away, in columns of one width.
fn bank(page: &mut Composer, words: &[SheetWord]) {
    let mut all: Vec<&str> = words.iter().map(|w| w.word.as_str()).collect();
    all.sort_unstable();
    all.dedup();
    let (style, edge) = (Style::plain(15.0), 10.0);
    let inner = page.width() - 2.0 * edge;
    let widest = all
        .iter()
        .map(|w| font::width(style.face, style.size, w))
        .fold(40.0, f32::max);
    let across = ((inner / (widest + 16.0)).floor() as usize).clamp(1, all.len().max(1));
    let step = inner / across as f32;
    let high = style.line() + 4.0;
    let mut rows = all.chunks(across).peekable();
    while rows.peek().is_some() {
        page.need(high + 2.0 * edge);
        let fits = ((page.bottom() - page.y - 2.0 * edge) / high).floor().max(1.0) as usize;
        let (left, top) = (page.left(), page.y);
        page.y += edge * 0.6;
        for row in rows.by_ref().take(fits) {
            for (at, word) in row.iter().enumerate() {
                let room = Area::new(left + edge + at as f32 * step, page.y, step, high);
                page.push(fit(word, style, room, Align::Centre));
            }
            page.y += high;
        }
        page.y += edge * 0.6;
        page.push(PageItem::Box {
            area: Area::new(left, top, page.width(), page.y - top),
            fill: None,
            pen: Some(Pen::solid(1.0, Colour::LINE)),
        });
    }
    page.y += 20.0;
}

/// Columns, a few beside each other at a time, with lines to write on or with their words.
fn each_band(page: &mut Composer, columns: &[SheetColumn], blank: bool) {
    let bands = columns.len().div_ceil(BESIDE).max(1);
    for band in columns.chunks(columns.len().div_ceil(bands).max(1)) {
        let rows = band.iter().map(|c| c.words.len()).max().unwrap_or(0);
        // A band that fits on a page is not torn.
        let whole = HEADING + LINE * rows.max(2) as f32;
        if whole < page.bottom() - page.top() {
            page.need(whole);
        }
        let mut done = 0;
        while done < rows || done == 0 {
            page.need(HEADING + LINE * 2.0);
            let fits = (((page.bottom() - page.y - HEADING) / LINE).floor() as usize).max(1);
            let now = (rows - done).min(fits);
            one_band(page, band, done..done + now, blank);
            done += now.max(1);
        }
        page.y += 16.0;
    }
}

const HEADING: f32 = 44.0;

fn one_band(page: &mut Composer, band: &[SheetColumn], rows: std::ops::Range<usize>, blank: bool) {
    let gap = 10.0;
    let wide = (page.width() - gap * (band.len() as f32 - 1.0)) / band.len() as f32;
    let top = page.y;
    for (at, column) in band.iter().enumerate() {
        let x = page.left() + at as f32 * (wide + gap);
        let head = Area::new(x, top, wide, HEADING - 8.0);
        page.push(PageItem::Box {
            area: head,
            fill: Some(Colour::SHADE),
            pen: Some(Pen::solid(0.75, Colour::INK)),
        });
        let (upper, lower) = if column.when.is_empty() {
            (head.h, 0.0)
        } else {
            (head.h * 0.6, head.h * 0.4)
        };
        let room = Area::new(x, top, wide, upper).shrunk(2.0);
        page.push(fit(&column.heading, Style::bold(14.0), room, Align::Centre));
        if lower > 0.0 {
            let room = Area::new(x + 2.0, top + upper - 2.0, wide - 4.0, lower);
            page.push(fit(&column.when, Style::quiet(8.5), room, Align::Centre));
        }
        for (down, row) in rows.clone().enumerate() {
            let y = top + HEADING + down as f32 * LINE;
            let line = y + LINE - 6.0;
            if blank {
                let (from, to) = (Point::new(x, line), Point::new(x + wide, line));
                page.line(from, to, Pen::solid(0.75, Colour::LINE));
            } else if let Some(word) = column.words.get(row) {
                let room = Area::new(x + 2.0, y, wide - 4.0, LINE - 6.0);
                page.push(fit(&word.word, Style::plain(13.0), room, Align::Left));
            }
        }
    }
    page.y = top + HEADING + rows.len() as f32 * LINE;
}
