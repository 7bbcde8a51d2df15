//! `soundbead course`: words to dictate, and where the writer of some days stands.

use crate::common::{run, scratch, text};

#[test]
fn the_two_sets_share_no_word() {
    let words = |set: &str| -> Vec<String> {
        let answers = run(&["course", "--set", set, "--json"]).well().json();
        answers.iter().map(|a| a["word"].as_str().unwrap().to_owned()).collect()
    };
    let (first, second) = (words("1"), words("2"));
    assert!((25..=40).contains(&first.len()) && (25..=40).contains(&second.len()));
    assert!(first.iter().all(|word| !second.contains(word)));
}

#[test]
fn days_of_writing_show_what_is_kept_and_what_comes_next() {
    let folder = scratch("course");
    let day = |name: &str, text: &str| {
        let file = folder.join(name);
        std::fs::write(&file, text).unwrap();
        file
    };
    let monday = day(
        "monday.txt",
        "The duk = duck sat on the brige = bridge.\nzzyxq\nsock\nbed\n",
    );
    let tuesday = day("tuesday.txt", "bridge\tbrige\nkick\trick\nbed\nsock\n");
    let ran = run(&["course", text(&monday), text(&tuesday), "--json"]).well();
    let answer = &ran.json()[0];
    let of = |name: &str| {
        let choices = answer["choices"].as_array().unwrap();
        choices
            .iter()
            .find(|c| c["choice"] == name)
            .unwrap_or_else(|| panic!("{name}: {answer}"))
            .clone()
    };
    let j = of("ge, dge or j");
    // Two tries at bridge are one word's evidence.
    assert_eq!((j["met"].as_u64(), j["kept"].as_u64()), (Some(1), Some(0)));
    assert!(answer["unread"].as_array().unwrap().iter().any(|w| w == "zzyxq"));
    assert!(answer["new"].is_string());
    let plain = run(&["course", text(&monday)]).well().out;
    assert!(plain.contains("Next: ") && plain.contains("zzyxq"));
}

#[test]
fn what_cannot_be_used_costs_one_line() {
    for args in [
        &["course", "nowhere.txt"][..],
        &["course", "--set", "3"],
        &["course", "--taught", "short vowels"],
    ] {
        run(args).refused(&format!("{args:?}"));
    }
    let file = scratch("course-bad").join("day.txt");
    std::fs::write(&file, "bed\n").unwrap();
    let said = run(&["course", text(&file), "--taught", "short vowls"]);
    assert!(said.refused("a slip").contains("did you mean `short vowels`"));
}
