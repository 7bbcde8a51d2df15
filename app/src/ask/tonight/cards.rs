//! The cards of a lesson: eight in two columns.

use std::collections::{BTreeMap, BTreeSet};

use soundbead_data::Sound;
use soundbead_data::chain::{Range, WordList};
use soundbead_data::course::{self, Choice, CourseWord, CourseWords};
use soundbead_data::sort::{self, Corpus};

use super::words::{LessonWords, has_one};
use super::{CARDS, COLUMNS};
use crate::keyed::called;
use crate::plan::{PlanWord, SortGroup};

/// Cards of a column.
const EACH: usize = CARDS / COLUMNS;
/// Digraphs that are sorted by their letters.
const DIGRAPHS: [&str; 6] = ["sh", "th", "ch", "ng", "wh", "ph"];

/// Eight cards in two full columns; none where there are too few words.
pub fn sort(lesson: &LessonWords) -> Option<Vec<SortGroup>> {
    let groups = match (lesson.sounds, lesson.new) {
        (Some((a, b)), _) => by_sound(lesson, a, b),
        (None, Some(Choice::ShortVowel)) => by_sound(lesson, Sound::EH, Sound::IH),
        (None, Some(Choice::Digraph)) => by_digraph(lesson)?,
        (None, Some(new)) => by_rule(new, lesson).unwrap_or_else(|| by_choice(lesson, new)),
        (None, None) => return None,
    };
    let full = groups.len() == COLUMNS && groups.iter().all(|g| !g.words.is_empty());
    full.then_some(groups)
}

fn group(heading: String, words: Vec<&str>) -> SortGroup {
    SortGroup {
        heading,
        words: words.into_iter().map(PlanWord::new).collect(),
    }
}

/// Words with one of two sounds, each under the name of its sound.
fn by_sound(lesson: &LessonWords, a: Sound, b: Sound) -> Vec<SortGroup> {
    let column = |this: Sound, other: Sound| {
        let words = lesson.cards().filter(|e| has_one(e, this, other)).take(EACH);
        group(called(this), words.map(|e| e.word.as_str()).collect())
    };
    vec![column(a, b), column(b, a)]
}

/// Words with one digraph alone, under its letters: the two that most words have.
fn by_digraph(lesson: &LessonWords) -> Option<Vec<SortGroup>> {
    let words = |letters: &str| -> Vec<&str> {
        let alone = |word: &str| DIGRAPHS.iter().all(|d| (*d == letters) == word.contains(d));
        lesson
            .asked()
            .map(|e| e.word.as_str())
            .filter(|w| alone(w))
            .take(EACH)
            .collect()
    };
    let full = DIGRAPHS.iter().map(|d| group((*d).to_owned(), words(d)));
    let groups: Vec<SortGroup> = full.filter(|g| g.words.len() == EACH).take(COLUMNS).collect();
    (groups.len() == COLUMNS).then_some(groups)
}

/// The two largest columns of the word sort that goes with a choice.
fn by_rule(new: Choice, lesson: &LessonWords) -> Option<Vec<SortGroup>> {
    // What stands at the end of a word first: that is where the choice is made.
    let at_the_end: &[&str] = match new {
        Choice::KSpelling => &["ck", "k"],
        Choice::ChSpelling => &["tch", "ch"],
        Choice::JSpelling => &["dge", "ge"],
        _ => &[],
    };
    if !at_the_end.is_empty() {
        return by_sort("ck-k", lesson.asked(), |heading| at_the_end.contains(&heading));
    }
    // The proposal names the sort of its new choice: with all else taught, that is this one.
    let others: BTreeSet<Choice> = Choice::ALL.iter().copied().filter(|c| *c != new).collect();
    let name = course::propose(CourseWords::builtin(), &[], &others.into(), 0).sort?;
    // Doubled or not, dropped or not: these two need words of both kinds.
    match new {
        Choice::Doubling | Choice::InnerDouble => by_sort(name, lesson.cards(), |_| true),
        _ => by_sort(name, lesson.asked(), |_| true),
    }
}

/// The two largest columns of a word sort, of those that are wanted.
fn by_sort(
    name: &str,
    words: impl Iterator<Item = &'static CourseWord>,
    wanted: impl Fn(&str) -> bool,
) -> Option<Vec<SortGroup>> {
    let words: BTreeMap<&str, &CourseWord> = words.map(|e| (e.word.as_str(), e)).collect();
    let given = WordList {
        range: Range::Given(words.keys().map(|w| (*w).to_owned()).collect()),
        ..WordList::default()
    };
    let sorted = Corpus::new(&given).sort(sort::find(name)?);
    let mut columns: Vec<_> = sorted
        .columns
        .iter()
        .filter(|c| c.members.len() >= EACH && wanted(&c.heading))
        .collect();
    columns.sort_by_key(|c| std::cmp::Reverse(c.members.len()));
    let column = |c: &&sort::Column| {
        let mut seen = BTreeSet::new();
        let once = c.members.iter().filter(|m| seen.insert(m.word.clone())).take(EACH);
        group(c.heading.clone(), once.map(|m| m.word.as_str()).collect())
    };
    let groups: Vec<SortGroup> = columns.iter().take(COLUMNS).map(column).collect();
    (groups.len() == COLUMNS).then_some(groups)
}

/// Where no sort shows what decides: words like the example of the choice, and words that are not.
fn by_choice(lesson: &LessonWords, new: Choice) -> Vec<SortGroup> {
    let example = new.example();
    let others: BTreeSet<&str> = lesson.asked().map(|e| e.word.as_str()).collect();
    let like = lesson.asked().map(|e| e.word.as_str()).filter(|w| *w != example);
    let unlike = lesson.cards().filter(|e| e.is_plain() && !e.meets(new));
    let unlike = unlike.map(|e| e.word.as_str()).filter(|w| !others.contains(w));
    vec![
        group(format!("like {example}"), like.take(EACH).collect()),
        group(format!("not like {example}"), unlike.take(EACH).collect()),
    ]
}
