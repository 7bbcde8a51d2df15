//! The pages of help: every command has one, it fits 80 columns, and its example does what it shows.

use std::path::{Path, PathBuf};

use crate::common::{command, demo, demo_folder, finish, run, run_in, scratch, text};

/// Every command of the overview, by its name.
fn commands() -> Vec<String> {
    let overview = run(&["help"]).well().out;
    let named = overview.lines().filter_map(|line| line.strip_prefix("  "));
    let named = named
        .filter(|line| !line.starts_with(' '))
        .filter_map(|line| line.split_whitespace().next());
    named.map(str::to_owned).collect()
}

/// A session: each command line after `$ soundbead`, with the lines that it is to print.
fn sessions(page: &str) -> Vec<(String, Vec<String>)> {
    let mut sessions: Vec<(String, Vec<String>)> = Vec::new();
    for line in page.lines() {
        match (line.trim_start().strip_prefix("$ soundbead "), sessions.last_mut()) {
            (Some(args), _) => sessions.push((args.to_owned(), Vec::new())),
            (None, Some((_, wanted))) => wanted.push(line.to_owned()),
            (None, None) => {}
        }
    }
    sessions
}

/// Arguments as a shell divides them, with double quotes.
fn divided(line: &str) -> Vec<String> {
    let mut args = vec![String::new()];
    let mut quoted = false;
    for sign in line.chars() {
        match sign {
            '"' => quoted = !quoted,
            ' ' if !quoted => args.push(String::new()),
            sign => args.last_mut().expect("never empty").push(sign),
        }
    }
    args
}

/// Whether a printed line is as shown, where `...` stands for any text.
fn is_as_shown(line: &str, shown: &str) -> bool {
    let mut rest = line;
    for (at, part) in shown.split("...").enumerate() {
        match rest.find(part) {
            Some(0) => rest = &rest[part.len()..],
            Some(place) if at > 0 => rest = &rest[place + part.len()..],
            _ => return false,
        }
    }
    shown.ends_with("...") || rest.is_empty()
}

/// Holds what was printed against what is shown; a line `...` stands for any lines.
fn compare(shown: &[String], printed: &str, what: &str) {
    let mut lines = printed.lines().map(str::trim_end);
    let mut skipping = false;
    for wanted in shown {
        if wanted.trim() == "..." {
            skipping = true;
            continue;
        }
        let found = match skipping {
            true => lines.any(|line| is_as_shown(line, wanted)),
            false => lines.next().is_some_and(|line| is_as_shown(line, wanted)),
        };
        assert!(found, "{what}: `{wanted}` is not where it is shown in:\n{printed}");
        skipping = false;
    }
    assert!(
        skipping || lines.next().is_none(),
        "{what}: more is printed than shown:\n{printed}"
    );
}

/// A folder as the examples find it: the made recordings, and a notebook in which Juno said three words.
fn place(name: &str) -> (PathBuf, PathBuf) {
    let (folder, home) = (scratch(name), scratch(name).join("home"));
    let recordings = folder.join("recordings-demo");
    std::fs::create_dir_all(&recordings).expect("a folder");
    for entry in std::fs::read_dir(demo_folder()).expect("the recordings").flatten() {
        std::fs::copy(entry.path(), recordings.join(entry.file_name())).expect("a copy");
    }
    run_in(&home, &["learner", "add", "Juno"]).well();
    for (recording, word, counted) in [
        ("01-goat.wav", "goat", "3"),
        ("02-shed.wav", "shed", "4"),
        ("03-milk.wav", "milk", "4"),
    ] {
        let path = demo(recording);
        let said = [
            "count",
            text(&path),
            "--word",
            word,
            "--learner",
            "Juno",
            "--counted",
            counted,
            "--json",
        ];
        run_in(&home, &said).well();
    }
    (folder, home)
}

fn run_session(folder: &Path, home: &Path, args: &str, shown: &[String]) {
    let (args, to_file) = args.split_once(" > ").map_or((args, false), |(args, _)| (args, true));
    let ran = finish(command(home).current_dir(folder).args(divided(args)));
    assert_eq!(ran.code, 0, "soundbead {args}: {}", ran.err);
    if !to_file {
        compare(shown, &ran.out, &format!("soundbead {args}"));
    }
}

