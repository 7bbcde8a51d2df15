//! A family's own pronunciations: set, used, forgotten.

mod common;

use common::{demo, run_in, scratch, text};

#[test]
fn a_pronunciation_is_remembered_used_and_forgotten() {
    let home = scratch("remember").join("not/yet/there");
    let source = || {
        let answer = run_in(&home, &["word", "pecan", "--json"]).well().json().remove(0);
        (answer["source"].as_str().unwrap().to_owned(), answer["sounds"].clone())
    };
    let before = source();
    assert_eq!(before.0, "dictionary");
    let set = run_in(&home, &["word", "Pecan", "--set", "p iy k aa n"]);
    assert_eq!(set.code, 0, "{}", set.err);
    assert_eq!(
        source(),
        ("override".to_owned(), serde_json::json!(["P", "IY", "K", "AA", "N"]))
    );
    let path = demo("01-goat.wav");
    let counted = run_in(&home, &["count", text(&path), "--word", "pecan", "--json"])
        .well()
        .json()
        .remove(0);
    assert_eq!(
        counted["expected_sounds"],
        serde_json::json!(["P", "IY", "K", "AA", "N"])
    );
    assert_eq!(run_in(&home, &["word", "pecan", "--unset"]).code, 0);
    assert_eq!(source(), before);
}

#[test]
fn a_word_that_no_dictionary_has_can_be_taught() {
    let home = scratch("taught");
    assert_eq!(
        run_in(&home, &["word", "quillfeather", "--set", "K W IH L F EH DH ER"]).code,
        0
    );
    assert_eq!(run_in(&home, &["word", "blonk", "--set", "B L AA NG K"]).code, 0);
    let answer = run_in(&home, &["word", "quillfeather", "--json"])
        .well()
        .json()
        .remove(0);
    assert_eq!(
        (answer["source"].as_str(), answer["count"].as_u64()),
        (Some("override"), Some(8))
    );
    assert_eq!(
        run_in(&home, &["word", "blonk", "--json"]).well().json()[0]["source"],
        "override"
    );
}

#[test]
fn forgetting_what_was_never_set_is_said_plainly() {
    let ran = run_in(&scratch("never"), &["word", "pig", "--unset"]);
    assert!(ran.refused("unset").contains("pig"));
}

#[test]
fn a_damaged_file_of_pronunciations_is_named_with_its_line() {
    let home = scratch("damaged");
    std::fs::write(home.join("pronunciations.txt"), "pig\tP IH G\ngoat\tQQ\n").unwrap();
    let ran = run_in(&home, &["word", "pig", "--json"]);
    let line = ran.refused("a damaged file");
    assert!(
        line.contains("pronunciations.txt") && line.contains("line 2") && line.contains("QQ"),
        "{line}"
    );
}

#[test]
fn a_folder_that_cannot_be_written_is_named() {
    let home = common::file(&scratch("blocked"), "a-file", b"");
    let ran = run_in(&home, &["word", "pig", "--set", "P IH G"]);
    assert!(ran.refused("no folder").contains("a-file"));
}
