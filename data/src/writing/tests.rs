use proptest::prelude::*;

use super::*;
use crate::lexicon;
use crate::word::{Overrides, find};

fn reading(word: &str, wrote: &str) -> SpellingAnalysis {
    read(&find(word, &Overrides::default()).unwrap(), wrote).unwrap()
}

fn parts(word: &str, wrote: &str) -> Vec<String> {
    reading(word, wrote).parts.iter().map(BrokenPart::to_string).collect()
}

#[test]
fn the_tables_are_well_formed() {
    assert!(figures::SpellingCounts::builtin().readings(b"dge").len() == 1);
    assert!(figures::Slips::builtin().share("kept loud") > 0.5);
    assert!(figures::SpellingCounts::read("a\tQQ\t-#f:1").is_none());
    for kind in slip::all() {
        let share = figures::Slips::builtin().share(&kind);
        assert!(share > 0.0 && share < 1.0, "{kind} {share}");
    }
}

/// Every twelfth word here; `cargo run --release -p soundbead-tests --bin measure -- --rows writing` reads all of them.
#[test]
fn a_word_against_itself_is_kept() {
    for entry in lexicon::words().step_by(12) {
        let read = reading(entry.spelling(), entry.spelling());
        assert!(read.right() && read.readable && read.parts.is_empty(), "{read:?}");
        assert_eq!(read.represented(), read.of());
    }
}

/// Common practice, no source.
#[test]
fn the_parts_that_a_teacher_would_name() {
    for (word, wrote, part) in [
        ("bridge", "brige", "short vowel before dge"),
        ("catch", "cach", "short vowel before tch"),
        ("hill", "hil", "short vowel before ll"),
        ("hopping", "hoping", "doubling"),
        ("stopped", "stoped", "doubling"),
        ("raining", "rainning", "doubling"),
        ("hoping", "hopping", "e dropped"),
        ("making", "makeing", "e dropped"),
        ("happiest", "happyest", "y to i"),
        ("babies", "babys", "y to i"),
        ("jumped", "jumpt", "ending -ed"),
        ("cats", "cat", "ending -s"),
        ("quickly", "quicklee", "ending -ly"),
        ("unhappy", "onhappy", "prefix un-"),
        ("unhappy", "unhapy", "base"),
        ("sea", "see", "homophone"),
        ("said", "sed", "irregular part ai"),
        ("friend", "frend", "irregular part ie"),
        ("does", "duz", "irregular part oe"),
        ("knee", "nee", "silent letter in kn"),
        ("jump", "jup", "consonant cluster"),
        ("today", "to day", "written as two words"),
    ] {
        assert!(
            parts(word, wrote).iter().any(|p| p == part),
            "{word} {wrote}: {:?}",
            parts(word, wrote)
        );
    }
    for (word, wrote) in [
        ("letter", "leter"),
        ("corner", "corna"),
        ("hill", "hell"),
        ("hope", "hop"),
    ] {
        let found = parts(word, wrote);
        assert!(
            !found.iter().any(|p| p == "doubling" || p.starts_with("ending")),
            "{word} {wrote}: {found:?}"
        );
    }
}

/// Common practice, no source: what a reader makes of these.
#[test]
fn a_reader_says_some_and_not_others() {
    for (word, wrote) in [
        ("bridge", "brige"),
        ("said", "sed"),
        ("phone", "fone"),
        ("friend", "freind"),
        ("because", "becuz"),
        ("drive", "jrive"),
        ("jumped", "jumpt"),
        ("people", "peepl"),
    ] {
        assert!(reading(word, wrote).readable, "{word} {wrote}");
    }
    for (word, wrote) in [
        ("hopping", "hoping"),
        ("cake", "cak"),
        ("jump", "jup"),
        ("girl", "gril"),
        ("dog", "god"),
        ("bed", "bad"),
        ("butterfly", "btfli"),
    ] {
        assert!(!reading(word, wrote).readable, "{word} {wrote}");
    }
}

