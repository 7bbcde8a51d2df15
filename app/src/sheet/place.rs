//! Places and rectangles on a page, in points of 1/72 inch; down is positive.

/// A place on the page.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Point {
    /// Points from the left edge.
    pub x: f32,
    /// Points from the top edge.
    pub y: f32,
}

impl Point {
    /// The place at `x` from the left and `y` from the top.
    pub const fn new(x: f32, y: f32) -> Point {
        Point { x, y }
    }
}

/// A rectangle on the page.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Area {
    /// Left edge.
    pub x: f32,
    /// Top edge.
    pub y: f32,
    /// Width, not negative.
    pub w: f32,
    /// Height, not negative.
    pub h: f32,
}

impl Area {
    /// The rectangle with this top left corner and these sides.
    pub const fn new(x: f32, y: f32, w: f32, h: f32) -> Area {
        Area { x, y, w, h }
    }

    /// The right edge.
    pub fn right(self) -> f32 {
        self.x + self.w
    }

    /// The bottom edge.
    pub fn bottom(self) -> f32 {
        self.y + self.h
    }

    /// The middle.
    pub fn middle(self) -> Point {
        Point::new(self.x + self.w / 2.0, self.y + self.h / 2.0)
    }

    /// The rectangle without `by` on each side.
    pub fn shrunk(self, by: f32) -> Area {
        Area::new(
            self.x + by,
            self.y + by,
            (self.w - 2.0 * by).max(0.0),
            (self.h - 2.0 * by).max(0.0),
        )
    }

    /// Whether `other` lies inside, give or take a twentieth of a point.
    pub fn holds(self, other: Area) -> bool {
        const NEAR: f32 = 0.05;
        other.x >= self.x - NEAR
            && other.y >= self.y - NEAR
            && other.right() <= self.right() + NEAR
            && other.bottom() <= self.bottom() + NEAR
    }

    /// The smallest rectangle around all of `points`; nothing for no points.
    pub fn around(points: impl IntoIterator<Item = Point>) -> Option<Area> {
        let mut points = points.into_iter();
        let first = points.next()?;
        let (mut low, mut high) = (first, first);
        for p in points {
            low = Point::new(low.x.min(p.x), low.y.min(p.y));
            high = Point::new(high.x.max(p.x), high.y.max(p.y));
        }
        Some(Area::new(low.x, low.y, high.x - low.x, high.y - low.y))
    }
}
