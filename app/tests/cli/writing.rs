//! `soundbead writing` and `soundbead course --learner`: what a child wrote, from paper into the notebook and back out; and words that
//! look like slips, which are asked about.

use std::path::{Path, PathBuf};

use crate::common::{demo, file, run, run_in, scratch, text};

/// A folder with an empty home in which Juno is.
fn juno(name: &str) -> (PathBuf, PathBuf) {
    let folder = scratch(name);
    let home = folder.join("home");
    run_in(&home, &["learner", "add", "Juno"]).well();
    (folder, home)
}

fn add(home: &Path, path: &Path, day: &str) -> String {
    run_in(home, &["writing", "Juno", "--add", text(path), "--day", day])
        .well()
        .out
}

/// The ids of all rows that are shown, the latest first.
fn ids(home: &Path) -> Vec<String> {
    let rows = run_in(home, &["writing", "Juno", "--json"]).well().json();
    rows.iter().map(|row| row["id"].as_str().unwrap().to_owned()).collect()
}

#[test]
fn a_passage_from_paper_is_kept_found_and_taken_back() {
    let (folder, home) = juno("writing-paper");
    let autumn = file(
        &folder,
        "autumn.txt",
        b"My Siter = sister has a brige = bridge.\nship\tsip\n",
    );
    let said = add(&home, &autumn, "2026-09-03");
    assert!(
        said.starts_with("6 words kept.\nUndo: soundbead writing \"Juno\" --undo "),
        "{said}"
    );
    let rows = run_in(&home, &["writing", "Juno", "--json"]).well().json();
    let told = rows
        .iter()
        .map(|r| format!("{}<{}", r["word"].as_str().unwrap(), r["tries"][0].as_str().unwrap()));
    assert_eq!(
        told.collect::<Vec<_>>(),
        ["my<My", "sister<Siter", "has<has", "a<a", "bridge<brige", "ship<sip"]
    );
    let bridge = rows.iter().find(|r| r["word"] == "bridge").unwrap();
    assert_eq!(
        (&bridge["day"], &bridge["source"]),
        (&"2026-09-03".into(), &"paper".into())
    );
    // The same as `soundbead wrote` says of the pair.
    let wrote = run(&["wrote", "bridge", "brige", "--json"]).well().json().remove(0);
    assert_eq!(bridge["reading"], wrote);

    let shown = |args: &[&str]| {
        let all = [&["writing", "Juno", "--json"], args].concat();
        let rows = run_in(&home, &all).well().json();
        rows.iter()
            .filter_map(|r| Some(r["word"].as_str()?.to_owned()))
            .collect::<Vec<_>>()
    };
    assert_eq!(shown(&["--sounds", "SH"]), ["ship"]);
    assert_eq!(
        shown(&["--finding", "Other_Sound"]).len() + shown(&["--finding", "near_sound"]).len(),
        1
    );
    assert_eq!(shown(&["--choice", "ge, dge or j"]), ["bridge"]);
    assert_eq!(shown(&["--word", "Sister"]), ["sister"]);
    let together = [
        "--choice",
        "ge, dge or j",
        "--sounds",
        "JH",
        "--finding",
        "spelled_otherwise",
        "--source",
        "paper",
    ];
    assert_eq!(shown(&together), ["bridge"]);
    assert_eq!(
        shown(&["--choice", "ge, dge or j", "--finding", "kept"]),
        Vec::<String>::new()
    );
    assert_eq!(shown(&["--from", "2026-09-04"]), Vec::<String>::new());
    assert_eq!(shown(&["--source", "dictation"]), Vec::<String>::new());

    // Added once more: nothing is doubled. Then all of it goes, and comes back.
    assert!(add(&home, &autumn, "2026-09-03").starts_with("0 words kept. 6 were there already."));
    let first = ids(&home)[0].clone();
    let undone = run_in(&home, &["writing", "Juno", "--undo", &first[..6], "--whole"])
        .well()
        .out;
    assert!(undone.starts_with("6 words taken back."), "{undone}");
    assert!(ids(&home).is_empty());
    run_in(&home, &["writing", "Juno", "--redo", &first[..6], "--whole"]).well();
    assert_eq!(ids(&home).len(), 6);
    run_in(&home, &["writing", "Juno", "--undo", &first]).well();
    assert_eq!(ids(&home).len(), 5);
    // The clock of the machine decides nothing here: the row is there until the next day.
    run_in(&home, &["writing", "Juno", "--redo", &first]).well();
    assert_eq!(ids(&home).len(), 6);
}

