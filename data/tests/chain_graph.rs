//! Chains against the plain ways: all pairs of words compared one by one, and petgraph's own searches.

mod common;

use std::collections::HashMap;

use common::Random;
use petgraph::algo::dijkstra;
use petgraph::graph::{NodeIndex, UnGraph};
use petgraph::visit::Bfs;
use soundbead_data::chain::{
    Chain, Change, ChangeKind, Graph, Limits, Place, Unit, Why, WordList, difference_in_units, units,
};
use soundbead_data::{Rules, lexicon};

/// Whether two rows are one sound apart, by the definition: one place differs, or one sound taken out makes them equal.
fn one_apart(a: &[Unit], b: &[Unit]) -> bool {
    match a.len().abs_diff(b.len()) {
        0 => a.iter().zip(b).filter(|(x, y)| x != y).take(2).count() == 1,
        1 => {
            let (short, long) = if a.len() < b.len() { (a, b) } else { (b, a) };
            (0..long.len()).any(|i| long[..i] == short[..i] && long[i + 1..] == short[i..])
        }
        _ => false,
    }
}

/// The same graph made by comparing every pair.
fn plain(graph: &Graph) -> (UnGraph<(), ()>, HashMap<Vec<Unit>, NodeIndex>) {
    let mut plain = UnGraph::new_undirected();
    let mut nodes: HashMap<Vec<Unit>, NodeIndex> = HashMap::new();
    for (_, row) in graph.words() {
        nodes.entry(row.to_vec()).or_insert_with(|| plain.add_node(()));
    }
    let rows: Vec<(&Vec<Unit>, &NodeIndex)> = nodes.iter().collect();
    for (i, (a, node)) in rows.iter().enumerate() {
        for (b, other) in &rows[i + 1..] {
            if one_apart(a, b) {
                plain.add_edge(**node, **other, ());
            }
        }
    }
    (plain, nodes)
}

/// Every step is one counted sound from the last by the definition, under the rules, and says so truly.
fn check(chain: &Chain, rules: &Rules) {
    for step in &chain.steps {
        assert_eq!(
            step.units,
            units(&step.word, step.said.sounds(), rules),
            "{}",
            step.word
        );
        let entry = lexicon::look_up(&step.word).unwrap();
        assert!(entry.variants().any(|v| v == step.said), "{}", step.word);
    }
    assert_eq!(chain.steps[0].change, None);
    for pair in chain.steps.windows(2) {
        assert!(
            one_apart(&pair[0].units, &pair[1].units),
            "{} {}",
            pair[0].word,
            pair[1].word
        );
        let Change {
            kind,
            at,
            from,
            to,
            place,
        } = pair[1].change.unwrap();
        let mut changed = pair[0].units.clone();
        match kind {
            ChangeKind::Swap => assert_eq!(Some(std::mem::replace(&mut changed[at], to.unwrap())), from),
            ChangeKind::Add => changed.insert(at, to.unwrap()),
            ChangeKind::Drop => assert_eq!(Some(changed.remove(at)), from),
        }
        assert_eq!(changed, pair[1].units);
        let count = pair[0].units.len().max(pair[1].units.len());
        let expected = [
            (at == 0, Place::Initial),
            (at + 1 == count, Place::Final),
            (true, Place::Medial),
        ];
        assert_eq!(place, expected.iter().find(|(is, _)| *is).unwrap().1);
    }
}

fn no_word_twice(chain: &Chain) {
    let mut words: Vec<&str> = chain.steps.iter().map(|s| s.word.as_str()).collect();
    words.sort_unstable();
    assert!(words.windows(2).all(|w| w[0] != w[1]), "{words:?}");
}

