//! New words of one syllable, and such words with an ending or opening, read letter by letter as beginners are taught to (common
//! practice, no source). A statistical reading of *crair* leans on rare names; a teacher's reading does not.

use crate::Sound;

/// Rows of letters with the sounds that they have, the longest first.
type Spelled = (&'static str, &'static str);

/// Consonants that are said alike before the vowel and after it. Looked through after those of the place.
const CONSONANTS: [Spelled; 20] = [
    ("sh", "SH"),
    ("ch", "CH"),
    ("th", "TH"),
    ("ph", "F"),
    ("gn", "N"),
    ("b", "B"),
    ("c", "K"),
    ("d", "D"),
    ("f", "F"),
    ("g", "G"),
    ("k", "K"),
    ("l", "L"),
    ("m", "M"),
    ("n", "N"),
    ("p", "P"),
    ("r", "R"),
    ("s", "S"),
    ("t", "T"),
    ("v", "V"),
    ("z", "Z"),
];

/// Consonants before the vowel.
const FRONT: [Spelled; 14] = [
    ("sch", "S K"),
    ("wh", "W"),
    ("kn", "N"),
    ("wr", "R"),
    ("rh", "R"),
    ("qu", "K W"),
    ("ps", "S"),
    ("gh", "G"),
    ("h", "HH"),
    ("j", "JH"),
    ("w", "W"),
    ("x", "Z"),
    ("y", "Y"),
    ("q", "K"),
];

/// Consonants after the vowel.
const BACK: [Spelled; 42] = [
    ("ngue", "NG"),
    ("nge", "N JH"),
    ("nce", "N S"),
    ("nse", "N S"),
    ("lse", "L S"),
    ("rse", "R S"),
    ("lve", "L V"),
    ("tch", "CH"),
    ("dge", "JH"),
    ("nch", "N CH"),
    ("que", "K"),
    ("the", "DH"),
    ("ste", "S T"),
    ("gne", "N"),
    ("ght", "T"),
    ("ck", "K"),
    ("ng", "NG"),
    ("nk", "NG K"),
    ("nx", "NG K S"),
    ("mb", "M"),
    ("bb", "B"),
    ("dd", "D"),
    ("ff", "F"),
    ("gg", "G"),
    ("ll", "L"),
    ("mm", "M"),
    ("nn", "N"),
    ("pp", "P"),
    ("rr", "R"),
    ("ss", "S"),
    ("tt", "T"),
    ("zz", "Z"),
    ("ce", "S"),
    ("ge", "JH"),
    ("se", "S"),
    ("ze", "Z"),
    ("ve", "V"),
    ("pe", "P"),
    ("te", "T"),
    ("ke", "K"),
    ("x", "K S"),
    ("h", ""),
];

/// Vowels of several letters, and vowels with r. A dot stands for the end of the word.
const TEAMS: [Spelled; 43] = [
    ("eigh", "EY"),
    ("augh", "AO"),
    ("ought", "AO T"),
    ("igh", "AY"),
    ("air", "EH R"),
    ("are.", "EH R"),
    ("ear", "IH R"),
    ("eer", "IH R"),
    ("ier", "IH R"),
    ("ere.", "IH R"),
    ("oar", "AO R"),
    ("ore.", "AO R"),
    ("our", "AO R"),
    ("ire.", "AY ER"),
    ("ure.", "UH R"),
    ("ar", "AA R"),
    ("er", "ER"),
    ("ir", "ER"),
    ("ur", "ER"),
    ("yr", "ER"),
    ("or", "AO R"),
    ("ai", "EY"),
    ("ay", "EY"),
    ("ea", "IY"),
    ("ee", "IY"),
    ("ei", "IY"),
    ("ey", "EY"),
    ("ew", "UW"),
    ("eu", "UW"),
    ("ie.", "AY"),
    ("ie", "IY"),
    ("oa", "OW"),
    ("oe.", "OW"),
    ("oi", "OY"),
    ("oy", "OY"),
    ("ook", "UH K"),
    ("oo", "UW"),
    ("ou", "AW"),
    ("ow", "AW"),
    ("au", "AO"),
    ("aw", "AO"),
    ("ue.", "UW"),
    ("ui", "UW"),
];

