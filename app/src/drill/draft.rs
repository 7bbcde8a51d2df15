//! A lesson that was interrupted, written down so that it can go on another day.

use std::collections::BTreeSet;

use serde::{Deserialize, Serialize};
use soundbead_data::word::Overrides;
use soundbead_data::{Rules, Sound};
use soundbead_dsp::judgement::Speaking;

use super::lesson::Lesson;
use super::task::Task;
use super::word::LessonWord;
use super::work::{PointedBead, TryKept, WordStep, WordWork};
use crate::notebook::{Author, Cued, Id};

/// The key under which the notebook keeps it.
pub const KEY: &str = "drill";

/// What is written down.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct LessonDraft {
    /// The notebook's session, if one was begun.
    pub session: Option<Id>,
    words: Vec<WordDraft>,
    at: usize,
    speaking: String,
    /// Words that the program helped with, by number.
    #[serde(default)]
    helped: BTreeSet<usize>,
    /// The counting rules that differ from the plain ones.
    #[serde(default)]
    rules: Vec<(String, String)>,
}

#[derive(Clone, Debug, Serialize, Deserialize)]
struct WordDraft {
    word: String,
    sounds: Vec<String>,
    step: u8,
    beads: usize,
    /// The notebook's attempt that holds the latest recording.
    #[serde(default)]
    attempt: Option<Id>,
    #[serde(default)]
    ruling: Option<String>,
    /// Whose ruling.
    #[serde(default)]
    by: Option<Author>,
    /// The notebook's row of a word without a recording.
    #[serde(default)]
    bare: Option<Id>,
    #[serde(default)]
    count: Task<usize>,
    #[serde(default)]
    which: Task<PointedBead>,
    /// As they are typed.
    #[serde(default)]
    letters: Vec<String>,
    #[serde(default)]
    spelled: Task<Vec<String>>,
}

const STEPS: [WordStep; 4] = [WordStep::Beads, WordStep::Look, WordStep::Which, WordStep::Letters];

impl LessonDraft {
    /// The lesson as it is; `bare` gives the notebook's row of a word without a recording.
    pub fn of(lesson: &Lesson, session: Option<Id>, bare: impl Fn(usize) -> Option<Id>) -> LessonDraft {
        let words = lesson.words().iter().zip(lesson.works()).enumerate();
        LessonDraft {
            session,
            words: words.map(|(at, (word, work))| one(word, work, bare(at))).collect(),
            at: lesson.at(),
            speaking: lesson.speaking().name().to_owned(),
            helped: (0..lesson.words().len())
                .filter(|at| lesson.cued(*at) == Cued::Cued)
                .collect(),
            rules: unlike_plain(lesson.rules()),
        }
    }

    /// As text.
    pub fn text(&self) -> String {
        serde_json::to_string(self).unwrap_or_default()
    }

    /// From text.
    ///
    /// # Errors
    /// When it is not a draft of a lesson.
    pub fn read(text: &str) -> Result<LessonDraft, String> {
        let draft: LessonDraft = serde_json::from_str(text).map_err(|e| e.to_string())?;
        if draft.words.is_empty() {
            Err("it has no words".into())
        } else {
            Ok(draft)
        }
    }

    /// The same, counted by these rules from now on.
    #[must_use]
    pub fn counted_by(mut self, rules: &Rules) -> LessonDraft {
        self.rules = unlike_plain(rules);
        self
    }

    /// The word in hand, its number from 1, and how many there are.
    pub fn place(&self) -> (&str, usize, usize) {
        let at = self.at.min(self.words.len() - 1);
        (&self.words[at].word, at + 1, self.words.len())
    }

    /// The attempt whose recording was being looked at, if one was.
    pub fn attempt(&self) -> Option<Id> {
        self.words[self.at.min(self.words.len() - 1)].attempt
    }

    /// The words that were recorded, by number.
    pub fn said(&self) -> BTreeSet<usize> {
        let each = self.words.iter().enumerate();
        each.filter(|(_, word)| word.attempt.is_some())
            .map(|(at, _)| at)
            .collect()
    }

    /// The notebook's rows of words, with the words' numbers.
    pub fn rows(&self) -> Vec<(usize, Id)> {
        let each = self.words.iter().enumerate();
        each.filter_map(|(at, word)| Some((at, word.attempt.or(word.bare)?)))
            .collect()
    }

