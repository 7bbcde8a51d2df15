//! All learners at a glance, for a consultant who looks in now and then: one page, from which any of it opens.

use egui::{Key, Modifiers, ScrollArea, Ui, vec2};
use jiff::civil::Date;
use soundbead_dsp::judgement::Verdict;

use super::review;
use crate::ask::desk::{self, DeskAnswer, DeskSince};
use crate::later::Latest;
use crate::notebook::{DUE_WITHIN, DeskEntry, Filter, Id, Learner, NotebookError, OpenWork};
use crate::say::capital;
use crate::ui::icons::Icon;
use crate::ui::parts::{self, Button};
use crate::ui::settings;
use crate::ui::shared::Shared;
use crate::wording;

/// What each key does, for the help page.
const KEYS: [(&str, &str); 1] = [("Ctrl+Z", "undo: what counted as seen is new again")];

/// Where the desk leads.
#[derive(Clone, Debug, PartialEq)]
pub enum DeskOpens {
    /// A learner's attempts.
    Learner(Learner),
    /// One recording.
    Attempt(Learner, Id),
    /// The attempts that a filter picks.
    Picked(Learner, Box<Filter>),
    /// Today's lesson, with what is due.
    Today(Learner),
}

/// The desk.
#[derive(Default)]
pub struct DeskPart {
    all: Latest<DeskAnswer, NotebookError>,
    /// A clearing on its way, or its undoing; what is to be said of it.
    cleared: Latest<&'static str, NotebookError>,
    /// What was done last, and whether it can be undone.
    done: Option<(&'static str, bool)>,
}

const CLEARED: &str = "All of it counts as seen. What comes in from now on is new; what wants a ruling stays.";
const UNCLEARED: &str = "It is new again, as before.";

impl DeskPart {
    /// Asks for everything anew when it is next shown.
    pub fn stale(&mut self) {
        self.all = Latest::default();
    }