#[test]
fn what_cannot_be_read_is_refused_in_one_line() {
    let word = find("bridge", &Overrides::default()).unwrap();
    let long = "e".repeat(400);
    for bad in [
        "",
        "  ",
        "4",
        "b4",
        "\u{1f600}",
        "the bridge is old",
        "\u{1f600} b",
        long.as_str(),
        "'",
    ] {
        let error = read(&word, bad).unwrap_err().to_string();
        assert!(!error.contains('\n') && error.len() < 250, "{bad}: {error}");
    }
}

#[test]
fn letters_over_two_sounds_stand_at_both_and_marks_are_passed_over() {
    let boxes = reading("box", "box");
    assert_eq!(
        (boxes.sounds[2].letters.as_str(), boxes.sounds[3].letters.as_str()),
        ("x", "x")
    );
    let queen = reading("queen", "kween");
    assert_eq!(
        (queen.sounds[0].letters.as_str(), queen.sounds[1].wrote.as_str()),
        ("qu", "w")
    );
    assert!(reading("don't", "dont").right());
    let split = reading("bone", "bown");
    assert_eq!(
        (split.sounds[1].letters.as_str(), split.sounds[1].wrote.as_str()),
        ("o_e", "ow")
    );
}

/// Common practice, no source: letters that a reader would say as more than the sound were added, a doubled letter is one thing,
/// and a silent e at the end stands with its consonant.
#[test]
fn letters_stand_where_a_teacher_would_put_them() {
    let shown = |word: &str, wrote: &str| {
        let read = reading(word, wrote);
        let sounds = read.sounds.iter().map(|w| format!("{}:{}", w.wrote, w.finding.name()));
        let added = read.added.iter().map(|a| format!("+{}@{}", a.wrote, a.after));
        sounds.chain(added).collect::<Vec<_>>().join(" ")
    };
    for (word, wrote, expected) in [
        ("lend", "lendt", "l:kept e:kept n:kept d:kept +t@4"),
        ("open", "opend", "o:kept p:kept e:kept n:kept +d@4"),
        ("trap", "terap", "t:kept r:kept a:kept p:kept +e@1"),
        ("mother", "muvver", "m:kept u:spelled_otherwise vv:near_sound er:kept"),
        ("hat", "hatte", "h:kept a:kept tte:spelled_otherwise"),
        ("bland", "blande", "b:kept l:kept a:kept n:kept de:spelled_otherwise"),
        ("stake", "steak", "s:kept t:kept ea:spelled_otherwise k:kept"),
        (
            "penguin",
            "pengwin",
            "p:kept e:kept n:kept g:kept w:spelled_otherwise i:kept n:kept",
        ),
        (
            "history",
            "histry",
            "h:kept i:kept s:kept t:kept r:spelled_otherwise y:kept",
        ),
    ] {
        assert_eq!(shown(word, wrote), expected, "{word} {wrote}");
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(400))]

    /// Whatever is written, each sound has one entry and every letter stands somewhere.
    #[test]
    fn every_sound_and_every_letter_is_accounted_for(at in 0_usize..120_000, wrote in "[a-z]{1,12}") {
        let all = lexicon::words().nth(at).unwrap();
        let read = reading(all.spelling(), &wrote);
        prop_assert_eq!(read.of(), read.said.sounds().len());
        prop_assert!(read.represented() <= read.of());
        for w in &read.sounds {
            prop_assert_eq!(w.wrote.is_empty(), w.finding == Finding::Omitted || w.letters.is_empty() && w.wrote.is_empty());
        }
        let mut shown: Vec<u8> = read.sounds.iter().flat_map(|w| w.wrote.bytes()).collect();
        shown.extend(read.added.iter().flat_map(|a| a.wrote.bytes()));
        for letter in wrote.bytes() {
            prop_assert!(shown.contains(&letter), "{} of {} is lost: {:?}", char::from(letter), wrote, read);
        }
    }
}
