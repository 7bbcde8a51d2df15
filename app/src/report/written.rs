//! The page of what the child wrote: choices then and now, what was written for each sound, telling examples.

use jiff::civil::Date;
use soundbead_data::inventory;

use super::data::WritingData;
use super::passage::ReportPassage;
use super::plots::{PALE, Plot, line};
use crate::ask::writing::{ChoiceStretch, Example, MatrixCell, MatrixRow, ThenAndNow};
use crate::sheet::lay::{Align, Style, fit};
use crate::sheet::page::{Area, Colour, PageItem, Pen, Point};

/// Most sounds of the matrix: those with the most letters that are not the word's own.
const MOST_SOUNDS: usize = 5;
/// Height of a row, small enough for every choice and the rest on one page of US Letter.
const ROW: f32 = 9.5;
/// Height of the row of headings.
const HEAD: f32 = 12.0;
/// Width of a cell of the matrix.
const CELL: f32 = 46.0;
const TEXT: Style = Style::plain(8.2);
const SMALL: Style = Style::quiet(7.8);
/// Then is grey, now is ink.
const THEN: Pen = Pen::solid(1.0, Colour::GREY);
const NOW: Pen = Pen::solid(1.4, Colour::INK);

/// The page's blocks.
pub fn blocks(data: &WritingData, learner: &str, width: f32) -> Vec<ReportPassage> {
    let mut blocks = vec![
        ReportPassage::Heading(format!("What {learner} wrote")),
        ReportPassage::Text(in_short(data)),
    ];
    if !data.choices.is_empty() {
        blocks.push(ReportPassage::Plot(choices(&data.choices, data.since.is_some(), width)));
        blocks.push(ReportPassage::Small(how_to_read(data)));
    }
    let strayed = strayed(&data.matrix);
    if !strayed.is_empty() {
        blocks.push(ReportPassage::Heading("What was written for each sound".to_owned()));
        blocks.push(ReportPassage::Plot(matrix(&strayed, width)));
    }
    if !data.examples.is_empty() {
        blocks.push(ReportPassage::Heading("Telling examples".to_owned()));
        blocks.extend(data.examples.iter().map(|e| ReportPassage::Small(example(e))));
    }
    blocks.push(ReportPassage::Small(CARE.to_owned()));
    blocks
}

const CARE: &str = "First tries without help count; for a choice, each word once in a row. This shows how words were spelled. It is no \
    test of a child, and says nothing of speech or hearing; for those ask a licensed speech-language pathologist or an audiologist.";

fn in_short(data: &WritingData) -> String {
    let right = match data.right {
        n if n == data.tries => "all of them letter by letter right".to_owned(),
        n => format!("{n} of them right, letter by letter"),
    };
    format!("{} first tries at {} different words, {right}.", data.tries, data.words)
}

fn how_to_read(data: &WritingData) -> String {
    let parted = match data.since {
        Some(day) => format!(
            "Then (grey, above): before {}. Now (black, below): from that day on.",
            day.strftime("%-d %B %Y")
        ),
        None => "All was written on one day, so there is no then to hold it against.".to_owned(),
    };
    format!(
        "{parted} A dot is the share of words in which the choice was kept, the line where the true share probably lies (95 %, Clopper \
         and Pearson 1934): where two lines overlap widely, little is shown."
    )
}

/// `brige for bridge (3 Nov 2026): ...`
fn example(example: &Example) -> String {
    let seen = match example.words {
        1 => String::new(),
        n => format!(" Seen in {n} words."),
    };
    // Days are written by ISO 8601, so this is for what people read.
    let day = example.day.parse::<Date>();
    let day = day.map_or_else(|_| example.day.clone(), |day| day.strftime("%-d %b %Y").to_string());
    format!(
        "{} for {} ({day}): {}{seen}",
        example.wrote, example.word, example.shows
    )
}

