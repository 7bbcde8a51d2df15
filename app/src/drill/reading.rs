//! A minute of quick reading: words that the child has worked on come one by one, and whoever sits beside it says whether each was
//! read at once.
//!
//! How a word was read the first time stays as it was; a word to be read again comes a second time, which is not counted. What
//! came of it is kept as a note on the learner, in words, so that it is read, handed over and erased like every other note.
//!
//! The minute is measured by whoever polls: nothing here asks a clock.

mod told;

use std::collections::VecDeque;

use jiff::Zoned;
use soundbead_data::chain::Range;

use super::sorting::stirred;
use crate::equipment::{Equipment, News};
use crate::later::Later;
use crate::notebook::{NewNote, Note, NoteBody, NoteSubject, Result, course_day};
use crate::store;

pub use told::{EarlierMinute, ReadTry};

/// How long it is, in seconds.
pub const MINUTE_S: f64 = 60.0;
/// Fewest words that it is made of: with fewer, the child would say them from memory.
pub const LEAST_WORDS: usize = 8;
/// After so many other words a word comes again.
const AGAIN_AFTER: usize = 3;
/// Most words that are gone through before they come round: more are not read in a minute.
const MOST_WORDS: usize = 150;

/// What a person wants.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ReadingIntent {
    /// Get the words ready.
    Open,
    /// Begin the minute.
    Start,
    /// The word was read.
    Read,
    /// The word is to be read again later.
    Again,
    /// Take back what was said of the last word.
    Undo,
    /// That is enough, though the minute is not over.
    Stop,
    /// Put it away.
    Close,
}

/// Where it is.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum ReadingStep {
    /// Not there.
    #[default]
    Closed,
    /// The words are being fetched.
    Fetching,
    /// There are too few words yet.
    TooFew,
    /// The words are ready.
    Ready,
    /// The child reads.
    Reading,
    /// The minute is over; the word that stands there may still be read.
    LastWord,
    /// It is over, and kept.
    Done,
    /// It was ended before the minute was over: nothing is kept.
    Stopped,
}

/// A word that is to come; whether it comes for the second time.
type ComingWord = (String, bool);

/// A minute of reading under way.
#[derive(Default)]
pub struct ReadingSession {
    step: ReadingStep,
    words: Vec<String>,
    earlier: Vec<EarlierMinute>,
    coming: VecDeque<ComingWord>,
    /// How often all words have gone by.
    round: u32,
    read: Vec<ReadTry>,
    past: Vec<(VecDeque<ComingWord>, u32)>,
    spent_s: f64,
    polled_s: Option<f64>,
    today: i64,
    fetching: Option<Later<Result<Fetched>>>,
    keeping: Option<Later<Result<Note>>>,
    news: Vec<News>,
}

/// What the notebook has for it.
struct Fetched {
    words: Vec<String>,
    earlier: Vec<EarlierMinute>,
}

impl ReadingSession {
    /// Does what a person wants.
    pub fn apply(&mut self, at: &mut Equipment, intent: ReadingIntent) {
        match intent {
            ReadingIntent::Open => self.open(at),
            ReadingIntent::Start => self.start(),
            ReadingIntent::Read => self.rule(at, true),
            ReadingIntent::Again => self.rule(at, false),
            ReadingIntent::Undo => self.undo(),
            ReadingIntent::Stop if self.runs() => self.step = ReadingStep::Stopped,
            ReadingIntent::Stop => {}
            ReadingIntent::Close => self.close(),
        }
    }

    fn open(&mut self, at: &Equipment) {
        self.close();
        self.today = course_day(Zoned::now().date());
        let Some(learner) = at.learner.as_ref().map(|l| l.id) else {
            self.step = ReadingStep::TooFew;
            return;
        };
        self.step = ReadingStep::Fetching;
        let folder = at.folder.to_owned();
        self.fetching = Some(at.notebook.ask(move |n| {
            // A list that cannot be read keeps no word out; it is told where words are chosen.
            let block = store::word_list_in(&folder, Range::Common).map(|list| list.block);
            let block = block.unwrap_or_default();
            let words = n.beads(learner, None)?.words.into_iter();
            Ok(Fetched {
                words: words.filter(|word| !block.blocks(word)).collect(),
                earlier: told::earlier(&n.notes_on(learner, &NoteSubject::Learner)?),
            })
        }));
    }

    fn close(&mut self) {
        // A note on its way still arrives: the notebook's own thread has it.
        let (keeping, news) = (self.keeping.take(), std::mem::take(&mut self.news));
        *self = ReadingSession {
            keeping,
            news,
            ..ReadingSession::default()
        };
    }

    fn start(&mut self) {
        if !matches!(self.step, ReadingStep::Ready | ReadingStep::Stopped | ReadingStep::Done) {
            return;
        }
        (self.step, self.spent_s, self.polled_s) = (ReadingStep::Reading, 0.0, None);
        self.read.clear();
        self.past.clear();
        self.coming.clear();
        self.refill();
    }

