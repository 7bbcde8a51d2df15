//! Syllables of a word: onset, rime and letters of each.
//!
//! A word has as many syllables as vowels in its pronunciation. The consonants between two vowels are shared out so
//! that the second syllable begins with as many of them as can begin an English word (the maximal onset principle of
//! general phonology; Kahn 1976, *Syllable-based generalizations in English phonology*), with two changes that bring the
//! division to where teachers put it:
//! - A stressed short vowel keeps one consonant, a weak one the s before a stop: *lem-on*, *sis-ter*, *chem-is-try*.
//! - A consonant with a silent e behind it, or inside a split vowel, stays with the vowel before it: *brace-let*, *move-ment*.
//!
//! Letters follow their sound's syllable along the boxes of [`spelling`]. A doubled letter, and the st
//! or sc of *listen* and *muscle*, at the border is parted: *rab-bit*, *lis-ten* (common practice, no source).
//! Nothing is known of prefixes and endings, so *fast-est* comes out as *fas-test*; and a word such as *fire*, for which
//! the dictionary has two vowels, has two syllables here, though many teachers count one.

use std::ops::Range;

use crate::Sound;
use crate::lexicon::Pronunciation;
use crate::spelling::{self, LetterBox};

/// One syllable.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Syllable {
    /// The consonants before the vowel, as a range of the word's sounds; may be empty.
    pub onset: Range<usize>,
    /// The vowel and the consonants after it; begins where the onset ends.
    pub rime: Range<usize>,
    /// 1 main stress, 2 second, 0 none.
    pub stress: u8,
    /// Its letters; `None` when the letters cannot be tied to the sounds and there is more than one syllable.
    pub letters: Option<String>,
}

/// Clusters of two and three that can begin an English syllable; any one consonant can, but NG.
/// Listed from common knowledge of English (Kahn 1976 and every handbook of phonology hold the same list, the Y ones before UW aside).
const ONSETS: &[&str] = &[
    "P L", "P R", "P Y", "B L", "B R", "B Y", "T R", "T W", "D R", "K L", "K R", "K W", "K Y", "G L", "G R", "G W",
    "F L", "F R", "F Y", "V Y", "M Y", "HH Y", "HH W", "TH R", "TH W", "SH R", "S P", "S T", "S K", "S M", "S N",
    "S L", "S W", "S F", "S P L", "S P R", "S P Y", "S T R", "S K R", "S K W", "S K Y",
];

/// Two letters for one sound, one of them silent, that are written in two syllables: lis-ten, mus-cle, sub-tle, cup-board.
const PAIRS: [&str; 4] = ["st", "sc", "bt", "pb"];

/// The syllables of `word` when it is said as `said`, in order; none when there is no vowel (*hmm*).
pub fn syllables(word: &str, said: &Pronunciation) -> Vec<Syllable> {
    let boxes = spelling::boxes(word, said.sounds());
    let sounds = said.sounds();
    let vowels: Vec<usize> = (0..sounds.len()).filter(|&i| sounds[i].is_vowel()).collect();
    let mut starts = vec![0];
    for pair in vowels.windows(2) {
        starts.push(border(said, boxes.as_deref().unwrap_or_default(), pair[0], pair[1]));
    }
    let ends = starts.iter().skip(1).copied().chain([sounds.len()]);
    let letters = letters(word, boxes.as_deref(), &starts, &vowels);
    let parts = starts.iter().zip(ends).zip(&vowels).zip(letters);
    parts
        .map(|(((&start, end), &vowel), letters)| Syllable {
            onset: start..vowel,
            rime: vowel..end,
            stress: said.stress()[vowel],
            letters,
        })
        .collect()
}

