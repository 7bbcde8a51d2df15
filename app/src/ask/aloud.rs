//! A sentence in the model voice, for both faces: read word by word, as for a dictation.

use soundbead_data::lexicon::Pronunciation;
use soundbead_data::sentence::aloud::{self, AloudWord};
use soundbead_data::word::Overrides;
use soundbead_dsp::judgement::Speaking;
use soundbead_dsp::say::SaidSentence;

use super::say::{self, ModelWord};
use crate::fault::Fault;

/// A sentence that is to be said.
#[derive(Clone, Copy, Debug)]
pub struct SentenceRequest<'a> {
    /// As it is written.
    pub text: &'a str,
    /// The word in it that a child is to write, which is never said weakly.
    pub asked: Option<&'a str>,
}

/// A sentence said.
#[derive(Clone, Debug)]
pub struct SentenceAnswer {
    /// The samples, and where each word lies in them.
    pub said: SaidSentence,
    /// The words as they are said there.
    pub words: Vec<AloudWord>,
}

impl SentenceRequest<'_> {
    /// Says it; `own` are the family's own pronunciations.
    ///
    /// # Errors
    /// One line about what in it cannot be said.
    pub fn answer(&self, own: &Overrides) -> Result<SentenceAnswer, Fault> {
        let words = aloud::aloud(self.text, self.asked, own).map_err(Fault::input)?;
        let said = say::voice()
            .and_then(|voice| voice.sentence(&words))
            .map_err(say::fault)?;
        Ok(SentenceAnswer { said, words })
    }
}

/// A sentence for the loudspeaker; none when something in it cannot be said.
pub fn model_of_sentence(text: &str, asked: Option<&str>, own: &Overrides) -> Option<ModelWord> {
    let answer = SentenceRequest { text, asked }.answer(own).ok()?;
    Some(ModelWord {
        samples: answer.said.samples,
        counted_s: Vec::new(),
    })
}

/// A word for the loudspeaker as it is said in its sentence: *wound* may be a hurt, or what she did with the yarn.
pub fn model_of_asked(word: &str, sentence: Option<&str>, own: &Overrides) -> Option<ModelWord> {
    let Some(way) = sentence.and_then(|text| way_in(word, text, own)) else {
        return say::model_of_spelling(word, own);
    };
    let each = vec![1; way.sounds().len()];
    say::model_of(word, way.sounds(), &each, Speaking::Whole)
}

/// How a word is said in a sentence; none where it does not stand there.
fn way_in(word: &str, text: &str, own: &Overrides) -> Option<Pronunciation> {
    let words = aloud::aloud(text, Some(word), own).ok()?;
    let spelling = word.to_lowercase();
    words
        .into_iter()
        .find(|found| found.spelling == spelling)
        .map(|found| found.said)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_word_is_said_as_its_sentence_has_it() {
        let own = Overrides::default();
        let yarn = model_of_asked("wound", Some("She wound the yarn into a ball."), &own);
        let knee = model_of_asked("wound", Some("The wound on his knee has healed."), &own);
        assert!(yarn.is_some() && knee.is_some() && yarn != knee);
        assert_eq!(
            knee,
            model_of_asked("wound", None, &own),
            "by itself it is said in its first way"
        );
        assert_eq!(model_of_sentence("It is 12.", None, &own), None);
    }
}
