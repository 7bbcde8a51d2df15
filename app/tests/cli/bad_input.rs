//! Everything that can be wrong with what is given: one clear line, status 2, no panic.

use std::path::Path;

use crate::common::{demo, file, run, scratch, text, wav};

/// The line for a recording that cannot be used. It must name the file.
fn refused(path: &Path) -> String {
    let ran = run(&["count", text(path), "--word", "pig", "--json"]);
    let line = ran.refused(text(path)).to_owned();
    let name = path.file_name().unwrap().to_str().unwrap();
    assert!(line.contains(name), "the line does not name the file: {line}");
    line
}

#[test]
fn files_that_are_not_recordings() {
    let folder = scratch("not-audio");
    assert!(refused(&file(&folder, "empty.wav", b"")).contains("empty"));
    assert!(refused(&file(&folder, "text.wav", b"Dear Gran, the goat is home again.\n")).contains("not a sound file"));
    assert!(refused(&file(&folder, "page.png", b"\x89PNG\r\n\x1a\n0000000000000000")).contains("not a sound file"));
    assert!(refused(&folder.join("no-such.wav")).contains("no such file"));
    assert!(refused(&folder).contains("folder"));
}

#[test]
fn recordings_that_were_cut_short() {
    let folder = scratch("cut-short");
    let whole = std::fs::read(demo("01-goat.wav")).unwrap();
    refused(&file(&folder, "header.wav", &whole[..20]));
    refused(&file(&folder, "no-body.wav", &whole[..44]));
    refused(&file(&folder, "few.wav", &whole[..64]));
    let flac = std::fs::read(demo("35-hedge.flac")).unwrap();
    refused(&file(&folder, "header.flac", &flac[..30]));
    let ogg = std::fs::read(demo("36-cloud.ogg")).unwrap();
    refused(&file(&folder, "header.ogg", &ogg[..60]));
}

/// A body cut in half still has half a word: it may be judged, but then the answer must say that it is damaged.
#[test]
fn a_body_cut_in_half_is_refused_or_said_to_be_damaged() {
    let folder = scratch("half");
    let whole = std::fs::read(demo("01-goat.wav")).unwrap();
    let path = file(&folder, "half.wav", &whole[..whole.len() / 2]);
    let ran = run(&["count", text(&path), "--word", "goat", "--json"]);
    if ran.code == 0 {
        let answer = ran.json().remove(0);
        let warnings = answer["quality"]["warnings"].to_string();
        assert!(warnings.contains("damaged_file"), "{warnings}");
    } else {
        ran.refused("half.wav");
    }
}

#[test]
fn recordings_with_nothing_in_them() {
    let folder = scratch("nothing");
    refused(&wav(&folder, "no-samples.wav", []));
    assert!(refused(&wav(&folder, "silence.wav", vec![0; 16_000])).contains("speech"));
    refused(&wav(&folder, "too-short.wav", vec![900; 40]));
    let line = refused(&demo("34-nothing.wav"));
    assert!(line.contains("speech"), "{line}");
}

#[test]
fn samples_that_are_not_numbers() {
    let folder = scratch("nan");
    let spec = hound::WavSpec {
        channels: 1,
        sample_rate: 16_000,
        bits_per_sample: 32,
        sample_format: hound::SampleFormat::Float,
    };
    for (name, odd) in [("nan.wav", f32::NAN), ("infinite.wav", f32::INFINITY)] {
        let path = folder.join(name);
        let mut writer = hound::WavWriter::create(&path, spec).unwrap();
        (0..16_000).for_each(|i| writer.write_sample(if i == 8_000 { odd } else { 0.1 }).unwrap());
        writer.finalize().unwrap();
        assert!(refused(&path).contains("not a number"));
    }
}

