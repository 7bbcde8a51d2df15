//! The way of a dictation into the notebook: a row for each word as soon as it is written, and the draft.

use std::sync::{Arc, Mutex, PoisonError};

use jiff::Zoned;
use serde::{Deserialize, Serialize};

use super::super::{Dictation, DictationAnswer};
use crate::drill::saving::Saving;
use crate::equipment::Equipment;
use crate::later::Later;
use crate::notebook::{Desk, Help, Id, NewWriting, Notebook, Result, WritingSource};

/// The key under which the notebook keeps the draft.
const KEY: &str = "dictation";

/// A row of the notebook, its word and what is in it; shared with the notebook's thread, where rows are made one after another.
type RowSlot = Arc<Mutex<Option<(Id, String, DictationAnswer)>>>;

/// What is kept of one word.
#[derive(Default)]
struct KeptRow {
    slot: RowSlot,
    saving: Saving<DictationAnswer>,
}

/// The draft as it is written down.
#[derive(Serialize, Deserialize)]
struct DictationDraft {
    dictation: Dictation,
    rows: Vec<Option<Id>>,
}

/// A dictation that was broken off.
#[derive(Clone, Debug, PartialEq)]
pub struct DictationLeft {
    dictation: Dictation,
    rows: Vec<Option<Id>>,
}

impl DictationLeft {
    /// The dictation as it was left.
    pub(super) fn into_dictation(self) -> Dictation {
        self.dictation
    }

    /// How many words were written, and of how many; about so many where words are chosen one by one.
    pub fn place(&self) -> (usize, usize) {
        let chosen = self.dictation.asked().len();
        let all = match self.dictation.at() {
            Some(at) => at + 1 + self.dictation.to_come(),
            None => chosen,
        };
        (self.dictation.written(), all)
    }

    /// Whether these are its words.
    pub fn is_of(&self, words: &[String]) -> bool {
        self.dictation.is_of(words)
    }

    /// Whether its words are chosen one by one.
    pub fn chosen_on_the_way(&self) -> bool {
        self.dictation.set().is_some()
    }
}

/// The keeper of one dictation.
#[derive(Default)]
pub struct DictationKeeper {
    learner: Option<Id>,
    source: WritingSource,
    words: Vec<String>,
    rows: Vec<KeptRow>,
    draft: Saving<String>,
    /// Whether the dictation is over, and nothing of it is to be resumed.
    ended: bool,
}

impl DictationKeeper {
    /// For a dictation that begins.
    pub fn new(
        learner: Id,
        source: WritingSource,
        rows: Vec<Option<(Id, String, DictationAnswer)>>,
    ) -> DictationKeeper {
        let row = |kept: Option<(Id, String, DictationAnswer)>| KeptRow {
            slot: Arc::new(Mutex::new(kept)),
            saving: Saving::default(),
        };
        DictationKeeper {
            learner: Some(learner),
            source,
            rows: rows.into_iter().map(row).collect(),
            ..DictationKeeper::default()
        }
    }

    /// For one that goes on.
    pub fn going_on(learner: Id, left: &DictationLeft) -> DictationKeeper {
        let written = left.dictation.asked().iter().zip(left.dictation.answers());
        let rows = written
            .zip(&left.rows)
            .map(|((asked, answer), id)| id.map(|id| (id, asked.word.clone(), answer.clone())));
        DictationKeeper::new(learner, WritingSource::Dictation, rows.collect())
    }

    /// Whose dictation it is.
    pub fn learner(&self) -> Option<Id> {
        self.learner
    }

    /// Sees to it that the notebook has what was written, and the dictation itself.
    pub fn poll(&mut self, notebook: &Desk, dictation: Option<&Dictation>) {
        let Some(learner) = self.learner else { return };
        if let Some(dictation) = dictation {
            self.want(dictation);
        }
        for (at, row) in self.rows.iter_mut().enumerate() {
            // Nothing is wanted of a word that is asked no more.
            let word = self.words.get(at).cloned().unwrap_or_default();
            let (slot, source) = (&row.slot, self.source);
            row.saving.poll(|answer| {
                let slot = slot.clone();
                notebook.ask(move |n| put(n, learner, &slot, (word, source), answer))
            });
        }
        if self.source == WritingSource::Dictation {
            match dictation {
                _ if self.ended => self.draft.want(String::new()),
                Some(dictation) => self.draft.want(self.text(dictation)),
                None => {}
            }
            self.draft
                .poll(|text| notebook.ask(move |n| n.keep_draft(Some(learner), KEY, &text)));
        }
    }

