//! Slips of people at the command line: nothing given is dropped without a word, and every line can be understood.

use std::path::Path;

use crate::common::{demo, file, run, run_in, scratch, text};

/// A home with Juno in it, who said one word.
fn filled(name: &str) -> std::path::PathBuf {
    let home = scratch(name).join("home");
    run_in(&home, &["learner", "add", "Juno"]).well();
    let path = demo("02-shed.wav");
    let said = [
        "count",
        text(&path),
        "--word",
        "shed",
        "--learner",
        "Juno",
        "--counted",
        "4",
        "--json",
    ];
    run_in(&home, &said).well();
    home
}

#[test]
fn only_options_of_the_command_are_offered() {
    for (args, never) in [
        (["word", "pig", "--breif"], "--brief"),
        (["word", "pig", "--rest"], "--reset"),
        (["word", "pig", "--job"], "--jobs"),
        (["rules", "--speakin", "whole"], "--speaking"),
    ] {
        let ran = run(&args);
        let line = ran.refused(&args.join(" "));
        assert!(!line.contains(never), "{line}");
        assert!(line.contains("has no option"), "{line}");
    }
    let ran = run(&["word", "pig", "--ruels", "phonics"]);
    assert!(ran.refused("a slip").contains("did you mean --rules"), "{}", ran.err);
}

#[test]
fn nothing_given_is_dropped_without_a_word() {
    let path = demo("01-goat.wav");
    let goat = text(&path);
    let cases: [(&[&str], &str); 19] = [
        (&["learner", "add", "Mary", "Jane"], "Jane"),
        (&["word", "pig", "--unset", "--block"], "cannot both"),
        (&["word", "pig", "--set", "P IH G", "--unset"], "cannot both"),
        (&["word", "pig", "--block", "--json"], "cannot both"),
        (&["count", goat, "--word", "goat", "--counted", "3"], "--learner"),
        (&["count", goat, "--learner", "Juno"], "--word"),
        (&["count", goat, "--word", "goat", "--word", "boat"], "twice"),
        (&["count", goat, "--json", "--json"], "twice"),
        (
            &["count", goat, "--rule", "r_vowels=one", "--rule", "R_vowels=two"],
            "twice",
        ),
        (&["chain", "pig", "peg", "--list"], "cannot both"),
        (&["chain", "--list", "--vowels"], "cannot both"),
        (&["sort", "--most", "3"], "NAME"),
        (&["sort", "ladders", "--syllables", "2"], "--syllables"),
        (&["note", "Juno", "--by", "consultant"], "TEXT"),
        (
            &["note", "Juno", "x", "--word", "shed", "--sounds", "SH"],
            "cannot both",
        ),
        (&["sheet", "boxes", "pig", "--most", "3", "--out", "x.pdf"], "--most"),
        (
            &["sheet", "boxes", "pig", "--voice", "man", "--out", "x.pdf"],
            "--voice",
        ),
        (
            &["sheet", "dictation", "pig", "--seed", "3", "--out", "x.pdf"],
            "--sentences",
        ),
        (
            &["compare", goat, "--words", "goat,boat", "--rule", "r_vowels=one"],
            "--rule",
        ),
    ];
    for (args, part) in cases {
        let ran = run(args);
        let line = ran.refused(&args.join(" "));
        assert!(line.contains(part), "{args:?} said: {line}");
    }
    // What was refused did nothing.
    let home = scratch("mary");
    run_in(&home, &["learner", "add", "Mary", "Jane"]).refused("two words");
    assert!(run_in(&home, &["learner"]).well().out.contains("Nobody"));
    run_in(&home, &["learner", "add", "Mary Jane"]).well();
    assert!(run_in(&home, &["learner"]).well().out.contains("Mary Jane"));
}

/// `-` is standard output where a file is written that programs read, and is refused elsewhere; no file is named so.
#[test]
fn an_export_goes_to_standard_output() {
    let home = filled("export-out");
    for (form, part) in [("csv", "shed,SH EH D"), ("JSON", "\"word\":\"shed\"")] {
        let ran = run_in(&home, &["export", form, "Juno", "--out", "-"]).well();
        assert!(ran.out.contains(part), "{}", ran.out);
    }
    for args in [
        &["report", "Juno", "--out", "-"][..],
        &["sheet", "boxes", "pig", "--out", "-"],
        &["handover", "export", "Juno", "--out", "-"],
    ] {
        run_in(&home, args).refused(&args.join(" "));
    }
    assert!(!Path::new("-").exists());
}

