//! A word sort: which is meant, and which of a column's words are taken.

use std::ops::RangeInclusive;

use soundbead_data::sort::{self, Member, Sort};

use crate::fault::{nearest, one_line};

/// The list of vowel ladders stands among the sorts under this name.
pub const LADDERS: &str = "ladders";

/// What a name stands for.
#[derive(Clone, Copy)]
pub enum SortNamed {
    /// A sort of the table.
    Sort(&'static Sort),
    /// Words of one syllable that differ in their vowel alone.
    Ladders,
}

/// Every name with its title, in the order of the table.
pub fn names() -> impl Iterator<Item = (&'static str, &'static str)> {
    let ladders = (LADDERS, "words of one syllable that differ in their vowel alone");
    sort::all().iter().map(|s| (s.name, s.title)).chain([ladders])
}

/// The sort of this name, in small or capital letters.
///
/// # Errors
/// One line with the sorts that there are.
pub fn named(name: &str) -> Result<SortNamed, String> {
    let wanted = name.trim().to_lowercase();
    if wanted == LADDERS {
        return Ok(SortNamed::Ladders);
    }
    sort::find(&wanted).map(SortNamed::Sort).ok_or_else(|| {
        let known = || names().map(|(name, _)| name);
        let hint = nearest(&wanted, known()).map_or(String::new(), |m| format!(" (did you mean `{m}`?)"));
        let all: Vec<&str> = known().collect();
        format!(
            "there is no sort `{}`{hint}; there are: {}",
            one_line(name),
            all.join(", ")
        )
    })
}

/// Which words of a column are wanted.
#[derive(Clone, Debug)]
pub struct MembersRequest<'a> {
    /// At most so many.
    pub most: usize,
    /// Of so many syllables; any when none.
    pub syllables: Option<RangeInclusive<usize>>,
    /// None of these.
    pub left_out: &'a [String],
    /// How many handfuls of `most` words to move on by, round and round through the commoner ones.
    pub turn: usize,
}

/// How many handfuls of the commoner words there are to go round.
const HANDFULS: usize = 10;

impl MembersRequest<'_> {
    /// The members that are so, the commonest first.
    pub fn answer<'m>(&self, members: &'m [Member]) -> Vec<&'m Member> {
        let fits = |m: &&Member| {
            let syllables = self.syllables.as_ref().is_none_or(|range| range.contains(&m.syllables));
            syllables && !self.left_out.contains(&m.word)
        };
        let all: Vec<&Member> = members.iter().filter(fits).collect();
        // A column is never empty for want of further words.
        let handfuls = all
            .len()
            .min(HANDFULS.saturating_mul(self.most))
            .div_ceil(self.most.max(1))
            .max(1);
        all.into_iter()
            .skip(self.turn % handfuls * self.most)
            .take(self.most)
            .collect()
    }
}

/// The commonest members for a sheet: short words first, and none that only adds an s to another.
pub fn for_a_sheet(members: &[Member], most: usize) -> Vec<String> {
    let (short, long): (Vec<_>, Vec<_>) = members.iter().partition(|m| m.syllables <= 2);
    let mut chosen: Vec<String> = Vec::new();
    for member in short.into_iter().chain(long) {
        let alike = |c: &String| {
            let (a, b) = (c.trim_end_matches('s'), member.word.trim_end_matches('s'));
            a == b && c.len().abs_diff(member.word.len()) <= 1
        };
        if chosen.len() < most && !chosen.iter().any(alike) {
            chosen.push(member.word.clone());
        }
    }
    chosen
}
