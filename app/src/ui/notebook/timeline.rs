//! The list of attempts as it is drawn, the latest first, under their days and lessons; and what is looked for in it.

use egui::{Align2, ComboBox, Margin, Rect, Role, ScrollArea, Sense, TextEdit, Ui};
use egui::{RichText, Vec2, WidgetInfo, pos2, vec2};
use jiff::civil::Date;
use soundbead_data::{Sound, inventory};
use soundbead_dsp::judgement::Verdict;

use crate::notebook::{Attempt, AttemptRun, Filter};
use crate::review::days::typed_day;
use crate::review::list::{AttemptList, ListRow};
use crate::review::session::{ReviewIntent, ReviewSession};
use crate::review::signs::NoteSign;
use crate::say::many;
use crate::ui::day::{DayAsk, DayField};
use crate::ui::icons::{self, Icon};
use crate::ui::parts::{self, Button};
use crate::ui::theme::{self, TOUCH, palette};
use crate::wording;

/// Height of a row: an attempt as well as a heading, so that any row can be found by its number.
const ROW: f32 = 52.0;
/// Width of the list of days.
const DAYS: f32 = 360.0;

/// Where the sign of a note stands in a row, and its side: before the counts, after all but the longest words.
const SIGN: (f32, f32) = (152.0, 15.0);

/// What a verdict is called in the list.
pub fn called(verdict: Verdict) -> &'static str {
    wording::verdict(verdict).short
}

/// What is typed and not looked for yet.
#[derive(Default)]
pub struct Timeline {
    day: DayField,
    /// Whether what is typed is no day.
    no_day: bool,
    /// Whether the field for a day is to have the keyboard.
    wants_day: bool,
    /// The rows that were in sight.
    seen: std::ops::Range<u64>,
}

impl Timeline {
    /// Takes the keyboard to the field for a day.
    pub fn ask_for_day(&mut self) {
        self.wants_day = true;
    }

    /// Forgets which rows were in sight: the list is another, or was not drawn for a while.
    pub fn lose_sight(&mut self) {
        self.seen = 0..0;
    }

    /// The row of filters.
    pub fn filters(&mut self, ui: &mut Ui, list: &AttemptList, out: &mut Vec<ReviewIntent>) {
        let mut filter = list.filter().clone();
        ui.horizontal_wrapped(|ui| {
            ui.spacing_mut().item_spacing = vec2(6.0, 6.0);
            let mut word = filter.word.clone().unwrap_or_default();
            if field(ui, &mut word, ("Word", "Only this word"), 74.0).changed() {
                let word = word.trim().to_lowercase();
                filter.word = Some(word).filter(|w| !w.is_empty());
            }
            sound(ui, &mut filter.sound);
            verdict(ui, &mut filter.verdict);
            for (on, text, name) in [
                (
                    &mut filter.disagreed,
                    "Disagreed",
                    "Only where person and program, or two people, disagree",
                ),
                (&mut filter.unruled, "No ruling", "Only those nobody has ruled on"),
                (
                    &mut filter.miscounted,
                    "Miscounted",
                    "Only where the child's count was not the word's",
                ),
            ] {
                if Button::text(text).name(name).selected(*on).show(ui).clicked() {
                    *on = !*on;
                }
            }
            if filter.open.is_some()
                && Button::text("From the desk")
                    .name("Only what the desk counts; press for all days")
                    .selected(true)
                    .show(ui)
                    .clicked()
            {
                (filter.open, filter.judged) = (None, false);
            }
            if filter != Filter::default() && Button::text("Show all").quiet().show(ui).clicked() {
                filter = Filter::default();
            }
            if !list.is_empty() {
                self.day(ui, list, out);
            }
        });
        if filter != *list.filter() {
            out.push(ReviewIntent::Filter(Box::new(filter)));
        }
    }

