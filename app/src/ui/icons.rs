//! Small drawings for buttons, made of lines so that they need no font and stay sharp at every size.

use egui::{Color32, Painter, Pos2, Rect, Shape, Stroke, Vec2, pos2, vec2};

/// A drawing.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Icon {
    /// A sun over the edge of the day.
    Today,
    /// A pencil on its line.
    Writing,
    /// Waves from a mouth.
    Sounds,
    /// A list of words, each a step.
    Plan,
    /// Beads on a string.
    Drill,
    /// A book.
    Notebook,
    /// Sliders.
    Settings,
    /// A question mark.
    Help,
    /// A triangle: play.
    Play,
    /// Two bars: pause.
    Pause,
    /// A square: stop.
    Stop,
    /// A microphone.
    Microphone,
    /// An arrow to the left.
    Back,
    /// An arrow to the right.
    Next,
    /// A cross.
    Close,
    /// An arrow that turns back.
    Undo,
    /// A plus.
    Add,
    /// A minus.
    Less,
    /// A tick.
    Done,
    /// A loudspeaker.
    Speaker,
    /// A sheet coming out of a printer.
    Print,
    /// A folder.
    Folder,
    /// A speech bubble with two lines: a note.
    Note,
    /// A month's calendar.
    Calendar,
}

/// Draws `icon` in the square in the middle of `rect`.
pub fn paint(painter: &Painter, icon: Icon, rect: Rect, colour: Color32) {
    let side = rect.width().min(rect.height());
    let square = Rect::from_center_size(rect.center(), Vec2::splat(side));
    let pen = IconPen {
        painter,
        square,
        stroke: Stroke::new((side * 0.085).max(1.5), colour),
    };
    match icon {
        Icon::Today => today(&pen),
        Icon::Writing => writing(&pen),
        Icon::Sounds => sounds(&pen),
        Icon::Plan => plan(&pen),
        Icon::Drill => drill(&pen),
        Icon::Notebook => notebook(&pen),
        Icon::Settings => settings(&pen),
        Icon::Help => help(&pen),
        Icon::Play => pen.fill(&[(0.28, 0.16), (0.84, 0.5), (0.28, 0.84)]),
        Icon::Pause => [0.24, 0.58].iter().for_each(|&x| pen.block(x, 0.18, 0.18, 0.64)),
        Icon::Stop => pen.block(0.22, 0.22, 0.56, 0.56),
        Icon::Microphone => microphone(&pen),
        Icon::Back => back(&pen),
        Icon::Next => next(&pen),
        Icon::Close => close(&pen),
        Icon::Undo => undo(&pen),
        Icon::Add => add(&pen),
        Icon::Less => pen.line(&[(0.16, 0.5), (0.84, 0.5)]),
        Icon::Done => pen.line(&[(0.14, 0.54), (0.4, 0.8), (0.88, 0.22)]),
        Icon::Speaker => speaker(&pen),
        Icon::Print => print(&pen),
        Icon::Folder => folder(&pen),
        Icon::Note => note(&pen),
        Icon::Calendar => calendar(&pen),
    }
}

/// Draws in unit coordinates of a square.
struct IconPen<'a> {
    painter: &'a Painter,
    square: Rect,
    stroke: Stroke,
}

