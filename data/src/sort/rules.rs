//! The sorts themselves. What each rule expects is common practice of spelling lessons, without one source; how often it
//! holds is counted on the word list.

use super::corpus::Spot;
use super::{Rule, Sort};

macro_rules! rule {
    ($when:literal, $then:literal, $applies:expr) => {
        Rule {
            when: $when,
            then: $then,
            applies: $applies,
        }
    };
}

/// The box's letters as heading when it spells one of these rows of sounds.
fn spelled(spot: &Spot<'_>, sounds: &[&str]) -> Option<String> {
    sounds.iter().any(|s| spot.says(s)).then(|| spot.letters().to_owned())
}

/// A vowel and the r after it, as one heading: `ar`, `ear`, `are` (a_e around an r).
fn with_r(spot: &Spot<'_>, vowels: &[&str]) -> Option<String> {
    let r = spot.beside(1).filter(|next| next.says("R"))?;
    let closes = r.beside(1).is_none_or(|after| !after.vowel());
    let vowel = vowels.iter().any(|v| spot.says(v));
    (vowel && closes).then(|| match spot.letters().split_once('_') {
        Some((front, e)) => format!("{front}{}{e}", r.letters()),
        None => format!("{}{}", spot.letters(), r.letters()),
    })
}

/// Whether the box ends its word and follows a short vowel in its only syllable.
fn short_close(spot: &Spot<'_>) -> bool {
    spot.last() && spot.one_syllable() && spot.after_short()
}

/// Whether the box ends a word of one syllable after anything else.
fn other_close(spot: &Spot<'_>) -> bool {
    spot.last() && spot.one_syllable() && !spot.after_short() && !spot.first()
}

/// Whether the vowel ends its word.
fn ends(spot: &Spot<'_>) -> bool {
    spot.last()
}

/// Whether one consonant box, and nothing more, follows the vowel.
fn before_last(spot: &Spot<'_>) -> bool {
    spot.beside(1).is_some_and(|next| next.last() && !next.vowel())
}

/// Whether a consonant and a vowel follow, so that the vowel ends its syllable.
fn open(spot: &Spot<'_>) -> bool {
    spot.beside(1)
        .is_some_and(|c| !c.vowel() && c.beside(1).is_some_and(|v| v.vowel()))
}

fn in_one(spot: &Spot<'_>) -> bool {
    spot.one_syllable()
}

const SOFT: &str = "eiy";

/// The three sounds of -ed on a verb that the list has without it.
fn past(spot: &Spot<'_>) -> Option<String> {
    let word = spot.known.word.strip_suffix("ed").filter(|_| spot.last())?;
    let doubled = || word.strip_suffix(|c: char| word.len() > 1 && word.as_bytes()[word.len() - 2] == c as u8);
    let known = |base: &str| spot.corpus.word(base).is_some();
    let based = known(word) || known(&format!("{word}e")) || doubled().is_some_and(known);
    let whole = spot.known.said.sounds();
    let end: Vec<&str> = whole.iter().rev().take(2).map(|s| s.arpabet()).collect();
    match (based, end.as_slice()) {
        (true, ["D", "IH" | "AH"]) => Some("id".into()),
        (true, ["T", ..]) => Some("t".into()),
        (true, ["D", ..]) => Some("d".into()),
        _ => None,
    }
}

/// The sound that ends the verb before its -ed.
fn before_ed(spot: &Spot<'_>, names: &[&str]) -> bool {
    let whole = spot.known.said.sounds();
    let vowel = whole
        .iter()
        .rev()
        .nth(1)
        .is_some_and(|s| matches!(s.arpabet(), "IH" | "AH"))
        && spot.letters() == "d";
    let at = whole.len().checked_sub(if vowel { 3 } else { 2 });
    at.and_then(|at| whole.get(at))
        .is_some_and(|s| names.contains(&s.arpabet()))
}

/// Letters with a silent one among them, by the silent letter's usual company.
fn silent(spot: &Spot<'_>) -> Option<String> {
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

/// The sound that a lone c or g has.
fn letter(spot: &Spot<'_>, letter: &str, hard: &str, soft: &str) -> Option<String> {
    let lone = spot.letters() == letter || spot.letters() == format!("{letter}e");
    (lone && (spot.says(hard) || spot.says(soft))).then(|| if spot.says(hard) { "hard".into() } else { "soft".into() })
}

/// A word in -ing and the word of the list that it is made from, with what became of its end; the commoner where there are
/// two (*write* rather than *writ*).
fn base<'c>(spot: &Spot<'c>) -> Option<(&'static str, &'c super::Known)> {
    let stem = spot
        .known
        .word
        .strip_suffix("ing")
        .filter(|stem| stem.contains(['a', 'e', 'i', 'o', 'u', 'y']))?;
    let twice = stem.bytes().rev().take(2).collect::<Vec<u8>>();
    let shorter = (stem.len() > 2 && twice[0] == twice[1]).then(|| &stem[..stem.len() - 1]);
    let with_e = format!("{stem}e");
    let made = [
        ("kept", Some(stem)),
        ("e dropped", Some(with_e.as_str())),
        ("doubled", shorter),
    ];
    let known = made
        .into_iter()
        .filter_map(|(how, base)| Some((how, spot.corpus.word(base?)?)));
    known.max_by(|a, b| a.1.zipf.total_cmp(&b.1.zipf))
}

