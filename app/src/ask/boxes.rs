//! Sound boxes: a word's letters by its sounds, and a search for words to box.

use soundbead_data::chain::{Unit, units};
use soundbead_data::lexicon::Pronunciation;
use soundbead_data::sort::{Corpus, CorpusWord};
use soundbead_data::spelling::{self, LetterBox};
use soundbead_data::word::{self, Overrides, Word};
use soundbead_data::{Rules, chain};

use crate::typed;

/// A word to be boxed.
#[derive(Clone, Copy, Debug)]
pub struct BoxesRequest<'a> {
    /// The word as it was written, said as stands behind a colon where that is meant (`read:R-EH-D`).
    pub word: &'a str,
    /// How its sounds are counted.
    pub rules: &'a Rules,
}

/// Its boxes, of the first way in which it is said.
#[derive(Clone, Debug)]
pub struct BoxesAnswer {
    /// The word and all its ways.
    pub word: Word,
    /// The way that is boxed.
    pub said: Pronunciation,
    /// Its sounds as they are counted.
    pub units: Vec<Unit>,
    /// Its letters over its sounds; none where the two cannot be tied together.
    pub boxes: Option<Vec<LetterBox>>,
}

impl BoxesRequest<'_> {
    /// Boxes the word; `own` are the family's own pronunciations.
    ///
    /// # Errors
    /// One line when it is no word, or what stands behind it no sounds.
    pub fn answer(&self, own: &Overrides) -> Result<BoxesAnswer, String> {
        let (text, meant) = typed::meant(self.word)?;
        let word = word::find(text, own).map_err(|e| e.to_string())?;
        let said = meant.or_else(|| word.variants.first().cloned()).unwrap_or_default();
        Ok(BoxesAnswer {
            units: chain::units(&word.spelling, said.sounds(), self.rules),
            boxes: spelling::boxes(&word.spelling, said.sounds()),
            said,
            word,
        })
    }
}

/// Words to be looked for. What is not said may be anything.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct WordsRequest {
    /// A counted sound that they have.
    pub sound: Option<Unit>,
    /// Letters that stand in one of their boxes.
    pub spelling: Option<String>,
    /// How many counted sounds they have.
    pub count: Option<usize>,
    /// How many syllables they have.
    pub syllables: Option<usize>,
}

impl WordsRequest {
    /// The words that are so, the commonest first; at most `most`.
    pub fn answer<'c>(&self, corpus: &'c Corpus, rules: &Rules, most: usize) -> Vec<&'c CorpusWord> {
        let mut found: Vec<&CorpusWord> = corpus.words().iter().filter(|known| self.fits(known, rules)).collect();
        found.sort_by(|a, b| b.zipf.total_cmp(&a.zipf).then(a.word.cmp(&b.word)));
        found.truncate(most);
        found
    }

    fn fits(&self, known: &CorpusWord, rules: &Rules) -> bool {
        let spelled = |letters: &String| known.boxes.iter().any(|b| b.letters == *letters);
        // Counting takes longest, so it comes last.
        self.spelling.as_ref().is_none_or(spelled) && self.syllables.is_none_or(|n| known.syllables == n) && {
            let row = units(&known.word, known.said.sounds(), rules);
            self.count.is_none_or(|n| row.len() == n) && self.sound.is_none_or(|s| row.contains(&s))
        }
    }
}
