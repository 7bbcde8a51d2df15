//! Today's plan: what was gathered, in order, each change with its way back.

use egui::{Frame, Key, Modifiers, Ui};
use soundbead_data::word::Overrides;

use super::super::icons::Icon;
use super::super::parts::{self, BannerTone, Button};
use super::super::settings;
use super::super::shared::{Shared, Undo};
use super::super::to_print::ToPrint;
use super::words::WordStockLoader;
use super::{FoundItem, rows};
use crate::ask::dictation::{self, DictationRequest};
use crate::drill::plan_draft::PlanDraft;
use crate::drill::plan_parts::PlanPart;
use crate::plan::{Content, Plan, PlanItem};

/// Changes that can be taken back.
const MOST_BACK: usize = 100;

/// Most sentences that are made at a time.
const MOST_SENTENCES: usize = 8;

/// What is done with an item.
enum ItemAction {
    Up,
    Down,
    Twice,
    Gone,
    /// Sentences are made of its words.
    Sentences,
    /// Dropped on it was the item of this number.
    Moved(usize),
}

/// The number of an item that is being dragged.
struct Moving(usize);

/// The plan in hand and its history.
#[derive(Default)]
pub struct Today {
    plan: Plan,
    /// As it was last kept.
    kept: Plan,
    back: Vec<Plan>,
    forth: Vec<Plan>,
    /// The plan before the text that is being typed.
    typing: Option<Plan>,
    undo: Option<Undo>,
    drill: bool,
    keep: bool,
    draft: PlanDraft,
}

impl Today {
    /// The plan in hand.
    pub fn plan(&self) -> &Plan {
        &self.plan
    }

    /// Whether there is anything in it that is not kept.
    pub fn is_unkept(&self) -> bool {
        self.plan != self.kept
    }

    /// Whether the person asked for the drill; true once.
    pub fn wants_drill(&mut self) -> bool {
        std::mem::take(&mut self.drill)
    }

    /// Whether the person asked to keep the plan; true once.
    pub fn wants_keeping(&mut self) -> bool {
        std::mem::take(&mut self.keep)
    }

    /// Puts an item at the end.
    pub fn add(&mut self, item: PlanItem, shared: &mut Shared) {
        self.change(|plan| {
            // The first item brings the rules by which it was made.
            if plan.items.is_empty() {
                plan.rules = shared.rules().clone();
            }
            plan.items.push(item);
        });
        shared.say("Added to today's plan.");
    }

    /// Takes another plan in hand; the one before can be had back.
    pub fn take(&mut self, plan: Plan) {
        self.change(|now| *now = plan.clone());
        self.kept = plan;
    }

    /// Keeps the plan as it is made, and takes in hand what was left when the program was closed.
    pub fn keep_draft(&mut self, shared: &Shared) {
        let learner = shared.learner.as_ref().map(|l| l.id);
        if let Some(plan) = self.draft.poll(&shared.notebook, learner, &self.plan) {
            self.plan = plan;
            self.kept = Plan::default();
            (self.back, self.forth) = (Vec::new(), Vec::new());
        }
    }

    /// This part of this plan is done.
    pub fn set_done(&mut self, plan: &Plan, part: PlanPart) {
        self.draft.set_done(plan, part);
    }

    /// What is left of this plan, in order.
    pub fn left(&self, plan: &Plan) -> Vec<PlanPart> {
        self.draft.left(plan)
    }

    /// Whether all of the plan in hand is done.
    pub fn is_done(&self) -> bool {
        self.draft.is_done(&self.plan)
    }

    /// Takes a plan in hand that is kept nowhere yet; the one before can be had back.
    pub fn take_new(&mut self, plan: Plan) {
        self.change(|now| *now = plan);
        self.kept = Plan::default();
    }

    /// Says that the plan in hand took the place of another, which can be put back.
    pub fn say_replaced(&mut self, shared: &mut Shared) {
        let line = format!("Today's plan is now \u{201c}{}\u{201d}.", self.plan.title);
        self.undo = Some(shared.say_with_undo(line));
    }

    /// Says that this plan was kept.
    pub fn was_kept(&mut self, plan: Plan) {
        self.kept = plan;
    }

    fn change(&mut self, change: impl FnOnce(&mut Plan)) {
        let before = self.plan.clone();
        change(&mut self.plan);
        if before != self.plan {
            self.remember(before);
        }
    }

    fn remember(&mut self, before: Plan) {
        self.forth.clear();
        self.back.push(before);
        if self.back.len() > MOST_BACK {
            self.back.remove(0);
        }
    }

    fn go_back(&mut self) {
        if let Some(plan) = self.back.pop() {
            self.forth.push(std::mem::replace(&mut self.plan, plan));
        }
    }

    fn go_forth(&mut self) {
        if let Some(plan) = self.forth.pop() {
            self.back.push(std::mem::replace(&mut self.plan, plan));
        }
    }

