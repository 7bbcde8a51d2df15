//! What a child wrote on paper, typed in by the parent: what can be kept of it, and what cannot, with the reason.

use std::collections::BTreeMap;
use std::fmt;

use jiff::civil::Date;
use soundbead_data::word::{self, Overrides};
use soundbead_data::writing::{WordPair, read_passage};

use crate::fault::one_line;
use crate::notebook::{Help, NewWriting, Writing, WritingSource};
use crate::target::{Doubt, doubt};

/// A list or a passage, read.
pub struct PaperWords {
    /// Words as they were meant and written, in order.
    pub pairs: Vec<WordPair>,
    /// What cannot be kept.
    pub unread: Vec<Unread>,
}

/// What stands on the paper and cannot be kept.
pub struct Unread {
    /// As it stands there.
    pub text: String,
    /// The word that it may be, where it is none itself; none where it is no word of letters at all.
    doubt: Option<Doubt>,
}

impl fmt::Display for Unread {
    /// One line: what, and what to do.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let text = one_line(&self.text);
        match &self.doubt {
            None => write!(f, "`{text}` is not one word of English letters"),
            Some(doubt) => write!(f, "{doubt} Write `{text} =` and the word that was meant"),
        }
    }
}

impl PaperWords {
    /// Reads a text, by the family's own words.
    ///
    /// A word that stands there alone, and is none, was meant for something else, and nobody said for what: kept as the child's
    /// target it would be called right. The same holds for what only rare names are spelled like (*freind*).
    pub fn read(text: &str, own: &Overrides) -> PaperWords {
        let passage = read_passage(text);
        let mut unread: Vec<Unread> = passage
            .passed_over
            .into_iter()
            .map(|text| Unread { text, doubt: None })
            .collect();
        let mut pairs = Vec::new();
        for pair in passage.pairs {
            match word::find(&pair.word, own).ok().and_then(|word| doubt(&word)) {
                Some(doubt) => unread.push(Unread {
                    text: pair.word,
                    doubt: Some(doubt),
                }),
                None => pairs.push(pair),
            }
        }
        PaperWords { pairs, unread }
    }

    /// The rows to be kept of `day`, less those that are `there` already, and how many those are: a file that was mended may be
    /// added again.
    pub fn new_beside(&self, there: &[Writing], day: Date) -> (Vec<NewWriting>, usize) {
        let mut known: BTreeMap<(&str, &str), usize> = BTreeMap::new();
        for row in there {
            *known.entry((&row.word, row.first())).or_default() += 1;
        }
        let new = self.pairs.iter().filter(|pair| {
            match known
                .get_mut(&(pair.word.as_str(), pair.as_written.as_str()))
                .filter(|n| **n > 0)
            {
                Some(left) => {
                    *left -= 1;
                    false
                }
                None => true,
            }
        });
        let new: Vec<NewWriting> = new.map(|pair| on_paper(pair, day)).collect();
        let again = self.pairs.len() - new.len();
        (new, again)
    }
}

fn on_paper(pair: &WordPair, day: Date) -> NewWriting {
    NewWriting {
        session: None,
        word: pair.word.clone(),
        tries: vec![pair.as_written.clone()],
        source: WritingSource::Paper,
        help: Help::None,
        day,
    }
}
