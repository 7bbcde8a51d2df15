//! The first lines: who, when, by whom, what was taught; and how it stands in a few sentences.

use soundbead_dsp::judgement::Verdict;

use super::super::data::ReportData;
use super::super::passage::ReportPassage;
use super::{days, heading, in_words, text};
use crate::say::many;
use crate::wording;

pub(super) fn short(blocks: &mut Vec<ReportPassage>, data: &ReportData) {
    blocks.push(ReportPassage::Facts(facts(data)));
    heading(blocks, "In short");
    if data.attempts == 0 {
        return text(
            blocks,
            format!("{} said no words to the program in these days.", data.learner),
        );
    }
    if data.counted.of > 0 {
        text(
            blocks,
            format!(
                "{} counted the sounds that were said in {}.",
                data.learner,
                in_words(data.counted)
            ),
        );
    }
    stands(blocks, data);
    text(blocks, verdicts(data));
}

/// Who, when, by whom, what was taught and how much.
fn facts(data: &ReportData) -> Vec<(&'static str, String)> {
    let mut facts = vec![("Learner", data.learner.clone())];
    let lessons = match data.sessions {
        0 => days(data),
        n => format!("{}, {}", many(n, "lesson"), days(data)),
    };
    facts.push(("Lessons", lessons));
    if !data.plans.is_empty() {
        let plans = data
            .plans
            .iter()
            .map(|(plan, days)| format!("{plan} ({})", many(*days, "lesson")));
        facts.push(("Taught", plans.collect::<Vec<_>>().join(", ")));
    }
    if data.attempts > 0 {
        let again = match data.attempts > data.words {
            true => format!("; with words that came again, {} in all", data.attempts),
            false => String::new(),
        };
        facts.push(("Said", format!("{}{again}", many(data.words, "word"))));
    }
    if let Some(writing) = &data.writing {
        let again = match writing.tries > writing.words {
            true => format!("; with words that came again, {} in all", writing.tries),
            false => String::new(),
        };
        facts.push(("Written", format!("{}{again}", many(writing.words, "word"))));
    }
    facts.extend(data.by.clone().map(|by| ("Report by", by)));
    facts
}

/// What holds, what is fragile, what comes next, in a line each.
fn stands(blocks: &mut Vec<ReportPassage>, data: &ReportData) {
    let s = &data.standing;
    if s.holds.len() + s.fragile.len() + s.not_yet.len() > 0 {
        text(
            blocks,
            format!(
                "Words that hold, right on three days in a row: {}. Fragile: {}. Not yet right: {}.",
                s.holds.len(),
                s.fragile.len(),
                s.not_yet.len()
            ),
        );
    }
    let found = data
        .patterns
        .iter()
        .filter(|p| p.enough && p.past.is_none())
        .map(|p| p.what.as_str());
    let found: Vec<&str> = found.take(2).collect();
    if !found.is_empty() {
        text(blocks, format!("What to work on: {}.", found.join("; ")));
    }
}

/// What the program and people heard in the recordings, in a line.
pub fn verdicts(data: &ReportData) -> String {
    let v = data.verdicts;
    let heard = v.same + v.fewer + v.more + v.changed + v.unsure;
    if heard == 0 {
        return "No recording was judged by the program in these days.".into();
    }
    let parts = [
        (v.same, Verdict::Same),
        (v.fewer, Verdict::Fewer),
        (v.more, Verdict::More),
        (v.changed, Verdict::Changed),
    ];
    let parts: Vec<String> = parts
        .iter()
        .filter(|(n, _)| *n > 0)
        .map(|(n, verdict)| format!("in {n}, {}", wording::verdict(*verdict).full))
        .collect();
    let mut said = format!("The program listened to {}.", many(heard, "recording"));
    if !parts.is_empty() {
        said += &format!(" What it heard: {}.", parts.join("; "));
    }
    if v.unsure > 0 {
        said += &format!(" In {} it was unsure.", v.unsure);
    }
    if v.ruled > 0 {
        said += &format!(
            " A person judged {}, and {} of them otherwise than the program had.",
            many(v.ruled, "word"),
            v.ruled_otherwise
        );
    }
    said
}