    /// A day is typed, or picked from the calendar, on which days with attempts have a dot.
    fn day(&mut self, ui: &mut Ui, list: &AttemptList, out: &mut Vec<ReviewIntent>) {
        let (Some(newest), Some(oldest)) = (list.runs().first(), list.runs().last()) else {
            return;
        };
        let newest = newest.day;
        let marked = |day: Date| list.runs().iter().any(|run| run.day == day);
        let shown = self.day.show(
            ui,
            &DayAsk {
                name: "Go to this day",
                hint: "Day",
                width: 86.0,
                at: list.in_hand().map_or(newest, |a| a.day),
                newest,
                within: (Some(oldest.day), Some(newest)),
                marked: &marked,
            },
        );
        if std::mem::take(&mut self.wants_day) {
            shown.field.request_focus();
        }
        if shown.field.changed() {
            self.no_day = false;
        }
        let entered = shown.field.lost_focus() && ui.input(|i| i.key_pressed(egui::Key::Enter));
        if entered || shown.picked.is_some() {
            match shown.picked.or_else(|| typed_day(&self.day.text, newest)) {
                Some(day) => {
                    out.push(ReviewIntent::Day(day));
                    self.day.text.clear();
                    // The keys are the list's again.
                    ui.memory_mut(|m| m.focused().into_iter().for_each(|id| m.surrender_focus(id)));
                }
                None => self.no_day = true,
            }
        }
        if self.no_day {
            parts::note(ui, "Type a day such as 24 Nov or 2026-11-24.");
        }
    }

    /// The list.
    pub fn list(&mut self, ui: &mut Ui, session: &mut ReviewSession, out: &mut Vec<ReviewIntent>) {
        let list = session.list();
        if list.is_empty() {
            return nothing(ui, list);
        }
        ui.horizontal(|ui| {
            lessons(ui, list, out);
            let line = format!(
                "Attempt {} of {}.  J next, K back, Space plays",
                list.at() + 1,
                list.len()
            );
            parts::note(ui, &line);
        });
        let mut area = ScrollArea::vertical().id_salt("timeline").auto_shrink([false, false]);
        if session.take_follow() {
            // The row in hand is brought to the middle when it is out of sight.
            let row = session.list().row_of(session.list().at());
            let sight = self.seen.end.saturating_sub(self.seen.start).max(1);
            if !(self.seen.start..self.seen.end.saturating_sub(1)).contains(&row) {
                // One row more above it at least: the heading of its day.
                let top = row.saturating_sub((sight / 2).max(1)) as f32 * (ROW + ui.spacing().item_spacing.y);
                area = area.vertical_scroll_offset(top);
            }
        }
        let list = session.list();
        let rows = usize::try_from(list.shown()).unwrap_or(usize::MAX);
        area.show_rows(ui, ROW, rows, |ui, range| {
            self.seen = range.start as u64..range.end as u64;
            let mut attempts = Vec::new();
            for row in self.seen.clone() {
                match list.row(row) {
                    Some(ListRow::Heading(run)) => head(ui, run),
                    Some(ListRow::Attempt(at, attempt)) => {
                        attempts.push(at);
                        let noted = attempt.and_then(|a| list.noted(a.id));
                        if one(ui, (attempt, noted), at == list.at()) {
                            out.push(ReviewIntent::Pick(at));
                        }
                    }
                    None => {}
                }
            }
            if let (Some(first), Some(last)) = (attempts.first(), attempts.last()) {
                out.push(ReviewIntent::InSight(*first..*last + 1));
            }
        });
    }
}

/// The lessons in a menu, each of which leads to its first attempt.
fn lessons(ui: &mut Ui, list: &AttemptList, out: &mut Vec<ReviewIntent>) {
    let button = egui::Button::new("Lessons").min_size(vec2(0.0, TOUCH));
    egui::containers::menu::MenuButton::from_button(button).ui(ui, |ui| {
        ui.set_width(DAYS);
        ScrollArea::vertical().max_height(380.0).show(ui, |ui| {
            let mut first = 0;
            for run in list.runs() {
                if ui.add(egui::Button::new(heading(run)).truncate()).clicked() {
                    out.push(ReviewIntent::Pick(first));
                    ui.close();
                }
                first += run.attempts;
            }
        });
    });
}

/// A field with a name for those who cannot see its hint.
fn field(ui: &mut Ui, text: &mut String, (hint, name): (&str, &str), width: f32) -> egui::Response {
    let edit = TextEdit::singleline(text)
        .hint_text(hint)
        .desired_width(width)
        .margin(Margin::symmetric(10, 4))
        .min_size(vec2(width, TOUCH))
        .align(Align2::LEFT_CENTER);
    let field = ui.add(edit);
    field.widget_info(|| WidgetInfo::labeled(Role::TextInput, true, name));
    field
}

