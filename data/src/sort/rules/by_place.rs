//! One vowel sound with two spellings, which the place decides.

use super::*;

pub(super) fn sorts() -> Vec<Sort> {
    vec![ai_ay(), oi_oy(), oa_ow(), ou_ow(), au_aw(), ie_ei()]
}

/// The letters, where they are one of two and say this.
fn one_of(s: &BoxSpot<'_>, spellings: [&str; 2], sounds: &[&str]) -> Option<String> {
    (spellings.contains(&s.letters()) && s.says_any(sounds)).then(|| s.letters().to_owned())
}

fn ai_ay() -> Sort {
    places!(
        "ai-ay",
        "long a as ai or ay",
        &["ai", "ay"],
        |s| one_of(s, ["ai", "ay"], &["EY"]),
        &[
            rule!("at the end of a word", "ay", ends),
            rule!("inside a word", "ai", |_| true),
        ]
    )
}

fn oi_oy() -> Sort {
    places!(
        "oi-oy",
        "/oy/ as oi or oy",
        &["oi", "oy"],
        |s| one_of(s, ["oi", "oy"], &["OY"]),
        &[
            rule!("at the end of a word", "oy", ends),
            rule!("inside, before a vowel (royal)", "oy", |s| s
                .beside(1)
                .is_some_and(|n| n.vowel())),
            rule!("inside a word", "oi", |_| true),
        ]
    )
}

fn oa_ow() -> Sort {
    places!(
        "oa-ow",
        "long o as oa or ow",
        &["oa", "ow"],
        |s| one_of(s, ["oa", "ow"], &["OW"]),
        &[
            rule!("at the end of a word", "ow", ends),
            choice!("before n that ends the word (own, loan)", |s| before_last(s)
                && before(s, &["N"])),
            rule!("inside, before anything else", "oa", |_| true),
        ]
    )
}

fn ou_ow() -> Sort {
    places!(
        "ou-ow",
        "/ow/ of cow as ou or ow",
        &["ou", "ow"],
        |s| one_of(s, ["ou", "ow"], &["AW"]),
        &[
            rule!("at the end of a word", "ow", ends),
            rule!("inside, before l (owl)", "ow", |s| before(s, &["L"])),
            choice!("inside, before n, z, er or another vowel", |s| {
                before(s, &["N", "Z", "ER"]) || s.beside(1).is_some_and(|n| n.vowel())
            }),
            rule!("inside, before anything else", "ou", |_| true),
        ]
    )
}

fn au_aw() -> Sort {
    places!(
        "au-aw",
        "/aw/ as au or aw",
        &["au", "aw"],
        |s| one_of(s, ["au", "aw"], &["AO", "AA"]),
        &[
            rule!("at the end of a word", "aw", ends),
            choice!("before k, l or n that ends the word", |s| before_last(s)
                && before(s, &["K", "L", "N"])),
            rule!("inside, before anything else", "au", |_| true),
        ]
    )
}

fn ie_ei() -> Sort {
    places!(
        "ie-ei",
        "ie or ei",
        &["ie", "ei"],
        |s| {
            let letters = s.letters();
            let one = s.sounds().len() == 1 && s.vowel() && !s.says("ER");
            (one && ["ie", "ei", "eigh", "eig"].contains(&letters)).then(|| letters[..2].to_owned())
        },
        &[
            rule!("long a (eight)", "ei", |s| s.says("EY")),
            rule!("long e, after c", "ei", |s| s.says_any(&["IY", "IH"])
                && s.beside(-1).is_some_and(|b| b.letters().ends_with('c'))),
            rule!("long e, after any other letter", "ie", |s| s.says("IY")
                || (s.says("IH") && before(s, &["R"]))),
            choice!("any other sound", |_| true),
        ]
    )
}
