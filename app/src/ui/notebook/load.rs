//! Something asked of the notebook, and what came.

use crate::notebook::Answer;
use crate::ui::shared::Shared;

/// A value that is asked for, comes later, and may be asked for anew while the old one is still shown.
pub struct Load<T> {
    asked: Option<Answer<T>>,
    /// What came last.
    pub value: Option<T>,
}

impl<T> Default for Load<T> {
    fn default() -> Self {
        Load {
            asked: None,
            value: None,
        }
    }
}

impl<T> Load<T> {
    /// Waits for this answer from now on.
    pub fn ask(&mut self, answer: Answer<T>) {
        self.asked = Some(answer);
    }

    /// Whether an answer is on its way.
    pub fn busy(&self) -> bool {
        self.asked.is_some()
    }

    /// Whether nothing came and nothing is on its way.
    pub fn untouched(&self) -> bool {
        self.asked.is_none() && self.value.is_none()
    }

    /// Takes the answer in once it is there; whether there is news. A fault is said at the foot of the window.
    pub fn take(&mut self, shared: &mut Shared) -> bool {
        let Some(answer) = self.asked.as_ref().and_then(Answer::take) else {
            return false;
        };
        self.asked = None;
        match answer {
            Ok(value) => {
                self.value = Some(value);
                true
            }
            Err(e) => {
                shared.say_failed(e.to_string());
                false
            }
        }
    }
}
