//! Reading a plan, and saying exactly what is wrong with one.

use std::collections::BTreeMap;
use std::fmt;
use std::ops::Range;

use serde::Deserialize;
use soundbead_data::Rules;
use soundbead_data::word::normal;
use toml::Spanned;

use super::{Content, Plan, PlanItem, PlanWord, SortGroup, VERSION};
use crate::fault::one_line;
use crate::settings;
use crate::typed;

/// Largest file, items in a plan, words in an item.
const MOST_BYTES: usize = 1 << 20;
const MOST_ITEMS: usize = 200;
const MOST_WORDS: usize = 500;

/// A plan that cannot be read or kept: one line, saying where, what was found and what was wanted.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PlanFault(pub(super) String);

impl fmt::Display for PlanFault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0)
    }
}

impl std::error::Error for PlanFault {}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct RawPlan {
    soundbead_plan: Spanned<i64>,
    #[serde(default)]
    title: String,
    #[serde(default)]
    day: String,
    #[serde(default)]
    note: String,
    #[serde(default)]
    rules: BTreeMap<Spanned<String>, Spanned<String>>,
    #[serde(default)]
    item: Vec<Spanned<RawItem>>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct RawItem {
    kind: Spanned<String>,
    #[serde(default)]
    title: String,
    #[serde(default)]
    note: String,
    words: Option<Vec<Spanned<String>>>,
    sentences: Option<Spanned<Vec<String>>>,
    group: Option<Vec<RawGroup>>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct RawGroup {
    heading: String,
    #[serde(default)]
    words: Vec<Spanned<String>>,
}

/// The only part that is looked at first: a newer version may have keys that this one does not know.
#[derive(Deserialize)]
struct Versioned {
    soundbead_plan: Option<Spanned<toml::Value>>,
}

impl Plan {
    /// Reads a plan from the text of its file.
    ///
    /// # Errors
    /// The first thing that is wrong: line, field, found, wanted.
    pub fn from_text(text: &str) -> Result<Plan, PlanFault> {
        if text.len() > MOST_BYTES {
            return Err(PlanFault(format!(
                "the file has {} bytes, wanted at most {MOST_BYTES}: this is no plan",
                text.len()
            )));
        }
        let text = text.trim_start_matches('\u{feff}');
        let reader = Reader { text };
        reader.version()?;
        let raw: RawPlan = toml::from_str(text).map_err(|e| reader.broken(&e))?;
        reader.plan(raw)
    }
}

struct Reader<'t> {
    text: &'t str,
}

impl Reader<'_> {
    fn fault(&self, span: Range<usize>, field: &str, what: impl fmt::Display) -> PlanFault {
        let before = self.text.get(..span.start).unwrap_or(self.text);
        let line = before.matches('\n').count() + 1;
        PlanFault(one_line(&format!("line {line}, {field}: {what}")))
    }

    /// The parser's own words on what is no TOML, or has the wrong shape.
    fn broken(&self, error: &toml::de::Error) -> PlanFault {
        self.fault(error.span().unwrap_or(0..0), "as a plan file", error.message())
    }

    fn version(&self) -> Result<(), PlanFault> {
        let found: Versioned = toml::from_str(self.text).map_err(|e| self.broken(&e))?;
        let Some(version) = found.soundbead_plan else {
            return Err(PlanFault(format!(
                "this is no plan: found no soundbead_plan, wanted `soundbead_plan = {VERSION}` at its top"
            )));
        };
        match version.get_ref().as_integer() {
            Some(VERSION) => Ok(()),
            Some(newer) if newer > VERSION => {
                let what =
                    format!("found version {newer}, wanted at most {VERSION}: the plan was made by a newer Soundbead");
                Err(self.fault(version.span(), "soundbead_plan", what))
            }
            _ => {
                let what = format!("found `{}`, wanted {VERSION}", version.get_ref());
                Err(self.fault(version.span(), "soundbead_plan", what))
            }
        }
    }

    fn plan(&self, raw: RawPlan) -> Result<Plan, PlanFault> {
        let _ = raw.soundbead_plan;
        let mut rules = Rules::default();
        for (name, value) in &raw.rules {
            let set = rules.set(name.get_ref(), value.get_ref());
            set.map_err(|e| self.fault(name.span(), "rules", settings::rule_fault(name.get_ref(), &e)))?;
        }
        if let Some(extra) = raw.item.get(MOST_ITEMS) {
            return Err(self.fault(
                extra.span(),
                "item",
                format_args!("found item {}, wanted at most {MOST_ITEMS}", MOST_ITEMS + 1),
            ));
        }
        Ok(Plan {
            title: raw.title,
            day: raw.day,
            note: raw.note,
            rules,
            items: raw
                .item
                .into_iter()
                .map(|item| self.item(item))
                .collect::<Result<_, _>>()?,
        })
    }

    fn item(&self, raw: Spanned<RawItem>) -> Result<PlanItem, PlanFault> {
        let span = raw.span();
        let raw = raw.into_inner();
        let kind = raw.kind.get_ref().as_str();
        let known = matches!(kind, "chain" | "boxes" | "sort" | "dictation");
        if !known {
            let what = format!("found `{kind}`, wanted chain, boxes, sort or dictation");
            return Err(self.fault(raw.kind.span(), "kind", what));
        }
        let sort = kind == "sort";
        let wrong = |field: &str, why: &str| {
            self.fault(
                span.clone(),
                field,
                format_args!("found in an item of kind {kind}, {why}"),
            )
        };
        if sort && raw.words.is_some() {
            return Err(wrong("words", "wanted in the groups of a sort alone"));
        }
        if !sort && raw.group.is_some() {
            return Err(wrong("group", "wanted in a sort alone"));
        }
        if kind != "dictation" && raw.sentences.is_some() {
            return Err(wrong("sentences", "wanted in a dictation alone"));
        }
        let words = self.words(raw.words.unwrap_or_default())?;
        let groups = raw.group.unwrap_or_default().into_iter().map(|group| {
            let words = self.words(group.words)?;
            Ok(SortGroup {
                heading: group.heading,
                words,
            })
        });
        let content = match kind {
            "chain" => Content::Chain(words),
            "boxes" => Content::Boxes(words),
            "sort" => Content::Sort(groups.collect::<Result<_, _>>()?),
            _ => Content::Dictation {
                words,
                sentences: raw.sentences.map(Spanned::into_inner).unwrap_or_default(),
            },
        };
        Ok(PlanItem {
            title: raw.title,
            note: raw.note,
            content,
        })
    }

    fn words(&self, raw: Vec<Spanned<String>>) -> Result<Vec<PlanWord>, PlanFault> {
        if let Some(extra) = raw.get(MOST_WORDS) {
            return Err(self.fault(
                extra.span(),
                "words",
                format_args!("found word {}, wanted at most {MOST_WORDS}", MOST_WORDS + 1),
            ));
        }
        raw.iter().map(|word| self.word(word)).collect()
    }

    fn word(&self, raw: &Spanned<String>) -> Result<PlanWord, PlanFault> {
        let (spelling, sounds) = match raw.get_ref().split_once(':') {
            None => (raw.get_ref().as_str(), None),
            Some((spelling, sounds)) => (spelling, Some(sounds)),
        };
        let fault = |what: &dyn fmt::Display| self.fault(raw.span(), "words", what);
        normal(spelling).map_err(|e| fault(&e))?;
        let said = sounds.map(typed::pronunciation).transpose();
        Ok(PlanWord {
            spelling: spelling.trim().to_owned(),
            said: said.map_err(|e| fault(&format_args!("`{}`: {e}", raw.get_ref())))?,
        })
    }
}
