//! Sentences for dictation: what each must be, whatever the words and the seed.

mod common;

use std::collections::{HashMap, HashSet};
use std::sync::LazyLock;

use common::Random;
use proptest::prelude::*;
use soundbead_data::chain::BlockList;
use soundbead_data::lexicon;
use soundbead_data::sentence::{MOST, MadeSentences, Sentence, sentences};

/// The sentences of the table as they stand there, read here from the text itself.
static LINES: LazyLock<Vec<&str>> = LazyLock::new(|| {
    let lines = include_str!("../tables/dictation.txt").lines();
    lines.filter(|l| !l.is_empty() && !l.starts_with('#')).collect()
});

/// The words between stars of one line, in small letters.
fn headwords(line: &str) -> Vec<String> {
    let starred = line.split(' ').filter(|word| word.contains('*'));
    starred
        .map(|w| {
            w.trim_end_matches(['.', '?'])
                .replace('*', "")
                .replace("/2", "")
                .to_lowercase()
        })
        .collect()
}

/// All words for which a sentence was written.
static HEADWORDS: LazyLock<Vec<String>> = LazyLock::new(|| {
    let all: HashSet<String> = LINES.iter().flat_map(|line| headwords(line)).collect();
    let mut all: Vec<String> = all.into_iter().collect();
    all.sort();
    all
});

