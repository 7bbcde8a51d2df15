//! A page on the screen: the items that are printed, drawn by the window's own painter.

use egui::{Color32, FontFamily, FontId, Mesh, Painter, Pos2, Rect, Shape, Stroke, StrokeKind};

use super::font::{self, FontFace};
use super::page::{Colour, Page, PageItem, Paper, PathSegment, Pen, Point, Text};

/// Draws `page` of `paper` into `to`, white paper and all; `to` should have the paper's proportions.
pub fn draw(painter: &Painter, page: &Page, paper: Paper, to: Rect) {
    let (width, _) = paper.size();
    let scale = to.width() / width;
    painter.rect_filled(to, 0.0, Color32::WHITE);
    draw_items(painter, &page.items, to.min, scale);
}

/// Draws items with the page's corner at `corner`, `scale` window points to a point of paper.
pub fn draw_items(painter: &Painter, items: &[PageItem], corner: Pos2, scale: f32) {
    let brush = Brush {
        painter,
        corner,
        scale,
        bold: bold(painter),
    };
    items.iter().for_each(|item| brush.item(item));
}

/// The window's bold type, or the ordinary one where none is set up: asking for a family that is not there would panic.
fn bold(painter: &Painter) -> FontFamily {
    let wanted = FontFamily::Name("bold".into());
    let known = painter.ctx().fonts(|fonts| fonts.families().contains(&wanted));
    if known { wanted } else { FontFamily::Proportional }
}

struct Brush<'a> {
    painter: &'a Painter,
    corner: Pos2,
    scale: f32,
    bold: FontFamily,
}

fn colour(c: Colour) -> Color32 {
    Color32::from_rgb(c.0, c.1, c.2)
}

impl Brush<'_> {
    fn at(&self, p: Point) -> Pos2 {
        self.corner + egui::vec2(p.x, p.y) * self.scale
    }

    fn stroke(&self, pen: Option<Pen>) -> Stroke {
        pen.map_or(Stroke::NONE, |p| Stroke::new(p.width * self.scale, colour(p.colour)))
    }

    fn item(&self, item: &PageItem) {
        match item {
            PageItem::Text(text) => self.text(text),
            PageItem::Line { from, to, pen } => self.line(&[self.at(*from), self.at(*to)], *pen),
            PageItem::Box { area, fill, pen } => {
                let rect = Rect::from_min_size(
                    self.at(Point::new(area.x, area.y)),
                    egui::vec2(area.w, area.h) * self.scale,
                );
                let inside = fill.map_or(Color32::TRANSPARENT, colour);
                self.painter
                    .rect(rect, 0.0, inside, self.stroke(*pen), StrokeKind::Middle);
            }
            PageItem::Path { steps, fill, pen } => self.path(steps, *fill, *pen),
        }
    }

    fn line(&self, points: &[Pos2], pen: Pen) {
        let stroke = self.stroke(Some(pen));
        match pen.dash {
            Some([on, off]) => {
                let shapes = Shape::dashed_line(points, stroke, on * self.scale, off * self.scale);
                self.painter.extend(shapes);
            }
            None => {
                self.painter.line(points.to_vec(), stroke);
            }
        }
    }

    fn path(&self, steps: &[PathSegment], fill: Option<Colour>, pen: Option<Pen>) {
        for (points, closed) in flattened(steps) {
            let points: Vec<Pos2> = points.into_iter().map(|p| self.at(p)).collect();
            if let Some(fill) = fill.filter(|_| points.len() > 2) {
                // One mesh, for triangles drawn one by one would show their seams.
                let mut mesh = Mesh::default();
                for triangle in triangles(&points) {
                    let first = mesh.vertices.len() as u32;
                    triangle.iter().for_each(|&p| mesh.colored_vertex(p, colour(fill)));
                    mesh.add_triangle(first, first + 1, first + 2);
                }
                self.painter.add(mesh);
            }
            if let Some(pen) = pen {
                let mut points = points;
                if let Some(first) = points.first().copied().filter(|_| closed) {
                    points.push(first);
                }
                self.line(&points, pen);
            }
        }
    }

    /// The run is laid out by the window's own type setter, then brought to the width that it was measured at.
    fn text(&self, text: &Text) {
        let family = match text.face {
            FontFace::Regular => FontFamily::Proportional,
            FontFace::Bold => self.bold.clone(),
        };
        let id = FontId::new(text.size * self.scale, family);
        let galley = self.painter.layout_no_wrap(text.text.clone(), id, colour(text.colour));
        let first = galley
            .rows
            .first()
            .and_then(|row| row.glyphs.first().map(|g| row.pos.y + g.pos.y));
        let baseline = first.unwrap_or(galley.size().y * 0.8);
        let wide = font::width(text.face, text.size, &text.text) * self.scale;
        // Hinting moves letters by parts of a pixel; what is left over is shared between both ends.
        let slack = (wide - galley.size().x) / 2.0;
        let at = self.at(text.at) + egui::vec2(slack, -baseline);
        self.painter.galley(at, galley, colour(text.colour));
    }
}

