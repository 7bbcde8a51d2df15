//! The words of the hand-made lists one by one. A list's share may hide a rule that is lost for ten words; here every word that
//! is read as by hand has to stay so. The few that are read otherwise are named, each with why, in `tests/reference/otherwise.tsv`.

use std::collections::BTreeSet;

use soundbead_tests::measure::teaching::{self, TeachingScore};
use soundbead_tests::measure::{sorts, writing};

const NAMED: &str = include_str!("../../reference/otherwise.tsv");

/// The rows of the table that belong to `list`: the words as they are named there.
fn named(list: &str) -> BTreeSet<&'static str> {
    let rows = NAMED.lines().filter(|l| !l.is_empty() && !l.starts_with('#'));
    let rows = rows.map(|row| {
        let [of, word, why] = row.split('\t').collect::<Vec<_>>()[..] else {
            panic!("{row}: not three fields")
        };
        assert!(why.len() > 10, "{row}: say why");
        (of, word)
    });
    rows.filter(|(of, _)| *of == list).map(|(_, word)| word).collect()
}

/// Words that are missed and not named, and words that are named and not missed: neither may be.
fn strangers(list: &str, missed: &[(String, String)]) -> Vec<String> {
    let named = named(list);
    let new = missed.iter().filter(|(word, _)| !named.contains(word.as_str()));
    let new = new.map(|(word, told)| format!("{list}\t{word}\t{told}"));
    let mended = named.iter().filter(|word| !missed.iter().any(|(m, _)| m == *word));
    let mended = mended.map(|word| format!("{list}\t{word}\tis as by hand now: take it out of otherwise.tsv"));
    new.chain(mended).collect()
}

fn taught(list: &str, score: &TeachingScore) -> Vec<String> {
    let missed = score.missed.iter();
    let missed: Vec<(String, String)> = missed
        .map(|m| (m.word.clone(), format!("{} (by hand: {})", m.got, m.wanted)))
        .collect();
    strangers(list, &missed)
}

#[test]
fn each_word_is_divided_as_by_hand() {
    let lists = [
        ("syllables_gold", teaching::SYLLABLES),
        ("syllables_fresh", teaching::FRESH),
        ("syllables_third", teaching::THIRD),
        ("syllables_fourth", teaching::FOURTH),
    ];
    let found: Vec<String> = lists
        .iter()
        .flat_map(|(name, text)| taught(name, &teaching::syllables(text)))
        .collect();
    assert!(found.is_empty(), "\n{}", found.join("\n"));
}

#[test]
fn each_word_has_the_boxes_and_readings_set_by_hand() {
    let mut found = taught("boxes_gold", &teaching::boxes(teaching::BOXES));
    for (name, (_, text)) in ["teacher_first", "teacher_second"].into_iter().zip(teaching::READ) {
        found.extend(taught(name, &teaching::read(text)));
    }
    assert!(found.is_empty(), "\n{}", found.join("\n"));
}

#[test]
fn each_new_word_is_guessed_as_by_hand() {
    let mut found = taught("guess_gold", &teaching::guesses(teaching::GUESSES));
    let names = [
        "guess_second",
        "guess_third",
        "guess_fourth",
        "guess_fifth",
        "guess_sixth",
    ];
    for (name, (_, text)) in names.into_iter().zip(teaching::GUESSES_LATER) {
        found.extend(taught(name, &teaching::guesses(text)));
    }
    assert!(found.is_empty(), "\n{}", found.join("\n"));
}

/// The word that a missed row of a sort or of word parts begins with, and the rest.
fn by_word(missed: &[String]) -> Vec<(String, String)> {
    let pairs = missed.iter().map(|line| line.split_once(": ").unwrap_or((line, "")));
    pairs.map(|(word, told)| (word.to_owned(), told.to_owned())).collect()
}

#[test]
fn each_word_stands_in_its_sort_as_by_hand() {
    let (_, rows) = sorts::sorted(sorts::SORTED);
    let found = strangers("sorts_gold", &by_word(&rows.missed));
    assert!(found.is_empty(), "\n{}", found.join("\n"));
}

#[test]
fn each_word_is_taken_apart_as_by_hand() {
    let names = [
        "parts_gold",
        "parts_fresh",
        "parts_third",
        "parts_fourth",
        "parts_fifth",
        "parts_sixth",
        "parts_seventh",
        "parts_eighth",
    ];
    let lists = names.into_iter().zip(sorts::APART);
    let found: Vec<String> = lists
        .flat_map(|(name, (_, text))| strangers(name, &by_word(&sorts::apart(text).missed)))
        .collect();
    assert!(found.is_empty(), "\n{}", found.join("\n"));
}

#[test]
fn each_misspelling_is_read_as_labeled() {
    let names = [
        "writing_gold",
        "writing_fresh",
        "writing_third",
        "writing_fourth",
        "writing_fifth",
        "writing_sixth",
        "writing_seventh",
    ];
    let mut found = Vec::new();
    for (name, (_, text)) in names.into_iter().zip(writing::LISTS) {
        let mut missed = Vec::new();
        writing::against(&writing::labeled(text), |gold, reading| {
            let sounds = reading
                .sounds
                .iter()
                .map(|w| format!("{}:{}", w.wrote, w.finding.name()));
            let told = sounds.collect::<Vec<_>>().join(" ");
            missed.push((format!("{} {}", gold.word, gold.wrote), told));
        });
        found.extend(strangers(name, &missed));
    }
    assert!(found.is_empty(), "\n{}", found.join("\n"));
}
