//! Where a word's parts meet: openings, endings, and the words of a compound.
//!
//! A part is taken off only if what is left is a word of the dictionary, and said alone as it is inside the whole word.
//! By letters alone, *corner* would be *corn*-er. The few that pass by chance (*party* is no part-y) are named in
//! `data/tables/whole.txt`, with those whose base a child no longer sees (*im-por-tant*).

use std::collections::HashSet;
use std::sync::LazyLock;

use crate::Sound;
use crate::lexicon;

/// A place in a word where a part begins.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Seam {
    /// The first sound of the later part.
    pub at: usize,
    /// The first letter (a to z, from 0) of the later part, where the join changed no letter before it.
    pub letter: Option<usize>,
    /// Whether both parts are beats; a plain -s or -ed is none.
    pub beat: bool,
    /// Whether the earlier part ends with a doubled letter of its own, which stays whole: *sell-ing*, not *sel-ling*.
    pub whole_double: bool,
}

/// Least Zipf value of what is left when an opening or ending is taken off: rarer words are mostly names.
const BASE_ZIPF: f32 = 2.8;
/// Least Zipf value and letters of each word of a compound.
const COMPOUND_ZIPF: f32 = 3.3;
const COMPOUND_LETTERS: usize = 3;
/// How many parts are taken off one after the other; *un-law-ful-ness-es* has five.
const DEEPEST: usize = 5;

/// Endings that are a beat of their own, with what they sound like (choices after a comma). A vowel letter begins those that
/// make a base drop its e, double its last letter or turn y into i.
const ENDINGS: &[(&str, &str)] = &[
    ("ing", "IH NG"),
    ("ery", "ER IY"),
    ("er", "ER"),
    ("est", "AH S T,IH S T,EH S T"),
    ("en", "AH N,IH N"),
    ("y", "IY,AH"),
    ("ish", "IH SH"),
    ("able", "AH B AH L"),
    ("ist", "AH S T,IH S T"),
    ("or", "ER"),
    ("ous", "AH S"),
    ("al", "AH L"),
    ("age", "AH JH,IH JH"),
    ("ance", "AH N S"),
    ("ence", "AH N S"),
    ("ess", "AH S,IH S,EH S"),
    ("ize", "AY Z"),
    ("ism", "IH Z AH M"),
    ("ade", "EY D"),
    ("ly", "L IY"),
    ("ful", "F AH L"),
    ("less", "L AH S,L IH S"),
    ("ness", "N AH S,N IH S"),
    ("ment", "M AH N T"),
    ("ship", "SH IH P"),
    ("hood", "HH UH D"),
    ("ward", "W ER D"),
    ("some", "S AH M"),
    ("dom", "D AH M"),
    ("ling", "L IH NG"),
    ("teen", "T IY N"),
    ("ty", "T IY"),
];
/// Endings that join a whole word only: after a dropped e the sounds decide (*fa-mous*, *cre-a-tor*).
const NEEDS_WHOLE: &[&str] = &["or", "ous", "al", "age", "ance", "ence", "ess", "ist", "ism", "ade"];
/// Endings that are no beat, or one after a hiss or after t and d: s, es and ed.
const INFLECTIONS: &[(&str, &str)] = &[
    ("es", "IH Z,AH Z,Z"),
    ("s", "S,Z,IH Z,AH Z"),
    ("'s", "S,Z,IH Z,AH Z"),
    ("ed", "IH D,AH D,T,D"),
    ("d", "IH D,AH D,T,D"),
];
/// Openings, with what they sound like.
const OPENINGS: &[(&str, &str)] = &[
    ("un", "AH N"),
    ("dis", "D IH S"),
    ("mis", "M IH S"),
    ("re", "R IY,R IH,R AH"),
    ("pre", "P R IY,P R IH"),
    ("non", "N AA N"),
    ("in", "IH N"),
    ("im", "IH M"),
    ("en", "EH N,IH N"),
    ("em", "EH M,IH M"),
    ("sub", "S AH B"),
    ("trans", "T R AE N S,T R AE N Z"),
    ("inter", "IH N T ER,IH N ER"),
    ("super", "S UW P ER"),
    ("anti", "AE N T IY,AE N T AY,AE N T IH"),
    ("fore", "F AO R"),
    ("mid", "M IH D"),
    ("up", "AH P"),
    ("an", "AH N"),
];
/// Openings that are taken off before a compound is looked for: *mis-trust* is no mist and rust.
const SURE: &[&str] = &["un", "dis", "mis"];
/// Openings that part from any consonant after them, word or not: *dis-turb*, *trans-fer*.
const BEFORE_CONSONANTS: &[&str] = &["dis", "mis", "trans"];
/// Greek parts that stand last and begin a beat, whatever is before them.
const TAILS: &[(&str, &str)] = &[("scope", "S K OW P"), ("sphere", "S F IH R")];
/// Words of two letters that stand in compounds.
const SHORT_WORDS: &[&str] = &["up", "on", "in", "it", "by", "to", "be"];
/// Words that seldom are the second word of a compound, but often its last letters by chance: *land-scape*, *your-self*.
const NOT_SECOND: &[&str] = &[
    "ate", "cape", "capes", "elf", "elves", "rust", "ion", "ton", "son", "ron", "lin", "ling",
];
/// Doubled letters with which a word may end by itself; the others come from doubling before an ending.
const DOUBLES: &[&str] = &["ll", "ss", "ff", "zz"];
/// Words that end with another doubled letter.
const DOUBLED_WORDS: &[&str] = &["add", "odd", "egg", "err", "purr", "ebb"];
/// Words in whose comparison a g is heard: *long-er*.
const HEARD_G: &[&str] = &["long", "strong", "young"];

