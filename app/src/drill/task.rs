//! One thing that the child is asked: the first answer, the latest, and where it stands.
//!
//! A first answer that is not it gets a hint and a second try; only then is the answer shown. The first answer stays as
//! it was given, whatever comes after.

use serde::{Deserialize, Serialize};

/// Where an answer stands.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash, Serialize, Deserialize)]
pub enum TaskStanding {
    /// Nothing was answered.
    #[default]
    Open,
    /// The first answer was not it: there is a hint, and a second try.
    Hint,
    /// The latest answer is it.
    Right,
    /// The answer was shown: the second try was not it, or someone asked.
    Shown,
}

/// One thing that the child is asked.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Task<T> {
    first: Option<T>,
    last: Option<T>,
    standing: TaskStanding,
}

impl<T> Default for Task<T> {
    fn default() -> Self {
        Task {
            first: None,
            last: None,
            standing: TaskStanding::Open,
        }
    }
}

impl<T: Clone + PartialEq> Task<T> {
    /// Takes an answer and whether it is right; whether that changed anything. The same answer once more changes nothing,
    /// so that pressing Enter twice is no second try.
    pub fn answer(&mut self, answer: T, right: bool) -> bool {
        if self.settled() || self.last.as_ref() == Some(&answer) {
            return false;
        }
        self.first.get_or_insert_with(|| answer.clone());
        self.last = Some(answer);
        self.standing = match (right, self.standing) {
            (true, _) => TaskStanding::Right,
            (false, TaskStanding::Open) => TaskStanding::Hint,
            (false, _) => TaskStanding::Shown,
        };
        true
    }

    /// Shows the answer to whoever asks, after a first try; whether that changed anything.
    pub fn show(&mut self) -> bool {
        let shows = self.standing == TaskStanding::Hint;
        if shows {
            self.standing = TaskStanding::Shown;
        }
        shows
    }

    /// The first answer, as it was given.
    pub fn first(&self) -> Option<&T> {
        self.first.as_ref()
    }

    /// The latest answer.
    pub fn last(&self) -> Option<&T> {
        self.last.as_ref()
    }

    /// Where it stands.
    pub fn standing(&self) -> TaskStanding {
        self.standing
    }

    /// Whether the lesson can go on from it.
    pub fn settled(&self) -> bool {
        matches!(self.standing, TaskStanding::Right | TaskStanding::Shown)
    }

    /// Whether it was right at the first try.
    pub fn right_at_once(&self) -> bool {
        self.standing == TaskStanding::Right && self.first == self.last
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_first_answer_that_is_not_it_gets_a_hint_and_a_second_try_and_both_are_kept() {
        let mut task = Task::default();
        assert!(!task.show(), "nothing is shown before a first try");
        assert!(task.answer(4, false) && task.standing() == TaskStanding::Hint);
        assert!(!task.answer(4, false), "the same answer is no second try");
        assert!(task.answer(3, true) && task.standing() == TaskStanding::Right);
        assert!(!task.answer(5, false), "what is settled stays");
        assert_eq!((task.first(), task.last()), (Some(&4), Some(&3)));
        assert!(task.settled() && !task.right_at_once());
    }

    #[test]
    fn after_the_second_try_or_on_asking_the_answer_is_shown() {
        let mut task = Task::default();
        task.answer(4, false);
        task.answer(2, false);
        assert_eq!(
            (task.standing(), task.first(), task.last()),
            (TaskStanding::Shown, Some(&4), Some(&2))
        );
        let mut asked = Task::default();
        asked.answer("k", false);
        assert!(asked.show() && asked.settled() && asked.last() == Some(&"k"));
        let mut right = Task::default();
        right.answer(3, true);
        assert!(right.right_at_once());
    }
}
