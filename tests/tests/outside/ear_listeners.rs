//! Real readings by children and adults, by what five trained listeners marked. Source of the truth: the published marks of
//! speechocean762 (Zhang et al. 2021, Interspeech), laid on the dictionary's sounds; words said alone.
//!
//! A reading is right where all five call every sound right and nothing added; it is a slip where three or more mark a sound
//! wrong, or one added. The limits stand a little under what was measured when they were set: an ear that never says "fewer",
//! "more" or "changed", or that affirms everything, does not pass.

use std::collections::BTreeMap;
use std::path::PathBuf;

use serde::Deserialize;
use soundbead_data::{Rules, Sound};
use soundbead_dsp::audio::Recording;
use soundbead_dsp::ear::{Ear, Evidence};
use soundbead_dsp::judgement::{Speaking, Verdict};
use soundbead_tests::measure::speech::{self, ReadWord, asked, parse};
use soundbead_tests::measure::spread::spread;

/// What the listeners marked in one word.
#[derive(Deserialize)]
struct Marked {
    right: Vec<u8>,
    wrong: Vec<u8>,
    added: Vec<Added>,
    /// Whether their transcription could be laid on the dictionary's sounds.
    tied: bool,
}

#[derive(Deserialize)]
struct Added {
    experts: u8,
}

impl Marked {
    fn most_added(&self) -> u8 {
        self.added.iter().map(|a| a.experts).max().unwrap_or(0)
    }

    fn is_right(&self) -> bool {
        self.tied && self.right.iter().all(|n| *n == 5) && self.most_added() == 0
    }

    fn is_slip(&self) -> bool {
        self.tied && (self.wrong.iter().any(|n| *n >= 3) || self.most_added() >= 3)
    }
}

/// One reading in three of the right ones is asked, for the time it takes; of the slips, which are fewer, every one.
const RIGHT_IN: usize = 3;

/// What was said of a reading, asked about its own word, and about real words one sound away by how they differ from it.
struct Heard {
    slip: bool,
    own: Verdict,
    others: Vec<(String, Verdict)>,
}

fn readings() -> Vec<(ReadWord, bool, Recording)> {
    let folder =
        PathBuf::from(std::env::var_os("SOUNDBEAD_SPEECH").expect("SOUNDBEAD_SPEECH names the recorded speech"));
    let words = speech::words(&folder.join("read_dev_words.jsonl")).expect("the words");
    let marks = std::fs::read_to_string(folder.join("read_dev_experts.jsonl")).expect("the marks");
    let marks: Vec<Marked> = marks.lines().map(|l| serde_json::from_str(l).expect("marks")).collect();
    assert_eq!(words.len(), marks.len());
    let source = speech::source(&folder.join("read_dev.ogg")).expect("the recording");
    let alone = words.into_iter().zip(marks).filter(|(w, _)| w.is_apart());
    let (slips, right): (Vec<_>, Vec<_>) = alone
        .filter(|(_, m)| m.is_right() || m.is_slip())
        .partition(|(_, m)| m.is_slip());
    let picked = right.into_iter().step_by(RIGHT_IN).chain(slips);
    picked
        .filter_map(|(w, m)| Some((w.clone(), m.is_slip(), speech::cut(&source, &w)?)))
        .collect()
}

fn verdict(ear: &Ear, evidence: Option<&Evidence>, sounds: &[Sound]) -> Verdict {
    let judge = |e| ear.judge_evidence(e, Some(&asked(sounds)), Speaking::Whole, &Rules::default());
    let judged = evidence.and_then(|e| judge(e).ok());
    judged.and_then(|j| j.verdict).unwrap_or(Verdict::Unsure)
}

fn heard(ear: &mut Ear, (word, slip, recording): &(ReadWord, bool, Recording)) -> Heard {
    let evidence = ear.listen(recording, Speaking::Whole).ok();
    let neighbours = word.neighbours.iter().filter(|_| !slip);
    Heard {
        slip: *slip,
        own: verdict(ear, evidence.as_ref(), &word.sounds()),
        others: neighbours
            .map(|(kind, n)| (kind.clone(), verdict(ear, evidence.as_ref(), &parse(&n.sounds))))
            .collect(),
    }
}

/// The share of verdicts that fit, in per cent.
fn percent(all: &[Verdict], fits: impl Fn(Verdict) -> bool) -> f64 {
    100.0 * all.iter().filter(|v| fits(**v)).count() as f64 / all.len().max(1) as f64
}

#[test]
#[cfg_attr(
    not(has_speech),
    ignore = "needs recorded speech; name its folder in SOUNDBEAD_SPEECH"
)]
fn readings_are_judged_as_listeners_do() {
    let all = spread(&readings(), heard);
    let own = |slip: bool| -> Vec<Verdict> { all.iter().filter(|h| h.slip == slip).map(|h| h.own).collect() };
    let (right, slips) = (own(false), own(true));
    let mut others: BTreeMap<&str, Vec<Verdict>> = BTreeMap::new();
    for (kind, verdict) in all.iter().flat_map(|h| &h.others) {
        others.entry(kind).or_default().push(*verdict);
    }
    let against = |v: Verdict| !matches!(v, Verdict::Same | Verdict::Unsure);
    let affirmed = percent(&right, |v| v == Verdict::Same);
    let contradicted = percent(&right, against);
    let passed = percent(&slips, |v| v == Verdict::Same);
    println!(
        "{} right: affirmed {affirmed:.1} %, contradicted {contradicted:.1} %",
        right.len()
    );
    println!("{} slips: affirmed {passed:.1} %", slips.len());
    assert!(
        right.len() >= 100 && slips.len() >= 100,
        "{} {}",
        right.len(),
        slips.len()
    );
    assert!(affirmed >= 60.0 && contradicted <= 3.0, "{affirmed} {contradicted}");
    assert!(passed <= 30.0 && passed < affirmed / 2.0, "{passed}");
    // Asked about a word with one sound more, a reading of the plain word has one fewer; and the other way round.
    for (kind, named) in [
        ("more", Verdict::Fewer),
        ("fewer", Verdict::More),
        ("changed", Verdict::Changed),
    ] {
        let these = &others[kind];
        let (no, so) = (percent(these, against), percent(these, |v| v == named));
        let yes = percent(these, |v| v == Verdict::Same);
        println!(
            "{} asked about {kind}: contradicted {no:.1} %, as {} {so:.1} %, affirmed {yes:.1} %",
            these.len(),
            named.name()
        );
        assert!(no >= LEAST_CONTRADICTED, "{kind}: contradicted {no}");
        assert!(so >= LEAST_NAMED, "{kind}: told as {} {so}", named.name());
        assert!(yes <= MOST_AFFIRMED, "{kind}: affirmed {yes}");
    }
}

/// Of real words that were not said, in per cent: contradicted, contradicted as what they are, affirmed.
const LEAST_CONTRADICTED: f64 = 20.0;
const LEAST_NAMED: f64 = 15.0;
const MOST_AFFIRMED: f64 = 8.0;
