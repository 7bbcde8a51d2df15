//! Before a lesson, as a machine without a window: who learns, what tonight is about, and the lesson that starts.
//!
//! Whatever is missing is asked for before the first recording: without a learner nothing starts. What takes long runs
//! elsewhere; [`Opening::poll`] takes it in.

use soundbead_data::chain::Range;

use super::course::WritingEvidence;
use super::plan_parts::PlanPart;
use crate::ask::tonight::{LessonTopic, PlanRequest};
use crate::equipment::{Equipment, News};
use crate::later::{Later, Latest, WorkResult};
use crate::notebook::{Id, Learner, NotebookError};
use crate::plan::{Content, Plan};
use crate::say::many;
use crate::store;

/// What a person wants.
#[derive(Clone, Debug, PartialEq)]
pub enum OpeningIntent {
    /// This learner.
    Pick(Id),
    /// A learner of this name is new here.
    Add(String),
    /// What tonight is about, as it is typed.
    About(String),
    /// Make the plan of it.
    Make,
    /// Start: the lesson that was broken off if there is one, the plan in hand, or one that is made now.
    Start,
    /// Let go the plan that is being made.
    Cancel,
    /// A minute of quick reading.
    Read,
}

/// What is under way besides, which a start takes up.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct InHand {
    /// Whether a lesson is under way.
    pub lesson: bool,
    /// Whether a lesson was broken off.
    pub draft: bool,
    /// The plan in hand, if it has words.
    pub plan: Option<Plan>,
    /// What of that plan comes next, where a part of it is done.
    pub next: Option<PlanPart>,
    /// Whether all of the plan in hand is done.
    pub done: bool,
}

/// What is to happen now.
#[derive(Clone, Debug, PartialEq)]
pub enum OpeningOutcome {
    /// Back to the lesson that is under way.
    Lesson,
    /// On with the lesson that was broken off.
    Resume,
    /// This plan starts.
    Plan(Box<Plan>),
    /// On with the cards of the plan in hand.
    Cards,
    /// On with its writing.
    Writing,
    /// This plan was made and is in hand; nothing starts yet.
    Made(Box<Plan>),
    /// A minute of quick reading.
    Reading,
}

/// The opening.
#[derive(Default)]
pub struct Opening {
    learners: Latest<Vec<Learner>, NotebookError>,
    added: Latest<Learner, NotebookError>,
    about: String,
    making: Option<Later<Result<Plan, String>>>,
    /// Whether the plan that is being made starts at once.
    starts: bool,
    fault: Option<String>,
    /// Whether a start was asked for without a learner.
    unnamed: bool,
    go: Option<OpeningOutcome>,
}

impl Opening {
    /// Does what a person wants.
    pub fn apply(&mut self, at: &mut Equipment, evidence: &WritingEvidence, in_hand: &InHand, intent: OpeningIntent) {
        match intent {
            OpeningIntent::Pick(id) => self.pick(at, id),
            OpeningIntent::Add(name) => {
                let rules = at.rules.clone();
                self.added.ask(at.notebook.ask(move |n| n.add_learner(&name, &rules)));
            }
            OpeningIntent::About(text) => (self.about, self.fault) = (text, None),
            OpeningIntent::Make => self.make(at, evidence, false),
            OpeningIntent::Start => self.start(at, evidence, in_hand),
            OpeningIntent::Cancel => self.making = None,
            OpeningIntent::Read => self.go = Some(OpeningOutcome::Reading),
        }
    }

    fn pick(&mut self, at: &mut Equipment, id: Id) {
        let all = self.learners.value.as_deref().unwrap_or_default();
        if let Some(learner) = all.iter().find(|l| l.id == id) {
            *at.learner = Some(learner.clone().into());
            self.unnamed = false;
        }
    }