    /// Shows it, and takes what is dropped on it.
    pub fn show(&mut self, ui: &mut Ui, shared: &mut Shared, known: &WordStockLoader) {
        self.keys(ui, shared);
        let frame = Frame::new().inner_margin(12).corner_radius(16);
        let (_, dropped) = ui.dnd_drop_zone::<FoundItem, ()>(frame, |ui| {
            ui.set_width(ui.available_width());
            self.head(ui, shared, known.overrides());
            if self.plan.items.is_empty() {
                parts::empty(
                    ui,
                    Icon::Plan,
                    "Nothing in it yet",
                    "Find a chain, words or a sort, then add it or drag it here.",
                );
            }
            self.items(ui, shared, known);
        });
        if let Some(found) = dropped {
            self.add(found.0.clone(), shared);
        }
    }

    fn keys(&mut self, ui: &Ui, shared: &mut Shared) {
        let typing = ui.ctx().egui_wants_keyboard_input();
        let pressed = |modifiers, key| ui.input_mut(|i| i.consume_key(modifiers, key));
        if pressed(Modifiers::COMMAND, Key::S) {
            self.keep = true;
        }
        if !typing && pressed(Modifiers::COMMAND | Modifiers::SHIFT, Key::Z) {
            self.go_forth();
        }
        if !typing && pressed(Modifiers::COMMAND, Key::Z) {
            self.go_back();
        }
        if self.undo.is_some_and(|undo| shared.take_undo(undo)) {
            self.go_back();
        }
    }

    fn head(&mut self, ui: &mut Ui, shared: &mut Shared, overrides: &Overrides) {
        parts::section(ui, "Today's plan");
        let before = self.plan.clone();
        let width = ui.available_width() - 70.0;
        ui.horizontal_wrapped(|ui| {
            let field = rows::field(ui, "Title", &mut self.plan.title, "", width.max(120.0));
            self.typed(&field, before);
        });
        let some = !self.plan.items.is_empty();
        ui.horizontal_wrapped(|ui| {
            self.drill |= Button::both(Icon::Drill, "Start the drill")
                .lead()
                .enabled(some)
                .show(ui)
                .clicked();
            let unkept = self.is_unkept() && some;
            self.keep |= Button::text("Keep").enabled(unkept).key("Ctrl+S").show(ui).clicked();
            if Button::icon(Icon::Print, "Print the plan")
                .enabled(some)
                .show(ui)
                .clicked()
            {
                shared.print(ToPrint::plan(self.plan.clone(), overrides.clone()));
            }
            if Button::icon(Icon::Undo, "Take back")
                .enabled(!self.back.is_empty())
                .key("Ctrl+Z")
                .show(ui)
                .clicked()
            {
                self.go_back();
            }
            if Button::text("New")
                .quiet()
                .enabled(some || !self.plan.title.is_empty())
                .show(ui)
                .clicked()
            {
                self.change(|plan| *plan = Plan::default());
                self.kept = Plan::default();
                self.undo = Some(shared.say_with_undo("A new plan was begun."));
            }
        });
        if some {
            settings::rules_line(ui, &self.plan.rules);
        }
        if some && self.plan.rules != *shared.rules() {
            parts::banner(
                ui,
                BannerTone::Care,
                "This plan counts by other rules than those in force.",
            );
            if Button::text("Count by the rules in force").show(ui).clicked() {
                let rules = shared.rules().clone();
                self.change(|plan| plan.rules = rules);
            }
        }
    }

    /// One step of the history for a whole text, not for each letter.
    fn typed(&mut self, field: &egui::Response, before: Plan) {
        if field.gained_focus() {
            self.typing = Some(before);
        }
        if field.lost_focus()
            && let Some(before) = self.typing.take().filter(|b| *b != self.plan)
        {
            self.remember(before);
        }
    }

    /// A dictation's sentences, one on each line of a field.
    fn sentences(&mut self, ui: &mut Ui, number: usize) {
        let before = self.plan.clone();
        let Content::Dictation { sentences, .. } = &mut self.plan.items[number].content else {
            return;
        };
        let mut text = sentences.join("\n");
        let label = ui.label("Sentences, one on each line");
        let edit = egui::TextEdit::multiline(&mut text).desired_rows(2);
        let field = ui.add(edit.desired_width(f32::INFINITY));
        let field = field.labelled_by(label.id);
        if field.changed() {
            *sentences = text.split('\n').map(str::to_owned).collect();
        }
        if field.lost_focus() {
            sentences.retain(|s| !s.trim().is_empty());
        }
        self.typed(&field, before);
    }

