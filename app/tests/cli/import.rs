//! Old recordings come in by the folder, with their dates, once, marked, and can be taken back.

use std::fs;
use std::path::{Path, PathBuf};
use std::time::{Duration, SystemTime};

use crate::common::{demo, file, run_in, scratch, text, wav};
use serde_json::Value;

/// A folder of old recordings and a notebook with Juno in it.
struct Old {
    home: PathBuf,
    folder: PathBuf,
}

impl Old {
    fn new(name: &str) -> Old {
        let (home, folder) = (scratch(&format!("{name}-home")), scratch(&format!("{name}-old")));
        run_in(&home, &["learner", "add", "Juno"]).well();
        Old { home, folder }
    }

    /// A made recording under another name.
    fn put(&self, recording: &str, name: &str) -> PathBuf {
        let to = self.folder.join(name);
        fs::create_dir_all(to.parent().expect("it lies in the folder")).expect("a folder");
        fs::copy(demo(recording), &to).expect("a copy");
        to
    }

    fn import(&self, more: &[&str]) -> crate::common::Ran {
        let mut args = vec!["import", text(&self.folder), "--learner", "Juno"];
        args.extend(more);
        run_in(&self.home, &args)
    }

    /// The answers by the recording's name.
    fn answers(&self, more: &[&str]) -> Vec<(String, Value)> {
        let all = self.import(&[more, &["--json"]].concat()).well().json();
        all.into_iter()
            .map(|a| (a["path"].as_str().expect("a path").to_owned(), a))
            .collect()
    }

    fn attempts(&self) -> Vec<Value> {
        run_in(&self.home, &["attempts", "Juno", "--json"]).well().json()
    }
}

fn of<'a>(answers: &'a [(String, Value)], name: &str) -> &'a Value {
    &answers
        .iter()
        .find(|(path, _)| path == name)
        .unwrap_or_else(|| panic!("{name} is not told of"))
        .1
}

fn why(answer: &Value) -> &str {
    assert_eq!(answer["kept"], false, "{answer}");
    answer["why"].as_str().expect("a reason")
}

/// 2024-03-09, a little after noon, UTC: the same day on nearly every calendar.
const MARCH: Duration = Duration::from_secs(1_709_986_000);

