//! What one step of a chain changes.

use std::fmt;
use std::str::FromStr;

use super::Unit;
use crate::Sound;

/// How a word becomes the next.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum ChangeKind {
    /// One sound becomes another.
    Swap,
    /// One sound more.
    Add,
    /// One sound fewer.
    Drop,
}

/// Where in the word the change is. An added sound is sought in the later word, any other in the earlier.
///
/// A sound that is the whole word counts as initial.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Place {
    /// The first sound.
    Initial,
    /// Neither first nor last.
    Medial,
    /// The last sound of two or more.
    Final,
}

impl ChangeKind {
    /// Every kind.
    pub const ALL: [ChangeKind; 3] = [ChangeKind::Swap, ChangeKind::Add, ChangeKind::Drop];

    /// `swap`, `add` or `drop`.
    pub fn name(self) -> &'static str {
        match self {
            ChangeKind::Swap => "swap",
            ChangeKind::Add => "add",
            ChangeKind::Drop => "drop",
        }
    }

    /// The kind of the same step taken backwards.
    pub fn reversed(self) -> ChangeKind {
        match self {
            ChangeKind::Swap => ChangeKind::Swap,
            ChangeKind::Add => ChangeKind::Drop,
            ChangeKind::Drop => ChangeKind::Add,
        }
    }
}

impl Place {
    /// Every place.
    pub const ALL: [Place; 3] = [Place::Initial, Place::Medial, Place::Final];

    /// The place of sound `at` among `count`.
    pub fn of(at: usize, count: usize) -> Place {
        match at {
            0 => Place::Initial,
            at if at + 1 == count => Place::Final,
            _ => Place::Medial,
        }
    }

    /// `initial`, `medial` or `final`.
    pub fn name(self) -> &'static str {
        match self {
            Place::Initial => "initial",
            Place::Medial => "medial",
            Place::Final => "final",
        }
    }
}

/// The text names no kind or place of change.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct UnknownName {
    /// The text.
    pub found: String,
    /// What it could have been.
    pub wanted: &'static str,
}

impl fmt::Display for UnknownName {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "found `{}`, wanted {}", self.found, self.wanted)
    }
}

impl std::error::Error for UnknownName {}

/// Reads and writes a closed set of names.
macro_rules! named {
    ($type:ty, $wanted:literal) => {
        impl FromStr for $type {
            type Err = UnknownName;

            /// Reads the name, in small or capital letters.
            ///
            /// # Errors
            /// When it is none of the names.
            fn from_str(text: &str) -> Result<Self, Self::Err> {
                let found = Self::ALL
                    .into_iter()
                    .find(|one| one.name().eq_ignore_ascii_case(text));
                found.ok_or_else(|| UnknownName {
                    found: text.to_owned(),
                    wanted: $wanted,
                })
            }
        }

        impl fmt::Display for $type {
            fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.pad(self.name())
            }
        }
    };
}

named!(ChangeKind, "swap, add or drop");
named!(Place, "initial, medial or final");

/// The one difference between two words that follow each other in a chain.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Change {
    /// Swap, add or drop.
    pub kind: ChangeKind,
    /// Where in the word.
    pub place: Place,
    /// Number of the sound, from 0: in the later word for an added sound, in the earlier for any other.
    pub at: usize,
    /// The sound that goes; `None` when one is added.
    pub from: Option<Unit>,
    /// The sound that comes; `None` when one is dropped.
    pub to: Option<Unit>,
}

impl Change {
    /// Whether every sound that goes or comes is a vowel.
    pub fn of_vowels(&self) -> bool {
        self.from.into_iter().chain(self.to).all(Unit::is_vowel)
    }
}

impl fmt::Display for Change {
    /// In few words: `IH to EH, medial`, `S added, final`.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match (self.from, self.to) {
            (Some(from), Some(to)) => write!(f, "{from} to {to}, {}", self.place),
            (None, Some(to)) => write!(f, "{to} added, {}", self.place),
            (Some(from), None) => write!(f, "{from} dropped, {}", self.place),
            (None, None) => f.write_str("nothing"),
        }
    }
}

/// The change that makes `a` into `b`, each dictionary sound counting as one; `None` when they are the same or differ
/// in more than one sound. Among equal neighbours (M IH D D EY) the first is the one added or dropped.
pub fn difference(a: &[Sound], b: &[Sound]) -> Option<Change> {
    let units = |sounds: &[Sound]| sounds.iter().copied().map(Unit::from).collect::<Vec<_>>();
    difference_in_units(&units(a), &units(b))
}

