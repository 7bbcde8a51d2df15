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
