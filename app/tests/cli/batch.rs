//! `soundbead batch`: order, threads, bad lines, cuts out of long files.

use std::path::{Path, PathBuf};

use crate::common::{demo, demo_folder, file, run, scratch, text};
use serde_json::{Value, json};

fn batch(manifest: &Path, more: &[&str]) -> Vec<Value> {
    let mut args = vec!["batch", text(manifest), "--json"];
    args.extend(more);
    let ran = run(&args);
    assert_eq!(ran.code, 0, "{}", ran.err);
    ran.json()
}

fn manifest(folder: &Path, lines: &[Value]) -> PathBuf {
    let text: String = lines.iter().map(|l| format!("{l}\n")).collect();
    file(folder, "manifest.jsonl", text.as_bytes())
}

#[test]
fn the_answers_come_in_the_order_of_the_lines_whatever_the_number_of_threads() {
    let path = demo_folder().join("manifest.jsonl");
    let listed = std::fs::read_to_string(&path).unwrap();
    let ids: Vec<Value> = listed
        .lines()
        .map(|l| serde_json::from_str::<Value>(l).unwrap()["id"].clone())
        .collect();
    let one = batch(&path, &["--jobs", "1"]);
    assert_eq!(one.iter().map(|a| a["id"].clone()).collect::<Vec<_>>(), ids);
    assert_eq!(one, batch(&path, &["--jobs", "5"]));
    assert_eq!(one, batch(&path, &[]));
}

#[test]
fn a_line_gives_the_answer_that_count_gives() {
    let folder = scratch("as-count");
    let path = demo("20-soup.wav");
    let list = manifest(&folder, &[json!({"id": "s", "audio": text(&path), "word": "soup"})]);
    let mut from_batch = batch(&list, &[]).remove(0);
    let mut from_count = run(&["count", text(&path), "--word", "soup", "--json"])
        .well()
        .json()
        .remove(0);
    from_batch["id"].take();
    from_count["id"].take();
    assert_eq!(from_batch, from_count);
}

