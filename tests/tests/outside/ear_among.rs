//! A word of a list that is being practised. Source of the truth: the made recordings and what was really said in them
//! (`recordings-demo/manifest.jsonl`, written by the script that made them).

use std::path::Path;

use soundbead_data::{Rules, lexicon};
use soundbead_dsp::audio::{self, Recording};
use soundbead_dsp::ear::Ear;
use soundbead_dsp::judgement::{Judgement, Speaking, Target, Verdict};

/// Recordings in which another real word was said than the one that was asked for: the file, the word asked for, the word said, and
/// how it differs.
const OTHER: [(&str, &str, &str, Verdict); 4] = [
    ("14-leaf.wav", "leaf", "lee", Verdict::Fewer),
    ("15-gate.wav", "gate", "gay", Verdict::Fewer),
    ("21-bell.wav", "bell", "bill", Verdict::Changed),
    ("23-ring.wav", "ring", "wing", Verdict::Changed),
];
/// Recordings in which the word was said, and real words one sound away.
const RIGHT: [(&str, &str, [&str; 3]); 6] = [
    ("01-goat.wav", "goat", ["coat", "goad", "go"]),
    ("02-shed.wav", "shed", ["said", "shade", "sheds"]),
    ("25-barn.wav", "barn", ["darn", "yarn", "barns"]),
    ("27-mix.wav", "mix", ["fix", "mixed", "mick"]),
    ("30-sink.wav", "sink", ["think", "pink", "sing"]),
    ("37-bean.wav", "bean", ["beam", "dean", "bee"]),
];

fn target(word: &str) -> Target {
    let entry = lexicon::look_up(word).expect("a word of the dictionary");
    Target {
        variants: entry.variants().map(|p| p.sounds().to_vec()).collect(),
        letters: Vec::new(),
    }
}

fn recording(file: &str) -> Recording {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../recordings-demo");
    audio::decode(&folder.join(file)).expect("a recording")
}

/// Judged by itself, and in the list.
fn judged(ear: &mut Ear, file: &str, word: &str, list: &[Target], speaking: Speaking) -> [Judgement; 2] {
    let (evidence, rules) = (
        ear.listen(&recording(file), speaking).expect("speech"),
        Rules::default(),
    );
    let alone = ear.judge_evidence(&evidence, Some(&target(word)), speaking, &rules);
    let among = ear.judge_evidence_among(&evidence, &target(word), list, speaking, &rules);
    [alone, among].map(|judged| judged.expect("an answer"))
}

fn ear() -> Ear {
    Ear::new().expect("the model comes with the program")
}

#[test]
fn another_word_of_the_list_is_told() {
    for (file, asked, said, verdict) in OTHER {
        let [alone, among] = judged(&mut ear(), file, asked, &[target(asked), target(said)], Speaking::Whole);
        println!("{file}: {:?} alone, {:?} in the list", alone.verdict, among.verdict);
        assert_eq!(among.verdict, Some(verdict), "{file}");
        assert!(among.said.is_some() && among.sure() >= alone.sure(), "{file}");
        are_probabilities(file, &among);
    }
}

#[test]
fn asked_about_another_word_of_the_list_more_is_told_and_the_word_itself_is_left_as_it_was() {
    let (mut without, mut with) = (0, 0);
    for (file, said, others) in RIGHT {
        let list: Vec<Target> = std::iter::once(said).chain(others).map(target).collect();
        let [alone, among] = judged(&mut ear(), file, said, &list, Speaking::Whole);
        assert!(matches!(among.verdict, Some(Verdict::Same | Verdict::Unsure)), "{file}");
        assert_eq!(alone.verdict, among.verdict, "{file}");
        for other in others {
            let [alone, among] = judged(&mut ear(), file, other, &list, Speaking::Whole);
            without += usize::from(against(&alone));
            with += usize::from(against(&among));
            assert_ne!(among.verdict, Some(Verdict::Same), "{file} asked about as {other}");
            are_probabilities(file, &among);
        }
    }
    println!("of 18 other words {without} are contradicted alone, {with} in the list");
    assert!(with > without, "{without} alone, {with} in the list");
}

fn against(judged: &Judgement) -> bool {
    !matches!(judged.verdict, Some(Verdict::Same | Verdict::Unsure))
}

fn are_probabilities(file: &str, judged: &Judgement) {
    let fit = judged.fit.expect("a word was named");
    let sum = fit.same + fit.fewer + fit.more + fit.changed;
    assert!((sum - 1.0).abs() < 1e-3, "{file}: {sum}");
    let counts = &judged.count_probabilities;
    let sum: f32 = counts.iter().map(|c| c.1).sum();
    assert!(
        (sum - 1.0).abs() < 0.02 && counts.is_sorted_by_key(|c| c.0),
        "{file}: {sum}"
    );
    let likeliest = counts.iter().max_by(|a, b| a.1.total_cmp(&b.1));
    assert_eq!(likeliest.map(|c| c.0), Some(judged.heard), "{file}");
}

#[test]
fn sounds_said_apart_and_a_list_without_others_are_judged_as_ever() {
    for list in [vec![], vec![target("leaf")]] {
        let [alone, among] = judged(&mut ear(), "14-leaf.wav", "leaf", &list, Speaking::Whole);
        assert_eq!(alone, among);
    }
    let list = [target("soap"), target("soup")];
    let [alone, among] = judged(&mut ear(), "11-soap.wav", "soup", &list, Speaking::Separate);
    assert_eq!(alone, among);
}
