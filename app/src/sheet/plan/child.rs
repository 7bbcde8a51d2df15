//! The child's page of a lesson: boxes, lines to write on, cards to cut off at the bottom. No word and no answer stands on it but the
//! cards.

use super::super::boxes::{ChildRow, child_cells, legend};
use super::super::cut::CardGrid;
use super::super::dictation::{sentence_lines, word_lines};
use super::super::lay::{Composer, PageHead, Style};
use super::super::sort::{SortSheet, shuffled, word_card};
use super::super::words::SheetWord;
use super::super::{Sheet, SheetOptions, fewest, guessed};
use super::LessonPart;
use crate::plan::PlanItem;

/// From the roomiest to the tightest that a child of eight can write into.
const SCALES: [f32; 9] = [1.6, 1.45, 1.3, 1.2, 1.1, 1.0, 0.93, 0.87, 0.82];
/// At scale 1, in points: side of a box, gap between rows, from line to line, height of a card.
const BOX: f32 = 34.0;
const GAP: f32 = 8.0;
const LINE: f32 = 32.0;
const CARD: f32 = 44.0;
/// Cards beside each other.
const ACROSS: usize = 5;
const HOW: Style = Style::plain(10.0);

/// The page, or as many as it takes.
pub fn sheet(parts: &[(&PlanItem, LessonPart)], about: &SheetOptions) -> Sheet {
    fewest(&SCALES, |scale| at(parts, about, scale))
}

fn at(parts: &[(&PlanItem, LessonPart)], about: &SheetOptions, scale: f32) -> Sheet {
    let words: Vec<SheetWord> = parts.iter().flat_map(|(_, part)| part.words()).collect();
    let foot: Vec<String> = guessed(&words).into_iter().collect();
    // What the lesson is about would tell what to listen for.
    let title = about.title_or("Today's lesson");
    let mut page = Composer::new(about.paper, &title, &foot);
    page.start(PageHead {
        title,
        named: true,
        how: String::new(),
    });
    let is_sort = |part: &LessonPart| matches!(part, LessonPart::Sort(_));
    for (_, part) in parts.iter().filter(|(_, part)| !is_sort(part)) {
        match part {
            LessonPart::Chain(_) => rows(&mut page, part, true, scale),
            LessonPart::Boxes(_) => rows(&mut page, part, false, scale),
            LessonPart::Dictation(words, sentences) => writing(&mut page, words.len(), sentences.len(), scale),
            LessonPart::Sort(_) => {}
        }
    }
    // The cards come last, so that one cut takes them off the page.
    for (_, part) in parts {
        if let LessonPart::Sort(sort) = part {
            cards(&mut page, sort, scale);
        }
    }
    page.finish()
}

fn rows(page: &mut Composer, part: &LessonPart, chain: bool, scale: f32) {
    let words = part.words();
    let cells = child_cells(&words, true);
    let row = ChildRow::new(&cells, page.width(), BOX * scale, chain);
    page.heading(if chain { "One sound changes" } else { "Sound boxes" }, BOX * 2.0);
    let after = if chain {
        ", then what changed: the old sound, the new sound"
    } else {
        ""
    };
    let how = format!(
        "A box for each sound; boxes are left over. Then the word{after}.{}",
        legend(&words, &cells)
    );
    page.paragraph(&how, HOW);
    page.y += 5.0;
    for (at, cells) in cells.iter().enumerate() {
        row.row(page, at, cells, GAP * scale);
    }
}

fn writing(page: &mut Composer, words: usize, sentences: usize, scale: f32) {
    let line = LINE * scale;
    if words > 0 {
        page.heading("Words to write", line);
        // Three beside each other leave as much room for a word as the boxes do; two where three would leave a gap.
        word_lines(page, words, if words.is_multiple_of(3) { 3 } else { 2 }, line);
    }
    if sentences > 0 {
        page.heading("Sentences to write", line * 2.0);
        sentence_lines(page, sentences, line);
    }
}

fn cards(page: &mut Composer, sort: &SortSheet, scale: f32) {
    let heads: Vec<&str> = sort.columns.iter().map(|c| c.heading.as_str()).collect();
    let words = shuffled(&sort.columns);
    let count = heads.len() + words.len();
    let high = CARD * scale;
    let rows = count.div_ceil(ACROSS).min(4) as f32;
    page.heading("Cards to sort", HOW.line() + rows * high);
    page.paragraph(
        "Cut along the broken lines. Read each card aloud and lay it under its heading.",
        HOW,
    );
    page.y += 5.0;
    let grid = CardGrid { across: ACROSS, high };
    grid.lay(page, count, |page, at, area| word_card(page, &heads, &words, at, area));
    page.y += 4.0;
}
