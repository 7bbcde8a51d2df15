//! What the report says, in words and plots, whatever it is shown on.

use super::data::{Habit, NextStep, ReportData, ShareTable, ShownShare, WordsThenNow};
use super::passage::ReportPassage;
use super::plots::{self, per_cent};
use super::written;
use crate::say::many;
use crate::wording;
use soundbead_dsp::judgement::Verdict;

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

/// Most words of one list: what is left out is counted.
const LISTED: usize = 24;

/// The report's heading.
pub fn title(data: &ReportData) -> String {
    format!("{}: report", data.learner)
}

/// The days that it is about, and when it was made.
pub fn subtitle(data: &ReportData) -> String {
    let day = |d: jiff::civil::Date| d.strftime("%-d %B %Y").to_string();
    let days = match data.from == data.to {
        true => day(data.from),
        false => format!("{} to {}", day(data.from), day(data.to)),
    };
    let by = data.by.as_ref().map_or(String::new(), |by| format!(" by {by}"));
    format!("{days}. Made on {}{by}.", day(data.made))
}

/// Everything after the heading, in order.
pub fn blocks(data: &ReportData, widths: Widths) -> Vec<ReportPassage> {
    let written = data.writing.as_ref();
    let writing = written.map_or_else(Vec::new, |w| written::blocks(w, &data.learner, widths.page));
    if data.writing_alone {
        return writing;
    }
    let mut blocks = Vec::new();
    // Where nothing was said, what was written comes first, on a page without a page before it.
    if data.attempts == 0 && !writing.is_empty() {
        blocks.extend(writing);
        blocks.push(ReportPassage::NewPage);
        notes(&mut blocks, data);
    } else {
        spoken(&mut blocks, data, widths);
        if !writing.is_empty() {
            blocks.push(ReportPassage::NewPage);
            blocks.extend(writing);
            blocks.push(ReportPassage::NewPage);
        }
    }
    method(&mut blocks, data);
    care(&mut blocks);
    blocks
}

/// What was said and counted, and what people noted.
fn spoken(blocks: &mut Vec<ReportPassage>, data: &ReportData, widths: Widths) {
    in_short(blocks, data);
    if data.attempts > 0 {
        habits(blocks, data);
        standing(blocks, &data.standing);
        next(blocks, data);
        counts(blocks, data, widths);
        sounds(blocks, data, widths.whole);
        vowels(blocks, data, widths.whole);
    }
    ruled_apart(blocks, data);
    notes(blocks, data);
}

fn heading(blocks: &mut Vec<ReportPassage>, text: &str) {
    blocks.push(ReportPassage::Heading(text.to_owned()));
}

fn text(blocks: &mut Vec<ReportPassage>, text: impl Into<String>) {
    blocks.push(ReportPassage::Text(text.into()));
}

/// A share in a sentence: `162 of 200 (81 %; the true share probably lies between 75 % and 86 %)`.
fn in_words(share: ShownShare) -> String {
    format!(
        "{} of {} ({}; the true share probably lies between {} and {})",
        share.right,
        share.of,
        per_cent(share.right as f64 / share.of.max(1) as f64),
        per_cent(share.low),
        per_cent(share.high)
    )
}

fn in_short(blocks: &mut Vec<ReportPassage>, data: &ReportData) {
    heading(blocks, "In short");
    if data.attempts == 0 {
        return text(
            blocks,
            format!("{} said no words to the program in these days.", data.learner),
        );
    }
    let (said, lessons) = (many(data.attempts, "word"), many(data.sessions, "lesson"));
    let different = match data.words {
        n if n == data.attempts => String::new(),
        n => format!(", {n} of them different"),
    };
    text(blocks, format!("{} said {said} in {lessons}{different}.", data.learner));
    if !data.plans.is_empty() {
        let plans = data
            .plans
            .iter()
            .map(|(plan, days)| format!("{plan} ({})", many(*days, "lesson")));
        text(
            blocks,
            format!("Taught by the plans {}.", plans.collect::<Vec<_>>().join(", ")),
        );
    }
    if data.counted.of > 0 {
        text(
            blocks,
            format!(
                "The child counted the sounds that were said in {}.",
                in_words(data.counted)
            ),
        );
    }
    data.tried.iter().for_each(|line| text(blocks, line.clone()));
    verdicts(blocks, data);
}

