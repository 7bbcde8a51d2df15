//! The Plan view: find chains, words, sorts and word parts on the left, gather them into today's plan on the right.

mod boxes;
mod chain;
mod rows;
mod shelf;
mod sort;
mod sums;
mod today;
mod words;

use egui::Ui;

use super::parts;
use super::shared::{MainView, Shared};
use crate::drill::plan_parts::PlanPart;
use crate::plan::{Plan, PlanItem};

/// Between the two columns.
const GAP: f32 = 18.0;

/// What is looked for.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
enum Finder {
    /// A chain of words.
    #[default]
    Chain,
    /// Words for sound boxes and dictation.
    Words,
    /// A sort by spelling.
    Sort,
    /// Sums of word parts.
    Parts,
}

/// Finders, today's plan, and the shelf of plans kept.
#[derive(Default)]
pub struct PlanView {
    finder: Finder,
    known: words::WordStockLoader,
    chain: chain::ChainFinder,
    boxes: boxes::WordFinder,
    sort: sort::SortFinder,
    sums: sums::SumFinder,
    today: today::Today,
    shelf: shelf::ShelfView,
}

/// What a finder hands over to today's plan; it may be dragged there as well.
#[derive(Clone)]
struct FoundItem(PlanItem);

impl PlanView {
    /// Keeps the plan in hand, whether the view is shown or not.
    pub fn poll(&mut self, shared: &Shared) {
        self.today.keep_draft(shared);
    }

    /// The plan in hand, if it has words.
    pub fn in_hand(&self) -> Option<&Plan> {
        Some(self.today.plan()).filter(|plan| plan.items.iter().any(|item| item.words().next().is_some()))
    }

    /// The plan in hand, unless all of it is done.
    pub fn to_do(&self) -> Option<&Plan> {
        self.in_hand().filter(|_| !self.today.is_done())
    }

    /// This part of this plan is done.
    pub fn set_done(&mut self, plan: &Plan, part: PlanPart) {
        self.today.set_done(plan, part);
    }

    /// What is left of this plan, in order.
    pub fn left(&self, plan: &Plan) -> Vec<PlanPart> {
        self.today.left(plan)
    }

    /// Takes a plan in hand that was made elsewhere; Ctrl+Z gives the one before back.
    pub fn take(&mut self, plan: Plan) {
        self.today.take_new(plan);
    }

    /// The same, and says so where another plan was in hand, with a way to have that back.
    pub fn take_in_place(&mut self, plan: Plan, shared: &mut Shared) {
        let before = self.in_hand().is_some();
        self.today.take_new(plan);
        if before {
            self.today.say_replaced(shared);
        }
    }

    /// Shows it.
    pub fn show(&mut self, ui: &mut Ui, shared: &mut Shared) {
        shared.key("Ctrl+S", "keep today's plan");
        shared.key("Ctrl+Z", "take the last change of the plan back");
        self.known.keep_up(shared);
        parts::heading(ui, "Plan");
        let whole = ui.available_rect_before_wrap();
        if whole.width() > 820.0 {
            let (left, right) = whole.split_left_right_at_fraction(0.58);
            column(ui, "finder", left.with_max_x(left.right() - GAP / 2.0), |ui| {
                self.find(ui, shared)
            });
            column(ui, "today", right.with_min_x(right.left() + GAP / 2.0), |ui| {
                self.gathered(ui, shared)
            });
        } else {
            egui::ScrollArea::vertical().auto_shrink(false).show(ui, |ui| {
                self.find(ui, shared);
                self.gathered(ui, shared);
            });
        }
    }

    fn find(&mut self, ui: &mut Ui, shared: &mut Shared) {
        let finders = [
            (Finder::Chain, "Chain"),
            (Finder::Words, "Words"),
            (Finder::Sort, "Sort"),
            (Finder::Parts, "Parts"),
        ];
        parts::choice(ui, "Find", &mut self.finder, &finders);
        if !self.known.show(ui) {
            return;
        }
        let found = match self.finder {
            Finder::Chain => self.chain.show(ui, shared, &self.known),
            Finder::Words => self.boxes.show(ui, shared, &self.known),
            Finder::Sort => self.sort.show(ui, shared, &self.known),
            Finder::Parts => self.sums.show(ui),
        };
        if let Some(FoundItem(item)) = found {
            self.today.add(item, shared);
        }
    }

    fn gathered(&mut self, ui: &mut Ui, shared: &mut Shared) {
        self.shelf.keep_up(shared, &mut self.today);
        self.today.show(ui, shared, &self.known);
        if self.today.wants_drill() {
            shared.plan = Some(self.today.plan().clone());
            shared.go(MainView::Drill);
        }
        self.shelf.show(ui, shared, &mut self.today);
    }
}

/// A column that scrolls by itself.
fn column(ui: &mut Ui, name: &str, rect: egui::Rect, add: impl FnOnce(&mut Ui)) {
    let layout = egui::Layout::top_down(egui::Align::Min);
    let mut column = ui.new_child(egui::UiBuilder::new().id_salt(name).max_rect(rect).layout(layout));
    egui::ScrollArea::vertical()
        .id_salt(name)
        .auto_shrink(false)
        .show(&mut column, |ui| {
            // The bar of the scroll area lies over its right edge.
            ui.set_max_width(ui.available_width() - 10.0);
            add(ui);
        });
}