    /// The lesson again. Recordings are not in it: a word at which one was being looked at is at its beads again, until
    /// the recording is brought back from the notebook.
    ///
    /// # Errors
    /// When a word cannot be read any more; the line names it.
    pub fn lesson(&self, overrides: &Overrides) -> Result<Lesson, String> {
        let mut rules = Rules::default();
        for (name, value) in &self.rules {
            rules.set(name, value).map_err(|e| e.to_string())?;
        }
        let mut words = Vec::new();
        let mut works = Vec::new();
        for draft in &self.words {
            let sounds = draft
                .sounds
                .iter()
                .map(|s| s.parse::<Sound>())
                .collect::<Result<Vec<_>, _>>();
            let sounds = sounds.map_err(|e| e.to_string())?;
            words.push(LessonWord::said_as(&draft.word, &sounds, overrides, &rules)?);
            works.push(draft.work());
        }
        let mut lesson = Lesson::resumed(words, rules, works, self.at, self.helped.clone());
        lesson.ask_for(self.speaking.parse().unwrap_or(Speaking::Whole));
        Ok(lesson)
    }
}

fn unlike_plain(rules: &Rules) -> Vec<(String, String)> {
    let plain = Rules::default();
    let differ = rules.iter().zip(plain.iter()).filter(|(now, plain)| now.1 != plain.1);
    differ
        .map(|((name, value), _)| (name.to_owned(), value.to_owned()))
        .collect()
}

impl WordDraft {
    fn work(&self) -> WordWork {
        let step = STEPS.get(usize::from(self.step)).copied().unwrap_or_default();
        WordWork {
            step: match step {
                WordStep::Look if self.attempt.is_some() => WordStep::Beads,
                other => other,
            },
            beads: self.beads.min(super::MOST_BEADS),
            latest: None,
            ruling: self
                .ruling
                .as_ref()
                .and_then(|name| name.parse().ok())
                .map(|verdict| (verdict, self.by.unwrap_or(Author::Parent))),
            count: self.count.clone(),
            which: self.which.clone(),
            letters: self.letters.clone(),
            spelled: self.spelled.clone(),
        }
    }
}

fn one(word: &LessonWord, work: &WordWork, bare: Option<Id>) -> WordDraft {
    let kept = work.latest.as_ref().and_then(|latest| match latest.kept {
        TryKept::As(id) => Some(id),
        _ => None,
    });
    WordDraft {
        word: word.spelling.clone(),
        sounds: word.sounds.iter().map(ToString::to_string).collect(),
        step: STEPS.iter().position(|s| *s == work.step).unwrap_or(0) as u8,
        beads: work.beads,
        attempt: kept,
        ruling: work.ruling.map(|(verdict, _)| verdict.name().to_owned()),
        by: work.ruling.map(|(_, by)| by),
        bare,
        count: work.count.clone(),
        which: work.which.clone(),
        letters: work.letters.clone(),
        spelled: work.spelled.clone(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::drill::read;

    #[test]
    fn a_lesson_comes_back_as_it_was_left() {
        let rules = Rules::named("phonics").unwrap();
        let mut lesson = Lesson::new(read("barn bark dark", &Overrides::default(), &rules).unwrap(), rules);
        lesson.ask_for(Speaking::Stretched);
        lesson.set_beads(3);
        lesson.go_on();
        lesson.go_on();
        lesson.write(1, "ar".into());
        lesson.skip();
        lesson.set_beads(2);
        let text = LessonDraft::of(&lesson, None, |_| None).text();
        let draft = LessonDraft::read(&text).unwrap();
        assert_eq!(draft.place(), ("bark", 2, 3));
        let mut back = draft.lesson(&Overrides::default()).unwrap();
        assert_eq!(back.word().count(), 3, "counted as it was");
        assert_eq!(
            (back.at(), back.work().beads, back.speaking()),
            (1, 2, Speaking::Stretched)
        );
        assert_eq!(back.works()[0].letters, ["", "ar", ""]);
        assert_eq!(back.works()[0].count.first(), Some(&3));
        assert_eq!(back.works()[0].step, WordStep::Letters);
        assert!(back.undo().is_none());
        assert_eq!(LessonDraft::of(&back, None, |_| None).text(), text);
    }

    #[test]
    fn what_is_no_draft_is_refused() {
        for text in [
            "",
            "{}",
            "[1]",
            r#"{"session":null,"words":[],"at":0,"speaking":"whole"}"#,
        ] {
            assert!(LessonDraft::read(text).is_err(), "{text}");
        }
        let odd = r#"{"session":null,"words":[{"word":"7","sounds":[],"step":9,"beads":99}],"at":44,"speaking":"?"}"#;
        let draft = LessonDraft::read(odd).unwrap();
        assert_eq!(draft.place(), ("7", 1, 1));
        assert!(draft.lesson(&Overrides::default()).unwrap_err().contains("`7`"));
    }
}
