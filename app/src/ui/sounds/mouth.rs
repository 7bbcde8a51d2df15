//! Paints a mouth.

use earcut::Earcut;
use egui::{Color32, Mesh, Pos2, Rect, Shape as Painted, Stroke, Ui, vec2};

use crate::mouth::{MouthPart, MouthPoint, MouthShape};
use crate::ui::theme::{Palette, palette};

/// Paints shapes of the unit square into `rect`.
pub fn paint(ui: &Ui, rect: Rect, shapes: &[MouthShape]) {
    paint_part(ui, rect, rect, shapes);
}

/// Paints shapes of the unit square into `rect`, of which only what lies in `seen` is seen.
pub fn paint_part(ui: &Ui, rect: Rect, seen: Rect, shapes: &[MouthShape]) {
    let p = palette(ui);
    let painter = ui.painter_at(seen);
    for shape in shapes {
        let on = |&[x, y]: &MouthPoint| rect.min + vec2(x * rect.width(), y * rect.height());
        let points: Vec<Pos2> = shape.points.iter().map(on).collect();
        let (fill, edge, width) = colours(&p, ui.visuals().dark_mode, shape.part);
        let stroke = Stroke::new(width * rect.width() / 300.0, edge);
        if shape.is_area() {
            if let Some(mesh) = filled(&shape.points, &points, fill) {
                painter.add(Painted::mesh(mesh));
            }
            if edge != Color32::TRANSPARENT {
                painter.add(Painted::closed_line(points, stroke));
            }
        } else {
            painter.line(points, stroke);
        }
    }
}

/// Rounds the corners of what was painted into `rect`, in the colour of what it lies on.
pub fn round_off(ui: &Ui, rect: Rect, radius: f32, ground: Color32) {
    let corners = [
        (rect.left_top(), vec2(1.0, 1.0)),
        (rect.right_top(), vec2(-1.0, 1.0)),
        (rect.right_bottom(), vec2(-1.0, -1.0)),
        (rect.left_bottom(), vec2(1.0, -1.0)),
    ];
    for (corner, inward) in corners {
        let mut mesh = Mesh::default();
        mesh.colored_vertex(corner - inward, ground);
        for i in 0..=12u32 {
            let angle = std::f32::consts::FRAC_PI_2 * i as f32 / 12.0;
            let off = vec2(1.0 - angle.cos(), 1.0 - angle.sin()) * radius;
            mesh.colored_vertex(corner + inward * off, ground);
            if i > 0 {
                mesh.add_triangle(0, i, i + 1);
            }
        }
        ui.painter().add(Painted::mesh(mesh));
    }
}

/// Triangles of an area of any outline.
fn filled(unit: &[MouthPoint], points: &[Pos2], fill: Color32) -> Option<Mesh> {
    let mut triangles: Vec<u32> = Vec::new();
    Earcut::new().earcut(unit.iter().copied(), &[], &mut triangles);
    if triangles.is_empty() {
        return None;
    }
    let mut mesh = Mesh::default();
    points.iter().for_each(|p| mesh.colored_vertex(*p, fill));
    mesh.indices = triangles;
    Some(mesh)
}

/// Fill, outline, and the outline's width in a drawing 300 points wide.
fn colours(p: &Palette, dark: bool, part: MouthPart) -> (Color32, Color32, f32) {
    let pick = |light: u32, night: u32| {
        let rgb = if dark { night } else { light };
        Color32::from_rgb((rgb >> 16) as u8, (rgb >> 8) as u8, rgb as u8)
    };
    let none = Color32::TRANSPARENT;
    match part {
        MouthPart::Head => (pick(0xE9DDC8, 0x3A3F44), none, 0.0),
        MouthPart::Soft => (pick(0xE9DDC8, 0x3A3F44), none, 0.0),
        MouthPart::Line => (none, p.edge, 1.8),
        MouthPart::Hollow => (p.card, none, 0.0),
        MouthPart::Inside => (pick(0x57261F, 0x120A09), p.warm, 1.5),
        MouthPart::Tongue => (pick(0xE7A587, 0xA4593A), p.warm, 2.0),
        MouthPart::Tooth => (pick(0xFFFFFF, 0xE8E6E0), p.edge, 1.4),
        MouthPart::Lip => (pick(0xD68A70, 0x8F4A35), p.warm, 1.8),
        MouthPart::LipCut => (pick(0xD68A70, 0x8F4A35), none, 0.0),
        MouthPart::Fold => (p.warm, p.warm, 1.0),
        MouthPart::Wave => (none, p.lead, 3.0),
        MouthPart::Air | MouthPart::Hiss => (none, p.lead, 3.0),
    }
}
