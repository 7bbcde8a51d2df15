//! A list or a passage that a child wrote on paper, typed in: words as written, and what was meant where it differs.

use crate::word;

/// A word that was meant, and what was written for it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Pair {
    /// What was meant.
    pub word: String,
    /// What was written.
    pub wrote: String,
}

/// The pairs of a passage, in order: `siter = sister` was written *siter* for *sister*; any other word was written as it is.
///
/// A line may also hold the word, a tab and what was written. Marks around words are passed over, as is everything that is no word
/// of English letters; empty lines and lines that begin with `#` are too.
pub fn passage(text: &str) -> Vec<Pair> {
    let lines = text.lines().filter(|line| !line.trim_start().starts_with('#'));
    lines.flat_map(of_line).collect()
}

fn of_line(line: &str) -> Vec<Pair> {
    if let Some((word, wrote)) = line.split_once('\t') {
        let wrote = wrote.split('\t').next().unwrap_or("");
        return pair(word, wrote).into_iter().collect();
    }
    // Space around = is as one likes.
    let spaced = line.replace('=', " = ");
    let tokens: Vec<&str> = spaced.split_whitespace().collect();
    let mut pairs = Vec::new();
    let mut at = 0;
    while at < tokens.len() {
        let meant = (tokens.get(at + 1) == Some(&"=")).then(|| tokens.get(at + 2)).flatten();
        pairs.extend(pair(meant.unwrap_or(&tokens[at]), tokens[at]));
        at += if meant.is_some() { 3 } else { 1 };
    }
    pairs
}

/// The pair of two texts, if both are words once the marks around them are gone.
fn pair(word: &str, wrote: &str) -> Option<Pair> {
    let bare = |text: &str| word::normal(text.trim_matches(|c: char| !c.is_alphabetic())).ok();
    Some(Pair {
        word: bare(word)?,
        wrote: bare(wrote)?,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_passage_and_a_list_are_read() {
        let text = "# Monday\nMy siter = sister, has a wite=white dog.\n\nbridge\tbrige\textra\nplay 4 times \u{1f600}\nship =\n";
        let pairs: Vec<String> = passage(text)
            .iter()
            .map(|p| format!("{}<{}", p.word, p.wrote))
            .collect();
        assert_eq!(
            pairs,
            [
                "my<my",
                "sister<siter",
                "has<has",
                "a<a",
                "white<wite",
                "dog<dog",
                "bridge<brige",
                "play<play",
                "times<times",
                "ship<ship"
            ]
        );
    }
}
