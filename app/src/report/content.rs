//! What the report says, in words and plots, whatever it is shown on.

mod charts;
mod close;
pub mod short;
mod standing;

pub use charts::low_rows;
pub use standing::none_yet;

use super::data::{ReportData, ShownShare};
use super::passage::ReportPassage;
use super::plots::per_cent;
use super::written;
use crate::wording;

/// How wide plots are.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Widths {
    /// One by itself.
    pub whole: f32,
    /// One of two side by side.
    pub half: f32,
    /// One that was made for a page of its own.
    pub page: f32,
}

/// A part that a report may do without: charts and tables, which say more exactly what the words before them say.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ChartPart {
    /// The child's counts over time.
    Trend,
    /// Shares by kind of word.
    Tables,
    /// Every choice of spelling then and now.
    Choices,
    /// Sounds heard against sounds expected.
    Heard,
    /// Vowels month by month.
    Vowels,
    /// What was written for each sound.
    Letters,
}

/// The most telling first.
const CHARTS: [ChartPart; 6] = [
    ChartPart::Trend,
    ChartPart::Tables,
    ChartPart::Choices,
    ChartPart::Heard,
    ChartPart::Vowels,
    ChartPart::Letters,
];

/// Lessons up to which a report is short: there is little to say, and charts of it would say less.
const FEW_LESSONS: usize = 2;

/// Whether there is so little that the report is a page without charts.
pub fn is_short(data: &ReportData) -> bool {
    data.lessons.days + data.old.days <= FEW_LESSONS
}

/// The charts and tables that have something to show, the most telling first; none for a short report.
pub fn chart_parts(data: &ReportData) -> Vec<ChartPart> {
    let writing = data.writing.as_ref();
    let shows = |part: &ChartPart| match part {
        ChartPart::Trend => charts::has_trend(data),
        ChartPart::Tables => data.groups.iter().any(|g| g.rows.iter().any(|(_, s)| s.of > 0)),
        ChartPart::Heard => data.heard.iter().any(|h| h.times > 0 && h.heard != Some(h.expected)),
        ChartPart::Vowels => !data.vowels.is_empty(),
        ChartPart::Choices => writing.is_some_and(|w| !w.choices.is_empty()),
        ChartPart::Letters => writing.is_some_and(|w| w.matrix.iter().any(|row| row.kept < row.times)),
    };
    let all = CHARTS.into_iter().filter(shows);
    all.filter(|_| !is_short(data) && !data.writing_alone).collect()
}

/// The report's heading.
pub fn title(data: &ReportData) -> String {
    format!("{}: report", data.learner)
}

/// The days that it is about, and when it was made.
pub fn subtitle(data: &ReportData) -> String {
    format!("{}. Made on {}.", days(data), day(data.made))
}

/// `3 September 2026`.
fn day(date: jiff::civil::Date) -> String {
    date.strftime("%-d %B %Y").to_string()
}

fn days(data: &ReportData) -> String {
    wording::days(data.from, data.to)
}

/// Everything after the heading, in order, with these charts.
pub fn blocks(data: &ReportData, widths: Widths, shown: &[ChartPart]) -> Vec<ReportPassage> {
    let writing = data.writing.as_ref();
    if let (true, Some(writing)) = (data.writing_alone, writing) {
        return written::alone(writing, &data.learner, widths.page);
    }
    let mut blocks = Vec::new();
    short::short(&mut blocks, data);
    if data.attempts > 0 {
        standing::spoken(&mut blocks, data);
    }
    if let Some(writing) = writing {
        blocks.extend(written::within(writing, &data.learner, is_short(data)));
    }
    standing::next(&mut blocks, data);
    for part in CHARTS.iter().filter(|part| shown.contains(part)) {
        charts::chart(&mut blocks, *part, data, widths);
    }
    close::close(&mut blocks, data);
    blocks
}

fn heading(blocks: &mut Vec<ReportPassage>, text: &str) {
    blocks.push(ReportPassage::Heading(text.to_owned()));
}

fn text(blocks: &mut Vec<ReportPassage>, text: impl Into<String>) {
    blocks.push(ReportPassage::Text(text.into()));
}

/// A share in a sentence: `162 of 200 (81 %; the true share probably lies between 75 % and 86 %)`.
fn in_words(share: ShownShare) -> String {
    // A figure and its sign stay on one line.
    let told = |share: f64| per_cent(share).replace(' ', "\u{a0}");
    format!(
        "{} of {} ({}; the true share probably lies between {} and {})",
        share.right,
        share.of,
        told(share.right as f64 / share.of.max(1) as f64),
        told(share.low),
        told(share.high)
    )
}
