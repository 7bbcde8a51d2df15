//! `soundbead wrote`: the answer has the shape of the command-line contract, and what cannot be used costs one line.

use crate::common::{run, scratch, text};
use serde_json::json;

#[test]
fn one_pair_is_answered_in_the_contracts_shape() {
    let ran = run(&["wrote", "bridge", "brige", "--json"]).well();
    let [answer] = &ran.json()[..] else {
        panic!("one line, not: {}", ran.out)
    };
    let keys: Vec<&String> = answer.as_object().unwrap().keys().collect();
    assert_eq!(
        keys,
        [
            "word",
            "wrote",
            "sounds",
            "added",
            "represented",
            "of",
            "readable",
            "parts"
        ]
    );
    assert_eq!(
        answer["sounds"][3],
        json!({ "sound": "JH", "letters": "dge", "wrote": "ge", "finding": "spelled_otherwise", "fits_here": false })
    );
    assert_eq!(
        answer["sounds"][0],
        json!({ "sound": "B", "letters": "b", "wrote": "b", "finding": "kept" })
    );
    assert_eq!((&answer["represented"], &answer["of"]), (&json!(4), &json!(4)));
    assert_eq!(answer["readable"], true);
    assert_eq!(answer["parts"], json!(["short vowel before dge"]));
    let added = &run(&["wrote", "pig", "pixg", "--json"]).well().json()[0];
    assert_eq!(added["added"], json!([{ "wrote": "x", "after": 2 }]));
}

#[test]
fn a_file_of_pairs_is_answered_in_order_and_bad_lines_do_not_stop_it() {
    let folder = scratch("wrote");
    let file = folder.join("pairs.tsv");
    let lines = "bridge\tbrige\nno tab\nb4\tbfour\nship\tthe big ship sails\nbed\t\u{1f600}\nfriend\tfreind\textra\n";
    std::fs::write(&file, lines).unwrap();
    let answers = run(&["wrote", "--pairs", text(&file), "--json"]).well().json();
    assert_eq!(answers.len(), 6);
    for (at, answer) in answers.iter().enumerate() {
        let good = [0, 5].contains(&at);
        assert_eq!(answer.get("error").is_none(), good, "{answer}");
        if !good {
            let keys: Vec<&String> = answer.as_object().unwrap().keys().collect();
            assert_eq!(keys, ["id", "error"]);
            assert!(answer["error"].as_str().unwrap().contains(&format!("line {}", at + 1)));
        }
    }
    let plain = run(&["wrote", "--pairs", text(&file)]).well();
    assert!(plain.out.contains("line 2") && plain.out.contains("friend, written freind"));
}

#[test]
fn what_cannot_be_used_costs_one_line() {
    for args in [
        &["wrote", "bridge", ""][..],
        &["wrote", "bridge", "4"],
        &["wrote", "bridge", "the bridge is old"],
        &["wrote", "bridge", "\u{1f600}"],
        &["wrote", "", "brige"],
        &["wrote", "b4", "brige"],
        &["wrote", "bridge"],
        &["wrote"],
        &["wrote", "--pairs", "nowhere.tsv"],
        &["wrote", "bridge", "brige", "--pairs", "pairs.tsv"],
    ] {
        let ran = run(args);
        ran.refused(&format!("{args:?}"));
    }
}

/// A word typed wrong by the parent is questioned, also where the dictionary has it as a name.
#[test]
fn the_parents_own_slip_is_questioned() {
    for (typed, word) in [("brige", "bridge"), ("freind", "friend"), ("thier", "their")] {
        let answer = &run(&["wrote", typed, typed, "--json"]).well().json()[0];
        assert_eq!(answer["meant"], word);
        assert!(
            run(&["wrote", typed, typed])
                .well()
                .out
                .contains(&format!("Did you mean {word}?"))
        );
    }
    assert!(
        run(&["wrote", "bridge", "brige", "--json"]).well().json()[0]
            .get("meant")
            .is_none()
    );
}
