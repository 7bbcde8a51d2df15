//! The sentences of `tables/dictation.txt`, written by hand.

use std::collections::HashMap;
use std::sync::LazyLock;

/// One sentence that a person wrote.
#[derive(Debug)]
pub struct WrittenSentence {
    /// As it is written.
    pub text: String,
    /// Its words in small letters, in order; an apostrophe stays (*don't*).
    pub words: Vec<String>,
    /// Places in `words` of those that it was written for: there it shows which word is meant.
    headwords: Vec<usize>,
    /// Places in `words` of those that are said in the second way of `tables/which.tsv`.
    second: Vec<usize>,
}

/// Behind a word that is said in the second of its ways.
const SECOND: &str = "/2";

/// All of them, and where each word stands.
#[derive(Debug, Default)]
pub struct Collection {
    pub sentences: Vec<WrittenSentence>,
    /// For each word the sentences that were written for it.
    written_for: HashMap<String, Vec<usize>>,
    /// For each word those in which it happens to stand.
    in_passing: HashMap<String, Vec<usize>>,
    /// By their text, those in which a word is said in its second way.
    marked: HashMap<String, usize>,
}

static COLLECTION: LazyLock<Collection> = LazyLock::new(|| Collection::new(include_str!("../../tables/dictation.txt")));

/// The collection that comes with the program.
pub fn collection() -> &'static Collection {
    &COLLECTION
}

impl Collection {
    fn new(text: &str) -> Collection {
        let lines = text.lines().filter(|line| !line.is_empty() && !line.starts_with('#'));
        let sentences: Vec<WrittenSentence> = lines.map(WrittenSentence::read).collect();
        let (mut written_for, mut in_passing) = (HashMap::new(), HashMap::new());
        for (number, sentence) in sentences.iter().enumerate() {
            for (place, word) in sentence.words.iter().enumerate() {
                let index: &mut HashMap<String, Vec<usize>> = match sentence.headwords.contains(&place) {
                    true => &mut written_for,
                    false => &mut in_passing,
                };
                index.entry(word.clone()).or_default().push(number);
            }
        }
        let marked = sentences.iter().enumerate().filter(|(_, s)| !s.second.is_empty());
        Collection {
            marked: marked.map(|(number, s)| (s.text.clone(), number)).collect(),
            sentences,
            written_for,
            in_passing,
        }
    }

    /// Places of the words that are said in their second way, where `text` is one of these sentences.
    pub fn second(&self, text: &str) -> &[usize] {
        self.marked
            .get(text)
            .map_or(&[], |&number| &self.sentences[number].second)
    }

    /// The sentences that were written for `word` (in small letters).
    pub fn written_for(&self, word: &str) -> impl Iterator<Item = &WrittenSentence> {
        self.at(self.written_for.get(word))
    }

    /// The sentences in which `word` (in small letters) happens to stand.
    pub fn in_passing(&self, word: &str) -> impl Iterator<Item = &WrittenSentence> {
        self.at(self.in_passing.get(word))
    }

    fn at(&self, places: Option<&Vec<usize>>) -> impl Iterator<Item = &WrittenSentence> {
        places.into_iter().flatten().map(|&place| &self.sentences[place])
    }

    /// Whether there is a sentence with `word`.
    pub fn has(&self, word: &str) -> bool {
        self.written_for.contains_key(word) || self.in_passing.contains_key(word)
    }
}

impl WrittenSentence {
    /// In which of its ways `word` (in small letters) is said here, from 0; none where it is not here, or here in both.
    pub fn way(&self, word: &str) -> Option<usize> {
        let places = self.words.iter().enumerate().filter(|(_, w)| *w == word);
        let mut ways = places.map(|(place, _)| usize::from(self.second.contains(&place)));
        let first = ways.next()?;
        ways.all(|way| way == first).then_some(first)
    }

    fn read(line: &str) -> WrittenSentence {
        let text = line.replace('*', "").replace(SECOND, "");
        let words: Vec<String> = text.split_whitespace().map(bare).collect();
        let headwords = line.split_whitespace().enumerate();
        let headwords = headwords.filter(|(_, word)| word.contains('*'));
        let second = line.split_whitespace().enumerate();
        let second = second.filter(|(_, word)| word.contains(SECOND));
        WrittenSentence {
            headwords: headwords.map(|(place, _)| place).collect(),
            second: second.map(|(place, _)| place).collect(),
            text,
            words,
        }
    }
}

/// A word without the mark that ends the sentence, in small letters.
fn bare(word: &str) -> String {
    word.trim_end_matches(['.', '?']).to_lowercase()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::chain::BlockList;
    use crate::lexicon;

    /// Words that may stand twice in a sentence without anybody noticing.
    const TWICE: [&str; 16] = [
        "the", "a", "an", "to", "was", "were", "is", "are", "of", "in", "on", "and", "my", "for", "i", "it",
    ];

    /// What is wrong with a sentence, if anything.
    fn fault(sentence: &WrittenSentence, block: &BlockList) -> Option<String> {
        let WrittenSentence { text, words, .. } = sentence;
        let known =
            |word: &String| lexicon::look_up(word).is_some() || lexicon::look_up(word.trim_end_matches('\'')).is_some();
        let twice = |(place, word): (usize, &String)| words[..place].contains(word) && !TWICE.contains(&word.as_str());
        let form = text.starts_with(|c: char| c.is_ascii_uppercase())
            && text.ends_with(['.', '?'])
            && text.matches(['.', '?']).count() == 1;
        let blocked = words.iter().find(|word| block.blocks(word));
        let unknown = words.iter().find(|word| !known(word));
        match () {
            () if !(4..=12).contains(&words.len()) => Some("length".to_owned()),
            () if !form => Some("form".to_owned()),
            () if words.iter().enumerate().any(twice) => Some("a word twice".to_owned()),
            () => blocked.or(unknown).cloned(),
        }
    }

    #[test]
    fn each_is_a_sentence_of_words_that_children_may_read() {
        let block = BlockList::builtin();
        let faults = collection().sentences.iter();
        let faults: Vec<_> = faults.filter_map(|s| Some((fault(s, &block)?, &s.text))).collect();
        assert!(faults.is_empty(), "{faults:#?}");
    }

    #[test]
    fn none_is_written_twice_and_each_has_a_headword() {
        let mut seen = std::collections::HashSet::new();
        for sentence in &collection().sentences {
            assert!(seen.insert(&sentence.text), "twice: {}", sentence.text);
            assert!(!sentence.headwords.is_empty(), "{}", sentence.text);
        }
        assert!(seen.len() > 2000, "{}", seen.len());
    }

    #[test]
    fn only_a_word_with_two_ways_is_said_in_its_second() {
        let marked = || {
            collection()
                .sentences
                .iter()
                .flat_map(|s| s.second.iter().map(|&at| &s.words[at]))
        };
        assert!(marked().count() > 40);
        for word in marked() {
            assert!(crate::which::ask(word).is_some_and(|ways| ways.len() == 2), "{word}");
        }
    }

    /// What sounds alike must be told by the sentence, so each of these has sentences that were written for it.
    #[test]
    fn words_that_sound_alike_have_sentences_of_their_own() {
        for pair in [
            "there their",
            "to too",
            "its it's",
            "hear here",
            "write right",
            "wait weight",
            "won one",
        ] {
            for word in pair.split(' ') {
                assert!(collection().written_for(word).next().is_some(), "{word}");
            }
        }
    }
}
