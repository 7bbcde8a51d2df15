//! Spellings of one consonant sound, by where it stands.

use super::*;

pub(super) fn sorts() -> Vec<Sort> {
    vec![
        k(),
        j(),
        s(),
        z(),
        ch(),
        f(),
        ck_k(),
        double(),
        rabbit(),
        final_v_j(),
        q(),
        soft_c(),
        soft_g(),
        silent(),
    ]
}

fn k() -> Sort {
    places!(
        "k",
        "/k/ as c, k, ck, ch, qu or x",
        &["c", "k", "ck", "ch", "qu", "x", "cc"],
        |s| {
            let letters = spelled(s, &["K", "K W", "K S", "K SH", "G Z"])?;
            let x = letters.starts_with('x');
            (x || !s.says("G Z")).then(|| if x { "x".into() } else { letters })
        },
        &[
            rule!("/kw/", "qu", |s| s.says("K W")),
            rule!("/ks/ in one letter", "x", |s| s.says_any(&["K S", "K SH", "G Z"])),
            rule!(
                "at the end of one syllable, right after a short vowel",
                "ck",
                short_close
            ),
            rule!(
                "at the end of one syllable, after a long vowel, a team or a consonant",
                "k",
                other_close
            ),
            rule!("at the end of a longer word, after the i of music", "c", |s| {
                long_close(s) && s.beside(-1).is_some_and(|b| b.letters() == "i" && !b.stressed())
            }),
            rule!("before e, i or y, but not right after a short vowel", "k", |s| {
                !s.ends() && s.before_letter(SOFT) && !s.after_short()
            }),
            rule!("at the start, before a, o, u or a consonant", "c", |s| s.first()
                && !s.before_letter(SOFT)),
            rule!(
                "inside, before a, o, u or a consonant, but not right after a short vowel or before -le",
                "c",
                |s| {
                    let le = s.beside(1).is_some_and(|n| n.letters().starts_with("le"));
                    !s.ends() && !s.before_letter(SOFT) && !s.after_short() && !le
                }
            ),
        ]
    )
}

fn j() -> Sort {
    places!(
        "j",
        "/j/ as j, g, ge or dge",
        &["j", "g", "ge", "dge"],
        |s| spelled(s, &["JH"]),
        &[
            rule!("at the start, before a, o or u", "j", |s| s.first()
                && s.before_letter("aou")),
            choice!("at the start, before e, i or y", |s| s.first() && s.before_letter(SOFT)),
            rule!(
                "at the end of one syllable, right after a short vowel",
                "dge",
                short_close
            ),
            rule!(
                "at the end of one syllable, after a long vowel or a consonant",
                "ge",
                other_close
            ),
            rule!("at the end of a longer word", "ge", long_close),
            rule!("inside, before e, i or y", "g", |s| !s.ends()
                && !s.in_split()
                && s.letters() != "ge"
                && s.before_letter(SOFT)),
        ]
    )
}

fn s() -> Sort {
    places!(
        "s",
        "/s/ as s, c, ss, ce or se",
        &["s", "c", "ss", "ce", "se", "sc"],
        |s| spelled(s, &["S"]),
        &[
            rule!("at the start, before a, o, u or a consonant", "s", |s| s.first()
                && !s.before_letter(SOFT)),
            choice!("at the start, before e, i or y", |s| s.first() && s.before_letter(SOFT)),
            rule!(
                "at the end of one syllable, right after a short vowel",
                "ss",
                short_close
            ),
            rule!(
                "at the end of one syllable, after a long vowel and with an e (face)",
                "ce",
                |s| { other_close(s) && s.in_split() }
            ),
            rule!("at the end of one syllable, after n (dance)", "ce", |s| other_close(s)
                && after(s, &["N"])),
            choice!("at the end of one syllable, after r or l", |s| other_close(s)
                && after(s, &["R", "L", "ER"])),
            choice!("at the end of one syllable, after a team (voice, house)", |s| {
                other_close(s) && s.beside(-1).is_some_and(|b| b.vowel() && b.letters().len() > 1)
            }),
        ]
    )
}

fn z() -> Sort {
    places!(
        "z-end",
        "/z/ at the end: se, ze, zz, s or z",
        &["se", "ze", "zz", "s", "z"],
        |s| { (s.last() && !s.first()).then(|| spelled(s, &["Z"])).flatten() },
        &[
            rule!("after a short vowel in one syllable", "zz", short_close),
            choice!("after a long vowel and with an e (nose, size)", |s| s.in_split()),
            choice!("after a team (cheese, breeze)", |s| s
                .beside(-1)
                .is_some_and(|b| b.letters().len() > 1)),
        ]
    )
}

