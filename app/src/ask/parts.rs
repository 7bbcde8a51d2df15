//! Sums of word parts, and what an affix joins, counted.

use soundbead_data::parts::{Families, Part, Regularity, Sum};

use crate::say::many;

/// The sums of a part, each worked out from the dictionary.
pub fn sums(part: &Part) -> impl Iterator<Item = Sum> {
    // Every sum of the table makes a word; the tests of the data hold it.
    part.sums.iter().filter_map(|text| Sum::read(text))
}

/// Exceptions that are named.
const NAMED: usize = 6;

/// What an affix joins in the common words of the dictionary, counted.
pub struct AffixCount {
    /// In how many words it joins a word that stands alone.
    pub words: usize,
    /// In how many it joins a base that does not.
    pub bases: usize,
    /// How it is written and what it joins, where there is a rule to count.
    pub regular: Vec<Regularity>,
}

impl AffixCount {
    /// Counts an affix; `None` for a base, which joins nothing by itself, and where no common word has the affix.
    pub fn of(families: &Families, part: &Part) -> Option<AffixCount> {
        part.joins?;
        let (words, bases) = families.joined_by(part);
        let regular = families.regularities_of(part);
        (words + bases > 0).then_some(AffixCount { words, bases, regular })
    }

    /// What was counted, a sentence or two each.
    pub fn sentences(&self) -> Vec<String> {
        let joins = match (self.words, self.bases) {
            (words, 0) => format!(
                "Joins words that stand alone and no others, in {}.",
                many(words, "word")
            ),
            (0, bases) => format!(
                "Joins bases that do not stand alone and no others, in {}.",
                many(bases, "word")
            ),
            (words, bases) => format!(
                "Joins a word that stands alone in {}, and a base that does not in {bases}.",
                many(words, "word")
            ),
        };
        std::iter::once(joins).chain(self.regular.iter().map(held)).collect()
    }
}

/// How often a rule holds, and where it does not.
fn held(rule: &Regularity) -> String {
    let said = format!("{}: {}", rule.when, rule.then);
    if rule.exceptions.is_empty() {
        return format!("{said}. So in {} of {}.", rule.holds, rule.of);
    }
    let named: Vec<&str> = rule.exceptions.iter().map(String::as_str).take(NAMED).collect();
    let more = match rule.exceptions.len() > NAMED {
        true => " ...",
        false => "",
    };
    format!(
        "{said}. So in {} of {}; not in {}{more}",
        rule.holds,
        rule.of,
        named.join(", ")
    )
}

#[cfg(test)]
mod tests {
    use super::*;
    use soundbead_data::parts;

    #[test]
    fn what_was_counted_is_said_with_the_exceptions() {
        let rule = |holds, exceptions: &[&str]| Regularity {
            when: "in- before l",
            then: "il",
            holds,
            of: 3,
            exceptions: exceptions.iter().map(|&w| w.to_owned()).collect(),
        };
        let count = |words, bases, rule| {
            AffixCount {
                words,
                bases,
                regular: vec![rule],
            }
            .sentences()
        };
        assert_eq!(
            count(4, 0, rule(3, &[]))[0],
            "Joins words that stand alone and no others, in 4 words."
        );
        assert_eq!(count(4, 0, rule(3, &[]))[1], "in- before l: il. So in 3 of 3.");
        assert_eq!(
            count(1, 2, rule(2, &["inlay"])),
            [
                "Joins a word that stands alone in 1 word, and a base that does not in 2.",
                "in- before l: il. So in 2 of 3; not in inlay"
            ]
        );
    }

    #[test]
    fn a_base_joins_nothing_by_itself() {
        let families = Families::new(&soundbead_data::chain::WordList::default());
        assert!(AffixCount::of(&families, parts::find("port").unwrap()).is_none());
        assert!(AffixCount::of(&families, parts::find("-ible").unwrap()).unwrap().bases > 10);
    }
}