#[test]
fn every_command_has_a_page_of_80_columns_that_ends_with_an_example() {
    let commands = commands();
    assert!(commands.len() >= 21, "{commands:?}");
    for name in commands.iter().map(String::as_str).chain(["completions", "manual"]) {
        let page = run(&["help", name]).well().out;
        for line in page.lines() {
            assert!(
                line.chars().count() <= 80,
                "{name}: {} columns: {line}",
                line.chars().count()
            );
        }
        assert!(
            page.contains(&format!("\n  $ soundbead {name}")),
            "{name} has no example:\n{page}"
        );
        assert_eq!(run(&[name, "--help"]).well().out, page, "{name}");
        assert_eq!(run(&[name, "-h"]).well().out, page, "{name}");
    }
}

#[test]
fn every_example_does_what_it_shows() {
    let (folder, home) = place("examples");
    for name in commands().iter().map(String::as_str).chain(["completions", "manual"]) {
        let page = run(&["help", name]).well().out;
        let after = page.split("For example:\n").nth(1).expect("an example");
        // The example is set in by two columns.
        let inner: String = after
            .lines()
            .map(|l| format!("{}\n", l.strip_prefix("  ").unwrap_or(l)))
            .collect();
        for (args, shown) in sessions(&inner) {
            run_session(&folder, &home, &args, &shown);
        }
    }
}

#[test]
fn what_is_for_measuring_stands_apart() {
    let overview = run(&["help"]).well().out;
    let apart = overview.split("For measuring").nth(1).expect("a part for measuring");
    for name in ["batch", "compare", "vowel", "demo"] {
        assert!(apart.contains(&format!("\n  {name} ")), "{name} in {apart}");
    }
    for name in ["completions", "manual"] {
        assert!(!overview.contains(name), "{overview}");
    }
}

#[test]
fn completions_and_man_pages_are_written_from_the_same_table() {
    for shell in ["bash", "zsh", "fish", "powershell", "elvish"] {
        let script = run(&["completions", shell]).well().out;
        for word in ["count", "handover", "speaking", "stretched"] {
            assert!(script.contains(word), "{shell} completes {word}");
        }
    }
    let folder = scratch("manual").join("man");
    run(&["manual", "--out", text(&folder)]).well();
    for name in commands() {
        let page = std::fs::read_to_string(folder.join(format!("soundbead-{name}.1"))).expect("a page");
        // man-pages(7): a page has a title heading and sections named in capitals.
        assert!(
            page.contains(".TH") && page.contains(".SH NAME") && page.contains(".SH SYNOPSIS"),
            "{name}"
        );
    }
    let main = std::fs::read_to_string(folder.join("soundbead.1")).expect("a page");
    assert!(
        main.contains("soundbead\\-count(1)") || main.contains("soundbead-count(1)"),
        "{main}"
    );
}

/// What the README shows is what the program prints.
#[test]
fn the_readme_shows_what_is_printed() {
    let (folder, home) = place("readme");
    let readme = Path::new(env!("CARGO_MANIFEST_DIR"))
        .parent()
        .expect("the workspace")
        .join("README.md");
    let readme = std::fs::read_to_string(readme).expect("the README");
    let mut ran = 0;
    // Blocks of code stand between lines of three backquotes.
    for block in readme.split("```").skip(1).step_by(2) {
        for (args, shown) in sessions(block) {
            run_session(&folder, &home, &args, &shown);
            ran += 1;
        }
        // Commands that are listed without what they print must be possible all the same.
        for line in block.lines().filter_map(|l| l.strip_prefix("soundbead ")) {
            let ran = finish(command(&home).current_dir(&folder).args(divided(line)));
            let there = line.starts_with("learner add Juno") && ran.code == 2;
            assert!(ran.code == 0 || there, "soundbead {line}: {}", ran.err);
        }
    }
    assert!(ran >= 2, "{ran} transcripts");
}
