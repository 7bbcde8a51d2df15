//! What misspellings show, held against lists labeled by hand before the code read them (tests/reference/writing_gold.tsv says how
//! the labels are decided; common practice, no source).

use soundbead_tests::measure::kinds::{CHILDREN, children};
use soundbead_tests::measure::writing::{LISTS, against, labeled};

/// The figures that the project asks for: findings wholly right for 92 % of words and 97 % of sounds. The third list was at
/// 91 of 100 words when it was first read and the fourth at 126 of 131; what the reading learned from their misses is held. The fifth
/// was written after that and was at 62 of 63 words when it was first read, the sixth at 155 of 160. The seventh was written after the
/// reading had learned from the sixth and was at 97 of 100: the figure to expect of misspellings that nobody has looked at.
#[test]
fn findings_are_right_for_most_words_and_sounds() {
    for (name, text) in LISTS {
        let list = labeled(text);
        assert!(list.len() >= 60, "{name} has {} pairs", list.len());
        let (words, sounds) = against(&list, |_, _| {});
        assert!(words.share() >= 0.97, "{name}: {words:?}");
        assert!(sounds.share() >= 0.98, "{name}: {sounds:?}");
    }
}

/// The list covers what it is to judge.
#[test]
fn every_finding_is_labeled_often() {
    let list = labeled(LISTS[0].1);
    for name in [
        "kept",
        "omitted",
        "spelled_otherwise",
        "near_sound",
        "other_sound",
        "swapped",
    ] {
        let seen = list
            .iter()
            .flat_map(|gold| &gold.findings)
            .filter(|f| **f == name)
            .count();
        assert!(seen >= 5, "{name} {seen}");
    }
    assert!(list.iter().filter(|gold| !gold.added.is_empty()).count() >= 10);
}

/// Ten misspellings of one kind among some others: the kind is what is most surely kept little, as it is to a teacher who looks at
/// the page (common practice, no source). Of twenty made children two may be seen otherwise.
#[test]
fn the_kind_that_a_teacher_names_is_most_surely_kept_little() {
    let children = children(CHILDREN);
    let named = children.iter().filter(|c| c.surely_least == Some(c.expected)).count();
    assert!(children.len() >= 20 && named + 2 >= children.len(), "{named}");
}