/// The first sound of the syllable whose vowel is at `next`, the vowel before it being at `vowel`.
fn border(said: &Pronunciation, boxes: &[LetterBox], vowel: usize, next: usize) -> usize {
    let sounds = said.sounds();
    let mut earliest = vowel + 1;
    if keeps_consonant(said, boxes, vowel, next) || keeps_s(said, boxes, vowel) {
        earliest += 1;
    }
    for (i, held) in boxes
        .iter()
        .enumerate()
        .filter(|(_, b)| b.sounds.start > vowel && b.sounds.end <= next)
    {
        if holds_silent_e(boxes, i) {
            earliest = earliest.max(held.sounds.end);
        }
    }
    (earliest..next)
        .find(|&from| can_begin(&sounds[from..next]))
        .unwrap_or(next)
}

/// Whether these consonants can begin a syllable.
fn can_begin(consonants: &[Sound]) -> bool {
    match consonants {
        [one] => one.arpabet() != "NG",
        more => ONSETS
            .iter()
            .any(|onset| onset.split(' ').eq(more.iter().map(|s| s.arpabet()))),
    }
}

/// Whether the vowel at `vowel` is short and stressed, so that the consonant after it closes its syllable.
fn keeps_consonant(said: &Pronunciation, boxes: &[LetterBox], vowel: usize, next: usize) -> bool {
    let spelt_with = |letter: char| {
        boxes
            .iter()
            .any(|b| b.sounds.contains(&vowel) && b.letters.contains(letter))
    };
    let short = match said.sounds()[vowel].arpabet() {
        "AE" | "EH" | "IH" | "AH" | "UH" => true,
        // The short o of bottle, but not the open a of father.
        "AA" => !spelt_with('a'),
        _ => false,
    };
    // HH, W and Y never close a syllable. A consonant before -le begins the last one (trou-ble), unless it is ck.
    let closes = vowel + 1 < next && !matches!(said.sounds()[vowel + 1].arpabet(), "HH" | "W" | "Y");
    let before_le = boxes
        .iter()
        .position(|b| b.letters == "le" && b.sounds.start == next)
        .and_then(|i| i.checked_sub(1));
    let le = before_le.is_some_and(|i| boxes[i].sounds == (vowel + 1..next) && boxes[i].letters != "ck");
    short && said.stress()[vowel] > 0 && closes && !le
}

/// Whether the consonants after the weak short vowel at `vowel` are S and a stop, which are parted: *chem-is-try*, *dis-turb*.
/// Not after the openings re-, de-, be-.
fn keeps_s(said: &Pronunciation, boxes: &[LetterBox], vowel: usize) -> bool {
    let name = |at: usize| said.sounds().get(at).map_or("", |s| s.arpabet());
    let opening = vowel == 1
        && boxes.len() > 1
        && matches!(boxes[0].letters.as_str(), "r" | "d" | "b")
        && boxes[1].letters == "e";
    let weak = said.stress()[vowel] == 0 && matches!(name(vowel), "AE" | "EH" | "IH" | "AH");
    weak && name(vowel + 1) == "S" && matches!(name(vowel + 2), "P" | "T" | "K") && !opening
}

/// Whether box `i`, a consonant, has a silent e of its own or stands inside a split vowel.
fn holds_silent_e(boxes: &[LetterBox], i: usize) -> bool {
    let inside = i > 0 && boxes[i - 1].letters.ends_with("_e");
    let next = boxes.get(i + 1).and_then(|b| b.letters.bytes().next());
    let letters = &boxes[i].letters;
    // The e of ocean and pigeon is not an ending: it only softens.
    let softens = matches!(letters.as_str(), "ce" | "ge") && next.is_some_and(|b| b"aeiouy".contains(&b));
    let own = letters.len() > 1 && letters.ends_with('e') && !softens;
    inside || own
}

