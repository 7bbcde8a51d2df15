//! What holds and what is fragile, each with its words and with examples of what the child did; what was so once; what comes next.

use std::collections::BTreeSet;

use super::super::data::{Habit, NextStep, ReportData, WordsThenNow};
use super::super::passage::ReportPassage;
use super::{heading, in_words, is_short, text};
use crate::notebook::progress::LEAST_ATTEMPTS;
use crate::say::many;

/// Most words of one list: what is left out is counted.
const LISTED: usize = 24;

pub fn spoken(blocks: &mut Vec<ReportPassage>, data: &ReportData) {
    then_and_now(blocks, &data.standing);
    words_that_stand(blocks, &data.standing);
    habits(blocks, data);
    said(blocks, data);
    if !data.tried.is_empty() {
        heading(blocks, "What was tried");
        blocks.push(ReportPassage::List(data.tried.clone()));
    }
}

fn then_and_now(blocks: &mut Vec<ReportPassage>, standing: &WordsThenNow) {
    if standing.again == 0 {
        return;
    }
    heading(blocks, "Then and now, on the same words");
    text(
        blocks,
        format!(
            "{} came again two weeks or more after the first time. At the first try of the first day {} of them were counted \
             right, at the first try of the last day {}.",
            many(standing.again, "word"),
            standing.right_then,
            standing.right_now
        ),
    );
    words(
        blocks,
        [
            ("Right now, not then", &standing.gained),
            ("Right then, not now", &standing.lost),
        ],
    );
}

fn habits(blocks: &mut Vec<ReportPassage>, data: &ReportData) {
    let (past, now): (Vec<&Habit>, Vec<&Habit>) = data.patterns.iter().partition(|p| p.past.is_some());
    let (sure, early): (Vec<&Habit>, Vec<&Habit>) = now.into_iter().partition(|p| p.enough);
    let early = each_once(early, &sure);
    let mut shown: Vec<String> = sure.into_iter().map(|habit| pattern(habit, false)).collect();
    shown.extend(data.sounds.iter().flatten().map(|line| format!("{line}.")));
    // What is to be watched says it all by itself.
    if is_short(data) && shown.is_empty() && !early.is_empty() {
        return watched(blocks, past, early, true);
    }
    heading(blocks, "Habits in counting");
    match (shown.is_empty(), data.counted.of) {
        (true, 0) => text(
            blocks,
            format!(
                "{} counted no word in these days, so nothing is known of counting.",
                data.learner
            ),
        ),
        (true, _) if !early.is_empty() => text(
            blocks,
            "Nothing is sure yet; what may become a habit stands below, to be watched.",
        ),
        (true, _) => text(
            blocks,
            "No miscounts with one cause were found: what was missed is in words of all kinds, or there is too little yet.",
        ),
        (false, _) => {
            text(blocks, "Of the last two months.");
            blocks.push(ReportPassage::List(shown));
        }
    }
    watched(blocks, past, early, is_short(data));
}

/// What was so once, and what may become a habit.
fn watched(blocks: &mut Vec<ReportPassage>, past: Vec<&Habit>, early: Vec<&Habit>, short: bool) {
    for (title, habits) in [("Earlier", past), ("To watch: too few words yet to say", early)] {
        if !habits.is_empty() {
            heading(blocks, title);
            let lines = habits.into_iter().map(|habit| pattern(habit, short));
            blocks.push(ReportPassage::List(lines.collect()));
        }
    }
}