/// The stretches of a path as points, curves cut into short lines, and whether each is closed.
fn flattened(steps: &[PathSegment]) -> Vec<(Vec<Point>, bool)> {
    const PIECES: usize = 16;
    let mut out: Vec<(Vec<Point>, bool)> = Vec::new();
    for step in steps {
        match *step {
            PathSegment::Move(p) => out.push((vec![p], false)),
            PathSegment::Line(p) => {
                if let Some((points, _)) = out.last_mut() {
                    points.push(p);
                }
            }
            PathSegment::Curve(a, b, c) => {
                let Some((points, _)) = out.last_mut() else { continue };
                let Some(&from) = points.last() else { continue };
                points.extend((1..=PIECES).map(|i| on_curve(from, a, b, c, i as f32 / PIECES as f32)));
            }
            PathSegment::Close => {
                if let Some((_, closed)) = out.last_mut() {
                    *closed = true;
                }
            }
        }
    }
    out
}

/// The point of a cubic Bezier curve at `t`, 0 to 1.
fn on_curve(p: Point, a: Point, b: Point, c: Point, t: f32) -> Point {
    let s = 1.0 - t;
    let (w0, w1, w2, w3) = (s * s * s, 3.0 * s * s * t, 3.0 * s * t * t, t * t * t);
    Point::new(
        w0 * p.x + w1 * a.x + w2 * b.x + w3 * c.x,
        w0 * p.y + w1 * a.y + w2 * b.y + w3 * c.y,
    )
}

/// A simple polygon as triangles, by cutting off ears (Meisters 1975, *Polygons have ears*): the painter fills only shapes
/// without hollows.
fn triangles(points: &[Pos2]) -> Vec<[Pos2; 3]> {
    let mut left: Vec<Pos2> = points.to_vec();
    left.dedup();
    if left.len() > 1 && left.first() == left.last() {
        left.pop();
    }
    let area: f32 = (0..left.len())
        .map(|i| {
            let (a, b) = (left[i], left[(i + 1) % left.len()]);
            a.x * b.y - b.x * a.y
        })
        .sum();
    if area < 0.0 {
        left.reverse();
    }
    let mut out = Vec::new();
    while left.len() > 2 {
        let count = left.len();
        let corner = |i: usize| [left[(i + count - 1) % count], left[i], left[(i + 1) % count]];
        // A point between its neighbours adds nothing and would keep the others from being ears.
        if let Some(flat) = (0..count).find(|&i| turn(corner(i)).abs() < FLAT) {
            left.remove(flat);
            continue;
        }
        // A polygon that crosses itself has no ear at some point: what is left is filled as it comes.
        let ear = (0..count).find(|&i| is_ear(&left, corner(i))).unwrap_or(0);
        out.push(corner(ear));
        left.remove(ear);
    }
    out
}

/// Twice the area, in squared window points, under which three points are held to lie on one line.
const FLAT: f32 = 1e-4;

/// Twice the area of the triangle, positive when it turns as the polygon does.
fn turn([a, b, c]: [Pos2; 3]) -> f32 {
    (b.x - a.x) * (c.y - a.y) - (b.y - a.y) * (c.x - a.x)
}

/// Whether the triangle can be cut off: it bulges outwards and no other point lies inside it.
fn is_ear(points: &[Pos2], [a, b, c]: [Pos2; 3]) -> bool {
    let inside = |p: Pos2| turn([a, b, p]) > 0.0 && turn([b, c, p]) > 0.0 && turn([c, a, p]) > 0.0;
    turn([a, b, c]) > 0.0 && !points.iter().any(|&p| inside(p))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Twice the area by the shoelace formula (Meister 1769; a standard fact).
    fn area(points: &[Pos2]) -> f32 {
        let next = points.iter().cycle().skip(1);
        points
            .iter()
            .zip(next)
            .map(|(a, b)| a.x * b.y - b.x * a.y)
            .sum::<f32>()
            .abs()
    }

    /// The triangles of a polygon without crossings have together its area, and a polygon of n corners has n - 2 of them.
    #[test]
    fn triangles_fill_a_hollow_shape_and_no_more() {
        let comb = [
            (0., 0.),
            (6., 0.),
            (6., 3.),
            (4., 3.),
            (4., 1.),
            (2., 1.),
            (2., 3.),
            (0., 3.),
        ];
        let arc = (0..=40).map(|i| {
            let (angle, r) = (std::f32::consts::TAU * 0.8 * i as f32 / 40.0, 10.0);
            (r * angle.cos(), r * angle.sin())
        });
        let crescent: Vec<(f32, f32)> = arc.clone().chain(arc.rev().map(|(x, y)| (x * 0.7, y * 0.7))).collect();
        for shape in [comb.to_vec(), comb.iter().rev().copied().collect(), crescent] {
            let points: Vec<Pos2> = shape.iter().map(|&(x, y)| Pos2::new(x, y)).collect();
            let cut = triangles(&points);
            let sum: f32 = cut.iter().map(|t| area(t)).sum();
            assert!((sum - area(&points)).abs() < 1e-2, "{sum} of {}", area(&points));
            assert_eq!(cut.len(), points.len() - 2);
        }
    }

    #[test]
    fn points_on_a_line_are_passed_over() {
        let points = [(0., 0.), (1., 0.), (2., 0.), (2., 2.), (0., 2.), (0., 1.)].map(|(x, y)| Pos2::new(x, y));
        let cut = triangles(&points);
        assert!((cut.iter().map(|t| area(t)).sum::<f32>() - 8.0).abs() < 1e-4);
        assert!(triangles(&[Pos2::ZERO; 5]).is_empty());
    }
}
