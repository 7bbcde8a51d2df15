//! How a lesson begins, goes on another day, and ends.

use soundbead_data::Rules;
use soundbead_data::word::{self, Overrides};

use super::{Busy, LessonSession, OpenQuestion, Ready};
use crate::ask;
use crate::drill::ending::LessonEnding;
use crate::drill::word::parted;
use crate::drill::{Lesson, LessonWord, WordStep, keep, model, read};
use crate::equipment::{Equipment, News};
use crate::fault::Fault;
use crate::later::{Later, Latest};
use crate::notebook::Id;
use crate::plan::{Content, Plan, PlanItem, PlanWord};
use crate::say::many;
use crate::store;
use crate::target::{self, Doubt};

impl LessonSession {
    /// Reads words that were typed. Where one looks like a slip that is said first; started once more, the words are taken as
    /// they stand.
    pub(super) fn read_words(&mut self, at: &Equipment, text: String) {
        let rules = at.rules.clone();
        let meant_so = self.doubted.replace(text.clone()).as_ref() == Some(&text);
        self.prepare(at, "Reading the words", move |overrides, own| {
            let rules = own.unwrap_or(rules);
            if let (Some(doubt), false) = (first_doubt(&text, overrides), meant_so) {
                return Err(format!("{doubt} If it is meant so, start once more."));
            }
            let words = read(&text, overrides, &rules)?;
            Ok(Ready::new(Lesson::new(words, rules)))
        });
    }

    /// A plan that was sent begins at once, unless a lesson is under way.
    pub(super) fn planned(&mut self, at: &Equipment, plan: Plan) {
        self.plan = Some(plan);
        match &self.lesson {
            None => self.read_plan(at),
            Some(_) => self
                .news
                .push(News::Said("A lesson is under way. End it to start the plan.".into())),
        }
    }

    /// Reads the words of the plan in hand: by the learner's rules, or by the plan's own where nobody learns.
    pub(super) fn read_plan(&mut self, at: &Equipment) {
        let Some(plan) = self.plan.clone() else { return };
        let name = at.learner.as_ref().map(|l| l.name.clone()).unwrap_or_default();
        self.prepare(at, "Reading the plan", move |overrides, own| {
            let rules = own.unwrap_or_else(|| plan.rules.clone());
            let words = planned(&plan, overrides, &rules)?;
            let otherwise = rules != plan.rules;
            let mut ready = Ready::new(Lesson::new(words, rules));
            ready.said = otherwise.then(|| other_rules(&name));
            Ok(ready)
        });
    }

    pub(super) fn resume(&mut self, at: &Equipment) {
        let Some(draft) = self.draft.clone() else { return };
        self.prepare(at, "Reading the words", move |overrides, own| {
            let draft = match own {
                Some(own) => draft.counted_by(&own),
                None => draft,
            };
            let mut ready = Ready::new(draft.lesson(overrides)?);
            ready.draft = Some(draft);
            Ok(ready)
        });
    }

    /// Makes a lesson on a thread of its own. While one is under way there is nothing to begin. `make` is told the rules of
    /// the learner in hand, as the notebook has them at that moment.
    fn prepare(
        &mut self,
        at: &Equipment,
        name: &'static str,
        make: impl FnOnce(&Overrides, Option<Rules>) -> Result<Ready, String> + Send + 'static,
    ) {
        if self.lesson.is_some() {
            return;
        }
        self.words_fault = None;
        let folder = at.folder.to_owned();
        let own = at.learner.as_ref().map(|l| (rules_of(at, l.id), l.rules.clone()));
        self.words = Some(Later::start(at.wake.clone(), name, move |_| {
            let overrides = store::overrides_in(&folder).map_err(line)?;
            // A notebook that cannot be read does not change how a learner counts.
            let own = own.map(|(asked, known)| asked.wait().ok().flatten().unwrap_or(known));
            let mut ready = make(&overrides, own)?;
            ready.models = model::load(&folder, ready.lesson.words());
            ask::say::warm();
            Ok(ready)
        }));
    }

    /// Begins a lesson that is ready.
    pub(super) fn begin(&mut self, at: &Equipment, ready: Ready) {
        let learner = at.learner.as_ref().map(|l| l.id);
        self.keeper.begin(learner, ready.draft.as_ref().and_then(|d| d.session));
        self.said_before.clear();
        if let Some(draft) = &ready.draft {
            self.keeper.found(draft.rows());
            self.said_before = draft.said();
            if let Some(id) = draft.attempt().filter(|_| ready.lesson.step() == WordStep::Beads) {
                self.busy = Busy::Fetching(id, keep::recording(at, id));
            }
        }
        (self.lesson, self.models) = (Some(ready.lesson), ready.models);
        (self.draft, self.notice, self.no_sound) = (None, None, None);
        self.ending = None;
        // Another evening, another room.
        self.recorder.forget_room();
        self.news.extend(ready.said.map(News::Said));
        self.notes = Latest::default();
        if let Some(learner) = learner {
            self.notes.ask(at.notebook.ask(move |n| n.notes(learner)));
        }
    }

    pub(super) fn drop_draft(&mut self, at: &Equipment) {
        if self.lesson.is_none()
            && let Some(draft) = self.draft.take()
        {
            self.keeper.begin(at.learner.as_ref().map(|l| l.id), draft.session);
            self.finish();
        }
    }