#[test]
fn half_an_hour_is_not_a_word() {
    let path = wav(
        &scratch("long"),
        "half-an-hour.wav",
        (0..16_000 * 60 * 30).map(|i| (i % 200) as i16),
    );
    assert!(refused(&path).contains("minutes"));
    std::fs::remove_file(path).unwrap();
}

#[test]
fn words_that_are_not_words() {
    let path = demo("01-goat.wav");
    let long = "a".repeat(61);
    for word in ["", " ", "7", "pig7", "🐷", "pig🐷", &long, "two words", "pig!", "\u{7}"] {
        let ran = run(&["count", text(&path), "--word", word, "--json"]);
        let line = ran.refused(&format!("the word {word:?}"));
        assert!(line.len() < 300, "{line}");
        run(&["word", word, "--json"]).refused(&format!("the word {word:?}"));
    }
}

#[test]
fn an_unknown_word_is_guessed_and_called_a_guess() {
    let ran = run(&["word", "blonk", "--json"]);
    assert_eq!(ran.code, 0, "{}", ran.err);
    assert_eq!(ran.json()[0]["source"], "guess");
}

#[test]
fn options_that_cannot_be_used() {
    let path = demo("01-goat.wav");
    let path = text(&path);
    for (args, part) in [
        (vec!["count"], "recording"),
        (vec!["count", path, "--sounds", "P QQ G"], "QQ"),
        (vec!["count", path, "--sounds", ""], "no sounds"),
        (vec!["count", path, "--sounds", "P1"], "P1"),
        (vec!["count", path, "--speaking", "fast"], "stretched"),
        (vec!["count", path, "--rule", "r_vowel=one"], "r_vowels"),
        (vec!["count", path, "--rule", "r_vowels=three"], "three"),
        (vec!["count", path, "--rule", "r_vowels"], "NAME=VALUE"),
        (vec!["count", path, "--rules", "mine"], "phonics"),
        (vec!["count", path, "--wrod", "goat"], "--word"),
        (vec!["count", path, "--word"], "needs a value"),
        (vec!["count", path, "another.wav"], "another.wav"),
        (vec!["count", path, "--jobs", "2"], "--jobs"),
        (vec!["compare", path, "--words", "goat"], "two or more"),
        (vec!["compare", path], "--words"),
        (vec!["compare", path, "--words", "goat,goat"], "twice"),
        (vec!["batch", "no-such.jsonl"], "no-such.jsonl"),
        (vec!["batch", path, "--jobs", "0"], "--jobs"),
        (vec!["batch", path, "--jobs", "many"], "many"),
        (vec!["batch"], "manifest"),
        (vec!["vowel", path, "--voice", "cat"], "child"),
        (vec!["vowel"], "recording"),
        (vec!["word"], "word"),
        (vec!["word", "pig", "--set", "P QQ"], "QQ"),
        (vec!["sounds", "QQ"], "QQ"),
        (vec!["demo", "--folder", "no-such-folder"], "no-such-folder"),
        (vec!["cuont"], "count"),
        (vec!["help", "cuont"], "count"),
        (vec!["--word", "pig"], "command"),
        (vec!["-x"], "-x"),
    ] {
        let ran = run(&args);
        let line = ran.refused(&args.join(" "));
        assert!(line.contains(part), "{args:?} said: {line}");
    }
}

#[test]
fn a_folder_is_not_a_manifest() {
    let line = run(&["batch", text(&scratch("a-folder"))])
        .refused("a folder")
        .to_owned();
    assert!(line.contains("folder"), "{line}");
}

#[cfg(unix)]
#[test]
fn arguments_that_are_not_text() {
    use std::ffi::OsStr;
    use std::os::unix::ffi::OsStrExt;
    let odd = OsStr::from_bytes(b"pig\xff");
    run(&[OsStr::new("word"), odd]).refused("a word that is not UTF-8");
    run(&[OsStr::new("count"), odd]).refused("a path that is not UTF-8");
    run(&[odd]).refused("a command that is not UTF-8");
}
