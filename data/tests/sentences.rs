//! Sentences for dictation: what each must be, whatever the words and the seed.

mod common;

use std::collections::{HashMap, HashSet};
use std::sync::LazyLock;

use common::Random;
use proptest::prelude::*;
use soundbead_data::chain::BlockList;
use soundbead_data::lexicon;
use soundbead_data::sentence::{MOST, MadeSentences, Sentence, sentences};

/// The words of the table as they stand there, without forms and marks: read here from the text itself.
static TABLE: LazyLock<Vec<&str>> = LazyLock::new(|| {
    let text = include_str!("../tables/sentences.toml");
    let lists = text.split("\nwords = ").skip(1);
    let inside = lists.filter_map(|list| list.trim_start_matches('"').split('"').next());
    let words = inside.flat_map(str::split_whitespace);
    words.map(|w| w.split(['/', '!']).next().unwrap()).collect()
});

/// Many subsets of the table, each with how many sentences were asked for and what came.
static MANY: LazyLock<Vec<(Vec<&str>, usize, MadeSentences)>> = LazyLock::new(|| {
    let mut random = Random(0x5eed);
    let one = |seed| {
        let size = 1 + random.below(30);
        let given: Vec<&str> = (0..size).map(|_| TABLE[random.below(TABLE.len())]).collect();
        let count = 1 + random.below(30);
        let made = sentences(&given, count, seed);
        (given, count, made)
    };
    (0..300).map(one).collect()
});

/// All sentences of [`MANY`].
fn all() -> impl Iterator<Item = &'static Sentence> {
    MANY.iter().flat_map(|(_, _, made)| &made.sentences)
}

fn words_of(text: &str) -> Vec<String> {
    let text = text.trim_end_matches(['.', '?']);
    text.split(' ').map(str::to_lowercase).collect()
}

/// Whether any (`all`: every) way of saying the word begins with a vowel sound.
fn begins_with_vowel(word: &str, all: bool) -> bool {
    let mut said = lexicon::look_up(word).unwrap().variants();
    let vowel = |p: lexicon::Pronunciation| p.sounds()[0].is_vowel();
    if all { said.all(vowel) } else { said.any(vowel) }
}

#[test]
fn every_sentence_is_written_as_one() {
    let block = BlockList::builtin();
    let mut total = 0;
    for sentence in all() {
        let text = &sentence.text;
        let words = words_of(text);
        total += 1;
        assert!((4..=12).contains(&words.len()), "{text}");
        assert!(text.starts_with(|c: char| c.is_ascii_uppercase()), "{text}");
        assert!(
            text.ends_with(['.', '?']) && text.matches(['.', '?']).count() == 1,
            "{text}"
        );
        // An apostrophe only where a person wrote it: *don't*, *grandma's*.
        let plain = |c: char| c.is_ascii_alphabetic() || c == ' ' || (sentence.by_hand && c == '\'');
        assert!(text[..text.len() - 1].chars().all(plain), "{text}");
        for word in &words {
            assert!(lexicon::look_up(word).is_some(), "{word} in {text}");
            assert!(!block.blocks(word), "{word} in {text}");
        }
    }
    assert!(total > 3000, "{total}");
}

#[test]
fn a_and_an_go_by_sound() {
    let mut seen = HashMap::new();
    for sentence in all() {
        for pair in words_of(&sentence.text).windows(2) {
            match pair[0].as_str() {
                "a" => assert!(!begins_with_vowel(&pair[1], true), "{}", sentence.text),
                "an" => assert!(begins_with_vowel(&pair[1], false), "{}", sentence.text),
                _ => continue,
            }
            *seen.entry(pair[0].clone()).or_insert(0) += 1;
        }
    }
    assert!(seen["a"] > 100 && seen["an"] > 20, "{seen:?}");
    // Letters against sounds.
    for (word, wanted) in [("hour", "an hour"), ("unicycle", "a unicycle")] {
        let texts = (0..200).flat_map(|seed| sentences(&[word], 1, seed).sentences);
        let texts: Vec<String> = texts.map(|s| s.text.to_lowercase()).collect();
        assert!(texts.iter().any(|t| t.contains(wanted)), "{word}: {texts:?}");
    }
}

#[test]
fn no_word_stands_twice_but_small_ones() {
    let small = ["the", "a", "an", "to", "was", "were", "is", "are"];
    // A person hears whether a small word may come again.
    let smaller = ["of", "in", "on", "and", "my", "for", "i", "it"];
    for (_, _, made) in MANY.iter() {
        let mut texts = HashSet::new();
        for sentence in &made.sentences {
            let mut seen = HashSet::new();
            for word in words_of(&sentence.text) {
                let may = small.contains(&word.as_str()) || (sentence.by_hand && smaller.contains(&word.as_str()));
                assert!(may || seen.insert(word), "{}", sentence.text);
            }
            assert!(texts.insert(sentence.text.clone()), "twice: {}", sentence.text);
        }
    }
}

