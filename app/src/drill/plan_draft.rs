//! The plan in hand, kept as it is made, so that closing the program loses nothing of it. It belongs to the learner in hand
//! and goes with that learner.

use super::saving::Saving;
use crate::later::Later;
use crate::notebook::{Desk, Id, Moment, Result};
use crate::plan::Plan;

/// The key under which the notebook keeps it.
const KEY: &str = "plan";

/// What was left, as the notebook has it.
type PlanLeft = Option<(String, Moment)>;

/// The way of the plan in hand into the notebook and back.
#[derive(Default)]
pub struct PlanDraft {
    /// Whose plan it is; the outer `None` before the first was asked for.
    owner: Option<Option<Id>>,
    asked: Option<Later<Result<PlanLeft>>>,
    saving: Saving<String>,
    /// The plan whose lesson is over: it is not offered again another day.
    done: Option<Plan>,
}

impl PlanDraft {
    /// Keeps `plan`, and gives the plan that is to be in hand instead: the one that was left, once a learner.
    pub fn poll(&mut self, notebook: &Desk, learner: Option<Id>, plan: &Plan) -> Option<Plan> {
        if self.owner != Some(learner) {
            return self.change(notebook, learner, plan);
        }
        if let Some(left) = self.asked.as_mut().and_then(Later::answer) {
            self.asked = None;
            // One that cannot be read (from another version) is as good as none.
            let left = left.ok().flatten().and_then(|(text, _)| Plan::from_text(&text).ok());
            return left.filter(|_| *plan == Plan::default());
        }
        if self.asked.is_none() {
            let text = if *plan == Plan::default() || self.is_done(plan) {
                String::new()
            } else {
                plan.to_text()
            };
            self.saving.want(text);
            self.saving
                .poll(|text| notebook.ask(move |n| n.keep_draft(learner, KEY, &text)));
        }
        None
    }

    /// The lesson of this plan is over.
    pub fn set_done(&mut self, plan: &Plan) {
        if !self.is_done(plan) {
            self.done = Some(plan.clone());
        }
    }

    /// Whether the lesson of this plan is over.
    pub fn is_done(&self, plan: &Plan) -> bool {
        self.done.as_ref() == Some(plan)
    }

    /// Another learner. A plan that was made before anyone was picked goes to who is picked first; any other stays with its
    /// own learner.
    fn change(&mut self, notebook: &Desk, learner: Option<Id>, plan: &Plan) -> Option<Plan> {
        let before = self.owner.replace(learner);
        self.saving = Saving::default();
        self.asked = Some(notebook.ask(move |n| n.draft(learner, KEY)));
        match before {
            Some(None) => {
                let _ = notebook.ask(|n| n.keep_draft(None, KEY, ""));
                None
            }
            Some(Some(_)) => (*plan != Plan::default()).then(Plan::default),
            None => None,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::later::Wake;
    use soundbead_data::Rules;

    fn titled(title: &str) -> Plan {
        Plan {
            title: title.into(),
            ..Plan::default()
        }
    }

    /// As a window does it: many frames.
    fn frames(draft: &mut PlanDraft, desk: &Desk, learner: Option<Id>, plan: &mut Plan) {
        for _ in 0..4 {
            if let Some(other) = draft.poll(desk, learner, plan) {
                *plan = other;
            }
            desk.ask(|_| Ok(())).wait().unwrap();
        }
    }

    #[test]
    fn a_plan_survives_closing_and_stays_with_its_learner() {
        let folder = std::env::temp_dir().join(format!("soundbead-plan-draft-{}", std::process::id()));
        let _ = std::fs::remove_dir_all(&folder);
        let desk = Desk::new(folder.clone(), Wake::nobody());
        let add = |name: &'static str| {
            desk.ask(move |n| n.add_learner(name, &Rules::default()))
                .wait()
                .unwrap()
                .id
        };
        let (juno, alby) = (add("Juno"), add("Alby"));
        let (mut draft, mut plan) = (PlanDraft::default(), titled("Made before anyone was picked"));
        frames(&mut draft, &desk, None, &mut plan);
        frames(&mut draft, &desk, Some(juno), &mut plan);
        assert_eq!(plan.title, "Made before anyone was picked");
        frames(&mut draft, &desk, Some(alby), &mut plan);
        assert_eq!(plan, Plan::default(), "Juno's plan is not Alby's");
        plan = titled("Alby's");
        frames(&mut draft, &desk, Some(alby), &mut plan);
        // The program is closed and opened again.
        let (mut again, mut there) = (PlanDraft::default(), Plan::default());
        frames(&mut again, &desk, None, &mut there);
        assert_eq!(there, Plan::default());
        frames(&mut again, &desk, Some(juno), &mut there);
        assert_eq!(there.title, "Made before anyone was picked");
        frames(&mut again, &desk, Some(alby), &mut there);
        assert_eq!(there.title, "Alby's");
        // Once its lesson is over it is not offered another day.
        again.set_done(&there);
        frames(&mut again, &desk, Some(alby), &mut there);
        assert_eq!(there.title, "Alby's", "today it is still in hand");
        let (mut later, mut none) = (PlanDraft::default(), Plan::default());
        frames(&mut later, &desk, Some(alby), &mut none);
        assert_eq!(none, Plan::default());
        drop(desk);
        std::fs::remove_dir_all(&folder).unwrap();
    }
}