/// One vowel letter before certain others.
const BEFORE: [Spelled; 16] = [
    ("alk", "AO K"),
    ("all", "AO L"),
    ("alt", "AO L T"),
    ("ald", "AO L D"),
    ("alm", "AA M"),
    ("old", "OW L D"),
    ("olt", "OW L T"),
    ("oll", "OW L"),
    ("olk", "OW K"),
    ("ign", "AY N"),
    ("oss", "AO S"),
    ("off", "AO F"),
    ("ong", "AO NG"),
    ("oth", "AO TH"),
    ("oft", "AO F T"),
    ("ost", "AO S T"),
];

fn row(names: &str) -> Vec<Sound> {
    names.split_whitespace().filter_map(|name| name.parse().ok()).collect()
}

fn vowel(letter: char) -> bool {
    "aeiouy".contains(letter)
}

/// Where the first vowel letter stands; the u of qu and a y in front of a vowel are none.
fn first_vowel(word: &str) -> Option<usize> {
    let from = if word.starts_with("squ") {
        3
    } else if word.starts_with("qu") {
        2
    } else {
        usize::from(word.starts_with('y'))
    };
    word.get(from..)?.find(vowel).map(|at| at + from)
}

/// The sounds of a word of one syllable, or of one with an ending or the opening un-; `None` for any other.
pub(super) fn read(word: &str) -> Option<Vec<Sound>> {
    if let Some(said) = syllable(word) {
        return Some(said);
    }
    if let Some(rest) = word.strip_prefix("un").filter(|rest| rest.len() > 3) {
        return Some([row("AH N"), read(rest)?].concat());
    }
    with_ending(word)
}

/// A syllable with an ending: *snoding*, *brubbed*, *drable*, *plodful*.
fn with_ending(word: &str) -> Option<Vec<Sound>> {
    const BEFORE_CONSONANT: [Spelled; 4] = [
        ("ful", "F AH L"),
        ("less", "L AH S"),
        ("ness", "N AH S"),
        ("ling", "L IH NG"),
    ];
    for (ending, names) in BEFORE_CONSONANT {
        if let Some(stem) = word.strip_suffix(ending) {
            // glomness; tanderling, but twinkling
            let whole = || with_ending(stem).filter(|_| ending != "ling" || stem.ends_with("er"));
            if let Some(said) = syllable(stem).filter(|_| ending != "ling").or_else(whole) {
                return Some([said, row(names)].concat());
            }
        }
    }
    if let Some(said) = word.strip_suffix("ious").and_then(before_ious) {
        return Some(said);
    }
    if let Some(said) = before_et(word) {
        return Some(said);
    }
    const BEFORE_VOWEL: [Spelled; 6] = [
        ("ing", "IH NG"),
        ("ish", "IH SH"),
        ("er", "ER"),
        ("ed", ""),
        ("le", "AH L"),
        ("y", "IY"),
    ];
    // shandled
    if let Some(base) = word
        .strip_suffix('d')
        .filter(|base| base.ends_with("le") && !base.ends_with("lle"))
    {
        return Some([with_ending(base)?, row("D")].concat());
    }
    let (ending, names) = BEFORE_VOWEL.iter().find(|(ending, _)| word.ends_with(ending))?;
    let stem = word.strip_suffix(ending).filter(|stem| !stem.is_empty())?;
    let last = stem.chars().last().filter(|c| !vowel(*c))?;
    if *ending == "le" {
        return before_le(stem, last);
    }
    let base = base_of(stem)?;
    let mut said = syllable(&base)?;
    // timber, limber: a b before -er is heard, but for climber and its like, which the dictionary has.
    if *ending == "er" && stem.ends_with("mb") {
        said.push(Sound::B);
    }
    match (*ending, said.last()?.arpabet()) {
        ("ed", "T" | "D") => said.extend(row("IH D")),
        ("ed", "P" | "K" | "F" | "S" | "SH" | "CH" | "TH") => said.extend(row("T")),
        ("ed", _) => said.extend(row("D")),
        _ => said.extend(row(names)),
    }
    Some(said)
}

