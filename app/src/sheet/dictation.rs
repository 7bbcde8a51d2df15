//! A dictation: numbered lines for the child, and what to read out on pages of its own.

use super::boxes::{NUMBER, key};
use super::lay::{Align, Composer, PageHead, Style, fit};
use super::page::{Area, Point, Sheet};
use super::words::SheetWord;
use super::{SheetOptions, guessed};

/// From one line to the next: room for the handwriting of a child of eight.
const LINE: f32 = 34.0;

/// The sheet for the child and, where it is wanted, what to read out.
pub fn sheet(words: &[SheetWord], sentences: &[String], about: &SheetOptions) -> Sheet {
    let foot: Vec<String> = guessed(words).into_iter().collect();
    let mut page = Composer::new(about.paper, about.title_or("Dictation"), &foot);
    page.start(PageHead {
        title: about.title_or("Dictation"),
        named: true,
        how: "Listen, say it back, push a counter for each sound, then write.".into(),
    });
    word_lines(&mut page, words.len(), 2, LINE);
    if !sentences.is_empty() {
        if !words.is_empty() {
            page.heading("Sentences", LINE * 2.0);
        }
        sentence_lines(&mut page, sentences.len(), LINE);
    }
    if about.key {
        read_out(&mut page, words, sentences, about);
    }
    page.finish()
}

/// Numbered lines in columns that are filled downwards, `across` of them, `line` points apart.
pub(super) fn word_lines(page: &mut Composer, count: usize, across: usize, line: f32) {
    let mut done = 0;
    while done < count {
        page.need(line);
        let fits = ((page.bottom() - page.y) / line).floor().max(1.0) as usize;
        let rows = (count - done).div_ceil(across).min(fits);
        let (left, top, gap) = (page.left(), page.y, 22.0);
        let wide = (page.width() - gap * (across as f32 - 1.0)) / across as f32;
        for at in 0..(count - done).min(rows * across) {
            let (row, column) = (at % rows, at / rows);
            let place = Point::new(left + column as f32 * (wide + gap), top + row as f32 * line);
            write_line(page, Some(done + at + 1), Area::new(place.x, place.y, wide, line));
        }
        done += across * rows;
        page.y = top + rows as f32 * line + 6.0;
    }
}

/// Two lines for each sentence, which stay together.
pub(super) fn sentence_lines(page: &mut Composer, count: usize, line: f32) {
    for at in 1..=count {
        page.need(line * 2.0);
        let first = Area::new(page.left(), page.y, page.width(), line);
        write_line(page, Some(at), first);
        write_line(
            page,
            None,
            Area {
                y: first.bottom(),
                ..first
            },
        );
        page.y += line * 2.15;
    }
}

/// A line at the foot of `room`, behind its number.
fn write_line(page: &mut Composer, number: Option<usize>, room: Area) {
    if let Some(number) = number {
        let at = Area::new(room.x, room.y + room.h - 26.0, NUMBER - 6.0, 20.0);
        page.push(fit(&format!("{number}."), Style::quiet(11.0), at, Align::Left));
    }
    page.write_on(room.x + NUMBER, room.bottom() - 8.0, room.w - NUMBER);
}

fn read_out(page: &mut Composer, words: &[SheetWord], sentences: &[String], about: &SheetOptions) {
    let title = format!("{}: to read out", about.title_or("Dictation"));
    if words.is_empty() {
        page.start(PageHead {
            title,
            named: false,
            how: "For the grown-up. Read each sentence twice, at an easy pace.".into(),
        });
    } else {
        key(page, words, &title);
    }
    if !sentences.is_empty() && !words.is_empty() {
        page.heading("Sentences", 30.0);
    }
    numbered(page, sentences, 12.0);
}

/// Sentences behind their numbers, in letters of this size.
pub(super) fn numbered(page: &mut Composer, sentences: &[String], size: f32) {
    for (at, sentence) in sentences.iter().enumerate() {
        let number = format!("{}.", at + 1);
        page.labeled((&number, Style::quiet(10.0)), NUMBER, sentence, Style::plain(size));
        page.y += 4.0;
    }
}