fn verdicts(blocks: &mut Vec<ReportPassage>, data: &ReportData) {
    let v = data.verdicts;
    let heard = v.same + v.fewer + v.more + v.changed + v.unsure;
    if heard == 0 {
        return text(blocks, "No recording was judged by the program in these days.");
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
        .map(|(n, verdict)| format!("{} in {n}", wording::verdict(*verdict).full))
        .collect();
    let unsure = match v.unsure {
        0 => String::new(),
        n if parts.is_empty() => format!("was unsure in {n}"),
        n => format!("; in {n} it was unsure"),
    };
    let heard_what = if parts.is_empty() {
        String::new()
    } else {
        format!("heard {}", parts.join(", "))
    };
    let mut said = format!("Of {} the program {heard_what}{unsure}.", many(heard, "recording"));
    if v.ruled > 0 {
        said += &format!(
            " A person judged {}, and {} of them otherwise than the program had.",
            many(v.ruled, "word"),
            v.ruled_otherwise
        );
    }
    text(blocks, said);
}

fn habits(blocks: &mut Vec<ReportPassage>, data: &ReportData) {
    let (past, now): (Vec<&Habit>, Vec<&Habit>) = data.patterns.iter().partition(|p| p.past.is_some());
    let (sure, early): (Vec<&Habit>, Vec<&Habit>) = now.into_iter().partition(|p| p.enough);
    let mut shown: Vec<String> = sure.into_iter().map(pattern).collect();
    shown.extend(data.sounds.iter().flatten().map(|line| format!("{line}.")));
    heading(blocks, "What the counts show, in the last two months");
    match shown.is_empty() {
        true => text(
            blocks,
            "No miscount has one cause that can be named: what was missed is in words of all kinds, or there is too little yet.",
        ),
        false => blocks.push(ReportPassage::List(shown)),
    }
    for (title, habits) in [
        ("Earlier, and not now", past),
        ("To watch: too few words yet to say", early),
    ] {
        if !habits.is_empty() {
            heading(blocks, title);
            blocks.push(ReportPassage::List(habits.into_iter().map(pattern).collect()));
        }
    }
}

fn pattern(pattern: &Habit) -> String {
    let mut said = match &pattern.past {
        Some(past) => format!("{}: {past}", pattern.what),
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
    if !pattern.words.is_empty() {
        said += &format!("; for example {}", pattern.words.join(", "));
    }
    said + "."
}

/// Words in a line, so many that they can be read; the rest is counted.
fn listed(words: &[String]) -> String {
    let shown = words.iter().take(LISTED).cloned().collect::<Vec<_>>().join(", ");
    match words.len().saturating_sub(LISTED) {
        0 => shown,
        more => format!("{shown}, and {more} more"),
    }
}

fn standing(blocks: &mut Vec<ReportPassage>, standing: &WordsThenNow) {
    if standing.again > 0 {
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
    let groups = [
        ("Hold (right on the last three days)", &standing.holds),
        (
            "Fragile (right the last time, not yet three days in a row)",
            &standing.fragile,
        ),
        ("Not yet (missed the last time)", &standing.not_yet),
    ];
    if groups.iter().any(|(_, words)| !words.is_empty()) {
        heading(blocks, "What holds, and what is fragile");
        words(blocks, groups);
    }
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

fn next(blocks: &mut Vec<ReportPassage>, data: &ReportData) {
    if data.next.is_empty() {
        return;
    }
    heading(blocks, "What to practice next");
    for NextStep {
        what,
        why,
        words,
        chain,
    } in &data.next
    {
        text(blocks, format!("{what}. {why}."));
        let words = (!words.is_empty()).then(|| format!("Words, each with its count: {}.", words.join(", ")));
        let chain = (!chain.is_empty()).then(|| format!("A chain for it: {}.", chain.join(" → ")));
        blocks.push(ReportPassage::List(words.into_iter().chain(chain).collect()));
    }
}

fn counts(blocks: &mut Vec<ReportPassage>, data: &ReportData, widths: Widths) {
    // One point is no trend, and its share has been said already.
    if data.trend.iter().filter(|s| s.counted.of > 0).count() > 1 {
        heading(blocks, "Counting over time");
        blocks.push(ReportPassage::Charts {
            plots: vec![plots::trend(&data.trend, widths.whole)],
            caption: "How often the child counted the sounds that were said, with the range in which the true share probably \
                      lies. Hollow points stand on fewer than ten words: they say little."
                .into(),
        });
    }
    let tables: Vec<&ShareTable> = data
        .groups
        .iter()
        .filter(|g| g.rows.iter().any(|(_, s)| s.of > 0))
        .collect();
    if tables.is_empty() {
        return;
    }
    heading(blocks, "Counted right, by kind of word");
    let pairs: Vec<ReportPassage> = tables.chunks(2).map(|pair| bars(pair, widths)).collect();
    blocks.extend(pairs);
    text(blocks, low_rows(data));
}

/// One table or two side by side, with what is to be known of them.
fn bars(tables: &[&ShareTable], widths: Widths) -> ReportPassage {
    let width = if tables.len() == 1 { widths.whole } else { widths.half };
    let captions: Vec<&str> = tables
        .iter()
        .map(|t| t.caption.as_str())
        .filter(|c| !c.is_empty())
        .collect();
    ReportPassage::Charts {
        plots: tables
            .iter()
            .map(|t| plots::titled_bars(&t.title, &t.rows, width))
            .collect(),
        caption: captions.join(" "),
    }
}

/// Why a row may be low, and what was found beyond that.
fn low_rows(data: &ReportData) -> String {
    let looked = match &data.sounds {
        None => "Too few words were tried in the last two months to tell the reasons apart.",
        Some(out) if out.is_empty() => {
            "Length, spelling and clusters together were taken into account for the last two months: no sound stands out beyond them."
        }
        Some(_) => "What stands out beyond length, spelling and clusters is named above.",
    };
    format!("A row may be low for what else its words hold: short i for the sh and th in ship and thin. {looked}")
}

fn sounds(blocks: &mut Vec<ReportPassage>, data: &ReportData, width: f32) {
    let Some(plot) = plots::matrix(&data.heard, width) else {
        return;
    };
    heading(blocks, "Sounds heard against sounds expected");
    let caption = "Down: the sound that the word has. Across: what the recording seemed to have in its place; gone: it was left out. The \
         heavy frames are the word's own sounds. Only the sounds that strayed most are shown. The program mishears too: look \
         for what comes again and again, and listen to it before you believe it.";
    blocks.push(ReportPassage::Charts {
        plots: vec![plot],
        caption: caption.into(),
    });
}

fn vowels(blocks: &mut Vec<ReportPassage>, data: &ReportData, width: f32) {
    let Some(plot) = plots::vowels(data, width) else { return };
    heading(blocks, "Vowels");
    blocks.push(ReportPassage::Charts {
        plots: vec![plot],
        caption: format!(
            "Left: the tongue is forward; top: the mouth is nearly shut. Each ring holds about two of three {} measured by \
             Peterson and Barney (1952) and by Hillenbrand and others (1995), pooled. Other accents and smaller or larger heads have other places, and \
             formants of high voices are hard to measure: a place outside its ring is no fault.",
            match data.voice {
                soundbead_dsp::formant::VoiceKind::Child => "children",
                soundbead_dsp::formant::VoiceKind::Woman => "women",
                soundbead_dsp::formant::VoiceKind::Man => "men",
            }
        ),
    });
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

fn notes(blocks: &mut Vec<ReportPassage>, data: &ReportData) {
    if data.notes.is_empty() {
        return;
    }
    heading(blocks, "Notes");
    for note in &data.notes {
        blocks.push(ReportPassage::Note {
            about: format!("{}, {}, on {}", note.day.strftime("%-d %B %Y"), note.by, note.on),
            text: note.text.clone(),
        });
    }
}

fn method(blocks: &mut Vec<ReportPassage>, data: &ReportData) {
    heading(blocks, "How it was counted, and how far to trust it");
    text(blocks, wording::rules_in_full(&data.rules));
    text(
        blocks,
        "Two things are judged apart. Counting: the child's count against the sounds that were said, as a person or else \
         the program heard them, and where neither could tell, against the word's own. Saying: what was said against the \
         word.",
    );
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

fn care(blocks: &mut Vec<ReportPassage>) {
    heading(blocks, "Care");
    text(blocks, wording::CAUTION_REPORT);
    text(
        blocks,
        "It is a record about a child. Where you live there may be rules on recording a child and on who may keep and see such \
         records; learn them before you pass it on, and pass on no more than is needed.",
    );
}
