//! The kinds of work that a plan holds, and which of them are done: a lesson goes on where it was left, tonight or tomorrow.

use std::collections::BTreeSet;

use crate::plan::{Content, Plan, PlanItem};

/// One kind of work, in the order of a lesson.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum PlanPart {
    /// Words that are counted, said and spelled: chains and sound boxes.
    Words,
    /// Cards to sort.
    Cards,
    /// Words and sentences to write.
    Writing,
}

impl PlanPart {
    /// All of them, in order.
    const ALL: [PlanPart; 3] = [PlanPart::Words, PlanPart::Cards, PlanPart::Writing];

    /// As it is written down.
    fn name(self) -> &'static str {
        match self {
            PlanPart::Words => "words",
            PlanPart::Cards => "cards",
            PlanPart::Writing => "writing",
        }
    }

    /// The parts that this plan holds. A plan without a chain and boxes has its words counted, whatever else they are for.
    pub fn of(plan: &Plan) -> BTreeSet<PlanPart> {
        let kind = |item: &PlanItem| match &item.content {
            Content::Chain(_) | Content::Boxes(_) => Some(PlanPart::Words),
            Content::Sort(groups) => (groups.len() > 1).then_some(PlanPart::Cards),
            Content::Dictation { words, .. } => (!words.is_empty()).then_some(PlanPart::Writing),
        };
        plan.items.iter().filter_map(kind).collect()
    }
}

/// A plan, and which of its parts are done.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct PlanDone {
    plan: Plan,
    parts: BTreeSet<PlanPart>,
}

/// How the line begins that says in a plan's text which parts are done; a comment to whoever reads plans.
const LINE: &str = "# done:";

impl PlanDone {
    /// This part of this plan is done. What was done of another plan is forgotten.
    pub fn add(&mut self, plan: &Plan, part: PlanPart) {
        if self.plan != *plan {
            *self = PlanDone {
                plan: plan.clone(),
                ..PlanDone::default()
            };
        }
        self.parts.insert(part);
    }

    /// What is left of this plan, in order.
    pub fn left(&self, plan: &Plan) -> Vec<PlanPart> {
        let done = |part: &PlanPart| self.plan == *plan && self.parts.contains(part);
        PlanPart::of(plan).into_iter().filter(|part| !done(part)).collect()
    }

    /// Whether any part of this plan is done.
    pub fn begun(&self, plan: &Plan) -> bool {
        self.plan == *plan && !self.parts.is_empty()
    }

    /// The plan as text, under a line that says what of it is done.
    pub fn text(&self, plan: &Plan) -> String {
        if !self.begun(plan) {
            return plan.to_text();
        }
        let names: Vec<&str> = self.parts.iter().map(|part| part.name()).collect();
        format!("{LINE} {}\n{}", names.join(" "), plan.to_text())
    }

    /// What such a text says is done of its plan.
    pub fn read(text: &str, plan: &Plan) -> PlanDone {
        let line = text.lines().next().and_then(|line| line.strip_prefix(LINE));
        let named = |part: &PlanPart| line.is_some_and(|line| line.split(' ').any(|name| name == part.name()));
        PlanDone {
            plan: plan.clone(),
            parts: PlanPart::ALL.into_iter().filter(named).collect(),
        }
    }
}
