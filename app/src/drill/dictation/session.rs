//! A dictation with all that belongs to it, as a machine without a window: rows in the notebook as they are written, the draft
//! of what was broken off, and what the writing shows once the child is done.

mod keep;

use soundbead_data::sentence;

use super::told::{ToldWord, told};
use super::{DictatedWord, Dictation};
use crate::ask::paper::PaperWords;
use crate::drill::voice::WordVoice;
use crate::equipment::{Equipment, News};
use crate::later::{Later, WorkResult};
use crate::notebook::{Id, WritingSource};
use crate::{store, target, typed};
use keep::DictationKeeper;
pub use keep::DictationLeft;

/// What a person wants.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum DictationIntent {
    /// Dictate these words.
    Start(Vec<DictatedWord>),
    /// Ask the words of this set of the course, from 0, one by one.
    Stand(usize),
    /// Take in what was written on paper.
    Paper(String),
    /// Go on with the dictation that was broken off.
    Resume,
    /// Let that dictation be; what was written in it is kept.
    DropDraft,
    /// What stands in the field.
    Write(String),
    /// Take it, and go to the next word.
    Enter,
    /// Hear the word in hand in the model voice.
    Hear,
    /// Hear its sentence, read word by word.
    HearSentence,
    /// Hear a sentence of the plan, which is written on paper.
    HearPlanned(String),
    /// Help was used at the word in hand.
    Help,
    /// Back to the word before.
    Back,
    /// Leave the word in hand.
    Skip,
    /// The child is done, whatever is left.
    Stop,
    /// Take back what was done last.
    Undo,
    /// Show or hide what is for the grown-up, once the child is done.
    GrownUp(bool),
    /// Try again what could not be written into the notebook.
    SaveAgain,
    /// Leave the dictation as it is; it can go on another day.
    Pause,
    /// It is over.
    End,
}

/// The dictation, and what is before and after it.
#[derive(Default)]
pub struct DictationSession {
    dictation: Option<Dictation>,
    keeper: DictationKeeper,
    /// Dictations that are over or were left, until the notebook has all of them. One that was left goes along: its draft names the
    /// rows, and the last of them may not be there yet.
    finishing: Vec<(DictationKeeper, Option<Dictation>)>,
    /// The learner whose broken-off dictation was asked for, the answer on its way, and what it was.
    drafts_of: Option<Id>,
    asked_draft: Option<Later<crate::notebook::Result<Option<DictationLeft>>>>,
    draft: Option<DictationLeft>,
    reading: Option<Later<Vec<ToldWord>>>,
    told: Option<Vec<ToldWord>>,
    /// What stood on the paper and could not be taken in, a line each.
    unread: Vec<String>,
    /// The same as it stood on the paper.
    untaken: Vec<String>,
    grown_up: bool,
    voice: WordVoice,
    fault: Option<String>,
    news: Vec<News>,
}

impl DictationSession {
    /// Does what a person wants. What takes long goes on elsewhere; [`DictationSession::poll`] takes it in.
    pub fn apply(&mut self, at: &mut Equipment, intent: DictationIntent) {
        let before = self.dictation.as_ref().map(Dictation::at);
        self.act(at, intent);
        // A sentence takes seconds: it does not go on over the next word.
        if self.dictation.as_ref().map(Dictation::at) != before {
            self.voice.silence(at);
        }
        self.after(at);
    }

    fn act(&mut self, at: &mut Equipment, intent: DictationIntent) {
        match intent {
            DictationIntent::Start(words) => self.dictate(at, words),
            DictationIntent::Stand(number) => {
                let own = store::overrides_in(at.folder).unwrap_or_default();
                self.start(at, Dictation::of_set(number, &own), WritingSource::Dictation);
            }
            DictationIntent::Paper(text) => self.paper(at, &text),
            DictationIntent::Resume => self.resume(),
            DictationIntent::DropDraft => self.drop_draft(at),
            DictationIntent::Write(text) => self.with(|d| d.write(&text)),
            DictationIntent::Enter => self.go_on(at, Dictation::enter),
            DictationIntent::Hear => self.hear(at),
            DictationIntent::HearSentence => self.hear_sentence(at),
            DictationIntent::HearPlanned(text) => self.voice.say_sentence(at, &text, None),
            DictationIntent::Help => self.with(Dictation::help),
            DictationIntent::Back => self.with(Dictation::back),
            DictationIntent::Skip => self.go_on(at, |d| {
                d.skip();
                true
            }),
            DictationIntent::Stop => self.with(Dictation::stop),
            DictationIntent::Undo => self.undo(),
            DictationIntent::GrownUp(shown) => self.grown_up = shown,
            DictationIntent::SaveAgain => self.keeper.again(),
            DictationIntent::Pause => self.leave(at, true),
            DictationIntent::End => self.leave(at, false),
        }
    }

    /// Says the word in hand.
    fn hear(&mut self, at: &mut Equipment) {
        if let Some(asked) = self.dictation.as_ref().and_then(Dictation::word) {
            self.voice.say_asked(at, asked);
        }
    }

