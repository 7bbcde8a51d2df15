//! A sort that is under way, kept in the notebook as it is laid, so that closing the window loses no card of it.

use serde::{Deserialize, Serialize};

use super::{SortCard, SortSession, SortStep};
use crate::drill::TaskStanding;
use crate::drill::saving::Saving;
use crate::later::Later;
use crate::notebook::{Desk, Id, Moment, Result};

/// The key under which the notebook keeps it.
const KEY: &str = "sort";

/// A sort as it is written down. What can be undone is not in it.
#[derive(Serialize, Deserialize)]
struct SortDraft {
    headings: Vec<String>,
    cards: Vec<SortCard>,
    step: SortStep,
    standing: TaskStanding,
    rule: String,
    kept_first: bool,
}

/// The text that stands for this sort; none where nothing was laid, or where all of it is in the notebook as a note.
pub(super) fn text(session: &SortSession) -> String {
    if !session.begun() || session.step == SortStep::Shares {
        return String::new();
    }
    let draft = SortDraft {
        headings: session.headings.clone(),
        cards: session.cards.clone(),
        step: session.step,
        standing: session.standing,
        rule: session.rule.clone(),
        kept_first: session.kept_first,
    };
    serde_json::to_string(&draft).unwrap_or_default()
}

/// The sort of such a text, left before it was done. One that cannot be read (from another version) is as good as none.
pub(super) fn read(text: &str) -> Option<SortSession> {
    let draft: SortDraft = serde_json::from_str(text).ok()?;
    let columns = draft.headings.len();
    let fits = |card: &SortCard| {
        let mut places = [Some(card.belongs), card.lies, card.first].into_iter().flatten();
        places.all(|at| at < columns)
    };
    let whole = !draft.cards.is_empty() && draft.cards.iter().all(fits) && draft.step != SortStep::Shares;
    whole.then(|| SortSession {
        headings: draft.headings,
        cards: draft.cards,
        step: draft.step,
        standing: draft.standing,
        rule: draft.rule,
        kept_first: draft.kept_first,
        left: true,
        ..SortSession::default()
    })
}

/// The text of the sort that was left, as the notebook has it.
type SortLeft = Option<(String, Moment)>;

/// The way of a learner's sort into the notebook and back.
#[derive(Default)]
pub(super) struct SortKeeper {
    /// Whose sort it is; nothing is kept of nobody's.
    pub(super) learner: Option<Id>,
    asked: Option<Later<Result<SortLeft>>>,
    saving: Saving<String>,
    /// Whether it was said that it cannot be kept.
    told: bool,
}

impl SortKeeper {
    /// For a learner who is in hand from now on: asks for the sort that was left.
    pub(super) fn of(notebook: &Desk, learner: Option<Id>) -> SortKeeper {
        SortKeeper {
            learner,
            asked: learner.map(|id| notebook.ask(move |n| n.draft(Some(id), KEY))),
            ..SortKeeper::default()
        }
    }

    /// The sort that was left, when it comes.
    pub(super) fn left(&mut self) -> Option<SortSession> {
        let answer = self.asked.as_mut().and_then(Later::answer)?;
        self.asked = None;
        let (text, _) = answer.ok().flatten()?;
        read(&text)
    }

    /// Keeps this text in the place of the one before. Why that failed, once a failure.
    pub(super) fn keep(&mut self, notebook: &Desk, text: String) -> Option<String> {
        let learner = self.learner.filter(|_| self.asked.is_none())?;
        self.saving.want(text);
        self.saving
            .poll(|text| notebook.ask(move |n| n.keep_draft(Some(learner), KEY, &text)));
        let failed = self.saving.fault().is_some();
        let news = failed && !self.told;
        self.told = failed || (self.told && !self.saving.settled());
        self.saving.fault().filter(|_| news).map(str::to_owned)
    }
}
