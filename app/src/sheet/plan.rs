//! A lesson's plan on paper: a page for the grown-up, with everything that is said and every answer, and a page for the child,
//! without any. A lesson of twenty minutes takes these two; a longer one goes on, with no page nearly empty.

mod child;
mod cues;
mod grown;

use soundbead_data::Rules;
use soundbead_data::chain::Change;
use soundbead_data::word::{self, Overrides, Source};

use super::sort::{SheetColumn, SortSheet};
use super::words::{self, SheetWord};
use super::{Sheet, SheetOptions, boxes, chain, dictation, sort};
use crate::plan::{Content, Plan, PlanItem, PlanWord, SortGroup};

/// One item of the plan, its words spelled.
enum LessonPart {
    Chain(Vec<(SheetWord, Option<Change>)>),
    Boxes(Vec<SheetWord>),
    Sort(SortSheet),
    Dictation(Vec<SheetWord>, Vec<String>),
}

impl LessonPart {
    fn words(&self) -> Vec<SheetWord> {
        match self {
            LessonPart::Chain(steps) => steps.iter().map(|(word, _)| word.clone()).collect(),
            LessonPart::Boxes(words) | LessonPart::Dictation(words, _) => words.clone(),
            LessonPart::Sort(sort) => sort.columns.iter().flat_map(|c| c.words.iter().cloned()).collect(),
        }
    }
}

/// The whole lesson: the child's page and, with the key, the grown-up's before it.
///
/// # Errors
/// One line: the item, and what in it cannot be printed as it is.
pub fn sheet(plan: &Plan, about: &SheetOptions, own: &Overrides) -> Result<Sheet, String> {
    let mut parts = Vec::new();
    for (at, item) in plan.items.iter().enumerate() {
        parts.push((item, named(at, item, part(item, about, own))?));
    }
    if parts.is_empty() {
        return Err("the plan has nothing to print; put a chain, boxes, a sort or a dictation into it".into());
    }
    let mut sheets = Vec::new();
    if about.key {
        sheets.push(grown::sheet(plan, &parts, about));
    }
    sheets.push(child::sheet(&parts, about));
    let mut all = Sheet::joined(sheets).ok_or("the plan has nothing to print")?;
    if !plan.title.is_empty() {
        all.title.clone_from(&plan.title);
    }
    Ok(all)
}

/// The items that `wanted` picks, each as its own sheet with its own key.
///
/// # Errors
/// As [`sheet()`], and where the plan has no such item.
pub fn apart(
    plan: &Plan,
    about: &SheetOptions,
    own: &Overrides,
    wanted: impl Fn(&PlanItem) -> bool,
) -> Result<Sheet, String> {
    let items = plan.items.iter().enumerate().filter(|(_, i)| wanted(i));
    let sheets = items.map(|(at, one)| named(at, one, item(one, about, own)));
    let sheets = sheets.collect::<Result<Vec<_>, _>>()?;
    Sheet::joined(sheets).ok_or_else(|| "the plan has nothing of that kind to print".into())
}

/// What went wrong, with the item that it went wrong in.
fn named<T>(at: usize, item: &PlanItem, made: Result<T, String>) -> Result<T, String> {
    made.map_err(|e| format!("item {}, {}: {e}", at + 1, item.heading()))
}

/// One item of a plan as a sheet.
///
/// # Errors
/// One line: what in it cannot be printed as it is.
pub fn item(item: &PlanItem, about: &SheetOptions, own: &Overrides) -> Result<Sheet, String> {
    let own_title = (!item.title.is_empty()).then(|| item.title.clone());
    let about = &SheetOptions {
        title: own_title.or_else(|| about.title.clone()),
        ..about.clone()
    };
    Ok(match part(item, about, own)? {
        LessonPart::Boxes(words) => boxes::sheet(&words, about),
        LessonPart::Dictation(words, sentences) => dictation::sheet(&words, &sentences, about),
        LessonPart::Chain(steps) => chain::sheet(&steps, about),
        LessonPart::Sort(columns) => sort::sheet(&columns, about),
    })
}

fn part(item: &PlanItem, about: &SheetOptions, own: &Overrides) -> Result<LessonPart, String> {
    let all = |words: &[PlanWord]| -> Result<Vec<SheetWord>, String> {
        words.iter().map(|w| one_way(w, &about.rules, own)).collect()
    };
    Ok(match &item.content {
        Content::Boxes(words) => LessonPart::Boxes(all(words)?),
        Content::Dictation { words, sentences } => LessonPart::Dictation(all(words)?, sentences.clone()),
        Content::Chain(words) => {
            let ways = words.iter().map(|w| ways(w, &about.rules, own));
            let ways = ways.collect::<Result<Vec<_>, _>>()?;
            LessonPart::Chain(chain::steps(&ways).map_err(|e| e.to_string())?)
        }
        Content::Sort(groups) => {
            let column = |group: &SortGroup| -> Result<SheetColumn, String> {
                Ok(SheetColumn {
                    heading: group.heading.clone(),
                    words: all(&group.words)?,
                    ..SheetColumn::default()
                })
            };
            LessonPart::Sort(SortSheet {
                columns: groups.iter().map(column).collect::<Result<_, _>>()?,
                why: item.note.lines().map(str::to_owned).collect(),
                cards: about.cards,
                ..SortSheet::default()
            })
        }
    })
}

/// The word as the plan says it, or every way of saying it where the plan leaves that open.
fn ways(word: &PlanWord, rules: &Rules, own: &Overrides) -> Result<Vec<SheetWord>, String> {
    match &word.said {
        None => words::ways(&word.spelling, rules, own).map_err(|e| e.to_string()),
        Some(said) => {
            let spelling = word::normal(&word.spelling).map_err(|e| e.to_string())?;
            let known = word::find(&spelling, own).ok();
            let source = known
                .filter(|k| k.variants.contains(said))
                .map_or(Source::Override, |k| k.source);
            Ok(vec![words::spelled(&spelling, source, said, rules)])
        }
    }
}

fn one_way(word: &PlanWord, rules: &Rules, own: &Overrides) -> Result<SheetWord, String> {
    ways(word, rules, own).map(|mut all| all.swap_remove(0))
}
