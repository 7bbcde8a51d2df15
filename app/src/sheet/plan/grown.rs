//! The grown-up's page of a lesson: what is said, what is done, every answer.

use super::super::chain::key_rows;
use super::super::dictation::numbered;
use super::super::lay::{Align, Composer, PageHead, Style, fit};
use super::super::page::Area;
use super::super::sort::SortSheet;
use super::super::words::SheetWord;
use super::super::{Sheet, SheetOptions, fewest, foot};
use super::LessonPart;
use super::cues::cues;
use crate::plan::{Plan, PlanItem};
use crate::say::many;

/// Letters and gaps, from the largest on.
const SCALES: [f32; 4] = [1.0, 0.94, 0.88, 0.82];

/// Seconds that a word of a chain, a card, a word to write and a sentence take (common practice, no source): with six words, eight
/// cards, two words and two sentences twenty minutes.
const SECONDS: [usize; 4] = [100, 35, 30, 100];

/// The page, or as many as it takes.
pub fn sheet(plan: &Plan, parts: &[(&PlanItem, LessonPart)], about: &SheetOptions) -> Sheet {
    fewest(&SCALES, |scale| at(plan, parts, about, scale))
}

fn at(plan: &Plan, parts: &[(&PlanItem, LessonPart)], about: &SheetOptions, scale: f32) -> Sheet {
    let words: Vec<SheetWord> = parts.iter().flat_map(|(_, part)| part.words()).collect();
    let title = match plan.title.as_str() {
        "" => "Lesson plan",
        own => own,
    };
    let mut page = Composer::new(about.paper, title, &foot(about, &words));
    let day = match plan.day.as_str() {
        "" => String::new(),
        day => format!(" {day}."),
    };
    let all = parts.iter().map(|(_, part)| seconds(part)).sum();
    page.start(PageHead {
        title: title.to_owned(),
        named: false,
        how: format!(
            "For the grown-up.{day} {}. The child's page has none of these words but the cards: keep this one to yourself.",
            minutes(all, "About")
        ),
    });
    notes(&mut page, &plan.note, Style::plain(11.0 * scale));
    for (at, (item, part)) in parts.iter().enumerate() {
        let heading = format!("{}. {}, {}", at + 1, item.heading(), minutes(seconds(part), "about"));
        page.heading(&heading, 60.0);
        let away = match on_cards(part, parts) {
            true => "Put the cards away first: words to write stand on them. ",
            false => "",
        };
        page.paragraph(&format!("{away}{}", how(part)), Style::quiet(10.0 * scale));
        notes(&mut page, &item.note, Style::plain(10.5 * scale));
        page.y += 4.0;
        contents(&mut page, part, scale);
    }
    let cues = cues(parts);
    if !cues.is_empty() {
        page.heading("Cues", 40.0);
    }
    for (pair, cue) in cues {
        page.paragraph(&format!("{pair}: {cue}"), Style::plain(10.5 * scale));
        page.y += 3.0;
    }
    page.finish()
}

fn seconds(part: &LessonPart) -> usize {
    let [chained, card, word, sentence] = SECONDS;
    match part {
        LessonPart::Chain(steps) => steps.len() * chained,
        LessonPart::Boxes(words) => words.len() * chained / 2,
        LessonPart::Sort(sort) => sort.columns.iter().map(|c| c.words.len() * card).sum(),
        LessonPart::Dictation(words, sentences) => words.len() * word + sentences.len() * sentence,
    }
}

fn minutes(seconds: usize, about: &str) -> String {
    format!("{about} {}", many(seconds.div_ceil(60).max(1), "minute"))
}

/// What to do with it, in a line or two.
fn how(part: &LessonPart) -> &'static str {
    match part {
        LessonPart::Chain(_) => {
            "Say the word. The child says it back, pushes a counter for each sound, says which sound changed, then writes the word. \
             The box of the new sound is shaded."
        }
        LessonPart::Boxes(_) => {
            "Say the word. The child says it back, pushes a counter for each sound, then writes its letters."
        }
        LessonPart::Sort(_) => {
            "The child reads each card aloud, lays it under its heading, and says the rule in their own words."
        }
        LessonPart::Dictation(..) => {
            "Say each word; the child says it back and writes it. Read each sentence twice, at an easy pace."
        }
    }
}

/// Whether words of a dictation stand on the cards of the lesson, where the child could copy them.
fn on_cards(part: &LessonPart, parts: &[(&PlanItem, LessonPart)]) -> bool {
    let LessonPart::Dictation(words, _) = part else {
        return false;
    };
    let sorts = parts.iter().filter(|(_, other)| matches!(other, LessonPart::Sort(_)));
    let cards: Vec<SheetWord> = sorts.flat_map(|(_, sort)| sort.words()).collect();
    words.iter().any(|word| cards.iter().any(|card| card.word == word.word))
}

fn notes(page: &mut Composer, text: &str, style: Style) {
    for line in text.lines().filter(|l| !l.trim().is_empty()) {
        page.paragraph(line, style);
    }
}

fn contents(page: &mut Composer, part: &LessonPart, scale: f32) {
    match part {
        LessonPart::Chain(steps) => key_rows(page, steps, scale),
        LessonPart::Boxes(words) => spelled(page, words),
        LessonPart::Sort(sort) => columns(page, sort, scale),
        LessonPart::Dictation(words, sentences) => {
            spelled(page, words);
            numbered(page, sentences, 12.0 * scale);
        }
    }
}

/// Words in three columns, each with the letters of its sounds and their number.
fn spelled(page: &mut Composer, words: &[SheetWord]) {
    const ACROSS: usize = 3;
    let wide = page.width() / ACROSS as f32;
    let style = Style::bold(12.0);
    for row in words.chunks(ACROSS) {
        page.need(style.line());
        for (at, word) in row.iter().enumerate() {
            let room = Area::new(page.left() + at as f32 * wide, page.y, wide * 0.44, style.line());
            page.push(fit(&word.word, style, room, Align::Left));
            let beside = Area::new(room.right() + 4.0, page.y, wide * 0.56 - 12.0, style.line());
            page.push(fit(&letters(word), Style::quiet(10.5), beside, Align::Left));
        }
        page.y += style.line() + 2.0;
    }
    page.y += 4.0;
}

/// `d·u·ck, 3 sounds`.
fn letters(word: &SheetWord) -> String {
    let cells: Vec<&str> = word.cells.iter().map(|c| c.letters.as_str()).collect();
    let count = many(word.units.len(), "sound");
    match cells.iter().all(|letters| !letters.is_empty()) {
        true => format!("{}, {count}", cells.join("·")),
        false => format!("{}, {count}", word.plain),
    }
}

/// The words of a sort under their headings, in running text.
fn columns(page: &mut Composer, sort: &SortSheet, scale: f32) {
    for column in &sort.columns {
        let words: Vec<&str> = column.words.iter().map(|w| w.word.as_str()).collect();
        let heading = (column.heading.as_str(), Style::bold(11.0));
        page.labeled(heading, 84.0, &words.join(", "), Style::plain(11.5 * scale));
    }
}
