//! Families of words, and what combines with what, counted on the dictionary.

use std::collections::HashMap;

use super::{DividedWord, Part, Piece, PieceRole, take_apart};
use crate::chain::{WordList, common};
use crate::lexicon;

/// The words of a list, taken apart, by their parts.
pub struct Families {
    words: Vec<DividedWord>,
    /// Places in `words` of those that have a piece of this text.
    by_piece: HashMap<String, Vec<usize>>,
}

impl Families {
    /// Takes every word of the list apart. Takes a second or so for the common words.
    pub fn new(list: &WordList) -> Families {
        let mut listed: Vec<_> = list.words().into_iter().map(|w| (w.zipf, w.spelling)).collect();
        listed.sort_by(|a, b| b.0.total_cmp(&a.0).then(a.1.cmp(&b.1)));
        let words: Vec<DividedWord> = listed.iter().map(|(_, word)| take_apart(word)).collect();
        let mut by_piece: HashMap<String, Vec<usize>> = HashMap::new();
        for (number, apart) in words.iter().enumerate().filter(|(_, apart)| !apart.is_one()) {
            for piece in &apart.pieces {
                by_piece.entry(piece.text.clone()).or_default().push(number);
            }
        }
        Families { words, by_piece }
    }

    /// Every word, taken apart, the commonest first.
    pub fn words(&self) -> &[DividedWord] {
        &self.words
    }

    /// The words that are made with this base, affix or word, the commonest first; for a part of the table in each of its
    /// forms.
    pub fn of(&self, text: &str) -> Vec<&DividedWord> {
        let bare = text.trim_matches('-');
        let part = super::find(text);
        let forms: Vec<&str> = part.map_or_else(|| vec![bare], |p| p.forms().collect());
        let mut places: Vec<usize> = forms
            .iter()
            .filter_map(|f| self.by_piece.get(*f))
            .flatten()
            .copied()
            .collect();
        places.sort_unstable();
        places.dedup();
        let has = |apart: &DividedWord| {
            let same = |piece: &Piece| match part {
                Some(part) => piece.part == Some(part),
                None => piece.text == bare,
            };
            apart.pieces.iter().any(same)
        };
        places.into_iter().map(|p| &self.words[p]).filter(|a| has(a)).collect()
    }

    /// In how many words this affix joins a word that stands alone, and in how many a base that does not.
    pub fn joined_by(&self, part: &Part) -> (usize, usize) {
        let beside = self.of(&part.form).into_iter().filter_map(|apart| beside(apart, part));
        let (words, bases): (Vec<&str>, Vec<&str>) = beside.partition(|text| stands_alone(text));
        (words.len(), bases.len())
    }

    /// How regular this affix is: each claim about it, where any word of the list speaks of it.
    pub fn regularities_of(&self, part: &Part) -> Vec<Regularity> {
        let about = CLAIMS.iter().filter(|claim| claim.about == Some(part.form.as_str()));
        about.map(|claim| count(claim, self)).filter(|r| r.of > 0).collect()
    }
}

/// The piece that an affix joins in this word.
fn beside<'a>(apart: &'a DividedWord, part: &Part) -> Option<&'a str> {
    let at = apart.pieces.iter().position(|p| p.part.is_some_and(|p| p == part))?;
    let other = match apart.pieces[at].role {
        PieceRole::Suffix => at.checked_sub(1)?,
        _ => at + 1,
    };
    apart.pieces.get(other).map(|p| p.text.as_str())
}

/// What is to be expected where parts meet, with how often it holds.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Regularity {
    /// Where, in words.
    pub when: &'static str,
    /// What is expected there.
    pub then: &'static str,
    /// In how many words it holds.
    pub holds: usize,
    /// In how many it speaks.
    pub of: usize,
    /// Where it does not hold, the commonest first.
    pub exceptions: Vec<String>,
}

/// One thing to count: `None` where it does not speak of a meeting of two pieces, else whether it holds there.
struct JoinClaim {
    /// The affix it speaks of; none where it is about all of a kind.
    about: Option<&'static str>,
    when: &'static str,
    then: &'static str,
    holds: fn(&Piece, &Piece, &str) -> Option<bool>,
}

fn is(piece: &Piece, form: &str) -> bool {
    piece.part.is_some_and(|part| part.form == form)
}

fn begins(piece: &Piece, letters: &str) -> bool {
    piece.text.starts_with(|c: char| letters.contains(c))
}

fn ends(piece: &Piece, endings: &[&str]) -> bool {
    endings.iter().any(|end| piece.text.ends_with(end))
}

/// Where a prefix that changes its last letter is written so before these letters.
macro_rules! changed {
    ($when:literal, $form:literal, $before:literal, $then:literal) => {
        JoinClaim {
            about: Some($form),
            when: $when,
            then: $then,
            holds: |a, b, _| (is(a, $form) && begins(b, $before)).then(|| a.text == $then),
        }
    };
}

/// The letter that changes to match: *ad* before f is *af*.
fn matched(a: &Piece, b: &Piece, form: &str, letters: &str) -> Option<bool> {
    let same = || a.text.chars().last() == b.text.chars().next();
    (is(a, form) && begins(b, letters)).then(same)
}

/// Whether the piece is a word that a child may know by itself.
fn stands_alone(text: &str) -> bool {
    // Below 2.5 on the Zipf scale a base such as *tang* or *aud* would pass for a word.
    common(text) && lexicon::look_up(text).is_some_and(|e| e.zipf() >= 2.5)
}

