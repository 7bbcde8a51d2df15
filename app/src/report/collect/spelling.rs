//! What to practice next in spelling: the choice that is kept least, with words and a chain of a lesson on it.

use std::thread::JoinHandle;

use soundbead_data::chain::Range;
use soundbead_data::course::Choice;

use super::super::data::{NextStep, WritingData};
use crate::ask::tonight::{LessonTopic, PlanRequest};
use crate::ask::writing::ReadWritings;
use crate::notebook::{Learner, Notebook, NotebookError, Writing, course_day};
use crate::plan::{Content, Plan, PlanItem};
use crate::store;

/// Words that a choice must have been met in: one or two slips are no reason for a lesson.
const LEAST: usize = 3;

/// A lesson that is being chosen on a thread of its own, and why.
pub struct SpellingLesson {
    choice: &'static str,
    why: String,
    plan: JoinHandle<Result<Plan, String>>,
}

/// Begins to choose a lesson on the choice that is kept least; none where none is fragile.
///
/// # Errors
/// When the notebook or the family's word list cannot be read.
pub fn begun(
    notebook: &Notebook,
    who: &Learner,
    writing: Option<&WritingData>,
    rows: &[Writing],
) -> Result<Option<SpellingLesson>, NotebookError> {
    let fragile = writing.into_iter().flat_map(WritingData::fragile);
    let met = |c: &&crate::ask::writing::ThenAndNow| c.now.as_ref().is_some_and(|now| now.met >= LEAST);
    let Some(least) = fragile.into_iter().find(met) else {
        return Ok(None);
    };
    let Some(choice) = Choice::ALL.iter().copied().find(|c| c.name() == least.choice) else {
        return Ok(None);
    };
    let (kept, of) = least.now.as_ref().map_or((0, 0), |now| (now.kept, now.met));
    let overrides = notebook.overrides()?;
    let tries = ReadWritings::of(rows, &overrides).tries();
    let (named, rules) = (notebook.named_choices(who.id)?, who.rules.clone());
    let list = store::word_list_in(notebook.folder(), Range::Common)
        .map_err(|e| NotebookError::Refused(e.into_line("the word list cannot be made")))?;
    let today = rows.iter().map(|row| course_day(row.day)).max().unwrap_or_default();
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
        .answer()
    });
    Ok(Some(SpellingLesson {
        choice: least.choice,
        why: format!("Kept in {kept} of {of} words that were written of late"),
        plan,
    }))
}

/// The words and the chain of the lesson; none where none was found.
pub fn ended(lesson: SpellingLesson) -> Option<NextStep> {
    let plan = lesson.plan.join().ok()?.ok()?;
    let spelled = |item: &PlanItem| item.words().map(|w| w.spelling.clone()).collect::<Vec<_>>();
    let of = |kind: fn(&Content) -> bool| plan.items.iter().find(|i| kind(&i.content)).map(spelled);
    Some(NextStep {
        what: format!("Spelling: {}", lesson.choice),
        why: lesson.why,
        words: of(|c| matches!(c, Content::Dictation { .. })).unwrap_or_default(),
        chain: of(|c| matches!(c, Content::Chain(_))).unwrap_or_default(),
    })
}