#[test]
fn shortest_chains_are_as_long_as_petgraphs() {
    for (rules, pairs) in [(Rules::default(), 1_000), (Rules::named("phonics").unwrap(), 100)] {
        let graph = Graph::new(&WordList::default(), &rules);
        let (plain, nodes) = plain(&graph);
        assert_eq!(plain.edge_count(), graph.pairs());
        let words: Vec<String> = graph.words().map(|(s, _)| s.word.to_string()).collect();
        let mut random = Random(0x5eed);
        let mut found = 0;
        for pair in 0..pairs {
            // Half of the pairs from short words, among which there mostly is a way.
            let mut pick = || loop {
                let word = &words[random.below(words.len())];
                if pair % 2 == 0 || word.len() <= 4 {
                    return word.as_str();
                }
            };
            let (from, to) = (pick(), pick());
            let lengths = graph
                .rows(from)
                .map(|row| dijkstra(&plain, nodes[row], None, |_| 1usize));
            let lengths: Vec<_> = lengths.collect();
            let to_rows: Vec<NodeIndex> = graph.rows(to).map(|row| nodes[row]).collect();
            let from_rows: Vec<NodeIndex> = graph.rows(from).map(|row| nodes[row]).collect();
            let apart = to_rows.iter().filter(|t| from == to || !from_rows.contains(t));
            let wanted = apart
                .flat_map(|t| lengths.iter().filter_map(|l| l.get(t)))
                .min()
                .copied();
            match graph.shortest(from, to, &Limits::default(), pair as u64) {
                Ok(chain) => {
                    assert_eq!(Some(chain.steps.len() - 1), wanted, "{from} {to}");
                    assert_eq!(
                        (chain.steps[0].word.as_str(), chain.steps.last().unwrap().word.as_str()),
                        (from, to)
                    );
                    check(&chain, &rules);
                    found += 1;
                }
                Err(none) => {
                    assert_eq!(wanted, None, "{from} {to}: {none}");
                    // What is called unreachable is so for petgraph's plain breadth-first search as well.
                    let mut search = Bfs::new(&plain, from_rows[0]);
                    while let Some(node) = search.next(&plain) {
                        assert!(
                            matches!(none.why, Why::Alike) || !to_rows.contains(&node),
                            "{from} {to}"
                        );
                    }
                    if let Some(nearest) = none.nearest {
                        check(&nearest, &rules);
                    }
                }
            }
        }
        assert!(
            found > pairs * 3 / 10,
            "only {found} of {pairs} pairs have a chain: the test reaches too little"
        );
    }
}

/// Each limit, on many random questions: whatever is answered keeps it.
#[test]
fn limits_are_kept() {
    let rules = Rules::default();
    let graph = Graph::new(&WordList::default(), &rules);
    let letters = "a b c ck d e f g h i j k l ll m n o p r s ss t u v w sh ch th ee oa a_e i_e";
    let spellings: Vec<String> = letters.split(' ').map(str::to_owned).collect();
    let sounds: Vec<Unit> = "P B T D K G IH EH AE AA M N S L R"
        .split(' ')
        .map(|s| s.parse().unwrap())
        .collect();
    let none = Limits::default;
    let all = [
        Limits {
            kinds: vec![ChangeKind::Swap],
            ..none()
        },
        Limits {
            places: vec![Place::Medial],
            kinds: vec![ChangeKind::Swap],
            ..none()
        },
        Limits {
            places: vec![Place::Initial, Place::Final],
            ..none()
        },
        Limits {
            sounds: sounds.clone(),
            ..none()
        },
        Limits {
            spellings: spellings.clone(),
            ..none()
        },
        Limits {
            syllables: Some(1..=1),
            count: Some(3..=4),
            ..none()
        },
        Limits {
            syllables: Some(2..=2),
            ..none()
        },
        Limits { vowels: true, ..none() },
        Limits {
            clusters: true,
            ..none()
        },
    ];
    let mut made = 0;
    for (number, limits) in all.iter().enumerate() {
        for seed in 1..60 {
            let Ok(chain) = graph.practice(None, 2 + seed as usize % 7, limits, seed * 31 + number as u64) else {
                continue;
            };
            made += 1;
            assert_eq!(chain.steps.len(), 2 + seed as usize % 7);
            check(&chain, &rules);
            no_word_twice(&chain);
            chain.steps.iter().for_each(|step| keeps(step, limits));
            // The shortest between its ends, under the same limits, is no longer.
            let (from, to) = (&chain.steps[0].word, &chain.steps[chain.steps.len() - 1].word);
            let shortest = match graph.shortest(from, to, limits, seed) {
                Ok(shortest) => shortest,
                Err(none) if none.why == Why::Alike => continue,
                Err(none) => panic!("{from} {to}: {none}"),
            };
            assert!(shortest.steps.len() <= chain.steps.len(), "{from} {to}");
            check(&shortest, &rules);
            shortest.steps.iter().for_each(|step| keeps(step, limits));
        }
    }
    assert!(made > 350, "only {made} chains were made");
}

