//! A page as SVG (W3C, SVG 1.1 second edition and what SVG 2 kept of it).

use std::collections::BTreeMap;
use std::fmt::Write;

use rustybuzz::ttf_parser::OutlineBuilder;

use super::font::{self, FontFace};
use super::page::{Area, Colour, Page, PageItem, PathSegment, Pen, Point, Sheet, Text};

/// How letters are kept.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum SvgLetters {
    /// As drawn shapes, which look the same on every machine, each text with its words as a label.
    Drawn,
    /// As text in the reader's own fonts, squeezed or stretched to the width that it was laid out for.
    Live,
}

/// Page `at` (from 0) as a whole SVG file, sized in points; an empty picture when there is no such page.
pub fn page(sheet: &Sheet, at: usize, letters: SvgLetters) -> String {
    let (w, h) = sheet.paper.size();
    let title = match sheet.pages.len() {
        1 => sheet.title.clone(),
        total => format!("{}, page {} of {total}", sheet.title, at + 1),
    };
    let empty = Page::default();
    let items = &sheet.pages.get(at).unwrap_or(&empty).items;
    let whole = Area::new(0.0, 0.0, w, h);
    let mut out = String::from("<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n");
    out += &picture(items, whole, &title, letters, "pt");
    out
}

/// The items inside `view` as one `svg` element; `unit` is that of its width and height (`pt`, or empty for pixels).
pub fn picture(items: &[PageItem], view: Area, title: &str, letters: SvgLetters, unit: &str) -> String {
    let mut shapes = BTreeMap::new();
    let mut body = String::new();
    for item in items {
        draw(&mut body, item, letters, &mut shapes);
    }
    let (x, y, w, h) = (n(view.x), n(view.y), n(view.w), n(view.h));
    let mut out = format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" xmlns:xlink=\"http://www.w3.org/1999/xlink\" role=\"img\" \
         width=\"{w}{unit}\" height=\"{h}{unit}\" viewBox=\"{x} {y} {w} {h}\">\n<title>{}</title>\n",
        escape(title)
    );
    if !shapes.is_empty() {
        out += "<defs>\n";
        for (name, outline) in shapes {
            let _ = writeln!(out, "<path id=\"{name}\" d=\"{outline}\"/>");
        }
        out += "</defs>\n";
    }
    let _ = writeln!(
        out,
        "<rect x=\"{x}\" y=\"{y}\" width=\"{w}\" height=\"{h}\" fill=\"#ffffff\"/>"
    );
    out + &body + "</svg>\n"
}

/// The text with the signs that XML and HTML keep for themselves written out, and without those that XML forbids.
pub fn escape(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            '&' => out += "&amp;",
            '<' => out += "&lt;",
            '>' => out += "&gt;",
            '"' => out += "&quot;",
            '\'' => out += "&#39;",
            '\n' | '\t' => out.push(c),
            c if c.is_control() || matches!(c, '\u{fffe}' | '\u{ffff}') => out.push('\u{fffd}'),
            c => out.push(c),
        }
    }
    out
}

/// A length with two decimals and no more zeros than it needs.
fn n(value: f32) -> String {
    let text = format!("{value:.2}");
    let text = text.trim_end_matches('0').trim_end_matches('.');
    if text == "-0" { "0".into() } else { text.into() }
}

fn draw(out: &mut String, item: &PageItem, letters: SvgLetters, shapes: &mut BTreeMap<String, String>) {
    let done = match item {
        PageItem::Text(text) if letters == SvgLetters::Live => live(out, text),
        PageItem::Text(text) => drawn(out, text, shapes),
        PageItem::Line { from, to, pen } => writeln!(
            out,
            "<line x1=\"{}\" y1=\"{}\" x2=\"{}\" y2=\"{}\"{}/>",
            n(from.x),
            n(from.y),
            n(to.x),
            n(to.y),
            paint(None, Some(*pen))
        ),
        PageItem::Box { area, fill, pen } => writeln!(
            out,
            "<rect x=\"{}\" y=\"{}\" width=\"{}\" height=\"{}\"{}/>",
            n(area.x),
            n(area.y),
            n(area.w),
            n(area.h),
            paint(*fill, *pen)
        ),
        PageItem::Path { steps, fill, pen } => writeln!(out, "<path d=\"{}\"{}/>", path(steps), paint(*fill, *pen)),
    };
    // Writing into a string cannot fail.
    let _ = done;
}

