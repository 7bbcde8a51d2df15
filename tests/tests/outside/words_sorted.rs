//! Sorts, word parts and contrasts against lists made by hand before (their heads say how).

use soundbead_data::Rules;
use soundbead_data::chain::{Graph, Limits, WordList};
use soundbead_data::sort::{self, Corpus, Level};
use soundbead_tests::measure::sorts;

/// The nine rows that are otherwise are told by `measure sorts --rows misses`: in five the count on the dictionary makes a
/// choice of what lessons call a rule (zz, y at the end, rabbit), two words are kept from children.
#[test]
fn sorted_words_stand_where_a_teacher_puts_them() {
    let (columns, rows) = sorts::sorted(sorts::SORTED);
    assert_eq!(rows.of, 440);
    assert!(columns.share() >= 0.99, "{:#?}", columns.missed);
    assert!(rows.share() >= 0.975, "{:#?}", rows.missed);
}

/// The first three lists have been seen while the code was mended. The heads of the later ones tell their shares when they were new (86.7,
/// 96.0, 81.0, 95.0, 92.5 and 96.2 %); those are the ones to go by for other words.
#[test]
fn words_are_taken_apart_as_a_teacher_does() {
    for ((name, text), (rows, least)) in sorts::APART.into_iter().zip([
        (385, 0.95),
        (120, 0.95),
        (120, 0.9),
        (100, 0.95),
        (100, 0.95),
        (120, 0.95),
        (80, 0.95),
        (80, 0.95),
    ]) {
        let score = sorts::apart(text);
        assert_eq!(score.of, rows, "{name}");
        assert!(score.share() >= least, "{name}: {} {:#?}", score.share(), score.missed);
    }
}

/// What was asked of a chain holds in each of its words and steps.
#[test]
fn chains_hold_what_they_are_to_hold() {
    let graph = Graph::new(&WordList::default(), &Rules::default());
    assert!(!graph.is_empty());
    let sound = |name: &str| name.parse().unwrap();
    for seed in 1..=8 {
        let limits = Limits {
            with_sounds: vec![sound("SH")],
            ..Limits::default()
        };
        let chain = graph.practice(None, 5, &limits, seed).unwrap();
        assert!(chain.steps.iter().all(|s| s.units.contains(&sound("SH"))), "{chain:?}");
        let limits = Limits {
            with_spellings: vec!["ck".into()],
            ..Limits::default()
        };
        let chain = graph.practice(None, 5, &limits, seed).unwrap();
        assert!(chain.steps.iter().all(|s| s.word.contains("ck")), "{chain:?}");
        let limits = Limits {
            with_clusters: vec![vec![sound("S"), sound("T")]],
            ..Limits::default()
        };
        let chain = graph.practice(None, 5, &limits, seed).unwrap();
        let st = |units: &[soundbead_data::chain::Unit]| units.windows(2).any(|w| w == [sound("S"), sound("T")]);
        assert!(chain.steps.iter().all(|s| st(&s.units)), "{chain:?}");
        for toggles in [vec![sound("N"), sound("M")], vec![sound("L"), sound("R")]] {
            let limits = Limits {
                toggles: toggles.clone(),
                ..Limits::default()
            };
            let chain = graph.practice(None, 6, &limits, seed).unwrap();
            let toggled = chain.steps.iter().filter_map(|s| s.change).filter(|c| {
                let one = c.from.xor(c.to);
                one.is_some_and(|unit| toggles.contains(&unit))
            });
            assert!(toggled.count() >= 2, "{chain:?}");
        }
        let limits = Limits {
            letters: true,
            ..Limits::default()
        };
        let chain = graph.practice(None, 6, &limits, seed).unwrap();
        let stay = chain.steps.iter().filter_map(|s| s.letters.as_ref()).all(|l| !l.others);
        assert!(stay, "{chain:?}");
    }
}

/// Names, rare words and unkind ones that a chain showed before; by judgement, common practice, no source.
#[test]
fn some_words_stay_out_of_chains() {
    let graph = Graph::new(&WordList::default(), &Rules::default());
    for word in ["reis", "ares", "jute", "moot", "lewd", "ho"] {
        assert_eq!(graph.rows(word).count(), 0, "{word}");
    }
}

/// A printed sheet of any sort: few columns, each with words of its own that a child reads at a glance, none twice, the short ones
/// first, and none that stands above the column already.
#[test]
fn sheets_of_every_sort_are_fit_to_print() {
    let corpus = Corpus::new(&WordList::default());
    for sort in sort::all() {
        let sorted = corpus.sort_at(sort, Level::Known);
        let groups = sorted.columns.iter().all(|c| c.heading.contains(','));
        for turn in [0, 1] {
            let sheet = sort::sheet(&sorted, 18, turn);
            let words: usize = sheet.iter().map(|c| c.members.len()).sum();
            assert!((2..=18).contains(&words), "{}: {words} words", sort.name);
            assert!(groups || sheet.len() <= 4, "{}: {} columns", sort.name, sheet.len());
            for column in &sheet {
                let whole = sorted.columns.iter().find(|c| c.heading == column.heading).unwrap();
                for (at, member) in column.members.iter().enumerate() {
                    assert!(whole.members.contains(member), "{}: {}", sort.name, member.word);
                    let before = &column.members[..at];
                    assert!(
                        groups || before.iter().all(|b| b.word != member.word),
                        "{}: {}",
                        sort.name,
                        member.word
                    );
                    assert!(
                        groups || member.word != column.heading,
                        "{}: {}",
                        sort.name,
                        member.word
                    );
                }
                // Two beats are read at a glance, three are the most where a column has two such words.
                let easy = whole
                    .members
                    .iter()
                    .filter(|m| m.syllables <= 3 && m.word != whole.heading)
                    .count();
                let long = column.members.iter().any(|m| m.syllables > 3);
                assert!(groups || easy < 2 || !long, "{}: {}", sort.name, column.heading);
                if turn == 0 && !groups {
                    let long_first = column
                        .members
                        .windows(2)
                        .any(|w| w[0].syllables > 2 && w[1].syllables <= 2);
                    assert!(!long_first, "{}: {}", sort.name, column.heading);
                }
            }
        }
    }
}