#[test]
fn what_cannot_be_kept_is_named_and_the_rest_is_kept() {
    let (folder, home) = juno("writing-unread");
    let list = file(
        &folder,
        "list.txt",
        "siter freind 4 \u{1f600} ship\nbrige\tbrige\nbridge\tthe old bridge\n".as_bytes(),
    );
    let said = add(&home, &list, "2026-09-03");
    assert_eq!(said.matches("Not kept: ").count(), 6, "{said}");
    let one_line = said.split_whitespace().collect::<Vec<_>>().join(" ");
    for says in [
        "siter is not in the dictionary; did you mean sister",
        "freind is in the dictionary only as a name or a rare word; did you mean friend?",
        "brige is not in the dictionary; did you mean bridge?",
        "`4` is not one word of English letters",
        "1 word kept.",
    ] {
        assert!(one_line.contains(says), "`{says}` in {one_line}");
    }
    let json = run_in(
        &home,
        &["writing", "Juno", "--add", text(&list), "--day", "2026-09-03", "--json"],
    )
    .well()
    .json();
    assert_eq!(
        (json[0]["again"].as_u64(), json[0]["unread"].as_array().unwrap().len()),
        (Some(1), 6)
    );
    // A word that the family insists on.
    run_in(&home, &["word", "brige", "--set", "B R IH JH"]).well();
    let said = add(&home, &list, "2026-09-03");
    assert!(said.contains("1 word kept. 1 was there already."), "{said}");
}

#[test]
fn wrong_input_has_one_line_and_loses_nothing() {
    let (folder, home) = juno("writing-wrong");
    let good = file(&folder, "good.txt", b"ship\tsip\n");
    add(&home, &good, "2026-09-03");
    let before = ids(&home);
    let empty = file(&folder, "empty.txt", b"# nothing\n\n");
    let digits = file(&folder, "digits.txt", "4 5 \u{1f600}".as_bytes());
    let bytes = file(&folder, "bytes.txt", b"\xff\xfe");
    let missing = folder.join("missing.txt");
    for (args, says) in [
        (vec!["--add", text(&empty)], "holds no word"),
        (vec!["--add", text(&digits)], "not one word of English letters"),
        (vec!["--add", text(&bytes)], "not UTF-8"),
        (vec!["--add", text(&missing)], "missing.txt"),
        (vec!["--add", text(&good), "--day", "tomorrow"], "not a day"),
        (vec!["--day", "2026-09-03"], "--add"),
        (vec!["--undo", "zzzz"], "no row zzzz"),
        (vec!["--undo", ""], "no row"),
        (vec!["--whole"], "--undo"),
        (vec!["--choice", "doubeling"], "no choice"),
        (vec!["--finding", "wrong"], "wrong"),
        (vec!["--sounds", "QQ"], "QQ"),
        (vec!["--since", "2026-09-03"], "--choice"),
        (
            vec!["--from", "2026-09-03", "--to", "2026-09-01"],
            "--from is after --to",
        ),
    ] {
        let all = [vec!["writing", "Juno"], args].concat();
        let ran = run_in(&home, &all);
        let line = ran.refused(&format!("{all:?}"));
        assert!(line.contains(says), "{all:?}: {line}");
    }
    run_in(&home, &["writing", "Nobody"]).refused("a learner who is not there");
    run_in(&home, &["course", "--was-taught", "schwa"]).refused("no learner");
    run_in(&home, &["course", "--taught", "weak vowel"]).refused("nothing to hold it against");
    run_in(&home, &["report", "Juno", "--writing", "--out", "x.doc"]).refused("no form");
    assert_eq!(ids(&home), before);
}

