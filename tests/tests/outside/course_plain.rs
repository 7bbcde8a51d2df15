//! Which words lessons teach with: every letter in its ordinary use, and no exception of a rule that was taught. Common practice, no
//! source.

use soundbead_data::course::{Choice, CourseWords, is_function_word};

/// Words in which each letter, or pair of letters, does what lessons say of it. They have x and qu, le after a consonant, n before k, a
/// split vowel and the common teams. They have r after its vowel, an open first beat, a y at the end, letters doubled after a short
/// vowel.
const PLAIN: &str = "box six fix next quick queen little middle simple think bank drink pink make time home rain day \
    feet read night boat show blue new food book cloud town point boy bird turn hard park north short paper baby table \
    hill cliff miss duck black catch bridge fast stop hand jump ship thing phone happy rabbit lesson";

/// Words whose letters break a rule that a child was taught. They have a silent e that does no work, a long vowel in a closed beat, or
/// one letter where the rule asks for two. Others have c, g and s for the sounds of s, j and z, or letters that no rule foretells.
const NOT_PLAIN: &str = "have give house horse come done love mind child cold find most both bus yes gas much rich city face giant gem \
    nose rose easy said friend people answer island bread head great touch young put push full heart";

#[test]
fn lessons_teach_with_plain_words_and_keep_the_others_for_later() {
    let words = CourseWords::wider();
    let plain: Vec<&str> = PLAIN.split_whitespace().collect();
    let mut wrong: Vec<String> = Vec::new();
    let mut looked = 0;
    for (list, wanted) in [(plain, true), (NOT_PLAIN.split_whitespace().collect(), false)] {
        for word in list {
            // A word that the list lacks (said in two ways) is in no lesson.
            let Some(entry) = words.get(word) else { continue };
            looked += 1;
            if entry.is_plain() != wanted {
                wrong.push(format!("{word}: plain {}, {:?}", entry.is_plain(), entry.met));
            }
        }
    }
    assert!(looked >= 80, "only {looked} words were looked at");
    assert!(wrong.is_empty(), "\n{}", wrong.join("\n"));
}

/// Over every word of the course: what fits a lesson meets nothing that was not taught, what is shown is met, and a function word is no
/// word to teach with.
#[test]
fn what_lessons_show_is_met_and_what_fits_was_taught() {
    let words = CourseWords::builtin();
    for entry in words.all() {
        for choice in Choice::ALL {
            assert!(!entry.shows(*choice) || entry.meets(*choice), "{} {choice}", entry.word);
            let only = [*choice].into();
            if entry.fits(&only) {
                assert!(
                    entry.met.iter().all(|(met, _)| met == choice),
                    "{} {choice}",
                    entry.word
                );
                assert!(entry.fits_though_small(&only), "{} {choice}", entry.word);
            }
        }
        if is_function_word(&entry.word) {
            assert!(!entry.is_plain(), "{}", entry.word);
        }
        // Each run of sounds where a choice is met lies within the word, and the choices stand in their order.
        let sounds = entry.said.sounds().len();
        assert!(
            entry.met.iter().all(|(_, at)| at.start <= at.end && at.end <= sounds),
            "{entry:?}"
        );
        assert!(entry.met.is_sorted_by(|a, b| a.0 < b.0), "{entry:?}");
        assert_eq!(words.get(&entry.word), Some(entry));
    }
    assert!(words.all().is_sorted_by(|a, b| a.zipf >= b.zipf));
    // The wider list holds the common one.
    assert!(words.all().iter().all(|e| CourseWords::wider().get(&e.word) == Some(e)));
}
