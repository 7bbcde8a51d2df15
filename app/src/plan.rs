//! A lesson's plan: chains, sorts, box lists and dictations with the rules they were made by, in a text file that can be
//! mailed. The format is described in `plan/FORMAT.md`.
//!
//! ```
//! use soundbead::plan::Plan;
//!
//! let text = "soundbead_plan = 1\ntitle = \"Short e and i\"\n[[item]]\nkind = \"chain\"\nwords = [\"pig\", \"peg\"]\n";
//! let plan = Plan::from_text(text)?;
//! assert_eq!(plan.items[0].words().count(), 2);
//! assert_eq!(Plan::from_text(&plan.to_text())?, plan);
//! # Ok::<(), soundbead::plan::PlanFault>(())
//! ```

mod keep;
mod read;
mod write;

use soundbead_data::Rules;
use soundbead_data::chain::{difference_in_units, units};
use soundbead_data::lexicon::Pronunciation;
use soundbead_data::word::{self, Overrides};

pub use keep::{Shelf, Shelved};
pub use read::PlanFault;

/// The version of the format that is written; older ones are read.
pub const VERSION: i64 = 1;
/// The example that comes with the description of the format.
pub const EXAMPLE: &str = include_str!("plan/example.toml");

/// What is prepared for one lesson.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Plan {
    /// What it is called; may be empty while it is being made.
    pub title: String,
    /// The day it is for, as the family writes it (2026-11-26 by custom); may be empty.
    pub day: String,
    /// Anything to remember; may be empty, may have several lines.
    pub note: String,
    /// The rules by which its sounds are counted.
    pub rules: Rules,
    /// What is done in the lesson, in order.
    pub items: Vec<PlanItem>,
}

/// One part of a lesson.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PlanItem {
    /// Its heading; may be empty.
    pub title: String,
    /// Anything to remember; may be empty.
    pub note: String,
    /// What is done.
    pub content: Content,
}

/// What one part of a lesson is.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Content {
    /// Words, each one sound from the one before.
    Chain(Vec<PlanWord>),
    /// Words to be said sound by sound and written in sound boxes.
    Boxes(Vec<PlanWord>),
    /// Words to be put under headings.
    Sort(Vec<SortGroup>),
    /// Words, then sentences, to be written as they are said.
    Dictation {
        /// Single words.
        words: Vec<PlanWord>,
        /// Whole sentences.
        sentences: Vec<String>,
    },
}

/// One column of a sort.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SortGroup {
    /// What stands above it, such as `ck`.
    pub heading: String,
    /// The words that belong there.
    pub words: Vec<PlanWord>,
}

/// A word of a plan.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PlanWord {
    /// As it is written.
    pub spelling: String,
    /// How it is meant to be said, where the plan says it; the family's or the dictionary's way otherwise.
    pub said: Option<Pronunciation>,
}

impl PlanWord {
    /// The word with the dictionary's first way of saying it.
    pub fn new(spelling: impl Into<String>) -> PlanWord {
        PlanWord {
            spelling: spelling.into(),
            said: None,
        }
    }

    /// The word said in this way.
    pub fn said_as(spelling: impl Into<String>, said: Pronunciation) -> PlanWord {
        PlanWord {
            spelling: spelling.into(),
            said: Some(said),
        }
    }

    /// How it is meant to be said: as the plan says, or the family, or the dictionary, or as guessed. No sounds only for a
    /// text that is no word.
    pub fn pronunciation(&self, overrides: &Overrides) -> Pronunciation {
        let found = || word::find(&self.spelling, overrides).ok();
        let first = |found: word::Word| found.variants.into_iter().next();
        self.said
            .clone()
            .or_else(|| found().and_then(first))
            .unwrap_or_default()
    }
}

impl PlanItem {
    /// An item without heading and note.
    pub fn of(content: Content) -> PlanItem {
        PlanItem {
            title: String::new(),
            note: String::new(),
            content,
        }
    }

    /// Every word in order, those of a sort column by column; the words inside sentences not.
    pub fn words(&self) -> impl Iterator<Item = &PlanWord> {
        let (plain, groups): (&[PlanWord], &[SortGroup]) = match &self.content {
            Content::Chain(words) | Content::Boxes(words) | Content::Dictation { words, .. } => (words, &[]),
            Content::Sort(groups) => (&[], groups),
        };
        plain.iter().chain(groups.iter().flat_map(|g| &g.words))
    }

    /// Its heading, or the name of its kind where it has none.
    pub fn heading(&self) -> &str {
        if self.title.is_empty() {
            self.kind()
        } else {
            &self.title
        }
    }

    /// `Chain`, `Sound boxes`, `Sort` or `Dictation`.
    pub fn kind(&self) -> &'static str {
        match self.content {
            Content::Chain(_) => "Chain",
            Content::Boxes(_) => "Sound boxes",
            Content::Sort(_) => "Sort",
            Content::Dictation { .. } => "Dictation",
        }
    }

    /// Where the item is not what it says under these rules: each step of a chain that does not change exactly one sound,
    /// each text that is no word. One line each; none when all is well.
    pub fn doubts(&self, rules: &Rules, overrides: &Overrides) -> Vec<String> {
        let lost = self
            .words()
            .filter_map(|w| word::normal(&w.spelling).err().map(|e| e.to_string()));
        let mut doubts: Vec<String> = lost.collect();
        if let Content::Chain(words) = &self.content {
            for pair in words.windows(2) {
                let row = |w: &PlanWord| units(&w.spelling, w.pronunciation(overrides).sounds(), rules);
                if difference_in_units(&row(&pair[0]), &row(&pair[1])).is_none() {
                    let (from, to) = (&pair[0].spelling, &pair[1].spelling);
                    doubts.push(format!(
                        "{from} to {to} does not change exactly one sound by these rules"
                    ));
                }
            }
        }
        doubts
    }
}