/// The same choice in autumn and in spring, in other words and in the same.
#[test]
fn a_choice_is_shown_then_and_now() {
    let (folder, home) = juno("writing-then");
    let then = file(&folder, "then.txt", b"bridge\tbrige\nedge\tege\n");
    let now = file(&folder, "now.txt", b"bridge\tbridge\nedge\tedge\nbadge\tbage\n");
    add(&home, &then, "2025-09-03");
    add(&home, &now, "2026-04-03");
    let args = ["writing", "Juno", "--choice", "ge, dge or j"];
    let shown = run_in(&home, &args).well().out;
    let json = run_in(&home, &[&args[..], &["--json"]].concat())
        .well()
        .json()
        .remove(0);
    let compared = &json["then_and_now"];
    let met = |at: &str| compared[at]["met"].as_u64().unwrap();
    assert_eq!(json["since"], "2026-04-03");
    assert_eq!(compared["then"]["kept"], 0);
    assert!(met("then") >= 2 && met("now") >= 2, "{compared}");
    let again = compared["again"].as_array().unwrap();
    assert!(
        again
            .iter()
            .any(|a| a["word"] == "bridge" && a["then"] == "brige" && a["now"] == "bridge"),
        "{compared}"
    );
    assert!(shown.contains("brige, now bridge"), "{shown}");
    let early = run_in(&home, &[&args[..], &["--since", "2025-01-01", "--json"]].concat())
        .well()
        .json()
        .remove(0);
    assert!(early["then_and_now"]["then"].is_null());
    let matrix = run_in(&home, &["writing", "Juno", "--matrix", "--json"]).well().json();
    let jh = matrix.iter().find(|row| row["sound"] == "JH").unwrap();
    let cells = jh["wrote"].as_array().unwrap();
    let times: u64 = cells.iter().map(|c| c["times"].as_u64().unwrap()).sum();
    assert_eq!(Some(times), jh["times"].as_u64());
    assert!(cells.iter().any(|c| c["letters"] == "ge" && c["kept"] == 0), "{jh}");
}

#[test]
fn the_course_reads_the_notebook_and_what_the_parent_says_is_kept() {
    let (folder, home) = juno("writing-course");
    let day = file(
        &folder,
        "day.txt",
        b"ship\tsip\nthin\tfin\nbed\tbed\ncat\tcat\nstop\tstop\n",
    );
    add(&home, &day, "2026-09-03");
    let answer = |args: &[&str]| {
        run_in(&home, &[&["course", "--learner", "Juno", "--json"], args].concat())
            .well()
            .json()
            .remove(0)
    };
    let by_itself = answer(&[]);
    assert_eq!(by_itself["words"], 5);
    let short = |answer: &serde_json::Value| {
        let choices = answer["choices"].as_array().unwrap().clone();
        choices.into_iter().find(|c| c["choice"] == "short vowels").unwrap()
    };
    assert!(short(&by_itself)["met"].as_u64().unwrap() >= 3);
    let digraphs = "sh, ch, th, wh, ng, ph";
    let said = run_in(&home, &["course", "--learner", "juno", "--was-taught", digraphs])
        .well()
        .out;
    assert!(
        said.contains("was taught, as you say") && said.contains("--unsay \"sh, ch"),
        "{said}"
    );
    assert_eq!(answer(&[])["taught"][0], digraphs);
    assert_ne!(answer(&[])["new"], digraphs);
    assert_eq!(answer(&["--not-taught", digraphs])["not_taught"][0], digraphs);
    assert_eq!(answer(&["--unsay", digraphs]), by_itself);
    // Said this once alone.
    assert_eq!(answer(&["--taught", digraphs])["taught"][0], digraphs);
    assert_eq!(answer(&[]), by_itself);
}

#[test]
fn the_report_has_the_page_and_the_export_the_rows() {
    let (folder, home) = juno("writing-report");
    let none = run_in(
        &home,
        &["report", "Juno", "--writing", "--out", text(&folder.join("none.pdf"))],
    );
    none.refused("nothing was written");
    let day = file(
        &folder,
        "day.txt",
        b"bridge\tbrige\nship\tsip\nbed\tbed\nhopping\thoping\n",
    );
    add(&home, &day, "2026-09-03");
    for name in ["writing.pdf", "writing.html"] {
        let path = folder.join(name);
        run_in(&home, &["report", "Juno", "--writing", "--out", text(&path), "--force"]).well();
    }
    let html = std::fs::read_to_string(folder.join("writing.html")).unwrap();
    for wanted in [
        "What Juno wrote",
        "brige for bridge",
        "hoping for hopping",
        "no test of a child",
        "audiologist",
    ] {
        assert!(html.contains(wanted), "{wanted}");
    }
    let pdf = lopdf::Document::load(folder.join("writing.pdf")).unwrap();
    assert_eq!(pdf.get_pages().len(), 1);
    let out = folder.join("juno.json");
    run_in(&home, &["export", "json", "Juno", "--out", text(&out)]).well();
    let exported: serde_json::Value = serde_json::from_str(&std::fs::read_to_string(out).unwrap()).unwrap();
    assert_eq!(exported["writing"].as_array().unwrap().len(), 4);
}