    /// What is to be in the notebook of each word; nothing of a word that was chosen and is asked no more.
    fn want(&mut self, dictation: &Dictation) {
        self.words = dictation.asked().iter().map(|asked| asked.word.clone()).collect();
        let most = self.rows.len().max(self.words.len());
        self.rows.resize_with(most, KeptRow::default);
        let none = DictationAnswer::default();
        for (at, row) in self.rows.iter_mut().enumerate() {
            row.saving.want(dictation.answers().get(at).unwrap_or(&none).clone());
        }
    }

    /// The draft; none once the child is done: then all of it is in rows.
    fn text(&self, dictation: &Dictation) -> String {
        if dictation.done() || !dictation.begun() {
            return String::new();
        }
        let id = |row: &KeptRow| {
            row.slot
                .lock()
                .unwrap_or_else(PoisonError::into_inner)
                .as_ref()
                .map(|(id, ..)| *id)
        };
        let written = DictationDraft {
            dictation: dictation.clone(),
            rows: self.rows.iter().map(id).collect(),
        };
        serde_json::to_string(&written).unwrap_or_default()
    }

    /// Takes every row out of the notebook again.
    pub fn take_all_back(&mut self) {
        self.rows
            .iter_mut()
            .for_each(|row| row.saving.want(DictationAnswer::default()));
    }

    /// The dictation is over.
    pub fn end(&mut self) {
        self.ended = true;
    }

    /// Tries again what could not be kept.
    pub fn again(&mut self) {
        self.rows.iter_mut().for_each(|row| row.saving.again());
        self.draft.again();
    }

    /// Why something is not in the notebook, if that is so.
    pub fn fault(&self) -> Option<&str> {
        self.rows
            .iter()
            .find_map(|row| row.saving.fault())
            .or_else(|| self.draft.fault())
    }

    /// Whether all of it is known to be kept.
    pub fn over(&self) -> bool {
        self.learner.is_none() || (self.rows.iter().all(|row| row.saving.settled()) && self.draft.settled())
    }
}

/// Makes the row of a word what `answer` says. Tries that were added are added; anything else makes a new row, and the old
/// one is taken back. Runs on the notebook's thread.
fn put(
    n: &mut Notebook,
    learner: Id,
    slot: &RowSlot,
    (word, source): (String, WritingSource),
    answer: DictationAnswer,
) -> Result<()> {
    // Held only to look and to set: whoever draws the dictation looks too.
    let before = slot.lock().unwrap_or_else(PoisonError::into_inner).clone();
    let set = |kept| *slot.lock().unwrap_or_else(PoisonError::into_inner) = kept;
    match before {
        Some((id, of, kept)) if of == word && answer.goes_on_from(&kept) => {
            for added in &answer.tries()[kept.tries().len()..] {
                n.add_try(id, Some(added), help(&answer))?;
            }
            n.add_try(id, None, help(&answer))?;
            set(Some((id, of, answer)));
        }
        before => {
            if let Some((id, ..)) = before {
                n.take_back_writing(id)?;
                set(None);
            }
            if !answer.tries().is_empty() {
                let new = NewWriting {
                    session: None,
                    word: word.clone(),
                    tries: answer.tries().to_vec(),
                    source,
                    help: help(&answer),
                    day: Zoned::now().date(),
                };
                let row = n.keep_writing(learner, &new)?;
                set(Some((row.id, word, answer)));
            }
        }
    }
    Ok(())
}

fn help(answer: &DictationAnswer) -> Help {
    match (answer.helped(), answer.helped_first()) {
        (false, _) => Help::None,
        (true, false) => Help::AfterFirst,
        (true, true) => Help::BeforeFirst,
    }
}

/// The learner's dictation that was broken off.
pub fn draft(at: &Equipment, learner: Id) -> Later<Result<Option<DictationLeft>>> {
    at.notebook.ask(move |notebook| {
        let found = notebook.draft(Some(learner), KEY)?;
        // One that cannot be read (from another version) is as good as none.
        let written = found.and_then(|(text, _)| serde_json::from_str::<DictationDraft>(&text).ok());
        Ok(written.and_then(|w| {
            let dictation = Dictation::read(&w.dictation.text()).ok()?;
            let mut rows = w.rows;
            rows.resize(dictation.asked().len(), None);
            Some(DictationLeft { dictation, rows })
        }))
    })
}
