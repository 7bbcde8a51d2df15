//! What a page holds: a short list of drawing items, in points from the page's top left corner.
//!
//! Everything that is printed is made of these, and each backend ([`pdf`](super::pdf), [`svg`](super::svg),
//! [`paint`](super::paint)) draws the same ones: what the screen previews is what the printer gets.

use std::fmt;
use std::str::FromStr;

use super::font::{self, FontFace};
pub use super::place::{Area, Point};

/// Points in a millimetre: a point is 1/72 inch, an inch 25.4 mm.
pub const MM: f32 = 72.0 / 25.4;

/// Paper that can be printed on.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub enum Paper {
    /// 210 x 297 mm (ISO 216).
    A4,
    /// 8.5 x 11 inches (ANSI/ASME Y14.1 size A), which is what homes in the United States have.
    #[default]
    Letter,
    /// A4 on its side.
    A4Wide,
    /// US Letter on its side.
    LetterWide,
}

impl Paper {
    /// Every size, upright, with the word that names it on the command line.
    pub const ALL: [(Paper, &'static str); 2] = [(Paper::A4, "a4"), (Paper::Letter, "letter")];

    /// Width and height in points.
    pub fn size(self) -> (f32, f32) {
        match self {
            Paper::A4 => (210.0 * MM, 297.0 * MM),
            Paper::Letter => (612.0, 792.0),
            Paper::A4Wide => (297.0 * MM, 210.0 * MM),
            Paper::LetterWide => (792.0, 612.0),
        }
    }

    /// The same paper on its side.
    pub fn wide(self) -> Paper {
        match self {
            Paper::A4 | Paper::A4Wide => Paper::A4Wide,
            Paper::Letter | Paper::LetterWide => Paper::LetterWide,
        }
    }

    /// Where things may be drawn: the page without 16 mm on each side, which any home printer reaches.
    pub fn inside(self) -> Area {
        let ((width, height), margin) = (self.size(), 16.0 * MM);
        Area::new(margin, margin, width - 2.0 * margin, height - 2.0 * margin)
    }

    /// As people write it.
    pub fn name(self) -> &'static str {
        match self {
            Paper::A4 | Paper::A4Wide => "A4",
            Paper::Letter | Paper::LetterWide => "US Letter",
        }
    }
}

/// Writes the word that names it on the command line.
impl fmt::Display for Paper {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(match self {
            Paper::A4 | Paper::A4Wide => "a4",
            Paper::Letter | Paper::LetterWide => "letter",
        })
    }
}

impl FromStr for Paper {
    type Err = String;

    fn from_str(text: &str) -> Result<Self, String> {
        let wanted = text.to_ascii_lowercase();
        let found = Self::ALL.iter().find(|(_, name)| *name == wanted);
        found
            .map(|(paper, _)| *paper)
            .ok_or_else(|| format!("`{text}` is no paper that is known; use a4 or letter"))
    }
}

/// Red, green and blue, each 0 to 255.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Colour(pub u8, pub u8, pub u8);

impl Colour {
    /// For text and drawings.
    pub const INK: Colour = Colour(0x1c, 0x1c, 0x1c);
    /// For what is less important; dark enough to be read (7:1 on white by the formula of WCAG 2.2).
    pub const GREY: Colour = Colour(0x55, 0x55, 0x55);
    /// For lines to write on and frames.
    pub const LINE: Colour = Colour(0x8c, 0x8c, 0x8c);
    /// For a shade that stays a shade on a black-and-white printer.
    pub const SHADE: Colour = Colour(0xe2, 0xe2, 0xe2);
    /// Paper.
    pub const WHITE: Colour = Colour(0xff, 0xff, 0xff);
}

/// As in HTML and SVG: `#1c1c1c`.
impl fmt::Display for Colour {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "#{:02x}{:02x}{:02x}", self.0, self.1, self.2)
    }
}

/// How a line is drawn.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Pen {
    /// Width in points.
    pub width: f32,
    /// Colour.
    pub colour: Colour,
    /// Points drawn and points left out, in turn; an unbroken line when none.
    pub dash: Option<[f32; 2]>,
}

impl Pen {
    /// An unbroken line.
    pub const fn solid(width: f32, colour: Colour) -> Pen {
        Pen {
            width,
            colour,
            dash: None,
        }
    }

    /// A broken line.
    pub const fn dashed(width: f32, colour: Colour) -> Pen {
        Pen {
            width,
            colour,
            dash: Some([3.0, 2.5]),
        }
    }
}

