//! The child's letters in the boxes, looked at gently.

use soundbead_data::spelling::LetterBox;

/// What is said of one box.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Look {
    /// Nothing is in it yet.
    Empty,
    /// The word's own letters.
    Right,
    /// Other letters. They may spell the same sound in another word.
    Again,
}

/// Looks at the letters in each box. Capitals count as small letters, and a split vowel may be written `a_e`, `a-e`,
/// `a e` or `ae`.
pub fn look(boxes: &[LetterBox], typed: &[String]) -> Vec<Look> {
    let one = |(i, wanted): (usize, &LetterBox)| match typed.get(i).map(|t| plain(t)).filter(|t| !t.is_empty()) {
        None => Look::Empty,
        Some(found) if found == plain(&wanted.letters) => Look::Right,
        Some(_) => Look::Again,
    };
    boxes.iter().enumerate().map(one).collect()
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
pub fn line(looks: &[Look]) -> &'static str {
    let count = |look| looks.iter().filter(|l| **l == look).count();
    match (count(Look::Again), count(Look::Empty)) {
        (0, 0) => "Every box has its letters.",
        (0, _) => "So far so good. Some boxes are still empty.",
        (1, _) => "Look again at one box: say its sound, and think of another way to write it.",
        _ => "Look again at the marked boxes, one at a time: say the sound, then write it.",
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use soundbead_data::{lexicon, spelling};

    fn looked(word: &str, typed: &[&str]) -> Vec<Look> {
        let said = lexicon::look_up(word).unwrap().variants().next().unwrap();
        let boxes = spelling::boxes(word, said.sounds()).unwrap();
        look(&boxes, &typed.iter().map(|t| (*t).to_owned()).collect::<Vec<_>>())
    }

    #[test]
    fn each_box_is_looked_at_by_itself() {
        use Look::{Again, Empty, Right};
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
        let all = [Look::Empty, Look::Right, Look::Again];
        for looks in all.iter().flat_map(|a| all.map(|b| [*a, b])) {
            let said = line(&looks).to_lowercase();
            assert!(
                !said.contains("wrong") && !said.contains("mistake") && said.ends_with('.'),
                "{said}"
            );
        }
    }
}
