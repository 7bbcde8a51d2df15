//! What comes back from earlier, in sounds and spellings and without a word of it: the child may be looking.

use soundbead_data::course::{CourseWords, WrittenTry};

use crate::say::many;
use crate::wording::choice_in_short;

/// Most that are named: more than that nobody keeps in mind before a lesson (ours).
const NAMED: usize = 4;

/// What was not kept in these words when they were last written otherwise, each once, in the order of the words.
pub fn of_words(tries: &[WrittenTry], words: &[String]) -> Vec<String> {
    let mut named: Vec<String> = Vec::new();
    for word in words {
        let wrong = tries.iter().filter(|tried| tried.word == *word && !tried.right());
        let Some(last) = wrong.max_by_key(|tried| tried.day) else {
            continue;
        };
        let known = CourseWords::known(word);
        for (choice, _) in last.kept.iter().filter(|(_, kept)| !kept) {
            let at = known.as_ref().and_then(|entry| {
                let (_, range) = entry.met.iter().find(|(met, _)| met == choice)?;
                entry.said.sounds().get(range.start).copied()
            });
            let name = choice_in_short(*choice, at);
            if !named.contains(&name) {
                named.push(name);
            }
        }
    }
    named
}

/// The same as a list: `short e, ch`.
pub fn list(named: &[String]) -> String {
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
        assert_eq!(of_words(&tries, &words), ["short e", "ch", "ck or k"]);
        assert!(of_words(&tries, &words[4..]).is_empty());
        // A mistake of another kind later is what comes back.
        let later = [tried(1, "chess", "shess"), tried(3, "chess", "ches")];
        assert_eq!(of_words(&later, &words[2..3]), ["a double letter at the end"]);
    }

    #[test]
    fn a_long_list_says_how_many_more_there_are() {
        let named = |names: &[&str]| list(&names.iter().map(|n| (*n).to_owned()).collect::<Vec<_>>());
        assert_eq!(named(&["short e", "ch"]), "short e, ch");
        assert_eq!(named(&["a", "b", "c", "d", "e"]), "a, b, c, d and 1 other");
        assert_eq!(named(&["a", "b", "c", "d", "e", "f"]), "a, b, c, d and 2 others");
    }
}
