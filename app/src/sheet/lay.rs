//! Laying things out: text into the room there is for it, rows onto pages, a heading and a foot on each.

use super::font::{self, FontFace};
use super::page::{Area, Colour, Page, PageItem, Paper, Pen, Point, Sheet, Text};

/// Where text stands in its room.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Align {
    /// At the left edge.
    Left,
    /// In the middle.
    Centre,
    /// At the right edge.
    Right,
}

/// How text is written.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Style {
    /// Size in points.
    pub size: f32,
    /// Cut of the font.
    pub face: FontFace,
    /// Colour.
    pub colour: Colour,
}

impl Style {
    /// Regular, in ink.
    pub const fn plain(size: f32) -> Style {
        Style {
            size,
            face: FontFace::Regular,
            colour: Colour::INK,
        }
    }

    /// Bold, in ink.
    pub const fn bold(size: f32) -> Style {
        Style {
            size,
            face: FontFace::Bold,
            colour: Colour::INK,
        }
    }

    /// Regular, in grey.
    pub const fn quiet(size: f32) -> Style {
        Style {
            size,
            face: FontFace::Regular,
            colour: Colour::GREY,
        }
    }

    /// From one line to the next, in points.
    pub fn line(self) -> f32 {
        self.size * LINE
    }
}

/// Lines stand this many times the size apart: room for the tall and deep marks of the IPA.
const LINE: f32 = 1.4;

/// One line of `text` in the middle of the height of `room`, smaller than its style says when it would not fit.
///
/// Nothing is ever cut: a text too long for its room is set smaller, as far down as it takes.
pub fn fit(text: &str, style: Style, room: Area, align: Align) -> PageItem {
    let measured = |size: f32| font::ink(style.face, size, text);
    let mut size = style.size;
    let mut ink = measured(size);
    if let Some(wide) = ink.filter(|ink| ink.w > room.w) {
        size *= room.w / wide.w;
        ink = measured(size);
    }
    let baseline = |size: f32| room.y + room.h / 2.0 + size * font::capitals(style.face) / 2.0;
    // Deep or tall letters may still leave the room: go down in small steps.
    for _ in 0..40 {
        let Some(now) = ink else { break };
        let top = baseline(size) + now.y;
        if top >= room.y && top + now.h <= room.bottom() && now.w <= room.w {
            break;
        }
        size *= 0.94;
        ink = measured(size);
    }
    let ink = ink.unwrap_or_default();
    let x = match align {
        Align::Left => room.x - ink.x,
        Align::Centre => room.x + (room.w - ink.w) / 2.0 - ink.x,
        Align::Right => room.right() - ink.w - ink.x,
    };
    PageItem::Text(Text {
        at: Point::new(x, baseline(size)),
        size,
        face: style.face,
        colour: style.colour,
        text: text.to_owned(),
        room,
    })
}

/// `text` in lines no wider than `width`, broken at spaces, or inside a word that is wider than a line.
pub fn wrap(text: &str, style: Style, width: f32) -> Vec<String> {
    let wide = |text: &str| font::ink(style.face, style.size, text).map_or(0.0, |i| i.w);
    let mut lines: Vec<String> = Vec::new();
    let mut line = String::new();
    // A space that is not to be broken holds a figure and its sign together.
    let ends = |c: char| c.is_whitespace() && c != '\u{a0}';
    for word in text.split(ends).filter(|word| !word.is_empty()) {
        let longer = if line.is_empty() {
            word.to_owned()
        } else {
            format!("{line} {word}")
        };
        if wide(&longer) <= width {
            line = longer;
            continue;
        }
        if !line.is_empty() {
            lines.push(std::mem::take(&mut line));
        }
        let mut pieces = pieces(word, style, width);
        line = pieces.pop().unwrap_or_default().to_owned();
        lines.extend(pieces.into_iter().map(str::to_owned));
    }
    lines.push(line);
    lines
}

/// A word in pieces, each as long as a line takes, at least one letter. The word is measured once, however long it is:
/// measuring a line for each letter takes time that grows with their product. A piece whose last letter leans out of the
/// line is set a little smaller by [`fit`].
fn pieces(word: &str, style: Style, width: f32) -> Vec<&str> {
    let mut pieces = Vec::new();
    // Where the piece begins, and how far the pen had come there.
    let (mut begins, mut from, mut last) = (0, 0.0, 0.0);
    for (at, ends) in font::ends(style.face, style.size, word) {
        if ends - from > width && at > begins {
            pieces.push(&word[begins..at]);
            (begins, from) = (at, last);
        }
        last = ends;
    }
    pieces.push(&word[begins..]);
    pieces
}

