//! A word sort: words to write under headings, or cards to cut apart, and a key on a page of its own. The child's page does not say
//! what decides.

use std::collections::{BTreeMap, BTreeSet};

use super::cut::CardGrid;
use super::font;
use super::lay::{Align, Composer, PageHead, Style, fit};
use super::page::{Area, Colour, PageItem, Pen, Sheet};
use super::words::SheetWord;
use super::{SheetOptions, guessed};
use crate::say::capital;

/// Words that belong together.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct SheetColumn {
    /// What they have in common, such as `ck`.
    pub heading: String,
    /// When it is so, such as `after a short vowel`, for the key alone; may be empty.
    pub when: String,
    /// The words.
    pub words: Vec<SheetWord>,
    /// Words of it that the rule would put elsewhere.
    pub exceptions: BTreeSet<String>,
    /// What is said of a word on the key, such as what tells it from one that is said alike.
    pub remarks: BTreeMap<String, String>,
}

/// What is sorted.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum SortKind {
    /// Words under headings that the child sees.
    #[default]
    Headed,
    /// Words that belong together, such as those said alike; the child finds the groups.
    Groups,
    /// Words that differ in one sound, said to the child, who writes them rung by rung.
    Ladders,
}

/// A sort, and what the grown-up is told of it.
#[derive(Clone, Debug, Default)]
pub struct SortSheet {
    /// The columns, with their words in the key's order.
    pub columns: Vec<SheetColumn>,
    /// What is sorted, in words, for the key: it may name the rule. May be empty.
    pub about: String,
    /// Lines below the key: the rules, and how often they hold.
    pub why: Vec<String>,
    /// What is sorted.
    pub kind: SortKind,
    /// Whether the words are cards to cut apart, in place of lines to write on.
    pub cards: bool,
}

/// Columns beside each other, so wide that a child can write *experience*; more go below.
const BESIDE: usize = 4;
/// From one line to write on to the next: at least (8 mm, ruled paper has 7 to 9), where the page has room, and where it takes
/// another page anyway.
const LINES: [f32; 2] = [22.5, 36.0];
const LINE_OF_MORE: f32 = 30.0;
/// Height of a heading with the gap below it.
const HEADING: f32 = 42.0;
/// Between two columns.
const GAP: f32 = 12.0;
/// Lines on which the child writes what decides, and from one to the next.
const RULE_LINES: (usize, f32) = (2, 30.0);

/// The sheet for the child and, where it is wanted, the key.
pub fn sheet(sort: &SortSheet, about: &SheetOptions) -> Sheet {
    let words: Vec<SheetWord> = sort.columns.iter().flat_map(|c| c.words.iter().cloned()).collect();
    let title = about.title_or(match sort.kind {
        SortKind::Ladders => "Word ladders",
        _ => "Word sort",
    });
    let foot: Vec<String> = guessed(&words).into_iter().collect();
    let mut page = Composer::new(about.paper, &title, &foot);
    page.start(PageHead {
        title: title.clone(),
        // Cards are cut apart: there is no page to put a name on.
        named: !sort.cards,
        how: how(sort).into(),
    });
    match (sort.cards, sort.kind) {
        (true, _) => cards(&mut page, sort),
        (false, SortKind::Ladders) => bands(&mut page, sort, 0.0),
        (false, kind) => {
            bank(&mut page, &shuffled(&sort.columns));
            let (lines, high) = RULE_LINES;
            let below = if kind == SortKind::Headed {
                (lines + 1) as f32 * high
            } else {
                0.0
            };
            bands(&mut page, sort, below);
            if kind == SortKind::Headed {
                what_decides(&mut page);
            }
        }
    }
    if about.key {
        key(&mut page, sort, &title);
    }
    page.finish()
}

fn how(sort: &SortSheet) -> &'static str {
    match (sort.cards, sort.kind) {
        (false, SortKind::Headed) => {
            "Read each word aloud. Write it in the column where it belongs, and cross it out above."
        }
        (false, SortKind::Groups) => {
            "Some of these words are said alike and written apart. Write words that are said alike together, and cross \
             them out above."
        }
        (false, SortKind::Ladders) => {
            "Listen to the word and say it back. Write it on the next rung. Only the vowel changes from rung to rung."
        }
        (true, SortKind::Headed) => {
            "Cut along the broken lines. Read each word aloud and lay it under its heading. Then say what decides."
        }
        (true, SortKind::Groups) => {
            "Cut along the broken lines and mix the cards. Lay words together that are said alike."
        }
        (true, SortKind::Ladders) => {
            "Cut along the broken lines and mix the cards. Lay words together in which only the vowel differs."
        }
    }
}

