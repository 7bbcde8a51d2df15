//! Which word somebody most likely meant by letters that are none, or are one only as a rare name.

use crate::lexicon;

/// Only words this common are proposed: about four times in a million words.
const KNOWN_ZIPF: f32 = 3.6;
/// An entry of the dictionary is questioned when a word with two neighbors in the other order is 300 times as common (*freind*).
const RARER: f32 = 2.5;
/// Most letters more, fewer or other that are taken for one slip each.
const MOST_SLIPS: usize = 2;

/// The common word that `spelling` (small letters) most likely is a slip for; `None` where it is a word, or near none.
///
/// Letters that the dictionary does not have are held against its common words. Those that it has are questioned only where they
/// are rare and two letters have changed places: *thier* and *freind* are in it, as names.
pub fn meant(spelling: &str) -> Option<&'static str> {
    match lexicon::look_up(spelling) {
        Some(entry) => turned_about(spelling, entry.zipf()),
        None => nearest(spelling),
    }
}

/// The much commoner word with two neighboring letters in the other order.
fn turned_about(spelling: &str, zipf: f32) -> Option<&'static str> {
    let letters = spelling.as_bytes();
    let turned = (1..letters.len()).filter_map(|at| {
        let mut other = letters.to_vec();
        other.swap(at - 1, at);
        lexicon::look_up(std::str::from_utf8(&other).ok()?)
    });
    let commoner = turned.filter(|e| e.zipf() >= KNOWN_ZIPF && e.zipf() >= zipf + RARER);
    commoner
        .max_by(|a, b| a.zipf().total_cmp(&b.zipf()))
        .map(|e| e.spelling())
}

/// The common word with the fewest slips; of two, the one that begins alike, then the commoner.
fn nearest(spelling: &str) -> Option<&'static str> {
    let len = spelling.len();
    // Short letters are near too much.
    let most = if len < 5 { 1 } else { MOST_SLIPS };
    let near = lexicon::words().filter(|e| e.spelling().len().abs_diff(len) <= most && e.zipf() >= KNOWN_ZIPF);
    let counted = near.filter_map(|e| {
        let slips = slips(spelling.as_bytes(), e.spelling().as_bytes());
        (slips <= most).then(|| (slips, e.spelling().as_bytes()[0] != spelling.as_bytes()[0], e))
    });
    let best = counted.min_by(|a, b| (a.0, a.1).cmp(&(b.0, b.1)).then(b.2.zipf().total_cmp(&a.2.zipf())));
    best.map(|(_, _, e)| e.spelling())
}

/// Letters put in, left out, changed, or two neighbors in the other order (the distance of Damerau, 1964, in its restricted form).
fn slips(a: &[u8], b: &[u8]) -> usize {
    let width = b.len() + 1;
    let mut table = vec![0; (a.len() + 1) * width];
    for i in 0..=a.len() {
        for j in 0..=b.len() {
            let at = |i: usize, j: usize| table[i * width + j];
            table[i * width + j] = match (i, j) {
                (0, n) | (n, 0) => n,
                _ => {
                    let changed = at(i - 1, j - 1) + usize::from(a[i - 1] != b[j - 1]);
                    let best = changed.min(at(i - 1, j) + 1).min(at(i, j - 1) + 1);
                    let turned = i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1];
                    if turned { best.min(at(i - 2, j - 2) + 1) } else { best }
                }
            };
        }
    }
    table[a.len() * width + b.len()]
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn slips_are_questioned_and_words_are_not() {
        for (typed, word) in [
            ("brige", "bridge"),
            ("freind", "friend"),
            ("thier", "their"),
            ("becuase", "because"),
            ("beutiful", "beautiful"),
        ] {
            assert_eq!(meant(typed), Some(word), "{typed}");
        }
        for word in [
            "bridge", "newt", "moth", "trail", "trial", "form", "from", "snorbles", "quiet", "angel",
        ] {
            assert_eq!(meant(word), None, "{word}");
        }
    }
}
