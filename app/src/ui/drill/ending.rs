//! The end of a lesson: the child's string with today's beads on it, what was done, what was new, one thing for tomorrow.

use egui::{Key, Modifiers, RichText, Ui};

use super::beads;
use super::start::BesideLesson;
use crate::drill::ending::LessonEnding;
use crate::drill::plan_parts::PlanPart;
use crate::drill::reading::LEAST_WORDS;
use crate::drill::session::Intent;
use crate::say::many;
use crate::ui::icons::Icon;
use crate::ui::parts::{self, Button};
use crate::ui::shared::{MainView, Shared};
use crate::ui::to_print::ToPrint;

/// Width of the column in the middle, in points.
const COLUMN: f32 = 640.0;

/// Height of the end of a whole plan, in points; as measured with words, cards and writing.
const WHOLE: f32 = 660.0;

/// Width at which the ways on fit side by side, in points; as measured with all of them.
const ROW: f32 = 1010.0;

/// What the plan has besides the words that are over now.
#[derive(Clone, Copy, Debug)]
pub struct MoreWork {
    /// Words to write.
    pub writing: bool,
    /// Cards to sort.
    pub sort: bool,
    /// What comes next of these.
    pub next: Option<PlanPart>,
    /// Sentences to put in order.
    pub sentences: bool,
}

/// Shows it. Gives what is to be done beside the lesson, where that was asked for.
pub fn show(
    ui: &mut Ui,
    shared: &mut Shared,
    (ending, more): (&LessonEnding, MoreWork),
    out: &mut Vec<Intent>,
) -> Option<BesideLesson> {
    let mut beside = None;
    let next = match more.next {
        Some(PlanPart::Cards) => "on to the cards",
        Some(PlanPart::Writing) => "on to the writing",
        Some(PlanPart::Words) | None => "close the lesson",
    };
    shared.key("Enter", next);
    shared.key("Esc", "close the lesson");
    let free = ui.memory(|m| m.focused().is_none() && m.top_modal_layer().is_none());
    let pressed = |key| ui.input_mut(|i| i.consume_key(Modifiers::NONE, key));
    if free && pressed(Key::Escape) {
        close(shared, out);
    }
    if free && pressed(Key::Enter) {
        match more.next {
            Some(PlanPart::Cards) => beside = Some(BesideLesson::Sort),
            Some(PlanPart::Writing) => write(shared),
            Some(PlanPart::Words) | None => close(shared, out),
        }
    }
    // In sight at any height: the way on is not to be looked for.
    let foot = egui::Frame::new().inner_margin(egui::Margin {
        top: 8,
        ..egui::Margin::ZERO
    });
    let foot = egui::Panel::bottom("ending foot").resizable(false).frame(foot);
    foot.show_separator_line(false).show(ui, |ui| {
        beside = ways_on(ui, shared, (ending, more), out).or(beside.take());
    });
    // After each part it begins at its beginning.
    egui::ScrollArea::vertical()
        .id_salt(("ending", ending.besides.len()))
        .auto_shrink(false)
        .show(ui, |ui| {
            let width = ui.available_width().min(COLUMN);
            let side = (ui.available_width() - width) / 2.0;
            ui.horizontal(|ui| {
                ui.add_space(side);
                ui.vertical(|ui| {
                    ui.set_width(width);
                    ui.spacing_mut().item_spacing.y = 10.0;
                    ui.add_space(((ui.clip_rect().height() - WHOLE) / 3.0).clamp(0.0, 60.0));
                    told(ui, shared, (ending, more.next));
                });
            });
        });
    beside
}

/// The ways on, in one row; what the plan has next leads.
fn ways_on(
    ui: &mut Ui,
    shared: &mut Shared,
    (ending, more): (&LessonEnding, MoreWork),
    out: &mut Vec<Intent>,
) -> Option<BesideLesson> {
    let reading = shared.learner.is_some() && taught(ending);
    let (sort_leads, writing_leads) = (more.next == Some(PlanPart::Cards), more.next == Some(PlanPart::Writing));
    let named = |leads: bool, [next, later, again]: [&'static str; 3]| match more.next {
        // All of the plan is done: what is offered is nothing that is still to come.
        None => again,
        Some(_) if leads => next,
        Some(_) => later,
    };
    let led = |button: Button<'static>, leads: bool| match leads {
        true => button.lead().key("Enter"),
        false => button,
    };
    let mut wanted = None;
    parts::row_in_the_middle(ui, "ways on", |ui| {
        if more.sort {
            let text = named(
                sort_leads,
                ["Now the cards to sort", "The cards to sort", "The cards once more"],
            );
            let sort = way(ui, Icon::Plan, text, "Cards to sort");
            if led(sort, sort_leads).show(ui).clicked() {
                wanted = Some(BesideLesson::Sort);
            }
        }
        if more.writing {
            let text = named(
                writing_leads,
                ["Now the writing", "The writing", "The writing once more"],
            );
            let writing = way(ui, Icon::Writing, text, "The writing");
            if led(writing, writing_leads).show(ui).clicked() {
                write(shared);
            }
        }
        wanted = besides(ui, more, reading).or(wanted.take());
        let close_it = Button::both(Icon::Done, "Close").name("Close the lesson");
        let close_it = match more.next {
            Some(_) => close_it.quiet().key("Esc"),
            None => close_it.lead().key("Enter"),
        };
        if close_it.show(ui).clicked() {
            close(shared, out);
        }
    });
    wanted
}