    /// Reads the sentence of the word in hand; nothing where it has none.
    fn hear_sentence(&mut self, at: &mut Equipment) {
        let asked = self.dictation.as_ref().and_then(Dictation::word);
        if let Some((word, text)) = asked.and_then(|asked| Some((&asked.word, asked.sentence.as_ref()?))) {
            self.voice.say_sentence(at, text, Some(word));
        }
    }

    fn with(&mut self, act: impl FnOnce(&mut Dictation)) {
        if let Some(dictation) = &mut self.dictation {
            act(dictation);
        }
    }

    /// Goes to the next word, which is chosen now where words are chosen one by one.
    fn go_on(&mut self, at: &Equipment, act: impl FnOnce(&mut Dictation) -> bool) {
        let Some(dictation) = &mut self.dictation else { return };
        let chooses = act(dictation) && dictation.done() && dictation.set().is_some();
        if chooses {
            dictation.choose_next(&store::overrides_in(at.folder).unwrap_or_default());
        }
    }

    /// Keeps what was done, and reads it once the child is done.
    fn after(&mut self, at: &Equipment) {
        self.keeper.poll(at.notebook, self.dictation.as_ref());
        let done = self.dictation.as_ref().filter(|d| d.done());
        if done.is_none() {
            (self.told, self.reading, self.grown_up) = (None, None, false);
        } else if let (Some(dictation), None, None) = (done, &self.told, &self.reading) {
            let answers = dictation.asked().iter().zip(dictation.answers());
            let pairs: Vec<(String, String)> = answers
                .map(|(asked, answer)| (asked.word.clone(), answer.first().unwrap_or("").to_owned()))
                .collect();
            let folder = at.folder.to_owned();
            self.reading = Some(Later::start(at.wake.clone(), "Reading what was written", move |_| {
                let own = store::overrides_in(&folder).unwrap_or_default();
                pairs.iter().map(|(word, wrote)| told(word, wrote, &own)).collect()
            }));
        }
    }

    /// A word that looks misspelled is asked about first: the child's writing would be held against the slip.
    fn dictate(&mut self, at: &Equipment, words: Vec<DictatedWord>) {
        let own = store::overrides_in(at.folder).unwrap_or_default();
        let doubt = words.iter().find_map(|asked| target::question(&asked.word, &own));
        match doubt {
            Some(doubt) => self.fault = Some(doubt.to_string()),
            None => self.start(at, Dictation::new(words), WritingSource::Dictation),
        }
    }

    /// Without a learner nothing begins: what a child writes is kept, or not asked for.
    fn start(&mut self, at: &Equipment, dictation: Dictation, source: WritingSource) {
        (self.fault, self.unread, self.untaken) = (None, Vec::new(), Vec::new());
        let Some(learner) = at.learner.as_ref().map(|l| l.id) else {
            self.fault = Some("Say who is learning first: then what is written is kept.".into());
            return;
        };
        if dictation.asked().is_empty() {
            self.fault = Some("There are no words to dictate yet.".into());
        } else if self.dictation.is_none() {
            self.keeper = DictationKeeper::new(learner, source, vec![None; dictation.asked().len()]);
            self.dictation = Some(dictation);
        }
    }

    fn paper(&mut self, at: &Equipment, text: &str) {
        let own = store::overrides_in(at.folder).unwrap_or_default();
        let paper = PaperWords::read(text, &own);
        let unread: Vec<String> = paper.unread.iter().map(ToString::to_string).collect();
        let untaken = paper.unread.iter().map(|unread| unread.text.clone()).collect();
        let pairs: Vec<(String, String)> = paper.pairs.into_iter().map(|p| (p.word, p.as_written)).collect();
        if pairs.is_empty() {
            let line = "Nothing in it can be read as a word. Write each as it was written, and what was meant behind it: siter = sister.";
            self.fault = Some(unread.into_iter().next().unwrap_or_else(|| line.into()));
            return;
        }
        if pairs.len() > super::MOST_WORDS {
            let (found, most) = (pairs.len(), super::MOST_WORDS);
            self.fault = Some(format!(
                "These are {found} words; take in {most} at a time, so that each can be looked at."
            ));
            return;
        }
        self.start(at, Dictation::of_paper(pairs), WritingSource::Paper);
        if self.fault.is_none() {
            (self.unread, self.untaken, self.grown_up) = (unread, untaken, true);
        }
    }

    fn resume(&mut self) {
        if self.dictation.is_some() {
            return;
        }
        if let (Some(left), Some(learner)) = (self.draft.take(), self.drafts_of) {
            self.keeper = DictationKeeper::going_on(learner, &left);
            self.dictation = Some(left.into_dictation());
        }
    }

    /// What stood in the field when it was broken off is kept as well.
    fn drop_draft(&mut self, at: &Equipment) {
        self.resume();
        self.with(Dictation::stop);
        self.leave(at, false);
    }

    fn undo(&mut self) {
        let Some(dictation) = &mut self.dictation else { return };
        if dictation.can_undo() {
            dictation.undo();
        } else if dictation.done() {
            // What came from paper at one press goes at one press.
            self.keeper.take_all_back();
            let mut keeper = std::mem::take(&mut self.keeper);
            keeper.end();
            self.finishing.push((keeper, None));
            self.dictation = None;
            self.news
                .push(News::Said("What was typed in is out of the notebook again.".into()));
        }
    }

