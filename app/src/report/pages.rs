//! The report as pages.

use super::content::{self, ChartPart, Widths};
use super::data::ReportData;
use super::passage::ReportPassage;
use super::plots::Plot;
use crate::sheet::lay::{Composer, PageHead, Style, wrap};
use crate::sheet::page::{Paper, Sheet};

/// Between two plots side by side, in points.
const BETWEEN: f32 = 18.0;
/// Letters of text, from the largest to the smallest that is read without effort, and of captions beside them, in points.
const BODIES: [f32; 5] = [11.4, 10.9, 10.4, 9.9, 9.4];
const CAPTION: f32 = 0.87;
/// A last page is as full as this, or there is only one.
const FULL: f32 = 0.55;
/// Pages that are read; charts are left out before there are more.
const MOST: usize = 4;

/// Rows up to which a line of a list is not broken over two pages.
const WHOLE: usize = 5;

/// How far the text of a list and of a fact stands in, in points.
const INDENT: f32 = 14.0;
const FACT: f32 = 68.0;

/// How text is written.
#[derive(Clone, Copy)]
struct Letters {
    body: Style,
    caption: Style,
}

/// The pages: in letters and with as many of the charts as fill them, for a page that is half empty tells nobody anything.
pub fn sheet(data: &ReportData, paper: Paper) -> Sheet {
    let parts = content::chart_parts(data);
    let mut best: Option<(Sheet, f32)> = None;
    for shown in (0..=parts.len()).rev() {
        let (sheet, full) = fullest(data, paper, &parts[..shown], shown == 0);
        let fits = sheet.pages.len() <= MOST;
        if fits && full >= FULL || sheet.pages.len() == 1 {
            return sheet;
        }
        let more = best
            .as_ref()
            .is_none_or(|(so_far, was)| so_far.pages.len() > MOST || full > *was);
        if more {
            best = Some((sheet, full));
        }
    }
    best.map_or_else(Sheet::default, |(sheet, _)| sheet)
}

/// The largest letters that need no more pages than the smallest do, and how full the last page is, 0 to 1. Where the smallest need
/// too many pages, larger ones are looked for only if nothing is left to leave out: laying out is what takes the time.
fn fullest(data: &ReportData, paper: Paper, shown: &[ChartPart], last: bool) -> (Sheet, f32) {
    let smallest = BODIES.len() - 1;
    let tightest = laid(data, paper, shown, BODIES[smallest]);
    if tightest.0.pages.len() > MOST && !last {
        return tightest;
    }
    let larger = BODIES[..smallest].iter().map(|body| laid(data, paper, shown, *body));
    let found = larger
        .into_iter()
        .find(|(sheet, _)| sheet.pages.len() <= tightest.0.pages.len());
    found.unwrap_or(tightest)
}

fn laid(data: &ReportData, paper: Paper, shown: &[ChartPart], body: f32) -> (Sheet, f32) {
    let foot = [
        crate::wording::rules_in_short(&data.rules),
        crate::wording::CAUTION_FOOT.to_owned(),
    ];
    let title = content::title(data);
    let mut page = Composer::new(paper, &title, &foot);
    page.start(PageHead {
        title,
        named: false,
        how: content::subtitle(data),
    });
    let widths = Widths {
        whole: page.width(),
        half: (page.width() - BETWEEN) / 2.0,
        page: page.width(),
    };
    let letters = Letters {
        body: Style::plain(body),
        caption: Style::quiet(body * CAPTION),
    };
    let blocks = content::blocks(data, widths, shown);
    for (at, block) in blocks.iter().enumerate() {
        // A heading stays with the start of what follows it.
        let next = blocks
            .get(at + 1)
            .map_or(0.0, |block| least(block, letters, page.width()));
        draw(&mut page, block, next, letters);
    }
    let full = page.full();
    (page.finish(), full)
}

/// The height that must follow a heading for the two to belong together.
fn least(block: &ReportPassage, letters: Letters, width: f32) -> f32 {
    match block {
        ReportPassage::Charts { plots, caption } => charts_high(plots, caption, letters.caption, width),
        ReportPassage::Plot(plot) => charts_high(std::slice::from_ref(plot), "", letters.caption, width),
        _ => 2.0 * letters.body.line(),
    }
}