    fn start(&mut self, at: &Equipment, evidence: &WritingEvidence, in_hand: &InHand) {
        self.unnamed = at.learner.is_none();
        if in_hand.lesson {
            self.go = Some(OpeningOutcome::Lesson);
        } else if self.unnamed {
            // Asked before the first recording, never after.
        } else if in_hand.draft {
            self.go = Some(OpeningOutcome::Resume);
        } else if let (Some(plan), true) = (&in_hand.plan, self.about.trim().is_empty()) {
            self.go = Some(match in_hand.next {
                Some(PlanPart::Cards) => OpeningOutcome::Cards,
                Some(PlanPart::Writing) => OpeningOutcome::Writing,
                Some(PlanPart::Words) | None => OpeningOutcome::Plan(Box::new(plan.clone())),
            });
        } else {
            self.make(at, evidence, true);
        }
    }

    /// Makes a plan of the line on a thread of its own.
    fn make(&mut self, at: &Equipment, evidence: &WritingEvidence, starts: bool) {
        let about = match LessonTopic::read(&self.about) {
            Ok(about) => about,
            Err(line) => return self.fault = Some(line),
        };
        (self.fault, self.starts) = (None, starts);
        let (folder, rules, evidence) = (at.folder.to_owned(), at.rules_in_hand().clone(), evidence.clone());
        self.making = Some(Later::start(at.wake.clone(), "Choosing the words", move |_| {
            let list = store::word_list_in(&folder, Range::Common).map_err(|e| e.into_line("the word list"))?;
            PlanRequest {
                about,
                tries: &evidence.tries,
                named: &evidence.named,
                today: evidence.today,
                rules: &rules,
                overrides: &list.overrides,
                block: &list.block,
            }
            .answer()
        }));
    }

    /// Takes in what came, and says what is to happen.
    pub fn poll(&mut self, at: &mut Equipment, news: &mut Vec<News>) -> Option<OpeningOutcome> {
        if self.learners.untouched() {
            self.learners.ask(at.notebook.ask(|n| n.learners()));
        }
        self.learners.take(news);
        if self.added.take(news)
            && let Some(learner) = self.added.value.take()
        {
            *at.learner = Some(learner.into());
            self.unnamed = false;
            self.stale(at);
        }
        self.poll_plan();
        self.go.take()
    }

    fn poll_plan(&mut self) {
        let Some(ended) = self.making.as_mut().and_then(Later::take) else {
            return;
        };
        self.making = None;
        match ended {
            WorkResult::Done(Ok(plan)) => {
                self.about.clear();
                let plan = Box::new(plan);
                self.go = Some(if self.starts {
                    OpeningOutcome::Plan(plan)
                } else {
                    OpeningOutcome::Made(plan)
                });
            }
            WorkResult::Done(Err(line)) => self.fault = Some(line),
            WorkResult::Cancelled => {}
            WorkResult::Failed => self.fault = Some("The program itself failed at the plan; please report it.".into()),
        }
    }

    /// Asks for the learners anew: another view may have changed them.
    pub fn stale(&mut self, at: &Equipment) {
        self.learners.ask(at.notebook.ask(|n| n.learners()));
    }

    /// Everyone who learns here, once that is known.
    pub fn learners(&self) -> Option<&[Learner]> {
        self.learners.value.as_deref()
    }

    /// Whether a start was asked for before anyone was named.
    pub fn unnamed(&self) -> bool {
        self.unnamed
    }

    /// The line as it is typed.
    pub fn about(&self) -> &str {
        &self.about
    }

    /// What was wrong with it.
    pub fn fault(&self) -> Option<&str> {
        self.fault.as_deref()
    }

    /// What is being made.
    pub fn making(&self) -> Option<&'static str> {
        self.making.as_ref().map(Later::name)
    }
}

