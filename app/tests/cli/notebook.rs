//! The notebook from the command line: added, filled, read, handed over and back, erased.

use crate::common::{demo, file, run_in, scratch, text};
use serde_json::Value;

/// A home with Juno in it, who said three words.
fn filled(name: &str) -> std::path::PathBuf {
    let home = scratch(name).join("home");
    run_in(&home, &["learner", "add", "Juno"]).well();
    for (recording, word, counted) in [
        ("01-goat.wav", "goat", "3"),
        ("02-shed.wav", "shed", "4"),
        ("03-milk.wav", "milk", "4"),
    ] {
        let path = demo(recording);
        run_in(
            &home,
            &[
                "count",
                text(&path),
                "--word",
                word,
                "--learner",
                "juno",
                "--counted",
                counted,
                "--json",
            ],
        )
        .well();
    }
    home
}

#[test]
fn a_learner_is_added_listed_and_renamed() {
    let home = scratch("learner").join("home");
    assert!(run_in(&home, &["learner"]).well().out.contains("learner add"));
    run_in(&home, &["learner", "add", "Juno", "--rules", "phonics"]).well();
    let all = run_in(&home, &["learner", "--json"]).well().json();
    assert_eq!(
        (all.len(), &all[0]["name"], &all[0]["rules"]["r_vowels"]),
        (1, &"Juno".into(), &"one".into())
    );
    assert!(
        run_in(&home, &["learner", "add", "juno"])
            .refused("a name twice")
            .contains("Juno")
    );
    assert!(
        run_in(&home, &["learner", "rename", "Juno", "June"])
            .well()
            .out
            .contains("June was Juno")
    );
    assert!(
        run_in(&home, &["learner", "rename", "Jun", "X"])
            .refused("a slip")
            .contains("did you mean `June`")
    );
    assert!(
        run_in(&home, &["learner", "burn", "June"])
            .refused("no such deed")
            .contains("erase")
    );
}

#[test]
fn a_learners_own_rules_count_and_can_be_changed() {
    let home = scratch("own-rules").join("home");
    run_in(&home, &["learner", "add", "Juno", "--rules", "phonics"]).well();
    let barn = demo("25-barn.wav");
    let count = ["count", text(&barn), "--word", "barn", "--learner", "Juno"];
    let told = run_in(&home, &[&count[..], &["--counted", "3", "--json"]].concat())
        .well()
        .json();
    assert_eq!(
        (&told[0]["expected"], &told[0]["rules"]["r_vowels"]),
        (&3.into(), &"one".into())
    );
    let attempt = || run_in(&home, &["attempts", "Juno", "--json"]).well().json().remove(0);
    assert_eq!(
        (&attempt()["expected"], &attempt()["expected_now"]),
        (&3.into(), &3.into())
    );
    let other = [&count[..], &["--rule", "r_vowels=two"]].concat();
    run_in(&home, &other).refused("other rules than the learner's");
    let changed = run_in(&home, &["learner", "rules", "Juno", "--rule", "r_vowels=two"])
        .well()
        .out;
    assert!(
        changed.contains("r_vowels=two") && changed.contains("yu=one") && changed.contains("anew"),
        "{changed}"
    );
    assert_eq!(
        (&attempt()["expected"], &attempt()["expected_now"]),
        (&3.into(), &4.into())
    );
    let progress = run_in(&home, &["progress", "Juno"]).well().out;
    assert!(
        progress.contains("1 word was counted by other rules at the time"),
        "{progress}"
    );
    let as_before = run_in(&home, &["learner", "rules", "Juno"]).well().out;
    assert!(
        as_before.contains("counts as before") && as_before.contains("r_vowels=two"),
        "{as_before}"
    );
}

