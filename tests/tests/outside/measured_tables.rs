//! The tables of the README and of the model's card are those of the stored measurement, and it is of the model that ships.

use soundbead_dsp::ear::Ear;
use soundbead_tests::measure::stored::{self, Measurement};

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
fn what_was_measured_is_the_model_that_ships() {
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/../dsp/weights/measured.json");
    let measured = Measurement::read(path.as_ref()).expect("the stored measurement");
    let own = Ear::new().expect("the model comes with the program").id();
    assert_eq!(measured.model, own.to_string(), "measure the model again with --store");
}