#[test]
fn nothing_of_the_systems_own_text_is_shown() {
    let home = filled("raw-text");
    let folder = scratch("raw");
    let latin = file(&folder, "latin.txt", b"caf\xe9\n");
    let (latin, here, none) = (text(&latin), text(&folder), "no/such/place/x");
    let path = demo("01-goat.wav");
    let below = format!("{}/x.pdf", text(&path));
    let mut tried: Vec<Vec<&str>> = Vec::new();
    for list in [latin, here, none] {
        tried.extend([
            vec!["boxes", "--list", list],
            vec!["sheet", "boxes", "--list", list, "--out", "x.pdf"],
            vec!["sheet", "--plan", list, "--out", "x.pdf"],
            vec!["chain", "--pairs", list],
            vec!["chain", "pig", "--words", list],
            vec!["sort", "k", "--words", list],
            vec!["batch", if list == latin { none } else { list }],
            vec!["count", list, "--word", "pig"],
            vec!["demo", "--folder", list],
            vec!["handover", "import", list],
            vec![
                "handover",
                "export",
                "Juno",
                "--out",
                "x.soundbead",
                "--passphrase",
                list,
            ],
        ]);
    }
    for out in [none, &below] {
        let pdf = if out == none { "no/such/place/x.pdf" } else { out };
        tried.extend([
            vec!["sheet", "boxes", "pig", "--out", pdf],
            vec!["report", "Juno", "--out", pdf],
            vec!["export", "csv", "Juno", "--out", out],
            vec!["handover", "export", "Juno", "--out", out],
            vec!["manual", "--out", &below],
        ]);
    }
    for args in tried {
        let ran = run_in(&home, &args);
        let line = ran.refused(&args.join(" ")).to_owned();
        for raw in ["os error", "stream did not", "Error {", "Custom {"] {
            assert!(!line.contains(raw), "{args:?} said: {line}");
        }
    }
}

/// One format for every list: a byte order mark, remarks, empty lines and spaces are passed over in each.
#[test]
fn a_list_is_read_one_way_everywhere() {
    let folder = scratch("one-way");
    let words = "\u{feff}# two words\r\n\n  pig  \r\n# not this: bed\npeg\n";
    let words = file(&folder, "words.txt", words.as_bytes());
    let pairs = "\u{feff}# one pair\r\n\n  pig\tpeg  \r\n# not this:\tbed\n";
    let pairs = file(&folder, "pairs.tsv", pairs.as_bytes());
    let boxes = run(&["boxes", "--list", text(&words), "--json"]).well().json();
    let named: Vec<&str> = boxes.iter().map(|b| b["word"].as_str().unwrap()).collect();
    assert_eq!(named, ["pig", "peg"]);
    let listed = run(&["chain", "--list", "--words", text(&words), "--json"])
        .well()
        .json();
    let mut named: Vec<&str> = listed.iter().map(|b| b["word"].as_str().unwrap()).collect();
    named.sort_unstable();
    assert_eq!(named, ["peg", "pig"]);
    let chains = run(&["chain", "--pairs", text(&pairs), "--json"]).well().json();
    assert_eq!(
        (chains.len(), &chains[0]["from"], &chains[0]["to"]),
        (1, &"pig".into(), &"peg".into())
    );
    let sorted = run(&["sort", "k", "--words", text(&words), "--json"]).well().json();
    assert_eq!(sorted[0]["words"], 2);
}

/// What a list holds and cannot be used is answered in one shape: what names the question, and what is wrong.
#[test]
fn error_objects_have_one_shape() {
    let folder = scratch("one-shape");
    let manifest = file(
        &folder,
        "list.jsonl",
        b"{\"id\": \"b\", \"audio\": \"none.wav\", \"word\": \"pig\"}\n",
    );
    let pairs = file(&folder, "pairs.tsv", b"no tab\n");
    for args in [
        &["batch", text(&manifest), "--json"][..],
        &["chain", "--pairs", text(&pairs), "--json"],
        &["boxes", "p1g", "--json"],
    ] {
        let answers = run(args);
        let answer = answers.json().remove(0);
        let keys: Vec<&String> = answer.as_object().unwrap().keys().collect();
        assert_eq!(keys, ["id", "error"], "{args:?}: {answer}");
    }
}

