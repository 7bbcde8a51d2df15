//! `soundbead chain`, driven as a script would: the contract's shapes, its refusals, and truth of every step.

use std::collections::HashMap;

use crate::common::{file, run, run_in, scratch, text};
use serde_json::Value;

fn sounds(step: &Value) -> Vec<String> {
    let names = step["sounds"].as_array().expect("sounds").iter();
    names.map(|s| s.as_str().expect("a name").to_owned()).collect()
}

/// The words of an answer, after checking each step against the sounds it prints: exactly one changes, as it says.
fn checked(answer: &Value) -> Vec<String> {
    let steps = answer["steps"]
        .as_array()
        .unwrap_or_else(|| panic!("no steps: {answer}"));
    assert!(steps[0]["change"].is_null());
    for pair in steps.windows(2) {
        let (mut was, is) = (sounds(&pair[0]), sounds(&pair[1]));
        let change = &pair[1]["change"];
        let at = change["at"].as_u64().expect("at") as usize;
        let name = |field: &str| change[field].as_str().map(str::to_owned);
        match change["kind"].as_str().expect("kind") {
            "swap" => assert_eq!(
                std::mem::replace(&mut was[at], name("to").expect("to")),
                name("from").expect("from")
            ),
            "add" => was.insert(at, name("to").expect("to")),
            "drop" => assert_eq!(Some(was.remove(at)), name("from")),
            other => panic!("{other}"),
        }
        assert_eq!(was, is, "{answer}");
    }
    steps
        .iter()
        .map(|s| s["word"].as_str().expect("word").to_owned())
        .collect()
}

#[test]
fn the_contracts_own_example() {
    let ran = run(&["chain", "pig", "peg", "--json"]).well();
    let answer = &ran.json()[0];
    assert_eq!(checked(answer), ["pig", "peg"]);
    let change = &answer["steps"][1]["change"];
    let fields = ["kind", "place", "from", "to"].map(|f| change[f].as_str().expect("text"));
    assert_eq!(fields, ["swap", "medial", "IH", "EH"]);
    assert_eq!(
        (&change["letters"]["from"], &change["letters"]["to"]),
        (&"i".into(), &"e".into())
    );
}

#[test]
fn lengths_limits_and_seeds() {
    let answer = |args: &str| {
        let args: Vec<&str> = args.split(' ').collect();
        run(&[&["chain"], &args[..], &["--json"]].concat())
            .well()
            .json()
            .remove(0)
    };
    assert_eq!(checked(&answer("pig ten --length 7")).len(), 7);
    assert_eq!(
        checked(&answer("pig --length 5 --seed 3")),
        checked(&answer("pig --length 5 --seed 3"))
    );
    let medial = answer("bit --length 5 --change medial --kind swap");
    for step in &medial["steps"].as_array().expect("steps")[1..] {
        assert_eq!(
            (&step["change"]["place"], &step["change"]["kind"]),
            (&"medial".into(), &"swap".into())
        );
    }
    let only = ["P", "IH", "EH", "T", "N", "B", "D", "G"];
    let made = answer("pig ten --only P,IH,EH,T,N,B,D,G");
    checked(&made);
    assert!(
        made["steps"]
            .as_array()
            .expect("steps")
            .iter()
            .all(|s| sounds(s).iter().all(|n| only.contains(&n.as_str())))
    );
    let practiced = run(&["chain", "--contrast", "EH IH", "--length", "8", "--seed", "4", "--json"]).well();
    assert_eq!(checked(&practiced.json()[0]).len(), 8);
    // Words that the list lacks: a rare one, and one that no dictionary has.
    assert_eq!(checked(&answer("gat git")), ["gat", "git"]);
    // A word that nobody knows is asked about, and used as it is.
    let asked = run(&["chain", "blep", "pig", "--json"]);
    assert_eq!(asked.code, 0);
    assert!(
        asked
            .err
            .starts_with("soundbead: blep is not in the dictionary; did you mean "),
        "{}",
        asked.err
    );
    let guessed = asked.json().remove(0);
    checked(&guessed);
    assert_eq!(guessed["steps"][0]["source"], "guess");
}

#[test]
fn where_there_is_none() {
    let ran = run(&["chain", "pig", "hippopotamus", "--json"]);
    assert_eq!((ran.code, ran.err.lines().count()), (2, 1), "{}", ran.err);
    let answer = &ran.json()[0];
    assert!(answer["steps"].is_null() && answer["error"].as_str().expect("error").contains("hippopotamus"));
    checked(&answer["nearest"]);
    let ran = run(&["chain", "pig", "ten", "--length", "3"]);
    assert!(ran.refused("too short").contains("nearest"), "{}", ran.err);
    let alike = run(&["chain", "know", "no"]);
    assert!(alike.refused("alike").contains("said alike"), "{}", alike.err);
}

#[test]
fn many_pairs_in_one_run() {
    let folder = scratch("pairs");
    let pairs = file(
        &folder,
        "pairs.tsv",
        b"pig\tten\n\nno tab\ncat\t7up\nknow\tno\r\nbed\tread\n",
    );
    let ran = run(&["chain", "--pairs", text(&pairs), "--json"]).well();
    let answers = ran.json();
    assert_eq!(answers.len(), 5);
    assert_eq!(checked(&answers[0]).len(), 4);
    assert!(answers[1]["error"].as_str().expect("error").starts_with("line 3"));
    assert!(answers[2]["error"].as_str().expect("error").contains("digit"));
    assert!(answers[3]["steps"].is_null());
    assert_eq!(
        (&answers[4]["from"], &answers[4]["to"]),
        (&"bed".into(), &"read".into())
    );
    checked(&answers[4]);
}