/// Words that only look like sums of parts.
static WHOLE: LazyLock<HashSet<&'static str>> = LazyLock::new(|| {
    let lines = include_str!("../tables/whole.txt").lines();
    lines
        .filter(|line| !line.starts_with('#'))
        .flat_map(str::split_whitespace)
        .collect()
});

/// Where the parts of `word` (small letters), said as `sounds`, meet; in no order.
pub(crate) fn seams(word: &str, sounds: &[Sound]) -> Vec<Seam> {
    let mut found = Vec::new();
    take_apart(word, sounds, (0, 0), DEEPEST, &mut found);
    found
}

/// Adds the seams of `word`, whose letters and sounds begin at `from` in the whole.
fn take_apart(word: &str, sounds: &[Sound], from: (usize, usize), depth: usize, found: &mut Vec<Seam>) {
    if depth == 0 || sounds.is_empty() || WHOLE.contains(word) {
        return;
    }
    let Some(split) = inflection(word, sounds)
        .or_else(|| opening(word, sounds, SURE))
        .or_else(|| ending(word, sounds))
        .or_else(|| compound(word, sounds))
        .or_else(|| opening(word, sounds, &[]))
        .or_else(|| tail(word, sounds))
    else {
        return;
    };
    let letters = |text: &str| text.bytes().filter(u8::is_ascii_lowercase).count();
    let later = (from.0 + letters(&split.front), from.1 + split.at);
    found.push(Seam {
        at: later.1,
        letter: split.clean.then_some(later.0),
        beat: split.beat,
        whole_double: split.whole_double,
    });
    let (front, back) = sounds.split_at(split.at);
    take_apart(&split.front, front, from, depth - 1, found);
    take_apart(&split.back, back, later, depth - 1, found);
}

/// One word as two.
struct WordSplit {
    front: String,
    back: String,
    /// The first sound of the later one.
    at: usize,
    /// Whether both have a vowel, so that they are beats.
    beat: bool,
    whole_double: bool,
    /// Whether the join changed no letter of the earlier one.
    clean: bool,
}

/// The sounds that a table writes, choices parted by commas.
fn choices(text: &str) -> impl Iterator<Item = Vec<Sound>> {
    text.split(',')
        .map(|one| one.split(' ').filter_map(|name| name.parse().ok()).collect())
}

/// How many sounds at the end of `sounds` the ending takes; all ways.
fn at_end(sounds: &[Sound], said: &str) -> Vec<usize> {
    let fits = choices(said)
        .filter(|end| sounds.ends_with(end))
        .map(|end| sounds.len() - end.len());
    fits.filter(|&at| at > 0).collect()
}

/// The word without -s, -es, -ed and its like.
fn inflection(word: &str, sounds: &[Sound]) -> Option<WordSplit> {
    INFLECTIONS.iter().find_map(|(letters, said)| {
        let stem = word
            .strip_suffix(letters)
            .filter(|stem| stem.len() > 1 && !stem.ends_with('s') | (*letters == "es"))?;
        at_end(sounds, said).into_iter().find_map(|at| {
            let beat = sounds[at..].iter().any(|s| s.is_vowel());
            let base = base(stem, letters, &sounds[..at], false)?;
            Some(WordSplit {
                whole_double: ends_doubled(&base),
                clean: base == stem,
                front: base,
                back: String::new(),
                at,
                beat,
            })
        })
    })
}

