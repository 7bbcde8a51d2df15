use super::*;

#[test]
fn every_sum_makes_a_word_with_its_parts() {
    assert!(all().len() > 240, "{}", all().len());
    for part in all() {
        assert!(!part.meaning.is_empty() && part.sums.len() >= 2, "{}", part.form);
        assert_eq!(part.joins.is_some(), part.form.contains('-'), "{}", part.form);
        let bad: Vec<_> = part.sums.iter().filter(|text| Sum::read(text).is_none()).collect();
        assert!(bad.is_empty(), "{}: {bad:?} make no word", part.form);
        for text in &part.sums {
            let sum = Sum::read(text).unwrap();
            assert!(sum.parts.len() >= 2 && sum.joins.len() + 1 == sum.parts.len());
            // The first letters of every part stand in the word, in order.
            let mut rest = sum.word.as_str();
            for piece in &sum.parts {
                let start = &piece[..piece.len().min(2)];
                let at = rest.find(&start[..1]).unwrap_or_else(|| panic!("{text} {}", sum.word));
                rest = &rest[at + 1..];
            }
        }
    }
    assert_eq!(Sum::read("un+snorb"), None);
}

/// Facts of the trade (common practice, no source).
#[test]
fn known_joins_and_changes_of_sound() {
    for (text, word, join) in [
        ("hop+ing", "hopping", Join::Doubles),
        ("make+ing", "making", Join::DropsE),
        ("happy+ness", "happiness", Join::YToI),
        ("carry+ing", "carrying", Join::Plain),
        ("gentle+ly", "gently", Join::DropsEnd),
        ("play+ful", "playful", Join::Plain),
        ("beauty+ful", "beautiful", Join::YToI),
        ("wolf+es", "wolves", Join::FToV),
        ("tie+ing", "tying", Join::IeToY),
        ("panic+ed", "panicked", Join::AddsK),
        ("circle+ar", "circular", Join::ChangesEnd),
        ("private+cy", "privacy", Join::ChangesEnd),
    ] {
        let sum = Sum::read(text).unwrap();
        assert_eq!((sum.word.as_str(), sum.joins[0]), (word, join), "{text}");
    }
    let heard = |text: &str| Sum::read(text).unwrap().heard().unwrap();
    for (text, said) in [
        ("act+ion", "the t is said sh"),
        ("music+ian", "the c is said sh, and the stress moves"),
        ("depart+ure", "the t is said ch"),
        ("sign+al", "the i changes its sound, and the silent g is heard"),
    ] {
        assert_eq!(heard(text).to_string(), said, "{text}");
    }
    let city = heard("electric+ity");
    assert!(
        city.shifts
            .contains(&Shift::Says("c".into(), crate::Sound::K, crate::Sound::S)),
        "{city}"
    );
    assert_eq!(heard("help+ful"), HeardBase::default());
    assert!(heard("magic+ian").stress_moves && heard("public+ity").stress_moves);
    // Notation has its stress on the ending, but a base of one syllable has none to move.
    assert!(!heard("happy+ness").stress_moves && !heard("note+ation").stress_moves);
    // The le that became ul is no letter that says another sound.
    assert_eq!(heard("circle+ar"), HeardBase::default());
}

/// American spelling leaves the last letter alone after a weak vowel (common practice, no source); the dictionary has the British
/// way too. What is said of a word is said of its own letters.
#[test]
fn parts_are_put_together_to_the_word_that_was_taken_apart() {
    for (word, join) in [
        ("canceled", Join::Plain),
        ("cancelled", Join::Doubles),
        ("traveling", Join::Plain),
        ("marveled", Join::Plain),
        ("beginning", Join::Doubles),
    ] {
        let sum = take_apart(word).put_together().unwrap();
        assert_eq!((sum.word.as_str(), sum.joins.as_slice()), (word, &[join][..]));
    }
    assert_eq!(take_apart("icy").sum(), "ice+y");
    assert_eq!(Sum::of("cancel+ing", "canceling").unwrap().joins, [Join::Plain]);
    assert_eq!(Sum::of("cancel+ing", "cancelled"), None);
}

#[test]
fn the_letters_of_the_pieces_are_those_of_the_word() {
    for word in [
        "unhappiness",
        "hopping",
        "interrupted",
        "playground",
        "babies",
        "corner",
        "Making",
        "don't",
    ] {
        let apart = take_apart(word);
        let mut at = 0;
        for piece in &apart.pieces {
            assert_eq!(piece.letters.start, at, "{word}: {apart:?}");
            at = piece.letters.end;
        }
        assert_eq!(at, apart.word.len(), "{word}: {apart:?}");
    }
}

/// One word for each way in which words were taken apart wrongly; common practice, no source.
#[test]
fn words_are_taken_apart_by_rule() {
    for (word, parts) in [
        // A letter that was doubled is no letter of the base.
        ("admitted", "ad+mit+ed"),
        // An opening that takes the next letter stands before that letter alone.
        ("apology", "apology"),
        ("attract", "at+tract"),
        // A rarer form of a common word after an opening that turns it around.
        ("unbreakable", "un+break+able"),
        // A short word doubles its last letter, or it is not there.
        ("winery", "wine+ery"),
        // Describing words in -le lose it before -ly; names of things and deeds do not.
        ("doubly", "double+ly"),
        ("cuddly", "cuddle+y"),
        ("fondly", "fond+ly"),
        ("dependency", "de+pend+ency"),
        ("curiosity", "curious+ity"),
        ("explanation", "explain+ation"),
        ("twelfth", "twelve+th"),
        ("disobey", "dis+obey"),
        ("teammate", "team+mate"),
        ("tattoo", "tattoo"),
        ("visitor", "visit+or"),
        ("outdoor", "out+door"),
    ] {
        assert_eq!(take_apart(word).sum(), parts, "{word}");
    }
    for whole in "sponsor sonar raise agency broker verify terrific portray voucher candid".split(' ') {
        assert!(take_apart(whole).is_one(), "{whole}: {}", take_apart(whole).sum());
    }
}

#[test]
fn an_affix_said_to_join_words_that_stand_alone_does_so_in_most() {
    let families = Families::new(&crate::chain::WordList::default());
    let mut seen = 0;
    for part in all().iter().filter(|part| part.joins == Some(Joins::Words)) {
        let (words, bases) = families.joined_by(part);
        seen += words + bases;
        // In a handful of words nothing is usual.
        assert!(words + bases < 8 || words >= bases, "{} {words} {bases}", part.form);
    }
    assert!(seen > 1000, "{seen}");
}

#[test]
fn a_prefix_changes_its_last_letter_before_the_letters_that_ask_for_it() {
    // Latin assimilation: com- before b, m, p, im- before the same, il- before l (common practice, no source).
    let families = Families::new(&crate::chain::WordList::default());
    for (form, when) in [("con-", "b, m or p"), ("in-", "b, m or p"), ("in-", "before l")] {
        let counted = families.regularities_of(find(form).unwrap());
        let rule = counted.iter().find(|r| r.when.ends_with(when)).unwrap();
        // Beside them stands the English in- of inland and inlay, which stays as it is.
        assert!(rule.of >= 5 && rule.holds * 4 >= rule.of * 3, "{rule:?}");
        assert_eq!(rule.of - rule.holds, rule.exceptions.len());
    }
    assert!(families.regularities_of(find("-ness").unwrap()).is_empty());
}
