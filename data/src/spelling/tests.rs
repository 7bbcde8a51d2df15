//! The learned table is whole, and damaged tables are refused by line.

use super::*;

fn show(word: &str, sounds: &str) -> Option<String> {
    let sounds: Vec<Sound> = sounds.split(' ').map(|s| s.parse().unwrap()).collect();
    Some(
        boxes(word, &sounds)?
            .iter()
            .map(|b| b.letters.as_str())
            .collect::<Vec<_>>()
            .join("|"),
    )
}

#[test]
fn table_is_read() {
    assert!(learned().units().len() > 500);
}

#[test]
fn marks_stay_with_a_letter() {
    assert_eq!(show("don't", "D OW N T").unwrap(), "d|o|n|'t");
    assert_eq!(show("DON\u{2019}T", "D OW N T").unwrap(), "d|o|n|'t");
    assert_eq!(show("dogs'", "D AO G Z").unwrap(), "d|o|g|s'");
    assert_eq!(show("ice-cream", "AY S K R IY M").unwrap(), "i_e|c|-c|r|ea|m");
}

#[test]
fn what_cannot_be_divided_is_none() {
    assert_eq!(boxes("", &[]), None);
    assert_eq!(boxes("'", &[]), None);
    assert_eq!(show("dog", "K AE T"), None);
    assert_eq!(show("d\u{e9}j\u{e0}", "D EY ZH AA"), None);
    assert_eq!(boxes("dog", &[]), None);
}

#[test]
fn a_bad_table_line_is_named() {
    let bad = "# note\nch\tCH\tany\t1 2 3\nsh\tSHH\tany\t1 2 3\n";
    assert_eq!(lattice::Inventory::from_learned(bad).unwrap_err().line, 3);
    for bad in ["ch\tCH\tany", "ch\tCH\tnever\t1 2 3", "ch\tCH\tany\t1 2"] {
        assert!(lattice::Inventory::from_learned(bad).is_err(), "{bad}");
    }
}

/// Random letters and marks with random sounds (fixed seed): no panic, and what comes out holds every letter and sound.
#[test]
fn any_word_with_any_sounds_is_harmless() {
    let mut state = 0x9e37_79b9_7f4a_7c15_u64;
    let mut random = |below: usize| {
        state ^= state << 13;
        state ^= state >> 7;
        state ^= state << 17;
        (state % below as u64) as usize
    };
    let mut divided = 0;
    for _ in 0..100_000 {
        let (letters, count) = (1 + random(6), 1 + random(4));
        let word: String = (0..letters)
            .map(|_| char::from(b"abcdeeeghilnorstuxy'-"[random(21)]))
            .collect();
        let sounds: Vec<Sound> = (0..count)
            .map(|_| Sound::from_index(random(Sound::COUNT)).unwrap())
            .collect();
        let Some(found) = boxes(&word, &sounds) else { continue };
        divided += 1;
        let letters_of = |text: &str| text.replace('_', "").len();
        assert_eq!(
            found.iter().map(|b| letters_of(&b.letters)).sum::<usize>(),
            word.len(),
            "{word} {found:?}"
        );
        assert_eq!(found.last().unwrap().sounds.end, sounds.len(), "{word} {found:?}");
    }
    assert!(
        divided > 100,
        "only {divided} could be divided: the test reaches too little"
    );
}

/// Where one sound lies over the seam of a doubled letter (im-mediate), the other seams are heeded all the same.
#[test]
fn an_ending_keeps_its_letters_behind_a_doubled_seam() {
    assert_eq!(
        show("immediately", "IH M IY D IY AH T L IY").unwrap(),
        "i|mm|e|d|i|a|te|l|y"
    );
    assert_eq!(
        show("definitely", "D EH F AH N AH T L IY").unwrap(),
        "d|e|f|i|n|i|te|l|y"
    );
}
