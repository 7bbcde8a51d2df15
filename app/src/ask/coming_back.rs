//! What comes back from earlier, in sounds and spellings and without a word of it: the child may be looking.

use std::collections::HashMap;

use soundbead_data::course::{Choice, CourseWords, WrittenTry};

use crate::say::many;
use crate::wording::choice_in_short;

/// Most that are named: more than that nobody keeps in mind before a lesson (ours).
const NAMED: usize = 4;

/// What was not kept in each of these words when it was last written otherwise.
pub fn of_each(tries: &[WrittenTry], words: &[String]) -> Vec<Vec<String>> {
    let mut last_wrong: HashMap<&str, &WrittenTry> = HashMap::new();
    for tried in tries.iter().filter(|tried| !tried.right()) {
        let last = last_wrong.entry(&tried.word).or_insert(tried);
        if tried.day >= last.day {
            *last = tried;
        }
    }
    let of_word = |word: &String| {
        last_wrong
            .get(word.as_str())
            .map_or_else(Vec::new, |tried| not_kept(tried))
    };
    words.iter().map(of_word).collect()
}

fn not_kept(tried: &WrittenTry) -> Vec<String> {
    let known = CourseWords::known(&tried.word);
    let name = |choice: Choice| {
        let at = known.as_ref().and_then(|entry| {
            let (_, range) = entry.met.iter().find(|(met, _)| *met == choice)?;
            entry.said.sounds().get(range.start).copied()
        });
        choice_in_short(choice, at)
    };
    let lost = tried.kept.iter().filter(|(_, kept)| !kept);
    lost.map(|(choice, _)| name(*choice)).collect()
}

/// What is named for several words, each once, in the order of the words.
pub fn once<'a>(each: impl IntoIterator<Item = &'a Vec<String>>) -> Vec<&'a str> {
    let mut named: Vec<&str> = Vec::new();
    for name in each.into_iter().flatten() {
        if !named.contains(&name.as_str()) {
            named.push(name);
        }
    }
    named
}

/// The same as a list: `short e, ch`.
pub fn list(named: &[&str]) -> String {
    let shown = named.len().min(NAMED);
    let more = match named.len() - shown {
        0 => String::new(),
        n => format!(" and {}", many(n, "other")),
    };
    format!("{}{more}", named[..shown].join(", "))
}

#[cfg(test)]
mod tests {
    use super::*;
    use soundbead_data::word::{self, Overrides};
    use soundbead_data::writing;

    fn tried(day: i64, word: &str, wrote: &str) -> WrittenTry {
        let word = word::find(word, &Overrides::default()).unwrap();
        WrittenTry::of(day, &writing::read(&word, wrote).unwrap()).unwrap()
    }

    #[test]
    fn what_was_not_kept_is_named_once_by_its_sound_or_spelling_and_what_was_kept_is_not() {
        let tries = [
            tried(1, "bed", "bid"),
            tried(1, "pet", "pit"),
            tried(1, "chess", "shess"),
            tried(2, "duck", "duk"),
            tried(2, "ship", "ship"),
        ];
        let words: Vec<String> = ["bed", "pet", "chess", "duck", "ship"].map(str::to_owned).to_vec();
        let of_words = |tries: &[WrittenTry], words: &[String]| once(&of_each(tries, words)).join(", ");
        assert_eq!(of_words(&tries, &words), "short e, ch, ck or k");
        assert_eq!(of_words(&tries, &words[4..]), "");
        // A mistake of another kind later is what comes back.
        let later = [tried(1, "chess", "shess"), tried(3, "chess", "ches")];
        assert_eq!(of_words(&later, &words[2..3]), "a double letter at the end");
    }

    #[test]
    fn a_long_list_says_how_many_more_there_are() {
        assert_eq!(list(&["short e", "ch"]), "short e, ch");
        assert_eq!(list(&["a", "b", "c", "d", "e"]), "a, b, c, d and 1 other");
        assert_eq!(list(&["a", "b", "c", "d", "e", "f"]), "a, b, c, d and 2 others");
    }
}