#[test]
fn capitals_are_accepted() {
    let home = filled("capitals");
    let path = demo("08-shell.wav");
    let out = scratch("capitals-out").join("x.pdf");
    for args in [
        &["count", text(&path), "--word", "shell", "--speaking", "Stretched"][..],
        &["sort", "K"],
        &["sort", "Ladders"],
        &["chain", "bit", "--change", "Medial", "--kind", "SWAP", "--length", "3"],
        &["chain", "pig", "peg", "--words", "Common"],
        &["vowel", text(&path), "--voice", "Woman"],
        &["rules", "--rules", "Phonics", "--rule", "R_Vowels=Two"],
        &["parts", "Port"],
        &["sounds", "Th"],
        &["sheet", "Boxes", "pig", "--paper", "A4", "--force", "--out", text(&out)],
        &[
            "attempts",
            "Juno",
            "--verdict",
            "Same",
            "--speaking",
            "WHOLE",
            "--sounds",
            "sh",
        ],
        &["note", "Juno", "Clear.", "--by", "Consultant"],
    ] {
        let ran = run_in(&home, args);
        assert_eq!(ran.code, 0, "{args:?}: {}", ran.err);
    }
}

/// The three ways of writing sounds that the program prints are read wherever sounds are typed.
#[test]
fn sounds_are_typed_as_they_are_printed() {
    let home = filled("typed");
    let path = demo("23-ring.wav");
    for sounds in ["R IH NG", "r-ih-ng", "/ɹɪŋ/"] {
        let ran = run_in(&home, &["count", text(&path), "--sounds", sounds, "--json"]).well();
        assert_eq!(
            ran.json()[0]["expected_sounds"],
            serde_json::json!(["R", "IH", "NG"]),
            "{sounds}"
        );
        run_in(&home, &["word", "blonk", "--set", sounds]).well();
        let ran = run_in(&home, &["word", "blonk", "--json"]).well();
        assert_eq!(
            ran.json()[0]["sounds"],
            serde_json::json!(["R", "IH", "NG"]),
            "{sounds}"
        );
    }
    for sound in ["SH", "sh", "/ʃ/"] {
        let ran = run_in(&home, &["attempts", "Juno", "--sounds", sound, "--json"]).well();
        assert_eq!(ran.json().len(), 1, "{sound}");
    }
    for only in ["P IH EH G", "p-ih-eh-g", "/pɪɛɡ/"] {
        let ran = run_in(&home, &["chain", "pig", "peg", "--only", only, "--json"]).well();
        assert_eq!(ran.json()[0]["steps"].as_array().map(Vec::len), Some(2), "{only}");
    }
}

/// A note can be written on an attempt by what the list of attempts shows.
#[test]
fn an_attempt_is_named_by_what_is_shown() {
    let home = filled("signs");
    let listed = run_in(&home, &["attempts", "Juno"]).well().out;
    let sign = listed.split_whitespace().next().expect("a sign").to_owned();
    for which in [sign.as_str(), "last"] {
        run_in(&home, &["note", "Juno", "Clear at once.", "--attempt", which]).well();
        let read = run_in(&home, &["note", "Juno", "--attempt", which]).well().out;
        assert!(read.contains("Clear at once."), "{which}: {read}");
    }
    for page in ["note", "attempts"] {
        assert!(!run(&["help", page]).well().out.contains("--json` shows"));
    }
}

/// One name for one idea: how many are shown at most is `--most` everywhere.
#[test]
fn how_many_are_shown_has_one_name() {
    for command in ["attempts", "sort", "sheet"] {
        let page = run(&["help", command]).well().out;
        assert!(page.contains("--most <N>") && !page.contains("--length"), "{page}");
    }
    let home = filled("most");
    let ran = run_in(&home, &["attempts", "Juno", "--most", "1", "--json"]).well();
    assert_eq!(ran.json().len(), 1);
}

#[test]
fn one_is_one() {
    let list = file(&scratch("one"), "one.txt", b"back\nmud\n");
    let shown = run(&["sort", "k", "--words", text(&list)]).well().out;
    assert!(shown.contains("1 place in 2 words"), "{shown}");
    assert!(!shown.contains("1 places"), "{shown}");
}