#[test]
fn each_recording_is_kept_with_its_word_and_day_or_refused_with_its_reason() {
    let old = Old::new("each");
    old.put("01-goat.wav", "2024-05-03 goat.wav");
    old.put("02-shed.wav", "2023-11-20/shed 2.wav");
    let milk = old.put("03-milk.wav", "milk.wav");
    fs::File::open(&milk)
        .and_then(|f| f.set_modified(SystemTime::UNIX_EPOCH + MARCH))
        .expect("a file's time");
    old.put("08-shell.wav", "tape/0007.wav");
    old.put("09-fizz.wav", "New Recording 3.wav");
    old.put("10-lamb.wav", "03-05-2024 lamb.wav");
    old.put("11-soap.wav", "brige.wav");
    old.put("12-hat.wav", "2199-01-01 hat.wav");
    wav(&old.folder, "2024-05-03 pig.wav", vec![0; 16_000]);
    file(&old.folder, "2024-05-03 peg.wav", b"no sound at all");
    file(&old.folder, "notes.txt", b"of the lesson");
    file(
        &old.folder,
        "list.csv",
        b"path,word,date\ntape/0007.wav,shell,2022-02-22\nnone.wav,pig,\n",
    );

    let answers = old.answers(&[]);
    for (name, word, day, from) in [
        ("2024-05-03 goat.wav", "goat", "2024-05-03", "by its name"),
        ("2023-11-20/shed 2.wav", "shed", "2023-11-20", "by its folder"),
        ("milk.wav", "milk", "2024-03-09", "by the file's time"),
        ("tape/0007.wav", "shell", "2022-02-22", "by the list"),
    ] {
        let answer = of(&answers, name);
        let told = [&answer["word"], &answer["day"], &answer["day_from"]];
        assert_eq!(told, [word, day, from], "{answer}");
        assert_eq!(answer["kept"], true, "{answer}");
    }
    for (name, says) in [
        ("New Recording 3.wav", "recorders"),
        ("03-05-2024 lamb.wav", "either way"),
        ("brige.wav", "did you mean bridge?"),
        ("2199-01-01 hat.wav", "in the future"),
        ("2024-05-03 pig.wav", "no speech"),
        ("2024-05-03 peg.wav", "not a sound file"),
        ("none.wav", "line 3 of the list names it"),
    ] {
        let why = why(of(&answers, name));
        assert!(why.contains(says), "{name}: {why}");
    }
    assert_eq!(answers.len(), 11, "each once: {answers:?}");

    // In the notebook: judged as in a lesson, on their days, and marked.
    let kept = old.attempts();
    let told: Vec<(&str, &str)> = kept
        .iter()
        .map(|a| (a["word"].as_str().unwrap(), a["day"].as_str().unwrap()))
        .collect();
    let wanted = [
        ("goat", "2024-05-03"),
        ("milk", "2024-03-09"),
        ("shed", "2023-11-20"),
        ("shell", "2022-02-22"),
    ];
    assert_eq!(told, wanted, "the latest first");
    for attempt in &kept {
        assert_eq!(attempt["imported"], true, "{attempt}");
        let recording = attempt["recording"].as_str().expect("its sound is kept");
        let args = [
            "count",
            recording,
            "--word",
            attempt["word"].as_str().unwrap(),
            "--json",
        ];
        let judged = run_in(&old.home, &args).well().json().remove(0);
        assert_eq!(judged["verdict"], attempt["verdict"], "{attempt}");
    }
    let listed = run_in(&old.home, &["attempts", "Juno"]).well().out;
    assert_eq!(listed.matches("imported").count(), 4, "{listed}");
}

#[test]
fn nothing_is_kept_twice_and_the_same_sound_on_another_day_is_another() {
    let old = Old::new("twice");
    old.put("01-goat.wav", "2024-05-03 goat.wav");
    old.put("01-goat.wav", "2024-05-03 goat copy.wav");
    old.put("01-goat.wav", "2024-05-04 goat.wav");
    old.put("24-fan.wav", "2024-05-03 fan.wav");
    let first = old.import(&[]).well().out;
    assert!(
        first.contains("3 recordings kept, 1 there already, 0 refused."),
        "{first}"
    );
    old.put("25-barn.wav", "2024-05-03 barn.wav");
    let second = old.import(&[]).well().out;
    assert!(
        second.contains("1 recording kept, 4 there already, 0 refused."),
        "{second}"
    );
    assert_eq!(old.attempts().len(), 4);
}

#[test]
fn a_dry_run_tells_the_same_and_keeps_nothing() {
    let old = Old::new("dry");
    old.put("01-goat.wav", "2024-05-03 goat.wav");
    old.put("01-goat.wav", "2024-05-03 goat 2.wav");
    old.put("24-fan.wav", "0001.wav");
    let dry = old.answers(&["--dry-run"]);
    assert!(old.attempts().is_empty());
    let real = old.answers(&[]);
    for ((name, mut dry), (_, real)) in dry.into_iter().zip(real) {
        if real["kept"] == true {
            assert_eq!(dry["kept"], false, "{name}");
            dry["kept"] = true.into();
        }
        assert_eq!(dry, real, "{name}");
    }
}

