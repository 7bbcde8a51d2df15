//! The child's letters in the boxes, looked at gently.

use soundbead_data::spelling::LetterBox;

use super::LessonWord;
use crate::notebook::writing::joined;

/// What is said of one box.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum BoxState {
    /// Nothing is in it yet.
    Empty,
    /// The word's own letters.
    Right,
    /// Other letters. They may spell the same sound in another word.
    Again,
}

/// Whether the letters in the boxes are the word, however they are divided. Capitals count as small letters, and a split
/// vowel may be written `a_e`, `a-e`, `a e` or `ae` in one box.
pub fn right(word: &LessonWord, typed: &[String]) -> bool {
    let beyond = typed.iter().skip(word.boxes.len()).any(|text| !plain(text).is_empty());
    let each = || by_box(&word.boxes, typed).iter().all(|look| *look == BoxState::Right);
    plain(&joined(typed)) == plain(&word.spelling) || (!beyond && each())
}

/// What is to be said of each of `count` boxes.
pub fn look(word: &LessonWord, typed: &[String], count: usize) -> Vec<BoxState> {
    let mut typed = typed.to_vec();
    typed.resize(count, String::new());
    let all_right = right(word, &typed);
    let looks = if word.boxes.len() == count {
        by_box(&word.boxes, &typed)
    } else {
        by_ends(&plain(&word.spelling), &typed)
    };
    let gently = |(look, text): (BoxState, &String)| match (plain(text).is_empty(), all_right) {
        (true, _) => BoxState::Empty,
        (false, true) => BoxState::Right,
        (false, false) => look,
    };
    looks.into_iter().zip(&typed).map(gently).collect()
}

/// Each box against the word's own.
fn by_box(boxes: &[LetterBox], typed: &[String]) -> Vec<BoxState> {
    let one = |(i, wanted): (usize, &LetterBox)| match typed.get(i).map(|t| plain(t)).filter(|t| !t.is_empty()) {
        None => BoxState::Empty,
        Some(found) if found == plain(&wanted.letters) => BoxState::Right,
        Some(_) => BoxState::Again,
    };
    let looks: Vec<BoxState> = boxes.iter().enumerate().map(one).collect();
    // No boxes say nothing of the letters.
    if looks.is_empty() { vec![BoxState::Again] } else { looks }
}

/// Boxes that do not stand for the word's own: those whose letters agree with the word from its beginning, or from its
/// end, are right. Where all of them do and a letter is still missing between two, the one before the gap is marked.
fn by_ends(spelling: &str, typed: &[String]) -> Vec<BoxState> {
    let texts: Vec<String> = typed.iter().map(|t| plain(t)).collect();
    let from_start = |i: usize| spelling.starts_with(&texts[..=i].concat());
    let from_end = |i: usize| spelling.ends_with(&texts[i..].concat());
    let each = |i: usize| {
        if from_start(i) || from_end(i) {
            BoxState::Right
        } else {
            BoxState::Again
        }
    };
    let mut looks: Vec<BoxState> = (0..texts.len()).map(each).collect();
    if looks.iter().all(|look| *look == BoxState::Right) {
        let gap = (0..texts.len()).rev().find(|i| from_start(*i)).unwrap_or(0);
        looks[gap] = BoxState::Again;
    }
    looks
}

fn plain(text: &str) -> String {
    let small = text.trim().to_lowercase().replace(['\u{2019}', '\u{02bc}'], "'");
    // The gap of a split vowel is a matter of writing, the hyphen of a word is not; only one of the two can be in a box.
    small
        .chars()
        .filter(|c| !matches!(c, '_' | '-' | ' ' | '\u{2026}'))
        .collect()
}

/// One line to the child about all boxes.
pub fn line(looks: &[BoxState]) -> &'static str {
    let count = |look| looks.iter().filter(|l| **l == look).count();
    match (count(BoxState::Again), count(BoxState::Empty)) {
        (0, 0) => "Every box has its letters.",
        (1, empty) if empty > 0 && empty + 1 == looks.len() => {
            "Each sound has a box of its own. Put into each box the letters of its sound alone."
        }
        (0, _) => "So far so good. Some boxes are still empty.",
        (1, _) => "Look again at one box: say its sound, then write it anew.",
        _ => "Look again at the marked boxes, one at a time: say the sound, then write it.",
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use soundbead_data::{Rules, word::Overrides};

    fn typed(texts: &[&str]) -> Vec<String> {
        texts.iter().map(|t| (*t).to_owned()).collect()
    }

    fn word(text: &str) -> LessonWord {
        LessonWord::find(text, &Overrides::default(), &Rules::default()).unwrap()
    }

    fn looked(text: &str, texts: &[&str]) -> Vec<BoxState> {
        let word = word(text);
        look(&word, &typed(texts), word.boxes.len())
    }

    #[test]
    fn letters_are_right_however_they_are_divided() {
        for (text, texts) in [
            ("cake", &["c", "a", "ke"][..]),
            ("cake", &["c", "a_e", "k"]),
            ("cake", &["cake"]),
            ("box", &["b", "o", "x", ""]),
            ("box", &["b", "o", "x"]),
            ("don't", &["d", "o", "n", "'t"]),
            ("Chess", &["CH", "e", "ss"]),
        ] {
            assert!(right(&word(text), &typed(texts)), "{text} {texts:?}");
        }
        assert!(!right(&word("cake"), &typed(&["c", "a", "k"])));
        assert!(!right(&word("cake"), &[]));
        assert!(!right(&word("box"), &typed(&["b", "o", "x", "s"])));
    }

    #[test]
    fn in_boxes_of_the_childs_own_count_the_ends_that_agree_are_right() {
        use BoxState::{Again, Empty, Right};
        // Two boxes for stop: st, op.
        assert_eq!(look(&word("stop"), &typed(&["st", "op"]), 2), [Right, Right]);
        assert_eq!(
            look(&word("stop"), &typed(&["s", "op"]), 2),
            [Again, Right],
            "the t is missing"
        );
        assert_eq!(look(&word("stop"), &typed(&["st", "ap"]), 2), [Right, Again]);
        assert_eq!(
            look(&word("box"), &typed(&["b", "o", "k", "s"]), 4),
            [Right, Right, Again, Again]
        );
        assert_eq!(
            look(&word("box"), &typed(&["b", "o", "x"]), 4),
            [Right, Right, Right, Empty]
        );
    }

    #[test]
    fn each_box_is_looked_at_by_itself() {
        use BoxState::{Again, Empty, Right};
        assert_eq!(looked("chess", &["ch", "e", "ss"]), [Right, Right, Right]);
        assert_eq!(looked("chess", &["CH", "e", "s"]), [Right, Right, Again]);
        assert_eq!(looked("chess", &["ch"]), [Right, Empty, Empty]);
        for split in ["a_e", "a-e", "ae", "a e"] {
            assert_eq!(looked("cake", &["c", split, "k"]), [Right, Right, Right], "{split}");
        }
        assert_eq!(looked("cake", &["c", "a", "k"]), [Right, Again, Right]);
    }

    #[test]
    fn what_is_said_is_never_a_bare_wrong() {
        let all = [BoxState::Empty, BoxState::Right, BoxState::Again];
        for looks in all.iter().flat_map(|a| all.map(|b| [*a, b])) {
            let said = line(&looks).to_lowercase();
            assert!(
                !said.contains("wrong") && !said.contains("mistake") && said.ends_with('.'),
                "{said}"
            );
        }
    }
}
