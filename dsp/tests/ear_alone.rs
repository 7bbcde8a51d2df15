//! The ear by itself (`soundbead-ear`), on the made recordings.

use std::process::{Command, Output};

use soundbead_dsp::judgement::Verdict;

fn ear(arguments: &[&str]) -> Output {
    let program = env!("CARGO_BIN_EXE_soundbead-ear");
    Command::new(program).args(arguments).output().expect("it runs")
}

/// What was made of each recording is in the manifest; a verdict that is not "unsure" is held against it.
#[test]
fn it_judges_the_made_recordings_and_says_what_was_made() {
    let heard = ear(&["../recordings-demo"]);
    let text = String::from_utf8(heard.stdout).unwrap();
    assert!(heard.status.success(), "{}", String::from_utf8_lossy(&heard.stderr));
    let (mut right, mut wrong) = (0, Vec::new());
    for line in text.lines().filter(|l| l.contains("made:")) {
        let made = line.rsplit("made: ").next().unwrap();
        let told = line
            .split(" sounds, ")
            .nth(1)
            .and_then(|rest| rest.split([' ', '(']).next());
        match told.and_then(|name| name.parse().ok()) {
            Some(Verdict::Unsure) => {}
            Some(verdict) if verdict.name() == made => right += 1,
            _ if made.parse::<Verdict>().is_ok() => wrong.push(line),
            _ => {}
        }
    }
    assert!(right >= 25 && wrong.len() <= 1, "{right} right, wrong: {wrong:?}");
}

#[test]
fn a_folder_without_recordings_gives_one_line() {
    for (arguments, said) in [(&["src"][..], "manifest.jsonl"), (&[], "FOLDER")] {
        let heard = ear(arguments);
        let line = String::from_utf8(heard.stderr).unwrap();
        assert_eq!((heard.status.code(), line.lines().count()), (Some(2), 1), "{line}");
        assert!(line.contains(said), "{line}");
    }
}
