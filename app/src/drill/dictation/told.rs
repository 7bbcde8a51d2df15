//! What a child's writing shows, told to the parent word by word, in the words of [`misspelling`].

use soundbead_data::word::{self, Overrides, Source};
use soundbead_data::writing;

use crate::wording::misspelling;

/// What is told of one word.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ToldWord {
    /// The word, as it is spelled.
    pub word: String,
    /// Whether it was written with the word's own letters throughout.
    pub right: bool,
    /// One line.
    pub line: String,
}

/// Reads what was written for a word.
pub fn told(asked: &str, wrote: &str, overrides: &Overrides) -> ToldWord {
    let word = asked.trim().to_lowercase();
    let plain = |line: String| ToldWord {
        word: word.clone(),
        right: false,
        line,
    };
    let Ok(found) = word::find(asked, overrides) else {
        return plain("This is no word that can be read; it is kept as it was written.".into());
    };
    if found.source == Source::Guess {
        return plain(format!(
            "\"{word}\" is not in the dictionary, so nothing is said of it. It is kept as it was written."
        ));
    }
    match writing::read(&found, wrote) {
        Ok(reading) => ToldWord {
            right: reading.right(),
            line: misspelling::line(&reading),
            word,
        },
        Err(e) => plain(format!("It is kept as it was written, but cannot be read: {e}.")),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn of(word: &str, wrote: &str) -> ToldWord {
        told(word, wrote, &Overrides::default())
    }

    #[test]
    fn a_word_is_told_by_its_first_try() {
        let brige = of("bridge", "brige");
        assert!(
            brige.line.starts_with("Every sound is there.") && !brige.right,
            "{}",
            brige.line
        );
        assert!(of("duck", "Duck").right);
    }

    #[test]
    fn what_cannot_be_read_is_said_and_kept() {
        for (word, wrote) in [("snorbled", "snorbeld"), ("duck", "7"), ("", "x")] {
            assert!(
                of(word, wrote).line.contains("kept as it was written"),
                "{word} {wrote}"
            );
        }
    }
}