/// Many subsets of the words, each with how many sentences were asked for and what came.
static MANY: LazyLock<Vec<(Vec<&str>, usize, MadeSentences)>> = LazyLock::new(|| {
    let mut random = Random(0x5eed);
    let one = |seed| {
        let size = 1 + random.below(30);
        let given: Vec<&str> = (0..size)
            .map(|_| HEADWORDS[random.below(HEADWORDS.len())].as_str())
            .collect();
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
        let plain = |c: char| c.is_ascii_alphabetic() || c == ' ' || c == '\'';
        assert!(text[..text.len() - 1].chars().all(plain), "{text}");
        for word in &words {
            let known = lexicon::look_up(word).or_else(|| lexicon::look_up(word.trim_end_matches('\'')));
            assert!(known.is_some() && !block.blocks(word), "{word} in {text}");
        }
    }
    assert!(total > 3000, "{total}");
}

/// *A* and *an* of the whole table: *an hour*, *a unicycle*.
#[test]
fn a_and_an_go_by_sound() {
    let mut seen = HashMap::new();
    for line in LINES.iter() {
        for pair in words_of(&line.replace('*', "").replace("/2", "")).windows(2) {
            match pair[0].as_str() {
                "a" => assert!(!begins_with_vowel(&pair[1], true), "{line}"),
                "an" => assert!(begins_with_vowel(&pair[1], false), "{line}"),
                _ => continue,
            }
            *seen.entry(pair[0].clone()).or_insert(0) += 1;
        }
    }
    assert!(seen["a"] > 1000 && seen["an"] > 50, "{seen:?}");
    // Letters against sounds.
    for (word, wanted) in [("hour", "an hour"), ("unicycle", "a unicycle")] {
        let all = sentences(&[word], MOST, 1).sentences;
        assert!(all.iter().any(|s| s.text.contains(wanted)), "{word}: {all:?}");
    }
}

#[test]
fn no_word_stands_twice_but_small_ones() {
    // A person hears whether a small word may come again.
    let small = [
        "the", "a", "an", "to", "was", "were", "is", "are", "of", "in", "on", "and", "my", "for", "i", "it",
    ];
    for (_, _, made) in MANY.iter() {
        let mut texts = HashSet::new();
        for sentence in &made.sentences {
            let mut seen = HashSet::new();
            for word in words_of(&sentence.text) {
                let may = small.contains(&word.as_str());
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
        }
    }
}

/// Fewer come only where the table has no more with any of the given words.
#[test]
fn none_is_kept_back() {
    for (given, count, made) in MANY.iter() {
        let holds = |line: &&&str| {
            words_of(&line.replace('*', "").replace("/2", ""))
                .iter()
                .any(|w| given.contains(&w.as_str()))
        };
        let there = LINES.iter().filter(holds).count();
        assert_eq!(made.sentences.len(), there.min(*count), "{given:?}");
    }
}

/// Every word of the table can be asked for by itself, and what was written for it comes first.
#[test]
fn each_word_alone_gets_its_own_sentences_first() {
    assert!(HEADWORDS.len() > 5000);
    let mut own: HashMap<String, usize> = HashMap::new();
    for line in LINES.iter() {
        for word in headwords(line) {
            *own.entry(word).or_default() += 1;
        }
    }
    let starred: HashSet<(String, String)> = LINES
        .iter()
        .flat_map(|line| {
            headwords(line)
                .into_iter()
                .map(|w| (w, line.replace('*', "").replace("/2", "")))
        })
        .collect();
    for (seed, word) in HEADWORDS.iter().enumerate() {
        let made = sentences(&[word], own[word], seed as u64).sentences;
        assert_eq!(made.len(), own[word], "{word}");
        for sentence in made {
            assert!(
                starred.contains(&(word.clone(), sentence.text.clone())),
                "{word}: {}",
                sentence.text
            );
        }
    }
}

/// Words that stand together in a sentence are asked for by that one sentence, or by another with as many of them.
#[test]
fn several_given_words_share_a_sentence() {
    let mut met = 0;
    for (seed, line) in LINES.iter().enumerate() {
        let words = headwords(line);
        let words: Vec<&str> = words.iter().map(String::as_str).collect();
        if words.len() >= 3 && words.iter().collect::<HashSet<_>>().len() == words.len() {
            met += 1;
            let made = sentences(&words, 1, seed as u64).sentences;
            assert_eq!(made[0].uses, words, "{line}");
        }
    }
    assert!(met > 500, "{met}");
}

#[test]
fn sentences_with_several_given_words_come_before_others() {
    let made = sentences(&["knight", "armor"], 1, 1).sentences;
    assert_eq!(made[0].text, "The knight put on his shining armor.");
    assert!(made[0].uses == ["knight", "armor"]);
    let made = sentences(&["their"], 1, 5).sentences;
    assert!(made[0].text.to_lowercase().contains("their "), "{made:?}");
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
    // All the words at once, and forms of one word.
    let all: Vec<&str> = HEADWORDS.iter().map(String::as_str).collect();
    assert_eq!(sentences(&all, usize::MAX, 1).sentences.len(), MOST);
    assert_eq!(sentences(&all, 50, 1).sentences.len(), 50);
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
    for line in LINES.iter() {
        let text = format!(" {}", line.replace('*', "").replace("/2", "").to_lowercase());
        for (subject, verb) in [
            ("i", "am"),
            ("i", "was"),
            ("we", "were"),
            ("they", "were"),
            ("you", "are"),
        ] {
            met += usize::from(text.contains(&format!(" {subject} {verb} ")));
        }
        for subject in ["we", "they", "you"] {
            for verb in ["was", "is", "has", "does"] {
                assert!(!text.contains(&format!(" {subject} {verb} ")), "{line}");
            }
        }
        for verb in ["were", "is", "are", "has"] {
            assert!(!text.contains(&format!(" i {verb} ")), "{line}");
        }
        for subject in ["he", "she", "it"] {
            for verb in ["were", "are", "have", "do"] {
                assert!(!text.starts_with(&format!(" {subject} {verb} ")), "{line}");
            }
        }
    }
    assert!(met > 50, "{met}");
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::with_cases(200) })]
    #[test]
    fn no_text_panics(words in proptest::collection::vec(".{0,12}|fox|Ducks| an |I|was", 0..12), count in 0usize..8, seed: u64) {
        let given: Vec<&str> = words.iter().map(String::as_str).collect();
        let made = sentences(&given, count, seed);
        prop_assert!(made.sentences.len() <= count);
        for word in &made.left_out {
            prop_assert!(words.iter().any(|w| w.trim() == word));
        }
    }
}
