//! Goals, and lessons as a list: when, what was planned, what was done, a line on how it went.

use std::collections::BTreeMap;

use egui::{ComboBox, ScrollArea, TextEdit, Ui, vec2};
use jiff::civil::Date;
use soundbead_data::course::Choice;
use soundbead_data::{Sound, inventory};

use super::{attempt, lesson_row, review};
use crate::later::Latest;
use crate::notebook::{Goal, GoalBody, GoalSubject, Id, LessonRow, ListRange, Moment, NotebookError, Settled};
use crate::review::days::typed_day;
use crate::ui::day::{DayAsk, DayField};
use crate::ui::icons::Icon;
use crate::ui::parts::{self, BannerTone, Button};
use crate::ui::shared::Shared;
use crate::ui::theme::TOUCH;
use crate::wording;

/// Lessons that are shown at first, and how many more at each asking.
const SHOWN: u64 = 30;
/// Months that are open at first; the others stand folded below them.
const MONTHS: usize = 2;
/// Room around what stands below a lesson's line, in points: under the plan, away from the next line.
const BELOW: egui::Margin = egui::Margin {
    left: 14,
    right: 14,
    top: 2,
    bottom: 10,
};
/// What each key does, for the help page.
const KEYS: [(&str, &str); 3] = [
    ("Tab, ↓, ↑", "from lesson to lesson, from month to month"),
    ("Enter", "more of a lesson; fold a month"),
    ("Esc", "leave what is being written"),
];
/// How wide the lines may be.
const WIDE: f32 = 900.0;
/// How far ahead a goal's day may lie, in years: a typed day without a year is the next such day.
const AHEAD_YEARS: i16 = 1;

/// What is being written, and of what.
#[derive(Clone, Debug, PartialEq)]
enum LessonField {
    /// How a lesson went.
    Went(Id),
    /// What settled a goal.
    Settles(Id),
    /// A new goal.
    Goal,
}

/// The lessons and goals.
#[derive(Default)]
pub struct LessonsPart {
    who: Option<Id>,
    lessons: Latest<Vec<LessonRow>, NotebookError>,
    goals: Latest<Vec<Goal>, NotebookError>,
    shown: u64,
    /// Months that were opened or folded by hand.
    months: BTreeMap<MonthOfYear, bool>,
    /// The lesson of which all is shown.
    opened: Option<Id>,
    /// Whether it was opened just now: then it is brought into sight.
    unfolded: bool,
    writing: Option<LessonField>,
    /// Whether the field was shown before: at first it has the keyboard.
    begun: bool,
    typed: String,
    new: NewGoal,
    changed: Latest<(), NotebookError>,
    removed: Latest<Goal, NotebookError>,
    /// A goal on its way back: what is being written meanwhile stays.
    restored: Latest<(), NotebookError>,
    out: Vec<Goal>,
    done: Option<String>,
}

/// A month of a year, 1 to 12.
type MonthOfYear = (i16, i8);

fn month(day: Date) -> MonthOfYear {
    (day.year(), day.month())
}

/// A goal as it is typed.
struct NewGoal {
    sound: Option<Sound>,
    choice: Option<Choice>,
    by: DayField,
    evidence: String,
}

impl Default for NewGoal {
    fn default() -> Self {
        NewGoal {
            sound: Some(Sound::TH),
            choice: None,
            by: DayField::default(),
            evidence: String::new(),
        }
    }
}

impl LessonsPart {
    /// Asks for everything anew when it is next shown.
    pub fn stale(&mut self) {
        (self.lessons, self.goals) = (Latest::default(), Latest::default());
    }

    /// Shows them; the day to which the attempts are to go, once a lesson is opened.
    pub fn show(&mut self, ui: &mut Ui, shared: &mut Shared, learner: Id) -> Option<Date> {
        if self.who != Some(learner) {
            *self = LessonsPart {
                who: Some(learner),
                ..LessonsPart::default()
            };
        }
        self.poll(shared, learner);
        shared.keys(&KEYS);
        // Esc leaves what is being written, not the view.
        if self.writing.is_some() && parts::escape(ui) {
            self.writing = None;
        }
        let mut day = None;
        let undo = review::done_line(ui, self.done.as_deref().map(|line| (line, !self.out.is_empty())));
        if let Some(goal) = self.out.pop_if(|_| undo) {
            self.done = None;
            self.restored
                .ask(shared.notebook.ask(move |n| n.restore_goal(learner, &goal)));
        }
        let area = ScrollArea::vertical().id_salt(("lessons", learner));
        area.auto_shrink([false, false]).show(ui, |ui| {
            ui.set_max_width(WIDE.min(ui.available_width() - 12.0));
            self.goals(ui, shared, learner);
            ui.add_space(10.0);
            parts::section(ui, "Lessons");
            day = self.lessons(ui, shared);
        });
        day
    }

