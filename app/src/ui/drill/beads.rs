//! Beads on a string: the child's counters.

use egui::{Color32, FontId, Id, LayerId, Order, Painter, Pos2, Rect, Response, Role, Sense, Shape, Stroke, Ui};
use egui::{WidgetInfo, pos2, vec2};

use crate::say::many;
use crate::ui::parts;
use crate::ui::theme::{self, Palette, palette};

/// How a bead looks.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum BeadLook {
    /// On the string.
    Plain,
    /// Pointed at; a ring and a mark above say it as well as the colour.
    Pointed,
    /// Touched for an answer: a ring says it.
    Touched,
    /// Won today: of the second colour.
    Today,
    /// Heard just now: of the second colour, with a ring.
    Sounding,
    /// A place that nothing hangs at.
    Empty,
}

/// One bead.
pub struct Bead {
    /// What is written in it; may be empty.
    pub label: String,
    /// How it looks.
    pub look: BeadLook,
    /// Its name for screen readers.
    pub name: String,
}

/// A string of beads.
pub struct Strand<'a> {
    /// Tells this string from another in the same view.
    pub id: &'a str,
    /// The beads, from the left.
    pub beads: &'a [Bead],
    /// Largest diameter of a bead.
    pub size: f32,
    /// Whether the beads can be touched.
    pub touch: bool,
    /// Whether they can be drawn off the string.
    pub loose: bool,
}

/// What was done to a string.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Touched {
    /// This bead was touched.
    Bead(usize),
    /// This bead was drawn off.
    Off(usize),
}

impl Strand<'_> {
    /// Shows it, as wide as there is room. Gives its place and what was done.
    pub fn show(&self, ui: &mut Ui) -> (Rect, Option<Touched>) {
        let width = ui.available_width();
        let step = (self.size + 14.0).min((width - 60.0) / self.beads.len().max(1) as f32);
        let radius = (step - 6.0).min(self.size) / 2.0;
        let (rect, _) = ui.allocate_exact_size(vec2(width, self.size + 34.0), Sense::hover());
        let thread = Thread { rect, sag: 12.0 };
        thread.paint(ui.painter(), palette(ui).edge);
        let first = rect.center().x - step * (self.beads.len() as f32 - 1.0) / 2.0;
        let mut touched = None;
        for (i, bead) in self.beads.iter().enumerate() {
            let x = first + step * i as f32;
            let id = ui.scope_id().with((self.id, i));
            let x = ui.ctx().animate_value_with_time(id.with("x"), x, 0.14);
            let at = thread.at(x);
            if let Some(what) = self.bead(ui, id, bead, at, radius) {
                touched = Some(match what {
                    BeadAction::Touched => Touched::Bead(i),
                    BeadAction::Off => Touched::Off(i),
                });
            }
        }
        (rect, touched)
    }

    fn bead(&self, ui: &mut Ui, id: Id, bead: &Bead, at: Pos2, radius: f32) -> Option<BeadAction> {
        let p = palette(ui);
        let place = Rect::from_center_size(at, egui::Vec2::splat((radius * 2.0).max(theme::TOUCH)));
        let sense = match (self.touch, self.loose) {
            (true, true) => Sense::click_and_drag(),
            (true, false) => Sense::click(),
            _ => Sense::hover(),
        };
        let response = ui.interact(place, id, sense);
        let role = if self.touch { Role::Button } else { Role::Image };
        response.widget_info(|| WidgetInfo::labeled(role, true, &bead.name));
        let mut done = response.clicked().then_some(BeadAction::Touched);
        if response.dragged() {
            carry(ui, &response, radius, &p);
        } else {
            paint(ui.painter(), bead.look, at, radius, &p);
            label(ui.painter(), &bead.label, at, radius, &p);
        }
        if response.drag_stopped()
            && let Some(pointer) = response.interact_pointer_pos()
            && (pointer.y - at.y).abs() > radius * 1.6
        {
            done = Some(BeadAction::Off);
        }
        if self.touch && response.hovered() {
            ui.painter().circle_stroke(at, radius + 3.0, Stroke::new(2.0, p.lead));
        }
        if response.has_focus() {
            ui.painter().circle_stroke(at, radius + 5.0, Stroke::new(3.0, p.lead));
        }
        done
    }
}

enum BeadAction {
    Touched,
    Off,
}