/// What stands at the top of a page.
#[derive(Clone, Debug, Default)]
pub struct PageHead {
    /// What the page is.
    pub title: String,
    /// Whether there is room for the child's name and the date.
    pub named: bool,
    /// What to do with it; may be empty.
    pub how: String,
}

/// Fills pages from the top down.
pub struct Composer {
    paper: Paper,
    title: String,
    foot: Vec<String>,
    head: PageHead,
    pages: Vec<Page>,
    /// Where the next thing goes.
    pub y: f32,
}

const FOOT: Style = Style::quiet(7.5);
const PAGE_NUMBER: f32 = 60.0;

impl Composer {
    /// An empty sheet with these lines at the foot of every page.
    pub fn new(paper: Paper, title: impl Into<String>, foot: &[String]) -> Composer {
        // Room for the page number is kept free at the right.
        let width = paper.inside().w - PAGE_NUMBER;
        let foot = foot.iter().flat_map(|line| wrap(line, FOOT, width)).collect();
        Composer {
            paper,
            title: title.into(),
            foot,
            head: PageHead::default(),
            pages: Vec::new(),
            y: 0.0,
        }
    }

    /// The left edge of what may be drawn on.
    pub fn left(&self) -> f32 {
        self.paper.inside().x
    }

    /// How wide what may be drawn on is.
    pub fn width(&self) -> f32 {
        self.paper.inside().w
    }

    /// Where a page that goes on from another begins, below its heading.
    pub fn top(&self) -> f32 {
        self.paper.inside().y + 45.0
    }

    /// Where the foot begins: nothing else goes below.
    pub fn bottom(&self) -> f32 {
        self.paper.inside().bottom() - self.foot.len() as f32 * FOOT.line() - 8.0
    }

    /// How much of the page is taken, 0 to 1.
    pub fn full(&self) -> f32 {
        let top = self.paper.inside().y;
        (self.y - top) / (self.bottom() - top).max(1.0)
    }

    /// A new page with this heading.
    pub fn start(&mut self, head: PageHead) {
        self.head = head;
        self.next_page(false);
    }

    /// Begins a page, unless one has just begun.
    pub fn break_page(&mut self) {
        if self.y > self.top() + 1.0 {
            self.next_page(true);
        }
    }

    fn next_page(&mut self, again: bool) {
        self.pages.push(Page::default());
        let inside = self.paper.inside();
        self.y = inside.y;
        let head = self.head.clone();
        let fields = if head.named { inside.w * 0.46 } else { 0.0 };
        let title = if again {
            format!("{} (continued)", head.title)
        } else {
            head.title
        };
        let room = Area::new(inside.x, self.y, inside.w - fields - 8.0, 26.0);
        self.push(fit(&title, Style::bold(17.0), room, Align::Left));
        if head.named {
            self.fields(Area::new(inside.right() - fields, self.y, fields, 26.0));
        }
        self.y += 30.0;
        if !head.how.is_empty() && !again {
            self.paragraph(&head.how, Style::plain(10.5));
        }
        self.y += 3.0;
        self.rule(Pen::solid(0.75, Colour::LINE));
        self.y += 12.0;
    }

    /// Name and date, to be filled in by hand.
    fn fields(&mut self, room: Area) {
        let style = Style::quiet(9.5);
        for (label, x, w) in [
            ("Name", room.x, room.w * 0.6),
            ("Date", room.x + room.w * 0.63, room.w * 0.37),
        ] {
            let wide = font::width(style.face, style.size, label) + 4.0;
            self.push(fit(label, style, Area::new(x, room.y + 4.0, wide, 18.0), Align::Left));
            let y = room.y + 19.0;
            self.line(
                Point::new(x + wide, y),
                Point::new(x + w, y),
                Pen::solid(0.75, Colour::LINE),
            );
        }
    }

    /// Goes to a new page when there is no room for `height` more points on this one.
    pub fn need(&mut self, height: f32) {
        if self.pages.is_empty() || self.y + height > self.bottom() {
            self.next_page(!self.pages.is_empty());
        }
    }

    /// Draws a thing where it says.
    pub fn push(&mut self, item: PageItem) {
        if self.pages.is_empty() {
            self.pages.push(Page::default());
        }
        if let Some(page) = self.pages.last_mut() {
            page.items.push(item);
        }
    }

    /// A straight line.
    pub fn line(&mut self, from: Point, to: Point, pen: Pen) {
        self.push(PageItem::Line { from, to, pen });
    }