    fn poll(&mut self, shared: &mut Shared, learner: Id) {
        self.shown = self.shown.max(SHOWN);
        if self.lessons.untouched() {
            let page = ListRange {
                skip: 0,
                take: self.shown,
            };
            self.lessons
                .ask(shared.notebook.ask(move |n| n.lesson_list(learner, page)));
        }
        if self.goals.untouched() {
            self.goals.ask(shared.notebook.ask(move |n| n.goals(learner)));
        }
        self.lessons.take(shared);
        self.goals.take(shared);
        if self.changed.take(shared) {
            (self.writing, self.begun) = (None, false);
            self.new = NewGoal::default();
            self.renew(shared, learner);
        }
        if self.restored.take(shared) {
            self.restored.value = None;
            self.renew(shared, learner);
        }
        if self.removed.take(shared)
            && let Some(goal) = self.removed.value.take()
        {
            self.done = Some(format!("The goal on {} is taken out.", goal.body.about));
            self.out.push(goal);
            self.renew(shared, learner);
        }
    }

    /// Asks for both anew, while what was there is still shown.
    fn renew(&mut self, shared: &Shared, learner: Id) {
        let page = ListRange {
            skip: 0,
            take: self.shown,
        };
        self.lessons
            .ask(shared.notebook.ask(move |n| n.lesson_list(learner, page)));
        self.goals.ask(shared.notebook.ask(move |n| n.goals(learner)));
    }

    fn write(&mut self, what: LessonField, text: &str) {
        (self.writing, self.begun) = (Some(what), false);
        self.typed = text.to_owned();
    }

    /// A line that is typed; the line once Enter or the button was pressed.
    fn line(&mut self, ui: &mut Ui, name: &str, verb: &str) -> Option<String> {
        let mut given = false;
        ui.horizontal_wrapped(|ui| {
            let label = ui.label(name);
            let field = TextEdit::singleline(&mut self.typed)
                .desired_width(430.0)
                .min_size(vec2(0.0, TOUCH))
                .align(egui::Align2::LEFT_CENTER);
            let field = ui.add(field).labelled_by(label.id);
            if !std::mem::replace(&mut self.begun, true) {
                field.request_focus();
            }
            given = field.lost_focus() && ui.input(|i| i.key_pressed(egui::Key::Enter));
            let ready = !self.changed.busy();
            given |= Button::text(verb).lead().enabled(ready).show(ui).clicked();
            if Button::text("Cancel").quiet().show(ui).clicked() {
                self.writing = None;
            }
        });
        given.then(|| self.typed.clone())
    }

    fn goals(&mut self, ui: &mut Ui, shared: &mut Shared, learner: Id) {
        ui.horizontal_wrapped(|ui| {
            parts::section(ui, "Goals");
            if self.writing.is_none() && Button::both(Icon::Add, "Set a goal").quiet().show(ui).clicked() {
                self.write(LessonField::Goal, "");
            }
        });
        if self.writing == Some(LessonField::Goal) {
            parts::card(ui, |ui| self.new_goal(ui, shared, learner));
        }
        let goals = self.goals.value.clone().unwrap_or_default();
        if goals.is_empty() && self.goals.value.is_some() && self.writing != Some(LessonField::Goal) {
            parts::note(
                ui,
                "A goal names a sound or a choice of spelling, a day, and the evidence that will settle it.",
            );
        }
        for goal in &goals {
            ui.add_space(4.0);
            parts::card(ui, |ui| {
                ui.set_width(ui.available_width());
                self.goal(ui, shared, goal);
            });
        }
    }