#[test]
fn what_was_said_is_kept_shown_and_summed() {
    let home = filled("said");
    let all = run_in(&home, &["attempts", "Juno", "--json"]).well().json();
    let words: Vec<&str> = all.iter().map(|a| a["word"].as_str().unwrap()).collect();
    assert_eq!(words, ["milk", "shed", "goat"]);
    assert_eq!((&all[1]["child"], &all[1]["expected"]), (&4.into(), &3.into()));
    assert!(std::path::Path::new(all[0]["recording"].as_str().unwrap()).is_file());
    let some = run_in(&home, &["attempts", "Juno", "--sounds", "SH", "--json"])
        .well()
        .json();
    assert_eq!((some.len(), &some[0]["word"]), (1, &"shed".into()));
    assert!(
        run_in(&home, &["attempts", "Juno", "--from", "yesterday"])
            .refused("no day")
            .contains("2026-11-25")
    );
    let sum = run_in(&home, &["progress", "juno", "--json"]).well().json().remove(0);
    assert_eq!(
        (&sum["progress"]["child"]["right"], &sum["progress"]["child"]["more"]),
        (&2.into(), &1.into())
    );
    let shown = run_in(&home, &["progress", "juno"]).well().out;
    assert!(
        shown.contains("2 of 3") && shown.contains("Too little yet to say") && shown.contains("not a test"),
        "{shown}"
    );
    assert!(!shown.contains("Patterns that the counts show"));
}

#[test]
fn notes_are_written_and_read() {
    let home = filled("notes");
    run_in(
        &home,
        &[
            "note",
            "Juno",
            "Lips made a ring.",
            "--sounds",
            "SH",
            "--by",
            "consultant",
        ],
    )
    .well();
    let id = run_in(&home, &["attempts", "Juno", "--json"]).well().json()[0]["id"]
        .as_str()
        .unwrap()
        .to_owned();
    run_in(&home, &["note", "Juno", "Clear at once.", "--attempt", &id]).well();
    let all = run_in(&home, &["note", "Juno", "--json"]).well().json();
    assert_eq!(
        (all.len(), &all[1]["author"], &all[1]["on"]["sound"]),
        (2, &"consultant".into(), &"SH".into())
    );
    assert!(run_in(&home, &["note", "Juno"]).well().out.contains("on the sound SH"));
    assert!(
        run_in(&home, &["note", "Juno", " "])
            .refused("an empty note")
            .contains("empty")
    );
    let unknown = "0".repeat(32);
    assert!(
        run_in(&home, &["note", "Juno", "x", "--attempt", &unknown])
            .refused("no attempt")
            .contains(&unknown)
    );
}

#[test]
fn a_learner_goes_over_and_comes_back() {
    let (parent, consultant) = (filled("parent"), scratch("consultant").join("home"));
    let folder = scratch("over");
    let (over, back) = (folder.join("juno.soundbead"), folder.join("back.soundbead"));
    let key = file(&folder, "key.txt", b"damson row nine\n");
    let export = |home: &std::path::Path, to: &std::path::Path, more: &[&str]| {
        run_in(
            home,
            &[&["handover", "export", "Juno", "--out", text(to), "--recordings"], more].concat(),
        )
    };
    let written = export(&parent, &over, &["--passphrase", text(&key), "--json"])
        .well()
        .json()
        .remove(0);
    assert_eq!((&written["attempts"], &written["recordings"]), (&3.into(), &3.into()));
    assert!(
        export(&parent, &over, &[])
            .refused("a file that is there")
            .contains("--force")
    );
    assert!(
        run_in(&consultant, &["handover", "import", text(&over)])
            .refused("locked")
            .contains("passphrase")
    );
    let came = run_in(
        &consultant,
        &["handover", "import", text(&over), "--passphrase", text(&key), "--json"],
    )
    .well()
    .json();
    assert_eq!((&came[0]["new"], &came[0]["recordings"]), (&true.into(), &3.into()));
    run_in(&consultant, &["note", "Juno", "Good work.", "--by", "consultant"]).well();
    let open = export(&consultant, &back, &[]).well();
    assert!(open.out.contains("anyone who has the file can read it"));
    assert!(
        run_in(&parent, &["handover", "import", text(&back)])
            .well()
            .out
            .contains("1 note came in")
    );
    assert!(
        run_in(&parent, &["handover", "import", text(&back)])
            .well()
            .out
            .contains("nothing new")
    );
    let none = folder.join("none.soundbead");
    assert!(
        run_in(&parent, &["handover", "import", text(&none)])
            .refused("no file")
            .contains("none.soundbead")
    );
}

