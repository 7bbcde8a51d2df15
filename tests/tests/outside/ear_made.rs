//! The made recordings, each with what was really made: the ear must say so, with room for "unsure" but hardly any for a wrong
//! answer. Source of the truth: `recordings-demo/manifest.jsonl`, written by the script that made them.

use std::collections::BTreeMap;
use std::path::Path;

use serde::Deserialize;
use soundbead_data::{Rules, lexicon};
use soundbead_dsp::audio;
use soundbead_dsp::ear::Ear;
use soundbead_dsp::judgement::{Speaking, Target, Verdict};

#[derive(Deserialize)]
struct Line {
    id: String,
    audio: String,
    #[serde(default)]
    word: String,
    #[serde(default)]
    speaking: String,
    #[serde(default)]
    rules: BTreeMap<String, String>,
    made: MadeSo,
}

#[derive(Deserialize)]
struct MadeSo {
    verdict: Option<String>,
}

/// Every question whose answer is known: what was made, and what the ear says.
fn answers() -> Vec<(String, String, Verdict)> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../recordings-demo");
    let text = std::fs::read_to_string(folder.join("manifest.jsonl")).expect("the manifest");
    let lines: Vec<Line> = text.lines().map(|l| serde_json::from_str(l).expect("a line")).collect();
    let mut ear = Ear::new().expect("the model comes with the program");
    let mut out = Vec::new();
    for line in lines {
        // Where it cannot be known what was said, there is no right answer.
        let Some(made) = line.made.verdict.filter(|v| v != "unsure") else {
            continue;
        };
        let entry = lexicon::look_up(&line.word).expect("a word of the dictionary");
        let target = Target {
            variants: entry.variants().map(|p| p.sounds().to_vec()).collect(),
            letters: Vec::new(),
        };
        let mut rules = Rules::default();
        line.rules
            .iter()
            .for_each(|(name, value)| rules.set(name, value).expect("a rule"));
        let speaking: Speaking = line.speaking.parse().expect("a way of speaking");
        let recording = audio::decode(&folder.join(&line.audio)).expect("a recording");
        let judged = ear.judge(&recording, Some(&target), speaking, &rules).expect("speech");
        out.push((line.id, made, judged.verdict.expect("a word was named")));
    }
    out
}

#[test]
fn what_was_made_is_what_is_heard() {
    let answers = answers();
    let said = |(id, made, heard): &(String, String, Verdict)| format!("{id}: {made} made, {} heard", heard.name());
    let wrong: Vec<String> = answers
        .iter()
        .filter(|(_, made, heard)| *heard != Verdict::Unsure && heard.name() != made)
        .map(said)
        .collect();
    println!("{} asked, wrong: {wrong:?}", answers.len());
    assert!(answers.len() >= 36, "{}", answers.len());
    assert!(
        wrong.len() * 20 <= answers.len(),
        "more than one in twenty wrong: {wrong:?}"
    );
    // Of each kind, the least that is answered and right, in per cent; the rest may be unsure.
    for (kind, least) in LEAST_RIGHT {
        let of: Vec<_> = answers.iter().filter(|a| a.1 == kind).collect();
        let right = of.iter().filter(|a| a.2.name() == kind).count();
        println!("{kind}: {right} of {}", of.len());
        let told: Vec<String> = of.iter().map(|a| said(a)).collect();
        assert!(
            100 * right >= least * of.len(),
            "{kind}: {right} of {}: {told:#?}",
            of.len()
        );
    }
}

/// A little under what was measured when it was set.
const LEAST_RIGHT: [(&str, usize); 4] = [("same", 60), ("fewer", 40), ("more", 50), ("changed", 25)];
