//! One value that is to be in the notebook: what it should be, what is known to be there, and what is on its way.
//!
//! Nothing is taken for kept before the notebook has said so. A value that could not be kept is tried again: when it
//! changes, when a person asks, and after a while.

use std::collections::VecDeque;
use std::time::{Duration, Instant};

use crate::later::Later;
use crate::notebook::Result;

/// How long a value that could not be kept waits before it is tried again by itself.
const AGAIN: Duration = Duration::from_secs(3);

/// A value on its way into the notebook.
pub struct Saving<T> {
    wanted: Option<T>,
    kept: Option<T>,
    /// What is on its way, the earliest first.
    sent: VecDeque<(T, Later<Result<()>>)>,
    /// Why it could not be kept, and when that was.
    fault: Option<(String, Instant)>,
}

impl<T> Default for Saving<T> {
    fn default() -> Self {
        Saving {
            wanted: None,
            kept: None,
            sent: VecDeque::new(),
            fault: None,
        }
    }
}

impl<T: Clone + PartialEq> Saving<T> {
    /// Wants this value kept.
    pub fn want(&mut self, value: T) {
        if self.wanted.as_ref() != Some(&value) {
            (self.wanted, self.fault) = (Some(value), None);
        }
    }

    /// What is wanted.
    pub fn wanted(&self) -> Option<&T> {
        self.wanted.as_ref()
    }

    /// Takes in what came of what was sent, and sends what is to be sent. `send` gives it to the notebook, which does what
    /// it is given in order: nothing waits for an answer, so that a program that ends now loses nothing.
    pub fn poll(&mut self, send: impl FnOnce(T) -> Later<Result<()>>) {
        while let Some(answer) = self.sent.front_mut().and_then(|(_, later)| later.answer())
            && let Some((value, _)) = self.sent.pop_front()
        {
            match answer {
                Ok(()) => (self.kept, self.fault) = (Some(value), None),
                Err(e) => self.fault = Some((e.to_string(), Instant::now())),
            }
        }
        let waits = self.fault.as_ref().is_some_and(|(_, since)| since.elapsed() < AGAIN);
        let coming = self.sent.back().map(|(value, _)| value).or(self.kept.as_ref());
        if !waits && self.wanted.as_ref() != coming {
            let sent = self.wanted.clone().map(|value| (value.clone(), send(value)));
            self.sent.extend(sent);
        }
    }

    /// Tries again at the next poll.
    pub fn again(&mut self) {
        self.fault = None;
    }

    /// Whether what is wanted is known to be kept, and nothing else is on its way.
    pub fn settled(&self) -> bool {
        self.sent.is_empty() && self.wanted == self.kept
    }

    /// Whether any value is known to be kept.
    pub fn kept_once(&self) -> bool {
        self.kept.is_some()
    }

    /// Why it could not be kept, while that stands.
    pub fn fault(&self) -> Option<&str> {
        self.fault.as_ref().map(|(why, _)| why.as_str())
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::later::Wake;
    use crate::notebook::NotebookError;

    fn answered(answer: Result<()>) -> Later<Result<()>> {
        let (promise, later) = Later::promised(Wake::nobody(), "A test");
        promise.keep(answer);
        later
    }

    fn refused() -> Later<Result<()>> {
        answered(Err(NotebookError::Refused("no room".into())))
    }

    #[test]
    fn what_could_not_be_kept_stays_wanted_says_why_and_is_sent_again() {
        let mut saving = Saving::default();
        saving.want(3);
        saving.poll(|_| refused());
        saving.poll(|_| unreachable!("there is a pause after a fault"));
        assert!(!saving.settled() && saving.fault() == Some("no room"));
        saving.again();
        saving.poll(|value| {
            assert_eq!(value, 3);
            answered(Ok(()))
        });
        saving.poll(|_| unreachable!("it is kept"));
        assert!(saving.settled() && saving.fault().is_none());
    }

    #[test]
    fn a_change_while_a_value_is_on_its_way_is_sent_at_once() {
        let mut saving = Saving::default();
        let mut promises = Vec::new();
        for value in [1, 2] {
            saving.want(value);
            saving.poll(|_| {
                let (promise, later) = Later::promised(Wake::nobody(), "A test");
                promises.push(promise);
                later
            });
        }
        assert_eq!(promises.len(), 2);
        promises.drain(..).for_each(|promise| promise.keep(Ok(())));
        saving.poll(|_| unreachable!("both are kept"));
        assert!(saving.settled());
    }

    #[test]
    fn a_change_after_a_value_was_kept_is_sent() {
        let mut saving = Saving::default();
        saving.want(1);
        saving.poll(|_| answered(Ok(())));
        saving.want(2);
        let mut sent = Vec::new();
        for _ in 0..3 {
            saving.poll(|value| {
                sent.push(value);
                answered(Ok(()))
            });
        }
        assert!(saving.settled());
        assert_eq!(sent, [2]);
    }
}
