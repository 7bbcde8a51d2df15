//! The child's string on paper, to keep: a bead for each word, lesson by lesson, with the days. No counts right and no scores.

use jiff::civil::Date;

use super::font::{self, FontFace};
use super::lay::{Align, Composer, PageHead, Style, fit};
use super::page::{Area, Colour, PageItem, PathSegment, Pen, Point, Sheet};
use super::{SheetOptions, fewest};

/// What is on a string.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct BeadPage {
    /// Whose it is.
    pub learner: String,
    /// The words of each day, oldest first.
    pub days: Vec<(Date, Vec<String>)>,
    /// The day it is printed.
    pub made: Date,
}

/// From large beads, where there are few, to small ones.
const SCALES: [f32; 6] = [2.4, 2.0, 1.6, 1.35, 1.15, 1.0];
/// At scale 1, in points: letters on a bead, its height, from one row to the next, between two beads.
const LETTERS: f32 = 10.5;
const BEAD: f32 = 21.0;
const ROW: f32 = 32.0;
const BETWEEN: f32 = 5.0;
/// Pale enough for ink to be read on them, and for a printer without colors.
const COLOURS: [Colour; 5] = [
    Colour(0xfb, 0xe6, 0xb4),
    Colour(0xcd, 0xe7, 0xf2),
    Colour(0xda, 0xec, 0xc6),
    Colour(0xf7, 0xd8, 0xd2),
    Colour(0xe4, 0xdb, 0xf1),
];
const CORD: Pen = Pen::solid(1.3, Colour::GREY);

/// What hangs on the cord.
enum OnCord<'p> {
    Day(String),
    Bead(&'p str, Colour),
}

/// The page, or as many as the beads take.
///
/// # Errors
/// One line, where there is no bead yet.
pub fn sheet(page: &BeadPage, about: &SheetOptions) -> Result<Sheet, String> {
    let beads = page.days.iter().map(|(_, words)| words.len()).sum::<usize>();
    if beads == 0 {
        return Err(format!(
            "there is no bead on the string of {} yet; each word of a lesson puts one on",
            page.learner
        ));
    }
    Ok(fewest(&SCALES, |scale| drawn(page, about, scale)))
}

/// Days and beads in their order; the year stands where it begins.
fn hung(page: &BeadPage) -> Vec<OnCord<'_>> {
    let (mut all, mut year, mut colours) = (Vec::new(), None, COLOURS.iter().cycle());
    for (day, words) in &page.days {
        let form = if year == Some(day.year()) {
            "%-d %b"
        } else {
            "%-d %b %Y"
        };
        year = Some(day.year());
        all.push(OnCord::Day(day.strftime(form).to_string()));
        let colour = *colours.next().unwrap_or(&Colour::WHITE);
        all.extend(words.iter().map(|word| OnCord::Bead(word, colour)));
    }
    all
}

fn drawn(beads: &BeadPage, about: &SheetOptions, scale: f32) -> Sheet {
    let title = about.title_or(&format!("{}'s string", beads.learner));
    let mut page = Composer::new(about.paper, &title, &[]);
    page.start(PageHead {
        title,
        named: false,
        how: format!(
            "A bead for each word, lesson by lesson. Printed on {}.",
            beads.made.strftime("%-d %B %Y")
        ),
    });
    let row = ROW * scale;
    let (left, wide) = (page.left(), page.width());
    let style = Style::plain(LETTERS * scale);
    let mut cord = Cord {
        at: 0.0,
        room: Area::new(left, 0.0, wide, row),
        scale,
    };
    page.y += row * 0.2;
    cord.begin(&mut page);
    for thing in hung(beads) {
        let (text, style) = match &thing {
            OnCord::Day(day) => (day.as_str(), Style::quiet(8.5 * scale)),
            OnCord::Bead(word, _) => (*word, style),
        };
        let need = (font::width(FontFace::Regular, style.size, text) + 14.0 * scale).min(wide);
        if cord.at + need > wide {
            cord.turn(&mut page);
        }
        let area = cord.next(page.y, need);
        match thing {
            OnCord::Day(_) => day(&mut page, text, style, area),
            OnCord::Bead(_, colour) => bead(&mut page, text, style, colour, area),
        }
    }
    page.y += row;
    page.finish()
}

/// The cord in its present row.
struct Cord {
    /// How far along the row it is taken, in points.
    at: f32,
    /// Where rows lie, and how high they are.
    room: Area,
    scale: f32,
}

impl Cord {
    /// The cord of a row, straight across; what hangs on it is drawn over it.
    fn begin(&self, page: &mut Composer) {
        let y = page.y + self.room.h / 2.0;
        page.line(Point::new(self.room.x, y), Point::new(self.room.right(), y), CORD);
    }

    /// Goes on in the row below, on a new page where this one is full. Every row runs to the right, as one reads.
    fn turn(&mut self, page: &mut Composer) {
        page.y += self.room.h;
        page.need(self.room.h);
        self.at = 0.0;
        self.begin(page);
    }

    /// Room for the next thing, `wide` points of it.
    fn next(&mut self, y: f32, wide: f32) -> Area {
        let high = BEAD * self.scale;
        let x = self.room.x + self.at;
        self.at += wide + BETWEEN * self.scale;
        Area::new(x, y + (self.room.h - high) / 2.0, wide, high)
    }
}

/// A day, in a gap of the cord.
fn day(page: &mut Composer, text: &str, style: Style, area: Area) {
    page.push(PageItem::Box {
        area: Area::new(area.x, area.y + area.h * 0.2, area.w, area.h * 0.6),
        fill: Some(Colour::WHITE),
        pen: None,
    });
    page.push(fit(text, style, area.shrunk(1.0), Align::Centre));
}

fn bead(page: &mut Composer, text: &str, style: Style, colour: Colour, area: Area) {
    page.push(pill(area, colour));
    let inside = Area::new(area.x + 4.0, area.y + 1.0, area.w - 8.0, area.h - 2.0);
    page.push(fit(text, style, inside, Align::Centre));
}

/// A bead as long as its word: a rectangle with half circles at its ends.
fn pill(area: Area, fill: Colour) -> PageItem {
    let r = area.h / 2.0;
    // Control points of a quarter circle lie this part of the radius from its ends (4/3 of the tangent of 22.5 degrees).
    let k = r * 0.552_284_7;
    let (left, right, top, bottom) = (area.x + r, area.right() - r, area.y, area.bottom());
    let p = Point::new;
    let middle = area.y + r;
    let steps = vec![
        PathSegment::Move(p(left, top)),
        PathSegment::Line(p(right, top)),
        PathSegment::Curve(p(right + k, top), p(area.right(), middle - k), p(area.right(), middle)),
        PathSegment::Curve(p(area.right(), middle + k), p(right + k, bottom), p(right, bottom)),
        PathSegment::Line(p(left, bottom)),
        PathSegment::Curve(p(left - k, bottom), p(area.x, middle + k), p(area.x, middle)),
        PathSegment::Curve(p(area.x, middle - k), p(left - k, top), p(left, top)),
        PathSegment::Close,
    ];
    PageItem::Path {
        steps,
        fill: Some(fill),
        pen: Some(Pen::solid(0.9, Colour::GREY)),
    }
}