fn paint(fill: Option<Colour>, pen: Option<Pen>) -> String {
    let mut out = match fill {
        Some(colour) => format!(" fill=\"{colour}\""),
        None => " fill=\"none\"".to_owned(),
    };
    if let Some(pen) = pen {
        let _ = write!(
            out,
            " stroke=\"{}\" stroke-width=\"{}\" stroke-linejoin=\"round\"",
            pen.colour,
            n(pen.width)
        );
        if let Some([on, off]) = pen.dash {
            let _ = write!(out, " stroke-dasharray=\"{} {}\"", n(on), n(off));
        }
    }
    out
}

fn path(steps: &[PathSegment]) -> String {
    let at = |p: Point| format!("{} {}", n(p.x), n(p.y));
    let mut out = String::new();
    for step in steps {
        match *step {
            PathSegment::Move(p) => out += &format!("M{}", at(p)),
            PathSegment::Line(p) => out += &format!("L{}", at(p)),
            PathSegment::Curve(a, b, c) => out += &format!("C{} {} {}", at(a), at(b), at(c)),
            PathSegment::Close => out.push('Z'),
        }
    }
    out
}

fn live(out: &mut String, text: &Text) -> std::fmt::Result {
    let weight = if text.face == FontFace::Bold {
        " font-weight=\"bold\""
    } else {
        ""
    };
    let wide = font::width(text.face, text.size, &text.text);
    writeln!(
        out,
        "<text x=\"{}\" y=\"{}\" font-family=\"Andika, sans-serif\" font-size=\"{}\"{weight} fill=\"{}\" \
         textLength=\"{}\" lengthAdjust=\"spacingAndGlyphs\">{}</text>",
        n(text.at.x),
        n(text.at.y),
        n(text.size),
        text.colour,
        n(wide),
        escape(&text.text)
    )
}

fn drawn(out: &mut String, text: &Text, shapes: &mut BTreeMap<String, String>) -> std::fmt::Result {
    let scale = text.size / font::units_per_em(text.face);
    writeln!(
        out,
        "<g role=\"img\" aria-label=\"{}\" fill=\"{}\">",
        escape(&text.text),
        text.colour
    )?;
    for glyph in font::shape(text.face, text.size, &text.text).0 {
        let name = format!("{}{}", if text.face == FontFace::Bold { "b" } else { "r" }, glyph.id);
        if !shapes.contains_key(&name) {
            let mut outline = Outline::default();
            font::outline(text.face, glyph.id, &mut outline);
            // A space has no outline, and nothing is to be drawn for it.
            if outline.0.is_empty() {
                continue;
            }
            shapes.insert(name.clone(), outline.0);
        }
        let (x, y) = (n(text.at.x + glyph.x), n(text.at.y + glyph.y));
        writeln!(
            out,
            "<use href=\"#{name}\" xlink:href=\"#{name}\" transform=\"translate({x} {y}) scale({scale:.5} -{scale:.5})\"/>"
        )?;
    }
    out.push_str("</g>\n");
    Ok(())
}

/// A shape of the font in SVG's words, in the font's units.
#[derive(Default)]
struct Outline(String);

impl OutlineBuilder for Outline {
    fn move_to(&mut self, x: f32, y: f32) {
        let _ = write!(self.0, "M{} {}", n(x), n(y));
    }

    fn line_to(&mut self, x: f32, y: f32) {
        let _ = write!(self.0, "L{} {}", n(x), n(y));
    }

    fn quad_to(&mut self, x1: f32, y1: f32, x: f32, y: f32) {
        let _ = write!(self.0, "Q{} {} {} {}", n(x1), n(y1), n(x), n(y));
    }

    fn curve_to(&mut self, x1: f32, y1: f32, x2: f32, y2: f32, x: f32, y: f32) {
        let _ = write!(self.0, "C{} {} {} {} {} {}", n(x1), n(y1), n(x2), n(y2), n(x), n(y));
    }

    fn close(&mut self) {
        self.0.push('Z');
    }
}
