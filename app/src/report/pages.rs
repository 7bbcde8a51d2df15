//! The report as pages.

use super::content::{self, Widths};
use super::data::ReportData;
use super::passage::ReportPassage;
use super::plots::Plot;
use crate::sheet::lay::{Align, Composer, PageHead, Style, fit, wrap};
use crate::sheet::page::{Area, Paper, Sheet};

const BODY: Style = Style::plain(10.5);
const CAPTION: Style = Style::quiet(9.0);
/// Between two plots side by side, in points.
const BETWEEN: f32 = 18.0;

/// The pages.
pub fn sheet(data: &ReportData, paper: Paper) -> Sheet {
    let foot = [
        crate::wording::rules_in_full(&data.rules),
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
    let blocks = content::blocks(data, widths);
    for (at, block) in blocks.iter().enumerate() {
        // A heading stays with the start of what follows it.
        let next = blocks.get(at + 1).map_or(0.0, least);
        draw(&mut page, block, next);
    }
    page.finish()
}

/// The height that must follow a heading for the two to belong together.
fn least(block: &ReportPassage) -> f32 {
    match block {
        ReportPassage::Charts { plots, .. } => highest(plots),
        ReportPassage::Plot(plot) => plot.height,
        _ => 2.0 * BODY.line(),
    }
}

fn draw(page: &mut Composer, block: &ReportPassage, next: f32) {
    match block {
        ReportPassage::Heading(text) => page.heading(text, next),
        ReportPassage::Text(text) => {
            page.paragraph(text, BODY);
            page.y += 5.0;
        }
        ReportPassage::Small(text) => {
            page.paragraph(text, Style::plain(9.0));
            page.y += 3.0;
        }
        ReportPassage::List(lines) => lines.iter().for_each(|line| point(page, line)),
        ReportPassage::Note { about, text } => note(page, about, text),
        ReportPassage::Plot(shown) => charts(page, std::slice::from_ref(shown), ""),
        ReportPassage::NewPage => page.break_page(),
        ReportPassage::Charts { plots, caption } => charts(page, plots, caption),
    }
}

fn point(page: &mut Composer, text: &str) {
    const INDENT: f32 = 14.0;
    page.need(BODY.line());
    let room = Area::new(page.left(), page.y, INDENT, BODY.line());
    page.push(fit("•", BODY, room, Align::Left));
    let (x, w) = (page.left() + INDENT, page.width() - INDENT);
    page.paragraph_at(text, BODY, x, w);
    page.y += 3.0;
}

fn note(page: &mut Composer, about: &str, text: &str) {
    const INDENT: f32 = 14.0;
    page.need(2.0 * BODY.line() + 4.0);
    page.paragraph(about, Style::quiet(9.5));
    let (x, w) = (page.left() + INDENT, page.width() - INDENT);
    for part in text.lines().filter(|line| !line.trim().is_empty()) {
        page.paragraph_at(part, BODY, x, w);
    }
    page.y += 7.0;
}

fn highest(plots: &[Plot]) -> f32 {
    plots.iter().map(|p| p.height).fold(0.0, f32::max)
}

/// Plots side by side, and their caption on the same page.
fn charts(page: &mut Composer, plots: &[Plot], caption: &str) {
    let high = highest(plots);
    let lines = if caption.is_empty() {
        0
    } else {
        wrap(caption, CAPTION, page.width()).len()
    };
    page.need(high + 4.0 + lines as f32 * CAPTION.line());
    let (mut dx, dy) = (page.left(), page.y);
    for plot in plots {
        plot.items.iter().for_each(|item| page.push(item.moved(dx, dy)));
        dx += plot.width + BETWEEN;
    }
    page.y += high + 4.0;
    if !caption.is_empty() {
        page.paragraph(caption, CAPTION);
    }
    page.y += 6.0;
}
