//! Sentences for a dictation's words, without words that the family keeps out.

use std::collections::HashSet;

use soundbead_data::chain::BlockList;
use soundbead_data::sentence::{self, MadeSentences, Sentence};

/// How often others are made in the place of those that had a blocked word.
const TURNS: u64 = 8;

/// Sentences made of a dictation's words.
#[derive(Clone, Copy, Debug)]
pub struct DictationRequest<'a> {
    /// The words to be dictated.
    pub words: &'a [&'a str],
    /// How many sentences; at most [`sentence::MOST`].
    pub sentences: usize,
    /// Others for each seed.
    pub seed: u64,
}

impl DictationRequest<'_> {
    /// Makes the sentences as [`sentence::sentences`] does, none of them with a word that `block` keeps out, unless it is
    /// among the given ones.
    pub fn answer(&self, block: &BlockList) -> MadeSentences {
        made(self.words, self.sentences, self.seed, block)
    }
}

fn made(words: &[&str], count: usize, seed: u64, block: &BlockList) -> MadeSentences {
    let given: HashSet<String> = words.iter().map(|w| w.trim().to_lowercase()).collect();
    let fit = |s: &Sentence| {
        let text = s.text.to_lowercase();
        let mut words = text.split(|c: char| !c.is_alphabetic() && c != '\'');
        words.all(|w| given.contains(w) || !block.blocks(w))
    };
    let mut made = sentence::sentences(words, count, seed);
    made.sentences.retain(fit);
    for turn in 1..=TURNS {
        let missing = count.min(sentence::MOST).saturating_sub(made.sentences.len());
        if missing == 0 {
            break;
        }
        let more = sentence::sentences(words, missing, seed.wrapping_add(turn << 32));
        for sentence in more.sentences.into_iter().filter(&fit) {
            if made.sentences.iter().all(|s| s.text != sentence.text) {
                made.sentences.push(sentence);
            }
        }
    }
    let used: HashSet<&String> = made.sentences.iter().flat_map(|s| &s.uses).collect();
    let left_out: HashSet<String> = made.left_out.iter().map(|w| w.to_lowercase()).collect();
    let is_unused = |w: &String| !w.is_empty() && !used.contains(w) && !left_out.contains(w);
    made.unused = given.into_iter().filter(is_unused).collect();
    made.unused.sort();
    made
}

/// What to tell of words that stand in no sentence; none when all do.
pub fn without(made: &MadeSentences) -> Option<String> {
    let all: Vec<&str> = made.left_out.iter().chain(&made.unused).map(String::as_str).collect();
    (!all.is_empty()).then(|| {
        let it = if all.len() == 1 { "it" } else { "them" };
        format!("{}: none is made with {it}; write your own.", all.join(", "))
    })
}

/// What to tell where fewer sentences came than the `asked`; nothing where none was made at all, which [`without`] tells.
pub fn fewer(made: &MadeSentences, asked: usize) -> Option<String> {
    let came = made.sentences.len();
    let some = (1..asked.min(sentence::MOST)).contains(&came);
    some.then(|| format!("{came} of {asked}: no more are written with these words."))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_sentence_has_a_blocked_word_unless_it_was_given() {
        let block = BlockList::builtin().with_lines("duck\nmud*\nbig");
        for seed in 0..40 {
            let made = made(&["clock", "Duck", "snorb"], 6, seed, &block);
            assert!(made.sentences.len() >= 4, "{made:?}");
            assert!(made.sentences.iter().any(|s| s.uses.contains(&"duck".to_owned())));
            for sentence in &made.sentences {
                let text = sentence.text.to_lowercase();
                assert!(text.split(' ').all(|w| w != "big" && !w.starts_with("mud")), "{text}");
            }
            let told = without(&made).unwrap();
            assert_eq!(told, "snorb: none is made with it; write your own.");
            let many = sentence::sentences(&["clock", "duck"], 60, seed);
            let came = many.sentences.len();
            let told = fewer(&many, 60).expect("two words have fewer than sixty");
            assert!(came < 60 && told.starts_with(&format!("{came} of 60: ")), "{told}");
            assert_eq!(fewer(&many, came), None);
        }
    }

    #[test]
    fn what_more_sentences_would_use_is_told() {
        let made = made(
            &["fox", "shelf", "crust", "thumb", "whale", "judge"],
            1,
            3,
            &BlockList::builtin(),
        );
        assert_eq!(made.sentences.len(), 1);
        assert!(!made.unused.is_empty(), "{made:?}");
        let all = made.unused.len() + made.left_out.len() + made.sentences[0].uses.len();
        assert_eq!(all, 6, "{made:?}");
    }
}
