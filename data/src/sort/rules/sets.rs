//! Words that belong together as a set: said alike, and shortened.

use super::*;
use crate::lexicon;
use crate::sort::{Set, SortSource};

pub(super) fn sorts() -> Vec<Sort> {
    vec![
        Sort {
            name: "homophones",
            title: "words said alike and written apart",
            columns: &[],
            source: SortSource::Sets(homophones),
            rules: &[],
        },
        Sort {
            name: "contractions",
            title: "two words made one with an apostrophe, by what is left out",
            columns: &["not", "is", "will", "are", "have", "would", "am", "us"],
            source: SortSource::Sets(contractions),
            rules: &[rule!("the first word is kept whole", "", |_| false)],
        },
    ]
}

/// The groups of `tables/homophones.txt`, headed by their words.
fn homophones() -> Vec<Set> {
    let lines = include_str!("../../../tables/homophones.txt").lines();
    let groups = lines.filter(|l| !l.starts_with('#') && !l.trim().is_empty());
    groups
        .map(|line| {
            let words = line
                .split('|')
                .filter_map(|w| w.split_once('='))
                .map(|(word, _)| word.trim().to_owned());
            let words: Vec<String> = words.collect();
            let mut sorted: Vec<String> = words.clone();
            sorted.sort_by_key(|w| w.to_lowercase());
            Set {
                heading: sorted.join(", "),
                words: words.into_iter().map(|word| (word, None)).collect(),
            }
        })
        .collect()
}

/// What a sentence needs to tell the words of each group apart: word and cue.
pub(crate) fn cues() -> Vec<Vec<(&'static str, &'static str)>> {
    let lines = include_str!("../../../tables/homophones.txt").lines();
    let groups = lines.filter(|l| !l.starts_with('#') && !l.trim().is_empty());
    let pair = |w: &'static str| w.split_once('=').map(|(word, cue)| (word.trim(), cue.trim()));
    groups.map(|line| line.split('|').filter_map(pair).collect()).collect()
}

/// The endings of contractions, what each stands for, and the words it joins.
const SHORT: [(&str, &str, &str); 8] = [
    (
        "not",
        "n't",
        "is are was were do does did has have had would could should must need wo ca sha",
    ),
    ("is", "'s", "it he she that what who where there here how let"),
    ("will", "'ll", "I you he she it we they that there who"),
    ("are", "'re", "you we they"),
    ("have", "'ve", "I you we they would could should"),
    ("would", "'d", "I you he she it we they who there"),
    ("am", "'m", "I"),
    ("us", "'s", "let"),
];

/// Contractions whose first word is not kept as it is: *will* in won't, *can* in can't (one n for two), *shall* in shan't.
const CHANGED: [&str; 3] = ["wo", "ca", "sha"];

fn contractions() -> Vec<Set> {
    let set = |&(heading, end, firsts): &(&str, &str, &str)| Set {
        heading: heading.to_owned(),
        words: firsts
            .split(' ')
            .filter(|first| !(heading == "is" && *first == "let"))
            .map(|first| (format!("{first}{end}"), Some(!CHANGED.contains(&first))))
            .filter(|(word, _)| lexicon::look_up(word).is_some())
            .collect(),
    };
    SHORT.iter().map(set).collect()
}
