//! What must hold of the counting rules for any sounds, letters and settings whatever.

use proptest::prelude::*;
use soundbead_data::{Rules, Sound};
use std::ops::Range;

fn sounds(text: &str) -> Vec<Sound> {
    text.split_whitespace().map(|name| name.parse().unwrap()).collect()
}

fn any_rules() -> impl Strategy<Value = Rules> {
    proptest::collection::vec(0..2usize, 9).prop_map(|choices| {
        let mut rules = Rules::default();
        for (info, choice) in Rules::about().iter().zip(choices) {
            rules.set(info.name, info.values[choice]).unwrap();
        }
        rules
    })
}

/// Mostly the sounds that rules look at, so that groups really form.
fn any_sound() -> impl Strategy<Value = Sound> {
    let looked_at = sounds("Y UW UH AH AA AO IH R N L M T D K S G Z W NG ER");
    prop_oneof![3 => proptest::sample::select(looked_at), 1 => (0..Sound::COUNT).prop_map(|i| Sound::from_index(i).unwrap())]
}

fn any_letters() -> impl Strategy<Value = Vec<(&'static str, Range<usize>)>> {
    let text = proptest::sample::select(vec!["x", "qu", "u", "u_e", "", "é", "ar", "y"]);
    // Ranges may overlap, leave gaps, be empty or go past the end: a caller's slip must not break the count.
    let range = (0..14usize, 0..4usize).prop_map(|(start, length)| start..start + length);
    proptest::collection::vec((text, range), 0..8)
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 4000, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn units_cover_the_sounds_in_order(
        rules in any_rules(),
        sounds in proptest::collection::vec(any_sound(), 0..12),
        letters in any_letters(),
    ) {
        let units = rules.units(&sounds, &letters);
        let mut next = 0;
        for unit in &units {
            prop_assert_eq!(unit.start, next);
            prop_assert!(unit.end > unit.start);
            next = unit.end;
        }
        prop_assert_eq!(next, sounds.len());
        prop_assert_eq!(rules.count(&sounds, &letters), units.len());
        prop_assert_eq!(rules.relabel(&sounds).len(), sounds.len());
    }

    #[test]
    fn a_group_never_holds_more_than_three_sounds_or_two_vowels(
        rules in any_rules(),
        sounds in proptest::collection::vec(any_sound(), 0..12),
        letters in any_letters(),
    ) {
        for unit in rules.units(&sounds, &letters) {
            prop_assert!(unit.len() <= 3, "{:?}", &sounds[unit]);
            prop_assert!(sounds[unit.clone()].iter().filter(|s| s.is_vowel()).count() <= 1, "{:?}", &sounds[unit]);
        }
    }

    #[test]
    fn letting_a_rule_count_one_never_adds_a_sound(
        rules in any_rules(),
        sounds in proptest::collection::vec(any_sound(), 0..12),
        letters in any_letters(),
    ) {
        for info in Rules::about().iter().filter(|info| info.values == ["one", "two"]) {
            let counted = |value: &str| {
                let mut changed = rules.clone();
                changed.set(info.name, value).unwrap();
                changed.count(&sounds, &letters)
            };
            prop_assert!(counted("one") <= counted("two"), "{}", info.name);
        }
    }

    /// Whatever the rules call by one name is the same to them; drawn from the sounds that the two naming rules touch.
    #[test]
    fn same_at_agrees_with_the_names(
        rules in any_rules(),
        sounds in proptest::collection::vec(proptest::sample::select(sounds("T D AA AO R ER IH N")), 1..6),
        other in proptest::sample::select(sounds("T D AA AO")),
        place in any::<proptest::sample::Index>(),
    ) {
        let at = place.index(sounds.len());
        let mut changed = sounds.clone();
        changed[at] = other;
        if rules.relabel(&sounds) == rules.relabel(&changed) {
            prop_assert!(rules.same_at(&sounds, at, other), "{:?} {} {}", sounds, at, other);
        } else {
            prop_assert_ne!(sounds[at], other);
        }
    }
}
