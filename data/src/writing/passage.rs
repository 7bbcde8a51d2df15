//! A list or a passage that a child wrote on paper, typed in: words as written, and what was meant where it differs.

use crate::word;

/// A word that was meant, and what was written for it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct WordPair {
    /// What was meant.
    pub word: String,
    /// What was written, made ready like a word.
    pub wrote: String,
    /// What was written, as it stands there: with its capitals, without the marks around it.
    pub as_written: String,
}

/// A list or a passage, read.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Passage {
    /// The pairs, in order.
    pub pairs: Vec<WordPair>,
    /// What holds letters, digits or signs and is no word of English letters, as it stands there.
    pub passed_over: Vec<String>,
}

/// The pairs of a passage, in order; see [`read_passage`].
pub fn passage(text: &str) -> Vec<WordPair> {
    read_passage(text).pairs
}

/// Reads a passage: `siter = sister` was written *siter* for *sister*; any other word was written as it is.
///
/// A line may also hold the word, a tab and what was written. Marks around words are passed over, as are empty lines and lines that
/// begin with `#`. What is no word of English letters is told apart.
pub fn read_passage(text: &str) -> Passage {
    let mut passage = Passage::default();
    let lines = text.lines().filter(|line| !line.trim_start().starts_with('#'));
    lines.for_each(|line| passage.line(line));
    passage
}

impl Passage {
    fn line(&mut self, line: &str) {
        if let Some((word, wrote)) = line.split_once('\t') {
            let wrote = wrote.split('\t').next().unwrap_or("");
            return self.put(pair(word, wrote), line);
        }
        for (meant, wrote) in tokens(line) {
            self.put(pair(meant, wrote), wrote);
        }
    }

    fn put(&mut self, pair: Option<WordPair>, text: &str) {
        match pair {
            Some(pair) => self.pairs.push(pair),
            // Marks alone are no loss.
            None if text.chars().all(|c| c.is_ascii_punctuation() || c.is_whitespace()) => {}
            None => self.passed_over.push(text.trim().to_owned()),
        }
    }
}

/// What was meant and what was written, word by word.
fn tokens(line: &str) -> Vec<(&str, &str)> {
    // Space around = is as one likes, so = is a token of its own.
    let spaced = line.split_whitespace().flat_map(|token| token.split_inclusive('='));
    let parted = spaced.flat_map(|token| match token.strip_suffix('=') {
        Some(before) => [before, "="],
        None => [token, ""],
    });
    let tokens: Vec<&str> = parted.filter(|token| !token.is_empty()).collect();
    let mut pairs = Vec::new();
    let mut at = 0;
    while at < tokens.len() {
        let meant = (tokens.get(at + 1) == Some(&"=")).then(|| tokens.get(at + 2)).flatten();
        pairs.push((*meant.unwrap_or(&tokens[at]), tokens[at]));
        at += if meant.is_some() { 3 } else { 1 };
    }
    pairs
}

/// The pair of two texts, if both are words once the marks around them are gone.
fn pair(word: &str, wrote: &str) -> Option<WordPair> {
    let bare = |text: &str| text.trim_matches(|c: char| !c.is_alphanumeric()).to_owned();
    let as_written = bare(wrote);
    Some(WordPair {
        word: word::normal(&bare(word)).ok()?,
        wrote: word::normal(&as_written).ok()?,
        as_written,
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

    #[test]
    fn what_was_written_stays_as_written_and_what_is_no_word_is_told() {
        let read =
            read_passage("My Siter=sister, (Brij = bridge) 4ever \u{1f600} - caf\u{e9}!\nship\tthe old ship\n=\n");
        let pairs: Vec<_> = read
            .pairs
            .iter()
            .map(|p| (p.word.as_str(), p.as_written.as_str()))
            .collect();
        assert_eq!(
            pairs,
            [
                ("my", "My"),
                ("sister", "Siter"),
                ("bridge", "Brij"),
                ("cafe", "caf\u{e9}")
            ]
        );
        assert_eq!(read.passed_over, ["4ever", "\u{1f600}", "ship\tthe old ship"]);
    }
}
