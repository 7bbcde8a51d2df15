//! Word ends that are said alike and written apart.

use super::*;
use crate::lexicon;
use crate::parts::Ending;

pub(super) fn sorts() -> Vec<Sort> {
    vec![
        le_el_al(),
        er_or_ar(),
        shun(),
        able_ible(),
        ant_ent(),
        ance_ence(),
        ce_se(),
    ]
}

/// The letters of a weak vowel and the l that ends the word; le as one.
fn weak_l(s: &BoxSpot<'_>) -> Option<String> {
    if !s.last() || s.one_syllable() {
        return None;
    }
    if s.letters() == "le" && s.sounds().len() == 2 {
        return Some("le".into());
    }
    if s.known.word.ends_with("ful") {
        return None;
    }
    let vowel = s
        .beside(-1)
        .filter(|b| b.vowel() && !b.stressed() && b.sounds().len() == 1 && b.letters().len() == 1)?;
    (s.says("L") && s.letters() == "l" && vowel.says_any(&["AH", "IH"])).then(|| format!("{}l", vowel.letters()))
}

/// The box before the weak vowel of an ending.
fn stem_box<'c>(s: &BoxSpot<'c>) -> Option<BoxSpot<'c>> {
    s.beside(if s.sounds().len() == 2 { -1 } else { -2 })
}

fn le_el_al() -> Sort {
    places!(
        "le-el-al",
        "weak /l/ at the end: le, el, al, il",
        &["le", "el", "al", "il", "ol"],
        weak_l,
        &[
            rule!("with the ending -al (national)", "al", |s| s
                .known
                .apart
                .pieces
                .last()
                .is_some_and(|p| p.text.ends_with("al"))),
            rule!("after b, d, f, hard g, k, p, t or z", "le", |s| {
                stem_box(s).is_some_and(|b| b.says_any(&["B", "D", "F", "G", "K", "P", "T", "Z"]))
            }),
            choice!("after m, n, r, v, w, s or soft c and g", |_| true),
        ]
    )
}

/// Whether the ending makes one who does it: -er and -or, and the -ar of three words (*familiar*, *polar* are none).
fn does_it(s: &BoxSpot<'_>, ending: &Ending) -> bool {
    ["er", "or"].contains(&ending.form) || ["beggar", "liar", "burglar"].contains(&s.known.word.as_str())
}

fn er_or_ar() -> Sort {
    places!(
        "er-or-ar",
        "weak /er/ at the end: er, or, ar",
        &["er", "or", "ar", "ure"],
        |s| (s.last() && !s.one_syllable() && !s.stressed())
            .then(|| spelled(s, &["ER"]))
            .flatten()
            .filter(|_| !s.tail_of_fire()),
        &[
            rule!("one who does it, after -ate or -ct (creator, actor)", "or", |s| {
                s.base()
                    .is_some_and(|(e, b)| does_it(s, e) && (b.word.ends_with("ate") || b.word.ends_with("ct")))
            }),
            rule!("one who does it, after any other word (teacher)", "er", |s| s
                .base()
                .is_some_and(|(e, _)| does_it(s, e))),
            choice!("anywhere else", |_| true),
        ],
    )
}

/// The letters of /shun/ or /zhun/ from the box of its first sound.
fn shun_letters(s: &BoxSpot<'_>) -> Option<String> {
    let (vowel, n) = (s.beside(1)?, s.beside(2)?);
    let said = s.says_any(&["SH", "ZH"]) && vowel.says_any(&["AH", "IH"]) && n.letters() == "n" && n.ends();
    (said && s.letters() != "sh").then(|| format!("{}{}n", s.letters(), vowel.letters()))
}

/// Whether the part before the ending ends so.
fn made_from(s: &BoxSpot<'_>, ends: &[&str]) -> bool {
    let pieces = &s.known.apart.pieces;
    let before = pieces
        .iter()
        .rposition(|p| p.text.ends_with("ion") || p.text == "ian")
        .and_then(|at| at.checked_sub(1));
    before.is_some_and(|at| ends.iter().any(|end| pieces[at].text.ends_with(end)))
}

/// Fewest letters before the ending from which a likeness to a word in -d, -de or -se is no chance: *expan* and *expand*, but
/// not *men* and *mend*, *mo* and *mode*.
const STEM: usize = 4;