#[test]
fn one_bad_line_is_answered_with_its_error_and_the_rest_go_on() {
    let folder = scratch("bad-lines");
    std::fs::copy(demo("01-goat.wav"), folder.join("goat.wav")).unwrap();
    let good = r#"{"id": "good", "audio": "goat.wav", "word": "goat"}"#;
    let bad = [
        ("{\"id\": \"half\"", "JSON"),
        (r#"{"id": "b", "audio": 7}"#, "`audio`"),
        (r#"{"id": "b", "audio": "none.wav", "word": "goat"}"#, "no such file"),
        (r#"{"id": "b", "audio": "goat.wav", "word": "g0at"}"#, "`word`"),
        (r#"{"id": "b", "audio": "goat.wav", "sounds": ["G", "OH"]}"#, "OH"),
        (r#"{"id": "b", "audio": "goat.wav", "speaking": "slow"}"#, "`speaking`"),
        (
            r#"{"id": "b", "audio": "goat.wav", "start_s": 90, "end_s": 91}"#,
            "outside",
        ),
        (r#"{"id": "b", "audio": "goat.wav", "start_s": 90}"#, "outside"),
        (
            r#"{"id": "b", "audio": "goat.wav", "rules": {"tails": "two"}}"#,
            "tails",
        ),
        (r#"{"id": "b", "audio": "goat.wav", "words": ["goat"]}"#, "`words`"),
        (r#"{"id": "b", "audio": "goat.wav", "words": ["goat", "g0at"]}"#, "g0at"),
    ];
    let mut lines = vec![good.to_owned()];
    bad.iter()
        .for_each(|(line, _)| lines.extend([(*line).to_owned(), good.to_owned()]));
    let list = file(&folder, "list.jsonl", lines.join("\n").as_bytes());
    let answers = batch(&list, &["--jobs", "3"]);
    assert_eq!(answers.len(), lines.len());
    for (i, (line, part)) in bad.iter().enumerate() {
        let answer = &answers[2 * i + 1];
        let keys: Vec<&String> = answer.as_object().unwrap().keys().collect();
        assert_eq!(keys, ["id", "error"], "{line} was answered {answer}");
        let error = answer["error"].as_str().unwrap();
        assert!(error.contains(part), "{line} was answered: {error}");
        assert!(
            error.contains(&format!("line {}", 2 * i + 2)),
            "the line is not named: {error}"
        );
        assert_eq!(answers[2 * i + 2], answers[0]);
    }
}

#[test]
fn choices_of_words_and_of_sounds_are_answered_by_place() {
    let folder = scratch("choices");
    let path = demo("23-ring.wav");
    let list = manifest(
        &folder,
        &[
            json!({"id": 1, "audio": text(&path), "words": ["ring", "wing"]}),
            json!({"id": 2, "audio": text(&path), "choices": [["R", "IH", "NG"], ["W", "IH", "NG"]]}),
        ],
    );
    let answers = batch(&list, &[]);
    for (answer, id) in answers.iter().zip([1, 2]) {
        let keys: Vec<&String> = answer.as_object().unwrap().keys().collect();
        assert_eq!(keys, ["id", "best", "probabilities"]);
        assert_eq!(answer["id"], id);
        let p: Vec<f64> = answer["probabilities"]
            .as_array()
            .unwrap()
            .iter()
            .map(|p| p.as_f64().unwrap())
            .collect();
        assert_eq!(p.len(), 2);
        assert!((p[0] + p[1] - 1.0).abs() < 0.01);
        assert_eq!(answer["best"].as_u64().unwrap(), u64::from(p[1] > p[0]));
    }
    // Both words have one pronunciation, so both lines ask the same.
    assert_eq!(answers[0]["probabilities"], answers[1]["probabilities"]);
}

/// The same word alone and inside a longer file: the same verdict, and times from the start of each file.
#[test]
fn a_word_is_cut_out_of_a_long_file() {
    let folder = scratch("long-file");
    let mut reader = hound::WavReader::open(demo("01-goat.wav")).unwrap();
    let spec = reader.spec();
    let word: Vec<i16> = reader.samples().map(Result::unwrap).collect();
    let mut writer = hound::WavWriter::create(folder.join("long.wav"), spec).unwrap();
    let before = vec![0; 16_000 * 2];
    before
        .iter()
        .chain(&word)
        .chain(&before)
        .for_each(|s| writer.write_sample(*s).unwrap());
    writer.finalize().unwrap();
    std::fs::copy(demo("01-goat.wav"), folder.join("goat.wav")).unwrap();
    let end = 2.0 + word.len() as f64 / 16_000.0;
    let list = manifest(
        &folder,
        &[
            json!({"id": "alone", "audio": "goat.wav", "word": "goat"}),
            json!({"id": "inside", "audio": "long.wav", "start_s": 2.0, "end_s": end, "word": "goat"}),
        ],
    );
    let answers = batch(&list, &[]);
    let (alone, inside) = (&answers[0], &answers[1]);
    for field in ["verdict", "heard"] {
        assert_eq!(alone[field], inside[field], "{field}");
    }
    // The room on either side is not quite the same, so neither is the last digit.
    for reading in ["same", "fewer", "more", "changed"] {
        let share = |a: &Value| a["fit"][reading].as_f64().unwrap();
        let apart = (share(alone) - share(inside)).abs();
        assert!(apart < 0.01, "{reading}: {alone}\n{inside}");
    }
    let starts = |a: &Value| -> Vec<f64> {
        a["sounds"]
            .as_array()
            .unwrap()
            .iter()
            .map(|s| s["start_s"].as_f64().unwrap())
            .collect()
    };
    let shifted: Vec<f64> = starts(inside).iter().map(|s| s - 2.0).collect();
    // Times stand on frames of 10 ms. With another room around, a sound may begin a frame earlier or later, and no more.
    assert!(
        starts(alone).iter().zip(&shifted).all(|(a, b)| (a - b).abs() < 0.012),
        "{alone}\n{inside}"
    );
}

#[test]
fn rules_hold_for_all_lines_and_a_lines_own_rules_for_itself() {
    let folder = scratch("rules");
    let path = demo("25-barn.wav");
    let line = |id: &str, rules: Value| json!({"id": id, "audio": text(&path), "word": "barn", "rules": rules});
    let list = manifest(
        &folder,
        &[line("plain", Value::Null), line("own", json!({"r_vowels": "two"}))],
    );
    let expected: Vec<Value> = batch(&list, &["--rule", "r_vowels=one"])
        .iter()
        .map(|a| a["expected"].clone())
        .collect();
    assert_eq!(expected, [3, 4]);
}

#[test]
fn an_empty_manifest_has_no_answers() {
    let list = file(&scratch("empty-list"), "list.jsonl", b"\n\n");
    assert!(batch(&list, &[]).is_empty());
}

/// A reader that stops early (`| head -1`) is no failure, and the program ends.
#[cfg(unix)]
#[test]
fn a_closed_pipe_ends_the_run_without_complaint() {
    use std::io::{BufRead, BufReader};
    let path = demo_folder().join("manifest.jsonl");
    let mut command = crate::common::command(&scratch("home"));
    let mut child = command
        .args(["batch", text(&path), "--json"])
        .stdout(std::process::Stdio::piped())
        .stderr(std::process::Stdio::piped())
        .spawn()
        .unwrap();
    let mut first = String::new();
    BufReader::new(child.stdout.take().unwrap())
        .read_line(&mut first)
        .unwrap();
    let ended = child.wait_with_output().unwrap();
    assert!(first.contains("01-goat"));
    assert_eq!(
        ended.status.code(),
        Some(0),
        "{}",
        String::from_utf8_lossy(&ended.stderr)
    );
    assert!(!String::from_utf8_lossy(&ended.stderr).contains("panicked"));
}

/// So many lines over the made recordings of whole words, with full paths.
fn many_lines(count: usize) -> Vec<String> {
    let listed = std::fs::read_to_string(demo_folder().join("manifest.jsonl")).unwrap();
    let whole = |line: &str| {
        let mut line: Value = serde_json::from_str(line).unwrap();
        line["audio"] = text(&demo_folder().join(line["audio"].as_str().unwrap())).into();
        line
    };
    // One holds no speech: its answer is an error that tells its line, which is another in a shard.
    let spoken = listed.lines().filter(|line| !line.contains("nothing"));
    let lines: Vec<Value> = spoken.map(whole).collect();
    let numbered = lines.iter().cycle().take(count).enumerate().map(|(at, line)| {
        let mut line = line.clone();
        line["id"] = at.into();
        line.to_string()
    });
    numbered.collect()
}

/// Answers lines that come from standard input.
fn piped(lines: &[String]) -> String {
    let folder = scratch("piped");
    let list = file(
        &folder,
        &format!("{}-{}", lines.len(), lines[0].len()),
        lines.join("\n").as_bytes(),
    );
    let input = std::fs::File::open(list).unwrap();
    let mut command = crate::common::command(&folder);
    let ran = crate::common::finish(command.args(["batch", "-", "--json"]).stdin(input));
    assert_eq!(ran.code, 0, "{}", ran.err);
    ran.out
}

#[test]
fn lines_in_four_shards_have_the_answers_of_the_whole() {
    let lines = many_lines(60);
    let whole = piped(&lines);
    let shards: String = lines.chunks(lines.len() / 4).map(piped).collect();
    assert_eq!(whole, shards);
    assert_eq!(whole.lines().count(), lines.len());
}

#[test]
#[ignore = "needs PySpark and Java; sh tests/spark.sh runs it where they are"]
fn spark_spreads_lines_over_shards_with_the_answers_of_the_whole() {
    let lines = many_lines(400);
    let folder = scratch("spark");
    let list = file(&folder, "manifest.jsonl", lines.join("\n").as_bytes());
    let script = Path::new(env!("CARGO_MANIFEST_DIR")).join("../tests/reference/spark_shards.py");
    let python = std::env::var("PYTHON").unwrap_or_else(|_| "python3".into());
    let mut command = std::process::Command::new(python);
    command.args([text(&script), env!("CARGO_BIN_EXE_soundbead"), text(&list), "4"]);
    let ran = crate::common::finish(command.env("SOUNDBEAD_HOME", &folder));
    assert_eq!(ran.code, 0, "{}", ran.err);
    assert_eq!(ran.out, piped(&lines));
}