    fn goal(&mut self, ui: &mut Ui, shared: &mut Shared, goal: &Goal) {
        let (about, body) = (goal.body.about.to_string(), &goal.body);
        let today = jiff::Zoned::now().date();
        // Line and buttons in one row, where there is room: the lessons are below.
        ui.horizontal_wrapped(|ui| {
            ui.label(wording::goal(goal, today));
            let (settle, open, out) = (
                format!("Settle the goal on {about}"),
                format!("Open the goal on {about} again"),
                format!("Take out the goal on {about}"),
            );
            if body.settled.is_none() {
                if Button::text("Settle").name(&settle).quiet().show(ui).clicked() {
                    self.write(LessonField::Settles(goal.id), "");
                }
            } else if Button::text("Open again").name(&open).quiet().show(ui).clicked() {
                let (id, body) = (
                    goal.id,
                    GoalBody {
                        settled: None,
                        ..body.clone()
                    },
                );
                self.changed.ask(shared.notebook.ask(move |n| n.change_goal(id, &body)));
            }
            if Button::text("Take out").name(&out).quiet().show(ui).clicked() {
                let id = goal.id;
                self.removed.ask(shared.notebook.ask(move |n| n.remove_goal(id)));
            }
        });
        if self.writing == Some(LessonField::Settles(goal.id))
            && let Some(evidence) = self.line(ui, "What settled it", "Settle")
        {
            let settled = Settled {
                at: Moment::now(),
                by: shared.prefs.author,
                evidence: evidence.trim().to_owned(),
            };
            let body = GoalBody {
                settled: Some(settled),
                ..body.clone()
            };
            let id = goal.id;
            self.changed.ask(shared.notebook.ask(move |n| n.change_goal(id, &body)));
        }
    }

    fn new_goal(&mut self, ui: &mut Ui, shared: &mut Shared, learner: Id) {
        ui.set_width(ui.available_width());
        ui.horizontal_wrapped(|ui| {
            ui.spacing_mut().item_spacing = vec2(6.0, 6.0);
            about(ui, &mut self.new);
            self.new.by(ui);
            out_of(
                ui,
                "Settled by",
                "9 of 10 words right in two dictations",
                &mut self.new.evidence,
                330.0,
            );
        });
        let by = by_day(&self.new.by.text, jiff::Zoned::now().date());
        if let Err(line) = by {
            parts::banner(ui, BannerTone::Care, line);
        }
        if let Some(author) = attempt::who(ui, shared.prefs.author) {
            shared.prefs.author = author;
        }
        ui.horizontal(|ui| {
            let ready = by.is_ok() && !self.changed.busy();
            if Button::text("Set the goal").lead().enabled(ready).show(ui).clicked()
                && let Ok(by) = by
            {
                let body = GoalBody {
                    by,
                    evidence: self.new.evidence.trim().to_owned(),
                    ..GoalBody::about(self.new.about())
                };
                let author = shared.prefs.author;
                self.changed.ask(
                    shared
                        .notebook
                        .ask(move |n| n.set_goal(learner, author, &body).map(|_| ())),
                );
            }
            if Button::text("Cancel").show(ui).clicked() {
                self.writing = None;
            }
        });
    }

    fn lessons(&mut self, ui: &mut Ui, shared: &mut Shared) -> Option<Date> {
        let Some(lessons) = self.lessons.value.clone() else {
            ui.spinner();
            return None;
        };
        if lessons.is_empty() {
            parts::note(
                ui,
                "No lesson yet. Each is listed here with its plan, what was done, and how it went.",
            );
        }
        let mut day = None;
        let more = lessons.len() as u64 >= self.shown;
        let months: Vec<&[LessonRow]> = lessons.chunk_by(|a, b| month(a.day) == month(b.day)).collect();
        for (nth, of_month) in months.iter().enumerate() {
            let key = month(of_month[0].day);
            let open = self.months.get(&key).copied().unwrap_or(nth < MONTHS);
            // Of the last month more lessons may be to come.
            let whole = !more || nth + 1 < months.len();
            if lesson_row::month_head(ui, of_month, open, whole) {
                self.months.insert(key, !open);
            }
            for lesson in of_month.iter().filter(|_| open) {
                day = day.or(self.lesson(ui, shared, lesson));
            }
        }
        if more && Button::text("Show earlier lessons").show(ui).clicked() {
            self.shown += SHOWN;
            self.lessons = Latest::default();
        }
        day
    }

    /// One lesson in a line; below it all of it, where that is asked for.
    fn lesson(&mut self, ui: &mut Ui, shared: &mut Shared, lesson: &LessonRow) -> Option<Date> {
        let open = self.opened == Some(lesson.session);
        if lesson_row::line(ui, lesson, open) {
            (self.opened, self.unfolded) = ((!open).then_some(lesson.session), !open);
            self.writing = self.writing.take().filter(|w| !matches!(w, LessonField::Went(_)));
        }
        if !open {
            return None;
        }
        let mut day = None;
        let below = egui::Frame::new().inner_margin(BELOW).show(ui, |ui| {
            ui.set_width(ui.available_width());
            day = self.whole_lesson(ui, shared, lesson);
        });
        if std::mem::take(&mut self.unfolded) {
            below.response.scroll_to_me(None);
        }
        day
    }

