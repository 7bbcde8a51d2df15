//! Words drawn out and words said sound by sound, made from recordings of words said whole. Source of the truth: the made recordings and
//! what was really said in them (`recordings-demo/manifest.jsonl`, written by the script that made them).

use std::path::Path;

use serde::Deserialize;
use soundbead_data::{Rules, lexicon};
use soundbead_dsp::audio::{self, Recording};
use soundbead_dsp::ear::Ear;
use soundbead_dsp::judgement::{Judgement, Speaking, Target, Verdict};
use soundbead_tests::measure::made;

#[derive(Deserialize)]
struct DemoLine {
    audio: String,
    #[serde(default)]
    word: String,
    #[serde(default)]
    speaking: String,
    made: DemoMade,
}

#[derive(Deserialize)]
struct DemoMade {
    verdict: Option<String>,
}

/// A recording of a word that was said whole and right, and how it is judged.
struct SaidWhole {
    word: String,
    target: Target,
    recording: Recording,
    judged: Judgement,
}

fn said_whole(ear: &mut Ear) -> Vec<SaidWhole> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../recordings-demo");
    let text = std::fs::read_to_string(folder.join("manifest.jsonl")).expect("the manifest");
    let lines = text
        .lines()
        .map(|l| serde_json::from_str::<DemoLine>(l).expect("a line"));
    let right = lines.filter(|l| l.speaking == "whole" && l.made.verdict.as_deref() == Some("same"));
    let judged = |line: DemoLine| {
        let entry = lexicon::look_up(&line.word).expect("a word of the dictionary");
        let target = Target {
            variants: entry.variants().map(|p| p.sounds().to_vec()).collect(),
            letters: Vec::new(),
        };
        let recording = audio::decode(&folder.join(&line.audio)).expect("a recording");
        let judged = ear.judge(&recording, Some(&target), Speaking::Whole, &Rules::default());
        SaidWhole {
            judged: judged.expect("speech"),
            word: line.word,
            target,
            recording,
        }
    };
    right.map(judged).collect()
}

/// What is said of each word made in another way: the word, and the judgement.
fn made_so(speaking: Speaking) -> Vec<(SaidWhole, Judgement)> {
    let mut ear = Ear::new().expect("the model comes with the program");
    let whole = said_whole(&mut ear);
    let judged = |said: SaidWhole| {
        let made = match speaking {
            Speaking::Stretched => made::stretched(&said.recording, &said.judged.sounds, 1)?,
            _ => made::apart(&said.recording, &said.judged.sounds, 20.0, 1)?.recording,
        };
        let judged = ear.judge(&made, Some(&said.target), speaking, &Rules::default()).ok()?;
        assert!(
            judged.sounds.is_sorted_by(|a, b| a.end_s <= b.start_s + 1e-3) && judged.sounds[0].start_s >= 0.0,
            "{}: {:?}",
            said.word,
            judged.sounds
        );
        Some((said, judged))
    };
    whole.into_iter().filter_map(judged).collect()
}

/// Affirmed, contradicted, of how many.
fn told(all: &[(SaidWhole, Judgement)]) -> (usize, usize, usize) {
    for (said, judged) in all {
        println!(
            "{}: {:?} whole, {:?} now",
            said.word, said.judged.verdict, judged.verdict
        );
    }
    let count = |of: fn(Verdict) -> bool| all.iter().filter(|(_, j)| j.verdict.is_some_and(of)).count();
    let against = |v| !matches!(v, Verdict::Same | Verdict::Unsure);
    (count(|v| v == Verdict::Same), count(against), all.len())
}

#[test]
fn a_word_drawn_out_is_affirmed_nearly_as_often_as_whole_and_its_sounds_lie_where_they_were_held() {
    let all = made_so(Speaking::Stretched);
    let (affirmed, contradicted, of) = told(&all);
    println!("drawn out: {affirmed} affirmed, {contradicted} contradicted, of {of}");
    assert!(of >= 20 && 2 * affirmed >= of && 20 * contradicted <= of);
    let long = |j: &Judgement| j.sounds.last().map_or(0.0, |s| s.end_s) - j.sounds.first().map_or(0.0, |s| s.start_s);
    for (said, judged) in &all {
        let held = long(judged) / long(&said.judged);
        // Held two to six times as long, stops not at all.
        assert!((1.2..7.0).contains(&held), "{}: {held} times as long", said.word);
    }
}

#[test]
fn sounds_said_one_by_one_are_affirmed_joined_and_no_more_are_contradicted() {
    let (affirmed, contradicted, of) = told(&made_so(Speaking::Separate));
    println!("sound by sound: {affirmed} affirmed, {contradicted} contradicted, of {of}");
    assert!(of >= 20 && 2 * affirmed >= of && 20 * contradicted <= of);
}