/// The button of a way on; in a window without room for all of them side by side, a shorter text on it.
fn way<'a>(ui: &Ui, icon: Icon, text: &'a str, short: &'a str) -> Button<'a> {
    let narrow = ui.clip_rect().width() < ROW;
    Button::both(icon, if narrow { short } else { text }).name(text)
}

/// What can be done besides.
fn besides(ui: &mut Ui, more: MoreWork, reading: bool) -> Option<BesideLesson> {
    let each = [
        (
            more.sentences,
            Icon::Writing,
            ("A sentence to put in order", "A sentence"),
            BesideLesson::Sentences,
        ),
        (
            reading,
            Icon::Today,
            ("A minute of reading", "Reading"),
            BesideLesson::Reading,
        ),
    ];
    let mut wanted = None;
    for (there, icon, (text, short), beside) in each {
        if there && way(ui, icon, text, short).quiet().show(ui).clicked() {
            wanted = Some(beside);
        }
    }
    wanted
}

/// Whether there are words enough for a minute of reading.
fn taught(ending: &LessonEnding) -> bool {
    ending.met() >= LEAST_WORDS
}

/// On to the plan's words, without a page between.
fn write(shared: &mut Shared) {
    shared.dictate = true;
    shared.go(MainView::Writing);
}

fn close(shared: &mut Shared, out: &mut Vec<Intent>) {
    out.push(Intent::Close);
    shared.go(MainView::Today);
}

/// What the child did; `next` is what comes next of the plan.
fn told(ui: &mut Ui, shared: &mut Shared, (ending, next): (&LessonEnding, Option<PlanPart>)) {
    let today = ending.beads();
    ui.vertical_centered(|ui| {
        let title = match &shared.learner {
            Some(learner) => format!("{}, {}.", ended(ending, next), learner.name),
            None => format!("{}.", ended(ending, next)),
        };
        parts::heading(ui, &title);
    });
    let earlier = ending.before.as_ref().map_or(0, |before| before.beads);
    beads::won(ui, earlier, today);
    ui.vertical_centered(|ui| {
        let line = match earlier {
            _ if today == 0 => String::new(),
            _ if shared.learner.is_none() || ending.before.is_none() => {
                format!("{}, one for each word.", many(today, "bead"))
            }
            0 => format!("{} on your string, one for each word.", many(today, "bead")),
            _ => format!(
                "{} more on your string: {} by now.",
                many(today, "bead"),
                many(earlier + today, "bead")
            ),
        };
        ui.label(RichText::new(line).size(19.0));
        print_string(ui, shared);
    });
    parts::card(ui, |ui| {
        ui.set_width(ui.available_width());
        if ui.clip_rect().height() < WHOLE {
            // Closer together, so that the end of a whole plan is seen at a glance.
            ui.spacing_mut().item_spacing.y = 4.0;
        }
        parts::section(ui, "What you did");
        ending
            .deeds
            .iter()
            .chain(ending.besides.iter().map(|done| &done.deed))
            .for_each(|deed| drop(ui.label(RichText::new(deed).size(19.0))));
        let fresh = ending.new_words();
        if !fresh.is_empty() {
            ui.add_space(6.0);
            parts::section(ui, "New today");
            ui.label(RichText::new(fresh.join(", ")).size(19.0));
        }
        ui.add_space(6.0);
        parts::section(ui, "To try tomorrow");
        ui.label(RichText::new(&ending.tomorrow).size(19.0));
    });
    ui.vertical_centered(|ui| parts::note(ui, &ending.kept));
}

fn ended(ending: &LessonEnding, next: Option<PlanPart>) -> &'static str {
    let cards = ending.besides.iter().any(|done| done.part == PlanPart::Cards);
    // Words of another evening are no part of what was done.
    let words = !ending.worked.is_empty();
    match (next, cards) {
        _ if words && !ending.whole => "The words are left for now",
        (None, _) => "That was today's lesson",
        (Some(_), false) => "The words are done",
        (Some(_), true) if words => "The words and the cards are done",
        (Some(_), true) => "The cards are done",
    }
}

/// The child's string is theirs to keep: on paper too, where a notebook holds it.
fn print_string(ui: &mut Ui, shared: &mut Shared) {
    let Some(learner) = shared.learner.clone() else { return };
    if Button::both(Icon::Print, "Print the string").quiet().show(ui).clicked() {
        let days = shared.notebook.ask(move |n| n.bead_days(learner.id));
        shared.print(ToPrint::string(learner.name, days));
    }
}