    fn whole_lesson(&mut self, ui: &mut Ui, shared: &mut Shared, lesson: &LessonRow) -> Option<Date> {
        let mut opened = None;
        let day = wording::week_day(lesson.day);
        ui.label(format!("{}.", lesson_row::plan_or_none(lesson)));
        ui.label(format!("Done: {}.", lesson_row::done(lesson)));
        let typing = self.writing == Some(LessonField::Went(lesson.session));
        if typing {
            if let Some(line) = self.line(ui, "How it went", "Keep") {
                let id = lesson.session;
                self.changed
                    .ask(shared.notebook.ask(move |n| n.say_how_it_went(id, &line)));
            }
            return None;
        }
        let verb = match &lesson.went {
            Some(went) => {
                ui.label(format!("It went: {went}"));
                "Change how it went"
            }
            None => "Say how it went",
        };
        ui.horizontal_wrapped(|ui| {
            let open = format!("Open the lesson of {day}");
            if lesson.attempts > 0 && Button::text("Open its attempts").name(&open).show(ui).clicked() {
                opened = Some(lesson.day);
            }
            let name = format!("{verb}: {day}");
            if Button::text(verb).name(&name).quiet().show(ui).clicked() {
                let went = lesson.went.clone().unwrap_or_default();
                self.write(LessonField::Went(lesson.session), &went);
            }
        });
        opened
    }
}

impl NewGoal {
    /// The day by which it is to be reached.
    fn by(&mut self, ui: &mut Ui) {
        let today = jiff::Zoned::now().date();
        ui.label("By");
        let ask = DayAsk {
            name: "By",
            hint: "20 Dec",
            width: 110.0,
            at: today,
            newest: year_ahead(today),
            within: (Some(today), None),
            marked: &|_| false,
        };
        self.by.show(ui, &ask);
    }

    fn about(&self) -> GoalSubject {
        match (self.choice, self.sound) {
            (Some(choice), _) => GoalSubject::Choice(choice.name().to_owned()),
            (None, sound) => GoalSubject::Sound(sound.unwrap_or(Sound::TH)),
        }
    }
}

/// What the goal is on: a sound, or a choice of spelling.
fn about(ui: &mut Ui, new: &mut NewGoal) {
    let called = |s: Sound| {
        let entry = inventory::of(s);
        format!("the sound {}  /{}/", entry.shown(), entry.ipa)
    };
    let shown = match (new.choice, new.sound) {
        (Some(choice), _) => choice.name().to_owned(),
        (None, sound) => called(sound.unwrap_or(Sound::TH)),
    };
    ui.label("On");
    ComboBox::from_id_salt("goal on")
        .selected_text(shown)
        .width(190.0)
        .show_ui(ui, |ui| {
            for choice in Choice::ALL {
                if ui
                    .selectable_label(new.choice == Some(*choice), choice.name())
                    .clicked()
                {
                    (new.choice, new.sound) = (Some(*choice), None);
                }
            }
            for sound in Sound::all() {
                if ui.selectable_label(new.sound == Some(sound), called(sound)).clicked() {
                    (new.choice, new.sound) = (None, Some(sound));
                }
            }
        });
}

/// A field with its name before it.
fn out_of(ui: &mut Ui, name: &str, hint: &str, text: &mut String, width: f32) {
    let label = ui.label(name);
    let field = TextEdit::singleline(text)
        .hint_text(hint)
        .desired_width(width)
        .min_size(vec2(0.0, TOUCH))
        .align(egui::Align2::LEFT_CENTER);
    ui.add(field).labelled_by(label.id);
}

/// The same day so many years ahead; the 28th in the place of a later one, which not every such month has.
fn year_ahead(today: Date) -> Date {
    Date::new(today.year() + AHEAD_YEARS, today.month(), today.day().min(28)).unwrap_or(today)
}

/// The day by which a goal is to be reached, as it is typed: without a year, the next such day.
///
/// A day that has passed is none.
fn by_day(text: &str, today: Date) -> Result<Option<Date>, &'static str> {
    if text.trim().is_empty() {
        return Ok(None);
    }
    match typed_day(text, year_ahead(today)) {
        None => Err("Type a day such as 20 Dec or 2026-12-20, or leave it open."),
        Some(day) if day < today => Err("That day has passed; a goal is for a day to come."),
        day => Ok(day),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use jiff::civil::date;

    #[test]
    fn a_goal_is_for_a_day_to_come() {
        let today = date(2026, 11, 29);
        assert_eq!(by_day("20 Dec", today), Ok(Some(date(2026, 12, 20))));
        assert_eq!(by_day("3 Mar", today), Ok(Some(date(2027, 3, 3))));
        assert_eq!(by_day(" ", today), Ok(None));
        assert!(by_day("1 Jan 2020", today).is_err() && by_day("2026-11-28", today).is_err());
    }
}