fn doubling(spot: &Spot<'_>) -> Option<String> {
    spot.last().then(|| base(spot)).flatten().map(|(how, _)| how.to_owned())
}

/// Whether the base ends in one vowel letter and one consonant letter, not w, x or y.
fn base_closed(spot: &Spot<'_>, syllables: fn(usize) -> bool, stressed: bool) -> bool {
    base(spot).is_some_and(|(_, base)| {
        let letters: Vec<char> = base.word.chars().rev().collect();
        let vowel = |c: &char| "aeiou".contains(*c);
        let shape = letters.len() > 2 && !vowel(&letters[0]) && !"wxy".contains(letters[0]) && vowel(&letters[1]);
        let team = letters.get(2).is_some_and(vowel) && !(letters[2] == 'u' && letters.get(3) == Some(&'q'));
        let last = base.said.sounds().iter().rposition(|s| s.is_vowel());
        let stress = last.is_some_and(|at| base.said.stress()[at] == 1);
        shape && !team && syllables(base.syllables) && stress == stressed
    })
}

fn base_ends_in_e(spot: &Spot<'_>) -> bool {
    base(spot)
        .is_some_and(|(_, base)| base.word.ends_with('e') && base.said.sounds().last().is_some_and(|s| !s.is_vowel()))
}

const VOICELESS: &[&str] = &["P", "K", "F", "S", "SH", "CH", "TH"];
const VOICED: &[&str] = &[
    "B", "G", "V", "Z", "ZH", "JH", "DH", "M", "N", "NG", "L", "R", "ER", "EY", "IY", "AY", "OW", "UW", "AW", "OY",
    "AO", "AA", "AE", "AH", "EH", "IH", "UH",
];