/// The pile that beads are taken from, so many times its common size: touch it, or drag a bead from it onto `string`. Whether
/// one was put on.
pub fn pile(ui: &mut Ui, string: Rect, grown: f32, enabled: bool) -> bool {
    let p = palette(ui);
    let size = vec2(132.0, 76.0) * grown;
    let sense = if enabled {
        Sense::click_and_drag()
    } else {
        Sense::hover()
    };
    let (rect, response) = ui.allocate_exact_size(size, sense);
    response.widget_info(|| WidgetInfo::labeled(Role::Button, enabled, "Add a bead"));
    let near = response.hovered() && enabled;
    ui.painter()
        .rect_filled(rect, 38.0 * grown, if near { p.lead_wash } else { p.well });
    ui.painter()
        .rect_stroke(rect, 38.0 * grown, Stroke::new(1.0, p.edge), egui::StrokeKind::Inside);
    for (dx, dy, r) in [(-34.0, 8.0, 18.0), (34.0, 8.0, 18.0), (0.0, -2.0, 24.0)] {
        let at = rect.center() + vec2(dx, dy) * grown;
        paint(ui.painter(), BeadLook::Plain, at, r * grown, &p);
    }
    plus(ui.painter(), rect.center() + vec2(0.0, -2.0), 8.0 * grown, p.on_lead);
    parts::ring(ui, &response, rect, (38.0 * grown) as u8);
    if response.dragged() {
        carry(ui, &response, 30.0, &p);
    }
    let landed = response.drag_stopped()
        && response
            .interact_pointer_pos()
            .is_some_and(|at| string.expand(20.0).contains(at));
    parts::hint(response, "Add a bead   +").clicked() || landed
}

/// A bead under the finger.
fn carry(ui: &Ui, response: &Response, radius: f32, p: &Palette) {
    if let Some(at) = response.interact_pointer_pos() {
        let painter = ui
            .ctx()
            .layer_painter(LayerId::new(Order::Tooltip, Id::unique("bead in hand")));
        paint(&painter, BeadLook::Plain, at, radius * 1.08, p);
        ui.ctx().request_repaint();
    }
}

/// A thread that hangs a little.
struct Thread {
    rect: Rect,
    sag: f32,
}

impl Thread {
    fn at(&self, x: f32) -> Pos2 {
        let t = ((x - self.rect.left()) / self.rect.width().max(1.0)).clamp(0.0, 1.0);
        let sag = self.sag * (1.0 - (2.0 * t - 1.0) * (2.0 * t - 1.0));
        pos2(x, self.rect.center().y - self.sag / 2.0 + sag)
    }

    fn paint(&self, painter: &Painter, colour: Color32) {
        let points = (0..=48).map(|i| self.at(self.rect.left() + self.rect.width() * i as f32 / 48.0));
        let ends = [self.at(self.rect.left() + 3.0), self.at(self.rect.right() - 3.0)];
        painter.add(Shape::line(points.collect(), Stroke::new(2.5, colour)));
        for end in ends {
            painter.circle_filled(end, 5.0, colour);
        }
    }
}

/// Paints one bead.
pub fn paint(painter: &Painter, look: BeadLook, at: Pos2, radius: f32, p: &Palette) {
    let fill = match look {
        BeadLook::Empty => {
            painter.circle(at, radius, p.card, Stroke::new(1.5, p.edge));
            return;
        }
        BeadLook::Plain | BeadLook::Touched => p.lead,
        BeadLook::Pointed | BeadLook::Today | BeadLook::Sounding => p.warm,
    };
    painter.circle_filled(at + vec2(0.0, radius * 0.08), radius, fill.gamma_multiply(0.35));
    painter.circle_filled(at, radius, fill);
    // Light from the upper left, and the hole's edge at both sides.
    let light = p.on_lead.gamma_multiply(0.28);
    let arc = (0..=10).map(|i| {
        let turn = std::f32::consts::PI * (1.08 + 0.34 * i as f32 / 10.0);
        at + radius * 0.7 * vec2(turn.cos(), turn.sin())
    });
    painter.add(Shape::line(arc.collect(), Stroke::new((radius * 0.13).max(1.5), light)));
    for side in [-1.0, 1.0] {
        let rim = Rect::from_center_size(at + vec2(side * radius * 0.95, 0.0), vec2(radius * 0.16, radius * 0.5));
        painter.rect_filled(rim, radius, p.edge);
    }
    if look == BeadLook::Touched {
        painter.circle_stroke(at, radius + 6.0, Stroke::new(4.0, p.edge));
    }
    if look == BeadLook::Sounding {
        painter.circle_stroke(at, radius + 5.0, Stroke::new(4.0, p.warm));
    }
    if look == BeadLook::Pointed {
        painter.circle_stroke(at, radius + 5.0, Stroke::new(3.0, p.warm));
        let tip = at - vec2(0.0, radius + 8.0);
        let mark = vec![tip, tip + vec2(-9.0, -11.0), tip + vec2(9.0, -11.0)];
        painter.add(Shape::convex_polygon(mark, p.warm, Stroke::NONE));
    }
}

