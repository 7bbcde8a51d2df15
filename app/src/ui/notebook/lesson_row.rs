//! A lesson in one line of the list, and the month above it.

use egui::text::{LayoutJob, TextFormat, TextWrapping};
use egui::{Align2, Color32, FontId, Pos2, Rect, Role, Sense, Ui, WidgetInfo, pos2, vec2};
use jiff::civil::Date;

use crate::notebook::{IMPORTED, LessonRow, is_imported};
use crate::say::many;
use crate::ui::parts;
use crate::ui::theme::{self, TOUCH, palette};

/// Words of a lesson that are named.
const WORDS: usize = 14;
/// Where the columns of a line begin: the day in points, the plan too, then what was done and how it went as shares of the line.
const DAY: f32 = 14.0;
const PLAN: f32 = 96.0;
const DONE: f32 = 0.44;
const WENT: f32 = 0.70;
/// Room between two columns, in points.
const GAP: f32 = 12.0;

/// A day for people: `Tue 24 Nov 2026`.
pub fn long_day(day: Date) -> String {
    day.strftime("%a %-d %b %Y").to_string()
}

/// What was planned, in words.
pub fn planned(lesson: &LessonRow) -> String {
    match lesson.plan.as_str() {
        "" => "Without a plan".to_owned(),
        // Nobody planned what was recorded before and brought in.
        imported if is_imported(imported) => IMPORTED.to_owned(),
        plan => format!("Planned: {plan}"),
    }
}

/// What was done in a lesson, in words.
pub fn done(lesson: &LessonRow) -> String {
    let mut all = Vec::new();
    if lesson.attempts > 0 {
        let named: Vec<&str> = lesson.words.iter().take(WORDS).map(String::as_str).collect();
        let more = if lesson.words.len() > WORDS { " …" } else { "" };
        all.push(format!(
            "{} at {} ({}{more})",
            many(lesson.attempts, "attempt"),
            many(lesson.words.len(), "word"),
            named.join(", ")
        ));
    }
    if lesson.counted.of > 0 {
        all.push(format!(
            "{} of {} counted right at first",
            lesson.counted.hits, lesson.counted.of
        ));
    }
    if lesson.written > 0 {
        all.push(many(lesson.written, "written word"));
    }
    all.join("; ")
}

/// The same so short that it fits a column.
fn in_brief(lesson: &LessonRow) -> String {
    let words = (lesson.attempts > 0).then(|| many(lesson.words.len(), "word"));
    let counted = &lesson.counted;
    let right = (counted.of > 0).then(|| format!("{} of {} right", counted.hits, counted.of));
    let written = (lesson.written > 0).then(|| format!("{} written", lesson.written));
    [words, right, written]
        .into_iter()
        .flatten()
        .collect::<Vec<_>>()
        .join(", ")
}

/// The heading of a month, which folds and unfolds its lessons; whether it was pressed. `whole`: whether all its lessons are here.
pub fn month_head(ui: &mut Ui, lessons: &[LessonRow], open: bool, whole: bool) -> bool {
    let p = palette(ui);
    let name = lessons[0].day.strftime("%B %Y").to_string();
    let count = if whole {
        many(lessons.len(), "lesson")
    } else {
        format!("{} and earlier ones", many(lessons.len(), "lesson"))
    };
    let (rect, response) = ui.allocate_exact_size(vec2(ui.available_width(), TOUCH), Sense::click());
    let fold = if open { "open" } else { "folded" };
    response.widget_info(|| WidgetInfo::selected(Role::Button, true, open, format!("{name}: {count}, {fold}")));
    let ink = if response.hovered() { p.lead } else { p.ink };
    arrow(ui, rect.left_center() + vec2(16.0, 0.0), open, ink);
    let at = rect.left_center() + vec2(32.0, 0.0);
    let drawn = ui
        .painter()
        .text(at, Align2::LEFT_CENTER, name, theme::bold_font(16.0), ink);
    let at = pos2(drawn.right() + GAP, rect.center().y);
    ui.painter()
        .text(at, Align2::LEFT_CENTER, count, theme::font(14.5), p.soft);
    parts::ring(ui, &response, rect, 10);
    response.clicked()
}

/// A small triangle: down where what it heads is open, to the right where it is folded.
fn arrow(ui: &Ui, at: Pos2, open: bool, ink: Color32) {
    let points = match open {
        true => [(-6.0, -3.0), (6.0, -3.0), (0.0, 5.0)],
        false => [(-3.0, -6.0), (5.0, 0.0), (-3.0, 6.0)],
    };
    let points = points.iter().map(|(x, y)| at + vec2(*x, *y)).collect();
    ui.painter()
        .add(egui::Shape::convex_polygon(points, ink, egui::Stroke::NONE));
}

/// The lesson in one line; whether it was pressed.
pub fn line(ui: &mut Ui, lesson: &LessonRow, open: bool) -> bool {
    let (rect, response) = ui.allocate_exact_size(vec2(ui.available_width(), TOUCH), Sense::click());
    let went = lesson
        .went
        .as_ref()
        .map_or(String::new(), |went| format!("; it went: {went}"));
    let said = format!("{}. {}; {}{went}", long_day(lesson.day), planned(lesson), done(lesson));
    parts::list_row(ui, (rect, &response), open, &said, |ui| cells(ui, lesson, rect))
}

fn cells(ui: &Ui, lesson: &LessonRow, rect: Rect) {
    let p = palette(ui);
    let plan = match lesson.plan.as_str() {
        imported if is_imported(imported) => IMPORTED,
        plan => plan,
    };
    let (done, went) = (rect.width() * DONE, rect.width() * WENT);
    let day = lesson.day.strftime("%a %-d").to_string();
    let column =
        |from: f32, to: f32| Rect::from_x_y_ranges(rect.left() + from..=rect.left() + to - GAP, rect.y_range());
    short(ui, &day, (theme::bold_font(16.0), p.ink), column(DAY, PLAN));
    short(ui, plan, (theme::font(16.0), p.ink), column(PLAN, done));
    short(ui, &in_brief(lesson), (theme::font(14.5), p.soft), column(done, went));
    let line = lesson.went.as_deref().unwrap_or_default();
    short(ui, line, (theme::font(14.5), p.ink), column(went, rect.width()));
}

/// A text on one line, cut with dots where it is too long.
fn short(ui: &Ui, text: &str, (font, colour): (FontId, Color32), area: Rect) {
    let mut job = LayoutJob::single_section(text.to_owned(), TextFormat::simple(font, colour));
    job.wrap = TextWrapping::truncate_at_width(area.width());
    let galley = ui.painter().layout_job(job);
    let at = pos2(area.left(), area.center().y - galley.size().y / 2.0);
    ui.painter().galley(at, galley, colour);
}