    /// A line to write on: `w` points long, from `x`, at the height `y`.
    pub fn write_on(&mut self, x: f32, y: f32, w: f32) {
        let pen = Pen::solid(0.75, Colour::LINE);
        self.line(Point::new(x, y), Point::new(x + w, y), pen);
    }

    /// A line across the page.
    pub fn rule(&mut self, pen: Pen) {
        let (left, y) = (self.left(), self.y);
        self.line(Point::new(left, y), Point::new(left + self.width(), y), pen);
    }

    /// Text across the page, in as many lines as it takes.
    pub fn paragraph(&mut self, text: &str, style: Style) {
        let (x, w) = (self.left(), self.width());
        self.paragraph_at(text, style, x, w);
    }

    /// Text in a column, in as many lines as it takes.
    pub fn paragraph_at(&mut self, text: &str, style: Style, x: f32, w: f32) {
        for line in wrap(text, style, w) {
            self.need(style.line());
            self.push(fit(&line, style, Area::new(x, self.y, w, style.line()), Align::Left));
            self.y += style.line();
        }
    }

    /// A label at the left and a text beside it, `indent` points in, in as many lines as it takes.
    pub fn labeled(&mut self, (label, as_label): (&str, Style), indent: f32, text: &str, style: Style) {
        self.need(style.line());
        let room = Area::new(self.left(), self.y, indent - 6.0, style.line());
        self.push(fit(label, as_label, room, Align::Left));
        let (x, w) = (self.left() + indent, self.width() - indent);
        self.paragraph_at(text, style, x, w);
    }

    /// A heading inside the page, kept with at least `follows` points of what comes after it.
    pub fn heading(&mut self, text: &str, follows: f32) {
        let style = Style::bold(12.5);
        self.need(style.line() + 10.0 + follows);
        self.y += 6.0;
        self.paragraph(text, style);
        self.y += 4.0;
    }

    /// The sheet, with its feet and page numbers.
    pub fn finish(mut self) -> Sheet {
        if self.pages.is_empty() {
            self.next_page(false);
        }
        let (inside, top, total) = (self.paper.inside(), self.bottom() + 8.0, self.pages.len());
        for (at, page) in self.pages.iter_mut().enumerate() {
            for (row, text) in self.foot.iter().enumerate() {
                let y = top + row as f32 * FOOT.line();
                let room = Area::new(inside.x, y, inside.w - PAGE_NUMBER, FOOT.line());
                page.items.push(fit(text, FOOT, room, Align::Left));
            }
            if total == 1 {
                continue;
            }
            let room = Area::new(
                inside.right() - PAGE_NUMBER,
                inside.bottom() - FOOT.line(),
                PAGE_NUMBER,
                FOOT.line(),
            );
            page.items
                .push(fit(&format!("{} of {total}", at + 1), FOOT, room, Align::Right));
        }
        Sheet {
            title: self.title,
            paper: self.paper,
            pages: self.pages,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The longest words are laid out in work that grows with their letters, not with the square.
    #[test]
    fn a_word_of_a_hundred_thousand_letters_is_measured_a_few_times() {
        let word = "abcdefghij".repeat(10_000);
        let (style, width) = (Style::plain(10.0), 400.0);
        let before = font::shaped();
        let lines = wrap(&word, style, width);
        let items = lines
            .iter()
            .map(|l| fit(l, style, Area::new(0.0, 0.0, width, style.line()), Align::Left));
        assert!(items.count() > 500);
        // Once to see that it does not fit, once for its pieces, once or twice for each line.
        let shaped = font::shaped() - before;
        assert!(shaped <= 5 * word.len(), "{shaped} letters shaped");
        assert_eq!(lines.concat(), word);
        let wide = |line: &String| font::width(style.face, style.size, line);
        assert!(lines.iter().all(|l| wide(l) <= width * 1.01));
        let full = lines.iter().rev().skip(1).all(|l| wide(l) > width * 0.95);
        assert!(full, "each line but the last is filled");
    }

    #[test]
    fn a_word_wider_than_a_line_goes_on_with_what_follows() {
        let lines = wrap(
            "so aaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaa and on",
            Style::plain(10.0),
            100.0,
        );
        assert_eq!(lines[0], "so");
        assert!(lines.last().unwrap().ends_with("and on"), "{lines:?}");
        assert_eq!(wrap("", Style::plain(10.0), 100.0), [""]);
        // Narrower than any letter: one in each line, and none lost.
        assert_eq!(wrap("pig", Style::plain(10.0), 0.5), ["p", "i", "g"]);
    }
}
