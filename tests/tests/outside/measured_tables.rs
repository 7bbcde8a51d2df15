//! The tables of the README and of the model's card are those of the stored measurement. It is of a model that had not heard the
//! measured speakers; the one that ships has, and both are named.

use soundbead_dsp::ear::Ear;
use soundbead_dsp::ear::inside::{SHIPPED, weights_of};
use soundbead_tests::measure::stored;

#[test]
fn the_tables_are_those_of_the_stored_measurement() {
    for (path, wanted) in stored::pages().expect("the pages and the measurement") {
        let text = std::fs::read_to_string(&path).expect("the page was read before");
        assert!(
            text == wanted,
            "{}: write its table with `measure write`",
            path.display()
        );
    }
}

#[test]
fn what_ships_is_named_beside_what_was_measured() {
    let kept = stored::kept().expect("the stored measurement");
    let ships = kept
        .ships
        .as_ref()
        .expect("another model ships than the one that was measured");
    let own = Ear::new().expect("the model comes with the program").id().to_string();
    assert_eq!(ships.model, own, "name the model that ships in measured.json");
    assert_eq!(ships.weights, weights_of(SHIPPED).expect("the tensors"));
    assert_ne!(
        kept.model, own,
        "the model that ships has heard the speakers of the table"
    );
    for (path, text) in stored::pages().expect("the pages") {
        let (_, below) = text
            .split_once("Measured was model ")
            .expect("the line below the table");
        assert!(
            below.starts_with(&kept.model) && below.contains(&own),
            "{}",
            path.display()
        );
    }
}