/// What a plan holds, without one word of it: the child may be looking.
pub fn holds(plan: &Plan) -> String {
    let parts = plan.items.iter().map(|item| match &item.content {
        Content::Chain(words) => format!("a chain of {}", many(words.len(), "word")),
        Content::Boxes(words) => format!("{} in sound boxes", many(words.len(), "word")),
        Content::Sort(groups) => {
            let cards: usize = groups.iter().map(|g| g.words.len()).sum();
            format!("{} to sort", many(cards, "card"))
        }
        Content::Dictation { words, sentences } => {
            format!(
                "{} and {} to write",
                many(words.len(), "word"),
                many(sentences.len(), "sentence")
            )
        }
    });
    parts.collect::<Vec<_>>().join(", ")
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::drill::session::Bench;

    fn bench(name: &str) -> Bench {
        let folder = std::env::temp_dir().join(format!("soundbead-opening-{}-{name}", std::process::id()));
        let _ = std::fs::remove_dir_all(&folder);
        Bench::over(&folder)
    }

    /// Polls until it says what is to happen, or `done`.
    fn until(bench: &mut Bench, opening: &mut Opening, done: impl Fn(&Opening) -> bool) -> Option<OpeningOutcome> {
        for _ in 0..60_000 {
            let mut news = Vec::new();
            let go = bench.lend(|_, at| opening.poll(at, &mut news));
            assert!(news.is_empty(), "{news:?}");
            if go.is_some() || done(opening) {
                return go;
            }
            std::thread::sleep(std::time::Duration::from_millis(1));
        }
        panic!("waited in vain");
    }

    fn apply(bench: &mut Bench, opening: &mut Opening, in_hand: &InHand, intent: OpeningIntent) {
        bench.lend(|_, at| opening.apply(at, &WritingEvidence::default(), in_hand, intent));
    }

    #[test]
    fn without_a_learner_nothing_starts_and_a_name_makes_one() {
        let (mut bench, mut opening) = (bench("first"), Opening::default());
        let nothing = InHand::default();
        apply(&mut bench, &mut opening, &nothing, OpeningIntent::Start);
        assert!(opening.unnamed() && opening.making().is_none());
        apply(&mut bench, &mut opening, &nothing, OpeningIntent::Add("Juno".into()));
        until(&mut bench, &mut opening, |o| {
            o.learners().is_some_and(|all| all.len() == 1)
        });
        assert_eq!(bench.learner.as_ref().map(|l| l.name.as_str()), Some("Juno"));
        apply(&mut bench, &mut opening, &nothing, OpeningIntent::Start);
        let Some(OpeningOutcome::Plan(plan)) = until(&mut bench, &mut opening, |_| false) else {
            panic!("no plan starts")
        };
        let told = holds(&plan);
        assert!(told.starts_with("a chain of 6 words, 8 cards to sort, "), "{told}");
        assert!(told.ends_with("and 2 sentences to write"), "{told}");
    }

    #[test]
    fn a_start_takes_up_what_is_under_way_first() {
        let (mut bench, mut opening) = (bench("order"), Opening::default());
        apply(
            &mut bench,
            &mut opening,
            &InHand::default(),
            OpeningIntent::Add("Juno".into()),
        );
        until(&mut bench, &mut opening, |o| {
            o.learners().is_some_and(|all| all.len() == 1)
        });
        let plan = Plan {
            title: "Short e and short i".into(),
            ..Plan::default()
        };
        let mut in_hand = InHand {
            lesson: true,
            draft: true,
            plan: Some(plan.clone()),
            next: None,
            done: false,
        };
        let start = |bench: &mut Bench, opening: &mut Opening, in_hand: &InHand| {
            apply(bench, opening, in_hand, OpeningIntent::Start);
            until(bench, opening, |_| true)
        };
        assert_eq!(start(&mut bench, &mut opening, &in_hand), Some(OpeningOutcome::Lesson));
        in_hand.lesson = false;
        assert_eq!(start(&mut bench, &mut opening, &in_hand), Some(OpeningOutcome::Resume));
        in_hand.draft = false;
        assert_eq!(
            start(&mut bench, &mut opening, &in_hand),
            Some(OpeningOutcome::Plan(Box::new(plan)))
        );
        in_hand.next = Some(PlanPart::Cards);
        assert_eq!(start(&mut bench, &mut opening, &in_hand), Some(OpeningOutcome::Cards));
        // A line that was typed asks for another plan.
        apply(
            &mut bench,
            &mut opening,
            &in_hand,
            OpeningIntent::About("homework".into()),
        );
        assert_eq!(start(&mut bench, &mut opening, &in_hand), None);
        assert!(opening.fault().is_some_and(|line| line.contains("homework")));
    }
}
