//! Where the learner in hand stands: first tries, what the parent says of the choices, and the day. It asks the notebook,
//! and tells it what the parent says.

use jiff::Zoned;
use soundbead_data::course::{Choice, NamedChoices, WrittenTry};

use crate::later::Later;
use crate::notebook::{Desk, Id, Result, course_day};

/// What is known of a child's writing, and what the parent says was taught.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct WritingEvidence {
    /// First tries without help, each on its day.
    pub tries: Vec<WrittenTry>,
    /// What the parent says of the choices.
    pub named: NamedChoices,
    /// Today, counted as the tries' days are.
    pub today: i64,
    /// Beads on the child's string.
    pub beads: usize,
    /// Different words that the child has worked on.
    pub worked: usize,
}

/// The evidence, and what is on its way.
#[derive(Default)]
pub struct EvidenceLoader {
    learner: Option<Id>,
    asked: Option<Later<Result<WritingEvidence>>>,
    evidence: Option<WritingEvidence>,
    naming: Vec<Later<Result<Option<bool>>>>,
    fault: Option<String>,
}

impl EvidenceLoader {
    /// Takes in what came; asks anew when another learner is in hand.
    pub fn poll(&mut self, notebook: &Desk, learner: Option<Id>) {
        if self.learner != learner {
            (self.learner, self.evidence, self.fault) = (learner, None, None);
            self.renew(notebook);
        }
        if let Some(answer) = self.asked.as_mut().and_then(Later::answer) {
            self.asked = None;
            match answer {
                Ok(evidence) => self.evidence = Some(evidence),
                Err(e) => self.fault = Some(e.to_string()),
            }
        }
        let mut faults = Vec::new();
        self.naming.retain_mut(|later| match later.answer() {
            None => true,
            Some(answer) => {
                faults.extend(answer.err());
                false
            }
        });
        if let Some(fault) = faults.pop() {
            self.fault = Some(fault.to_string());
            self.renew(notebook);
        }
    }

    /// Asks the notebook anew: something was written since.
    pub fn renew(&mut self, notebook: &Desk) {
        self.asked = self.learner.map(|learner| {
            notebook.ask(move |n| {
                let beads = n.beads(learner, None)?;
                Ok(WritingEvidence {
                    tries: n.course_tries(learner)?,
                    named: n.named_choices(learner)?,
                    today: course_day(Zoned::now().date()),
                    beads: beads.count,
                    worked: beads.words.len(),
                })
            })
        });
    }

    /// The parent says that a choice was taught, that it was not, or (none) that the writing is to say so.
    pub fn name_choice(&mut self, notebook: &Desk, choice: Choice, taught: Option<bool>) {
        let (Some(learner), Some(evidence)) = (self.learner, &mut self.evidence) else {
            return;
        };
        let named = &mut evidence.named;
        named.taught.remove(&choice);
        named.not_taught.remove(&choice);
        match taught {
            Some(true) => drop(named.taught.insert(choice)),
            Some(false) => drop(named.not_taught.insert(choice)),
            None => {}
        }
        self.fault = None;
        self.naming
            .push(notebook.ask(move |n| n.name_choice(learner, choice, taught)));
    }

    /// The evidence, once it is known.
    pub fn evidence(&self) -> Option<&WritingEvidence> {
        self.evidence.as_ref()
    }

    /// Why something could not be read or kept.
    pub fn fault(&self) -> Option<&str> {
        self.fault.as_deref()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::later::Wake;
    use crate::notebook::{Help, NewWriting, WritingSource};
    use soundbead_data::Rules;

    #[test]
    fn what_was_written_and_what_the_parent_says_are_there_and_stay() {
        let folder = std::env::temp_dir().join(format!("soundbead-course-{}", std::process::id()));
        let _ = std::fs::remove_dir_all(&folder);
        let desk = Desk::new(folder.clone(), Wake::nobody());
        let juno = desk
            .ask(|n| n.add_learner("Juno", &Rules::default()))
            .wait()
            .unwrap()
            .id;
        let new = NewWriting {
            session: None,
            word: "duck".into(),
            tries: vec!["duk".into()],
            source: WritingSource::Dictation,
            help: Help::None,
            day: Zoned::now().date(),
        };
        desk.ask(move |n| n.keep_writing(juno, &new)).wait().unwrap();
        let until = |course: &mut EvidenceLoader, done: &dyn Fn(&EvidenceLoader) -> bool| {
            while !done(course) {
                course.poll(&desk, Some(juno));
                std::thread::yield_now();
            }
        };
        let mut course = EvidenceLoader::default();
        until(&mut course, &|c| c.evidence().is_some());
        let evidence = course.evidence().unwrap().clone();
        assert_eq!((evidence.tries.len(), evidence.tries[0].day), (1, evidence.today));
        assert_eq!(evidence.beads, 1, "a bead for the word");
        course.name_choice(&desk, Choice::KSpelling, Some(false));
        assert!(course.evidence().unwrap().named.not_taught.contains(&Choice::KSpelling));
        let mut again = EvidenceLoader::default();
        until(&mut again, &|c| c.evidence().is_some());
        assert_eq!(again.evidence(), course.evidence());
        course.poll(&desk, None);
        assert_eq!(course.evidence(), None, "nobody is in hand");
        drop((course, again));
        drop(desk);
        std::fs::remove_dir_all(&folder).unwrap();
    }
}
