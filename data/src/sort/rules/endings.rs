//! What a word does before an ending: these sorts are of the longer words.

use super::*;
use crate::parts::{Ending, Join};
use crate::sort::{CorpusWord, SortSource};

/// A sort of words by the ending that they were made with.
macro_rules! forms {
    ($name:literal, $title:literal, $columns:expr, $find:expr, $rules:expr $(,)?) => {
        Sort {
            name: $name,
            title: $title,
            columns: $columns,
            source: SortSource::Forms($find),
            rules: $rules,
        }
    };
}

pub(super) fn sorts() -> Vec<Sort> {
    vec![ed(), doubling(), e_drop(), y_to_i(), s_es(), ves()]
}

/// The ending and base, where the spot is the word's last box.
fn made<'c>(s: &BoxSpot<'c>) -> Option<(&'c Ending, &'c CorpusWord)> {
    s.last().then(|| s.base()).flatten()
}

fn base_ends(s: &BoxSpot<'_>, ends: &[&str]) -> bool {
    made(s).is_some_and(|(_, base)| ends.iter().any(|end| base.word.ends_with(end)))
}

/// Whether the sound before -ed is one of these, as it is said in this word (*used*, not the noun *use*).
fn before_ed(s: &BoxSpot<'_>, names: &[&str]) -> bool {
    let mut back = s
        .known
        .said
        .sounds()
        .iter()
        .rev()
        .skip(1)
        .map(|x| x.arpabet())
        .peekable();
    back.next_if(|name| ["IH", "AH"].contains(name));
    back.next().is_some_and(|name| names.contains(&name))
}

const VOICELESS: &[&str] = &["P", "K", "F", "S", "SH", "CH", "TH"];

fn ed() -> Sort {
    forms!(
        "ed",
        "the ending -ed: /t/, /d/ or a syllable of its own",
        &["t", "d", "id"],
        |s| {
            // Said and paid are no words in -ed.
            made(s).filter(|(ending, _)| ending.form == "ed" && s.known.word.ends_with("ed"))?;
            let end: Vec<&str> = s
                .known
                .said
                .sounds()
                .iter()
                .rev()
                .take(2)
                .map(|x| x.arpabet())
                .collect();
            match end.as_slice() {
                ["D", "IH" | "AH"] => Some("id".into()),
                ["T", ..] => Some("t".into()),
                ["D", ..] => Some("d".into()),
                _ => None,
            }
        },
        &[
            rule!("after t or d", "id", |s| before_ed(s, &["T", "D"])),
            rule!("after a sound without voice", "t", |s| before_ed(s, VOICELESS)),
            rule!("after any other sound", "d", |_| true),
        ]
    )
}

/// Endings before which a last letter may double.
const DOUBLING: [&str; 5] = ["ing", "ed", "er", "est", "y"];

fn doubling() -> Sort {
    forms!(
        "doubling",
        "before -ing, -ed, -er, -est: letter doubled, kept, or e dropped",
        &["doubled", "kept", "e dropped"],
        |s| {
            let (ending, base) = made(s).filter(|(ending, _)| DOUBLING.contains(&ending.form))?;
            let consonant = !base.word.ends_with(['a', 'e', 'i', 'o', 'u']);
            match ending.join {
                Join::Doubles => Some("doubled".into()),
                Join::DropsE => Some("e dropped".into()),
                Join::Plain if consonant => Some("kept".into()),
                _ => None,
            }
        },
        &[
            rule!("ending in a silent e", "e dropped", |s| base_ends(s, &["e"])),
            rule!(
                "one syllable ending in one vowel letter and one consonant letter",
                "doubled",
                |s| closed(s, |n| n == 1, true)
            ),
            rule!("longer, so ending, last syllable stressed (begin)", "doubled", |s| {
                closed(s, |n| n > 1, true)
            }),
            rule!("longer, so ending, last syllable weak (open)", "kept", |s| closed(
                s,
                |n| n > 1,
                false
            )),
            rule!(
                "ending in two consonants, or one after a team, or in w, x or y",
                "kept",
                |_| true
            ),
        ],
    )
}

/// Whether the base ends in one vowel letter and one consonant letter, not w, x or y.
fn closed(spot: &BoxSpot<'_>, syllables: fn(usize) -> bool, stressed: bool) -> bool {
    made(spot).is_some_and(|(_, base)| {
        let letters: Vec<char> = base.word.chars().rev().collect();
        let vowel = |c: &char| "aeiouy".contains(*c);
        let shape = letters.len() > 1 && !vowel(&letters[0]) && !"wxy".contains(letters[0]) && vowel(&letters[1]);
        let team = letters.get(2).is_some_and(vowel) && !(letters[2] == 'u' && letters.get(3) == Some(&'q'));
        let last = base.said.sounds().iter().rposition(|s| s.is_vowel());
        let stress = last.is_some_and(|at| base.said.stress()[at] == 1);
        shape && !team && syllables(base.syllables) && stress == stressed
    })
}