/// A row of letters on one line.
#[derive(Clone, Debug, PartialEq)]
pub struct Text {
    /// Where the first letter stands on the line it is written on.
    pub at: Point,
    /// Points from one line to the next if it were set solid: the size of the letters.
    pub size: f32,
    /// Which cut of the font.
    pub face: FontFace,
    /// Colour.
    pub colour: Colour,
    /// The letters.
    pub text: String,
    /// The room that it was given; its ink stays inside.
    pub room: Area,
}

/// A stretch of a path.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum PathSegment {
    /// Begin here.
    Move(Point),
    /// A straight line to here.
    Line(Point),
    /// A cubic Bezier curve: two control points, and where it ends.
    Curve(Point, Point, Point),
    /// Back to where the stretch began.
    Close,
}

impl PathSegment {
    /// The stretch with `change` made to each of its points.
    fn each(self, change: impl Fn(Point) -> Point) -> PathSegment {
        match self {
            PathSegment::Move(p) => PathSegment::Move(change(p)),
            PathSegment::Line(p) => PathSegment::Line(change(p)),
            PathSegment::Curve(a, b, c) => PathSegment::Curve(change(a), change(b), change(c)),
            PathSegment::Close => PathSegment::Close,
        }
    }

    /// The points in it; a curve lies inside the hull of its own.
    fn points(self) -> impl Iterator<Item = Point> {
        let points = match self {
            PathSegment::Move(p) | PathSegment::Line(p) => [Some(p), None, None],
            PathSegment::Curve(a, b, c) => [Some(a), Some(b), Some(c)],
            PathSegment::Close => [None; 3],
        };
        points.into_iter().flatten()
    }
}

/// One thing drawn on a page.
#[derive(Clone, Debug, PartialEq)]
pub enum PageItem {
    /// Letters.
    Text(Text),
    /// A straight line.
    Line {
        /// One end.
        from: Point,
        /// The other.
        to: Point,
        /// How it is drawn.
        pen: Pen,
    },
    /// A rectangle.
    Box {
        /// Where.
        area: Area,
        /// Inside; not filled when none.
        fill: Option<Colour>,
        /// Its edge; none when none.
        pen: Option<Pen>,
    },
    /// Anything else.
    Path {
        /// Its stretches, the first of them a [`PathSegment::Move`].
        steps: Vec<PathSegment>,
        /// Inside; not filled when none.
        fill: Option<Colour>,
        /// Its edge; none when none.
        pen: Option<Pen>,
    },
}

/// Control points of a quarter circle lie this part of the radius from its ends (4/3 of the tangent of 22.5 degrees).
const QUARTER: f32 = 0.552_284_7;

impl PageItem {
    /// An ellipse.
    pub fn ellipse(middle: Point, rx: f32, ry: f32, fill: Option<Colour>, pen: Option<Pen>) -> PageItem {
        let at = |x: f32, y: f32| Point::new(middle.x + x * rx, middle.y + y * ry);
        let curve =
            |a: (f32, f32), b: (f32, f32), c: (f32, f32)| PathSegment::Curve(at(a.0, a.1), at(b.0, b.1), at(c.0, c.1));
        let k = QUARTER;
        let steps = vec![
            PathSegment::Move(at(1.0, 0.0)),
            curve((1.0, k), (k, 1.0), (0.0, 1.0)),
            curve((-k, 1.0), (-1.0, k), (-1.0, 0.0)),
            curve((-1.0, -k), (-k, -1.0), (0.0, -1.0)),
            curve((k, -1.0), (1.0, -k), (1.0, 0.0)),
            PathSegment::Close,
        ];
        PageItem::Path { steps, fill, pen }
    }

    /// A round dot.
    pub fn dot(middle: Point, radius: f32, fill: Option<Colour>, pen: Option<Pen>) -> PageItem {
        PageItem::ellipse(middle, radius, radius, fill, pen)
    }

    /// A line through `points`, closed to a polygon when it is filled or `closed`.
    pub fn points(
        points: impl IntoIterator<Item = Point>,
        closed: bool,
        fill: Option<Colour>,
        pen: Option<Pen>,
    ) -> PageItem {
        let mut steps: Vec<PathSegment> = Vec::new();
        for p in points {
            steps.push(if steps.is_empty() {
                PathSegment::Move(p)
            } else {
                PathSegment::Line(p)
            });
        }
        if closed || fill.is_some() {
            steps.push(PathSegment::Close);
        }
        PageItem::Path { steps, fill, pen }
    }

