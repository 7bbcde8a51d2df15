//! What is said of a minute of reading: to the family, and in the note that is kept of it.
//!
//! The note is plain words, and the earlier minutes are read out of such notes again. A note that somebody changed so that it does
//! not say its own count any more is left out of the comparison.

use crate::notebook::beside::READING as BEGINS;
use crate::notebook::{Note, course_day};
use crate::say::many;

/// What stands in a note on it before the words, and behind one of them.
const IN_ORDER: &str = " In order: ";
const AGAIN: &str = " (again)";
const SECOND: &str = " (second look)";
const AGAIN_SECOND: &str = " (not at the second look)";
/// Most earlier minutes that are told.
const MOST_EARLIER: usize = 4;

/// How a word was read.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ReadTry {
    /// The word.
    pub word: String,
    /// Whether it was read.
    pub right: bool,
    /// Whether it came for the second time.
    pub second: bool,
}

impl ReadTry {
    /// Whether it was read at once: only that is counted.
    pub fn at_once(&self) -> bool {
        self.right && !self.second
    }
}

/// A minute that was kept.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct EarlierMinute {
    /// Its day, as the course counts days.
    pub day: i64,
    /// Words that were read at once.
    pub words: usize,
}

/// The note that is kept.
pub(super) fn note(read: &[ReadTry]) -> String {
    let each = |r: &ReadTry| {
        let mark = match (r.second, r.right) {
            (false, true) => "",
            (false, false) => AGAIN,
            (true, true) => SECOND,
            (true, false) => AGAIN_SECOND,
        };
        format!("{}{mark}", r.word)
    };
    let words: Vec<String> = read.iter().map(each).collect();
    format!(
        "{BEGINS}{} at once.{IN_ORDER}{}.",
        many(at_once(read), "word"),
        words.join(", ")
    )
}

/// How many words such a note counts; none where it is no such note.
fn counted(text: &str) -> Option<usize> {
    let (said, words) = text.strip_prefix(BEGINS)?.split_once(IN_ORDER)?;
    let said: usize = said.split(' ').next()?.parse().ok()?;
    let words = words.trim_end_matches('.').split(", ").filter(|w| !w.is_empty());
    (words.filter(|word| !word.ends_with(')')).count() == said).then_some(said)
}

/// The minutes that notes tell of, the latest first.
pub(super) fn earlier(notes: &[Note]) -> Vec<EarlierMinute> {
    let mut found: Vec<(&Note, usize)> = notes
        .iter()
        .filter_map(|note| Some((note, counted(&note.body.text)?)))
        .collect();
    found.sort_by_key(|(note, _)| std::cmp::Reverse((note.day, note.made)));
    let minute = |(note, words): (&Note, usize)| EarlierMinute {
        day: course_day(note.day),
        words,
    };
    found.into_iter().map(minute).collect()
}

fn at_once(read: &[ReadTry]) -> usize {
    read.iter().filter(|r| r.at_once()).count()
}

/// Words that were not read at once, each once.
pub(super) fn again(read: &[ReadTry]) -> Vec<&str> {
    let mut words: Vec<&str> = Vec::new();
    for r in read.iter().filter(|r| !r.right && !r.second) {
        if !words.contains(&r.word.as_str()) {
            words.push(&r.word);
        }
    }
    words
}

/// `12 words today, 9 last week`: one child beside its own earlier times, and nothing is said of more or fewer.
pub(super) fn counts(read: &[ReadTry], earlier: &[EarlierMinute], today: i64) -> String {
    let mut line = format!("{} today", many(at_once(read), "word"));
    for minute in earlier.iter().take(MOST_EARLIER) {
        line += &format!(", {} {}", minute.words, when(today - minute.day));
    }
    line + "."
}

/// When it was, so many days ago.
fn when(days: i64) -> String {
    match days {
        ..=0 => "earlier today".into(),
        1 => "yesterday".into(),
        2..=6 => format!("{days} days ago"),
        7..=13 => "last week".into(),
        _ => format!("{} weeks ago", days / 7),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn word(word: &str, right: bool, second: bool) -> ReadTry {
        ReadTry {
            word: word.into(),
            right,
            second,
        }
    }

    #[test]
    fn what_a_note_says_is_read_out_of_it_again() {
        let read = [
            word("cat", true, false),
            word("bridge", false, false),
            word("ship", true, false),
            word("bridge", true, true),
            word("fetch", false, false),
        ];
        let text = note(&read);
        assert_eq!(
            text,
            "A minute of quick reading: 2 words at once. In order: cat, bridge (again), ship, bridge (second look), fetch (again)."
        );
        assert_eq!(counted(&text), Some(2));
        assert_eq!(counted(&note(&[])), Some(0));
        assert_eq!(counted(&note(&read[..1])), Some(1));
        assert_eq!(again(&read), ["bridge", "fetch"]);
        for other in [
            "Says w for r.",
            "A minute of quick reading: many words",
            "A minute of quick reading: 3 words at once. In order: cat, ship.",
        ] {
            assert_eq!(counted(other), None, "{other}");
        }
    }

    #[test]
    fn earlier_times_stand_beside_today_without_a_judgement() {
        let read: Vec<ReadTry> = (0..12).map(|_| word("cat", true, false)).collect();
        let minute = |day, words| EarlierMinute { day, words };
        let line = counts(
            &read,
            &[
                minute(100, 11),
                minute(99, 13),
                minute(92, 9),
                minute(70, 8),
                minute(60, 1),
            ],
            100,
        );
        assert_eq!(
            line,
            "12 words today, 11 earlier today, 13 yesterday, 9 last week, 8 4 weeks ago."
        );
        assert_eq!(counts(&read[..1], &[], 100), "1 word today.");
    }
}
