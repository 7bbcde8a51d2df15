//! The rulings of several people on one attempt: whose stands, what they agree on, how two states join.

use soundbead_dsp::judgement::Verdict;

use super::super::{Author, Moment, Ruling, TakenBack, history};
use super::Edits;

impl Edits {
    /// A person's ruling, if they gave one.
    pub fn ruling_by(&self, by: Author) -> Option<&Ruling> {
        self.rulings.iter().find(|r| r.by == by)
    }

    /// What the people who ruled agree on, leaving out those who could not tell; [`Verdict::Unsure`] where they differ or
    /// none could tell, and none where nobody ruled.
    pub fn ruled(&self) -> Option<Verdict> {
        self.rulings.first()?;
        let mut told = self.rulings.iter().map(|r| r.verdict).filter(|v| *v != Verdict::Unsure);
        let first = told.next().unwrap_or(Verdict::Unsure);
        Some(if told.all(|v| v == first) {
            first
        } else {
            Verdict::Unsure
        })
    }

    /// Whether two people who could tell ruled otherwise.
    pub fn people_differ(&self) -> bool {
        let mut told = self.rulings.iter().map(|r| r.verdict).filter(|v| *v != Verdict::Unsure);
        told.next().is_some_and(|first| told.any(|v| v != first))
    }

    /// Puts a person's ruling beside those of others, in the place of their own earlier one.
    pub fn rule(&mut self, ruling: Ruling) {
        if self.ruling_by(ruling.by).is_some_and(|old| old.says(&ruling)) {
            return;
        }
        let (last, _) = self.last_word(ruling.by);
        let at = Moment(ruling.at.0.max(last.0 + 1));
        self.taken_back.retain(|t| t.by != ruling.by);
        self.rulings.retain(|r| r.by != ruling.by);
        self.rulings.push(Ruling { at, ..ruling });
        self.rulings.sort_by_key(|r| r.by);
    }

    /// Takes a person's ruling back.
    pub fn take_back_ruling(&mut self, by: Author) {
        let Some(at) = self.ruling_by(by).map(|r| Moment::after(r.at)) else {
            return;
        };
        self.rulings.retain(|r| r.by != by);
        self.taken_back.push(TakenBack { by, at });
        self.taken_back.sort_by_key(|t| t.by);
    }

    /// Puts each person's latest word of two states together, whichever state it is in.
    pub(in crate::notebook) fn join_rulings(&mut self, other: &Edits) {
        let given = other.rulings.iter().map(|r| (r.by, r.at, Some(r)));
        let taken = other.taken_back.iter().map(|t| (t.by, t.at, None));
        for (by, at, ruling) in given.chain(taken) {
            if (at, ruling_text(ruling)) <= self.last_word(by) {
                continue;
            }
            self.rulings.retain(|r| r.by != by);
            self.taken_back.retain(|t| t.by != by);
            match ruling {
                Some(ruling) => self.rulings.push(ruling.clone()),
                None => self.taken_back.push(TakenBack { by, at }),
            }
        }
        self.rulings.sort_by_key(|r| r.by);
        self.taken_back.sort_by_key(|t| t.by);
    }

    /// When a person last ruled or took it back, and what they said; the text decides between two of one millisecond.
    fn last_word(&self, by: Author) -> (Moment, String) {
        let ruling = self.ruling_by(by);
        let taken = self.taken_back.iter().find(|t| t.by == by).map(|t| t.at);
        let at = ruling.map(|r| r.at).max(taken).unwrap_or(Moment(i64::MIN));
        (at, ruling_text(ruling))
    }
}

fn ruling_text(ruling: Option<&Ruling>) -> String {
    ruling.map(history::body).unwrap_or_default()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn at(ms: i64, verdict: Verdict, by: Author) -> Ruling {
        Ruling {
            at: Moment(ms),
            ..Ruling::new(verdict, by)
        }
    }

    fn joined(a: &Edits, b: &Edits) -> Edits {
        let mut all = a.clone();
        all.join_rulings(b);
        all
    }

    #[test]
    fn two_people_stand_beside_each_other_and_differ_openly() {
        let mut edits = Edits::default();
        assert_eq!(edits.ruled(), None);
        edits.rule(at(1, Verdict::Same, Author::Consultant));
        edits.rule(at(2, Verdict::Unsure, Author::Parent));
        assert_eq!(edits.ruled(), Some(Verdict::Same), "one of them could not tell");
        edits.rule(at(3, Verdict::Fewer, Author::Parent));
        let given: Vec<_> = edits.rulings.iter().map(|r| (r.by, r.verdict)).collect();
        assert_eq!(
            given,
            [(Author::Parent, Verdict::Fewer), (Author::Consultant, Verdict::Same)]
        );
        assert_eq!(edits.ruled(), Some(Verdict::Unsure), "they differ");
        assert!(edits.people_differ());
        edits.take_back_ruling(Author::Parent);
        assert_eq!((edits.ruled(), edits.rulings.len()), (Some(Verdict::Same), 1));
        assert!(!edits.people_differ());
    }

    #[test]
    fn each_persons_latest_word_stands_whoever_joins_first() {
        let (mut here, mut there) = (Edits::default(), Edits::default());
        here.rule(at(1, Verdict::Same, Author::Parent));
        there.rule(at(1, Verdict::Same, Author::Parent));
        there.rule(at(5, Verdict::Changed, Author::Consultant));
        here.take_back_ruling(Author::Parent);
        let all = joined(&here, &there);
        assert_eq!((&all, &joined(&all, &there)), (&joined(&there, &here), &all));
        assert_eq!((all.rulings.len(), all.taken_back.len()), (1, 1));
        let (x, y) = (
            at(9, Verdict::More, Author::Parent),
            at(9, Verdict::Fewer, Author::Parent),
        );
        let (mut a, mut b) = (Edits::default(), Edits::default());
        a.rule(x);
        b.rule(y);
        assert_eq!(joined(&a, &b), joined(&b, &a));
    }
}
