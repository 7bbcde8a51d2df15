//! What a learner did beside counting and writing, as the notes tell that the program keeps of it.
//!
//! A sort, a minute of quick reading and a sentence in mixed order are kept as notes on the learner, in words. They are read, handed
//! over and erased like every other note. How such a note begins is here, for whoever writes one and whoever reads it again.

use std::collections::BTreeSet;

/// How the note of a sort begins.
pub const SORT: &str = "A sort, ";
/// What stands in it before the rule as the learner said it.
pub const SORT_RULE: &str = " What decides, in the learner's own words: ";
/// How the note of a minute of quick reading begins.
pub const READING: &str = "A minute of quick reading: ";
/// How the note of a sentence in mixed order begins.
pub const MIXED: &str = "A sentence in mixed order: ";

/// How each of them begins.
const BEGINS: [&str; 3] = [SORT, READING, MIXED];

/// Whether a note on the learner of this text is what the program kept of something done: nobody asks anything by it.
pub(super) fn is_record(text: &str) -> bool {
    BEGINS.iter().any(|begins| text.starts_with(begins))
}

/// The same of a row of notes, as a condition of the database; its body must be JSON. None of the beginnings has a sign of GLOB.
pub(super) fn record_in_sql() -> String {
    let each = BEGINS.map(|begins| format!("ifnull(json_extract(body, '$.text'), '') GLOB '{begins}*'"));
    format!("(kind = 0 AND ({}))", each.join(" OR "))
}

/// How often each was done.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct DoneBeside {
    /// Sorts.
    pub sorts: usize,
    /// Minutes of quick reading.
    pub readings: usize,
    /// Sentences in mixed order.
    pub mixed: usize,
}

impl DoneBeside {
    /// What notes of these texts tell.
    pub fn of<'a>(texts: impl Iterator<Item = &'a str>) -> DoneBeside {
        let mut done = DoneBeside::default();
        let (mut laid, mut rules) = (Vec::new(), BTreeSet::new());
        for text in texts {
            if text.starts_with(SORT) {
                match text.split_once(SORT_RULE).map_or(text, |(before, _)| before) {
                    // Headings alone: the rule was said after the sort had been kept, or said anew.
                    headings if !headings.trim_end_matches('.').contains(". ") => _ = rules.insert(headings),
                    cards => laid.push(cards),
                }
            }
            done.readings += usize::from(text.starts_with(READING));
            done.mixed += usize::from(text.starts_with(MIXED));
        }
        // A rule belongs to the sort under the same headings; its note is a sort of its own only where that one is not here.
        rules.retain(|headings| !laid.iter().any(|cards| cards.starts_with(headings)));
        done.sorts = laid.len() + rules.len();
        done
    }

    /// In few words, a part each: `a sort`, `2 reading minutes`.
    pub fn told(self) -> impl Iterator<Item = String> {
        let each = [
            (self.sorts, "sort", "sorts"),
            (self.readings, "reading minute", "reading minutes"),
            (self.mixed, "mixed sentence", "mixed sentences"),
        ];
        each.into_iter()
            .filter(|(times, ..)| *times > 0)
            .map(|(times, one, more)| match times {
                1 => format!("a {one}"),
                _ => format!("{times} {more}"),
            })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_sort_and_the_rule_that_was_said_after_it_are_one_sort() {
        let laid = "A sort, ck / k. All 8 cards lay right at the first look.";
        let both = format!("{laid}{SORT_RULE}A short vowel.");
        let rule = format!("A sort, ck / k.{SORT_RULE}A short vowel. I think.");
        let other = format!("A sort, oi / oy.{SORT_RULE}The end.");
        let (both, rule, other) = (both.as_str(), rule.as_str(), other.as_str());
        for (texts, sorts) in [
            (vec![laid], 1),
            (vec![both], 1),
            (vec![rule, laid], 1),
            (vec![laid, laid], 2),
            (vec![rule, rule], 1),
            (vec![other, laid], 2),
            (vec!["A sort of game, played twice."], 0),
        ] {
            assert_eq!(DoneBeside::of(texts.iter().copied()).sorts, sorts, "{texts:?}");
        }
    }

    #[test]
    fn one_is_told_by_its_article_and_what_was_not_done_is_not_told() {
        let done = DoneBeside {
            sorts: 1,
            readings: 2,
            mixed: 0,
        };
        assert_eq!(done.told().collect::<Vec<_>>(), ["a sort", "2 reading minutes"]);
        assert_eq!(DoneBeside::default().told().count(), 0);
    }
}