fn draw(page: &mut Composer, block: &ReportPassage, next: f32, letters: Letters) {
    match block {
        ReportPassage::Heading(text) => page.heading(text, next),
        ReportPassage::Facts(facts) => {
            let each = facts.iter();
            each.for_each(|(name, text)| page.labeled((name, letters.caption), FACT, text, letters.body));
        }
        ReportPassage::Text(text) => {
            page.paragraph(text, letters.body);
            page.y += 5.0;
        }
        ReportPassage::Small(text) => {
            let style = Style::plain(letters.caption.size);
            page.paragraph(text, style);
            page.y += 3.0;
        }
        ReportPassage::List(lines) => {
            for line in lines {
                // A line that is not long is on one page.
                let rows = wrap(line, letters.body, page.width() - INDENT).len().min(WHOLE);
                page.need(rows as f32 * letters.body.line());
                page.labeled(("•", letters.body), INDENT, line, letters.body);
                page.y += 3.0;
            }
        }
        ReportPassage::Note { about, text } => note(page, about, text, letters),
        ReportPassage::Plot(shown) => charts(page, std::slice::from_ref(shown), "", letters.caption),
        ReportPassage::Charts { plots, caption } => charts(page, plots, caption, letters.caption),
    }
}

fn note(page: &mut Composer, about: &str, text: &str, letters: Letters) {
    page.need(2.0 * letters.body.line() + 4.0);
    page.paragraph(about, letters.caption);
    let (x, w) = (page.left() + INDENT, page.width() - INDENT);
    for part in text.lines().filter(|line| !line.trim().is_empty()) {
        page.paragraph_at(part, letters.body, x, w);
    }
    page.y += 7.0;
}

fn highest(plots: &[Plot]) -> f32 {
    plots.iter().map(|p| p.height).fold(0.0, f32::max)
}

/// The height of plots side by side with their caption.
fn charts_high(plots: &[Plot], caption: &str, style: Style, width: f32) -> f32 {
    let lines = match caption {
        "" => 0,
        caption => wrap(caption, style, width).len(),
    };
    highest(plots) + 4.0 + lines as f32 * style.line()
}

/// Plots side by side, and their caption on the same page.
fn charts(page: &mut Composer, plots: &[Plot], caption: &str, style: Style) {
    let high = highest(plots);
    page.need(charts_high(plots, caption, style, page.width()));
    let (mut dx, dy) = (page.left(), page.y);
    for plot in plots {
        plot.items.iter().for_each(|item| page.push(item.moved(dx, dy)));
        dx += plot.width + BETWEEN;
    }
    page.y += high + 4.0;
    if !caption.is_empty() {
        page.paragraph(caption, style);
    }
    page.y += 6.0;
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Whatever room is left on a page, a plot's heading is on the plot's page.
    #[test]
    fn a_heading_is_on_the_page_of_its_plot() {
        let letters = Letters {
            body: Style::plain(11.0),
            caption: Style::quiet(9.0),
        };
        let plot = Plot {
            title: "A plot".into(),
            items: vec![crate::sheet::lay::fit(
                "mark",
                letters.body,
                crate::sheet::page::Area::new(0.0, 0.0, 60.0, 20.0),
                crate::sheet::lay::Align::Left,
            )],
            width: 200.0,
            height: 90.0,
        };
        let captioned = ReportPassage::Charts {
            plots: vec![plot.clone()],
            caption: "What is to be known of it. ".repeat(12),
        };
        for block in [ReportPassage::Plot(plot), captioned] {
            for room in 0..300 {
                let mut page = Composer::new(Paper::Letter, "Pages", &[]);
                page.start(PageHead {
                    title: "Pages".into(),
                    named: false,
                    how: String::new(),
                });
                page.y = page.bottom() - room as f32;
                let next = least(&block, letters, page.width());
                draw(&mut page, &ReportPassage::Heading("The heading".into()), next, letters);
                draw(&mut page, &block, 0.0, letters);
                let sheet = page.finish();
                let of = |word: &str| (0..sheet.pages.len()).find(|at| sheet.words(*at).any(|w| w == word));
                assert!(of("mark").is_some());
                assert_eq!(of("The heading"), of("mark"), "{room} points were left");
            }
        }
    }
}
