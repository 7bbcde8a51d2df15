//! `soundbead say`: what it writes, and what it refuses.

use std::path::Path;

use crate::common::{run, scratch, text};
use soundbead_dsp::audio::{self, RATE};

/// Says something into a file of this name; gives the samples.
fn said(name: &str, args: &[&str]) -> Vec<f32> {
    let path = scratch("say").join(name);
    let mut all = vec!["say"];
    all.extend_from_slice(args);
    all.extend_from_slice(&["--out", text(&path)]);
    let line = run(&all).well().out;
    assert!(line.starts_with(text(&path)) && line.lines().count() == 1, "{line}");
    heard(&path)
}

/// The file's samples. RIFF's own fields say mono, 16 kHz, 16 bits (WAVE_FORMAT_PCM; Microsoft and IBM 1991).
fn heard(path: &Path) -> Vec<f32> {
    let bytes = std::fs::read(path).expect("the file is there");
    assert_eq!((&bytes[..4], &bytes[8..12]), (&b"RIFF"[..], &b"WAVE"[..]));
    let field = |at: usize| u32::from(bytes[at]) | u32::from(bytes[at + 1]) << 8;
    assert_eq!((field(20), field(22), field(24), field(34)), (1, 1, RATE, 16));
    audio::decode(path)
        .expect("the program reads what it writes")
        .clip
        .samples
}

#[test]
fn a_word_is_said_whole_drawn_out_and_sound_by_sound() {
    let whole = said("fish.wav", &["fish"]);
    let drawn = said("fish-drawn.wav", &["fish", "--speaking", "stretched"]);
    let apart = said("fish-apart.wav", &["fish", "--speaking", "separate"]);
    assert!(drawn.len() > whole.len() * 3 / 2, "{} {}", drawn.len(), whole.len());
    assert!(apart.len() > drawn.len(), "{} {}", apart.len(), drawn.len());
    assert_eq!(
        whole,
        said("fish-again.wav", &["fish"]),
        "the same words give the same samples"
    );
}

#[test]
fn sounds_given_by_hand_go_before_the_dictionary() {
    let noun = said("noun.wav", &["record", "--sounds", "R EH1 K ER0 D"]);
    let verb = said("verb.wav", &["record", "--sounds", "R IH0 K AO1 R D"]);
    assert_ne!(noun, verb);
    said("none.wav", &["blorft"]);
    said("ipa.wav", &["pig", "--sounds", "/pɪɡ/"]);
}

#[test]
fn a_sound_alone_is_said_by_its_name() {
    for name in ["TH", "P", "AH0", "AA+R", "sh", "/ŋ/"] {
        let file = format!("sound-{}.wav", name.replace(['/', '+'], ""));
        assert!(said(&file, &["--sound", name]).len() > 500, "{name}");
    }
}

/// Common practice, no source: a dictated sentence takes longer than its words alone, for the voice rests between them.
#[test]
fn a_sentence_is_read_word_by_word_and_the_line_tells_what_was_decided() {
    let words = ["the", "dog", "dug", "a", "hole"].map(|word| said(&format!("{word}.wav"), &[word]).len());
    let sentence = said("sentence.wav", &["--sentence", "The dog dug a hole."]);
    assert!(sentence.len() > RATE as usize && sentence.iter().all(|x| x.abs() < 1.0));
    assert!(
        sentence.len() < words.iter().sum::<usize>() * 2,
        "{} {words:?}",
        sentence.len()
    );
    let path = scratch("say").join("yarn.wav");
    let told = |text: &str| {
        run(&["say", "--sentence", text, "--out", path.to_str().unwrap()])
            .well()
            .out
    };
    assert!(told("She wound the yarn into a ball.").contains("wound as W AW1 N D (yesterday"));
    assert!(told("The blorft sat down.").contains("blorft is a guess"));
}

#[test]
fn what_cannot_be_said_is_refused_in_one_line() {
    let folder = scratch("say");
    let wav = folder.join("never.wav");
    let wav = text(&wav);
    let long = "pig ".repeat(61);
    let nowhere = folder.join("nowhere").join("x.wav");
    let cases: [(&[&str], &str); 15] = [
        (&["say", "--sound", "XX", "--out", wav], "XX"),
        (&["say", "--sound", "P IH", "--out", wav], "one sound"),
        (&["say", "--sound", "", "--out", wav], "one sound"),
        (&["say", "pig", "--sounds", "P IG", "--out", wav], "IG"),
        (&["say", "123", "--out", wav], "123"),
        (&["say", "two words", "--out", wav], "space"),
        (&["say", "", "--out", wav], "word"),
        (&["say", "pig", "--sound", "P", "--out", wav], "cannot both"),
        (
            &["say", "--sound", "P", "--speaking", "whole", "--out", wav],
            "cannot both",
        ),
        (&["say", "pig"], "--out"),
        (&["say", "--sentence", " . ", "--out", wav], "no word in the sentence"),
        (&["say", "--sentence", "We saw 12 frogs.", "--out", wav], "word 3"),
        (&["say", "--sentence", &long, "--out", wav], "61 words"),
        (&["say", "pig", "--sentence", "A pig.", "--out", wav], "cannot both"),
        (&["say", "pig", "--out", text(&nowhere)], "cannot be written"),
    ];
    for (args, wanted) in cases {
        let ran = run(args);
        let line = ran.refused(&args.join(" "));
        assert!(line.contains(wanted), "{args:?}: {line}");
    }
    assert!(!Path::new(wav).exists(), "nothing is written for what is refused");
    let ran = run(&["say", "pig", "--out", text(&folder)]);
    assert!(ran.refused("a folder").contains("cannot be written"), "{}", ran.err);
}
