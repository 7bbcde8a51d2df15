//! A lesson's plan on paper: each of its items as its own sheet, and for the parent a page that says what comes when.

use soundbead_data::Rules;
use soundbead_data::word::{self, Overrides, Source};

use super::lay::{Align, Composer, PageHead, Style, fit};
use super::page::Area;
use super::sort::SheetColumn;
use super::words::{self, SheetWord};
use super::{Sheet, SheetOptions, boxes, chain, dictation, foot, sort};
use crate::plan::{Content, Plan, PlanItem, PlanWord};

/// Every item of the plan that `wanted` picks, in order. With the key, the first page is the parent's: the whole plan.
///
/// # Errors
/// One line: the item, and what in it cannot be printed as it is.
pub fn sheet(
    plan: &Plan,
    about: &SheetOptions,
    own: &Overrides,
    wanted: &dyn Fn(&PlanItem) -> bool,
) -> Result<Sheet, String> {
    let items: Vec<(usize, &PlanItem)> = plan.items.iter().enumerate().filter(|(_, i)| wanted(i)).collect();
    if items.is_empty() {
        return Err("the plan has nothing of that kind to print".into());
    }
    let mut sheets = Vec::new();
    if about.key {
        sheets.push(overview(plan, about, own));
    }
    for (at, part) in items {
        let made = item(part, about, own).map_err(|e| format!("item {}, {}: {e}", at + 1, part.heading()))?;
        sheets.push(made);
    }
    let mut all = Sheet::joined(sheets).ok_or("the plan has nothing to print")?;
    if !plan.title.is_empty() {
        all.title.clone_from(&plan.title);
    }
    Ok(all)
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
    let all = |words: &[PlanWord]| -> Result<Vec<SheetWord>, String> {
        words.iter().map(|w| one_way(w, &about.rules, own)).collect()
    };
    Ok(match &item.content {
        Content::Boxes(words) => boxes::sheet(&all(words)?, about),
        Content::Dictation { words, sentences } => dictation::sheet(&all(words)?, sentences, about),
        Content::Chain(words) => {
            let ways = words
                .iter()
                .map(|w| ways(w, &about.rules, own))
                .collect::<Result<Vec<_>, _>>()?;
            chain::sheet(&chain::steps(&ways).map_err(|e| e.to_string())?, about)
        }
        Content::Sort(groups) => {
            let column = |group: &crate::plan::SortGroup| -> Result<SheetColumn, String> {
                Ok(SheetColumn {
                    heading: group.heading.clone(),
                    when: String::new(),
                    words: all(&group.words)?,
                })
            };
            let columns = groups.iter().map(column).collect::<Result<Vec<_>, _>>()?;
            let note: Vec<String> = item.note.lines().map(str::to_owned).collect();
            sort::sheet(&columns, &note, about)
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

/// The parent's page: what the lesson is for and what comes when.
fn overview(plan: &Plan, about: &SheetOptions, own: &Overrides) -> Sheet {
    let spelled: Vec<SheetWord> = plan
        .items
        .iter()
        .flat_map(PlanItem::words)
        .filter_map(|w| one_way(w, &about.rules, own).ok())
        .collect();
    let title = if plan.title.is_empty() {
        "Lesson plan"
    } else {
        &plan.title
    };
    let mut page = Composer::new(about.paper, title, &foot(about, &spelled));
    page.start(PageHead {
        title: title.to_owned(),
        named: false,
        how: match plan.day.as_str() {
            "" => "For the parent.".into(),
            day => format!("For the parent. {day}"),
        },
    });
    notes(&mut page, &plan.note, Style::plain(11.5));
    for (at, item) in plan.items.iter().enumerate() {
        page.heading(&format!("{}. {}", at + 1, item.heading()), 40.0);
        if !item.title.is_empty() {
            page.paragraph(item.kind(), Style::quiet(9.5));
        }
        notes(&mut page, &item.note, Style::plain(10.5));
        contents(&mut page, item);
    }
    page.finish()
}

fn notes(page: &mut Composer, text: &str, style: Style) {
    for line in text.lines().filter(|l| !l.trim().is_empty()) {
        page.paragraph(line, style);
    }
}

/// The words of an item in running text, those of a sort under their headings.
fn contents(page: &mut Composer, item: &PlanItem) {
    let style = Style::plain(11.5);
    let row = |words: &[PlanWord], between: &str| {
        let all: Vec<&str> = words.iter().map(|w| w.spelling.as_str()).collect();
        all.join(between)
    };
    match &item.content {
        Content::Chain(words) => page.paragraph(&row(words, " → "), style),
        Content::Boxes(words) => page.paragraph(&row(words, ", "), style),
        Content::Dictation { words, sentences } => {
            page.paragraph(&row(words, ", "), style);
            sentences.iter().for_each(|sentence| page.paragraph(sentence, style));
        }
        Content::Sort(groups) => {
            for group in groups {
                page.need(style.line());
                let heading = Area::new(page.left(), page.y, 70.0, style.line());
                page.push(fit(&group.heading, Style::bold(11.0), heading, Align::Left));
                let (x, w) = (page.left() + 78.0, page.width() - 78.0);
                page.paragraph_at(&row(&group.words, ", "), style, x, w);
            }
        }
    }
}
