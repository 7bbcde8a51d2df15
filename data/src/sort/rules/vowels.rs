//! Spellings of one vowel sound.

use super::*;

pub(super) fn sorts() -> Vec<Sort> {
    vec![
        long_a(),
        long_e(),
        long_i(),
        long_o(),
        long_u(),
        er(),
        r_vowels(),
        o_u(),
        schwa(),
    ]
}

fn long_a() -> Sort {
    places!(
        "long-a",
        "long a as a, a_e, ai, ay",
        &["a", "a_e", "ai", "ay", "ea", "ei", "eigh", "ey"],
        |s| spelled(s, &["EY"]),
        &[
            rule!("at the end of a word", "ay", ends),
            choice!("one syllable, before its last consonant", |s| in_one(s)
                && before_last(s)),
            rule!("before a consonant and a vowel, in a longer word", "a", open),
        ],
    )
}

fn long_e() -> Sort {
    places!(
        "long-e",
        "long e as e, ee, ea, e_e, ie, y",
        &["e", "ee", "ea", "e_e", "ie", "y", "ey", "i"],
        |s| spelled(s, &["IY"]),
        &[
            rule!("at the end of a longer word, weak", "y", |s| ends(s)
                && !in_one(s)
                && !s.stressed()),
            choice!("at the end of one syllable", |s| ends(s) && in_one(s)),
            choice!("one syllable, before its last consonant", |s| in_one(s)
                && before_last(s)),
            choice!("before a consonant and a vowel, in a longer word", open),
        ],
    )
}

fn long_i() -> Sort {
    places!(
        "long-i",
        "long i as i, i_e, igh, y",
        &["i", "i_e", "igh", "y", "ie", "y_e"],
        |s| spelled(s, &["AY"]),
        &[
            rule!("at the end of a word", "y", ends),
            choice!("before t at the end of one syllable", |s| in_one(s)
                && before_last(s)
                && before(s, &["T"])),
            rule!("one syllable, before any other last consonant", "i_e", |s| in_one(s)
                && before_last(s)),
            rule!("before a consonant and a vowel, in a longer word", "i", open),
        ]
    )
}

fn long_o() -> Sort {
    places!(
        "long-o",
        "long o as o, o_e, oa, ow",
        &["o", "o_e", "oa", "ow", "oe"],
        |s| spelled(s, &["OW"]),
        &[
            choice!("at the end of a word", ends),
            choice!("one syllable, before its last consonant", |s| in_one(s)
                && before_last(s)),
            rule!("before a consonant and a vowel, in a longer word", "o", open),
        ]
    )
}

fn long_u() -> Sort {
    places!(
        "long-u",
        "long u and oo as u, u_e, oo, ew, ue, ou",
        &["u", "u_e", "oo", "ew", "ue", "ou", "o", "ui"],
        |s| spelled(s, &["UW", "Y UW"]),
        &[
            choice!("at the end of a word", ends),
            choice!("one syllable, before its last consonant", |s| in_one(s)
                && before_last(s)),
            rule!("before a consonant and a vowel, in a longer word", "u", open),
        ],
    )
}

fn er() -> Sort {
    places!(
        "er",
        "the vowel of bird as er, ir, ur, or, ear",
        &["er", "ir", "ur", "or", "ear", "ar"],
        // The weak vowel and r of around and career belong to no lesson about bird.
        |s| spelled(s, &["ER"]).filter(|_| {
            let before_vowel = s.beside(1).is_some_and(|next| next.vowel());
            !s.tail_of_fire() && (s.stressed() || !before_vowel)
        }),
        &[
            rule!("stressed, after w", "or", |s| s.stressed()
                && s.beside(-1).is_some_and(|b| b.letters() == "w")),
            choice!("stressed, anywhere else", |s| s.stressed()),
            choice!("weak, at the end of a longer word", |s| s.last()),
        ],
    )
}

/// A vowel and the r after it, as one heading: `ar`, `ear`, `are` (a_e around an r).
fn with_r(spot: &BoxSpot<'_>) -> Option<String> {
    let r = spot.beside(1).filter(|next| next.says("R"))?;
    let closes = r.beside(1).is_none_or(|after| !after.vowel());
    let vowel = spot.says_any(&["AA", "AO", "EH", "IH", "IY", "UH"]);
    (vowel && closes).then(|| match spot.letters().split_once('_') {
        Some((front, e)) => format!("{front}{}{e}", r.letters()),
        None => format!("{}{}", spot.letters(), r.letters()),
    })
}

/// Whether the r after the vowel ends the word, or a word inside it: *fore-cast*.
fn r_ends(spot: &BoxSpot<'_>) -> bool {
    spot.beside(2).is_none() || spot.beside(1).is_some_and(|r| r.closes_word())
}

fn r_vowels() -> Sort {
    places!(
        "r-vowels",
        "vowels before r: ar, or, air, ear",
        &[
            "ar", "or", "ore", "oar", "our", "air", "are", "ear", "eer", "ere", "oor"
        ],
        with_r,
        &[
            rule!("/ar/ as in car", "ar", |s| s.says("AA")),
            rule!("/or/ as in corn, before a consonant", "or", |s| s.says("AO")
                && !r_ends(s)
                && !s.after_w()),
            choice!("/or/ at the end", |s| s.says("AO") && r_ends(s)),
            choice!("/air/ at the end", |s| s.says("EH") && r_ends(s)),
            choice!("/ear/ at the end", |s| s.says_any(&["IH", "IY"]) && r_ends(s)),
        ],
    )
}

fn o_u() -> Sort {
    places!(
        "o-u",
        "short u as u, o, ou, oo",
        &["u", "o", "ou", "oo"],
        |s| {
            (s.stressed() && s.says("AH")).then(|| {
                if s.letters() == "o_e" {
                    "o".into()
                } else {
                    s.letters().to_owned()
                }
            })
        },
        &[
            choice!("beside m, n, v or th", |s| {
                let near = ["M", "N", "V", "DH", "TH"];
                before(s, &near) || after(s, &near)
            }),
            rule!("anywhere else", "u", |_| true),
        ]
    )
}

fn schwa() -> Sort {
    places!(
        "schwa",
        "the weak vowel as a, e, i, o, u",
        &["a", "e", "i", "o", "u", "y"],
        |s| {
            // The u of *up-* and *un-* is said as in *up*, though the dictionary marks no stress.
            let up = s.first() && s.letters() == "u";
            (!s.stressed() && s.says("AH") && s.letters().len() == 1 && !s.one_syllable() && !up)
                .then(|| s.letters().to_owned())
        },
        &[
            rule!("at the start of a word", "a", |s| s.first()),
            rule!("at the end of a word", "a", |s| s.last()),
            choice!("inside a word", |_| true),
        ]
    )
}