#[test]
fn an_export_can_be_read_by_other_programs() {
    let home = filled("export");
    let folder = scratch("exported");
    let (table, all) = (folder.join("juno.csv"), folder.join("juno.json"));
    run_in(&home, &["export", "csv", "Juno", "--out", text(&table)]).well();
    let bytes = std::fs::read_to_string(&table).unwrap();
    // RFC 4180: lines end in CR LF, and the first names the fields.
    assert_eq!(bytes.matches("\r\n").count(), 4);
    let mut reader = csv::Reader::from_reader(bytes.as_bytes());
    let names = reader.headers().unwrap().clone();
    let column = |name: &str| names.iter().position(|n| n == name).unwrap();
    let rows: Vec<csv::StringRecord> = reader.records().map(Result::unwrap).collect();
    assert_eq!(
        (
            &rows[1][column("word")],
            &rows[1][column("sounds")],
            &rows[1][column("child")]
        ),
        ("shed", "SH EH D", "4")
    );
    run_in(&home, &["note", "Juno", "=1+1", "--word", "shed"]).well();
    run_in(&home, &["export", "json", "Juno", "--out", text(&all)]).well();
    let all: Value = serde_json::from_slice(&std::fs::read(&all).unwrap()).unwrap();
    assert_eq!(
        (
            all["attempts"].as_array().unwrap().len(),
            &all["notes"][0]["body"]["text"]
        ),
        (3, &"=1+1".into())
    );
    assert_eq!(all["attempts"][0]["edits"]["child"], 4);
    let inside = home.join("x.csv");
    assert!(
        run_in(&home, &["export", "csv", "Juno", "--out", text(&inside)])
            .refused("inside")
            .contains("own folder")
    );
}

/// Whatever two learners of one name are called in the list is taken wherever a learner is named, also where one is erased.
#[test]
fn the_name_that_is_shown_is_the_name_that_is_taken() {
    let home = scratch("notebook").join("shown-names");
    run_in(&home, &["learner", "add", "Mara"]).well();
    let said = run_in(&home, &["learner", "add", "Mara", "--family", "Ek"]).well().out;
    // However the lines are broken.
    let said = said.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(
        said.contains("more than one Mara") && said.contains("Mara Ek"),
        "{said}"
    );
    let refused = run_in(&home, &["learner", "erase", "Mara Ek"])
        .refused("not yet")
        .to_owned();
    assert!(refused.contains("erase \"Mara Ek\" --yes \"Mara Ek\""), "{refused}");
    run_in(&home, &["learner", "erase", "Mara Ek", "--yes", "Mara Ek"]).well();
    let renamed = run_in(&home, &["learner", "rename", "Mara", "Mara", "--family", "Oss"])
        .well()
        .out;
    assert!(renamed.contains("Mara Oss was Mara"), "{renamed}");
}

#[test]
fn erasing_asks_for_the_name_and_then_leaves_nothing() {
    let home = filled("erased");
    for arguments in [
        &["learner", "erase", "Juno"][..],
        &["learner", "erase", "juno", "--yes", "juno"],
    ] {
        let line = run_in(&home, arguments).refused("not yet").to_owned();
        assert!(line.contains("3 attempts") && line.contains("--yes \"Juno\""), "{line}");
    }
    assert!(
        run_in(&home, &["learner", "erase", "juno", "--yes", "Juno"])
            .well()
            .out
            .contains("3 attempts")
    );
    assert!(
        run_in(&home, &["attempts", "Juno"])
            .refused("gone")
            .contains("learner add")
    );
    let left: Vec<_> = std::fs::read_dir(home.join("recordings")).unwrap().collect();
    assert!(left.is_empty());
}

#[test]
fn two_programs_fill_one_notebook_at_once() {
    let home = scratch("two").join("home");
    run_in(&home, &["learner", "add", "Juno"]).well();
    let start = |word: &str, recording: &str| {
        let path = demo(recording);
        crate::common::command(&home)
            .args(["count", text(&path), "--word", word, "--learner", "Juno", "--json"])
            .stdout(std::process::Stdio::null())
            .spawn()
            .unwrap()
    };
    let mut running: Vec<_> = (0..3)
        .flat_map(|_| [start("goat", "01-goat.wav"), start("shed", "02-shed.wav")])
        .collect();
    assert!(running.iter_mut().all(|child| child.wait().unwrap().success()));
    let all = run_in(&home, &["attempts", "Juno", "--json"]).well().json();
    assert_eq!(all.len(), 6);
    // One file each for the two recordings, however often they were kept.
    let files = std::fs::read_dir(home.join("recordings")).unwrap().count();
    assert_eq!(files, 2);
}
