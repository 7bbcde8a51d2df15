//! Signs in the list of attempts: which have notes, whose, and whether one waits for an answer.

use std::collections::HashMap;

use crate::notebook::{Author, Id, Note, NoteSubject};

/// That an attempt has notes.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct NoteSign {
    parent: bool,
    consultant: bool,
    /// Whether one of them is neither answered nor settled.
    pub waits: bool,
}

impl NoteSign {
    /// Takes in one more note.
    pub fn add(&mut self, note: &Note) {
        match note.author {
            Author::Parent => self.parent = true,
            Author::Consultant => self.consultant = true,
        }
        self.waits |= note.waits();
    }

    /// In words: `a note by the parent, without an answer`.
    pub fn words(self) -> String {
        let by = match (self.parent, self.consultant) {
            (true, true) => "notes by the parent and the consultant",
            (_, true) => "a note by the consultant",
            _ => "a note by the parent",
        };
        let open = if self.waits { ", without an answer" } else { "" };
        format!("{by}{open}")
    }
}

/// The sign of each attempt that has one.
pub fn signs(notes: &[Note]) -> HashMap<Id, NoteSign> {
    let mut all: HashMap<Id, NoteSign> = HashMap::new();
    for note in notes {
        if let NoteSubject::Attempt(id) = note.on {
            all.entry(id).or_default().add(note);
        }
    }
    all
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::notebook::{Moment, NoteAnswer, NoteBody};
    use jiff::civil::date;

    const ID: &str = "11111111111111111111111111111111";
    const OTHER: &str = "22222222222222222222222222222222";

    fn note(on: NoteSubject, author: Author, answered: bool) -> Note {
        let answer = NoteAnswer {
            at: Moment(1),
            by: Author::Consultant,
            text: "Thank you.".into(),
        };
        Note {
            id: ID.parse().unwrap(),
            on,
            author,
            made: Moment(0),
            day: date(2026, 11, 29),
            body: NoteBody {
                text: "Tongue behind the teeth.".into(),
                answers: Vec::from_iter(answered.then_some(answer)),
                ..NoteBody::default()
            },
            changed: Moment(0),
        }
    }

    #[test]
    fn an_attempt_with_notes_says_whose_and_whether_one_waits() {
        let (one, other): (Id, Id) = (ID.parse().unwrap(), OTHER.parse().unwrap());
        let on = NoteSubject::Attempt;
        let all = signs(&[
            note(on(one), Author::Parent, true),
            note(on(one), Author::Consultant, false),
            note(on(other), Author::Parent, true),
            note(NoteSubject::Learner, Author::Parent, false),
        ]);
        assert_eq!(all.len(), 2, "a note on the learner is on no attempt");
        assert_eq!(
            all[&one].words(),
            "notes by the parent and the consultant, without an answer"
        );
        assert_eq!(all[&other].words(), "a note by the parent");
    }
}
