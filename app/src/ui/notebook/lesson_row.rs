//! A lesson in one line of the list, and the month above it.

use egui::text::{LayoutJob, TextFormat, TextWrapping};
use egui::{Align2, Color32, FontId, Pos2, Rect, Role, Sense, Ui, WidgetInfo, pos2, vec2};

use crate::notebook::LessonRow;
use crate::say::{capital, many};
use crate::ui::parts;
use crate::ui::theme::{self, TOUCH, palette};
use crate::wording::{planned, week_day};

/// Words of a lesson that are named.
const WORDS: usize = 14;
/// Where the columns of a line begin: the day in points, the plan too, then what was done and how it went as shares of the line.
const DAY: f32 = 14.0;
const PLAN: f32 = 96.0;
const DONE: f32 = 0.44;
const WENT: f32 = 0.70;
/// Lines that what was done may take: as many as a row is high for.
const DONE_ROWS: usize = 2;
/// Room between two columns, in points.
const GAP: f32 = 12.0;

/// What was planned, or that nothing was, in words.
pub fn plan_or_none(lesson: &LessonRow) -> String {
    planned(&lesson.plan).map_or("Without a plan".to_owned(), |plan| capital(&plan))
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
        all.push(format!("{} written", many(lesson.written, "word")));
    }
    all.extend(lesson.beside.told());
    all.join("; ")
}

/// The same so short that it fits a column.
fn in_brief(lesson: &LessonRow) -> String {
    let words = (lesson.attempts > 0).then(|| many(lesson.words.len(), "word"));
    let counted = &lesson.counted;
    let right = (counted.of > 0).then(|| format!("{} of {} counted right", counted.hits, counted.of));
    let written = (lesson.written > 0).then(|| format!("{} written", lesson.written));
    let all = [words, right, written].into_iter().flatten();
    all.chain(lesson.beside.told()).collect::<Vec<_>>().join(", ")
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
    let said = format!(
        "{}. {}; {}{went}",
        week_day(lesson.day),
        plan_or_none(lesson),
        done(lesson)
    );
    parts::list_row(ui, (rect, &response), open, &said, |ui| cells(ui, lesson, rect))
}

fn cells(ui: &Ui, lesson: &LessonRow, rect: Rect) {
    let p = palette(ui);
    let (done, went) = (rect.width() * DONE, rect.width() * WENT);
    let day = lesson.day.strftime("%a %-d").to_string();
    let column =
        |from: f32, to: f32| Rect::from_x_y_ranges(rect.left() + from..=rect.left() + to - GAP, rect.y_range());
    short(ui, &day, Brief::of(theme::bold_font(16.0), p.ink), column(DAY, PLAN));
    let plan = planned(&lesson.plan).unwrap_or_default();
    short(
        ui,
        &capital(&plan),
        Brief::of(theme::font(16.0), p.ink),
        column(PLAN, done),
    );
    let brief = Brief {
        rows: DONE_ROWS,
        ..Brief::of(theme::font(14.5), p.soft)
    };
    short(ui, &in_brief(lesson), brief, column(done, went));
    let line = lesson.went.as_deref().unwrap_or_default();
    short(
        ui,
        line,
        Brief::of(theme::font(14.5), p.ink),
        column(went, rect.width()),
    );
}

/// How a text of a column is written.
struct Brief {
    font: FontId,
    colour: Color32,
    rows: usize,
}

impl Brief {
    /// On one line.
    fn of(font: FontId, colour: Color32) -> Brief {
        Brief { font, colour, rows: 1 }
    }
}

/// A text on so many lines, cut with dots where it is too long.
fn short(ui: &Ui, text: &str, brief: Brief, area: Rect) {
    let colour = brief.colour;
    let mut job = LayoutJob::single_section(text.to_owned(), TextFormat::simple(brief.font, colour));
    job.wrap = TextWrapping {
        max_rows: brief.rows,
        ..TextWrapping::truncate_at_width(area.width())
    };
    let galley = ui.painter().layout_job(job);
    let at = pos2(area.left(), area.center().y - galley.size().y / 2.0);
    ui.painter().galley(at, galley, colour);
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::notebook::DoneBeside;
    use jiff::civil::date;
    use soundbead_data::share::Share;

    #[test]
    fn a_lesson_tells_all_that_was_done_and_its_plan_as_a_plan() {
        let lesson = LessonRow {
            session: "11111111111111111111111111111111".parse().unwrap(),
            day: date(2026, 11, 24),
            plan: "mud mug rug".into(),
            words: vec!["mud".into()],
            attempts: 2,
            counted: Share { hits: 1, of: 2 },
            written: 4,
            beside: DoneBeside {
                sorts: 1,
                readings: 1,
                mixed: 0,
            },
            went: None,
        };
        assert_eq!(
            in_brief(&lesson),
            "1 word, 1 of 2 counted right, 4 written, a sort, a reading minute"
        );
        assert_eq!(
            done(&lesson),
            "2 attempts at 1 word (mud); 1 of 2 counted right at first; 4 words written; a sort; a reading minute"
        );
        assert_eq!(plan_or_none(&lesson), "Planned: mud mug rug");
    }
}
