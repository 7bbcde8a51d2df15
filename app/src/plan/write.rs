//! Writing a plan.

use serde::Serialize;

use super::{Content, Plan, PlanWord, VERSION};

#[derive(Serialize)]
struct WrittenPlan<'p> {
    soundbead_plan: i64,
    #[serde(skip_serializing_if = "str::is_empty")]
    title: &'p str,
    #[serde(skip_serializing_if = "str::is_empty")]
    day: &'p str,
    #[serde(skip_serializing_if = "str::is_empty")]
    note: &'p str,
    rules: toml::Table,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    item: Vec<WrittenItem<'p>>,
}

#[derive(Serialize)]
struct WrittenItem<'p> {
    kind: &'static str,
    #[serde(skip_serializing_if = "str::is_empty")]
    title: &'p str,
    #[serde(skip_serializing_if = "str::is_empty")]
    note: &'p str,
    #[serde(skip_serializing_if = "Option::is_none")]
    words: Option<Vec<String>>,
    #[serde(skip_serializing_if = "<[String]>::is_empty")]
    sentences: &'p [String],
    #[serde(skip_serializing_if = "Vec::is_empty")]
    group: Vec<WrittenGroup<'p>>,
}

#[derive(Serialize)]
struct WrittenGroup<'p> {
    heading: &'p str,
    words: Vec<String>,
}

impl Plan {
    /// The text of the plan's file; [`Plan::from_text`] reads the same plan back.
    pub fn to_text(&self) -> String {
        let rules = self.rules.iter().map(|(name, value)| (name.to_owned(), value.into()));
        let raw = WrittenPlan {
            soundbead_plan: VERSION,
            title: &self.title,
            day: &self.day,
            note: &self.note,
            rules: rules.collect(),
            item: self.items.iter().map(raw_item).collect(),
        };
        toml::to_string(&raw).expect("text, numbers and lists can always be written")
    }
}

fn raw_item(item: &super::PlanItem) -> WrittenItem<'_> {
    let (kind, words, sentences, groups): (_, _, &[String], &[super::SortGroup]) = match &item.content {
        Content::Chain(words) => ("chain", Some(words), &[], &[]),
        Content::Boxes(words) => ("boxes", Some(words), &[], &[]),
        Content::Sort(groups) => ("sort", None, &[], groups),
        Content::Dictation { words, sentences } => ("dictation", Some(words), sentences, &[]),
    };
    WrittenItem {
        kind,
        title: &item.title,
        note: &item.note,
        words: words.map(|w| written(w)),
        sentences,
        group: groups.iter().map(raw_group).collect(),
    }
}

fn raw_group(group: &super::SortGroup) -> WrittenGroup<'_> {
    WrittenGroup {
        heading: &group.heading,
        words: written(&group.words),
    }
}

fn written(words: &[PlanWord]) -> Vec<String> {
    let each = words.iter().map(|word| match &word.said {
        Some(said) => format!("{}: {said}", word.spelling),
        None => word.spelling.clone(),
    });
    each.collect()
}