/// Whether the base ends in a silent e: after a consonant sound, or after u.
fn silent_e(base: &CorpusWord) -> bool {
    let closed = base.said.sounds().last().is_some_and(|s| !s.is_vowel()) || base.word.ends_with("ue");
    base.word.ends_with('e') && closed && !["ee", "oe", "ye", "ie"].iter().any(|end| base.word.ends_with(end))
}

fn before_vowel(s: &BoxSpot<'_>) -> bool {
    made(s).is_some_and(|(ending, _)| ending.form.starts_with(['a', 'e', 'i', 'o', 'u', 'y']))
}

fn e_drop() -> Sort {
    forms!(
        "e-drop",
        "a silent e before an ending: dropped or kept",
        &["dropped", "kept"],
        |s| {
            let (ending, base) = made(s)?;
            let here = silent_e(base) && !["s", "es"].contains(&ending.form);
            match ending.join {
                Join::DropsE | Join::DropsEnd if here => Some("dropped".into()),
                Join::Plain if here => Some("kept".into()),
                _ => None,
            }
        },
        &[
            rule!("after soft c or g, before a or o (noticeable)", "kept", |s| {
                base_ends(s, &["ce", "ge"]) && made(s).is_some_and(|(e, _)| e.form.starts_with(['a', 'o']))
            }),
            rule!(
                "before an ending that begins with a vowel or y",
                "dropped",
                before_vowel
            ),
            rule!("le before -ly", "dropped", |s| base_ends(s, &["le"])
                && made(s).is_some_and(|(e, _)| e.form == "ly")),
            rule!("before an ending that begins with a consonant", "kept", |_| true),
        ]
    )
}

/// Whether the base ends in a vowel letter and y.
fn vowel_y(s: &BoxSpot<'_>) -> bool {
    base_ends(s, &["ay", "ey", "oy", "uy"])
}

fn y_to_i() -> Sort {
    forms!(
        "y-to-i",
        "a last y before an ending: changed to i or kept",
        &["i", "kept"],
        |s| {
            let (ending, base) = made(s)?;
            match ending.join {
                Join::YToI => Some("i".into()),
                Join::Plain if base.word.ends_with('y') => Some("kept".into()),
                _ => None,
            }
        },
        &[
            rule!("after a vowel letter", "kept", vowel_y),
            rule!("after a consonant, before an ending that begins with i", "kept", |s| {
                made(s).is_some_and(|(e, _)| e.form.starts_with('i'))
            }),
            rule!("after a consonant, before any other ending", "i", |_| true),
        ]
    )
}

const HISSING: &[&str] = &["s", "x", "z", "ch", "sh"];

fn s_es() -> Sort {
    forms!(
        "s-es",
        "the ending -s: s, es or ies",
        &["s", "es", "ies"],
        |s| {
            let (ending, _) = made(s).filter(|(ending, _)| ["s", "es"].contains(&ending.form))?;
            Some(match (ending.form, ending.join) {
                (_, Join::YToI) => "ies".into(),
                (_, Join::FToV) => "ves".into(),
                (form, _) => form.into(),
            })
        },
        &[
            rule!("after s, x, z, ch or sh", "es", |s| base_ends(s, HISSING)),
            rule!("after a consonant and y", "ies", |s| base_ends(s, &["y"])
                && !vowel_y(s)),
            choice!("after a consonant and o", |s| base_ends(s, &["o"])
                && !base_ends(s, &["ao", "eo", "io", "oo", "uo"])),
            choice!("after f or fe", |s| base_ends(s, &["f", "fe"])),
            rule!("after anything else", "s", |_| true),
        ]
    )
}

/// Words in f or fe that change to ves, as they stand before it: a closed set (common practice, no source).
///
/// By a list, since leaves may be made from leave, and saves is not made from safe.
fn in_ves(stem: &str) -> bool {
    const STEMS: [&str; 18] = [
        "cal", "dwar", "el", "hal", "hoo", "kni", "lea", "li", "loa", "scar", "sel", "shea", "shel", "thie", "whar",
        "wi", "wol", "sta",
    ];
    STEMS.iter().any(|one| {
        stem == *one || (stem.len() > 4 && stem.ends_with("sel")) || (stem.len() > 5 && stem.ends_with("li"))
    })
}

fn ves() -> Sort {
    forms!(
        "ves",
        "f or fe before -s: ves or fs",
        &["ves", "fs"],
        |s| {
            if let Some(stem) = s.known.word.strip_suffix("ves").filter(|_| s.last()) {
                return in_ves(stem).then(|| "ves".into());
            }
            let (_, base) = made(s).filter(|(ending, _)| ending.form == "s")?;
            (base.word.ends_with('f') || base.word.ends_with("fe")).then(|| "fs".into())
        },
        &[
            rule!("after ff", "fs", |s| s.known.word.ends_with("ffs")),
            choice!("after f or fe", |_| true),
        ]
    )
}