/// Every word once, in an order that gives nothing away and is the same each time: by a checksum of its letters. The alphabet would
/// put *knee* beside *knife*.
pub(super) fn shuffled(columns: &[SheetColumn]) -> Vec<&str> {
    // FNV-1a with its published 32 bit constants.
    let sum = |word: &str| {
        word.bytes()
            .fold(0x811c_9dc5_u32, |h, b| (h ^ u32::from(b)).wrapping_mul(0x0100_0193))
    };
    let words = columns.iter().flat_map(|c| &c.words).map(|w| w.word.as_str());
    let once: BTreeSet<(u32, &str)> = words.map(|w| (sum(w), w)).collect();
    once.into_iter().map(|(_, word)| word).collect()
}

/// The words to choose from, in columns of one width.
fn bank(page: &mut Composer, all: &[&str]) {
    let (style, edge) = (Style::plain(15.0), 10.0);
    let inner = page.width() - 2.0 * edge;
    let widest = all
        .iter()
        .map(|w| font::width(style.face, style.size, w))
        .fold(40.0, f32::max);
    let across = ((inner / (widest + 16.0)).floor() as usize).clamp(1, all.len().max(1));
    let step = inner / across as f32;
    let high = style.line() + 3.0;
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
    page.y += 16.0;
}

/// Columns with lines to write on, a few beside each other at a time; `below` points stay free after them where the page has room.
fn bands(page: &mut Composer, sort: &SortSheet, below: f32) {
    let count = sort.columns.len().div_ceil(BESIDE).max(1);
    let each = sort.columns.len().div_ceil(count).max(1);
    // One line more than the fullest column needs: their number gives nothing away.
    let spare = usize::from(sort.kind == SortKind::Headed);
    let rows = |band: &[SheetColumn]| band.iter().map(|c| c.words.len()).max().unwrap_or(0) + spare;
    let all: usize = sort.columns.chunks(each).map(rows).sum();
    let free = page.bottom() - page.y - below - count as f32 * (HEADING + GAP);
    // One line and the question alone on a second page would be paper for nothing.
    let line = match free / all.max(1) as f32 {
        tight if tight < LINES[0] => LINE_OF_MORE,
        line => line.min(LINES[1]),
    };
    for (number, band) in sort.columns.chunks(each).enumerate() {
        let rows = rows(band).max(1);
        let mut done = 0;
        while done < rows {
            page.need(HEADING + line * 2.0_f32.min((rows - done) as f32));
            let fits = (((page.bottom() - page.y - HEADING) / line + 0.01).floor() as usize).max(1);
            let now = (rows - done).min(fits);
            blank_band(page, sort.kind, (band, number * each), now, line);
            done += now;
        }
        page.y += GAP;
    }
}

fn blank_band(page: &mut Composer, kind: SortKind, (band, first): (&[SheetColumn], usize), rows: usize, line: f32) {
    let (top, left) = (page.y, page.left());
    let wide = (page.width() - GAP * (band.len() as f32 - 1.0)) / band.len() as f32;
    for (at, column) in band.iter().enumerate() {
        let x = left + at as f32 * (wide + GAP);
        let number = (first + at + 1).to_string();
        let head = if kind == SortKind::Headed {
            &column.heading
        } else {
            &number
        };
        heading(page, head, Area::new(x, top, wide, HEADING - 10.0));
        for row in 1..=rows {
            page.write_on(x, top + HEADING + row as f32 * line - 6.0, wide);
        }
    }
    page.y = top + HEADING + rows as f32 * line;
}

/// A heading over a column or on a card.
pub(super) fn heading(page: &mut Composer, text: &str, area: Area) {
    page.push(PageItem::Box {
        area,
        fill: Some(Colour::SHADE),
        pen: Some(Pen::solid(0.75, Colour::INK)),
    });
    page.push(fit(text, Style::bold(15.0), area.shrunk(3.0), Align::Centre));
}

/// The rule in the child's own words comes before the grown-up's.
fn what_decides(page: &mut Composer) {
    let (lines, high) = RULE_LINES;
    page.need((lines as f32 + 0.6) * high);
    page.paragraph("What decides? Write the rule in your own words.", Style::plain(10.5));
    let (left, wide) = (page.left(), page.width());
    for _ in 0..lines {
        page.y += high;
        page.write_on(left, page.y - 4.0, wide);
    }
}

/// Headings, then words, each on a card; on one page wherever they can be read there.
fn cards(page: &mut Composer, sort: &SortSheet) {
    let headed = sort.kind == SortKind::Headed;
    let heads: Vec<&str> = sort
        .columns
        .iter()
        .filter(|_| headed)
        .map(|c| c.heading.as_str())
        .collect();
    let words = shuffled(&sort.columns);
    let count = heads.len() + words.len();
    let across = if words.iter().any(|w| w.len() > 10) || count <= 21 {
        3
    } else {
        4
    };
    let rows = count.div_ceil(across).max(1);
    let high = ((page.bottom() - page.y - CardGrid::CLEAR) / rows as f32).clamp(CARD[0], CARD[1]);
    CardGrid { across, high }.lay(page, count, |page, at, area| word_card(page, &heads, &words, at, area));
}

/// Least and largest height of a card, in points: 16 mm can be held and pushed by a child's hand.
const CARD: [f32; 2] = [45.0, 76.0];

