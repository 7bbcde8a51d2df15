//! What to practice next in spelling: the choice that is kept least, or the one that is next in order, with words and a chain of a
//! lesson on it.

use std::thread::JoinHandle;

use jiff::civil::Date;
use soundbead_data::chain::Range;
use soundbead_data::course::{self, Choice, CourseWords};

use super::super::data::{NextStep, WritingData};
use crate::ask::tonight::{ChainAndWords, LessonTopic, PlanRequest};
use crate::ask::writing::{ReadWritings, ThenAndNow};
use crate::notebook::{Learner, Notebook, NotebookError, course_day};
use crate::say::many;
use crate::store;

/// Words that a choice must have been met in: one or two slips are no reason for a lesson.
const LEAST: usize = 3;

/// A lesson that is being chosen on a thread of its own, and why.
pub struct SpellingLesson {
    choice: Choice,
    why: String,
    plan: JoinHandle<Result<ChainAndWords, String>>,
}

/// Begins to choose a lesson on the choice that is kept least; where too little was written to tell, on the one that comes next in
/// the order of teaching. `latest` is the last day on which anything was written.
///
/// # Errors
/// When the notebook or the family's word list cannot be read.
pub fn begun(
    notebook: &Notebook,
    who: &Learner,
    (data, read): (&WritingData, &ReadWritings),
    latest: Date,
) -> Result<Option<SpellingLesson>, NotebookError> {
    let today = course_day(latest);
    let named = notebook.named_choices(who.id)?;
    let tries = read.tries();
    let in_order = || course::propose(CourseWords::builtin(), &tries, &named, today).new;
    let missed = missed_most(data);
    let Some((choice, why)) = missed.or_else(|| in_order().map(|choice| (choice, next_in_order(data, choice)))) else {
        return Ok(None);
    };
    let overrides = notebook.overrides()?;
    let rules = who.rules.clone();
    let list = store::word_list_in(notebook.folder(), Range::Common)
        .map_err(|e| NotebookError::Refused(e.into_line("the word list cannot be made")))?;
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
    Ok(Some(SpellingLesson { choice, why, plan }))
}

/// The choice that is most surely kept little, and why it is named; none where none is still missed, or all were met in too few words.
fn missed_most(data: &WritingData) -> Option<(Choice, String)> {
    let met = |c: &&ThenAndNow| c.now.as_ref().is_some_and(|now| now.met >= LEAST);
    let least = data.still_missed().into_iter().find(met)?;
    let now = least.now.as_ref()?;
    let why = format!(
        "Right in {} of {} words the last time they were written",
        now.kept, now.met
    );
    Some((Choice::find(least.choice)?, why))
}

/// Why a choice is named that is next in the order of teaching.
fn next_in_order(data: &WritingData, choice: Choice) -> String {
    let own = data.choices.iter().find(|c| c.choice == choice.name());
    match own.and_then(|c| c.now.as_ref()).filter(|now| now.met > 0) {
        Some(now) => format!(
            "Next in the order of teaching; right in {} of {} so far",
            now.kept,
            many(now.met, "word")
        ),
        None => "Next in the order of teaching; none of its words was written of late".to_owned(),
    }
}

/// The words and the chain of the lesson; none where none was found.
pub fn ended(lesson: SpellingLesson) -> Option<NextStep> {
    let (chain, words) = lesson.plan.join().ok()?.ok()?;
    let chain: Vec<String> = chain.into_iter().map(|w| w.spelling).collect();
    // Of some choices (letters known by heart, prefixes) no words are a sound apart: a chain of others is none for it.
    let meets = |word: &String| CourseWords::known(word).is_some_and(|known| known.meets(lesson.choice));
    let own = chain.iter().any(meets);
    Some(NextStep {
        what: format!("Spelling: {}", lesson.choice.name()),
        why: lesson.why,
        words,
        chain: if own { chain } else { Vec::new() },
    })
}
