//! The parts that are known, as they stand in `tables/parts.toml`, and what only looks made of parts.

use std::collections::{HashMap, HashSet};
use std::fmt;
use std::sync::LazyLock;

use serde::Deserialize;

/// From which language a part came into English.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Deserialize)]
pub enum Origin {
    /// Old English.
    #[serde(rename = "Anglo-Saxon")]
    AngloSaxon,
    /// Latin, often by way of French.
    Latin,
    /// Greek, often by way of Latin.
    Greek,
}

impl fmt::Display for Origin {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(match self {
            Origin::AngloSaxon => "Anglo-Saxon",
            Origin::Latin => "Latin",
            Origin::Greek => "Greek",
        })
    }
}

/// What an affix joins.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Joins {
    /// Words that stand alone: *un* + *happy*.
    Words,
    /// Bases that are no words alone: *e* + *rupt*.
    Bases,
    /// Either.
    Both,
}

/// A prefix (`un-`), a suffix (`-ness`) or a base (`port`).
#[derive(Clone, Debug, PartialEq, Eq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Part {
    /// With a hyphen on the side where something joins it.
    pub form: String,
    /// How it is written too (`im-` beside `in-`, `scribe` beside `scrib`), with the same hyphens.
    #[serde(default)]
    pub also: Vec<String>,
    /// Whence it came.
    pub origin: Origin,
    /// What it joins; `None` for a base.
    pub joins: Option<Joins>,
    /// The words that it joins, where it joins few; of the others each is left to the dictionary.
    pub only: Option<Vec<String>>,
    /// What it means, in a few plain words.
    pub meaning: String,
    /// Sums with it, as [`super::Sum::read`] takes them.
    pub sums: Vec<String>,
}

impl Part {
    /// Its form and those that it takes elsewhere, without hyphens.
    pub fn forms(&self) -> impl Iterator<Item = &str> {
        let all = std::iter::once(&self.form).chain(&self.also);
        all.map(|form| form.trim_matches('-'))
    }

    /// Whether something joins it at its end.
    pub fn is_prefix(&self) -> bool {
        self.form.ends_with('-')
    }

    /// Whether it joins something that stands before it.
    pub fn is_suffix(&self) -> bool {
        self.form.starts_with('-')
    }

    /// Whether it may join this word that stands alone.
    pub(super) fn may_join(&self, word: &str) -> bool {
        match (&self.only, self.joins) {
            (Some(only), _) => only.iter().any(|one| one == word),
            (None, joins) => joins != Some(Joins::Bases),
        }
    }
}

static TABLE: LazyLock<Vec<Part>> = LazyLock::new(|| {
    #[derive(Deserialize)]
    struct PartTable {
        part: Vec<Part>,
    }
    // Cannot fail in a build whose tests have passed: the text is fixed when the program is built.
    let table: PartTable =
        toml::from_str(include_str!("../../tables/parts.toml")).expect("tables/parts.toml is well formed");
    table.part
});

/// Every part, the prefixes, suffixes and bases of one language beside each other.
pub fn all() -> &'static [Part] {
    &TABLE
}

/// The part of this form, with or without its hyphen; a form that it takes elsewhere finds it too.
pub fn find(form: &str) -> Option<&'static Part> {
    let bare = form.trim_matches('-');
    let exactly = || all().iter().find(|p| p.form == form);
    let also = || all().iter().find(|p| p.also.iter().any(|a| a == form));
    let loosely = || all().iter().find(|p| p.form.trim_matches('-') == bare);
    let any = || all().iter().find(|p| p.forms().any(|f| f == bare));
    exactly().or_else(also).or_else(loosely).or_else(any)
}

/// The parts by what is looked for.
pub(super) struct Index {
    /// Every form of every prefix, the longest first.
    pub prefixes: Vec<(&'static str, &'static Part)>,
    /// Every form of every suffix, the longest first.
    pub suffixes: Vec<(&'static str, &'static Part)>,
    /// Every form of every base.
    pub bases: HashMap<&'static str, &'static Part>,
    /// Words that are one part, whatever they look like.
    pub whole: HashSet<&'static str>,
    /// Words that are made of parts, but not of the shorter word and ending that they look made of: *political* is not from
    /// *polite*.
    pub unmade: HashSet<&'static str>,
    /// Words whose parts no rule finds, each with its sum.
    pub made: HashMap<&'static str, &'static str>,
}

pub(super) static INDEX: LazyLock<Index> = LazyLock::new(|| {
    let forms = |wanted: fn(&Part) -> bool| {
        let chosen = all().iter().filter(move |part| wanted(part));
        let mut forms: Vec<(&'static str, &'static Part)> = chosen
            .flat_map(|part| part.forms().map(move |form| (form, part)))
            .collect();
        forms.sort_by_key(|(form, _)| std::cmp::Reverse(form.len()));
        forms
    };
    let lines = include_str!("../../tables/parts_whole.txt").lines();
    let listed = lines.filter(|l| !l.starts_with('#')).flat_map(str::split_whitespace);
    let (unmade, whole): (Vec<&str>, Vec<&str>) = listed.partition(|word| word.starts_with('-'));
    Index {
        prefixes: forms(Part::is_prefix),
        suffixes: forms(Part::is_suffix),
        // A Greek beginning may itself be a base (hydr + ant, photo + graph), but a short one is there by chance: com + pan + y, ex + peri + ment.
        bases: forms(|p| !p.is_suffix() && (!p.is_prefix() || p.origin == Origin::Greek))
            .into_iter()
            .filter(|(form, part)| !part.is_prefix() || (form.len() > 3 && *form != "peri"))
            .collect(),
        whole: whole.into_iter().collect(),
        unmade: unmade.into_iter().map(|word| &word[1..]).collect(),
        made: include_str!("../../tables/parts_made.tsv")
            .lines()
            .filter(|line| !line.starts_with('#'))
            .filter_map(|line| line.split_once('\t'))
            .collect(),
    }
});
