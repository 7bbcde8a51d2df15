//! The answers that other programs read: fields, their order, their types, exit status.
//!
//! The shapes are those of the project's command-line contract (`soundbead help count` and the other pages).

use crate::common::{demo, run, text};
use serde_json::Value;

fn keys(value: &Value) -> Vec<&str> {
    value
        .as_object()
        .expect("an object")
        .keys()
        .map(String::as_str)
        .collect()
}

const ANSWER: [&str; 13] = [
    "id",
    "word",
    "speaking",
    "expected",
    "expected_sounds",
    "heard",
    "count_probabilities",
    "verdict",
    "fit",
    "sounds",
    "quality",
    "rules",
    "model",
];

#[test]
fn a_count_has_every_field_in_order() {
    let ran = run(&["count", text(&demo("01-goat.wav")), "--word", "goat", "--json"]).well();
    let [answer] = &ran.json()[..] else {
        panic!("one line, not: {}", ran.out)
    };
    assert_eq!(keys(answer), ANSWER);
    assert_eq!(answer["word"], "goat");
    assert_eq!(answer["speaking"], "whole");
    let model = soundbead_dsp::ear::Ear::new()
        .expect("the model comes with the program")
        .id();
    assert_eq!(answer["model"], model.to_string());
    // Common practice, no source: goat has three sounds.
    assert_eq!(answer["expected"], 3);
    assert_eq!(answer["expected_sounds"], serde_json::json!(["G", "OW", "T"]));
    assert!(answer["heard"].is_u64());
    assert!(["same", "fewer", "more", "changed", "unsure"].contains(&answer["verdict"].as_str().unwrap()));
    assert_eq!(keys(&answer["fit"]), ["same", "fewer", "more", "changed"]);
    assert_eq!(
        keys(&answer["quality"]),
        ["level_dbfs", "snr_db", "clipped", "speech_s", "warnings"]
    );
    assert_eq!(
        keys(&answer["rules"]),
        [
            "r_vowels",
            "yu",
            "x",
            "qu",
            "syllabic",
            "flap",
            "cot_caught",
            "ngk",
            "fire"
        ]
    );
}

#[test]
fn probabilities_sum_to_one_and_the_greatest_is_the_count_heard() {
    for (name, word) in [("01-goat.wav", "goat"), ("19-mud.wav", "mud"), ("31-path.wav", "path")] {
        let ran = run(&["count", text(&demo(name)), "--word", word, "--json"]).well();
        let answer = &ran.json()[0];
        let counts = answer["count_probabilities"].as_object().unwrap();
        let sum: f64 = counts.values().map(|p| p.as_f64().unwrap()).sum();
        assert!((sum - 1.0).abs() < 0.01, "{name}: counts sum to {sum}");
        let (best, _) = counts
            .iter()
            .max_by(|a, b| a.1.as_f64().unwrap().total_cmp(&b.1.as_f64().unwrap()))
            .unwrap();
        assert_eq!(
            best.parse::<u64>().unwrap(),
            answer["heard"].as_u64().unwrap(),
            "{name}"
        );
        let fit: f64 = answer["fit"]
            .as_object()
            .unwrap()
            .values()
            .map(|p| p.as_f64().unwrap())
            .sum();
        assert!((fit - 1.0).abs() < 0.01, "{name}: fit sums to {fit}");
    }
}

#[test]
fn sounds_lie_in_the_recording_one_after_the_other() {
    for (name, word, speaking) in [
        ("01-goat.wav", "goat", "whole"),
        ("11-soap.wav", "soap", "separate"),
        ("08-shell.wav", "shell", "stretched"),
    ] {
        let path = demo(name);
        let ran = run(&["count", text(&path), "--word", word, "--speaking", speaking, "--json"]).well();
        let answer = &ran.json()[0];
        assert_eq!(answer["speaking"], speaking);
        let length = f64::from(hound::WavReader::open(&path).unwrap().duration()) / 16_000.0;
        let mut last = 0.0;
        for sound in answer["sounds"].as_array().unwrap() {
            let number = |field: &str| sound[field].as_f64().unwrap();
            assert!(number("start_s") >= last - 0.011, "{name}: sounds overlap: {}", ran.out);
            assert!(number("end_s") > number("start_s"), "{name}: {}", ran.out);
            assert!((0.0..=1.0).contains(&number("evidence")), "{name}: {}", ran.out);
            assert!((0.0..=1.0).contains(&number("right")), "{name}: {}", ran.out);
            last = number("end_s");
        }
        assert!(last > 0.0 && last <= length + 0.03, "{name}: {last} s of {length} s");
    }
}

