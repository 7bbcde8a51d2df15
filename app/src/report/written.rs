//! What the child wrote: what holds and what is still missed, choices then and now, what was written for each sound, telling examples.

use std::collections::BTreeMap;

use jiff::civil::Date;
use soundbead_data::inventory;

use super::data::WritingData;
use super::passage::ReportPassage;
use super::plots::{PALE, Plot, line};
use crate::ask::writing::{ChoiceStretch, Example, MatrixCell, MatrixRow, ThenAndNow};
use crate::keyed::key_word;
use crate::say::many;
use crate::sheet::lay::{Align, Style, fit};
use crate::sheet::page::{Area, Colour, PageItem, Pen, Point};
use crate::wording::kept_first;

/// Most sounds of the matrix: those with the most letters that are not the word's own.
const MOST_SOUNDS: usize = 5;
/// Height of a row, small enough for every choice and the rest on one page of US Letter.
const ROW: f32 = 9.5;
/// Height of the row of headings.
const HEAD: f32 = 12.0;
/// Height of a row of the matrix: letters with tails stand in a box there, and keep their size.
const BOXES: f32 = 12.0;
/// Most letters that are shown for one sound where they do not all fit beside each other.
const MOST_CELLS: usize = 6;
/// Width of a cell of the matrix.
const CELL: f32 = 66.0;
const TEXT: Style = Style::plain(8.2);
const SMALL: Style = Style::quiet(7.8);
/// Then is gray, now is ink.
const THEN: Pen = Pen::solid(1.0, Colour::GREY);
const NOW: Pen = Pen::solid(1.4, Colour::INK);

/// The page of the writing alone, with every choice.
pub fn alone(data: &WritingData, learner: &str, width: f32) -> Vec<ReportPassage> {
    let mut blocks = vec![
        ReportPassage::Heading(format!("What {learner} wrote")),
        ReportPassage::Text(in_short(data)),
    ];
    blocks.extend(chart(data, width));
    blocks.extend(for_each_sound(data, width));
    blocks.extend(telling(data));
    blocks.push(ReportPassage::Small(CARE.to_owned()));
    blocks
}

/// The writing within a report: what holds, what is still missed with words as they were written, the same words then and
/// now.
/// Telling examples are left out of a short report: what was missed has them.
pub fn within(data: &WritingData, learner: &str, short: bool) -> Vec<ReportPassage> {
    let mut blocks = vec![
        ReportPassage::Heading(format!("What {learner} wrote")),
        ReportPassage::Text(in_short(data)),
    ];
    let mut lines = Vec::new();
    // In a lesson or two every choice was met in few words.
    let few = if short { Vec::new() } else { data.few() };
    for (what, choices) in [
        ("Holds, right in each word the last time", data.holds()),
        ("Right the last time, in one or two words only", few),
    ] {
        let named = choices.iter();
        let named = named.map(|(choice, words)| format!("{choice} ({})", many(*words, "word")));
        let named: Vec<String> = named.collect();
        if !named.is_empty() {
            lines.push(format!("{what}: {}.", named.join("; ")));
        }
    }
    let missed = data.still_missed().into_iter().take(MISSED);
    lines.extend(missed.map(|choice| still_missed(choice, data)));
    if !lines.is_empty() {
        blocks.push(ReportPassage::List(lines));
    }
    let again = again(data);
    if !again.is_empty() {
        blocks.push(ReportPassage::Text(format!(
            "The same words, the first time and the latest: {}.",
            again.join("; ")
        )));
    }
    if !short {
        blocks.extend(telling(data));
    }
    blocks
}

/// Most choices that are told as still missed, and most words of then and now.
const MISSED: usize = 6;
const AGAIN: usize = 8;

/// `Right in some words: ck, k or c. In 3 of 8 words now, earlier in 1 of 7 words; bak for back, sik for sick.`
fn still_missed(choice: &ThenAndNow, data: &WritingData) -> String {
    let words = |s: &ChoiceStretch, when: &str| {
        let first = kept_first(s.kept, s.kept_first);
        format!("{} of {}{when}{first}", s.kept, many(s.met, "word"))
    };
    let now = choice.now.as_ref();
    let now = now.map_or_else(|| "none now".to_owned(), |now| words(now, " now"));
    let then = choice.then.as_ref();
    let then = then.map_or_else(String::new, |then| format!(", earlier in {}", words(then, "")));
    let missed = data.missed.iter().find(|(name, _)| *name == choice.choice);
    let examples = missed.map_or_else(String::new, |(_, examples)| format!("; {}", examples.join(", ")));
    let stands = match &choice.now {
        Some(now) if now.kept > 0 => "Right in some words",
        _ => "Not yet right",
    };
    format!("{stands}: {}. In {now}{then}{examples}.", choice.choice)
}

