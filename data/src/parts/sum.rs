//! Parts put together: how the spelling joins, and which sounds change.

use std::fmt;

use crate::lexicon;

/// What the spelling does where a part meets the next.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Join {
    /// Nothing: *un* + *happy*.
    Plain,
    /// The silent e before a vowel goes: *make* + *ing*.
    DropsE,
    /// The last consonant is written twice: *hop* + *ing*.
    Doubles,
    /// y becomes i: *happy* + *ness*.
    YToI,
    /// f becomes v: *wolf* + *es*.
    FToV,
    /// ie becomes y: *tie* + *ing*.
    IeToY,
    /// k comes after c, so that it stays hard: *panic* + *ed*.
    AddsK,
    /// The le or y before -ly goes: *gentle* + *ly*; or a last vowel, as in *piano* + *ist*; le becomes il in *possible* + *ity*.
    DropsEnd,
    /// The last letters become others: *circle* + *ar*, *private* + *cy*.
    ChangesEnd,
}

impl fmt::Display for Join {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Join::Plain => "nothing changes",
            Join::DropsE => "the silent e goes",
            Join::Doubles => "the last letter is doubled",
            Join::YToI => "y becomes i",
            Join::FToV => "f becomes v",
            Join::IeToY => "ie becomes y",
            Join::AddsK => "k is added, so that c stays hard",
            Join::DropsEnd => "the end goes",
            Join::ChangesEnd => "the last letters change",
        })
    }
}

/// Parts put together.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Sum {
    /// The parts, without hyphens.
    pub parts: Vec<String>,
    /// What happens between each and the next.
    pub joins: Vec<Join>,
    /// The word that comes out; the dictionary has it.
    pub word: String,
    /// Where in the word the first letter of each part stands.
    pub(super) starts: Vec<usize>,
}

/// A word half made: its letters, the joins so far, where each part began.
type PartialSum = (String, Vec<Join>, Vec<usize>);

impl Sum {
    /// Adds up parts with `+` between them, in the likeliest way; `None` when no way of joining them makes a word of the
    /// dictionary.
    pub fn read(text: &str) -> Option<Sum> {
        Sum::ways(text).next()
    }

    /// The parts of this word added up, as it is written: `cancel+ing` makes *canceling* and *cancelling*. `None` when they do
    /// not make it.
    pub fn of(text: &str, word: &str) -> Option<Sum> {
        Sum::ways(text).find(|sum| sum.word == word)
    }

    /// The words of the dictionary that these parts make, the likeliest first.
    fn ways(text: &str) -> impl Iterator<Item = Sum> {
        let parts: Vec<String> = text.split('+').map(str::to_owned).collect();
        let mut drafts: Vec<PartialSum> = vec![(parts[0].clone(), Vec::new(), vec![0])];
        for part in &parts[1..] {
            drafts = drafts.iter().flat_map(|draft| longer(draft, part)).collect();
        }
        let known = drafts.into_iter().filter(|(word, ..)| lexicon::look_up(word).is_some());
        known.map(move |(word, joins, starts)| Sum {
            parts: parts.clone(),
            joins,
            word,
            starts,
        })
    }
}

fn longer((so_far, joins, starts): &PartialSum, part: &str) -> Vec<PartialSum> {
    let ways = joined(so_far, part).into_iter();
    ways.map(|(word, join)| {
        let start = word.len() - part.len();
        let joins = [joins.as_slice(), &[join]].concat();
        (word, joins, [starts.as_slice(), &[start]].concat())
    })
    .collect()
}

/// Bases whose last letters are others before some endings (common practice, no source): what they become, what they were, before
/// which endings. Essence, essential; circle, circular; invade, invasion; private, privacy; actor, actress; center, central.
pub(super) const OTHER_LETTERS: [(&str, &str, &[&str]); 11] = [
    ("nt", "nce", &["ial", "ific", "ist"]),
    ("cul", "cle", &["ar", "ous"]),
    ("gul", "gle", &["ar", "ous"]),
    ("tul", "tle", &["ar", "ous"]),
    ("s", "d", &["ion", "ive", "ible"]),
    ("s", "de", &["ion", "ive"]),
    ("ss", "t", &["ion", "ive", "ible"]),
    ("", "te", &["cy"]),
    ("", "t", &["cy"]),
    ("tr", "tor", &["ess"]),
    ("tr", "ter", &["al", "ess"]),
];

/// `end` after `start`, where the last letters of that become others.
fn with_other_letters(start: &str, end: &str) -> impl Iterator<Item = (String, Join)> {
    let changes = OTHER_LETTERS.iter().filter(move |(.., ends)| ends.contains(&end));
    changes.filter_map(move |(is, was, _)| Some((format!("{}{is}{end}", start.strip_suffix(was)?), Join::ChangesEnd)))
}

/// The ways of writing `end` after `start`, the likeliest first.
fn joined(start: &str, end: &str) -> Vec<(String, Join)> {
    let vowel = |c: char| "aeiou".contains(c);
    let first = end.chars().next().unwrap_or(' ');
    let letters: Vec<char> = start.chars().rev().collect();
    let at = |i: usize| letters.get(i).copied().unwrap_or(' ');
    let less = |n: usize| &start[..start.len().saturating_sub(n)];
    let mut ways = Vec::new();
    if start.ends_with("ie") && end == "ing" {
        ways.push((format!("{}y{end}", less(2)), Join::IeToY));
    }
    if at(0) == 'e' && (vowel(first) || first == 'y') {
        ways.push((format!("{}{end}", less(1)), Join::DropsE));
    }
    if end == "es" && (at(0) == 'f' || start.ends_with("fe")) {
        let stem = start.trim_end_matches('e').trim_end_matches('f');
        ways.push((format!("{stem}v{end}"), Join::FToV));
    }
    if at(0) == 'y' && !vowel(at(1)) && first != 'i' {
        ways.push((format!("{}i{end}", less(1)), Join::YToI));
    }
    if end == "ity"
        && let Some(front) = start.strip_suffix("ble")
    {
        ways.push((format!("{front}bil{end}"), Join::DropsEnd));
    }
    if end == "ly" && start.ends_with("le") {
        ways.push((format!("{}{end}", less(2)), Join::DropsEnd));
    }
    if end == "ly" && start.ends_with("ll") {
        ways.push((format!("{}{end}", less(1)), Join::DropsEnd));
    }
    if at(0) == 'c' && "eiy".contains(first) {
        ways.push((format!("{start}k{end}"), Join::AddsK));
    }
    let doubles = !vowel(at(0)) && !"wxy".contains(at(0)) && vowel(at(1)) && !vowel(at(2));
    if doubles && (vowel(first) || first == 'y') {
        ways.push((format!("{start}{}{end}", at(0)), Join::Doubles));
    }
    ways.push((format!("{start}{end}"), Join::Plain));
    if (vowel(at(0)) || at(0) == 'y') && vowel(first) {
        ways.push((format!("{}{end}", less(1)), Join::DropsEnd));
    }
    if at(0) == 'e' {
        // Against the rule, before a consonant: true + th, wise + dom, argue + ment.
        ways.push((format!("{}{end}", less(1)), Join::DropsE));
    }
    // enter + ance: the weak e before r goes too.
    if start.ends_with("er") && vowel(first) {
        ways.push((format!("{}r{end}", less(2)), Join::DropsEnd));
    }
    ways.extend(with_other_letters(start, end));
    ways
}
