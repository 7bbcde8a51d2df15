//! A family's own pronunciations: set, used, forgotten.

use std::process::Stdio;

use crate::common::{command, demo, run_in, scratch, text};

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
    let home = crate::common::file(&scratch("blocked"), "a-file", b"");
    let ran = run_in(&home, &["word", "pig", "--set", "P IH G"]);
    assert!(ran.refused("no folder").contains("a-file"));
}

#[test]
fn eight_words_taught_at_once_are_eight() {
    let home = scratch("at-once");
    let words: Vec<String> = ["a", "b", "c", "d", "e", "f", "g", "h"]
        .map(|end| format!("quill{end}"))
        .into();
    let teach = |word: &String| {
        let mut one = command(&home);
        one.args(["word", word, "--set", "K W IH L"]).stdout(Stdio::null());
        one.spawn().expect("the program starts")
    };
    let all: Vec<_> = words.iter().map(teach).collect();
    assert!(all.into_iter().all(|mut one| one.wait().expect("it ends").success()));
    for word in &words {
        let known = run_in(&home, &["word", word, "--json"]).well().json().remove(0);
        assert_eq!(known["source"], "override", "{word}");
    }
}

/// What the family says is for its user alone from the first, in a folder that others made too; that one keeps its mode.
#[cfg(unix)]
#[test]
fn what_the_family_said_is_closed_and_a_shared_folder_stays_open() {
    use std::os::unix::fs::PermissionsExt;
    let mode = |path: &std::path::Path| std::fs::metadata(path).unwrap().permissions().mode() & 0o777;
    let (own, shared) = (scratch("modes").join("own"), scratch("modes").join("shared"));
    std::fs::create_dir_all(&shared).unwrap();
    std::fs::set_permissions(&shared, std::fs::Permissions::from_mode(0o775)).unwrap();
    for home in [&own, &shared] {
        run_in(home, &["word", "pecan", "--set", "P IY K AA N"]).well();
        run_in(home, &["learner", "add", "Juno"]).well();
        for file in ["pronunciations.txt", "notebook.db"] {
            assert_eq!(mode(&home.join(file)), 0o600, "{file}");
        }
    }
    assert_eq!((mode(&own), mode(&shared)), (0o700, 0o775));
}

/// A full disk down the pipe: the attempt is kept once, however often its answer is asked for.
#[cfg(target_os = "linux")]
#[test]
fn asking_again_after_an_answer_that_could_not_be_printed_doubles_nothing() {
    let home = scratch("unprinted");
    run_in(&home, &["learner", "add", "Juno"]).well();
    let path = demo("01-goat.wav");
    let count = ["count", text(&path), "--word", "goat", "--learner", "Juno", "--json"];
    for _ in 0..2 {
        let full = std::fs::File::options().write(true).open("/dev/full").unwrap();
        let ran = command(&home).args(count).stdout(full).output().unwrap();
        let said = String::from_utf8_lossy(&ran.stderr);
        assert_eq!(ran.status.code(), Some(1), "{said}");
        assert!(said.contains("kept, but could not be printed"), "{said}");
    }
    let kept = || run_in(&home, &["attempts", "Juno", "--json"]).well().json().len();
    assert_eq!(kept(), 1);
    run_in(&home, &count).well();
    assert_eq!(kept(), 1, "asked again, and answered");
    run_in(&home, &count).well();
    assert_eq!(kept(), 2, "a new question");
}