const CLAIMS: &[JoinClaim] = &[
    changed!("con- before b, m or p", "con-", "bmp", "com"),
    changed!("con- before l", "con-", "l", "col"),
    changed!("con- before r", "con-", "r", "cor"),
    changed!("con- before a vowel", "con-", "aeiou", "co"),
    changed!("con- before any other consonant", "con-", "cdfgjnqstvw", "con"),
    changed!("in- before b, m or p", "in-", "bmp", "im"),
    changed!("in- before l", "in-", "l", "il"),
    changed!("in- before r", "in-", "r", "ir"),
    changed!("in- before anything else", "in-", "acdefghijnoqstuv", "in"),
    JoinClaim {
        about: Some("ad-"),
        when: "ad- before c, f, g, l, n, p, r, s or t",
        then: "its d becomes that letter",
        holds: |a, b, _| matched(a, b, "ad-", "cfglnprst"),
    },
    JoinClaim {
        about: Some("ob-"),
        when: "ob- before c, f or p",
        then: "its b becomes that letter",
        holds: |a, b, _| matched(a, b, "ob-", "cfp"),
    },
    JoinClaim {
        about: Some("sub-"),
        when: "sub- before c, f or p",
        then: "its b becomes that letter",
        holds: |a, b, _| matched(a, b, "sub-", "cfp"),
    },
    JoinClaim {
        about: Some("ex-"),
        when: "ex- before c, p, t or a vowel",
        then: "ex",
        holds: |a, b, _| (is(a, "ex-") && begins(b, "cptaeiou")).then(|| a.text == "ex"),
    },
    JoinClaim {
        about: Some("-able"),
        when: "-able",
        then: "joins a word that stands alone",
        holds: |a, b, _| is(b, "-able").then(|| stands_alone(&a.text)),
    },
    JoinClaim {
        about: Some("-ible"),
        when: "-ible",
        then: "joins a base that does not stand alone",
        holds: |a, b, _| is(b, "-ible").then(|| !stands_alone(&a.text)),
    },
    JoinClaim {
        about: Some("-ion"),
        when: "-ion, written so",
        then: "joins a base that ends in t, te or s",
        holds: |a, b, _| (b.text == "ion").then(|| ends(a, &["t", "te", "s", "se"])),
    },
    JoinClaim {
        about: Some("-ian"),
        when: "-ian after c",
        then: "the c is kept: musician",
        holds: |a, b, word| (is(b, "-ian") && ends(a, &["c"])).then(|| word.contains("cian")),
    },
    JoinClaim {
        about: None,
        when: "a base in a silent e before a suffix that begins with a vowel",
        then: "the e goes",
        holds: |a, b, _| {
            let silent = a.role == PieceRole::Base && ends(a, &["e"]) && !ends(a, &["ee", "oe", "ye", "ie"]);
            let vowel = b.role == PieceRole::Suffix && begins(b, "aeiouy") && b.text != "es";
            // possible, possibility: the le becomes il.
            let il = ends(a, &["ble"]) && is(b, "-ity");
            (silent && vowel && !il && stands_alone(&a.text)).then(|| a.letters.len() < a.text.len())
        },
    },
    JoinClaim {
        about: None,
        when: "a base in a consonant and y before a suffix that does not begin with i",
        then: "the y becomes i",
        holds: |a, b, word| {
            let before = a.text.chars().rev().nth(1).is_some_and(|c| !"aeiou".contains(c));
            let y = a.role == PieceRole::Base && ends(a, &["y"]) && before && b.role == PieceRole::Suffix;
            let kept = a.letters.len() == a.text.len();
            (y && !begins(b, "i") && b.text != "s" && kept).then(|| word[..a.letters.end].ends_with('i'))
        },
    },
];

/// Every claim about what combines with what, counted on the words of a list.
pub fn counts(families: &Families) -> Vec<Regularity> {
    CLAIMS.iter().map(|claim| count(claim, families)).collect()
}

fn count(claim: &JoinClaim, families: &Families) -> Regularity {
    let mut counted = Regularity {
        when: claim.when,
        then: claim.then,
        holds: 0,
        of: 0,
        exceptions: Vec::new(),
    };
    for apart in families.words() {
        let meetings = apart.pieces.windows(2);
        for held in meetings.filter_map(|pair| (claim.holds)(&pair[0], &pair[1], &apart.word)) {
            counted.of += 1;
            match held {
                true => counted.holds += 1,
                false => counted.exceptions.push(apart.word.clone()),
            }
        }
    }
    counted
}

#[cfg(test)]
mod tests {
    use super::*;

    /// What the claim about a y says of a word in two pieces; none where it does not speak of it.
    fn y_becomes_i(word: &str) -> Option<bool> {
        let claim = CLAIMS.iter().find(|claim| claim.then == "the y becomes i").unwrap();
        let apart = take_apart(word);
        let [a, b] = &apart.pieces[..] else {
            panic!("{word}: {}", apart.sum())
        };
        (claim.holds)(a, b, &apart.word)
    }

    /// Common practice, no source.
    #[test]
    fn a_y_becomes_i_before_suffixes_that_do_not_begin_with_i() {
        assert_eq!(y_becomes_i("happiness"), Some(true));
        assert_eq!(y_becomes_i("dryness"), Some(false));
        for silent in ["studying", "playful", "kindness", "historic"] {
            assert_eq!(y_becomes_i(silent), None, "{silent}");
        }
    }
}
