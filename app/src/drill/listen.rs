//! The ear on a thread of its own, so that the window goes on while it listens.

use std::sync::mpsc::{self, Sender};
use std::thread;

use soundbead_data::{Rules, Sound};
use soundbead_dsp::audio::Recording;
use soundbead_dsp::ear::EarError;
use soundbead_dsp::judgement::{Judgement, Speaking, Target};

use super::picture::Picture;
use super::work::EarOutcome;
use crate::ask::ear::{NoAnswer, OtherWordRequest, SteadyEar, WordWays};
use crate::later::{Later, Promise, Wake};

/// What is to be listened to.
pub struct ListenRequest {
    /// The recording.
    pub recording: Recording,
    /// The word.
    pub target: Target,
    /// How it was to be said.
    pub speaking: Speaking,
    /// How it is counted.
    pub rules: Rules,
    /// The words of the lesson, one of which may have been said in its place.
    pub lesson: Vec<WordWays>,
}

/// What was heard.
#[derive(Clone, Debug)]
pub struct Listened {
    /// The judgement, or why there is none.
    pub heard: EarOutcome,
    /// Another whole word, where that was clearly said in its place.
    pub other_word: Option<String>,
    /// The recording drawn.
    pub picture: Picture,
}

type SentRequest = (ListenRequest, Promise<Listened>);

/// The ear and its thread. The model is loaded with the first question and kept; the thread ends when this is dropped.
pub struct EarThread {
    questions: Sender<SentRequest>,
    wake: Wake,
}

impl EarThread {
    /// Starts the thread; `wake` is called from it after each answer.
    pub fn new(wake: impl Into<Wake>) -> EarThread {
        let (questions, todo) = mpsc::channel::<SentRequest>();
        thread::spawn(move || {
            let mut ear = SteadyEar::default();
            for (question, promise) in todo {
                // Whoever asked may have let it go meanwhile.
                if promise.wanted() {
                    promise.keep(listen(&mut ear, question));
                }
            }
        });
        EarThread {
            questions,
            wake: wake.into(),
        }
    }

    /// Asks. Dropping what is given lets the question go.
    pub fn ask(&self, question: ListenRequest) -> Later<Listened> {
        let (promise, later) = Later::promised(self.wake.clone(), "Listening to the recording");
        // The thread lives as long as this.
        let _ = self.questions.send((question, promise));
        later
    }
}

fn listen(ear: &mut SteadyEar, question: ListenRequest) -> Listened {
    let ListenRequest {
        recording,
        target,
        speaking,
        rules,
        lesson,
    } = question;
    let other = OtherWordRequest::new(target.clone(), &lesson, rules.clone());
    let among: Vec<Target> = lesson.into_iter().map(|(_, variants)| plain(variants)).collect();
    let heard = judged(ear.ask(|ear| ear.judge_among(&recording, &target, &among, speaking, &rules)));
    let other_word = match &heard {
        EarOutcome::Judged(judged) => ear.ask(|ear| other.answer(ear, &recording, judged)).unwrap_or(None),
        EarOutcome::Not(_) => None,
    };
    Listened {
        heard,
        other_word,
        picture: Picture::of(&recording.clip.samples),
    }
}

/// A word of the lesson as something to listen for.
fn plain(variants: Vec<Vec<Sound>>) -> Target {
    Target {
        variants,
        letters: Vec::new(),
    }
}

fn judged(answer: Result<Result<Judgement, EarError>, NoAnswer>) -> EarOutcome {
    match answer {
        Ok(Ok(judgement)) => EarOutcome::Judged(Box::new(judgement)),
        Ok(Err(e)) => EarOutcome::Not(sentence(&e.to_string())),
        Err(NoAnswer::Model(e)) => EarOutcome::Not(format!(
            "The ear's model cannot be read ({e}). Install the program anew."
        )),
        // A fault of the program's own must not end the lesson.
        Err(NoAnswer::Failed) => EarOutcome::Not("The program failed at this recording. Please report it.".into()),
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
    use crate::drill::LessonWord;
    use soundbead_data::word::Overrides;
    use soundbead_dsp::judgement::Verdict;

    fn question(file: &str, word: &str) -> ListenRequest {
        let path = std::path::Path::new(env!("CARGO_MANIFEST_DIR"))
            .join("../recordings-demo")
            .join(file);
        ListenRequest {
            recording: soundbead_dsp::audio::decode(&path).unwrap(),
            target: LessonWord::find(word, &Overrides::default(), &Rules::default())
                .unwrap()
                .target,
            speaking: Speaking::Whole,
            rules: Rules::default(),
            lesson: Vec::new(),
        }
    }

    fn wait(listener: &EarThread, question: ListenRequest) -> Listened {
        match listener.ask(question).ending() {
            crate::later::WorkResult::Done(listened) => listened,
            other => panic!("no answer: {other:?}"),
        }
    }

    /// What was made is in recordings-demo/README.md.
    #[test]
    fn answers_come_from_another_thread_and_a_dropped_question_is_not_answered() {
        let listener = EarThread::new(Wake::nobody());
        drop(listener.ask(question("04-splash.wav", "goat")));
        let listened = wait(&listener, question("01-goat.wav", "goat"));
        let EarOutcome::Judged(judgement) = listened.heard else {
            panic!("not judged: {:?}", listened.heard)
        };
        assert_eq!((judgement.verdict, judgement.heard), (Some(Verdict::Same), 3));
        assert!(listened.picture.columns() > 100);
        let EarOutcome::Not(line) = wait(&listener, question("34-nothing.wav", "goat")).heard else {
            panic!("silence was judged")
        };
        assert!(line.starts_with("No speech") && line.ends_with('.'), "{line}");
    }
}