fn ch() -> Sort {
    places!(
        "ch",
        "/ch/ as ch, tch or t",
        &["ch", "tch", "t"],
        |s| spelled(s, &["CH"]),
        &[
            rule!("before the ending -ure", "t", |s| !s.first()
                && before(s, &["ER"])
                && s.beside(1).is_some_and(|n| n.letters().starts_with("ur"))),
            rule!("at the start", "ch", |s| s.first()),
            rule!(
                "at the end of one syllable, right after a short vowel",
                "tch",
                short_close
            ),
            rule!(
                "at the end of one syllable, after a long vowel, a team or a consonant",
                "ch",
                other_close
            ),
        ]
    )
}

fn f() -> Sort {
    places!(
        "f",
        "/f/ as f, ff, ph or gh",
        &["f", "ff", "ph", "gh"],
        |s| spelled(s, &["F"]),
        &[
            rule!("at the start", "f", |s| s.first()),
            rule!(
                "at the end of one syllable, right after a short vowel",
                "ff",
                short_close
            ),
            rule!(
                "at the end of one syllable, after a long vowel, a team or a consonant",
                "f",
                other_close
            ),
        ]
    )
}

fn ck_k() -> Sort {
    places!(
        "ck-k",
        "a short vowel before ck, dge, tch; anything else before k, ge, ch",
        &["ck", "k", "dge", "ge", "tch", "ch"],
        |s| spelled(s, &["K", "JH", "CH"]).filter(|_| s.last() && s.one_syllable() && !s.first()),
        &[
            rule!("/k/ right after a short vowel", "ck", |s| s.says("K") && short_close(s)),
            rule!("/k/ after anything else", "k", |s| s.says("K")),
            rule!("/j/ right after a short vowel", "dge", |s| s.says("JH")
                && short_close(s)),
            rule!("/j/ after anything else", "ge", |s| s.says("JH")),
            rule!("/ch/ right after a short vowel", "tch", |s| s.says("CH")
                && short_close(s)),
            rule!("/ch/ after anything else", "ch", |s| s.says("CH")),
        ],
    )
}

fn double() -> Sort {
    places!(
        "double",
        "f, l, s and z at the end, doubled or not",
        &["ff", "ll", "ss", "zz", "f", "l", "s", "z"],
        |s| { spelled(s, &["F", "L", "S", "Z"]).filter(|_| short_close(s) && !(s.says("Z") && s.letters() == "s")) },
        &[
            rule!("/f/ right after a short vowel in one syllable", "ff", |s| s.says("F")),
            rule!("/l/ right after a short vowel in one syllable", "ll", |s| s.says("L")),
            rule!("/s/ right after a short vowel in one syllable", "ss", |s| s.says("S")),
            rule!("/z/ right after a short vowel in one syllable", "zz", |s| s.says("Z")),
        ]
    )
}

/// One consonant sound between the first vowel, which is stressed, and the next, in one part of a word.
fn between(s: &BoxSpot<'_>) -> Option<String> {
    let (before, after) = (s.beside(-1)?, s.beside(1)?);
    let first = (0..s.at).all(|at| at + 1 == s.at || !BoxSpot { at, ..*s }.vowel());
    let letters = s.letters().as_bytes();
    // Letters that are never doubled, or that have a spelling of their own after a short vowel (ck, dge, tch).
    let apt = letters.first().is_some_and(|c| b"bdfglmnpst".contains(c));
    let doubled = letters.len() == 2 && letters[0] == letters[1];
    // A letter that says a short vowel not its own (the e of pretty, the a of many) is neither short nor long there.
    let other = before.letters().len() == 1 && !before.short() && before.says_any(&["IH", "EH", "AE", "AH", "UH"]);
    let vowel = before.vowel() && before.stressed() && !before.says("ER") && !other && s.known.syllables == 2;
    let open = after.vowel() || after.letters().starts_with("le");
    let one_part = !s.ends() && !s.over_seam() && s.sounds().len() == 1 && !s.vowel();
    (first && apt && vowel && open && one_part && (doubled || letters.len() == 1))
        .then(|| if doubled { "doubled".into() } else { "single".into() })
}