pub(super) static ALL: &[Sort] = &[
    Sort {
        name: "k",
        title: "/k/ as c, k, ck, ch, qu or x",
        columns: &["c", "k", "ck", "ch", "qu", "x", "cc"],
        find: |s| {
            let letters = spelled(s, &["K", "K W", "K S", "K SH"])?;
            Some(if letters.starts_with('x') { "x".into() } else { letters })
        },
        rules: &[
            rule!("before e, i or y, but not right after a short vowel", "k", |s| {
                s.says("K") && s.before_letter(SOFT) && !s.after_short()
            }),
            rule!("at the start, before a, o, u or a consonant", "c", |s| s.says("K")
                && s.first()
                && !s.before_letter(SOFT)),
            rule!("at the end of one syllable, right after a short vowel", "ck", |s| s
                .says("K")
                && short_close(s)),
            rule!(
                "at the end of one syllable, after a long vowel, a team or a consonant",
                "k",
                |s| s.says("K") && other_close(s)
            ),
            rule!("at the end of a longer word, after the weak i of music", "c", |s| {
                s.says("K")
                    && s.last()
                    && !s.one_syllable()
                    && s.beside(-1).is_some_and(|b| b.letters() == "i" && !b.stressed())
            }),
            rule!("/kw/", "qu", |s| s.says("K W")),
            rule!("/ks/ in one box", "x", |s| s.says("K S")),
        ],
    },
    Sort {
        name: "j",
        title: "/j/ as j, g, ge or dge",
        columns: &["j", "g", "ge", "dge"],
        find: |s| spelled(s, &["JH"]),
        rules: &[
            rule!("at the start, before a, o or u", "j", |s| s.first()
                && s.before_letter("aou")),
            rule!("inside or at the start, before e, i or y", "g", |s| !s.last()
                && s.before_letter(SOFT)),
            rule!(
                "at the end of one syllable, right after a short vowel",
                "dge",
                short_close
            ),
            rule!("at the end of one syllable, after anything else", "ge", |s| {
                other_close(s) && s.beside(-1).is_some_and(|b| !b.letters().contains('_'))
            }),
        ],
    },
    Sort {
        name: "s",
        title: "/s/ as s, c, ss, ce or se",
        columns: &["s", "c", "ss", "ce", "se", "sc"],
        find: |s| spelled(s, &["S"]),
        rules: &[
            rule!("at the start, before a, o, u or a consonant", "s", |s| s.first()
                && !s.before_letter(SOFT)),
            rule!("at the start, before e, i or y", "s", |s| s.first()
                && s.before_letter(SOFT)),
            rule!(
                "at the end of one syllable, right after a short vowel",
                "ss",
                short_close
            ),
            rule!("at the end of one syllable, inside a split vowel (face)", "c", |s| {
                other_close(s) && s.beside(-1).is_some_and(|b| b.letters().contains('_'))
            }),
            rule!("at the end of one syllable, after n (dance)", "ce", |s| {
                other_close(s) && s.beside(-1).is_some_and(|b| b.says("N"))
            }),
        ],
    },
    Sort {
        name: "ch",
        title: "/ch/ as ch, tch or t",
        columns: &["ch", "tch", "t"],
        find: |s| spelled(s, &["CH"]),
        rules: &[
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
            rule!("before the ending -ure", "t", |s| s.known.word.ends_with("ture")
                && s.beside(1).is_some_and(|n| n.says("ER"))),
        ],
    },
    Sort {
        name: "f",
        title: "/f/ as f, ff, ph or gh",
        columns: &["f", "ff", "ph", "gh"],
        find: |s| spelled(s, &["F"]),
        rules: &[
            rule!("at the start", "f", |s| s.first()),
            rule!(
                "at the end of one syllable, right after a short vowel",
                "ff",
                short_close
            ),
        ],
    },
    Sort {
        name: "ck-k",
        title: "a short vowel before ck, dge, tch; anything else before k, ge, ch",
        columns: &["ck", "k", "dge", "ge", "tch", "ch"],
        find: |s| spelled(s, &["K", "JH", "CH"]).filter(|_| s.last() && s.one_syllable() && !s.first()),
        rules: &[
            rule!("/k/ right after a short vowel", "ck", |s| s.says("K") && short_close(s)),
            rule!("/k/ after anything else", "k", |s| s.says("K") && other_close(s)),
            rule!("/j/ right after a short vowel", "dge", |s| s.says("JH")
                && short_close(s)),
            rule!("/j/ after a team or a consonant", "ge", |s| {
                s.says("JH") && other_close(s) && s.beside(-1).is_some_and(|b| !b.letters().contains('_'))
            }),
            rule!("/ch/ right after a short vowel", "tch", |s| s.says("CH")
                && short_close(s)),
            rule!("/ch/ after anything else", "ch", |s| s.says("CH") && other_close(s)),
        ],
    },
    Sort {
        name: "double",
        title: "f, l, s and z at the end, doubled or not",
        columns: &["ff", "ll", "ss", "zz", "f", "l", "s", "z"],
        find: |s| spelled(s, &["F", "L", "S", "Z"]).filter(|_| short_close(s) && !(s.says("Z") && s.letters() == "s")),
        rules: &[
            rule!("/f/ right after a short vowel in one syllable", "ff", |s| s.says("F")),
            rule!("/l/ right after a short vowel in one syllable", "ll", |s| s.says("L")),
            rule!("/s/ right after a short vowel in one syllable", "ss", |s| s.says("S")),
            rule!("/z/ right after a short vowel in one syllable", "zz", |s| s.says("Z")),
        ],
    },
    Sort {
        name: "ed",
        title: "the ending -ed: /t/, /d/ or a syllable of its own",
        columns: &["t", "d", "id"],
        find: past,
        rules: &[
            rule!("after t or d", "id", |s| before_ed(s, &["T", "D"])),
            rule!("after a sound without voice", "t", |s| before_ed(s, VOICELESS)),
            rule!("after any other sound", "d", |s| before_ed(s, VOICED)),
        ],
    },
    Sort {
        name: "doubling",
        title: "-ing: last letter doubled, kept, or e dropped",
        columns: &["doubled", "kept", "e dropped"],
        find: doubling,
        rules: &[
            rule!(
                "one syllable ending in one vowel letter and one consonant letter",
                "doubled",
                |s| base_closed(s, |n| n == 1, true)
            ),
            rule!("longer, so ending, last syllable stressed (begin)", "doubled", |s| {
                base_closed(s, |n| n > 1, true)
            }),
            rule!("longer, so ending, last syllable weak (open)", "kept", |s| base_closed(
                s,
                |n| n > 1,
                false
            )),
            rule!("ending in a silent e", "e dropped", base_ends_in_e),
        ],
    },
    Sort {
        name: "long-a",
        title: "long a as a, a_e, ai, ay",
        columns: &["a", "a_e", "ai", "ay", "ea", "ei", "eigh", "ey"],
        find: |s| spelled(s, &["EY"]),
        rules: &[
            rule!("at the end of the word", "ay", ends),
            rule!("one syllable, before its last consonant", "a_e", |s| in_one(s)
                && before_last(s)),
            rule!("before a consonant and a vowel, in a longer word", "a", open),
        ],
    },
    Sort {
        name: "long-e",
        title: "long e as e, ee, ea, e_e, ie, y",
        columns: &["e", "ee", "ea", "e_e", "ie", "y", "ey", "i"],
        find: |s| spelled(s, &["IY"]),
        rules: &[
            rule!("at the end of a longer word, weak", "y", |s| ends(s)
                && !in_one(s)
                && !s.stressed()),
            rule!("at the end of one syllable", "ee", |s| ends(s) && in_one(s)),
            rule!("one syllable, before its last consonant", "ea", |s| in_one(s)
                && before_last(s)),
        ],
    },
    Sort {
        name: "long-i",
        title: "long i as i, i_e, igh, y",
        columns: &["i", "i_e", "igh", "y", "ie", "y_e"],
        find: |s| spelled(s, &["AY"]),
        rules: &[
            rule!("at the end of the word", "y", ends),
            rule!("one syllable, before its last consonant", "i_e", |s| in_one(s)
                && before_last(s)),
            rule!("before t at the end of one syllable", "igh", |s| in_one(s)
                && before_last(s)
                && s.beside(1).is_some_and(|n| n.says("T"))),
            rule!("before a consonant and a vowel, in a longer word", "i", open),
        ],
    },
    Sort {
        name: "long-o",
        title: "long o as o, o_e, oa, ow",
        columns: &["o", "o_e", "oa", "ow", "oe"],
        find: |s| spelled(s, &["OW"]),
        rules: &[
            rule!("at the end of the word", "ow", ends),
            rule!("one syllable, before its last consonant", "o_e", |s| in_one(s)
                && before_last(s)),
            rule!("before a consonant and a vowel, in a longer word", "o", open),
        ],
    },
    Sort {
        name: "long-u",
        title: "long u and oo as u, u_e, oo, ew, ue, ou",
        columns: &["u", "u_e", "oo", "ew", "ue", "ou", "o", "ui"],
        find: |s| spelled(s, &["UW", "Y UW"]),
        rules: &[
            rule!("at the end of the word", "ew", ends),
            rule!("one syllable, before its last consonant", "oo", |s| in_one(s)
                && before_last(s)),
            rule!("before a consonant and a vowel, in a longer word", "u", open),
        ],
    },
    Sort {
        name: "er",
        title: "the vowel of bird as er, ir, ur, or, ear",
        columns: &["er", "ir", "ur", "or", "ear", "ar"],
        find: |s| spelled(s, &["ER"]),
        rules: &[
            rule!("weak, at the end of a longer word", "er", |s| ends(s) && !s.stressed()),
            rule!("stressed, after w", "or", |s| s.stressed()
                && s.beside(-1).is_some_and(|b| b.letters() == "w")),
        ],
    },
    Sort {
        name: "r-vowels",
        title: "vowels before r: ar, or, air, ear",
        columns: &[
            "ar", "or", "ore", "oar", "our", "air", "are", "ear", "eer", "ere", "oor",
        ],
        find: |s| with_r(s, &["AA", "AO", "EH", "IH", "IY", "UH"]),
        rules: &[
            rule!("/ar/ as in car", "ar", |s| s.says("AA")),
            rule!("/or/ as in corn, before a consonant", "or", |s| s.says("AO")
                && s.beside(2).is_some()),
            rule!("/air/ at the end", "are", |s| s.says("EH") && s.beside(2).is_none()),
            rule!("/ear/ at the end", "ear", |s| (s.says("IH") || s.says("IY"))
                && s.beside(2).is_none()),
        ],
    },
    Sort {
        name: "soft-c",
        title: "the letter c, hard or soft",
        columns: &["hard", "soft"],
        find: |s| letter(s, "c", "K", "S"),
        rules: &[
            rule!("before e, i or y", "soft", |s| s.letters() == "ce"
                || s.before_letter(SOFT)),
            rule!("before any other letter, or at the end", "hard", |s| s.letters() == "c"
                && !s.before_letter(SOFT)),
        ],
    },
    Sort {
        name: "soft-g",
        title: "the letter g, hard or soft",
        columns: &["hard", "soft"],
        find: |s| letter(s, "g", "G", "JH"),
        rules: &[
            rule!("before e, i or y", "soft", |s| s.letters() == "ge"
                || s.before_letter(SOFT)),
            rule!("before any other letter, or at the end", "hard", |s| s.letters() == "g"
                && !s.before_letter(SOFT)),
        ],
    },
    Sort {
        name: "silent",
        title: "silent letters by their company",
        columns: &[
            "kn", "wr", "gn", "mb", "mn", "st", "sc", "wh", "gh", "rh", "ps", "bt", "l", "-gh",
        ],
        find: silent,
        rules: &[],
    },
];
