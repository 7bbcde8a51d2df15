//! The first lines: who, when, by whom, what was taught; and how it stands in a few sentences.

use soundbead_dsp::judgement::Verdict;

use super::super::data::{DaysTold, ReportData};
use super::super::passage::ReportPassage;
use super::{heading, in_words, is_short, text};
use crate::say::many;
use crate::wording;

/// Plans that are named, the latest: a lesson without a title has all its words in its plan's place.
const PLANS: usize = 3;

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
        let left_out = match data.unsettled {
            0 => String::new(),
            n => format!(
                " {} left out: those who heard it do not agree, or could not tell, how many sounds were said.",
                if n == 1 {
                    "1 more count is".to_owned()
                } else {
                    format!("{n} more counts are")
                }
            ),
        };
        text(
            blocks,
            format!(
                "{} counted the sounds that were said in {}.{left_out}",
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
    if !data.family.is_empty() {
        facts.push(("Family", data.family.clone()));
    }
    facts.extend(of_days(&data.lessons, "lesson").map(|told| ("Lessons", told)));
    facts.extend(of_days(&data.old, "day").map(|told| ("Old recordings", told)));
    if !data.plans.is_empty() {
        let earlier = data.plans.len().saturating_sub(PLANS);
        let plans = data.plans[earlier..]
            .iter()
            .map(|(plan, days)| format!("{plan} ({})", many(*days, "lesson")));
        let before = (earlier > 0).then(|| format!("{} before", many(earlier, "plan")));
        let all: Vec<String> = plans.chain(before).collect();
        facts.push(("Planned", all.join("; ")));
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
    let beside: Vec<String> = data.beside.told().collect();
    if !beside.is_empty() {
        facts.push(("Also done", beside.join(", ")));
    }
    facts.extend(data.by.clone().map(|by| ("Report by", by)));
    facts
}

/// `9 lessons, 2 to 26 November 2026`; none where there are none.
pub fn of_days(told: &DaysTold, what: &str) -> Option<String> {
    let (first, last) = told.ends?;
    Some(format!("{}, {}", many(told.days, what), wording::days(first, last)))
}

/// How many words hold, are right so far, fragile or not yet right; what comes next.
fn stands(blocks: &mut Vec<ReportPassage>, data: &ReportData) {
    let s = &data.standing;
    // What is right comes first, and what there is none of is not said.
    let groups = [
        ("hold, right on three days in a row", &s.holds),
        ("right each time so far, on one day or two", &s.so_far),
        ("fragile, right the last time but missed before", &s.fragile),
        ("not yet right", &s.not_yet),
    ];
    let told = groups.iter().filter(|(_, words)| !words.is_empty());
    let told: Vec<String> = told.map(|(what, words)| format!("{}: {what}", words.len())).collect();
    // A short report has them all a few lines below.
    if !told.is_empty() && !is_short(data) {
        text(blocks, format!("Words by how they were counted. {}.", told.join("; ")));
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
            " A person ruled on {} and judged {} of them otherwise than the program had.",
            many(v.ruled, "attempt"),
            v.ruled_otherwise
        );
    }
    said
}
