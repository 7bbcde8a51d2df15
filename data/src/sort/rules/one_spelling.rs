//! One spelling with several sounds.

use super::*;

pub(super) fn sorts() -> Vec<Sort> {
    vec![oo(), ea(), old_kind(), ch_sounds(), y_sounds(), wa()]
}

/// The name of the first row whose sounds the box says.
fn named(s: &BoxSpot<'_>, rows: &[(&str, &str)]) -> Option<String> {
    rows.iter()
        .find(|(sound, _)| s.says(sound))
        .map(|(_, name)| (*name).to_owned())
}

fn oo() -> Sort {
    places!(
        "oo",
        "the sounds of oo: moon, book, flood, door",
        &["moon", "book", "flood", "door"],
        |s| {
            (s.letters() == "oo")
                .then(|| named(s, &[("UW", "moon"), ("UH", "book"), ("AH", "flood"), ("AO", "door")]))
                .flatten()
        },
        &[
            rule!("before k", "book", |s| before(s, &["K"])),
            choice!("before d or t", |s| before(s, &["D", "T"])),
            rule!("before anything else but r, or at the end", "moon", |s| !before(
                s,
                &["R"]
            )),
        ]
    )
}

fn ea() -> Sort {
    places!(
        "ea",
        "the sounds of ea: eat, bread, steak",
        &["eat", "bread", "steak"],
        |s| {
            (s.letters() == "ea" && !before(s, &["R"]))
                .then(|| named(s, &[("IY", "eat"), ("EH", "bread"), ("EY", "steak")]))
                .flatten()
        },
        &[
            choice!("before d, th or v", |s| before(s, &["D", "TH", "DH", "V"])),
            rule!("before anything else, or at the end", "eat", |_| true),
        ]
    )
}

/// A lone i or o before two consonants in a word of one syllable.
fn wild(s: &BoxSpot<'_>) -> Option<String> {
    if !s.one_syllable() || !["i", "o"].contains(&s.letters()) {
        return None;
    }
    let next: Vec<&str> = [1, 2]
        .iter()
        .filter_map(|by| s.beside(*by))
        .map(|b| b.letters())
        .collect();
    let pairs: &[&[&str]] = match s.letters() {
        "i" => &[&["n", "d"], &["l", "d"]],
        _ => &[&["l", "d"], &["l", "t"], &["s", "t"], &["ll"], &["l", "k"]],
    };
    let here = pairs.iter().any(|pair| next.starts_with(pair));
    let long = s.says_any(&["AY", "OW"]);
    here.then(|| if long { "long".into() } else { "short".into() })
}

fn old_kind() -> Sort {
    places!(
        "old-kind",
        "i and o before two consonants: long (kind, old) or short",
        &["long", "short"],
        wild,
        &[
            rule!("i before nd or ld", "long", |s| s.letters() == "i"),
            rule!("o before ld, lt or lk", "long", |s| before(s, &["L"])
                && s.beside(1).is_none_or(|n| n.letters() != "ll")),
            choice!("o before ll", |s| before(s, &["L"])),
            choice!("o before st", |_| true),
        ]
    )
}

fn ch_sounds() -> Sort {
    places!(
        "ch-sounds",
        "the sounds of ch: chin, school, chef",
        &["ch", "k", "sh"],
        |s| {
            (s.letters() == "ch")
                .then(|| named(s, &[("CH", "ch"), ("K", "k"), ("SH", "sh")]))
                .flatten()
        },
        &[
            rule!("before a consonant (chrome)", "k", |s| !s.last()
                && !s.closes_word()
                && s.beside(1).is_some_and(|n| !n.vowel())),
            rule!("after s (school)", "k", |s| after(s, &["S"]) && !s.begins_part()),
            choice!("anywhere else", |_| true),
        ]
    )
}

fn y_sounds() -> Sort {
    places!(
        "y-sounds",
        "the sounds of y: yes, cry, happy, gym",
        &["yes", "cry", "happy", "gym"],
        |s| {
            (s.letters() == "y")
                .then(|| named(s, &[("Y", "yes"), ("AY", "cry"), ("IY", "happy"), ("IH", "gym")]))
                .flatten()
        },
        &[
            rule!("at the start, before a vowel", "yes", |s| s.first()
                && s.beside(1).is_some_and(|n| n.vowel())),
            rule!("at the end of one syllable", "cry", |s| s.last() && s.one_syllable()),
            rule!("at the end of a longer word", "happy", |s| s.ends()),
            choice!("inside a word", |_| true),
        ]
    )
}

fn wa() -> Sort {
    places!(
        "wa",
        "a after w: want or wag",
        &["want", "wag"],
        |s| {
            (s.letters() == "a" && s.after_w() && s.stressed() && !before(s, &["R"]))
                .then(|| named(s, &[("AA", "want"), ("AO", "want"), ("AE", "wag")]))
                .flatten()
        },
        &[
            rule!("before k, g, ng or x", "wag", |s| before(s, &["K", "G", "NG", "K S"])),
            rule!("before anything else", "want", |_| true),
        ]
    )
}
