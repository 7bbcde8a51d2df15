//! The ear on a thread of its own, so that the window goes on while it listens.

use std::sync::mpsc::{self, Receiver, Sender};
use std::thread;

use soundbead_data::Rules;
use soundbead_dsp::audio::Recording;
use soundbead_dsp::ear::Ear;
use soundbead_dsp::judgement::{Speaking, Target};

use super::picture::Picture;
use super::work::Heard;

/// What is to be listened to.
pub struct Question {
    /// The recording.
    pub recording: Recording,
    /// The word.
    pub target: Target,
    /// How it was to be said.
    pub speaking: Speaking,
    /// How it is counted.
    pub rules: Rules,
}

/// What was heard.
#[derive(Clone, Debug)]
pub struct Answer {
    /// The judgement, or why there is none.
    pub heard: Heard,
    /// The recording drawn.
    pub picture: Picture,
}

type Sent = (u64, Question);

/// The ear and its thread. The model is loaded with the first question and kept; the thread ends when this is dropped.
pub struct Listener {
    questions: Sender<Sent>,
    answers: Receiver<(u64, Answer)>,
    /// Number of the question in hand; none when cancelled or answered.
    waiting: Option<u64>,
    asked: u64,
}

impl Listener {
    /// Starts the thread; `wake` is called from it after each answer.
    pub fn new(wake: impl Fn() + Send + 'static) -> Listener {
        let (questions, todo) = mpsc::channel::<Sent>();
        let (tell, answers) = mpsc::channel();
        thread::spawn(move || {
            let mut ear = None;
            for (number, question) in todo {
                if tell.send((number, answer(&mut ear, question))).is_err() {
                    break;
                }
                wake();
            }
        });
        Listener {
            questions,
            answers,
            waiting: None,
            asked: 0,
        }
    }

    /// Asks. An earlier question that is not answered yet is dropped.
    pub fn ask(&mut self, question: Question) {
        self.asked += 1;
        self.waiting = Some(self.asked);
        // The thread lives as long as this.
        let _ = self.questions.send((self.asked, question));
    }

    /// Whether an answer is waited for.
    pub fn waiting(&self) -> bool {
        self.waiting.is_some()
    }

    /// Lets the question go.
    pub fn cancel(&mut self) {
        self.waiting = None;
    }

    /// The answer to the last question, once.
    pub fn take(&mut self) -> Option<Answer> {
        while let Ok((number, answer)) = self.answers.try_recv() {
            if self.waiting == Some(number) {
                self.waiting = None;
                return Some(answer);
            }
        }
        None
    }
}

fn answer(ear: &mut Option<Ear>, question: Question) -> Answer {
    let work = std::panic::AssertUnwindSafe(|| judge(ear, &question));
    // A fault of the program's own must not end the lesson; the ear is made anew for the next question.
    let caught = std::panic::catch_unwind(work);
    let heard = caught.unwrap_or_else(|_| Heard::Not("The program failed at this recording. Please report it.".into()));
    Answer {
        heard,
        picture: Picture::of(&question.recording.clip.samples),
    }
}

fn judge(slot: &mut Option<Ear>, question: &Question) -> Heard {
    let mut ear = match slot.take().map_or_else(Ear::new, Ok) {
        Ok(ear) => ear,
        Err(e) => {
            return Heard::Not(format!(
                "The ear's model cannot be read ({e}). Install the program anew."
            ));
        }
    };
    let judged = ear.judge(
        &question.recording,
        Some(&question.target),
        question.speaking,
        &question.rules,
    );
    *slot = Some(ear);
    match judged {
        Ok(judgement) => Heard::Judged(Box::new(judgement)),
        Err(e) => Heard::Not(sentence(&e.to_string())),
    }
}

/// A diagnostic as a sentence.
fn sentence(line: &str) -> String {
    let mut letters = line.chars();
    let first = letters.next().map(|c| c.to_uppercase().to_string()).unwrap_or_default();
    let full = if line.ends_with('.') { "" } else { "." };
    format!("{first}{}{full}", letters.as_str())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::drill::Word;
    use soundbead_data::word::Overrides;
    use soundbead_dsp::judgement::Verdict;
    use std::time::Duration;

    fn question(file: &str, word: &str) -> Question {
        let path = std::path::Path::new(env!("CARGO_MANIFEST_DIR"))
            .join("../recordings-demo")
            .join(file);
        Question {
            recording: soundbead_dsp::audio::decode(&path).unwrap(),
            target: Word::find(word, &Overrides::default(), &Rules::default())
                .unwrap()
                .target,
            speaking: Speaking::Whole,
            rules: Rules::default(),
        }
    }

    fn wait(listener: &mut Listener) -> Answer {
        for _ in 0..3_000 {
            if let Some(answer) = listener.take() {
                return answer;
            }
            thread::sleep(Duration::from_millis(10));
        }
        panic!("no answer in thirty seconds");
    }

    /// What was made is in recordings-demo/README.md.
    #[test]
    fn answers_come_from_another_thread_and_a_dropped_question_is_not_answered() {
        let mut listener = Listener::new(|| ());
        listener.ask(question("04-splash.wav", "goat"));
        listener.ask(question("01-goat.wav", "goat"));
        let answer = wait(&mut listener);
        let Heard::Judged(judgement) = answer.heard else {
            panic!("not judged: {:?}", answer.heard)
        };
        assert_eq!((judgement.verdict, judgement.heard), (Some(Verdict::Same), 3));
        assert!(answer.picture.columns() > 100 && !listener.waiting());
        listener.ask(question("34-nothing.wav", "goat"));
        listener.cancel();
        assert!(!listener.waiting());
        listener.ask(question("34-nothing.wav", "goat"));
        let Heard::Not(line) = wait(&mut listener).heard else {
            panic!("silence was judged")
        };
        assert!(line.starts_with("No speech") && line.ends_with('.'), "{line}");
    }
}