/// A short syllable with two consonants at its end before -et: *vusket*, *trunket*. Not before -el, where names have much else.
fn before_et(word: &str) -> Option<Vec<Sound>> {
    let stem = word.strip_suffix("et").filter(|stem| stem.len() > 3)?;
    let two = stem.ends_with(|c| !vowel(c)) && !stem[..stem.len() - 1].ends_with(vowel);
    let base = base_of(stem).filter(|_| two)?;
    Some([syllable(&base)?, row("AH T")].concat())
}

/// A stem before -ious, whose last vowel is long after but one consonant, an i aside: *glorious*, *dubious*, *gracious*, *vicious*.
fn before_ious(stem: &str) -> Option<Vec<Sound>> {
    let letters: Vec<char> = stem.chars().collect();
    let [ref front @ .., before, last] = letters[..] else {
        return None;
    };
    let lone = "aeou".contains(before) && front.last().is_none_or(|c| !vowel(*c)) && !vowel(last) && last != 'r';
    let base = if lone { format!("{stem}e") } else { stem.to_owned() };
    let mut said = syllable(&base)?;
    // gracious, cautious: the consonant is heard as sh; prodigious: as j.
    let hushed = match last {
        'c' | 't' => Some(Sound::SH),
        'g' => Some(Sound::JH),
        _ => None,
    };
    match hushed {
        Some(sound) => {
            *said.last_mut()? = sound;
            said.extend(row("AH S"));
        }
        None => said.extend(row("IY AH S")),
    }
    Some(said)
}

/// A stem before a last le: *table*, *tibble*, *shandle*, *jankle*.
fn before_le(stem: &str, last: char) -> Option<Vec<Sound>> {
    if stem.ends_with("st") || "rlwy".contains(last) {
        return None;
    }
    let front = &stem[..stem.len() - last.len_utf8()];
    let open = front.chars().last().is_some_and(vowel);
    let mut said = match front.chars().last()? {
        'a' if open && syllable(front).is_none() => {
            syllable(&format!("{front}te")).map(|said| said[..said.len() - 1].to_vec())?
        }
        _ => syllable(front)?,
    };
    if ['k', 'g'].contains(&last) && said.last() == Some(&Sound::N) {
        said.pop();
        said.extend(row("NG"));
    }
    let doubled = front.ends_with(last) || front.ends_with('c') && last == 'k';
    let mut spelled = BACK.iter().chain(&CONSONANTS);
    let hard = spelled.find(|(letters, _)| letters.chars().eq([last]))?.1;
    said.extend(row(if doubled { "" } else { hard }));
    said.extend(row("AH L"));
    Some(said)
}

/// The syllable that an ending joined: a letter that was doubled stands once, and a silent e went after a lone consonant.
fn base_of(stem: &str) -> Option<String> {
    let letters: Vec<char> = stem.chars().collect();
    let [ref front @ .., before, last] = letters[..] else {
        return None;
    };
    if before == last && !"lsfz".contains(last) {
        return Some(stem[..stem.len() - 1].to_owned());
    }
    let single = vowel(before) && front.last().is_none_or(|c| !vowel(*c)) && !"wxy".contains(last);
    let soft = stem.ends_with("dg") || stem.ends_with("nc");
    match single || soft {
        true => Some(format!("{stem}e")),
        false => Some(stem.to_owned()),
    }
}

/// One syllable.
fn syllable(word: &str) -> Option<Vec<Sound>> {
    let at = first_vowel(word)?;
    let (front, rest) = word.split_at(at);
    let mut said = front_sounds(front, rest)?;
    let (vowel, back) = rime(rest, said.last().copied(), word)?;
    said.extend(vowel);
    let tail = back_sounds(back, said.last().copied())?;
    said.extend(tail);
    Some(said)
}

fn front_sounds(front: &str, rest: &str) -> Option<Vec<Sound>> {
    let soft = rest.starts_with(['e', 'i', 'y']);
    let (mut left, mut said) = (front, Vec::new());
    while !left.is_empty() {
        let mut spelled = FRONT.iter().chain(&CONSONANTS);
        let (letters, names) = spelled.find(|(letters, _)| left.starts_with(letters))?;
        left = &left[letters.len()..];
        let names = match *letters {
            "c" if left.is_empty() && soft => {
                if said.last() == Some(&Sound::S) {
                    ""
                } else {
                    "S"
                }
            }
            "g" if left.is_empty() && rest.starts_with(['e', 'y']) => "JH",
            _ => names,
        };
        said.extend(row(names));
    }
    Some(said)
}