/// As [`difference`], over counted sounds ([`super::units`]).
pub fn difference_in_units(a: &[Unit], b: &[Unit]) -> Option<Change> {
    if a.len() > b.len() {
        let back = difference_in_units(b, a)?;
        return Some(Change {
            kind: ChangeKind::Drop,
            from: back.to,
            to: None,
            ..back
        });
    }
    if b.len() > a.len() + 1 {
        return None;
    }
    // Where the two part, and how much of the end they share.
    let tail = a.iter().rev().zip(b.iter().rev()).take_while(|(x, y)| x == y).count();
    let head = a.iter().zip(b).take_while(|(x, y)| x == y).count();
    if a.len() == b.len() {
        let apart = head < a.len() && head + tail + 1 == a.len();
        return apart.then(|| Change {
            kind: ChangeKind::Swap,
            place: Place::of(head, a.len()),
            at: head,
            from: Some(a[head]),
            to: Some(b[head]),
        });
    }
    // A sound among its like can be any of them; the first stands for all.
    let at = a.len().checked_sub(tail).filter(|&at| at <= head)?;
    Some(Change {
        kind: ChangeKind::Add,
        place: Place::of(at, b.len()),
        at,
        from: None,
        to: Some(b[at]),
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn change(a: &str, b: &str) -> Option<String> {
        let read = |text: &str| {
            text.split_whitespace()
                .map(|s| s.parse().unwrap())
                .collect::<Vec<Sound>>()
        };
        difference(&read(a), &read(b)).map(|c| format!("{} {} {c}", c.kind, c.at))
    }

    #[test]
    fn each_kind_and_place() {
        for (a, b, wanted) in [
            ("P IH G", "P EH G", "swap 1 IH to EH, medial"),
            ("P IH G", "B IH G", "swap 0 P to B, initial"),
            ("P IH G", "P IH T", "swap 2 G to T, final"),
            ("P EH T", "S P EH T", "add 0 S added, initial"),
            ("P EH T", "P EH S T", "add 2 S added, medial"),
            ("B EH L", "B EH L T", "add 3 T added, final"),
            ("S P EH L T", "S P EH L", "drop 4 T dropped, final"),
            ("S EH L T", "EH L T", "drop 0 S dropped, initial"),
            ("AY", "OW", "swap 0 AY to OW, initial"),
            ("M IH D EY", "M IH D D EY", "add 2 D added, medial"),
        ] {
            assert_eq!(change(a, b).as_deref(), Some(wanted), "{a} / {b}");
        }
        for (a, b) in [
            ("P IH G", "P IH G"),
            ("P IH G", "B EH G"),
            ("P IH", "P IH G S"),
            ("AE B", "B AE"),
            ("P IH G", "IH P"),
        ] {
            assert_eq!(change(a, b), None, "{a} / {b}");
        }
    }

    /// Against the plain definition: remove each sound in turn, or compare place by place. Every pair of words of up to
    /// four sounds out of three.
    #[test]
    fn agrees_with_the_definition() {
        let sounds = [Sound::P, Sound::IH, Sound::T];
        let mut words: Vec<Vec<Sound>> = vec![vec![]];
        for length in 0..4 {
            let longer: Vec<_> = words.iter().filter(|w| w.len() == length).cloned().collect();
            words.extend(
                longer
                    .iter()
                    .flat_map(|w| sounds.map(|s| [w.as_slice(), &[s]].concat())),
            );
        }
        let shorter = |w: &[Sound], i: usize| [&w[..i], &w[i + 1..]].concat();
        for a in &words {
            for b in &words {
                let wanted = match (a.len(), b.len()) {
                    (n, m) if n == m => a.iter().zip(b).filter(|(x, y)| x != y).count() == 1,
                    (n, m) if m == n + 1 => (0..m).any(|i| shorter(b, i) == *a),
                    (n, m) if n == m + 1 => (0..n).any(|i| shorter(a, i) == *b),
                    _ => false,
                };
                let found = difference(a, b);
                assert_eq!(found.is_some(), wanted, "{a:?} {b:?}");
                let back = difference(b, a);
                assert_eq!(
                    found.map(|c| (c.kind.reversed(), c.at)),
                    back.map(|c| (c.kind, c.at)),
                    "{a:?} {b:?}"
                );
                if let Some(Change {
                    kind: ChangeKind::Add,
                    at,
                    to,
                    ..
                }) = found
                {
                    assert_eq!((shorter(b, at), to), (a.clone(), Some(b[at].into())));
                }
            }
        }
    }
}