    /// All words once more, in another order; none stands twice in a row.
    fn refill(&mut self) {
        let seed = format!("{} {} ", self.today, self.round);
        let mut words = self.words.clone();
        words.sort_by_key(|word| stirred(&format!("{seed}{word}")));
        words.truncate(MOST_WORDS);
        let last = self.read.last().map(|r| &r.word);
        if words.len() > 1 && words.first() == last {
            words.rotate_left(1);
        }
        self.coming.extend(words.into_iter().map(|word| (word, false)));
        self.round += 1;
    }

    fn rule(&mut self, at: &Equipment, right: bool) {
        let before = (self.coming.clone(), self.round);
        let Some((word, second)) = self.coming.pop_front().filter(|_| self.runs()) else {
            return;
        };
        self.past.push(before);
        if !right && !second {
            let place = AGAIN_AFTER.min(self.coming.len());
            self.coming.insert(place, (word.clone(), true));
        }
        self.read.push(ReadTry { word, right, second });
        // A word that waits to be read again does not come right behind itself.
        if self.coming.len() <= 1 {
            self.refill();
        }
        if self.step == ReadingStep::LastWord {
            self.step = ReadingStep::Done;
            self.keep(at);
        }
    }

    fn undo(&mut self) {
        if self.runs()
            && let Some((coming, round)) = self.past.pop()
        {
            (self.coming, self.round) = (coming, round);
            self.read.pop();
        }
    }

    /// Keeps what was read as a note on the learner.
    fn keep(&mut self, at: &Equipment) {
        let Some(learner) = at.learner.as_ref().map(|l| l.id) else {
            return;
        };
        let note = NewNote {
            on: NoteSubject::Learner,
            author: *at.author,
            body: NoteBody {
                text: told::note(&self.read),
                ..NoteBody::default()
            },
        };
        self.keeping = Some(at.notebook.ask(move |n| n.add_note(learner, &note)));
    }

    /// Takes in what came. `now_s` is the time in seconds, from any beginning; time that passes while it is not `shown` does not
    /// count. Whether it wants to be polled again soon.
    pub fn poll(&mut self, now_s: f64, shown: bool) -> bool {
        self.poll_notebook();
        if self.step != ReadingStep::Reading || !shown {
            self.polled_s = None;
            return false;
        }
        let since = self.polled_s.replace(now_s).map_or(0.0, |before| now_s - before);
        self.spent_s += since.max(0.0);
        if self.spent_s >= MINUTE_S {
            self.step = ReadingStep::LastWord;
        }
        true
    }

    fn poll_notebook(&mut self) {
        if let Some(fetched) = self.fetching.as_mut().and_then(Later::answer) {
            self.fetching = None;
            match fetched {
                Ok(fetched) => {
                    (self.words, self.earlier) = (fetched.words, fetched.earlier);
                    self.step = match self.words.len() < LEAST_WORDS {
                        true => ReadingStep::TooFew,
                        false => ReadingStep::Ready,
                    };
                }
                Err(e) => {
                    self.news.push(News::Failed(e.to_string()));
                    self.step = ReadingStep::Closed;
                }
            }
        }
        if let Some(kept) = self.keeping.as_mut().and_then(Later::answer) {
            self.keeping = None;
            self.news.push(match kept {
                Ok(note) => {
                    // So that a second minute of the day is told beside the first.
                    self.earlier.splice(0..0, told::earlier(&[note]));
                    News::Said("This minute is in the notebook.".into())
                }
                Err(e) => News::Failed(format!("This minute could not be kept. {e}")),
            });
        }
    }

    /// Whether it is there.
    pub fn is_open(&self) -> bool {
        self.step != ReadingStep::Closed
    }

    /// Where it is.
    pub fn step(&self) -> ReadingStep {
        self.step
    }

    /// How many words there are to read.
    pub fn words(&self) -> usize {
        self.words.len()
    }

    /// The word that the child reads now.
    pub fn word(&self) -> Option<&str> {
        self.coming
            .front()
            .filter(|_| self.runs())
            .map(|(word, _)| word.as_str())
    }

    /// The share of the minute that is over, from 0 to 1.
    pub fn share(&self) -> f32 {
        (self.spent_s / MINUTE_S).min(1.0) as f32
    }

    /// Whether something can be taken back.
    pub fn can_undo(&self) -> bool {
        self.runs() && !self.past.is_empty()
    }

    /// What was read, in order.
    pub fn read(&self) -> &[ReadTry] {
        &self.read
    }

    /// How many words were read at once today, and in the latest minutes before, in words.
    pub fn told(&self) -> String {
        // The minute in hand is the first of the earlier ones as soon as it is kept.
        let kept = usize::from(self.keeping.is_none() && self.step == ReadingStep::Done);
        told::counts(&self.read, &self.earlier[kept.min(self.earlier.len())..], self.today)
    }

    /// Words that were not read at once, each once.
    pub fn again(&self) -> Vec<&str> {
        told::again(&self.read)
    }

    /// The lines that came up since this was asked last.
    pub fn news(&mut self) -> Vec<News> {
        std::mem::take(&mut self.news)
    }

    fn runs(&self) -> bool {
        matches!(self.step, ReadingStep::Reading | ReadingStep::LastWord)
    }
}

#[cfg(test)]
mod tests;