    /// Leaves the lesson as it is. Without a learner there is nowhere to keep it, so it ends.
    pub(super) fn pause(&mut self, at: &mut Equipment) {
        let ready = self.unkept().is_none() && self.keeper.learner().is_some();
        if !ready || self.lesson.is_none() {
            self.end(at, false);
            return;
        }
        self.cancel();
        self.silence(at);
        self.keeper.poll(at.notebook, self.lesson.as_ref());
        (self.lesson, self.question, self.drafts_of) = (None, None, None);
        let mut keeper = std::mem::take(&mut self.keeper);
        keeper.pause();
        self.finishing.push(keeper);
        self.news.push(News::Said(
            "The lesson is kept as it is. It can go on another day.".into(),
        ));
    }

    pub(super) fn save_again(&mut self, at: &Equipment) {
        self.keeper.again();
        if let Some(lesson) = &self.lesson {
            self.keeper.write_again(at.notebook, lesson);
        }
    }

    /// Ends the lesson. While something of it is not in the notebook, what stands in the way is said first.
    pub(super) fn end(&mut self, at: &mut Equipment, anyway: bool) {
        let Some(lesson) = &self.lesson else { return };
        self.keeper.poll(at.notebook, Some(lesson));
        if !anyway && self.unkept().is_some() {
            self.save_again(at);
            self.question = Some(OpenQuestion::Unkept);
            return;
        }
        self.cancel();
        self.silence(at);
        self.question = None;
        let Some(lesson) = self.lesson.take() else { return };
        let said_before = std::mem::take(&mut self.said_before);
        let each = lesson.works().iter().enumerate();
        let said = each
            .filter(|(at, work)| work.latest.is_some() || said_before.contains(at))
            .count();
        let kept = self.keeper.learner().is_some() && !anyway;
        let line = over(said, kept);
        self.ending = LessonEnding::of(&lesson).map(|ending| LessonEnding {
            kept: line.clone(),
            ..ending
        });
        let (learner, session) = (self.keeper.learner(), self.keeper.session());
        self.asked_before = learner
            .filter(|_| self.ending.is_some())
            .map(|learner| at.notebook.ask(move |n| n.beads(learner, session)));
        self.finish();
        // The end of the lesson says it by itself; and where nothing was said or done, there is nothing to tell.
        if self.ending.is_none() && said > 0 {
            self.news.push(News::Said(line));
        }
    }
}

impl LessonSession {
    /// The lesson is over; its keeper goes on until the notebook has everything.
    fn finish(&mut self) {
        let learner = self.keeper.learner();
        let mut keeper = std::mem::take(&mut self.keeper);
        self.keeper.begin(learner, None);
        keeper.end();
        self.finishing.push(keeper);
    }
}

/// The first of the words that looks like a slip. Sounds behind a word say how it is meant.
fn first_doubt(text: &str, own: &Overrides) -> Option<Doubt> {
    let mut words = parted(text).into_iter().filter(|word| !word.contains(':'));
    words.find_map(|word| target::doubt(&word::find(word, own).ok()?))
}

/// What is said when a lesson is over.
fn over(said: usize, kept: bool) -> String {
    match (said, kept) {
        (0, false) => "Nothing was recorded.".into(),
        (0, true) => "No voice was recorded. The answers are in the notebook.".into(),
        (1, false) => "1 word was recorded.".into(),
        (1, true) => "1 word was recorded. It is in the notebook.".into(),
        (n, false) => format!("{} were recorded.", many(n, "word")),
        (n, true) => format!("{} were recorded. They are in the notebook.", many(n, "word")),
    }
}

/// The words of a plan that are counted and said, in order: those of its chains and sound boxes. Cards to sort and words to
/// write are other kinds of work; where a plan has nothing else, its words are taken for this one.
pub(in crate::drill) fn planned(plan: &Plan, overrides: &Overrides, rules: &Rules) -> Result<Vec<LessonWord>, String> {
    let counted = |item: &&PlanItem| matches!(item.content, Content::Chain(_) | Content::Boxes(_));
    let any = plan.items.iter().any(|item| counted(&item));
    let each = plan
        .items
        .iter()
        .filter(|item| !any || counted(item))
        .flat_map(PlanItem::words);
    let one = |word: &PlanWord| {
        let said = word.pronunciation(overrides);
        LessonWord::said_as(&word.spelling, said.sounds(), overrides, rules)
    };
    let words = each.map(one).collect::<Result<Vec<_>, _>>()?;
    if words.is_empty() {
        Err("The plan has no words yet.".into())
    } else {
        Ok(words)
    }
}

/// The rules that a learner is taught, as the notebook has them now.
fn rules_of(at: &Equipment, learner: Id) -> Later<crate::notebook::Result<Option<Rules>>> {
    at.notebook.ask(move |n| Ok(n.learner(learner)?.map(|l| l.rules)))
}

/// What is said where a plan was made by other rules than its learner's.
fn other_rules(name: &str) -> String {
    format!("The plan was made with other counting rules. In the lesson {name}'s own rules hold.")
}

/// A fault of reading as a line.
fn line(fault: Fault) -> String {
    fault.into_line("")
}
