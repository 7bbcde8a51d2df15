//! What to practice next in spelling: the choice that is kept least, with words and a chain of a lesson on it.

use std::thread::JoinHandle;

use jiff::civil::Date;
use soundbead_data::chain::Range;
use soundbead_data::course::Choice;

use super::super::data::{NextStep, WritingData};
use crate::ask::tonight::{ChainAndWords, LessonTopic, PlanRequest};
use crate::ask::writing::ReadWritings;
use crate::notebook::{Learner, Notebook, NotebookError, course_day};
use crate::store;

/// Words that a choice must have been met in: one or two slips are no reason for a lesson.
const LEAST: usize = 3;

/// A lesson that is being chosen on a thread of its own, and why.
pub struct SpellingLesson {
    choice: &'static str,
    why: String,
    plan: JoinHandle<Result<ChainAndWords, String>>,
}

/// Begins to choose a lesson on the choice that is kept least; none where none is still missed. `latest` is the last day on which
/// anything was written.
///
/// # Errors
/// When the notebook or the family's word list cannot be read.
pub fn begun(
    notebook: &Notebook,
    who: &Learner,
    (data, read): (&WritingData, &ReadWritings),
    latest: Date,
) -> Result<Option<SpellingLesson>, NotebookError> {
    let met = |c: &&crate::ask::writing::ThenAndNow| c.now.as_ref().is_some_and(|now| now.met >= LEAST);
    let Some(least) = data.still_missed().into_iter().find(met) else {
        return Ok(None);
    };
    let Some(choice) = Choice::ALL.iter().copied().find(|c| c.name() == least.choice) else {
        return Ok(None);
    };
    let (kept, of) = least.now.as_ref().map_or((0, 0), |now| (now.kept, now.met));
    let overrides = notebook.overrides()?;
    let tries = read.tries();
    let (named, rules) = (notebook.named_choices(who.id)?, who.rules.clone());
    let list = store::word_list_in(notebook.folder(), Range::Common)
        .map_err(|e| NotebookError::Refused(e.into_line("the word list cannot be made")))?;
    let today = course_day(latest);
    let plan = std::thread::spawn(move || {
        PlanRequest {
            about: LessonTopic::Choice(choice),
            tries: &tries,
            named: &named,
            today,
            rules: &rules,
            overrides: &overrides,
            block: &list.block,
        }
        .chain_and_words()
    });
    Ok(Some(SpellingLesson {
        choice: least.choice,
        why: format!("Right in {kept} of {of} words the last time they were written"),
        plan,
    }))
}

/// The words and the chain of the lesson; none where none was found.
pub fn ended(lesson: SpellingLesson) -> Option<NextStep> {
    let (chain, words) = lesson.plan.join().ok()?.ok()?;
    Some(NextStep {
        what: format!("Spelling: {}", lesson.choice),
        why: lesson.why,
        words,
        chain: chain.into_iter().map(|w| w.spelling).collect(),
    })
}
