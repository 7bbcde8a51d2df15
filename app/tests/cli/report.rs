//! `soundbead report` on a notebook that was filled from the command line.

use std::path::PathBuf;

use crate::common::{demo, run_in, scratch, text};

/// A home with Juno in it, who said three words and counted one of them wrong.
fn filled(name: &str) -> PathBuf {
    let home = scratch(name).join("home");
    run_in(&home, &["learner", "add", "Juno", "--rules", "phonics"]).well();
    for (recording, word, counted) in [
        ("01-goat.wav", "goat", "3"),
        ("02-shed.wav", "shed", "4"),
        ("03-milk.wav", "milk", "4"),
    ] {
        let path = demo(recording);
        let args = [
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
        run_in(&home, &args).well();
    }
    run_in(
        &home,
        &[
            "note",
            "Juno",
            "Lips <round> & ready.",
            "--sounds",
            "OW",
            "--by",
            "consultant",
        ],
    )
    .well();
    home
}

/// Facts of the words: goat, shed and milk have three, three and four sounds, so two of the three counts are right.
#[test]
fn the_report_says_what_the_notebook_holds() {
    let home = filled("report");
    let folder = scratch("reports");
    let (pdf, html) = (folder.join("juno.pdf"), folder.join("juno.html"));
    let ran = run_in(&home, &["report", "juno", "--out", text(&pdf)]).well();
    assert!(ran.out.contains("juno.pdf: Juno"), "{}", ran.out);
    run_in(&home, &["report", "Juno", "--out", text(&html), "--paper", "a4"]).well();
    let file = lopdf::Document::load(&pdf).expect("a PDF");
    let numbers: Vec<u32> = file.get_pages().keys().copied().collect();
    let printed = file.extract_text(&numbers).expect("text");
    let printed = printed.split_whitespace().collect::<Vec<_>>().join(" ");
    let page = std::fs::read_to_string(&html).expect("a file");
    for wanted in [
        "Juno: report",
        "3 words",
        "2 of 3",
        "Vowel and r (car): one sound",
        "on the sound",
        "audiologist",
        "rules on recording",
    ] {
        assert!(printed.contains(wanted), "`{wanted}` in {printed}");
        assert!(page.contains(wanted), "`{wanted}` in {page}");
    }
    assert!(printed.contains("Lips <round> & ready.") && page.contains("Lips &lt;round&gt; &amp; ready."));
}

/// A report goes to many hands: a note that names a diagnosis is not printed unasked.
#[test]
fn a_note_that_names_a_diagnosis_is_asked_about_before_anything_is_written() {
    let home = filled("diagnosis");
    let note = ["note", "Juno", "The school wrote of dyslexia.", "--by", "parent"];
    run_in(&home, &note).well();
    let out = scratch("reports-diagnosis").join("juno.html");
    let report = ["report", "Juno", "--out", text(&out)];
    let ran = run_in(&home, &report);
    let line = ran.refused("without an answer");
    assert!(
        line.contains("dyslexia") && line.contains("--diagnoses leave-out"),
        "{line}"
    );
    assert!(!out.exists(), "nothing is written yet");
    let ran = run_in(&home, &[&report[..], &["--diagnoses", "leave-out"]].concat()).well();
    assert!(ran.out.contains("Left out for naming a diagnosis: 1"), "{}", ran.out);
    let page = std::fs::read_to_string(&out).expect("a file");
    assert!(
        !page.contains("dyslexia") && page.contains("Lips &lt;round&gt;"),
        "the other notes stay"
    );
    run_in(&home, &[&report[..], &["--diagnoses", "print", "--force"]].concat()).well();
    assert!(std::fs::read_to_string(&out).expect("a file").contains("dyslexia"));
}

#[test]
fn what_cannot_be_reported_gets_one_line() {
    let home = filled("refused");
    let folder = scratch("refused-out");
    let out = folder.join("juno.pdf");
    let inside = home.join("juno.pdf");
    let out = text(&out);
    for (args, wanted) in [
        (&["report"][..], "name"),
        (&["report", "Juno"], "--out"),
        (&["report", "Jun", "--out", out], "did you mean `Juno`"),
        (&["report", "Juno", "--out", "juno.doc"], ".pdf or .html"),
        (&["report", "Juno", "--out", text(&inside)], "own folder"),
        (&["report", "Juno", "--out", out, "--from", "today"], "not a day"),
        (
            &[
                "report",
                "Juno",
                "--out",
                out,
                "--from",
                "2026-02-01",
                "--to",
                "2026-01-01",
            ],
            "after",
        ),
        (
            &["report", "Juno", "--out", out, "--to", "2001-01-01"],
            "nothing was said",
        ),
        (&["report", "Juno", "--out", out, "--json"], "--json"),
    ] {
        let ran = run_in(&home, args);
        let line = ran.refused(&args.join(" "));
        assert!(line.contains(wanted), "{args:?}: {line}");
    }
    std::fs::write(out, b"dear letter").expect("a file can be written");
    assert!(
        run_in(&home, &["report", "Juno", "--out", out])
            .refused("a file that is there")
            .contains("--force")
    );
    assert_eq!(std::fs::read(out).expect("kept"), b"dear letter");
    run_in(&home, &["report", "Juno", "--out", out, "--force"]).well();
    assert!(std::fs::read(out).expect("a file").starts_with(b"%PDF"));
}