/// The vowel with what belongs to it, and the letters after it.
fn rime<'w>(rest: &'w str, before: Option<Sound>, word: &str) -> Option<(Vec<Sound>, &'w str)> {
    let fits = |letters: &str| match letters.strip_suffix('.') {
        Some(all) => rest == all,
        None => rest.starts_with(letters),
    };
    // was, swan, squash; but whack
    let after_w = before == Some(Sound::W) && !word.starts_with("wh");
    let (first, after) = rest.split_at(1);
    if rest.contains("ough") && !rest.starts_with("ought") {
        return None;
    }
    // The vowel of cube: one consonant and a silent e.
    let long_a_alone = ["ste", "nge"].contains(&after) && first != "a";
    if let Some(held) = silent_e(after).filter(|_| !long_a_alone) {
        let names = match first {
            "a" => "EY",
            "e" => "IY",
            "i" | "y" => "AY",
            "o" => "OW",
            _ if glides(word) => "Y UW",
            _ => "UW",
        };
        if !held.starts_with('r') {
            return Some((row(names), held));
        }
    }
    let team = TEAMS.iter().find(|(letters, _)| fits(letters));
    let team = team.or_else(|| BEFORE.iter().find(|(letters, _)| fits(letters)));
    if let Some((letters, names)) = team {
        let names = match *letters {
            "ar" if after_w => "AO R",
            "or" if after_w => "ER",
            "ew" | "ue." if glides(word) => "Y UW",
            "ow" if rest == "ow" => "OW",
            _ => names,
        };
        return Some((row(names), &rest[letters.trim_end_matches('.').len()..]));
    }
    let back = after.starts_with(['k', 'g', 'x'])
        || after.starts_with("ck")
        || after.starts_with("ng")
        || after.starts_with("nk");
    let names = match (first, after.is_empty()) {
        ("a", false) if after_w && !back => "AA",
        ("a", false) => "AE",
        ("e", false) => "EH",
        ("i" | "y", false) => "IH",
        ("o", false) => "AA",
        ("u", false) => "AH",
        ("e", true) => "IY",
        ("i" | "y", true) => "AY",
        ("o", true) => "OW",
        ("u", true) => "UW",
        _ => return None,
    };
    Some((row(names), after))
}

/// The one consonant that stands between a vowel and a silent last e, with the e where it keeps c and g soft.
fn silent_e(after: &str) -> Option<&str> {
    let stem = after.strip_suffix('e')?;
    let one = stem.len() == 1 && !vowel(stem.chars().next()?) && stem != "x" || ["th", "st", "ng"].contains(&stem);
    let soft = ["c", "g", "th", "ng", "s", "v", "z"].contains(&stem);
    one.then_some(if soft { after } else { stem })
}

/// Whether a y is heard before long u: after the lips and the back of the tongue alone, no l or r before it.
fn glides(word: &str) -> bool {
    let front = first_vowel(word).map_or("", |at| &word[..at]);
    ["", "b", "c", "f", "h", "k", "m", "p", "v", "ph"].contains(&front)
}

fn back_sounds(back: &str, before: Option<Sound>) -> Option<Vec<Sound>> {
    let (mut left, mut said) = (back, Vec::<Sound>::new());
    while !left.is_empty() {
        let mut spelled = BACK.iter().chain(&CONSONANTS);
        let (letters, names) =
            spelled.find(|(letters, _)| left.starts_with(letters) && (!letters.ends_with('e') || left == *letters))?;
        left = &left[letters.len()..];
        let so_far = said.last().copied().or(before);
        let voiced = so_far
            .is_some_and(|s| !s.is_vowel() && !["P", "T", "K", "F", "TH", "S", "SH", "CH"].contains(&s.arpabet()));
        let names = if *letters == "s" && left.is_empty() && voiced {
            "Z"
        } else {
            names
        };
        said.extend(row(names));
    }
    Some(said)
}
