//! The end: where people differ, notes, how it was counted, and care.

use super::super::data::ReportData;
use super::super::passage::ReportPassage;
use super::{heading, is_short, text};
use crate::wording;

pub fn close(blocks: &mut Vec<ReportPassage>, data: &ReportData) {
    ruled_apart(blocks, data);
    goals(blocks, data);
    went(blocks, data);
    notes(blocks, data);
    method(blocks, data);
    care(blocks, is_short(data));
}

fn ruled_apart(blocks: &mut Vec<ReportPassage>, data: &ReportData) {
    if data.ruled_apart.is_empty() {
        return;
    }
    heading(blocks, "Where two people heard differently");
    blocks.push(ReportPassage::List(data.ruled_apart.clone()));
    text(
        blocks,
        "Both rulings stand. Neither is counted as settled; listen to these together.",
    );
}

fn goals(blocks: &mut Vec<ReportPassage>, data: &ReportData) {
    if !data.goals.is_empty() {
        heading(blocks, "Goals");
        let each = data.goals.iter();
        blocks.push(ReportPassage::List(
            each.map(|goal| wording::goal(goal, data.made)).collect(),
        ));
    }
}

fn went(blocks: &mut Vec<ReportPassage>, data: &ReportData) {
    if !data.went.is_empty() {
        heading(blocks, "How lessons went, as who led them wrote it");
        let each = data.went.iter();
        let each = each.map(|(day, line)| format!("{}: {line}", day.strftime("%-d %B %Y")));
        blocks.push(ReportPassage::List(each.collect()));
    }
}

fn notes(blocks: &mut Vec<ReportPassage>, data: &ReportData) {
    if data.notes.is_empty() {
        return;
    }
    heading(blocks, "Notes");
    if data.records_left_out > 0 {
        text(
            blocks,
            format!(
                "Of notes on what was done beside the words the latest are here; {} more are in the notebook.",
                data.records_left_out
            ),
        );
    }
    for note in &data.notes {
        blocks.push(ReportPassage::Note {
            about: format!("{}, {}, on {}", note.day.strftime("%-d %B %Y"), note.by, note.on),
            text: note.text.clone(),
        });
    }
}

fn method(blocks: &mut Vec<ReportPassage>, data: &ReportData) {
    heading(blocks, "How it was counted, and how far to trust it");
    if is_short(data) {
        // On one page with the lesson.
        small(blocks, wording::rules_in_words(&data.rules));
        return small(
            blocks,
            "First tries are counted. The program makes mistakes, and says \"unsure\" where a recording does not settle it; a \
             person's ear decides then, and wherever the two differ. Ranges are 95 % intervals for a share (Wilson 1927).",
        );
    }
    text(blocks, wording::rules_in_words(&data.rules));
    text(
        blocks,
        "Two things are judged apart. Counting: the child's count against the sounds that were said, as a person or else \
         the program heard them, and where neither could tell, against the word's own. Saying: what was said against the \
         word.",
    );
    if data.writing.is_some() {
        text(
            blocks,
            "Of writing, first tries without help count; for a choice of spelling, each word once in a row, as it was written last in \
             those days.",
        );
    }
    if data.by_other_rules > 0 {
        text(blocks, wording::recounted(data.by_other_rules as u64));
    }
    if !data.models.is_empty() {
        text(
            blocks,
            format!("Recordings were judged by the model {}.", data.models.join(", ")),
        );
    }
    text(
        blocks,
        "The program compares a recording with the dictionary's sounds of General American English. It makes mistakes, more of \
         them with voices, accents, microphones and rooms unlike those it learned from, and says \"unsure\" where the recording \
         does not settle it; a person's ear decides then, and wherever the two differ. First tries are counted. A pattern is named \
         where three words or more show it and chance would seldom do as much: of 100 learners without any, one at most is told of \
         one. Ranges are 95 % intervals for a share \
         (Wilson 1927, J. Am. Stat. Assoc. 22, 209-212); they hold for words like those that were said, not for all words.",
    );
}

fn care(blocks: &mut Vec<ReportPassage>, short: bool) {
    heading(blocks, "Care");
    let told = |blocks: &mut Vec<ReportPassage>, line: &str| match short {
        true => small(blocks, line),
        false => text(blocks, line),
    };
    told(blocks, wording::CAUTION_REPORT);
    told(
        blocks,
        "It is a record about a child. Where you live there may be rules on recording a child and on who may keep and see such \
         records; learn them before you pass it on, and pass on no more than is needed.",
    );
}

/// Text that many readers pass over, in the letters of a caption.
fn small(blocks: &mut Vec<ReportPassage>, text: impl Into<String>) {
    blocks.push(ReportPassage::Small(text.into()));
}