/// Words that were written then and now and look otherwise now: `brige, then bridge`.
fn again(data: &WritingData) -> Vec<String> {
    let every = data.choices.iter().flat_map(|c| &c.again).filter(|a| a.then != a.now);
    let once: BTreeMap<&str, String> = every
        .map(|a| (a.word.as_str(), format!("{}, now {}", a.then, a.now)))
        .collect();
    once.into_values().take(AGAIN).collect()
}

/// Every choice then and now, as a chart with how to read it.
pub fn chart(data: &WritingData, width: f32) -> Vec<ReportPassage> {
    if data.choices.is_empty() {
        return Vec::new();
    }
    vec![
        ReportPassage::Plot(choices(&data.choices, data.since.is_some(), width)),
        ReportPassage::Small(how_to_read(data)),
    ]
}

/// What was written for each sound that strayed.
pub fn for_each_sound(data: &WritingData, width: f32) -> Vec<ReportPassage> {
    let strayed = strayed(&data.matrix);
    if strayed.is_empty() {
        return Vec::new();
    }
    vec![
        ReportPassage::Heading("What was written for each sound".to_owned()),
        ReportPassage::Plot(matrix(&strayed, width)),
        ReportPassage::Small("Gray: how much of it was not the word's own letters there.".to_owned()),
    ]
}

fn telling(data: &WritingData) -> Vec<ReportPassage> {
    if data.examples.is_empty() {
        return Vec::new();
    }
    let heading = ReportPassage::Heading("Telling examples".to_owned());
    let examples = data.examples.iter().map(|e| ReportPassage::Small(example(e)));
    std::iter::once(heading).chain(examples).collect()
}

const CARE: &str = "First tries without help count; for a choice, each word once in a row, as it was written last. This shows how words were spelled. It is no \
    test of a child, and says nothing of speech or hearing; for those ask a licensed speech-language pathologist or an audiologist.";

fn in_short(data: &WritingData) -> String {
    let right = match data.right {
        n if n == data.tries => "all of them letter by letter right".to_owned(),
        0 => "none of them right, letter by letter".to_owned(),
        n => format!("{n} of them right, letter by letter"),
    };
    let words = many(data.words, "word");
    match data.tries == data.words {
        true => format!("First tries at {words}: {right}."),
        false => format!("{} first tries at {words}: {right}.", data.tries),
    }
}

