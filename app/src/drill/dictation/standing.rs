//! The words that show where a child stands, asked one after another: the next is chosen from what was written so far, and none is
//! asked that would tell nothing more.

use soundbead_data::course::{CourseWords, Sitting, WrittenTry, set};
use soundbead_data::word::{self, Overrides};
use soundbead_data::writing;

use super::session::with_sentences;
use super::{AskedSet, Dictation, DictationAnswer, MOST_WORDS};

impl Dictation {
    /// A dictation of set `number` of the course, from 0, at its first word.
    pub fn of_set(number: usize, own: &Overrides) -> Dictation {
        let most = set(CourseWords::builtin(), number).len();
        let mut dictation = Dictation::new(Vec::new());
        dictation.set = Some(AskedSet { number, most });
        dictation.choose_next(own);
        dictation
    }

    /// Chooses the next word where the last that was chosen is done. Where none would tell more, the child is done.
    pub(super) fn choose_next(&mut self, own: &Overrides) {
        let Some(chosen) = self.set.filter(|_| self.done() && self.asked.len() < MOST_WORDS) else {
            return;
        };
        let sitting = self.sitting(chosen.number, own);
        let next = sitting.next_word();
        // The word in hand is one of those that are left.
        self.now.about = sitting.about_left().saturating_sub(1);
        self.now.settled = next.is_none();
        if let Some(next) = next {
            let asked = with_sentences(std::slice::from_ref(&next.word), chosen.number as u64);
            self.asked.extend(asked);
            self.now.answers.push(DictationAnswer::default());
        }
    }

    /// What was written so far, as the course reads it. Only first tries without help say where a child stands.
    fn sitting(&self, number: usize, own: &Overrides) -> Sitting<'static> {
        let mut sitting = Sitting::new(set(CourseWords::builtin(), number));
        for (asked, answer) in self.asked.iter().zip(self.answers()) {
            let first = answer.first().filter(|_| !answer.helped_first());
            let reading = first.and_then(|first| writing::read(&word::find(&asked.word, own).ok()?, first).ok());
            match reading.and_then(|reading| WrittenTry::of(0, &reading)) {
                Some(tried) => sitting.take(tried),
                None => sitting.leave(&asked.word),
            }
        }
        sitting
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Writes every word by `spells` until the child is done; the words that were asked.
    fn ask(spells: impl Fn(&str) -> String) -> Dictation {
        let own = Overrides::default();
        let mut dictation = Dictation::of_set(0, &own);
        while let Some(asked) = dictation.word() {
            let text = spells(&asked.word);
            dictation.write(&text);
            assert!(dictation.enter());
            dictation.choose_next(&own);
        }
        dictation
    }

    #[test]
    fn what_is_written_decides_what_is_asked_and_when_it_stops() {
        let able = ask(str::to_owned);
        // Nothing that spells a word's vowels, so what builds on short vowels is out of reach.
        let lost = ask(|word| word.replace(['a', 'e', 'i', 'o', 'u', 'y'], "") + "x");
        let most = able.set().unwrap().most;
        assert!(able.settled() && lost.settled());
        assert!(able.asked().len() <= most);
        assert!(
            lost.asked().len() * 2 < able.asked().len(),
            "{} and {}",
            lost.asked().len(),
            able.asked().len()
        );
        let mut words: Vec<&str> = able.asked().iter().map(|a| a.word.as_str()).collect();
        words.sort_unstable();
        words.dedup();
        assert_eq!(words.len(), able.asked().len(), "no word twice");
        assert_eq!(able.to_come(), 0);
    }

    #[test]
    fn undo_takes_back_what_was_chosen_and_another_answer_chooses_anew() {
        let own = Overrides::default();
        let mut dictation = Dictation::of_set(0, &own);
        let first = dictation.clone();
        dictation.write("zzz");
        dictation.enter();
        dictation.choose_next(&own);
        assert_eq!((dictation.at(), dictation.asked().len()), (Some(1), 2));
        dictation.undo();
        assert_eq!(
            (dictation.asked(), dictation.to_come()),
            (first.asked(), first.to_come())
        );
        assert_eq!(dictation.typed(), "zzz");
    }

    #[test]
    fn a_word_that_was_left_or_helped_with_is_not_asked_again_and_says_nothing() {
        let own = Overrides::default();
        let mut dictation = Dictation::of_set(1, &own);
        for _ in 0..3 {
            dictation.skip();
            dictation.choose_next(&own);
        }
        dictation.help();
        dictation.write("x");
        dictation.enter();
        dictation.choose_next(&own);
        assert!(dictation.sitting(1, &own).tries().is_empty());
        let mut words: Vec<&str> = dictation.asked().iter().map(|a| a.word.as_str()).collect();
        words.sort_unstable();
        words.dedup();
        assert_eq!(words.len(), 5);
        let back = Dictation::read(&dictation.text()).unwrap();
        assert_eq!(
            (back.asked(), back.to_come(), back.set()),
            (dictation.asked(), dictation.to_come(), dictation.set())
        );
    }
}