/// Card `at`: the headings come first.
pub(super) fn word_card(page: &mut Composer, heads: &[&str], words: &[&str], at: usize, area: Area) {
    match (heads.get(at), words.get(at.wrapping_sub(heads.len()))) {
        (Some(head), _) => heading(page, head, area),
        (None, Some(word)) => page.push(fit(word, Style::plain(20.0), area, Align::Centre)),
        (None, None) => {}
    }
}

/// The columns with their words, exceptions marked, and what is to be said of them.
fn key(page: &mut Composer, sort: &SortSheet, title: &str) {
    let about = if sort.about.is_empty() { title } else { &sort.about };
    page.start(PageHead {
        title: capital(&format!("{about}: key")),
        named: false,
        how: "For the grown-up.".into(),
    });
    match sort.kind {
        SortKind::Groups => sort.columns.iter().for_each(|c| told(page, c)),
        SortKind::Headed | SortKind::Ladders => filled(page, &sort.columns),
    }
    if sort.columns.iter().any(|c| !c.exceptions.is_empty()) {
        page.paragraph(
            &format!(
                "{EXCEPTION} An exception: the rule would put it in another column. Such words are learned by heart."
            ),
            Style::plain(10.5),
        );
        page.y += 6.0;
    }
    if !sort.why.is_empty() {
        page.heading("How often each rule holds, in words of longer books", 20.0);
    }
    for line in &sort.why {
        page.paragraph(line, Style::plain(10.5));
        page.y += 3.0;
    }
}

/// Stands after a word that breaks the rule.
const EXCEPTION: &str = "*";

/// Columns beside each other with their words.
fn filled(page: &mut Composer, columns: &[SheetColumn]) {
    const LINE: f32 = 19.0;
    let bands = columns.len().div_ceil(BESIDE).max(1);
    for band in columns.chunks(columns.len().div_ceil(bands).max(1)) {
        let wide = (page.width() - GAP * (band.len() as f32 - 1.0)) / band.len() as f32;
        let rows = band.iter().map(|c| c.words.len()).max().unwrap_or(0);
        let x = |page: &Composer, at: usize| page.left() + at as f32 * (wide + GAP);
        page.need(HEADING + LINE * rows.clamp(1, 3) as f32);
        for (at, column) in band.iter().enumerate() {
            let head = Area::new(x(page, at), page.y, wide, HEADING - 8.0);
            heading_when(page, column, head);
        }
        page.y += HEADING;
        for row in 0..rows {
            page.need(LINE);
            for (at, column) in band.iter().enumerate() {
                let Some(word) = column.words.get(row) else { continue };
                let room = Area::new(x(page, at) + 2.0, page.y, wide - 4.0, LINE - 2.0);
                word_of_key(page, column, &word.word, room);
            }
            page.y += LINE;
        }
        page.y += 12.0;
    }
}

/// A word of the key in its room, with what is said of it, or its mark where it is an exception.
fn word_of_key(page: &mut Composer, column: &SheetColumn, word: &str, room: Area) {
    let marked = column.exceptions.contains(word);
    let style = if marked { Style::bold(12.5) } else { Style::plain(12.5) };
    let remark = column.remarks.get(word).map(|text| (text.as_str(), Style::quiet(10.5)));
    let beside = remark.or_else(|| marked.then_some((EXCEPTION, style)));
    let Some((text, as_beside)) = beside else {
        return page.push(fit(word, style, room, Align::Left));
    };
    // What stands beside it has at least a third of the room.
    let wide = font::width(style.face, style.size, word).min(room.w * 0.66);
    page.push(fit(word, style, Area { w: wide, ..room }, Align::Left));
    let x = room.x + wide + 5.0;
    page.push(fit(
        text,
        as_beside,
        Area::new(x, room.y, room.right() - x, room.h),
        Align::Left,
    ));
}

/// A heading with what it stands for below it.
fn heading_when(page: &mut Composer, column: &SheetColumn, area: Area) {
    if column.when.is_empty() {
        return heading(page, &column.heading, area);
    }
    heading(page, "", area);
    let upper = Area::new(area.x, area.y, area.w, area.h * 0.6).shrunk(2.0);
    page.push(fit(&column.heading, Style::bold(14.0), upper, Align::Centre));
    let lower = Area::new(area.x + 2.0, area.y + area.h * 0.58, area.w - 4.0, area.h * 0.4);
    page.push(fit(&column.when, Style::quiet(8.5), lower, Align::Centre));
}

/// A column of which there is something to say word by word.
fn told(page: &mut Composer, column: &SheetColumn) {
    let style = Style::plain(11.0);
    page.need(style.line() * (column.words.len() as f32).min(4.0) + 4.0);
    for word in &column.words {
        let remark = column.remarks.get(&word.word).map_or("", String::as_str);
        page.labeled((&word.word, Style::bold(11.5)), 96.0, remark, style);
    }
    page.y += 6.0;
}