/// Each choice with its share then and now, and where the true share may lie.
fn choices(all: &[ThenAndNow], parted: bool, width: f32) -> Plot {
    let (name, figures) = (width * 0.36, 58.0);
    let left = name + 2.0 * figures + 8.0;
    let frame = Area::new(left, HEAD, width - left - 18.0, all.len() as f32 * ROW);
    let mut items = Vec::new();
    for step in 0..=4 {
        let at = frame.x + frame.w * step as f32 / 4.0;
        items.push(line(Point::new(at, frame.y), Point::new(at, frame.bottom()), PALE));
        let room = Area::new(at - 16.0, 0.0, 32.0, HEAD);
        items.push(fit(&format!("{} %", step * 25), SMALL, room, Align::Centre));
    }
    for (at, head) in [(0, "then"), (1, "now")]
        .into_iter()
        .filter(|(at, _)| parted || *at == 1)
    {
        let room = Area::new(name + at as f32 * figures, 0.0, figures - 6.0, HEAD);
        items.push(fit(head, SMALL, room, Align::Right));
    }
    for (at, choice) in all.iter().enumerate() {
        let y = HEAD + at as f32 * ROW;
        items.push(fit(
            choice.choice,
            TEXT,
            Area::new(0.0, y, name - 4.0, ROW),
            Align::Left,
        ));
        for (column, stretch, pen, middle) in [
            (0, &choice.then, THEN, y + ROW * 0.32),
            (1, &choice.now, NOW, y + ROW * 0.68),
        ] {
            let Some(stretch) = stretch else { continue };
            let room = Area::new(name + column as f32 * figures, y, figures - 6.0, ROW);
            items.push(fit(
                &format!("{} of {}", stretch.kept, stretch.met),
                TEXT,
                room,
                Align::Right,
            ));
            share(&mut items, stretch, frame, (pen, middle));
        }
    }
    Plot {
        title: "Each choice of spelling: in how many words it was kept, then and now".into(),
        items,
        width,
        height: frame.bottom() + 3.0,
    }
}

/// A dot for the share, a line for its interval.
fn share(items: &mut Vec<PageItem>, stretch: &ChoiceStretch, frame: Area, (pen, middle): (Pen, f32)) {
    let x = |share: f64| frame.x + share as f32 * frame.w;
    items.push(line(
        Point::new(x(stretch.low), middle),
        Point::new(x(stretch.high), middle),
        pen,
    ));
    let middle = Point::new(x(stretch.kept as f64 / stretch.met.max(1) as f64), middle);
    items.push(PageItem::dot(middle, 2.2, Some(pen.colour), None));
}

/// The sounds for which other letters than the word's own were written, the most often first.
fn strayed(all: &[MatrixRow]) -> Vec<&MatrixRow> {
    let mut rows: Vec<&MatrixRow> = all.iter().filter(|row| row.kept < row.times).collect();
    rows.sort_by_key(|row| std::cmp::Reverse(row.times - row.kept));
    rows.truncate(MOST_SOUNDS);
    rows
}

/// A row a sound: what was written for it and how often; letters that were not the word's own stand on grey.
fn matrix(rows: &[&MatrixRow], width: f32) -> Plot {
    const LEFT: f32 = 84.0;
    let most = ((width - LEFT) / CELL) as usize;
    let mut items = Vec::new();
    for (at, row) in rows.iter().enumerate() {
        let y = at as f32 * (ROW + 2.0);
        let ipa = inventory::find(row.sound).map_or(row.sound, |entry| entry.ipa.as_str());
        items.push(fit(
            &format!("/{ipa}/"),
            TEXT,
            Area::new(0.0, y, 30.0, ROW),
            Align::Left,
        ));
        let kept = format!("kept {} of {}", row.kept, row.times);
        items.push(fit(&kept, SMALL, Area::new(30.0, y, LEFT - 36.0, ROW), Align::Left));
        for (column, cell) in row.wrote.iter().take(most).enumerate() {
            cell_items(
                &mut items,
                cell,
                Area::new(LEFT + column as f32 * CELL, y, CELL - 3.0, ROW),
            );
        }
    }
    Plot {
        title: "What was written for each sound, and how often; grey: not the word's own letters".into(),
        items,
        width,
        height: rows.len() as f32 * (ROW + 2.0) + 2.0,
    }
}

fn cell_items(items: &mut Vec<PageItem>, cell: &MatrixCell, area: Area) {
    let own = cell.kept == cell.times;
    items.push(PageItem::Box {
        area,
        fill: Some(if own { Colour::WHITE } else { Colour::SHADE }),
        pen: Some(Pen::solid(0.5, Colour::GREY)),
    });
    let letters = if cell.letters.is_empty() {
        "nothing"
    } else {
        &cell.letters
    };
    let times = match (own, cell.kept) {
        (false, 1..) => format!("{letters} {} ({} own)", cell.times, cell.kept),
        _ => format!("{letters} {}", cell.times),
    };
    items.push(fit(&times, TEXT, area.shrunk(1.5), Align::Centre));
}