/// Fire is one beat unless the rule says two; flower, said like flour, always has two (common practice, no source). The dictionary
/// says fire in a second way too, without a weak vowel, so that it may always be one.
#[test]
fn syllables_of_a_chain_are_counted_by_the_rule() {
    use soundbead_data::rule::Fire;
    for (word, fire, asked, breaks) in [
        ("fire", Fire::One, 1, false),
        ("fire", Fire::One, 2, true),
        ("fire", Fire::Two, 2, false),
        ("flower", Fire::One, 1, true),
        ("flower", Fire::One, 2, false),
        ("flower", Fire::Two, 1, true),
        ("pig", Fire::One, 2, true),
    ] {
        let rules = Rules {
            fire,
            ..Rules::default()
        };
        let graph = Graph::new(&WordList::default(), &rules);
        let limits = Limits {
            syllables: Some(asked..=asked),
            ..Limits::default()
        };
        let why = graph.practice(Some(word), 2, &limits, 1).err().map(|none| none.why);
        let broken = Why::Breaks(word.to_owned(), soundbead_data::chain::Limit::Syllables);
        assert_eq!(why == Some(broken), breaks, "{word} {fire:?} {asked}");
    }
}

fn keeps(step: &soundbead_data::chain::ChainStep, limits: &Limits) {
    let beats = soundbead_data::syllable::count(&step.word, &step.said, Rules::default().fire);
    assert!(limits.sounds.is_empty() || step.units.iter().all(|u| limits.sounds.contains(u)));
    assert!(limits.syllables.as_ref().is_none_or(|r| r.contains(&beats)));
    assert!(limits.count.as_ref().is_none_or(|r| r.contains(&step.units.len())));
    let boxes = soundbead_data::spelling::boxes(&step.word, step.said.sounds()).unwrap_or_default();
    assert!(
        limits.spellings.is_empty() || boxes.iter().all(|b| limits.spellings.contains(&b.letters)),
        "{}",
        step.word
    );
    let Some(change) = step.change else { return };
    assert!(limits.kinds.is_empty() || limits.kinds.contains(&change.kind));
    assert!(limits.places.is_empty() || limits.places.contains(&change.place));
    assert!(!limits.vowels || change.of_vowels());
    assert!(!limits.clusters || (change.kind != ChangeKind::Swap && !change.from.or(change.to).unwrap().is_vowel()));
}

#[test]
fn contrasts_are_practised_and_chains_vary() {
    let rules = Rules::default();
    let graph = Graph::new(&WordList::default(), &rules);
    for (a, b) in [("EH", "IH"), ("S", "SH"), ("P", "B"), ("AA", "AH"), ("F", "TH")] {
        let pair: (Unit, Unit) = (a.parse().unwrap(), b.parse().unwrap());
        let limits = Limits {
            contrasts: vec![pair],
            ..Limits::default()
        };
        let mut openings = Vec::new();
        for seed in 1..=20 {
            let chain = graph
                .practice(None, 8, &limits, seed)
                .unwrap_or_else(|e| panic!("{a} {b}: {e}"));
            check(&chain, &rules);
            no_word_twice(&chain);
            let changes = chain.steps.iter().filter_map(|s| s.change);
            let hits = changes
                .filter(|c| c.from.zip(c.to).is_some_and(|p| p == pair || p == (pair.1, pair.0)))
                .count();
            assert!(hits >= 2, "{a} {b}: {hits} of 7 steps");
            openings.push(chain.steps[0].word.clone());
        }
        openings.sort();
        openings.dedup();
        assert!(openings.len() >= 5, "{a} {b}: always {openings:?}");
    }
}