    fn items(&mut self, ui: &mut Ui, shared: &mut Shared, known: &WordStockLoader) {
        let mut done = None;
        let count = self.plan.items.len();
        for number in 0..count {
            let rules = self.plan.rules.clone();
            let response = ui.scope(|ui| {
                parts::card(ui, |ui| {
                    ui.set_width(ui.available_width());
                    let before = self.plan.clone();
                    let item = &mut self.plan.items[number];
                    let doubts = item.doubts(&rules, known.overrides());
                    let kind = item.kind();
                    let width = ui.available_width();
                    let name = format!("{kind} {}", number + 1);
                    let field = ui.horizontal_wrapped(|ui| {
                        ui.dnd_drag_source(egui::Id::unique(("plan item", number)), Moving(number), |ui| {
                            let grip = parts::note(ui, "::");
                            parts::hint(grip, "Drag to another place")
                        });
                        rows::field(ui, &name, &mut item.title, "heading", (width - 150.0).max(100.0))
                    });
                    self.typed(&field.inner, before);
                    content(ui, &self.plan.items[number]);
                    self.sentences(ui, number);
                    let item = &self.plan.items[number];
                    doubts
                        .iter()
                        .for_each(|line| drop(parts::banner(ui, BannerTone::Care, &format!("{line}."))));
                    if let Some(what) = buttons(ui, item.kind(), number, count) {
                        done = Some((number, what));
                    }
                });
            });
            if let Some(moving) = response.response.dnd_release_payload::<Moving>() {
                done = Some((number, ItemAction::Moved(moving.0)));
            }
        }
        match done {
            Some((number, ItemAction::Sentences)) => self.make_sentences(number, shared, known),
            Some((number, what)) => self.change(|plan| do_it(plan, number, what)),
            None => {}
        }
    }

    /// Finds some sentences with a dictation's words, after those that are there; others each time.
    fn make_sentences(&mut self, number: usize, shared: &mut Shared, known: &WordStockLoader) {
        let (Content::Dictation { words, sentences }, Some(block)) = (&self.plan.items[number].content, known.block())
        else {
            return;
        };
        let words: Vec<&str> = words.iter().map(|w| w.spelling.as_str()).collect();
        let count = words.len().div_ceil(2).clamp(2, MOST_SENTENCES);
        let request = DictationRequest {
            words: &words,
            // As many again as there are, which may be among those that come.
            sentences: count + sentences.len(),
            seed: sentences.len() as u64,
        };
        let made = request.answer(block);
        let new = made.sentences.iter().map(|s| s.text.clone());
        let new: Vec<String> = new.filter(|text| !sentences.contains(text)).take(count).collect();
        let told = dictation::without(&made).unwrap_or_else(|| match new.is_empty() {
            true => "No other sentence is written with these words. Write your own.".to_owned(),
            false => "Read them through before you use them.".to_owned(),
        });
        shared.say(told);
        if new.is_empty() {
            return;
        }
        self.change(|plan| {
            if let Content::Dictation { sentences, .. } = &mut plan.items[number].content {
                sentences.extend(new);
            }
        });
    }
}

fn do_it(plan: &mut Plan, number: usize, what: ItemAction) {
    match what {
        ItemAction::Up => plan.items.swap(number, number - 1),
        ItemAction::Down => plan.items.swap(number, number + 1),
        ItemAction::Twice => plan.items.insert(number + 1, plan.items[number].clone()),
        ItemAction::Gone => drop(plan.items.remove(number)),
        // Made where the words that are kept out are known.
        ItemAction::Sentences => {}
        ItemAction::Moved(from) => {
            let item = plan.items.remove(from);
            plan.items.insert(number.min(plan.items.len()), item);
        }
    }
}

fn content(ui: &mut Ui, item: &PlanItem) {
    let line = |words: &[crate::plan::PlanWord], between: &str| {
        words
            .iter()
            .map(|w| w.spelling.as_str())
            .collect::<Vec<_>>()
            .join(between)
    };
    match &item.content {
        Content::Chain(words) => drop(ui.label(line(words, " → "))),
        Content::Boxes(words) => drop(ui.label(line(words, ", "))),
        Content::Sort(groups) => {
            for group in groups {
                ui.label(format!("{}: {}", group.heading, line(&group.words, ", ")));
            }
        }
        Content::Dictation { words, .. } => drop(ui.label(line(words, ", "))),
    }
}

fn buttons(ui: &mut Ui, kind: &str, number: usize, count: usize) -> Option<ItemAction> {
    let mut done = None;
    ui.horizontal_wrapped(|ui| {
        let which = format!("{kind} {}", number + 1);
        let button = |text: &'static str, enabled: bool, ui: &mut Ui| {
            let name = format!("{text}: {which}");
            Button::text(text)
                .name(&name)
                .quiet()
                .enabled(enabled)
                .show(ui)
                .clicked()
        };
        if button("Up", number > 0, ui) {
            done = Some(ItemAction::Up);
        }
        if button("Down", number + 1 < count, ui) {
            done = Some(ItemAction::Down);
        }
        if button("Double", true, ui) {
            done = Some(ItemAction::Twice);
        }
        if button("Remove", true, ui) {
            done = Some(ItemAction::Gone);
        }
        if kind == "Dictation" && button("Make sentences", true, ui) {
            done = Some(ItemAction::Sentences);
        }
    });
    done
}
