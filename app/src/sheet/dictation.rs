//! A dictation: numbered lines for the child, and what to read out on pages of its own.

use super::boxes::{NUMBER, key};
use super::lay::{Align, Composer, PageHead, Style, fit};
use super::page::{Area, Colour, Pen, Point, Sheet};
use super::words::SheetWord;
use super::{SheetOptions, foot};

/// From one line to the next: room for the handwriting of a child of eight.
const LINE: f32 = 34.0;

/// The sheet for the child and, where it is wanted, what to read out.
pub fn sheet(words: &[SheetWord], sentences: &[String], about: &SheetOptions) -> Sheet {
    let mut page = Composer::new(about.paper, about.title_or("Dictation"), &foot(about, words));
    page.start(PageHead {
        title: about.title_or("Dictation"),
        named: true,
        how: "Listen, say it back, tap its sounds, then write.".into(),
    });
    word_lines(&mut page, words.len());
    if !sentences.is_empty() {
        if !words.is_empty() {
            page.heading("Sentences", LINE * 2.0);
        }
        for at in 1..=sentences.len() {
            page.need(LINE * 2.0);
            let (left, wide) = (page.left(), page.width());
            write_line(&mut page, Some(at), left, wide);
            page.y += LINE;
            write_line(&mut page, None, left, wide);
            page.y += LINE * 1.2;
        }
    }
    if about.key {
        read_out(&mut page, words, sentences, about);
    }
    page.finish()
}

/// Two columns of numbered lines, filled downwards.
fn word_lines(page: &mut Composer, count: usize) {
    let mut done = 0;
    while done < count {
        page.need(LINE);
        let fits = ((page.bottom() - page.y) / LINE).floor().max(1.0) as usize;
        let rows = (count - done).div_ceil(2).min(fits);
        let (left, top, gap) = (page.left(), page.y, 28.0);
        let wide = (page.width() - gap) / 2.0;
        for row in 0..rows {
            page.y = top + row as f32 * LINE;
            for column in 0..2 {
                let at = done + column * rows + row;
                if at < count {
                    write_line(page, Some(at + 1), left + column as f32 * (wide + gap), wide);
                }
            }
        }
        done += 2 * rows;
        page.y = top + rows as f32 * LINE + 6.0;
    }
}

fn write_line(page: &mut Composer, number: Option<usize>, x: f32, wide: f32) {
    let y = page.y + LINE - 8.0;
    if let Some(number) = number {
        let room = Area::new(x, page.y + 8.0, NUMBER - 6.0, LINE - 14.0);
        page.push(fit(&format!("{number}."), Style::quiet(11.0), room, Align::Left));
    }
    let pen = Pen::solid(0.75, Colour::LINE);
    page.line(Point::new(x + NUMBER, y), Point::new(x + wide, y), pen);
}

fn read_out(page: &mut Composer, words: &[SheetWord], sentences: &[String], about: &SheetOptions) {
    let title = format!("{}: to read out", about.title_or("Dictation"));
    if words.is_empty() {
        page.start(PageHead {
            title,
            named: false,
            how: "For the parent. Read each sentence twice, at an easy pace.".into(),
        });
    } else {
        key(page, words, &title);
    }
    if !sentences.is_empty() && !words.is_empty() {
        page.heading("Sentences", 30.0);
    }
    for (at, sentence) in sentences.iter().enumerate() {
        let style = Style::plain(12.0);
        page.need(style.line());
        let room = Area::new(page.left(), page.y, NUMBER - 6.0, style.line());
        page.push(fit(&format!("{}.", at + 1), Style::quiet(10.0), room, Align::Left));
        let (x, w) = (page.left() + NUMBER, page.width() - NUMBER);
        page.paragraph_at(sentence, style, x, w);
        page.y += 5.0;
    }
}