fn how_to_read(data: &WritingData) -> String {
    let parted = match data.since {
        Some(day) => format!(
            "Then (gray, above): before {}. Now (black, below): from that day on.",
            day.strftime("%-d %B %Y")
        ),
        None => "All was written on one day, so there is nothing earlier to compare it with.".to_owned(),
    };
    format!(
        "{parted} A dot is the share of words in which the choice was right, the line where the true share probably lies (95 %, Clopper \
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

/// Narrower than this a chart is for a telephone: the name of a row stands above it.
const NARROW: f32 = 400.0;
/// Width of the figures of a stretch.
const FIGURES: f32 = 58.0;

/// Where the parts of a row of the choices lie.
struct ChoiceRows {
    /// Width of the names.
    name: f32,
    /// Height of a row, with its name where that stands above it.
    high: f32,
    /// Height of the name above, if it does.
    above: f32,
    /// From the left to the figures.
    figures: f32,
    /// Where shares are drawn.
    frame: Area,
}

impl ChoiceRows {
    fn new(count: usize, width: f32) -> ChoiceRows {
        let narrow = width < NARROW;
        let above = if narrow { ROW * 1.3 } else { 0.0 };
        let (name, figures) = if narrow {
            (width, 0.0)
        } else {
            (width * 0.36, width * 0.36)
        };
        let left = figures + 2.0 * FIGURES + 8.0;
        let high = above + ROW * if narrow { 1.5 } else { 1.0 };
        ChoiceRows {
            name,
            high,
            above,
            figures,
            frame: Area::new(left, HEAD, width - left - 18.0, count as f32 * high),
        }
    }
}

/// Each choice with its share then and now, and where the true share may lie.
fn choices(all: &[ThenAndNow], parted: bool, width: f32) -> Plot {
    let rows = ChoiceRows::new(all.len(), width);
    let frame = rows.frame;
    let mut items = Vec::new();
    for step in 0..=4 {
        let at = frame.x + frame.w * step as f32 / 4.0;
        items.push(line(Point::new(at, frame.y), Point::new(at, frame.bottom()), PALE));
        // On a narrow chart there is room for the ends alone.
        if width >= NARROW || step % 4 == 0 {
            let room = Area::new(at - 16.0, 0.0, 32.0, HEAD);
            items.push(fit(&format!("{} %", step * 25), SMALL, room, Align::Centre));
        }
    }
    for (at, head) in [(0, "then"), (1, "now")]
        .into_iter()
        .filter(|(at, _)| parted || *at == 1)
    {
        let room = Area::new(rows.figures + at as f32 * FIGURES, 0.0, FIGURES - 6.0, HEAD);
        items.push(fit(head, SMALL, room, Align::Right));
    }
    for (at, choice) in all.iter().enumerate() {
        choice_row(&mut items, choice, &rows, HEAD + at as f32 * rows.high);
    }
    Plot {
        title: "Each choice of spelling: in how many words it was kept, then and now".into(),
        items,
        width,
        height: frame.bottom() + 3.0,
    }
}

fn choice_row(items: &mut Vec<PageItem>, choice: &ThenAndNow, rows: &ChoiceRows, top: f32) {
    let name_high = if rows.above > 0.0 { rows.above } else { rows.high };
    let room = Area::new(0.0, top, rows.name - 4.0, name_high);
    items.push(fit(choice.choice, TEXT, room, Align::Left));
    let (y, high) = (top + rows.above, rows.high - rows.above);
    for (column, stretch, pen, middle) in [
        (0, &choice.then, THEN, y + high * 0.32),
        (1, &choice.now, NOW, y + high * 0.68),
    ] {
        let Some(stretch) = stretch else { continue };
        let room = Area::new(rows.figures + column as f32 * FIGURES, y, FIGURES - 6.0, high);
        items.push(fit(
            &format!("{} of {}", stretch.kept, stretch.met),
            TEXT,
            room,
            Align::Right,
        ));
        share(items, stretch, rows.frame, (pen, middle));
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
    // A narrow picture has room for two boxes beside each other only where the names keep to less.
    let (name, left) = if width < NARROW { (66.0, 117.0) } else { (76.0, 138.0) };
    let beside = (((width - left) / CELL) as usize).max(1);
    let (mut items, mut y) = (Vec::new(), 0.0);
    for row in rows {
        items.push(fit(
            &keyed(row.sound),
            TEXT,
            Area::new(0.0, y, name - 4.0, BOXES),
            Align::Left,
        ));
        let kept = format!("kept {} of {}", row.kept, row.times);
        items.push(fit(
            &kept,
            SMALL,
            Area::new(name, y, left - name - 6.0, BOXES),
            Align::Left,
        ));
        // What does not fit beside each other goes below, as far as it was seen more than once or so.
        let cells = &row.wrote[..row.wrote.len().min(MOST_CELLS.max(beside))];
        for line in cells.chunks(beside) {
            for (column, cell) in line.iter().enumerate() {
                let area = Area::new(left + column as f32 * CELL, y, CELL - 3.0, BOXES);
                cell_items(&mut items, cell, area);
            }
            y += BOXES + 1.5;
        }
    }
    Plot {
        title: "What was written for each sound, and how often; gray: not the word's own letters".into(),
        items,
        width,
        height: y + 2.0,
    }
}

/// A sound in plain letters with its key word: `sh as in ship`.
fn keyed(sound: &str) -> String {
    let entry = inventory::find(sound);
    entry.map_or_else(
        || sound.to_owned(),
        |entry| format!("{} as in {}", entry.letters(), key_word(entry)),
    )
}

fn cell_items(items: &mut Vec<PageItem>, cell: &MatrixCell, area: Area) {
    let own = cell.kept == cell.times;
    // As much of the box is gray as of the letters were not the word's own.
    let strayed = (cell.times - cell.kept) as f32 / cell.times.max(1) as f32;
    let gray = Area {
        w: area.w * strayed,
        ..area
    };
    items.push(PageItem::Box {
        area: gray,
        fill: (!own).then_some(Colour::SHADE),
        pen: None,
    });
    items.push(PageItem::Box {
        area,
        fill: None,
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
    items.push(fit(&times, TEXT, area.shrunk(1.0), Align::Centre));
}
