//! Input that means harm or does not end: what is shown drives no terminal, and what is read is bounded.

use std::io::{BufRead, BufReader, Write};
use std::process::Stdio;

use crate::common::{command, demo, file, finish, run, run_in, scratch, text};

/// Escape, bell, delete, a C1 control, and marks that turn the line round (Unicode Standard Annex 9).
const HOSTILE: &str = "a\u{1b}]0;x\u{7}\u{7f}\u{9b}2J\u{202e}b";

/// The characters that must reach neither a terminal nor a program that reads our output as they are. Line breaks are
/// the program's own.
fn is_wild(c: char) -> bool {
    (c.is_control() && c != '\n')
        || matches!(c, '\u{200e}' | '\u{200f}' | '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}')
}

fn tame(what: &str, printed: &str) {
    let wild: Vec<char> = printed.chars().filter(|c| is_wild(*c)).collect();
    assert!(wild.is_empty(), "{what} prints {wild:?}: {printed:?}");
}

/// What stands in the notebook may come from another family's: it is shown with signs, and escaped for programs.
#[test]
fn what_is_in_the_notebook_drives_no_terminal() {
    let home = scratch("hostile").join("home");
    run_in(&home, &["learner", "add", "Juno"]).well();
    run_in(&home, &["note", "Juno", HOSTILE]).well();
    for args in [
        &["note", "Juno"][..],
        &["note", "Juno", "--json"],
        &["learner"],
        &["learner", "--json"],
    ] {
        tame(&args.join(" "), &run_in(&home, args).well().out);
    }
    let shown = run_in(&home, &["note", "Juno"]).well().out;
    assert!(
        shown.contains('␛') && shown.contains('␡') && shown.contains("<U+202E>"),
        "{shown}"
    );
    let plain = finish(command(&home).env("LC_ALL", "C").args(["note", "Juno"]))
        .well()
        .out;
    assert!(
        plain.contains("^[") && plain.contains("<U+202E>") && plain.is_ascii(),
        "{plain}"
    );
    // A program that reads the JSON has the note as it was written.
    let read = run_in(&home, &["note", "Juno", "--json"]).well().json();
    assert_eq!(read[0]["body"]["text"], HOSTILE);
    let all = run_in(&home, &["export", "json", "Juno", "--out", "-"]).well().out;
    tame("export json", &all);
    assert_eq!(
        serde_json::from_str::<serde_json::Value>(&all).unwrap()["notes"][0]["body"]["text"],
        HOSTILE
    );
}

#[cfg(unix)]
#[test]
fn names_of_files_drive_no_terminal() {
    let folder = scratch("hostile-names");
    let path = folder.join(format!("{HOSTILE}.wav"));
    std::fs::copy(demo("01-goat.wav"), &path).unwrap();
    for args in [
        &["count", text(&path), "--word", "goat"][..],
        &["count", text(&path), "--word", "goat", "--json"],
        &["compare", text(&path), "--words", "goat,boat"],
        &["vowel", text(&path)],
        &["count", text(&folder.join(HOSTILE)), "--word", "goat"],
        &[
            "sheet",
            "boxes",
            "pig",
            "--out",
            text(&folder.join(format!("{HOSTILE}.pdf"))),
        ],
        &["boxes", HOSTILE, "--json"],
        &["boxes", "--list", HOSTILE],
        &["word", HOSTILE],
        &["rules", "--rules", HOSTILE],
        &["rules", "--rule", HOSTILE],
        &["chain", "pig", "--only", HOSTILE],
        &["sounds", HOSTILE],
        &["parts", HOSTILE],
        &["sort", HOSTILE],
        &["sheet", HOSTILE, "--out", "x.pdf"],
        &["attempts", HOSTILE],
        &["attempts", "x", "--verdict", HOSTILE],
        &["learner", HOSTILE],
        &["demo", "--folder", HOSTILE],
        &["batch", HOSTILE],
        &["vowel", "x", "--voice", HOSTILE],
        &["count", "x", HOSTILE],
        &[HOSTILE],
    ] {
        let ran = run(args);
        tame(&args.join(" "), &ran.out);
        tame(&args.join(" "), &ran.err);
    }
    let list = file(&folder, "pairs.tsv", format!("{HOSTILE}\n{HOSTILE}\tpig\n").as_bytes());
    let ran = run(&["chain", "--pairs", text(&list), "--json"]);
    tame("chain --pairs", &ran.out);
    assert_eq!(ran.json().len(), 2);
}

