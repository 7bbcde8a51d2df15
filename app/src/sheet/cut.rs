//! Cards to cut apart: a grid that fills pages, with broken lines to cut along.

use super::lay::Composer;
use super::page::{Area, Colour, Pen, Point};

/// How cards lie on a page.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct CardGrid {
    /// Cards beside each other, at least one.
    pub across: usize,
    /// Height of a card in points.
    pub high: f32,
}

/// What is drawn on a card stays this far from its edges, in points: scissors are not exact.
const INSIDE: f32 = 5.0;

impl CardGrid {
    /// What stays free between the last line to cut along and the foot of the page, in points.
    pub const CLEAR: f32 = 10.0;

    /// Puts `count` cards on as many pages as they take. `draw` is given the number of each card, from 0, and its room. Cards that are
    /// left over in the last row stay empty, for words of one's own.
    pub fn lay(self, page: &mut Composer, count: usize, mut draw: impl FnMut(&mut Composer, usize, Area)) {
        let wide = page.width() / self.across as f32;
        let mut done = 0;
        while done < count {
            page.need(self.high);
            let fits = ((page.bottom() - page.y) / self.high).floor().max(1.0) as usize;
            let rows = (count - done).div_ceil(self.across).min(fits);
            let here = (count - done).min(rows * self.across);
            let whole = Area::new(page.left(), page.y, page.width(), rows as f32 * self.high);
            for at in 0..here {
                let (row, column) = ((at / self.across) as f32, (at % self.across) as f32);
                let card = Area::new(whole.x + column * wide, whole.y + row * self.high, wide, self.high);
                draw(page, done + at, card.shrunk(INSIDE));
            }
            self.lines(page, whole, rows);
            page.y = whole.bottom();
            done += here;
        }
    }

    fn lines(self, page: &mut Composer, whole: Area, rows: usize) {
        let pen = Pen::dashed(0.75, Colour::LINE);
        for row in 0..=rows {
            let y = whole.y + row as f32 * self.high;
            page.line(Point::new(whole.x, y), Point::new(whole.right(), y), pen);
        }
        for column in 0..=self.across {
            let x = whole.x + column as f32 * whole.w / self.across as f32;
            page.line(Point::new(x, whole.y), Point::new(x, whole.bottom()), pen);
        }
    }
}
