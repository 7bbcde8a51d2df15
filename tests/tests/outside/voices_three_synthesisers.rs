//! Synthetic speech with exact phone times from three free synthesisers: espeak-ng (other words of the same voices were
//! trained on), flite's rms and festival's ked_diphone (never trained on). Source of the truth: the synthesisers' own
//! phone times, picked by `tests/voices/pick.py`. The floors stand a little under what was measured when they were set.

use std::path::Path;

use soundbead_data::{Rules, Sound};
use soundbead_dsp::audio::{Recording, SourceRecording};
use soundbead_dsp::ear::Ear;
use soundbead_dsp::judgement::{Speaking, Target, Verdict};

struct Word {
    voice: String,
    sounds: Vec<Sound>,
    starts: Vec<f32>,
    recording: Recording,
}

fn words(engine: &str) -> Vec<Word> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("voices");
    let source = SourceRecording::open(&folder.join("words.ogg")).expect("words.ogg");
    let lines = std::fs::read_to_string(folder.join("words.jsonl")).expect("words.jsonl");
    let mut out = Vec::new();
    for line in lines.lines() {
        let v: serde_json::Value = serde_json::from_str(line).expect("a JSON line");
        let (off, n) = (v["off"].as_f64().expect("off"), v["n"].as_f64().expect("n"));
        let segments = v["segments"].as_array().expect("segments");
        let said: Vec<(&str, f64)> = segments
            .iter()
            .map(|s| (s[2].as_str().expect("name"), s[0].as_f64().expect("start")))
            .filter(|s| s.0 != "SIL")
            .collect();
        out.push(Word {
            voice: v["voice"].as_str().expect("voice").to_owned(),
            sounds: said.iter().map(|s| s.0.parse().expect("a sound")).collect(),
            starts: said.iter().map(|s| (s.1 / 16000.0) as f32).collect(),
            recording: source.cut(off / 16000.0, (off + n) / 16000.0).expect("a range"),
        });
    }
    out.retain(|w| w.voice.starts_with(engine));
    assert_eq!(out.len(), 20, "{engine}");
    out
}

/// Of 20 words: verdicts "same", contradictions, expected counts heard; and the share of starts within 20 ms.
fn tally(engine: &str) -> (usize, usize, usize, f32) {
    let mut ear = Ear::new().expect("weights");
    let (mut same, mut against, mut counted, mut near, mut all) = (0, 0, 0, 0, 0);
    for word in words(engine) {
        let target = Target {
            variants: vec![word.sounds.clone()],
            letters: Vec::new(),
        };
        let judged = ear
            .judge(&word.recording, Some(&target), Speaking::Whole, &Rules::default())
            .expect("speech");
        match judged.verdict {
            Some(Verdict::Same) => same += 1,
            Some(Verdict::Unsure) | None => {}
            Some(_) => against += 1,
        }
        counted += usize::from(judged.heard == word.sounds.len());
        for (placed, start) in judged.sounds.iter().zip(&word.starts) {
            near += usize::from((placed.start_s - start).abs() <= 0.020);
            all += 1;
        }
    }
    println!("{engine}: same {same}, contradicted {against}, counts right {counted}, starts near {near} of {all}");
    (same, against, counted, near as f32 / all as f32)
}

#[test]
fn espeak_words_are_heard_and_placed() {
    let (same, against, counted, near) = tally("espeak");
    assert!(same >= 15 && against <= 1 && counted >= 18 && near >= 0.90);
}

#[test]
fn flite_words_of_a_voice_never_trained_on() {
    let (same, against, counted, near) = tally("flite");
    assert!(same >= 8 && against <= 2 && counted >= 16 && near >= 0.65);
}

#[test]
fn festival_words_of_a_voice_never_trained_on() {
    let (same, against, counted, near) = tally("festival");
    assert!(same >= 8 && against <= 3 && counted >= 15 && near >= 0.50);
}

/// Asked about the word with its last sound left out, or an s added, the ear must seldom say that this is what was said:
/// 17 of 105 when the floor was set, most of them a last t, d or z that the synthesiser barely lets go.
#[test]
fn wrong_targets_are_hardly_ever_affirmed() {
    let mut ear = Ear::new().expect("weights");
    let (mut affirmed, mut asked) = (0, 0);
    for word in ["espeak", "flite", "festival"].into_iter().flat_map(words) {
        let evidence = ear.listen(&word.recording, Speaking::Whole).expect("speech");
        let n = word.sounds.len();
        let shorter = word.sounds[..n - 1].to_vec();
        let longer: Vec<Sound> = [word.sounds.as_slice(), &["S".parse().expect("S")]].concat();
        for wrong in [shorter, longer]
            .into_iter()
            .filter(|w| !w.is_empty() && w[w.len() - 1] != w[w.len().saturating_sub(2)])
        {
            let target = Target {
                variants: vec![wrong],
                letters: Vec::new(),
            };
            let judged = ear
                .judge_evidence(&evidence, Some(&target), Speaking::Whole, &Rules::default())
                .expect("a place");
            affirmed += usize::from(judged.verdict == Some(Verdict::Same));
            asked += 1;
        }
    }
    println!("wrong targets affirmed: {affirmed} of {asked}");
    assert!(affirmed * 5 <= asked, "{affirmed} of {asked}");
}
