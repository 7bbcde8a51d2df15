//! What is printed: chains, sound boxes, sorts, dictations, charts and cards, as PDF, as SVG and on the screen.
//!
//! Each kind of sheet is a file here that turns words into a [`Sheet`], a list of pages of plain drawing items
//! ([`page`]); [`pdf`], [`svg`] and `paint` (on the screen) draw that same list, so that what is seen is what is printed.
//!
//! ```
//! use soundbead::sheet::{self, SheetOptions, boxes, words};
//! use soundbead_data::{Rules, word::Overrides};
//!
//! let rules = Rules::default();
//! let chess = words::spell("chess", &rules, &Overrides::default()).unwrap();
//! let sheet = boxes::sheet(&[chess], &SheetOptions { key: true, ..SheetOptions::new(rules) });
//! assert_eq!(sheet.pages.len(), 2);
//! assert!(sheet.overruns().is_empty());
//! assert!(sheet::pdf::write(&sheet).unwrap().starts_with(b"%PDF"));
//! ```

use soundbead_data::Rules;
use soundbead_data::word::Source;

pub mod boxes;
pub mod card;
pub mod chain;
pub mod consonants;
mod cut;
pub mod dictation;
pub mod font;
mod keyed;
pub mod lay;
pub mod page;
#[cfg(feature = "window")]
pub mod paint;
pub mod pdf;
mod place;
pub mod plan;
pub mod save;
pub mod sort;
pub mod string;
pub mod svg;
pub mod vowels;
pub mod wall;
pub mod words;

pub use page::{Paper, Sheet};
use words::SheetWord;

/// How a sheet is to be made.
#[derive(Clone, Debug)]
pub struct SheetOptions {
    /// The paper.
    pub paper: Paper,
    /// Whether the key follows, on pages of its own.
    pub key: bool,
    /// A heading of one's own.
    pub title: Option<String>,
    /// The rules by which sounds are counted.
    pub rules: Rules,
    /// Whether sound boxes are as many for every word, so that the child finds the number.
    pub spare: bool,
    /// Whether a sort's words, or sounds, are cards to cut apart.
    pub cards: bool,
}

impl Default for SheetOptions {
    fn default() -> SheetOptions {
        SheetOptions::new(Rules::default())
    }
}

impl SheetOptions {
    /// US Letter, without a key, with the kind's own heading.
    pub fn new(rules: Rules) -> SheetOptions {
        SheetOptions {
            paper: Paper::default(),
            key: false,
            title: None,
            rules,
            spare: false,
            cards: false,
        }
    }

    fn title_or(&self, own: &str) -> String {
        self.title.clone().unwrap_or_else(|| own.to_owned())
    }
}

/// What stands at the foot of every page of words: the rules in force, where the sounds come from, and what was guessed.
fn foot(about: &SheetOptions, words: &[SheetWord]) -> Vec<String> {
    let mut lines = vec![crate::wording::rules_in_short(&about.rules)];
    let mut from = String::from("Sounds: General American English, CMU Pronouncing Dictionary");
    if words.iter().any(|w| w.source == Source::Override) {
        from += ", and your own";
    }
    lines.push(from + ".");
    lines.extend(guessed(words));
    lines
}

/// Which words are not in the dictionary; nothing where all are.
fn guessed(words: &[SheetWord]) -> Option<String> {
    let mut guessed: Vec<&str> = words
        .iter()
        .filter(|w| w.source == Source::Guess)
        .map(|w| w.word.as_str())
        .collect();
    guessed.dedup();
    let shown: Vec<&str> = guessed.iter().copied().take(6).collect();
    let more = if guessed.len() > shown.len() { " and others" } else { "" };
    (!guessed.is_empty()).then(|| {
        format!(
            "Not in the dictionary, so the sounds are a guess from the letters: {}{more}. Check them before the lesson.",
            shown.join(", ")
        )
    })
}

/// The first of `scales`, the largest first, at which no more pages are needed than at the smallest: pages are filled, and none is
/// nearly empty.
fn fewest(scales: &[f32], make: impl Fn(f32) -> Sheet) -> Sheet {
    let least = scales.iter().copied().fold(f32::INFINITY, f32::min);
    let tightest = make(least);
    // Of many pages a nearly empty last one is no loss, and each try would take its time.
    if tightest.pages.len() > MANY {
        return tightest;
    }
    let roomy = scales.iter().filter(|s| **s > least).map(|s| make(*s));
    let found = roomy
        .into_iter()
        .find(|sheet| sheet.pages.len() <= tightest.pages.len());
    found.unwrap_or(tightest)
}

/// Pages from which on they are made once.
const MANY: usize = 8;
