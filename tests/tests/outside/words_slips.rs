//! What was meant by letters that are no word: slips of kinds that children make, our own inventions, each with the word that any
//! teacher would read in them. Letters that the dictionary has as a name (*trane*, *wich*) are not questioned and stand not here.
//! Common practice, no source.

use soundbead_data::lexicon;
use soundbead_data::writing::{MeantWeights, WEIGHTS, candidates, meant};

#[test]
fn a_teacher_would_read_these() {
    let mut wrong = Vec::new();
    for pair in [
        "becaus because",
        "peple people",
        "frend friend",
        "scool school",
        "lihgt light",
        "brige bridge",
        "hapy happy",
        "runing running",
        "stoped stopped",
        "makeing making",
        "diffrent different",
        "beleive believe",
        "recieve receive",
        "tommorow tomorrow",
        "wether weather",
        "jumpt jumped",
        "wantid wanted",
        "babys babies",
        "elefant elephant",
        "anser answer",
        "iland island",
        "wosh wash",
        "sed said",
        "sanwich sandwich",
        "libary library",
        "chiken chicken",
        "kichen kitchen",
        "pensil pencil",
        "buterfly butterfly",
        "umbrela umbrella",
        "wintr winter",
        "sistr sister",
        "brothr brother",
        "muther mother",
        "wednsday wednesday",
        "febuary february",
    ] {
        let (wrote, word) = pair.split_once(' ').unwrap();
        let found = meant(wrote);
        let named = found.is_some_and(|m| m.word == word || m.or == Some(word));
        if !named {
            wrong.push(format!("{wrote}: {found:?}, not {word}"));
        }
    }
    assert!(wrong.is_empty(), "\n{}", wrong.join("\n"));
}

/// The five things that a candidate is judged by, counted by hand.
#[test]
fn a_candidate_is_judged_by_its_letters_sounds_and_how_common_it_is() {
    let of = |wrote: &str, word: &str| {
        let all = candidates(wrote);
        all.into_iter()
            .find(|c| c.word == word)
            .unwrap_or_else(|| panic!("{wrote}: no {word}"))
            .features
    };
    for (wrote, word, slips, other_start, apart) in [
        // One letter left out, one put in, one changed, two turned about; sounds alike.
        ("frend", "friend", 1.0, 0.0, 0.0),
        // A reader hears another vowel in ei.
        ("freind", "friend", 1.0, 0.0, 1.0),
        // Another first letter is no other beginning where it says the word's first sound.
        ("fone", "phone", 2.0, 0.0, 0.0),
        ("nife", "knife", 1.0, 0.0, 0.0),
        ("nife", "wife", 1.0, 1.0, 1.0),
        ("trane", "train", 2.0, 0.0, 0.0),
    ] {
        let found = of(wrote, word);
        assert_eq!(found[1..4], [slips, other_start, apart], "{wrote} {word}");
        assert!(found[0] > 0.0, "what is written wrong costs something: {found:?}");
        assert_eq!(found[4], lexicon::look_up(word).unwrap().zipf());
    }
    // What is written right costs less than what is written wrong.
    assert!(of("friend", "friend")[0] < of("frend", "friend")[0]);
}

/// Each candidate's share grows with its score, by the natural logarithm, and what is left goes to none.
#[test]
fn shares_are_by_the_logarithm_of_scores() {
    let weights = MeantWeights {
        features: [0.0, 0.0, 0.0, 0.0, 1.0],
        none: 0.0,
    };
    let mut two = candidates("frend");
    two.truncate(2);
    two[0].features[4] = 2.0_f32.ln();
    two[1].features[4] = 5.0_f32.ln();
    let shares = weights.shares(&two);
    // Two, five and one for none, of eight.
    assert!(
        (shares[0] - 0.25).abs() < 1e-5 && (shares[1] - 0.625).abs() < 1e-5,
        "{shares:?}"
    );
    assert!(weights.shares(&[]).is_empty());
    let all = WEIGHTS.shares(&candidates("frend"));
    assert!(all.iter().all(|share| (0.0..=1.0).contains(share)));
}