/// The word without its last ending, the ending parted off.
fn ending(word: &str, sounds: &[Sound]) -> Option<WordSplit> {
    ENDINGS.iter().find_map(|(letters, said)| {
        let stem = word.strip_suffix(letters).filter(|stem| stem.len() > 1)?;
        if keeps_to_sounds(stem, letters) {
            return None;
        }
        // Handling is from handle: it has no hand and -ling.
        if *letters == "ling" && is_word(&format!("{stem}le"), BASE_ZIPF) {
            return None;
        }
        let whole = NEEDS_WHOLE.contains(letters);
        at_end(sounds, said).into_iter().find_map(|at| {
            let base = base(stem, letters, &sounds[..at], whole)?;
            Some(WordSplit {
                whole_double: ends_doubled(&base),
                clean: base == stem,
                front: base,
                back: String::new(),
                at,
                beat: sounds[..at].iter().any(|s| s.is_vowel()),
            })
        })
    })
}

/// Whether what stands before an ending makes another of it, which the sounds divide: -ical (*mu-si-cal*), -ory and -ury
/// (*fac-to-ry*), -ity (*u-ni-ty*), -ency and -ancy, -tance and -tence (*as-sis-tance*).
fn keeps_to_sounds(stem: &str, letters: &str) -> bool {
    let before: &[&str] = match letters {
        "al" => &["ic"],
        "y" => &["or", "ur", "it", "enc", "anc"],
        "ance" | "ence" => &["t"],
        _ => &[],
    };
    // Words of one beat keep their ending: *fruit-y*, *short-y*.
    let beats = stem.bytes().filter(|b| b"aeiouy".contains(b)).count();
    before.iter().any(|end| stem.ends_with(end)) && (beats > 1 || letters != "y") && stem != "fruit"
}

/// The dictionary's word that `stem` is before the ending `letters`, if it is said as `sounds`.
fn base(stem: &str, letters: &str, sounds: &[Sound], whole: bool) -> Option<String> {
    let vowel_ending = letters.starts_with(['a', 'e', 'i', 'o', 'u', 'y']);
    let mut forms = vec![stem.to_owned()];
    if !whole && (vowel_ending || letters == "d") {
        forms.push(format!("{stem}e"));
    }
    if vowel_ending && is_doubled(stem) {
        forms.push(stem[..stem.len() - 1].to_owned());
    }
    if let Some(front) = stem.strip_suffix('i') {
        forms.push(format!("{front}y"));
    }
    // As it stands, a stem keeps to the doubling rule: *hop* makes *hopping*, so *hoping* does not hold it.
    let breaks_doubling = |form: &str| would_double(form) || (is_doubled(form) && !ends_doubled(form));
    let fits = |form: &String| !(vowel_ending && form == stem && breaks_doubling(form));
    forms
        .into_iter()
        .find(|form| fits(form) && is_word(form, BASE_ZIPF) && is_said(form, sounds))
}

/// Whether the last two letters are one consonant letter twice.
fn is_doubled(text: &str) -> bool {
    matches!(text.as_bytes(), [.., a, b] if a == b && !b"aeiou".contains(a))
}

/// Whether a word ends with a doubled letter of its own.
fn ends_doubled(word: &str) -> bool {
    DOUBLED_WORDS.contains(&word) || DOUBLES.iter().any(|pair| word.ends_with(pair))
}

/// Whether a word of one beat would double its last letter before a vowel: one vowel letter, one consonant letter at the end.
fn would_double(word: &str) -> bool {
    let vowel = |b: &u8| b"aeiouy".contains(b);
    let bytes = word.as_bytes();
    let closed = matches!(bytes, [.., a, b, c] if !vowel(a) && vowel(b) && !vowel(c) && !b"wxh".contains(c))
        || matches!(bytes, [b, c] if vowel(b) && !vowel(c));
    closed && bytes.windows(2).filter(|two| vowel(&two[0]) && !vowel(&two[1])).count() == 1
}

/// Whether the dictionary has `word`, at least so common.
fn is_word(word: &str, least: f32) -> bool {
    word.len() > 1 && lexicon::look_up(word).is_some_and(|entry| entry.zipf() >= least)
}

/// Whether one of the dictionary's ways of saying `word` is `sounds`, weak vowels aside.
fn is_said(word: &str, sounds: &[Sound]) -> bool {
    let heard_g = HEARD_G.contains(&word) && sounds.last() == Some(&Sound::G);
    let sounds = if heard_g { &sounds[..sounds.len() - 1] } else { sounds };
    lexicon::look_up(word).is_some_and(|entry| entry.variants().any(|said| alike(said.sounds(), sounds)))
}

