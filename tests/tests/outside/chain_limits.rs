//! What may be asked of a chain, taken off one by one: each limit is its own and leaves the others.

use std::collections::BTreeSet;

use soundbead_data::Sound;
use soundbead_data::chain::{ChangeKind, Limit, Limits, Place};
use soundbead_data::lexicon;

/// Every limit at once.
fn all() -> Limits {
    let said = lexicon::look_up("wind").unwrap().variants().next().unwrap();
    Limits {
        kinds: vec![ChangeKind::Swap],
        places: vec![Place::Medial],
        sounds: vec![Sound::S.into(), Sound::IH.into()],
        spellings: vec!["ck".into()],
        syllables: Some(1..=1),
        count: Some(3..=4),
        with_sounds: vec![Sound::S.into()],
        with_spellings: vec!["i".into()],
        with_clusters: vec![vec![Sound::S.into(), Sound::T.into()]],
        said: vec![("wind".into(), said)],
        letters: true,
        vowels: true,
        clusters: true,
        contrasts: vec![(Sound::IH.into(), Sound::EH.into())],
        toggles: vec![Sound::N.into()],
    }
}

#[test]
fn each_limit_comes_off_alone() {
    let full = all();
    assert!(!full.is_empty() && Limits::default().is_empty());
    for limit in Limit::ALL {
        assert!(full.has(limit) && !Limits::default().has(limit), "{limit}");
        let eased = full.without(limit);
        assert!(!eased.is_empty(), "{limit}");
        for other in Limit::ALL {
            assert_eq!(eased.has(other), other != limit, "{other} without {limit}");
        }
    }
    // With all of them off nothing is asked.
    let none = Limit::ALL.iter().fold(full, |limits, limit| limits.without(*limit));
    assert!(none.is_empty());
    // A parent is told each by a name of its own.
    let names: BTreeSet<String> = Limit::ALL.iter().map(Limit::to_string).collect();
    assert_eq!(names.len(), Limit::ALL.len());
}