/// Habits that are seen in some word that those before them, and those `told` already, are not: the same few tries are not told again
/// under another name.
fn each_once<'a>(mut habits: Vec<&'a Habit>, told: &[&'a Habit]) -> Vec<&'a Habit> {
    habits.sort_by_key(|habit| std::cmp::Reverse(habit.seen));
    let mut told: BTreeSet<&String> = told.iter().flat_map(|habit| &habit.words).collect();
    habits.retain(|habit| {
        let before = told.len();
        told.extend(&habit.words);
        told.len() > before
    });
    habits
}

/// A habit in a line; a short report has so few tries that their share says nothing.
fn pattern(pattern: &Habit, short: bool) -> String {
    let mut told = match &pattern.past {
        Some(past) => format!("{}: {past}", pattern.what),
        None if short => {
            let (seen, of) = pattern.seen;
            format!("{}: in {seen} of {}", pattern.what, many(of, "word"))
        }
        None => {
            let (seen, of) = pattern.seen;
            format!(
                "{}: in {seen} of {}; of all tries in {}",
                pattern.what,
                many(of, "word"),
                in_words(pattern.evidence)
            )
        }
    };
    let examples = if pattern.examples.is_empty() {
        &pattern.words
    } else {
        &pattern.examples
    };
    if !examples.is_empty() {
        told += &format!("; for example {}", examples.join(", "));
    }
    told + "."
}

fn words_that_stand(blocks: &mut Vec<ReportPassage>, standing: &WordsThenNow) {
    let groups = [
        ("Hold (right on the last three days)", &standing.holds),
        ("Right so far (each time, on one day or two)", &standing.so_far),
        (
            "Fragile (missed before, right the last time, not yet three days in a row)",
            &standing.fragile,
        ),
        ("Not yet (missed the last time)", &standing.not_yet),
    ];
    if groups.iter().any(|(_, words)| !words.is_empty()) {
        heading(blocks, "How each word was counted");
        words(blocks, groups);
    }
}

/// What people heard in the child's own speech.
fn said(blocks: &mut Vec<ReportPassage>, data: &ReportData) {
    if data.said.is_empty() {
        return;
    }
    heading(blocks, "What was said, as a person heard it");
    blocks.push(ReportPassage::List(vec![format!("{}.", data.said.join("; "))]));
}

fn words<const N: usize>(blocks: &mut Vec<ReportPassage>, groups: [(&str, &Vec<String>); N]) {
    let told = groups.iter().filter(|(_, words)| !words.is_empty());
    let lines: Vec<String> = told
        .map(|(what, words)| format!("{what}: {}.", listed(words)))
        .collect();
    if !lines.is_empty() {
        blocks.push(ReportPassage::List(lines));
    }
}

/// Words in a line, so many that they can be read; the rest is counted.
fn listed(words: &[String]) -> String {
    let shown = words.iter().take(LISTED).cloned().collect::<Vec<_>>().join(", ");
    match words.len().saturating_sub(LISTED) {
        0 => shown,
        // One more takes no more room than saying so.
        1 => words.join(", "),
        more => format!("{shown}, and {more} more"),
    }
}

/// Fewest counts in which a habit can show.
const LEAST: usize = LEAST_ATTEMPTS as usize;

/// Why nothing is advised, and what to do so that something can be.
pub fn none_yet(data: &ReportData) -> String {
    let counted = match data.counted.of {
        0 => "No count of the child's is kept yet: a lesson of ten words makes a beginning.".to_owned(),
        n if n < LEAST => format!(
            "No advice yet: {} made so far, and no habit shows in fewer than {LEAST}. One more lesson of ten words tells more.",
            many(n, "count")
        ),
        n => format!("No habit shows in {n} counts: go on as before."),
    };
    match data.writing {
        Some(_) => counted,
        None => format!("{counted} Nothing was written yet: a dictation of ten words shows where spelling stands."),
    }
}

pub fn next(blocks: &mut Vec<ReportPassage>, data: &ReportData) {
    heading(blocks, "What to practice next");
    if data.next.is_empty() {
        text(blocks, none_yet(data));
    }
    for NextStep {
        what,
        why,
        words,
        chain,
    } in &data.next
    {
        text(blocks, format!("{what}. {why}."));
        let counted = words.iter().any(|w| w.ends_with(')'));
        let kind = if counted {
            "Words, each with its number of sounds"
        } else {
            "Words"
        };
        let words = (!words.is_empty()).then(|| format!("{kind}: {}.", words.join(", ")));
        let chain = (!chain.is_empty()).then(|| format!("A chain for it: {}.", chain.join(" → ")));
        blocks.push(ReportPassage::List(words.into_iter().chain(chain).collect()));
    }
}