#[test]
fn an_import_is_taken_back_and_brought_again() {
    let old = Old::new("undo");
    let args = |what: &'static str| ["import", "--learner", "Juno", what];
    let nothing = run_in(&old.home, &args("--undo"));
    assert!(nothing.refused("no import").contains("nothing was imported yet"));
    old.put("01-goat.wav", "2024-05-03 goat.wav");
    old.put("24-fan.wav", "2024-05-04 fan.wav");
    old.import(&[]).well();
    let before = old.attempts();
    let undone = run_in(&old.home, &args("--undo")).well().out;
    assert!(undone.starts_with("2 recordings taken back."), "{undone}");
    assert!(old.attempts().is_empty());
    assert!(
        run_in(&old.home, &args("--undo"))
            .refused("twice")
            .contains("nothing of the last import is left")
    );
    run_in(&old.home, &args("--redo")).well();
    let again = old.attempts();
    let ids = |all: &[Value]| all.iter().map(|a| a["id"].clone()).collect::<Vec<_>>();
    assert_eq!(ids(&again), ids(&before));
    assert!(
        run_in(&old.home, &args("--redo"))
            .refused("nothing to redo")
            .contains("no import was taken back")
    );

    // What was taken back comes in again when it is asked for, and is then there once.
    run_in(&old.home, &args("--undo")).well();
    old.import(&[]).well();
    assert_eq!(old.attempts().len(), 2);
    assert!(
        run_in(&old.home, &args("--redo"))
            .refused("kept anew")
            .contains("no import was taken back")
    );
    assert_eq!(old.attempts().len(), 2);
}

#[test]
fn folders_and_lists_that_cannot_be_used_are_one_line() {
    let old = Old::new("bad");
    let import = |folder: &Path, more: &[&str]| {
        let mut args = vec!["import", text(folder), "--learner", "Juno"];
        args.extend(more);
        run_in(&old.home, &args)
    };
    assert!(import(&old.folder, &[]).refused("empty").contains("no recording in it"));
    assert!(
        import(&old.folder.join("none"), &[])
            .refused("missing")
            .contains("cannot be read")
    );
    old.put("01-goat.wav", "goat.wav");
    file(&old.folder, "a.csv", b"path,word\n");
    file(&old.folder, "b.csv", b"goat.wav,goat\n");
    let two = import(&old.folder, &[]);
    assert!(two.refused("two lists").contains("say which with --list"));
    let list = old.folder.join("b.csv");
    let unnamed = import(&old.folder, &["--list", text(&list)]);
    assert!(unnamed.refused("no columns").contains("there is no `path`"));
    assert!(
        run_in(&old.home, &["import", text(&old.folder), "--learner", "Kit"])
            .refused("nobody")
            .contains("Kit")
    );
    assert!(old.attempts().is_empty());
}

/// Of a name's day no hour is known, and none is made up; a file's own time is told.
#[test]
fn an_hour_is_told_only_where_it_is_known() {
    let old = Old::new("hours");
    old.put("01-goat.wav", "2024-03-09 goat.wav");
    let milk = old.put("03-milk.wav", "milk.wav");
    fs::File::open(&milk)
        .and_then(|f| f.set_modified(SystemTime::UNIX_EPOCH + MARCH))
        .expect("a file's time");
    old.import(&[]).well();

    let lines = run_in(&old.home, &["attempts", "Juno"]).well().out;
    let of_word = |word: &str| lines.lines().find(|l| l.contains(word)).expect("its line").to_owned();
    assert!(of_word("goat").contains("2024-03-09  goat"), "{lines}");
    assert!(of_word("milk").contains(':'), "{lines}");

    for attempt in old.attempts() {
        let known = attempt["word"] == "milk";
        assert_eq!(attempt["at"].is_string(), known, "{attempt}");
        assert_eq!(attempt["imported"], true, "{attempt}");
    }
    let export = |form: &str| {
        let to = old.folder.join(format!("out.{form}"));
        run_in(&old.home, &["export", form, "Juno", "--out", text(&to)]).well();
        fs::read_to_string(&to).expect("the export")
    };
    let json: Value = serde_json::from_str(&export("json")).expect("JSON");
    for attempt in json["attempts"].as_array().expect("attempts") {
        let known = attempt["word"] == "milk";
        assert_eq!(
            (attempt["at"].is_null(), attempt["day"].is_string()),
            (!known, true),
            "{attempt}"
        );
    }
    let table = export("csv");
    let goat = table.lines().find(|l| l.contains(",goat,")).expect("its row");
    assert!(goat.contains(",2024-03-09,,goat,"), "the day and no moment: {goat}");
}