#[test]
fn with_no_word_the_count_is_blind() {
    let ran = run(&["count", text(&demo("38-nut.wav")), "--json"]).well();
    let answer = &ran.json()[0];
    assert_eq!(keys(answer), ANSWER);
    for field in ["word", "expected", "expected_sounds", "verdict", "fit"] {
        assert!(answer[field].is_null(), "{field}: {}", answer[field]);
    }
    assert!(answer["heard"].as_u64().unwrap() >= 1);
}

/// Common practice, no source: lessons that teach `ar` as one sound count three in barn, others four.
#[test]
fn a_rule_changes_the_count_and_is_named_in_the_answer() {
    let path = demo("25-barn.wav");
    let expected = |more: &[&str]| {
        let mut args = vec!["count", text(&path), "--word", "barn", "--json"];
        args.extend(more);
        let answer = run(&args).well().json().remove(0);
        (answer["expected"].clone(), answer["rules"]["r_vowels"].clone())
    };
    assert_eq!(expected(&[]), (4.into(), "two".into()));
    assert_eq!(expected(&["--rule", "r_vowels=one"]), (3.into(), "one".into()));
    assert_eq!(expected(&["--rules", "phonics"]), (3.into(), "one".into()));
    assert_eq!(
        expected(&["--rules", "phonics", "--rule", "r_vowels=two"]),
        (4.into(), "two".into())
    );
}

#[test]
fn sounds_given_by_hand_win_over_the_words() {
    let ran = run(&[
        "count",
        text(&demo("14-leaf.wav")),
        "--word",
        "leaf",
        "--sounds",
        "l iy1",
        "--json",
    ])
    .well();
    assert_eq!(ran.json()[0]["expected_sounds"], serde_json::json!(["L", "IY"]));
}

#[test]
fn a_guessed_word_says_so_on_standard_error() {
    let ran = run(&["count", text(&demo("01-goat.wav")), "--word", "gloatwump", "--json"]);
    assert_eq!(ran.code, 0, "{}", ran.err);
    assert_eq!(ran.json().len(), 1);
    assert!(ran.err.contains("guess") && ran.err.lines().count() == 1, "{}", ran.err);
}

#[test]
fn compare_names_the_best_and_gives_each_its_probability() {
    let ran = run(&[
        "compare",
        text(&demo("23-ring.wav")),
        "--words",
        "ring,wing,rink",
        "--json",
    ])
    .well();
    let [answer] = &ran.json()[..] else {
        panic!("{}", ran.out)
    };
    assert_eq!(keys(answer), ["best", "probabilities"]);
    let probabilities = answer["probabilities"].as_object().unwrap();
    assert_eq!(probabilities.keys().collect::<Vec<_>>(), ["ring", "wing", "rink"]);
    let of = |word: &str| probabilities[word].as_f64().unwrap();
    let sum = of("ring") + of("wing") + of("rink");
    assert!((sum - 1.0).abs() < 0.01, "{sum}");
    let best = answer["best"].as_str().unwrap();
    assert!(probabilities.values().all(|p| p.as_f64().unwrap() <= of(best)));
}

/// The contract's own example; that chess has three sounds and five letters is common practice, no source.
#[test]
fn word_answers_as_the_contract_shows() {
    let ran = run(&["word", "Chess", "--json"]).well();
    let answer = &ran.json()[0];
    assert_eq!(
        keys(answer),
        [
            "word",
            "source",
            "sounds",
            "count",
            "boxes",
            "syllables",
            "variants",
            "counts_by_rule",
            "rules",
            // Added after the contract was first written.
            "syllable_types",
            "syllables_by_rule",
            "ways",
            "surprising",
            "american"
        ]
    );
    let wanted = serde_json::json!({
        "word": "chess", "source": "dictionary", "sounds": ["CH", "EH", "S"], "count": 3,
        "boxes": [
            {"letters": "ch", "sounds": ["CH"]}, {"letters": "e", "sounds": ["EH"]}, {"letters": "ss", "sounds": ["S"]}
        ],
        "syllables": ["chess"],
        "syllable_types": [{"letters": "chess", "type": "closed", "stress": 1, "schwa": false}],
        "syllables_by_rule": {"fire": {"one": 1, "two": 1}},
        "ways": [], "surprising": null, "american": null,
    });
    for (field, value) in wanted.as_object().unwrap() {
        assert_eq!(&answer[field], value, "{field}");
    }
}