/// What stands in the list's place while there is nothing in it.
fn nothing(ui: &mut Ui, list: &AttemptList) {
    if list.is_opening() {
        ui.spinner();
    } else if list.is_empty_notebook() {
        parts::empty(
            ui,
            Icon::Drill,
            "No attempts yet",
            "What the learner says in a lesson is listed here, the latest first.",
        );
    } else {
        parts::section(ui, "None of this kind");
        parts::note(ui, "Take a filter off to see more.");
    }
}

/// A day, what was tried on it and what its lesson was to be about, in a line: `Tue 24 Nov 2026: 4 attempts; planned: mud mug rug`.
fn heading(run: &AttemptRun) -> String {
    format!("{}: {}", wording::week_day(run.day), tried_and_planned(run))
}

/// `4 attempts; planned: mud mug rug`: the words of a plan need not all have been tried.
fn tried_and_planned(run: &AttemptRun) -> String {
    let plans = run.plans.iter().filter_map(|plan| wording::planned(plan));
    let parts: Vec<String> = [many(run.attempts, "attempt")].into_iter().chain(plans).collect();
    parts.join("; ")
}

/// The heading above a lesson's attempts.
fn head(ui: &mut Ui, run: &AttemptRun) {
    let p = palette(ui);
    let size = vec2(ui.available_width() - 6.0, ROW);
    ui.allocate_ui_with_layout(size, egui::Layout::bottom_up(egui::Align::Min), |ui| {
        ui.set_min_size(size);
        ui.spacing_mut().item_spacing.y = 0.0;
        ui.add_space(4.0);
        let below = tried_and_planned(run);
        ui.add(egui::Label::new(RichText::new(below).font(theme::font(13.0)).color(p.soft)).truncate());
        let title = ui.label(RichText::new(wording::week_day(run.day)).font(theme::bold_font(16.0)));
        ui.ctx()
            .accesskit_node_builder(title.id, |node| node.set_role(Role::Heading));
    });
}

/// One row; whether it was picked.
fn one(ui: &mut Ui, (attempt, noted): (Option<&Attempt>, Option<NoteSign>), chosen: bool) -> bool {
    let p = palette(ui);
    let (rect, response) = ui.allocate_exact_size(vec2(ui.available_width() - 6.0, ROW), Sense::click());
    let Some(a) = attempt else {
        ui.painter().text(
            rect.left_center() + vec2(14.0, 0.0),
            Align2::LEFT_CENTER,
            "…",
            theme::font(17.0),
            p.soft,
        );
        return false;
    };
    let mut words = said(a);
    if let Some(noted) = noted {
        words = format!("{words}, {}", noted.words());
    }
    parts::list_row(ui, (rect, &response), chosen, &words, |ui| {
        cells(ui, a, rect);
        if let Some(noted) = noted {
            sign(ui, noted, rect);
        }
    })
}

/// The sign of a note, before the counts; on a ground of its own where the note waits for an answer.
fn sign(ui: &Ui, noted: NoteSign, row: Rect) {
    let p = palette(ui);
    let square = Rect::from_center_size(row.left_top() + vec2(SIGN.0, 18.0), Vec2::splat(SIGN.1));
    if noted.waits {
        ui.painter().rect_filled(square.expand(3.0), 4, p.care_wash);
    }
    let colour = if noted.waits { p.care } else { p.soft };
    icons::paint(ui.painter(), Icon::Note, square, colour);
}