    /// Shows it; where it leads, once something of it is opened.
    pub fn show(&mut self, ui: &mut Ui, shared: &mut Shared) -> Option<DeskOpens> {
        if self.all.untouched() {
            let today = jiff::Zoned::now().date();
            self.all.ask(shared.notebook.ask(move |n| desk::desk(n, None, today)));
        }
        self.all.take(shared);
        if self.cleared.take(shared)
            && let Some(line) = self.cleared.value.take()
        {
            self.done = Some((line, line == CLEARED));
            self.stale();
        }
        let Some(answer) = &self.all.value else {
            ui.spinner();
            return None;
        };
        let mut clear = false;
        ui.horizontal_wrapped(|ui| {
            parts::section(ui, &since(answer.since));
            clear = Button::text("I have looked at all of it").show(ui).clicked();
        });
        shared.keys(&KEYS);
        let can_undo = self.done.is_some_and(|(_, can)| can);
        let key = can_undo && ui.input_mut(|i| i.consume_key(Modifiers::COMMAND, Key::Z));
        let undo = review::done_line(ui, self.done) || key;
        let mut opens = None;
        ScrollArea::vertical()
            .id_salt("desk")
            .auto_shrink([false, false])
            .show(ui, |ui| {
                ui.set_max_width(ui.available_width() - 12.0);
                opens = cards(ui, answer);
                settings::care_line(ui);
            });
        let seen = answer.seen;
        if clear {
            self.cleared
                .ask(shared.notebook.ask(move |n| n.clear_desk(seen).map(|()| CLEARED)));
        } else if undo {
            self.cleared
                .ask(shared.notebook.ask(|n| n.unclear_desk().map(|_| UNCLEARED)));
        }
        opens
    }
}

/// From when on things are new, in words.
fn since(since: DeskSince) -> String {
    let day = wording::week_day(since.day());
    match since {
        DeskSince::Asked(_) => format!("New since {day}"),
        DeskSince::Visit(_) => format!("New since you last looked at all of it, {day}"),
        DeskSince::Weeks(_) => format!("New in the last four weeks, since {day}"),
    }
}

/// The learners below each other; where that leads.
fn cards(ui: &mut Ui, answer: &DeskAnswer) -> Option<DeskOpens> {
    let all: Vec<Learner> = answer.entries.iter().map(|e| e.learner.clone()).collect();
    let mut opens = None;
    for entry in &answer.entries {
        let called = entry.learner.at_desk(&all);
        parts::card(ui, |ui| {
            ui.set_width(ui.available_width());
            opens = opens.take().or(card(ui, entry, (&called, answer.open)));
        });
        ui.add_space(6.0);
    }
    opens
}

/// One learner; where that leads.
fn card(ui: &mut Ui, e: &DeskEntry, (called, open): (&str, OpenWork)) -> Option<DeskOpens> {
    let mut opens = None;
    let who = &e.learner;
    let today = jiff::Zoned::now().date();
    ui.horizontal_wrapped(|ui| {
        parts::section(ui, called);
        let open = format!("Open {called}");
        if Button::text("Open").name(&open).show(ui).clicked() {
            opens = Some(DeskOpens::Learner(who.clone()));
        }
        // In the same row: a learner takes few of them, and more learners are in sight.
        parts::note(ui, &last(e, today));
        ui.label(desk::new(e));
    });
    opens = opens.or(to_rule(ui, e, open)).or(worth(ui, e));
    for line in desk::open(e, today) {
        ui.label(line);
    }
    if !e.due.is_empty() {
        ui.horizontal_wrapped(|ui| {
            ui.label(format!(
                "Due to write, of the last {DUE_WITHIN} days: {}.",
                desk::due(e)
            ));
            let plan = format!("Plan for {}", who.name);
            if Button::text("To Today").name(&plan).quiet().show(ui).clicked() {
                opens = Some(DeskOpens::Today(who.clone()));
            }
        });
    }
    opens
}

/// The last lesson, in a line.
fn last(e: &DeskEntry, today: Date) -> String {
    match &e.last {
        None => format!("{}.", capital(desk::no_lesson(e))),
        Some(lesson) => {
            let day = wording::week_day(lesson.day);
            let plan = wording::planned(&lesson.plan).map_or(String::new(), |plan| format!(", {plan}"));
            let gap = wording::long_gap(lesson.day, today);
            let gap = gap.map_or(String::new(), |gap| format!(" ({gap})"));
            format!("Last lesson {day}{plan}{gap}")
        }
    }
}

/// What wants a ruling, what is unsure first.
fn to_rule(ui: &mut Ui, e: &DeskEntry, open: OpenWork) -> Option<DeskOpens> {
    if e.unruled + e.apart == 0 {
        return None;
    }
    let (who, mut opens) = (&e.learner, None);
    ui.horizontal_wrapped(|ui| {
        ui.spacing_mut().item_spacing = vec2(8.0, 6.0);
        let mut link = |ui: &mut Ui, text: String, filter: Filter| {
            let name = format!("{}: {text}", who.name);
            if Button::text(&text).name(&name).show(ui).clicked() {
                opens = Some(DeskOpens::Picked(who.clone(), Box::new(filter)));
            }
        };
        if e.unsure > 0 {
            let filter = Filter {
                unruled: true,
                verdict: Some(Verdict::Unsure),
                judged: true,
                open: Some(open),
                ..Filter::default()
            };
            link(ui, format!("{} unsure, not ruled on", e.unsure), filter);
        }
        if e.unruled > e.unsure {
            let filter = Filter {
                unruled: true,
                judged: true,
                open: Some(open),
                ..Filter::default()
            };
            link(ui, format!("{} not ruled on in all", e.unruled), filter);
        }
        if e.apart > 0 {
            let filter = Filter {
                disagreed: true,
                open: Some(open),
                ..Filter::default()
            };
            link(ui, format!("{} heard differently", e.apart), filter);
        }
    });
    opens
}

/// The recordings most worth hearing.
fn worth(ui: &mut Ui, e: &DeskEntry) -> Option<DeskOpens> {
    if e.worth.is_empty() {
        return None;
    }
    let mut opens = None;
    ui.horizontal_wrapped(|ui| {
        // Buttons without an edge are high enough to stand close.
        ui.spacing_mut().item_spacing.y = 0.0;
        ui.label("Most worth hearing:");
        for a in &e.worth {
            let day = a.day.strftime("%a %-d %b");
            let line = format!("{}, {day} ({})", a.word, desk::why(a));
            let name = format!("Hear {} of {}: {line}", a.word, e.learner.name);
            if Button::both(Icon::Play, &line).name(&name).quiet().show(ui).clicked() {
                opens = Some(DeskOpens::Attempt(e.learner.clone(), a.id));
            }
        }
    });
    opens
}