#[test]
fn what_is_said_of_use_is_true_and_nothing_is_lost() {
    for (given, count, made) in MANY.iter() {
        let MadeSentences {
            sentences: made,
            left_out,
            unused,
        } = made;
        let small: HashSet<String> = given.iter().map(|w| w.to_lowercase()).collect();
        let mut used = HashSet::new();
        for sentence in made {
            let words: HashSet<String> = words_of(&sentence.text).into_iter().collect();
            let uses: HashSet<String> = sentence.uses.iter().cloned().collect();
            assert!(!uses.is_empty() && uses.len() == sentence.uses.len(), "{sentence:?}");
            assert_eq!(uses, small.intersection(&words).cloned().collect(), "{sentence:?}");
            used.extend(uses);
        }
        assert!(left_out.is_empty(), "{left_out:?} stand in the table");
        let unused: HashSet<String> = unused.iter().cloned().collect();
        assert!(used.is_disjoint(&unused));
        assert_eq!(used.union(&unused).cloned().collect::<HashSet<_>>(), small);
        // With one sentence for each word there is room for all.
        if *count >= small.len() {
            assert!(unused.is_empty(), "{given:?}: {unused:?} unused");
            assert_eq!(made.len(), *count);
        }
    }
}

/// Every word of the table can be asked for by itself.
#[test]
fn each_word_alone_gets_sentences() {
    assert!(TABLE.len() > 1000);
    for (seed, word) in TABLE.iter().enumerate() {
        let made = sentences(&[word], 2, seed as u64);
        assert_eq!(made.sentences.len(), 2, "{word}");
    }
}

/// For words of which nobody wrote.
#[test]
fn several_given_words_share_a_built_sentence() {
    let given = [
        "kangaroos",
        "boulders",
        "scrubbed",
        "stiffest",
        "koalas",
        "turnips",
        "ate",
        "hammocks",
        "tan",
        "swiftly",
    ];
    for seed in 0..20 {
        let made = sentences(&given, 10, seed).sentences;
        let first_round: HashSet<&String> = made.iter().take(7).flat_map(|s| &s.uses).collect();
        assert_eq!(first_round.len(), given.len(), "{made:?}");
    }
}

#[test]
fn a_sentence_by_hand_comes_first_and_one_with_several_given_words_before_others() {
    let made = sentences(&["knight", "armor"], 1, 1).sentences;
    assert_eq!(made[0].text, "The knight put on his shining armor.");
    assert!(made[0].by_hand && made[0].uses == ["knight", "armor"]);
    let made = sentences(&["their"], 1, 5).sentences;
    assert!(
        made[0].by_hand && made[0].text.to_lowercase().contains("their "),
        "{made:?}"
    );
    assert!(!sentences(&["kangaroos"], 1, 1).sentences[0].by_hand);
}

#[test]
fn the_seed_decides() {
    let given = [
        "music", "honey", "ticket", "basket", "winter", "garden", "bridge", "puppy", "window", "pencil", "river",
        "lake",
    ];
    let made = sentences(&given, 8, 3);
    assert_eq!(made, sentences(&given, 8, 3));
    let others: HashSet<String> = (0..20)
        .map(|seed| sentences(&given, 8, seed).sentences[0].text.clone())
        .collect();
    assert!(others.len() > 15, "{others:?}");
}

#[test]
fn odd_lists() {
    assert_eq!(sentences(&[], 5, 1), MadeSentences::default());
    assert_eq!(sentences(&["", "  "], 5, 1), MadeSentences::default());
    let made = sentences(
        &[" Duck ", "duck", "DUCK", "Zebu-ish", "zebu-ish", "two words", "zebu's"],
        2,
        1,
    );
    assert_eq!(made.left_out, ["Zebu-ish", "two words", "zebu's"]);
    assert!(made.sentences.iter().all(|s| s.uses == ["duck"]));
    let none = sentences(&["duck", "sock"], 0, 1);
    assert_eq!(
        (none.sentences.len(), none.unused),
        (0, vec!["duck".to_owned(), "sock".to_owned()])
    );
    assert_eq!(sentences(&["duck"], usize::MAX, 1).sentences.len(), MOST);
    // All the table at once, and forms of one word.
    assert_eq!(sentences(&TABLE, 50, 1).sentences.len(), 50);
    assert!(
        sentences(&["jump", "jumps", "jumped", "jumping"], 4, 1)
            .unused
            .is_empty()
    );
}

/// Agreement, looked for from outside: *I was*, *they were*, and a singular before *was*.
#[test]
fn subjects_and_verbs_agree() {
    let mut met = 0;
    for (given, pairs) in [
        ("we", ["we was", "we is"]),
        ("they", ["they was", "they is"]),
        ("i", ["i were", "i is"]),
        ("foxes", ["foxes was", "foxes is"]),
        ("woods", ["woods was", "woods is"]),
        ("fox", ["fox were", "fox are"]),
    ] {
        for seed in 0..60 {
            for sentence in sentences(&[given, "hopping", "jumps", "was", "is", "were"], 6, seed).sentences {
                let text = sentence.text.to_lowercase();
                met += usize::from(text.contains(&format!("{given} w")));
                let wrong = pairs.iter().any(|pair| text.contains(&format!("{pair} ")));
                let jumps = ["we", "they", "i", "you", "foxes"]
                    .iter()
                    .any(|s| text.contains(&format!("{s} jumps")));
                assert!(!wrong && !jumps, "{text}");
            }
        }
    }
    assert!(met > 100, "{met}");
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::with_cases(200) })]

    #[test]
    fn no_text_panics(words in prop::collection::vec(".{0,12}|fox|Ducks| an |I|was", 0..12), count in 0usize..8, seed: u64) {
        let given: Vec<&str> = words.iter().map(String::as_str).collect();
        let made = sentences(&given, count, seed);
        prop_assert!(made.sentences.len() <= count);
        for word in &made.left_out {
            prop_assert!(words.iter().any(|w| w.trim() == word));
        }
    }
}