/// What the answer says beside the sounds: both ways of a word that means two things, surprising letters, a British spelling.
#[test]
fn word_asks_which_and_marks_what_no_rule_foretells() {
    let answer = |word: &str| run(&["word", word, "--json"]).well().json().remove(0);
    let ways = answer("wind")["ways"].clone();
    assert_eq!(ways[0]["sounds"], serde_json::json!(["W", "IH", "N", "D"]));
    assert_eq!(ways[1]["sounds"], serde_json::json!(["W", "AY", "N", "D"]));
    assert!(ways[0]["cue"] != ways[1]["cue"]);
    let said = answer("said")["surprising"].clone();
    assert_eq!((&said["marked"], &said["letters"][0]), (&"s[ai]d".into(), &"ai".into()));
    assert_eq!(answer("plough")["american"], "plow");
    assert_eq!(
        answer("fire")["syllables_by_rule"]["fire"],
        serde_json::json!({"one": 1, "two": 2})
    );
    let shown = run(&["word", "said"]).well().out;
    assert!(shown.contains("s[ai]d"), "{shown}");
}

/// Common practice, no source: x stands for two sounds in fox, and a split vowel is written with a gap.
#[test]
fn boxes_split_vowels_and_share_letters() {
    let boxes = |word: &str| run(&["word", word, "--json"]).well().json().remove(0)["boxes"].clone();
    assert_eq!(
        boxes("fox"),
        serde_json::json!([
            {"letters": "f", "sounds": ["F"]}, {"letters": "o", "sounds": ["AA"]}, {"letters": "x", "sounds": ["K", "S"]}
        ])
    );
    assert_eq!(
        boxes("make")[1],
        serde_json::json!({"letters": "a_e", "sounds": ["EY"]})
    );
}

#[test]
fn counts_by_rule_show_what_each_other_rule_would_make() {
    let ran = run(&["word", "barn", "--json"]).well();
    let answer = &ran.json()[0];
    assert_eq!(answer["count"], 4);
    assert_eq!(
        answer["counts_by_rule"]["r_vowels"],
        serde_json::json!({"one": 3, "two": 4})
    );
    assert_eq!(answer["counts_by_rule"]["yu"], serde_json::json!({"one": 4, "two": 4}));
}

#[test]
fn vowel_gives_medians_tracks_and_the_nearest() {
    let ran = run(&["vowel", text(&demo("10-lamb.wav")), "--voice", "child", "--json"]).well();
    let answer = &ran.json()[0];
    assert_eq!(answer["voice"], "child");
    // The synthesiser was asked for 230 Hz and played 1.2 times as fast (recordings-demo/make.sh): 276 Hz on the whole.
    let f0 = answer["f0_hz"].as_f64().unwrap();
    assert!((200.0..350.0).contains(&f0), "{f0}");
    let tracks = answer["tracks"].as_object().unwrap();
    let frames = tracks["time_s"].as_array().unwrap().len();
    for track in ["f0_hz", "f1_hz", "f2_hz", "f3_hz"] {
        assert_eq!(tracks[track].as_array().unwrap().len(), frames, "{track}");
    }
    assert!(answer["nearest"].as_array().unwrap().len() >= 3);
}

#[test]
fn help_shows_every_command_and_flag_of_the_contract() {
    let overview = run(&["help"]).well().out;
    for command in ["count", "batch", "compare", "word", "vowel", "demo", "sounds", "rules"] {
        assert!(overview.contains(command), "{command}");
        let page = run(&["help", command]).well().out;
        assert!(page.contains(&format!("soundbead {command}")));
        assert_eq!(run(&[command, "--help"]).well().out, page, "{command}");
    }
    let count = run(&["help", "count"]).well().out;
    for flag in ["--word", "--sounds", "--speaking", "--rule", "--json"] {
        assert!(count.contains(flag), "{flag}");
    }
    for field in ANSWER {
        assert!(count.contains(field), "{field}");
    }
}

/// The runs of these tests have no display, so the window cannot open: one line, and what can be done without it.
#[test]
fn with_no_command_and_no_display_the_way_on_is_told() {
    let none: [&str; 0] = [];
    let line = run(&none).refused("no display").to_owned();
    assert!(
        line.contains("soundbead count") && line.contains("soundbead help"),
        "{line}"
    );
}
