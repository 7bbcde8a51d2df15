//! The plan in hand, kept as it is made, so that closing the program loses nothing of it. It belongs to the learner in hand
//! and goes with that learner.

use super::plan_parts::{PlanDone, PlanPart};
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
    /// What is done of it. Once nothing is left it is not offered again another day.
    done: PlanDone,
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
            let (text, _) = left.ok().flatten()?;
            let left = Plan::from_text(&text).ok().filter(|_| *plan == Plan::default())?;
            self.done = PlanDone::read(&text, &left);
            return Some(left);
        }
        if self.asked.is_none() {
            let over = *plan == Plan::default() || self.is_done(plan);
            let text = if over { String::new() } else { self.done.text(plan) };
            self.saving.want(text);
            self.saving
                .poll(|text| notebook.ask(move |n| n.keep_draft(learner, KEY, &text)));
        }
        None
    }

    /// This part of the plan is done.
    pub fn set_done(&mut self, plan: &Plan, part: PlanPart) {
        self.done.add(plan, part);
    }

    /// What is left of the plan, in order.
    pub fn left(&self, plan: &Plan) -> Vec<PlanPart> {
        self.done.left(plan)
    }

    /// Whether all of the plan is done.
    pub fn is_done(&self, plan: &Plan) -> bool {
        self.done.begun(plan) && self.left(plan).is_empty()
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
    use crate::plan::{Content, PlanItem, PlanWord};
    use soundbead_data::Rules;

    fn titled(title: &str) -> Plan {
        Plan {
            title: title.into(),
            ..Plan::default()
        }
    }

    fn item(content: Content) -> PlanItem {
        PlanItem {
            title: String::new(),
            note: String::new(),
            content,
        }
    }

    fn chain(word: &str) -> PlanItem {
        item(Content::Chain(vec![PlanWord::new(word)]))
    }

    fn written(word: &str) -> PlanItem {
        item(Content::Dictation {
            words: vec![PlanWord::new(word)],
            sentences: Vec::new(),
        })
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
        // Once all of it is done it is not offered another day.
        there.items = vec![chain("pig")];
        again.set_done(&there, PlanPart::Words);
        frames(&mut again, &desk, Some(alby), &mut there);
        assert_eq!(there.title, "Alby's", "today it is still in hand");
        let (mut later, mut none) = (PlanDraft::default(), Plan::default());
        frames(&mut later, &desk, Some(alby), &mut none);
        assert_eq!(none, Plan::default());
        drop(desk);
        std::fs::remove_dir_all(&folder).unwrap();
    }

    #[test]
    fn what_is_left_of_a_plan_is_there_the_next_day() {
        let folder = std::env::temp_dir().join(format!("soundbead-plan-parts-{}", std::process::id()));
        let _ = std::fs::remove_dir_all(&folder);
        let desk = Desk::new(folder.clone(), Wake::nobody());
        let add = desk.ask(|n| n.add_learner("Juno", &Rules::default()));
        let juno = Some(add.wait().unwrap().id);
        let mut plan = titled("Short i");
        plan.items = vec![chain("pig"), written("fish")];
        let mut draft = PlanDraft::default();
        assert_eq!(draft.left(&plan), [PlanPart::Words, PlanPart::Writing]);
        frames(&mut draft, &desk, juno, &mut plan);
        draft.set_done(&plan, PlanPart::Words);
        frames(&mut draft, &desk, juno, &mut plan);
        let (mut tomorrow, mut there) = (PlanDraft::default(), Plan::default());
        frames(&mut tomorrow, &desk, juno, &mut there);
        assert_eq!((&there, tomorrow.left(&there)), (&plan, vec![PlanPart::Writing]));
        // A plan that was changed is another plan.
        there.title = "Short e".into();
        assert_eq!(tomorrow.left(&there), [PlanPart::Words, PlanPart::Writing]);
        tomorrow.set_done(&plan, PlanPart::Words);
        tomorrow.set_done(&plan, PlanPart::Writing);
        assert!(tomorrow.is_done(&plan) && !tomorrow.is_done(&there));
        drop(desk);
        std::fs::remove_dir_all(&folder).unwrap();
    }
}