#[test]
fn exact_lengths_and_the_same_seed() {
    let graph = Graph::new(&WordList::default(), &Rules::default());
    for words in 4..=20 {
        let ask = |seed| graph.exact("pig", "ten", words, &Limits::default(), seed).unwrap();
        let chain = ask(5);
        assert_eq!(chain.steps.len(), words);
        check(&chain, graph.rules());
        no_word_twice(&chain);
        assert_eq!(chain, ask(5));
    }
    let short = graph.exact("pig", "ten", 3, &Limits::default(), 1).unwrap_err();
    assert_eq!((short.why, short.nearest.unwrap().steps.len()), (Why::Longer(4), 4));
}

#[test]
fn why_there_is_none() {
    let graph = Graph::new(&WordList::default(), &Rules::default());
    let none = Limits::default();
    assert_eq!(graph.shortest("know", "no", &none, 0).unwrap_err().why, Why::Alike);
    assert!(matches!(
        graph.shortest("p1g", "no", &none, 0).unwrap_err().why,
        Why::NoWord(_)
    ));
    let alone = graph.shortest("pig", "hippopotamus", &none, 0).unwrap_err();
    assert_eq!(alone.why, Why::Alone("hippopotamus".into()));
    assert!(alone.nearest.unwrap().steps.len() > 1);
    let initial = Limits {
        places: vec![Place::Initial],
        ..none.clone()
    };
    let cut = graph.shortest("pig", "pin", &initial, 0).unwrap_err();
    assert!(matches!(cut.why, Why::Cut(Some(_))));
    assert_eq!(cut.nearest.unwrap().steps.len(), 2);
    let sounds = Limits {
        sounds: vec!["IH".parse().unwrap()],
        ..none
    };
    assert!(matches!(
        graph.shortest("pig", "pin", &sounds, 0).unwrap_err().why,
        Why::Breaks(..)
    ));
    // One word, no step: a chain from a word to itself.
    assert_eq!(
        graph.shortest("pig", "PIG", &Limits::default(), 0).unwrap().steps.len(),
        1
    );
}

/// A word that is said in two ways says which is meant; a word said like another shows it.
#[test]
fn heteronyms_and_homophones() {
    let graph = Graph::new(&WordList::default(), &Rules::default());
    let chain = graph.shortest("bed", "read", &Limits::default(), 0).unwrap();
    let read = chain.steps.last().unwrap();
    assert_eq!(
        (chain.steps.len(), read.said.to_string().as_str(), read.ways),
        (2, "R EH1 D", 2)
    );
    assert!(read.also.contains(&"red".to_owned()));
    let chain = graph.shortest("bead", "read", &Limits::default(), 0).unwrap();
    assert_eq!(chain.steps.last().unwrap().said.to_string(), "R IY1 D");
}

/// What is one sound, and what is the same sound, is the rules' to say.
#[test]
fn rules_decide() {
    let change = |a: &str, b: &str, rules: &Rules| {
        let row = |word: &str| {
            let said = lexicon::look_up(word).unwrap().variants().next().unwrap();
            units(word, said.sounds(), rules)
        };
        difference_in_units(&row(a), &row(b)).map(|c| c.to_string())
    };
    let (plain, mut other) = (Rules::default(), Rules::default());
    other.set("r_vowels", "one").unwrap();
    assert_eq!(change("car", "cow", &plain), None);
    assert_eq!(change("car", "cow", &other).unwrap(), "AA+R to AW, final");
    let mut merged = Rules::default();
    merged.set("cot_caught", "merged").unwrap();
    assert_eq!(change("stock", "stalk", &plain).unwrap(), "AA to AO, medial");
    assert_eq!(change("stock", "stalk", &merged), None);
    // The dictionary also says caught as cot; where the two differ, a chain does not.
    let graph = Graph::new(&WordList::default(), &plain);
    let rows: Vec<String> = graph.rows("caught").map(|row| format!("{row:?}")).collect();
    assert_eq!(rows, ["[K, AO, T]"]);
    let graph = Graph::new(&WordList::default(), &merged);
    assert_eq!(
        graph.shortest("stock", "stalk", &Limits::default(), 0).unwrap_err().why,
        Why::Alike
    );
}