/// The letters of each syllable that begins at one of `starts`.
fn letters(word: &str, boxes: Option<&[LetterBox]>, starts: &[usize], vowels: &[usize]) -> Vec<Option<String>> {
    let count = vowels.len();
    if count <= 1 {
        return vec![Some(word.to_lowercase()); count];
    }
    let Some(boxes) = boxes else { return vec![None; count] };
    let mut parts = vec![String::new(); count];
    let mut owed = false;
    for b in boxes {
        let first = starts.partition_point(|&s| s <= b.sounds.start) - 1;
        let split = b.letters.strip_suffix("_e");
        let text = split.unwrap_or(&b.letters);
        match parted(text, b, starts, vowels) {
            Some((one, other, at)) => {
                parts[at - 1].push_str(one);
                parts[at].push_str(other);
            }
            None => parts[first].push_str(text),
        }
        // The e of a split vowel stands behind the consonant inside it, so it goes where that went (ac-qui-re).
        if std::mem::replace(&mut owed, split.is_some()) {
            parts[first].push('e');
        }
    }
    parts.into_iter().map(Some).collect()
}

/// A doubled consonant letter, or a pair with a silent half ([`PAIRS`]), that stands alone between two vowels, over a border
/// or first after a vowel: its two letters and the number of the later syllable. In *dressmaker*, where another
/// consonant begins the next syllable, it stays whole.
fn parted<'b>(text: &'b str, b: &LetterBox, starts: &[usize], vowels: &[usize]) -> Option<(&'b str, &'b str, usize)> {
    let [one, other] = text.as_bytes() else { return None };
    let twofold = (one == other && !b"aeiou".contains(one)) || PAIRS.contains(&text);
    let (from, to) = (b.sounds.start, b.sounds.end);
    let is_vowel = |at: usize| vowels.contains(&at);
    let inside = starts.iter().position(|&s| from < s && s < to);
    let begins = || {
        starts
            .iter()
            .position(|&s| s == from)
            .filter(|&at| at > 0 && (is_vowel(from - 1) || text == "pb"))
    };
    let at = inside
        .or_else(begins)
        .or_else(|| starts.iter().position(|&s| s == to && is_vowel(to)))?;
    twofold.then(|| (&text[..1], &text[1..], at))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::lexicon;

    fn split(word: &str) -> String {
        let said = lexicon::look_up(word).unwrap().variants().next().unwrap();
        syllables(word, &said)
            .into_iter()
            .map(|s| s.letters.unwrap())
            .collect::<Vec<_>>()
            .join("-")
    }

    /// Common practice of teachers, no source.
    #[test]
    fn divided_where_teachers_divide() {
        let words = "chess rab-bit lem-on sis-ter ti-ger ro-bot pa-per bas-ket win-ter mon-ster brace-let move-ment home-work \
                     sun-set rain-bow foot-ball ta-ble lit-tle ap-ple can-dle trou-ble pick-le lis-ten cas-tle a-bout bal-loon \
                     el-e-phant com-pu-ter ba-nan-a be-gin sta-tion pic-ture na-ture kitch-en run-ning sing-ing tax-i play-er \
                     un-hap-py some-thing birth-day mu-sic well-ness at-tract chem-is-try \
                     piz-za sub-tle cup-board rasp-ber-ry sand-wich re-spect dis-turb o-cean mos-qui-to";
        for wanted in words.split_whitespace() {
            assert_eq!(split(&wanted.replace('-', "")), wanted);
        }
    }

    #[test]
    fn onset_and_rime_are_ranges_of_the_sounds() {
        let said = lexicon::look_up("basket").unwrap().variants().next().unwrap();
        let parts = syllables("basket", &said);
        assert_eq!(
            (parts[0].onset.clone(), parts[0].rime.clone(), parts[0].stress),
            (0..1, 1..3, 1)
        );
        assert_eq!(
            (parts[1].onset.clone(), parts[1].rime.clone(), parts[1].stress),
            (3..4, 4..6, 0)
        );
    }

    #[test]
    fn a_word_without_a_vowel_has_none() {
        let said = Pronunciation::new(vec!["HH".parse().unwrap(), "M".parse().unwrap()], &[]);
        assert!(syllables("hmm", &said).is_empty());
    }
}