impl IconPen<'_> {
    fn at(&self, (x, y): (f32, f32)) -> Pos2 {
        self.square.min + vec2(x, y) * self.square.width()
    }

    fn line(&self, points: &[(f32, f32)]) {
        let points: Vec<Pos2> = points.iter().map(|&p| self.at(p)).collect();
        for end in [points[0], points[points.len() - 1]] {
            self.painter
                .circle_filled(end, self.stroke.width / 2.0, self.stroke.color);
        }
        self.painter.line(points, self.stroke);
    }

    fn fill(&self, points: &[(f32, f32)]) {
        let points = points.iter().map(|&p| self.at(p)).collect();
        let soft = Stroke::new(self.stroke.width * 0.6, self.stroke.color);
        self.painter.add(Shape::convex_polygon(points, self.stroke.color, soft));
    }

    fn block(&self, x: f32, y: f32, wide: f32, high: f32) {
        let rect = Rect::from_two_pos(self.at((x, y)), self.at((x + wide, y + high)));
        self.painter
            .rect_filled(rect, self.square.width() * 0.05, self.stroke.color);
    }

    fn dot(&self, at: (f32, f32), radius: f32) {
        self.painter
            .circle_filled(self.at(at), radius * self.square.width(), self.stroke.color);
    }

    /// Part of a circle; degrees run from the right, downward.
    fn arc(&self, (x, y): (f32, f32), radius: f32, from: f32, to: f32) {
        let points: Vec<(f32, f32)> = (0..=16)
            .map(|i| (from + (to - from) * i as f32 / 16.0).to_radians())
            .map(|a| (x + radius * a.cos(), y + radius * a.sin()))
            .collect();
        self.line(&points);
    }
}

fn today(pen: &IconPen) {
    pen.arc((0.5, 0.72), 0.24, 180.0, 360.0);
    pen.line(&[(0.06, 0.72), (0.94, 0.72)]);
    for turn in [200.0_f32, 235.0, 270.0, 305.0, 340.0] {
        let (x, y) = (turn.to_radians().cos(), turn.to_radians().sin());
        pen.line(&[(0.5 + 0.36 * x, 0.72 + 0.36 * y), (0.5 + 0.5 * x, 0.72 + 0.5 * y)]);
    }
}

fn writing(pen: &IconPen) {
    pen.line(&[
        (0.18, 0.74),
        (0.26, 0.5),
        (0.7, 0.08),
        (0.88, 0.26),
        (0.44, 0.68),
        (0.18, 0.74),
    ]);
    pen.line(&[(0.1, 0.92), (0.9, 0.92)]);
}

fn back(pen: &IconPen) {
    pen.line(&[(0.86, 0.5), (0.16, 0.5)]);
    pen.line(&[(0.44, 0.2), (0.14, 0.5), (0.44, 0.8)]);
}

fn next(pen: &IconPen) {
    pen.line(&[(0.14, 0.5), (0.84, 0.5)]);
    pen.line(&[(0.56, 0.2), (0.86, 0.5), (0.56, 0.8)]);
}

fn close(pen: &IconPen) {
    pen.line(&[(0.22, 0.22), (0.78, 0.78)]);
    pen.line(&[(0.78, 0.22), (0.22, 0.78)]);
}

fn undo(pen: &IconPen) {
    pen.arc((0.52, 0.56), 0.3, -150.0, 120.0);
    pen.line(&[(0.2, 0.14), (0.25, 0.42), (0.53, 0.38)]);
}

fn add(pen: &IconPen) {
    pen.line(&[(0.5, 0.16), (0.5, 0.84)]);
    pen.line(&[(0.16, 0.5), (0.84, 0.5)]);
}

fn speaker(pen: &IconPen) {
    pen.fill(&[
        (0.08, 0.36),
        (0.26, 0.36),
        (0.5, 0.14),
        (0.5, 0.86),
        (0.26, 0.64),
        (0.08, 0.64),
    ]);
    pen.arc((0.5, 0.5), 0.2, -50.0, 50.0);
    pen.arc((0.5, 0.5), 0.38, -50.0, 50.0);
}

fn print(pen: &IconPen) {
    pen.line(&[(0.28, 0.36), (0.28, 0.1), (0.72, 0.1), (0.72, 0.36)]);
    pen.line(&[
        (0.24, 0.68),
        (0.1, 0.68),
        (0.1, 0.36),
        (0.9, 0.36),
        (0.9, 0.68),
        (0.76, 0.68),
    ]);
    pen.line(&[(0.28, 0.58), (0.72, 0.58), (0.72, 0.9), (0.28, 0.9), (0.28, 0.58)]);
}

fn folder(pen: &IconPen) {
    pen.line(&[
        (0.1, 0.8),
        (0.1, 0.2),
        (0.4, 0.2),
        (0.5, 0.32),
        (0.9, 0.32),
        (0.9, 0.8),
        (0.1, 0.8),
    ]);
}