/// A question, and the answer as ever: status 0, the sounds a guess.
#[test]
fn slips_are_asked_about_wherever_a_word_is_typed() {
    let (folder, home) = juno("slips");
    let out = |name: &str| folder.join(name).to_str().unwrap().to_owned();
    let goat = demo("01-goat.wav");
    let pairs = file(&folder, "pairs.tsv", b"pig\tpeg\nbrige\tbridge\n");
    let words = file(&folder, "words.txt", b"pig\npeg\nbrige\n");
    let plan = file(
        &folder,
        "plan.toml",
        b"soundbead_plan = 1\n[[item]]\nkind = \"boxes\"\nwords = [\"brige\", \"pig\"]\n",
    );
    let question = "brige is not in the dictionary; did you mean bridge?";
    let sheet = |kind: &[&str], name: &str| {
        let all = [&["sheet"], kind, &["--out"]].concat();
        all.into_iter()
            .map(str::to_owned)
            .chain([out(name)])
            .collect::<Vec<_>>()
    };
    let own = |args: &[&str]| args.iter().map(|a| (*a).to_owned()).collect::<Vec<_>>();
    for args in [
        own(&["count", text(&goat), "--word", "brige"]),
        own(&["count", text(&goat), "--word", "brige", "--json"]),
        own(&["word", "brige"]),
        own(&["chain", "brige"]),
        own(&["chain", "--pairs", text(&pairs)]),
        own(&["chain", "pig", "peg", "--words", text(&words)]),
        own(&["sort", "k", "--words", text(&words)]),
        own(&["boxes", "pig", "brige"]),
        own(&["compare", text(&goat), "--words", "goat,brige"]),
        own(&["parts", "brige"]),
        sheet(&["boxes", "brige", "pig"], "boxes.pdf"),
        sheet(&["sort", "dge=brige,edge"], "sort.pdf"),
        sheet(&["dictation", "brige", "The old bridge."], "dictation.pdf"),
        sheet(&["--plan", text(&plan)], "plan.pdf"),
    ] {
        let ran = run_in(&home, &args);
        if args[0] != "chain" && args[0] != "sort" {
            assert_eq!(ran.code, 0, "{args:?}: {}", ran.err);
        }
        // Pages that tell of the word itself ask there.
        let told = ran.err.clone() + &ran.out.split_whitespace().collect::<Vec<_>>().join(" ");
        assert_eq!(told.matches(question).count(), 1, "{args:?}: {told}");
    }
    for (typed, meant) in [("freind", "friend"), ("thier", "their")] {
        let said = run_in(&home, &["word", typed]).well().out;
        assert!(
            said.split_whitespace()
                .collect::<Vec<_>>()
                .join(" ")
                .contains(&format!("did you mean {meant}?"))
        );
        let json = run_in(&home, &["word", typed, "--json"]).well().json().remove(0);
        assert_eq!(
            (&json["did_you_mean"], &json["source"]),
            (&meant.into(), &"dictionary".into())
        );
        let json = run_in(&home, &["boxes", typed, "--json"]).well().json().remove(0);
        assert_eq!(json["did_you_mean"], meant);
    }
    // What is no word and near none keeps its answer, and a word is not asked about.
    let snorbles = run_in(&home, &["word", "snorbles", "--json"]).well().json().remove(0);
    assert_eq!(snorbles["source"], "guess");
    assert!(snorbles.get("did_you_mean").is_none());
    let snorbles = run_in(&home, &["word", "snorbles"]).well().out;
    assert!(snorbles.contains("guess"), "{snorbles}");
    let bridge = run_in(&home, &["word", "bridge", "--json"]).well().json().remove(0);
    assert!(bridge.get("did_you_mean").is_none());
    run_in(&home, &["word", "brige", "--set", "B R IH JH"]).well();
    run_in(&home, &["boxes", "brige"]).well();
}
