//! A sound that a child miscounts, among words that differ in nothing else that could lead a count astray; and what causes are called.

use soundbead_data::miscount::{self, AskedWord, Cause, CountedAlike, LEAST_WORDS, Month, SoundRest, WordShape};
use soundbead_data::{Rules, Sound, lexicon};

/// Three sounds each, with one letter for each.
const PLAIN: &str = "cat dog sun pig bed hat cup map red top pen mud fan bus lip van web jam kid nut";
/// The same, but that each ends in the sound of v or begins with it.
const WITH_V: &str = "van vet vat vim vex vast vest vent valid visit seven vivid";

/// Words, how often each was tried, and the count that was given for the expected one.
type Group<'a> = (&'a str, u64, fn(u16) -> u16);

/// The counts of a month.
fn told(groups: &[Group], month: Month) -> (Vec<WordShape>, Vec<CountedAlike>) {
    let (mut shapes, mut counts) = (Vec::new(), Vec::new());
    for (words, attempts, child) in groups {
        for word in words.split(' ') {
            let said = lexicon::look_up(word).unwrap().variants().next().unwrap();
            let shape = WordShape::new(
                &AskedWord {
                    word: word.to_owned(),
                    sounds: said.sounds().to_vec(),
                },
                &Rules::default(),
            );
            let expected = shape.units.len() as u16;
            counts.push(CountedAlike {
                shape: shapes.len(),
                month,
                expected,
                child: child(expected),
                attempts: *attempts,
            });
            shapes.push(shape);
        }
    }
    (shapes, counts)
}

fn of(all: &[SoundRest], sound: Sound) -> &SoundRest {
    all.iter().find(|rest| rest.sound == sound.into()).unwrap()
}

#[test]
fn a_sound_whose_words_are_all_missed_stands_out_and_no_other_does() {
    let plain = PLAIN.replace("van ", "");
    let groups: [Group; 2] = [(&plain, 3, |n| n), (WITH_V, 3, |n| n - 1)];
    let (shapes, counts) = told(&groups, Month::new(2026, 5));
    let all = miscount::sounds(&shapes, &counts, None);
    let v = of(&all, Sound::V);
    assert_eq!(all[0].sound, Sound::V.into(), "what stands out comes first");
    assert!(v.stands_out, "{v:?}");
    assert_eq!((v.words, v.right), (12, 0.0));
    assert_eq!(v.missed.len(), 12);
    assert!(v.missed.iter().all(|word| word.contains('v')));
    // By their length alone more of them would be right.
    assert!(v.expected > 0.0 && v.expected < 1.0, "{v:?}");
    for other in &all[1..] {
        assert!(!other.stands_out, "{other:?}");
        assert!(other.words >= LEAST_WORDS);
        assert!((0.0..=1.0).contains(&other.expected) && (0.0..=1.0).contains(&other.right));
        let right = 1.0 - other.missed.len() as f64 / other.words as f64;
        assert!(
            (other.right - right).abs() < 1e-9,
            "each word was right or wrong in all its tries: {other:?}"
        );
    }
}

#[test]
fn nothing_stands_out_where_all_is_right_or_little_was_tried() {
    let month = Month::new(2026, 5);
    let (shapes, counts) = told(&[(PLAIN, 3, |n| n), (WITH_V, 3, |n| n)], month);
    let all = miscount::sounds(&shapes, &counts, None);
    assert!(!all.is_empty());
    for rest in &all {
        assert!(
            !rest.stands_out && rest.missed.is_empty() && rest.right == 1.0,
            "{rest:?}"
        );
    }
    // Three words with v are too few to say anything of v, and of too few words in all nothing is said.
    let (shapes, counts) = told(&[(PLAIN, 3, |n| n), ("vet vat vim", 3, |n| n - 1)], month);
    let few = miscount::sounds(&shapes, &counts, None);
    assert!(few.iter().all(|rest| rest.sound != Sound::V.into()), "{few:?}");
    let (shapes, counts) = told(&[("vet vat", 3, |n| n - 1)], month);
    assert!(miscount::sounds(&shapes, &counts, None).is_empty());
}

/// Answers for programs name causes so; they are part of the contract.
#[test]
fn causes_keep_their_names() {
    let rule = Cause::Rule {
        rule: "ngk",
        value: "one",
    };
    for (cause, name) in [
        (Cause::Letters, "letters"),
        (Cause::SilentE, "silent_e"),
        (Cause::DoubledLetters, "doubled_letters"),
        (Cause::ConsonantTeams, "consonant_teams"),
        (Cause::VowelTeams, "vowel_teams"),
        (Cause::Clusters, "clusters"),
        (Cause::LostNasal, "lost_nasal"),
        (Cause::LostLiquid, "lost_liquid"),
        (Cause::OtherClusters, "other_clusters"),
        (rule, "ngk=one"),
    ] {
        assert_eq!(cause.name(), name);
        // What a parent reads names no program's name.
        let told = cause.to_string();
        assert!(told.len() > 20 && !told.contains('_'), "{told}");
    }
    assert!(Cause::Letters.parts().contains(&Cause::SilentE) && Cause::SilentE.parts().is_empty());
    assert!(Cause::Clusters.parts().contains(&Cause::LostNasal) && Cause::Clusters.parts().len() == 3);
}

#[test]
fn a_month_keeps_its_year_and_stands_after_the_month_before() {
    for (year, month, written) in [(2026, 1, "2026-01"), (2026, 12, "2026-12"), (1999, 6, "1999-06")] {
        let this = Month::new(year, month);
        assert_eq!((this.year(), this.month()), (year, month));
        assert_eq!(this.to_string(), written);
    }
    assert!(Month::new(2025, 12) < Month::new(2026, 1) && Month::new(2026, 1) < Month::new(2026, 2));
}
