//! What a report is made of, piece by piece, whatever it is shown on.

use super::plots::Plot;

/// A piece of the report.
#[derive(Clone, Debug, PartialEq)]
pub enum ReportPassage {
    /// A heading.
    Heading(String),
    /// Names and what stands for each: who, when, by whom.
    Facts(Vec<(&'static str, String)>),
    /// A paragraph.
    Text(String),
    /// A paragraph in smaller letters.
    Small(String),
    /// Short lines, each a point of its own.
    List(Vec<String>),
    /// What someone wrote: about what, by whom, and the text as it was written.
    Note {
        /// Day, author, subject.
        about: String,
        /// The text, which may have several paragraphs.
        text: String,
    },
    /// A plot across the page.
    Plot(Plot),
    /// Plots that belong side by side where there is room, and what is to be known of them.
    Charts {
        /// The plots: one across the whole width, or two of half of it.
        plots: Vec<Plot>,
        /// What is to be known; may be empty.
        caption: String,
    },
}
