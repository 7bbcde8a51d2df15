//! Sheets that are about a learner: a lesson for them, and their string of beads.

use jiff::Zoned;
use soundbead_data::chain::Range;
use soundbead_data::word::Overrides;

use crate::ask::tonight::{LessonTopic, PlanRequest};
use crate::cli::options;
use crate::drill::course::WritingEvidence;
use crate::fault::{Fault, one_line};
use crate::notebook::{Id, Notebook, Result as Noted, course_day};
use crate::sheet::string::BeadPage;
use crate::sheet::{Sheet, SheetOptions, plan, string as beads};
use crate::store;

/// Twenty minutes about `text`, by the writing and the rules of a learner where one is named: the grown-up's page and the child's.
///
/// # Errors
/// One line when there is no such learner or topic, or too few words for it.
pub fn lesson(text: &str, learner: Option<&str>, about: SheetOptions, own: &Overrides) -> Result<Sheet, Fault> {
    let topic = LessonTopic::read(text).map_err(Fault::input)?;
    let (evidence, rules) = match learner {
        None => (WritingEvidence::default(), about.rules.clone()),
        Some(name) => {
            let notebook = Notebook::open()?;
            let learner = options::learner(&notebook, name)?;
            (evidence(&notebook, learner.id)?, learner.rules)
        }
    };
    let list = store::word_list(Range::Common)?;
    let request = PlanRequest {
        about: topic,
        tries: &evidence.tries,
        named: &evidence.named,
        today: course_day(Zoned::now().date()),
        rules: &rules,
        overrides: own,
        block: &list.block,
    };
    let made = request.answer().map_err(Fault::input)?;
    let about = SheetOptions {
        key: true,
        rules,
        ..about
    };
    plan::sheet(&made, &about, own).map_err(Fault::input)
}

fn evidence(notebook: &Notebook, learner: Id) -> Noted<WritingEvidence> {
    Ok(WritingEvidence {
        tries: notebook.course_tries(learner)?,
        named: notebook.named_choices(learner)?,
        ..WritingEvidence::default()
    })
}

/// The learner's string of beads.
///
/// # Errors
/// One line when no learner is named or known, or there is no bead yet.
pub fn string(texts: &[String], learner: Option<&str>, about: &SheetOptions) -> Result<Sheet, Fault> {
    let Some(name) = learner.or_else(|| texts.first().map(String::as_str)) else {
        return Err(Fault::input("the string is a learner's: name one with --learner"));
    };
    if let Some(other) = texts.iter().find(|text| *text != name) {
        return Err(Fault::input(format_args!(
            "the string takes no words but the learner's name, and found `{}`",
            one_line(other)
        )));
    }
    let notebook = Notebook::open()?;
    let learner = options::learner(&notebook, name)?;
    let page = BeadPage {
        days: notebook.bead_days(learner.id)?,
        made: Zoned::now().date(),
        learner: learner.name,
    };
    beads::sheet(&page, about).map_err(Fault::input)
}