    /// The same thing `dx` points further right and `dy` further down.
    pub fn moved(&self, dx: f32, dy: f32) -> PageItem {
        let point = |p: Point| Point::new(p.x + dx, p.y + dy);
        let area = |a: Area| Area::new(a.x + dx, a.y + dy, a.w, a.h);
        match self {
            PageItem::Text(text) => PageItem::Text(Text {
                at: point(text.at),
                room: area(text.room),
                ..text.clone()
            }),
            PageItem::Line { from, to, pen } => PageItem::Line {
                from: point(*from),
                to: point(*to),
                pen: *pen,
            },
            PageItem::Box { area: at, fill, pen } => PageItem::Box {
                area: area(*at),
                fill: *fill,
                pen: *pen,
            },
            PageItem::Path { steps, fill, pen } => PageItem::Path {
                steps: steps.iter().map(|s| s.each(point)).collect(),
                fill: *fill,
                pen: *pen,
            },
        }
    }

    /// The smallest rectangle known to hold what is drawn, the width of lines with it; nothing where nothing is drawn.
    pub fn bounds(&self) -> Option<Area> {
        let (area, pen) = match self {
            PageItem::Text(text) => {
                let ink = font::ink(text.face, text.size, &text.text)?;
                (Area::new(text.at.x + ink.x, text.at.y + ink.y, ink.w, ink.h), None)
            }
            PageItem::Line { from, to, pen } => (Area::around([*from, *to])?, Some(*pen)),
            PageItem::Box { area, pen, .. } => (*area, *pen),
            PageItem::Path { steps, pen, .. } => (Area::around(steps.iter().flat_map(|s| s.points()))?, *pen),
        };
        let edge = pen.map_or(0.0, |p| p.width / 2.0);
        Some(Area::new(
            area.x - edge,
            area.y - edge,
            area.w + 2.0 * edge,
            area.h + 2.0 * edge,
        ))
    }
}

/// One side of paper.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Page {
    /// What is drawn, the first at the bottom.
    pub items: Vec<PageItem>,
}

/// What is printed together.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Sheet {
    /// What it is called, in the file's own data and in the window's preview.
    pub title: String,
    /// The paper of every page.
    pub paper: Paper,
    /// The pages, at least one.
    pub pages: Vec<Page>,
}

impl Sheet {
    /// The pages of all of `sheets`, which have the same paper, under the title of the first; nothing for none.
    pub fn joined(sheets: impl IntoIterator<Item = Sheet>) -> Option<Sheet> {
        let mut sheets = sheets.into_iter();
        let mut all = sheets.next()?;
        all.pages.extend(sheets.flat_map(|sheet| sheet.pages));
        Some(all)
    }

    /// Each text of the page in the order in which it was written, for those who cannot see the page.
    pub fn words(&self, page: usize) -> impl Iterator<Item = &str> {
        let items = self.pages.get(page).map_or(&[][..], |p| &p.items[..]);
        items.iter().filter_map(|item| match item {
            PageItem::Text(text) => Some(text.text.as_str()),
            _ => None,
        })
    }

    /// The letters that the font does not have, each once; they are printed as empty boxes.
    pub fn unprintable(&self) -> Vec<char> {
        let mut missing: Vec<char> = Vec::new();
        let texts = self
            .pages
            .iter()
            .flat_map(|page| &page.items)
            .filter_map(|item| match item {
                PageItem::Text(text) => Some(text),
                _ => None,
            });
        for text in texts {
            let lost = text
                .text
                .chars()
                .filter(|c| !font::covers(text.face, c.encode_utf8(&mut [0; 4])));
            missing.extend(lost);
        }
        missing.sort_unstable();
        missing.dedup();
        missing
    }

    /// What is to be said of letters that the font does not have; nothing when it has them all.
    pub fn unprintable_note(&self) -> Option<String> {
        let missing = self.unprintable();
        let shown: Vec<String> = missing.iter().take(8).map(char::to_string).collect();
        let more = if missing.len() > shown.len() { " and others" } else { "" };
        (!missing.is_empty()).then(|| {
            format!(
                "The printed type has no {}{more}; empty boxes stand there.",
                shown.join(" ")
            )
        })
    }

    /// What lies outside the margins (a frame may stand on them, half its line outside), or outside the room that it was given, one line each; nothing when all is well.
    pub fn overruns(&self) -> Vec<String> {
        let inside = self.paper.inside();
        let outermost = inside.shrunk(-1.0);
        let mut found = Vec::new();
        for (number, page) in self.pages.iter().enumerate() {
            for item in &page.items {
                let Some(bounds) = item.bounds() else { continue };
                let within = match item {
                    PageItem::Text(text) => inside.holds(bounds) && text.room.holds(bounds),
                    _ => outermost.holds(bounds),
                };
                if !within {
                    found.push(format!("page {}: {item:?} covers {bounds:?}", number + 1));
                }
            }
        }
        found
    }
}