fn note(pen: &IconPen) {
    pen.line(&[
        (0.1, 0.14),
        (0.9, 0.14),
        (0.9, 0.7),
        (0.5, 0.7),
        (0.28, 0.92),
        (0.28, 0.7),
        (0.1, 0.7),
        (0.1, 0.14),
    ]);
    pen.line(&[(0.3, 0.34), (0.7, 0.34)]);
    pen.line(&[(0.3, 0.52), (0.58, 0.52)]);
}

fn calendar(pen: &IconPen) {
    pen.line(&[(0.12, 0.2), (0.88, 0.2), (0.88, 0.9), (0.12, 0.9), (0.12, 0.2)]);
    pen.line(&[(0.12, 0.42), (0.88, 0.42)]);
    for x in [0.32, 0.68] {
        pen.line(&[(x, 0.08), (x, 0.28)]);
    }
    for (x, y) in [(0.32, 0.58), (0.5, 0.58), (0.68, 0.58), (0.32, 0.75), (0.5, 0.75)] {
        pen.dot((x, y), 0.055);
    }
}

fn sounds(pen: &IconPen) {
    pen.dot((0.2, 0.5), 0.11);
    for radius in [0.28, 0.48, 0.68] {
        pen.arc((0.2, 0.5), radius, -42.0, 42.0);
    }
}

fn plan(pen: &IconPen) {
    for (row, y) in [0.2, 0.5, 0.8].into_iter().enumerate() {
        pen.dot((0.18, y), 0.085);
        pen.line(&[(0.4, y), ([0.86, 0.72, 0.86][row], y)]);
    }
}

fn drill(pen: &IconPen) {
    pen.line(&[(0.02, 0.5), (0.98, 0.5)]);
    for x in [0.2, 0.5, 0.8] {
        pen.dot((x, 0.5), 0.135);
    }
}

fn notebook(pen: &IconPen) {
    pen.line(&[(0.2, 0.1), (0.84, 0.1), (0.84, 0.9), (0.2, 0.9), (0.2, 0.1)]);
    pen.line(&[(0.36, 0.1), (0.36, 0.9)]);
    pen.line(&[(0.5, 0.34), (0.7, 0.34)]);
    pen.line(&[(0.5, 0.54), (0.7, 0.54)]);
}

fn settings(pen: &IconPen) {
    for (y, knob) in [(0.2, 0.66), (0.5, 0.32), (0.8, 0.58)] {
        pen.line(&[(0.08, y), (0.92, y)]);
        pen.dot((knob, y), 0.12);
    }
}

fn help(pen: &IconPen) {
    pen.arc((0.5, 0.34), 0.22, -175.0, 60.0);
    pen.line(&[(0.6, 0.53), (0.5, 0.6), (0.5, 0.68)]);
    pen.dot((0.5, 0.87), 0.065);
}

fn microphone(pen: &IconPen) {
    let body = Rect::from_two_pos(pen.at((0.36, 0.06)), pen.at((0.64, 0.58)));
    pen.painter.rect_filled(body, body.width() / 2.0, pen.stroke.color);
    pen.arc((0.5, 0.46), 0.32, 0.0, 180.0);
    pen.line(&[(0.5, 0.78), (0.5, 0.94)]);
    pen.line(&[(0.32, 0.94), (0.68, 0.94)]);
}

/// The name's own sign: three beads on a bent string.
pub fn beads(painter: &Painter, rect: Rect, string: Color32, colours: [Color32; 3]) {
    let at = |x: f32, y: f32| pos2(rect.left() + x * rect.width(), rect.top() + y * rect.height());
    let bend = |x: f32| 0.38 + 0.9 * x * (1.0 - x);
    let curve: Vec<Pos2> = (0..=20).map(|i| i as f32 / 20.0).map(|x| at(x, bend(x))).collect();
    painter.line(curve, Stroke::new(2.0, string));
    for (x, colour) in [0.2, 0.5, 0.8].into_iter().zip(colours) {
        painter.circle_filled(at(x, bend(x)), rect.width() * 0.115, colour);
    }
}