/// From the printed list alone a plain breadth-first search can be built, and it finds the same lengths.
#[test]
fn the_list_is_what_chains_are_made_of() {
    let listed = run(&["chain", "--list", "--json"]).well().json();
    assert!(listed.len() >= 20_000, "{}", listed.len());
    let mut holes: HashMap<Vec<String>, Vec<usize>> = HashMap::new();
    let rows: Vec<Vec<String>> = listed.iter().map(sounds).collect();
    for (number, row) in rows.iter().enumerate() {
        for at in 0..row.len() {
            let mut hole = row.clone();
            hole[at] = "?".into();
            holes.entry(hole).or_default().push(number);
            let mut shorter = row.clone();
            shorter.remove(at);
            holes.entry(shorter).or_default().push(number);
        }
        holes.entry(row.clone()).or_default().push(number);
    }
    let start = (0..rows.len())
        .filter(|&n| listed[n]["word"] == "sleep")
        .collect::<Vec<_>>();
    let mut far: HashMap<usize, usize> = start.iter().map(|&n| (n, 0)).collect();
    let mut queue: std::collections::VecDeque<usize> = start.into();
    while let Some(node) = queue.pop_front() {
        let row = &rows[node];
        let mut near: Vec<usize> = Vec::new();
        for at in 0..row.len() {
            let mut hole = row.clone();
            hole[at] = "?".into();
            near.extend(&holes[&hole]);
            let mut shorter = row.clone();
            shorter.remove(at);
            near.extend(
                holes
                    .get(&shorter)
                    .into_iter()
                    .flatten()
                    .filter(|&&n| rows[n] == shorter),
            );
        }
        near.extend(
            holes
                .get(row)
                .into_iter()
                .flatten()
                .filter(|&&n| rows[n].len() == row.len() + 1),
        );
        for next in near {
            if !far.contains_key(&next) {
                far.insert(next, far[&node] + 1);
                queue.push_back(next);
            }
        }
    }
    let words = [
        "wonder", "trick", "shoulder", "fourth", "knight", "banana", "monkey", "ant",
    ];
    let folder = scratch("lengths");
    let lines: String = words.iter().map(|w| format!("sleep\t{w}\n")).collect();
    let pairs = file(&folder, "pairs.tsv", lines.as_bytes());
    for (word, answer) in words
        .iter()
        .zip(run(&["chain", "--pairs", text(&pairs), "--json"]).well().json())
    {
        let wanted = (0..rows.len())
            .filter(|&n| listed[n]["word"] == *word)
            .filter_map(|n| far.get(&n))
            .min();
        match answer["steps"].as_array() {
            Some(steps) => assert_eq!(Some(&(steps.len() - 1)), wanted, "{word}"),
            None => assert_eq!(wanted, None, "{word}"),
        }
    }
}

#[test]
fn a_blocked_word_stays_out() {
    let home = scratch("blocking");
    let words = |home: &std::path::Path| {
        let ran = run_in(home, &["chain", "--list"]).well();
        ran.out
            .lines()
            .map(|l| l.split('\t').next().unwrap_or("").to_owned())
            .collect::<Vec<_>>()
    };
    assert!(words(&home).contains(&"peg".to_owned()));
    run_in(&home, &["word", "peg", "--block"]).well();
    assert!(!words(&home).contains(&"peg".to_owned()));
    // Asked for by name it is answered all the same.
    run_in(&home, &["chain", "pig", "peg", "--json"]).well();
    run_in(&home, &["word", "peg", "--unblock"]).well();
    assert!(words(&home).contains(&"peg".to_owned()));
    assert_eq!(run_in(&home, &["word", "peg", "--unblock"]).code, 2);
    assert_eq!(run_in(&home, &["word", "*", "--block"]).code, 2);
}

#[test]
fn what_cannot_be_used_is_one_line() {
    for args in [
        "chain",
        "chain pig peg pit",
        "chain pig --length 1",
        "chain pig --length many",
        "chain pig --only QQ",
        "chain pig --change middle",
        "chain pig --kind swop",
        "chain pig --contrast EH",
        "chain pig --syllables 0",
        "chain pig --seed -1",
        "chain pig --words /nowhere/list.txt",
        "chain --pairs /nowhere/pairs.tsv",
        "chain pig --pairs x",
        "chain 7up",
        "chain pig ten --rule r_vowels=three",
        "chain \u{1F600} pig",
    ] {
        run(&args.split(' ').collect::<Vec<_>>()).refused(args);
    }
}

/// A word that is said in two ways is told of, with what to type; the way behind the word is kept to.
#[test]
fn the_way_of_an_end_is_asked_and_kept() {
    let ran = run(&["chain", "wind", "mine"]).well();
    let told = ran.out.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(
        told.contains("wind is said W IH N D (moving air) or W AY N D (to turn a key or a handle).")
            && told.contains("wind:W-AY-N-D keeps to the second."),
        "{told}"
    );
    let ran = run(&["chain", "wind:W-AY-N-D", "mine", "--json"]).well();
    let answer = &ran.json()[0];
    checked(answer);
    assert_eq!(sounds(&answer["steps"][0]), ["W", "AY", "N", "D"]);
    run(&["chain", "wind:W-XX", "mine"]).refused("wind:W-XX");
}