fn rabbit() -> Sort {
    places!(
        "rabbit",
        "between two vowels: doubled (rabbit) or single (robot)",
        &["doubled", "single"],
        between,
        &[
            rule!("after a long vowel or a team", "single", |s| !s.after_short()),
            rule!("after a short vowel, before -le, -er, -y, -ow or -en", "doubled", |s| {
                let rest = s.beside(1).map_or("", |n| n.letters());
                let last = s.beside(1).is_some_and(|n| n.last());
                rest.starts_with("le") || (last && ["er", "y", "ow"].contains(&rest)) || s.known.word.ends_with("en")
            }),
            choice!("after a short vowel, before anything else", |s| s.after_short()),
        ]
    )
}

fn final_v_j() -> Sort {
    places!(
        "v-j-end",
        "no word ends in v or j: ve, ge, dge",
        &["ve", "ge", "dge", "v", "j"],
        |s| spelled(s, &["V", "JH"]).filter(|_| s.last() && !s.first()),
        &[
            rule!("/v/ at the end", "ve", |s| s.says("V")),
            rule!(
                "/j/ at the end, right after a short vowel in one syllable",
                "dge",
                |s| s.says("JH") && short_close(s)
            ),
            rule!("/j/ at the end, anywhere else", "ge", |s| s.says("JH")),
        ],
    )
}

fn q() -> Sort {
    places!(
        "q",
        "q is followed by u",
        &["qu", "q"],
        |s| {
            let q = s.letters().starts_with('q') || s.letters().contains("cq");
            q.then(|| {
                if s.letters().contains("qu") {
                    "qu".into()
                } else {
                    "q".into()
                }
            })
        },
        &[rule!("wherever q stands", "qu", |_| true)]
    )
}

/// The sound that a lone c or g has.
fn letter(spot: &BoxSpot<'_>, letter: &str, hard: &str, soft: &str) -> Option<String> {
    let lone = spot.letters() == letter || spot.letters() == format!("{letter}e");
    (lone && (spot.says(hard) || spot.says(soft))).then(|| if spot.says(hard) { "hard".into() } else { "soft".into() })
}

fn soft_c() -> Sort {
    places!(
        "soft-c",
        "the letter c, hard or soft",
        &["hard", "soft"],
        |s| letter(s, "c", "K", "S"),
        &[
            rule!("before e, i or y", "soft", |s| s.letters() == "ce"
                || s.before_letter(SOFT)),
            rule!("before any other letter, or at the end", "hard", |_| true),
        ]
    )
}

fn soft_g() -> Sort {
    places!(
        "soft-g",
        "the letter g, hard or soft",
        &["hard", "soft"],
        |s| letter(s, "g", "G", "JH"),
        &[
            rule!("before e, i or y", "soft", |s| s.letters() == "ge"
                || s.before_letter(SOFT)),
            rule!("before any other letter, or at the end", "hard", |_| true),
        ]
    )
}

/// Letters with a silent one among them, by the silent letter's usual company.
fn silent_letter(spot: &BoxSpot<'_>) -> Option<String> {
    let pairs: [(&str, &str); 15] = [
        ("kn", "N"),
        ("gn", "N"),
        ("pn", "N"),
        ("wr", "R"),
        ("rh", "R"),
        ("mb", "M"),
        ("mn", "M"),
        ("gh", "G"),
        ("bt", "T"),
        ("ps", "S"),
        ("sc", "S"),
        ("st", "S"),
        ("sw", "S"),
        ("wh", "HH"),
        ("ld", "D"),
    ];
    let found = pairs
        .iter()
        .find(|(letters, sound)| spot.letters() == *letters && spot.says(sound));
    let walk = ["al", "ol", "oul"].contains(&spot.letters()) && spot.vowel() && spot.sounds().len() == 1;
    let night = spot.letters().len() > 2 && spot.letters().ends_with("gh") && spot.vowel();
    found
        .map(|(letters, _)| (*letters).to_owned())
        .or(walk.then(|| "l".into()))
        .or(night.then(|| "-gh".into()))
}

fn silent() -> Sort {
    places!(
        "silent",
        "silent letters by their company",
        &[
            "kn", "wr", "gn", "mb", "mn", "st", "sc", "wh", "gh", "rh", "ps", "bt", "l", "-gh"
        ],
        silent_letter,
        &[],
    )
}