fn label(painter: &Painter, text: &str, at: Pos2, radius: f32, p: &Palette) {
    if text.is_empty() {
        return;
    }
    let size = (radius * 0.95).min(radius * 2.6 / text.chars().count().max(2) as f32);
    let font = FontId::new(size, theme::bold());
    painter.text(at, egui::Align2::CENTER_CENTER, text, font, p.on_lead);
}

fn plus(painter: &Painter, at: Pos2, arm: f32, colour: Color32) {
    let stroke = Stroke::new(3.0, colour);
    painter.line_segment([at - vec2(arm, 0.0), at + vec2(arm, 0.0)], stroke);
    painter.line_segment([at - vec2(0.0, arm), at + vec2(0.0, arm)], stroke);
}

/// A small row of beads, for a count at a glance.
pub fn row(ui: &mut Ui, count: usize, name: &str) {
    let p = palette(ui);
    let radius = 9.0;
    let step = 24.0;
    let (rect, response) = ui.allocate_exact_size(vec2(step * count.max(1) as f32, 26.0), Sense::hover());
    response.widget_info(|| WidgetInfo::labeled(Role::Image, true, name));
    for i in 0..count {
        let at = pos2(rect.left() + step * (i as f32 + 0.5), rect.center().y);
        paint(ui.painter(), BeadLook::Plain, at, radius, &p);
    }
}

/// Beads of earlier lessons that are drawn; the string goes on beyond.
const EARLIER: usize = 60;
/// Thread that is left free at both ends together, in points: at the left stands how many more beads there are.
const ASIDE: f32 = 100.0;

/// The child's string: earlier beads small, today's large.
pub fn won(ui: &mut Ui, earlier: usize, today: usize) {
    let shown = earlier.min(EARLIER);
    let (small, large) = (7.0, 17.0);
    let (whole, p) = (ui.available_width(), palette(ui));
    let step = |radius: f32| radius * 2.0 + 3.0;
    // As many of the earlier ones as there is room for beside today's.
    let room = (whole - today as f32 * step(large) - ASIDE).max(0.0);
    let shown = shown.min((room / step(small)) as usize);
    let wide = shown as f32 * step(small) + today as f32 * step(large);
    let large_step = step(large).min((whole - ASIDE) / today.max(1) as f32);
    let high = if today == 0 { 30.0 } else { 70.0 };
    let (rect, response) = ui.allocate_exact_size(vec2(whole, high), Sense::hover());
    let name = match today {
        0 => format!("Your string: {}", many(earlier, "bead")),
        _ => format!("Your string: {} from before, {today} from today", many(earlier, "bead")),
    };
    response.widget_info(|| WidgetInfo::labeled(Role::Image, true, &name));
    let y = rect.center().y;
    ui.painter().hline(rect.x_range(), y, Stroke::new(2.5, p.edge));
    let mut x = rect.center().x - wide.min(whole - ASIDE) / 2.0;
    for _ in 0..shown {
        paint(ui.painter(), BeadLook::Plain, pos2(x + small, y), small, &p);
        x += step(small);
    }
    for _ in 0..today {
        paint(
            ui.painter(),
            BeadLook::Today,
            pos2(x + large_step / 2.0, y),
            (large_step / 2.0 - 1.5).max(3.0),
            &p,
        );
        x += large_step;
    }
    if shown < earlier {
        let more = format!("… {}", earlier - shown);
        ui.painter().text(
            pos2(rect.left(), y - 14.0),
            egui::Align2::LEFT_CENTER,
            more,
            theme::font(14.0),
            p.soft,
        );
    }
}