/// Whether a word in -d, -de, -se or -vert makes this one: *expand*, *conclude*, *confuse*, *convert*.
fn from_sion_word(s: &BoxSpot<'_>) -> bool {
    let first = s.known.boxes[..s.at].iter().map(|b| b.letters.len()).sum::<usize>();
    let Some(stem) = s.known.word.get(..first).filter(|stem| stem.len() >= STEM) else {
        return false;
    };
    let ends: &[&str] = if stem.ends_with("ver") {
        &["t"]
    } else {
        &["d", "de", "se"]
    };
    ends.iter()
        .any(|end| lexicon::look_up(&format!("{stem}{end}")).is_some())
}

/// Whether it is made of the base *mit*, which is *miss* in its nouns.
fn made_of_mit(s: &BoxSpot<'_>) -> bool {
    s.known.apart.pieces.iter().any(|p| p.text == "mit" || p.text == "miss")
}

fn shun() -> Sort {
    places!(
        "shun",
        "/shun/ at the end: tion, sion, ssion, cian",
        &["tion", "sion", "ssion", "cian", "cion", "cean", "tian"],
        shun_letters,
        &[
            rule!("/zhun/ (vision)", "sion", |s| s.says("ZH")),
            rule!("one who works at it (musician)", "cian", |s| s
                .known
                .word
                .contains("ician")),
            rule!("from a word or base in -ss or -mit", "ssion", |s| made_from(s, &["ss"])
                || made_of_mit(s)),
            rule!("from a word in -d, -de, -se or -vert (expand)", "sion", from_sion_word),
            choice!("after l, n or r, from no such word", |s| after(
                s,
                &["N", "L", "R", "ER"]
            ) && !made_from(
                s,
                &["t", "te"]
            )),
            rule!("anywhere else", "tion", |_| true),
        ],
    )
}

fn able_ible() -> Sort {
    places!(
        "able-ible",
        "-able or -ible",
        &["able", "ible"],
        |s| {
            let (b, le) = (s.beside(1)?, s.beside(2)?);
            let here = le.last() && b.letters() == "b" && le.letters().starts_with("le") && !s.stressed() && !s.first();
            (here && ["a", "i"].contains(&s.letters()) && s.says_any(&["AH", "IH"]))
                .then(|| format!("{}ble", s.letters()))
        },
        &[
            rule!("joins a word that stands alone (washable)", "able", |s| {
                s.known.ending.as_ref().is_some_and(|e| e.form.ends_with("ble"))
            }),
            choice!("joins a base that does not stand alone (possible)", |_| true),
        ]
    )
}

/// A weak a or e before the letters that end the word.
fn weak_nt(s: &BoxSpot<'_>, end: &[&str], whole: &str) -> Option<String> {
    let boxes: Vec<&str> = (1..=end.len() as isize)
        .map_while(|by| s.beside(by))
        .map(|b| b.letters())
        .collect();
    let here = boxes == end && s.beside(end.len() as isize).is_some_and(|b| b.last());
    let weak = !s.stressed() && s.vowel() && !s.first() && ["a", "e"].contains(&s.letters());
    (here && weak).then(|| format!("{}{whole}", s.letters()))
}

fn ant_ent() -> Sort {
    places!(
        "ant-ent",
        "-ant or -ent",
        &["ant", "ent"],
        |s| weak_nt(s, &["n", "t"], "nt"),
        &[
            rule!("after soft c or g", "ent", |s| s.beside(-1).is_some_and(|b| soft(&b))),
            choice!("after anything else", |_| true),
        ]
    )
}

fn ance_ence() -> Sort {
    places!(
        "ance-ence",
        "-ance or -ence",
        &["ance", "ence"],
        |s| weak_nt(s, &["n", "ce"], "nce"),
        &[
            rule!("after soft c or g", "ence", |s| s.beside(-1).is_some_and(|b| soft(&b))),
            choice!("after anything else", |_| true),
        ]
    )
}

fn soft(b: &BoxSpot<'_>) -> bool {
    (b.letters().ends_with('c') && b.says("S")) || (b.letters().ends_with('g') && b.says("JH"))
}

fn ce_se() -> Sort {
    places!(
        "ce-se-ge",
        "an e that ends a word after c, s or g: ce, se, ge",
        &["ce", "se", "ge"],
        |s| {
            let found = spelled(s, &["S", "JH", "Z"])?;
            (s.last() && found.ends_with('e') && found.len() == 2 && found != "ze").then_some(found)
        },
        &[
            rule!("/j/", "ge", |s| s.says("JH")),
            rule!("/z/", "se", |s| s.says("Z")),
            rule!("/s/ after a long vowel with an e (face)", "ce", |s| s.in_split()),
            rule!("/s/ after n", "ce", |s| after(s, &["N"])),
            choice!("/s/ after anything else", |_| true),
        ]
    )
}