/// Whether two rows of sounds are one but for what the dictionary itself wavers in: weak AH and IH, AA and AO, IY and IH, a first EH and IH (*express*),
/// the last consonant's voice (*house*, *hous-es*), and a last y (*easy*, *eas-i-ly*).
fn alike(a: &[Sound], b: &[Sound]) -> bool {
    const WAVERS: [(Sound, Sound); 3] = [(Sound::AH, Sound::IH), (Sound::AA, Sound::AO), (Sound::IY, Sound::IH)];
    const LAST: [(Sound, Sound); 4] = [
        (Sound::S, Sound::Z),
        (Sound::TH, Sound::DH),
        (Sound::F, Sound::V),
        (Sound::IY, Sound::AH),
    ];
    let pair = |pairs: &[(Sound, Sound)], x, y| x == y || pairs.contains(&(x, y)) || pairs.contains(&(y, x));
    let last = a.len().wrapping_sub(1);
    const FIRST: [(Sound, Sound); 1] = [(Sound::EH, Sound::IH)];
    let fits = |i: usize| {
        pair(&WAVERS, a[i], b[i]) || (i == last && pair(&LAST, a[i], b[i])) || (i == 0 && pair(&FIRST, a[i], b[i]))
    };
    a.len() == b.len() && (0..a.len()).all(fits)
}

/// Two words written as one, said as the two are; of several ways that with the commoner rarer word.
fn compound(word: &str, sounds: &[Sound]) -> Option<WordSplit> {
    let common = |text: &str| match text.len() {
        0..2 => None,
        len if len < COMPOUND_LETTERS && !SHORT_WORDS.contains(&text) => None,
        _ => lexicon::look_up(text)
            .map(|e| e.zipf())
            .filter(|&zipf| zipf >= COMPOUND_ZIPF),
    };
    let cuts = (2..word.len().saturating_sub(1)).filter(|&cut| word.is_char_boundary(cut));
    let ways = cuts.filter_map(|cut| {
        let (front, back) = word.split_at(cut);
        let back = back.trim_start_matches('-');
        let rarer = common(front)?.min(common(back).filter(|_| !NOT_SECOND.contains(&back))?);
        Some((split_at_word(front, back, sounds)?, rarer))
    });
    ways.max_by(|a, b| a.1.total_cmp(&b.1)).map(|(split, _)| split)
}

/// The split after the sounds of `front`, if the rest is `back`.
fn split_at_word(front: &str, back: &str, sounds: &[Sound]) -> Option<WordSplit> {
    let lengths = lexicon::look_up(front)?.variants().map(|said| said.sounds().len());
    let at = lengths
        .filter(|&len| len < sounds.len())
        .find(|&len| is_said(front, &sounds[..len]) && is_said(back, &sounds[len..]))?;
    Some(WordSplit {
        front: front.to_owned(),
        back: back.to_owned(),
        at,
        beat: true,
        whole_double: ends_doubled(front),
        clean: true,
    })
}

/// The word with its opening parted off.
///
/// With `only`, no other opening, and only before a word.
fn opening(word: &str, sounds: &[Sound], only: &[&str]) -> Option<WordSplit> {
    let openings = OPENINGS
        .iter()
        .filter(|(letters, _)| only.is_empty() || only.contains(letters));
    openings.into_iter().find_map(|(letters, said)| {
        let rest = word.strip_prefix(letters).filter(|rest| rest.len() > 1)?;
        let at = choices(said).find(|front| sounds.starts_with(front))?.len();
        let next = sounds.get(at)?;
        let any = only.is_empty() && BEFORE_CONSONANTS.contains(letters) && !next.is_vowel();
        let word = is_word(rest, BASE_ZIPF) && rest.len() > 2 && is_said(rest, &sounds[at..]);
        (any || word).then(|| WordSplit {
            front: (*letters).to_owned(),
            back: rest.to_owned(),
            at,
            beat: true,
            whole_double: false,
            clean: true,
        })
    })
}

/// The word with a Greek part at its end parted off: *tel-e-scope*.
fn tail(word: &str, sounds: &[Sound]) -> Option<WordSplit> {
    TAILS.iter().find_map(|(letters, said)| {
        let front = word.strip_suffix(letters)?;
        let at = at_end(sounds, said).first().copied()?;
        Some(WordSplit {
            front: front.to_owned(),
            back: (*letters).to_owned(),
            at,
            beat: true,
            whole_double: false,
            clean: true,
        })
    })
}