/// What stands in a row: word and time, the three counts, verdict and ruling.
fn cells(ui: &Ui, a: &Attempt, rect: Rect) {
    let p = palette(ui);
    let painter = ui.painter_at(rect.shrink(6.0));
    let text = |x: f32, y: f32, text: &str, font, colour| {
        let at = pos2(rect.left() + x, rect.top() + y);
        painter.text(at, Align2::LEFT_CENTER, text, font, colour);
    };

    text(14.0, 18.0, &a.word, theme::bold_font(17.0), p.ink);
    // The day stands in the heading above.
    let hour = a.hour().unwrap_or_default();
    text(14.0, 37.0, &hour, theme::font(13.0), p.soft);
    let number = |n: Option<u16>| n.map_or("–".to_owned(), |n| n.to_string());
    let counts = format!("{} · {} · {}", a.expected_now, number(a.edits.child), number(a.heard));
    let off = a.miscounted();
    text(
        170.0,
        18.0,
        &counts,
        theme::font(16.0),
        if off { p.warm } else { p.ink },
    );
    let verdict = a.verdict.map_or("not judged", called);
    text(286.0, 18.0, verdict, theme::font(14.5), p.ink);
    let rulings = in_brief(a);
    let colour = if a.disagreed() { p.warm } else { p.good };
    match rulings {
        Some(rulings) => text(170.0, 37.0, &rulings, theme::font(13.0), colour),
        None => {
            text(170.0, 37.0, "word · child · heard", theme::font(11.5), p.soft);
            text(286.0, 37.0, "no ruling yet", theme::font(13.0), p.soft);
        }
    }
}

/// The same in so few letters that two people's rulings stand beside each other in a row.
fn in_brief(a: &Attempt) -> Option<String> {
    let brief = |verdict: Verdict| match verdict {
        Verdict::Same => "own sounds",
        Verdict::Fewer => "fewer",
        Verdict::More => "more",
        Verdict::Changed => "changed",
        Verdict::Unsure => "cannot tell",
    };
    let each = a
        .edits
        .rulings
        .iter()
        .map(|r| format!("{}: {}", r.by, brief(r.verdict)));
    let each: Vec<String> = each.collect();
    (!each.is_empty()).then(|| each.join("; "))
}

/// Who ruled what, side by side; none where nobody did.
pub fn rulings(a: &Attempt) -> Option<String> {
    let each = a
        .edits
        .rulings
        .iter()
        .map(|r| format!("{}: {}", r.by, called(r.verdict)));
    let each: Vec<String> = each.collect();
    (!each.is_empty()).then(|| each.join("; "))
}

/// A row in words.
fn said(a: &Attempt) -> String {
    let number = |n: Option<u16>| n.map_or("none".to_owned(), |n| n.to_string());
    let ruling = rulings(a).unwrap_or("no ruling".to_owned());
    format!(
        "{}, {}, expected {}, child {}, heard {}, {}, {ruling}",
        a.word,
        a.when(),
        a.expected_now,
        number(a.edits.child),
        number(a.heard),
        a.verdict.map_or("not judged", called)
    )
}

fn sound(ui: &mut Ui, chosen: &mut Option<Sound>) {
    let name = |s: Option<Sound>| {
        s.map_or("Any sound".to_owned(), |s| {
            format!("Sound {}", inventory::of(s).shown())
        })
    };
    let combo = ComboBox::from_id_salt("filter by sound")
        .selected_text(name(*chosen))
        .width(116.0);
    combo.show_ui(ui, |ui| {
        ui.selectable_value(chosen, None, name(None));
        for sound in Sound::all() {
            let entry = inventory::of(sound);
            ui.selectable_value(chosen, Some(sound), format!("{}  /{}/", entry.shown(), entry.ipa));
        }
    });
}

fn verdict(ui: &mut Ui, chosen: &mut Option<Verdict>) {
    let name = |v: Option<Verdict>| v.map_or("Any verdict", called);
    let combo = ComboBox::from_id_salt("filter by verdict")
        .selected_text(name(*chosen))
        .width(138.0);
    combo.show_ui(ui, |ui| {
        ui.selectable_value(chosen, None, name(None));
        for verdict in Verdict::ALL {
            ui.selectable_value(chosen, Some(verdict), called(verdict));
        }
    });
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::notebook::IMPORTED_TIMED;
    use jiff::civil::date;

    #[test]
    fn the_words_of_a_plan_are_not_told_as_tried() {
        let run = |plans: &[&str]| AttemptRun {
            day: date(2026, 11, 24),
            plans: plans.iter().map(|plan| (*plan).to_owned()).collect(),
            attempts: 2,
        };
        assert_eq!(
            heading(&run(&["mud mug rug"])),
            "Tue 24 Nov 2026: 2 attempts; planned: mud mug rug"
        );
        assert_eq!(heading(&run(&[])), "Tue 24 Nov 2026: 2 attempts");
        // Nobody planned what was recorded before and brought in.
        assert!(heading(&run(&[IMPORTED_TIMED])).ends_with("2 attempts; Imported recordings"));
    }
}