    fn leave(&mut self, at: &Equipment, goes_on: bool) {
        let Some(dictation) = self.dictation.take() else { return };
        let goes_on = goes_on && !dictation.done();
        if !goes_on {
            let mut over = dictation.clone();
            over.stop();
            self.keeper.poll(at.notebook, Some(&over));
            self.keeper.end();
        }
        let written = dictation.written();
        self.finishing
            .push((std::mem::take(&mut self.keeper), goes_on.then_some(dictation)));
        (self.drafts_of, self.draft) = (None, None);
        let line = match (goes_on, written) {
            (true, _) => "The dictation is kept as it is. It can go on another day.",
            (false, 0) => return,
            (false, _) => "What was written is in the notebook.",
        };
        self.news.push(News::Said(line.into()));
    }

    /// Takes in what came.
    pub fn poll(&mut self, at: &mut Equipment) {
        self.poll_draft(at);
        self.voice.poll(at);
        if let Some(ending) = self.reading.as_mut().and_then(Later::take) {
            self.reading = None;
            self.told = match ending {
                WorkResult::Done(told) => Some(told),
                WorkResult::Cancelled | WorkResult::Failed => Some(Vec::new()),
            };
        }
        for (keeper, left) in &mut self.finishing {
            keeper.poll(at.notebook, left.as_ref());
        }
        self.finishing.retain(|(keeper, _)| !keeper.over());
        self.keeper.poll(at.notebook, self.dictation.as_ref());
    }

    /// Asks once a learner whether a dictation was broken off. A dictation belongs to its learner: with another in hand it
    /// is left to go on another day.
    fn poll_draft(&mut self, at: &Equipment) {
        let learner = at.learner.as_ref().map(|l| l.id);
        if self.dictation.is_some() && learner != self.keeper.learner() {
            self.leave(at, true);
        }
        if self.drafts_of != learner && self.dictation.is_none() && self.finishing.is_empty() {
            (self.drafts_of, self.draft) = (learner, None);
            self.asked_draft = learner.map(|id| keep::draft(at, id));
        }
        if let Some(answer) = self.asked_draft.as_mut().and_then(Later::answer) {
            self.asked_draft = None;
            match answer {
                Ok(draft) => self.draft = draft.filter(|_| self.dictation.is_none()),
                Err(e) => self.news.push(News::Failed(e.to_string())),
            }
        }
    }

    /// The dictation, while there is one.
    pub fn dictation(&self) -> Option<&Dictation> {
        self.dictation.as_ref()
    }

    /// Whether it is known if one was broken off.
    pub fn knows_drafts(&self) -> bool {
        self.drafts_of.is_some() && self.asked_draft.is_none()
    }

    /// One that was broken off.
    pub fn draft(&self) -> Option<&DictationLeft> {
        self.draft.as_ref().filter(|_| self.dictation.is_none())
    }

    /// What the writing shows, word by word, once the child is done.
    pub fn told(&self) -> Option<&[ToldWord]> {
        self.told.as_deref()
    }

    /// What stood on the paper and could not be taken in, a line each.
    pub fn unread(&self) -> &[String] {
        &self.unread
    }

    /// The same as it stood there, so that it need not be typed again.
    pub fn untaken(&self) -> &[String] {
        &self.untaken
    }

    /// Whether what is for the grown-up is shown.
    pub fn grown_up(&self) -> bool {
        self.grown_up
    }

    /// Why the word in hand was not heard.
    pub fn no_sound(&self) -> Option<&str> {
        self.voice.fault()
    }

    /// Why nothing could begin.
    pub fn fault(&self) -> Option<&str> {
        self.fault.as_deref()
    }

    /// Why something is not in the notebook, while that is so.
    pub fn unkept(&self) -> Option<&str> {
        std::iter::once(&self.keeper)
            .chain(self.finishing.iter().map(|(keeper, _)| keeper))
            .find_map(DictationKeeper::fault)
    }

    /// The lines that came up since this was asked last.
    pub fn news(&mut self) -> Vec<News> {
        std::mem::take(&mut self.news)
    }
}

/// The words with a sentence for each, where there is one. Behind a word may stand the way in which it is meant (`read:R-EH-D`):
/// then its sentence says it so.
pub fn with_sentences(words: &[String], seed: u64) -> Vec<DictatedWord> {
    let any = |word: &str| {
        let made = sentence::sentences(&[word], 1, seed);
        made.sentences.into_iter().next().map(|s| s.text)
    };
    let each = |text: &String| match typed::meant(text) {
        Ok((word, Some(said))) => DictatedWord {
            word: word.to_owned(),
            sentence: sentence::said_so(word, &said, seed).map(str::to_owned),
            said: Some(said.to_string()),
        },
        _ => DictatedWord {
            word: text.clone(),
            sentence: any(text),
            said: None,
        },
    };
    words.iter().map(each).collect()
}

#[cfg(test)]
mod tests;
