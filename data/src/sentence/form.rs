//! Regular forms of words, and *a* or *an*. The rules are those of every lesson (common practice, no source); where they
//! leave a choice, the dictionary decides.

use crate::lexicon;

/// *fox* to *foxes*, *berry* to *berries*; verbs take the same ending: *fix* to *fixes*.
pub fn with_s(word: &str) -> String {
    let hisses = ["s", "x", "z", "ch", "sh"].iter().any(|end| word.ends_with(end));
    match consonant_y(word) {
        Some(stem) => format!("{stem}ies"),
        None if hisses || word == "go" => format!("{word}es"),
        None => format!("{word}s"),
    }
}

/// *hop* to *hopped*, *bake* to *baked*, *carry* to *carried*.
pub fn with_ed(word: &str) -> String {
    match consonant_y(word) {
        Some(stem) => format!("{stem}ied"),
        None => joined(word, "ed"),
    }
}

/// *hop* to *hopping*, *bake* to *baking*.
pub fn with_ing(word: &str) -> String {
    joined(word, "ing")
}

/// *big* to *bigger* and, with `est`, to *biggest*; *happy* to *happier*.
pub fn graded(word: &str, end: &str) -> String {
    match consonant_y(word) {
        Some(stem) => format!("{stem}i{end}"),
        None => joined(word, end),
    }
}

/// `an` where the first sound of `word` is a vowel (*an hour*), `a` elsewhere (*a unicorn*).
pub fn article(word: &str) -> &'static str {
    let said = lexicon::look_up(word).and_then(|entry| entry.variants().next());
    match said.and_then(|said| said.sounds().first().copied()) {
        Some(first) if first.is_vowel() => "an",
        _ => "a",
    }
}

/// What stands before the y of a word that ends in a consonant and y.
fn consonant_y(word: &str) -> Option<&str> {
    let stem = word.strip_suffix('y')?;
    (!stem.ends_with(['a', 'e', 'i', 'o', 'u'])).then_some(stem)
}

/// `end` begins with a vowel: a silent e goes, a lone consonant after a lone short vowel is doubled. Where the rule gives
/// no word of the dictionary the other way is taken, which mends *begin* and *forget*.
fn joined(word: &str, end: &str) -> String {
    let plain = match word.strip_suffix('e') {
        Some(stem) if end != "ing" || !stem.ends_with(['e', 'o', 'y']) => format!("{stem}{end}"),
        _ => format!("{word}{end}"),
    };
    let doubled = word.chars().last().map(|last| format!("{word}{last}{end}"));
    let (first, second) = match doubled {
        Some(doubled) if doubles(word) => (doubled, plain),
        Some(doubled) => (plain, doubled),
        None => return plain,
    };
    match lexicon::look_up(&first).is_none() && lexicon::look_up(&second).is_some() {
        true => second,
        false => first,
    }
}

/// One syllable with one vowel letter and one consonant letter at its end: *hop*, *quit*, not *look*, *help* or *snow*.
fn doubles(word: &str) -> bool {
    let vowel = |c: char| "aeiou".contains(c);
    // The u of qu is no vowel.
    let letters: Vec<char> = word.replace("qu", "kw").chars().collect();
    match letters.as_slice() {
        [rest @ .., v, last] => {
            vowel(*v) && !vowel(*last) && !"wxy".contains(*last) && !rest.iter().copied().any(|c| vowel(c) || c == 'y')
        }
        _ => false,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Facts of the trade (common practice, no source).
    #[test]
    fn known_forms() {
        for (word, s, ed, ing) in [
            ("hop", "hops", "hopped", "hopping"),
            ("bake", "bakes", "baked", "baking"),
            ("carry", "carries", "carried", "carrying"),
            ("play", "plays", "played", "playing"),
            ("catch", "catches", "", "catching"),
            ("fix", "fixes", "fixed", "fixing"),
            ("help", "helps", "helped", "helping"),
            ("see", "sees", "", "seeing"),
            ("begin", "begins", "", "beginning"),
            ("whisper", "whispers", "whispered", "whispering"),
        ] {
            assert_eq!((with_s(word), with_ing(word)), (s.into(), ing.into()));
            assert!(ed.is_empty() || with_ed(word) == ed, "{word}");
        }
        assert_eq!(graded("big", "est"), "biggest");
        assert_eq!(graded("happy", "er"), "happier");
        assert_eq!(graded("nice", "er"), "nicer");
    }

    #[test]
    fn article_goes_by_sound() {
        for word in ["hour", "apple", "honest", "umbrella"] {
            assert_eq!(article(word), "an", "{word}");
        }
        for word in ["unicorn", "one", "hat", "useful"] {
            assert_eq!(article(word), "a", "{word}");
        }
    }
}