/// A cell that a spreadsheet would run as a formula gets an apostrophe, in full-width signs too.
#[test]
fn no_cell_is_a_formula() {
    let home = scratch("formula").join("home");
    run_in(&home, &["learner", "add", "Juno"]).well();
    let path = demo("02-shed.wav");
    run_in(
        &home,
        &["count", text(&path), "--word", "shed", "--learner", "Juno", "--json"],
    )
    .well();
    let table = run_in(&home, &["export", "csv", "Juno", "--out", "-"]).well().out;
    let mut reader = csv::Reader::from_reader(table.as_bytes());
    for row in reader.records() {
        for cell in row.unwrap().iter() {
            assert!(
                !cell.starts_with(['=', '+', '@', '\u{ff1d}', '\u{ff0b}', '\u{ff20}']),
                "{cell}"
            );
        }
    }
}

/// `/dev/zero` never ends and has no line break.
#[cfg(unix)]
#[test]
fn endless_input_ends_with_a_line() {
    for args in [
        &["batch", "/dev/zero"][..],
        &["boxes", "--list", "/dev/zero"],
        &["sheet", "boxes", "--list", "/dev/zero", "--out", "x.pdf"],
        &["sheet", "--plan", "/dev/zero", "--out", "x.pdf"],
        &["chain", "--pairs", "/dev/zero"],
        &["chain", "pig", "--words", "/dev/zero"],
        &["sort", "k", "--words", "/dev/zero"],
        &["count", "/dev/zero", "--word", "pig"],
        &["compare", "/dev/zero", "--words", "pig,peg"],
    ] {
        let ran = run(args);
        let line = ran.refused(&args.join(" "));
        assert!(line.contains("/dev/zero"), "{args:?}: {line}");
    }
}

/// Each answer comes as soon as its line was read: whoever asks may wait for it before asking again.
#[test]
fn lines_from_standard_input_are_answered_one_by_one() {
    let folder = scratch("stream");
    std::fs::copy(demo("01-goat.wav"), folder.join("goat.wav")).unwrap();
    let mut child = command(&scratch("home"))
        .current_dir(&folder)
        .args(["batch", "-", "--json"])
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .spawn()
        .expect("the program starts");
    let mut to = child.stdin.take().expect("a pipe");
    let mut from = BufReader::new(child.stdout.take().expect("a pipe"));
    for (id, line) in [
        ("a", r#"{"id": "a", "audio": "goat.wav", "word": "goat"}"#),
        ("b", r#"{"id": "b", "audio": "none.wav", "word": "goat"}"#),
        ("c", r#"{"id": "c", "audio": "goat.wav", "words": ["goat", "boat"]}"#),
    ] {
        writeln!(to, "{line}").expect("it is read");
        to.flush().expect("it is read");
        let mut answer = String::new();
        from.read_line(&mut answer).expect("an answer");
        let answer: serde_json::Value = serde_json::from_str(&answer).expect("JSON");
        assert_eq!(answer["id"], id);
    }
    drop(to);
    assert!(child.wait().expect("it ends").success());
}

/// Whoever reads the answers may go while the one who asks still keeps the pipe open: the program ends with the next
/// answer that nobody takes.
#[cfg(unix)]
#[test]
fn a_reader_that_goes_ends_the_run_though_more_could_be_asked() {
    let path = demo("01-goat.wav");
    let mut child = command(&scratch("home"))
        .args(["batch", "-", "--json"])
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .expect("the program starts");
    drop(child.stdout.take());
    let mut to = child.stdin.take().expect("a pipe");
    let line = serde_json::json!({ "id": 1, "audio": text(&path), "word": "goat" });
    writeln!(to, "{line}").expect("it is read");
    to.flush().expect("it is read");
    // `to` stays open until the program has ended.
    let ended = child.wait_with_output().expect("it ends");
    assert_eq!(
        ended.status.code(),
        Some(0),
        "{}",
        String::from_utf8_lossy(&ended.stderr)
    );
    drop(to);
}

/// What is under way does not grow with the number of threads that is asked for: 256 ears would take four gigabytes.
#[cfg(target_os = "linux")]
#[test]
fn many_threads_take_no_more_memory_than_cores() {
    let path = crate::common::demo_folder().join("manifest.jsonl");
    // The limit is on addresses, in KB: three gigabytes, less than 256 ears need.
    let script = "ulimit -v 3000000; exec \"$0\" batch \"$1\" --jobs 256 --json";
    let mut shell = std::process::Command::new("sh");
    let ran = finish(
        shell
            .args(["-c", script, env!("CARGO_BIN_EXE_soundbead"), text(&path)])
            .env("SOUNDBEAD_HOME", scratch("home")),
    );
    assert_eq!(ran.code, 0, "{}", ran.err);
}
