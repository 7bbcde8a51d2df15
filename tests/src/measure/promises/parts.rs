//! Promises of the libraries, measured inside this program.

use std::hint::black_box;
use std::time::Instant;

use soundbead_data::chain::{Graph, Limits, WordList};
use soundbead_data::lexicon::{self, Lexicon};
use soundbead_data::word::{self, Overrides};
use soundbead_data::{Rules, writing};
use soundbead_dsp::audio::{Recording, decode};
use soundbead_dsp::ear::Ear;
use soundbead_dsp::judgement::{Speaking, Target};

use super::PromiseRow;

/// Every promise of a part.
pub fn all() -> Vec<PromiseRow> {
    let mut rows = vec![
        PromiseRow::most(
            "opening the dictionary",
            1e3 * each(200, || Lexicon::builtin().len()),
            5.0,
            "ms",
        ),
        PromiseRow::most("looking a word up", 1e6 * look_up(), 2.0, "us"),
        PromiseRow::most("reading a misspelling", 1e3 * misspelling(), 1.0, "ms"),
    ];
    let built = || Graph::new(&WordList::default(), &Rules::default());
    rows.push(PromiseRow::most(
        "building the graph of words one sound apart",
        1e3 * each(5, || built().pairs()),
        300.0,
        "ms",
    ));
    let (graph, none) = (built(), Limits::default());
    let ask = || graph.shortest(black_box("school"), "wonder", &none, 7).is_ok();
    rows.push(PromiseRow::most(
        "a question to it, school to wonder",
        1e3 * each(50, ask),
        20.0,
        "ms",
    ));
    rows.extend(judging());
    rows
}

/// Seconds for one of `times` runs.
fn each<T>(times: usize, mut work: impl FnMut() -> T) -> f64 {
    black_box(work());
    let start = Instant::now();
    for _ in 0..times {
        black_box(work());
    }
    start.elapsed().as_secs_f64() / times as f64
}

/// Seconds for the quickest of `times` runs: whatever else the machine does only adds to them.
fn quickest<T>(times: usize, mut work: impl FnMut() -> T) -> f64 {
    let one = |_| {
        let start = Instant::now();
        black_box(work());
        start.elapsed().as_secs_f64()
    };
    (0..times).map(one).fold(f64::INFINITY, f64::min)
}

/// Words spread over the whole table, in an order that keeps no block warm.
fn look_up() -> f64 {
    let all: Vec<&str> = lexicon::words().map(|e| e.spelling()).collect();
    let mut at = 0;
    each(100_000, || {
        at = (at + 7_919) % all.len();
        lexicon::look_up(black_box(all[at])).is_some()
    })
}

fn misspelling() -> f64 {
    let pairs = [
        ("bridge", "brige"),
        ("sister", "siter"),
        ("approximately", "acproximently"),
        ("ship", "sip"),
    ];
    let own = Overrides::default();
    let words = pairs.map(|(meant, wrote)| (word::find(meant, &own).expect("a word of the dictionary"), wrote));
    let mut next = words.iter().cycle();
    each(1_000, || {
        let (word, wrote) = next.next().expect("a cycle has no end");
        writing::read(word, black_box(wrote))
    })
}

/// The made recordings of whole words, each with what was to be said.
fn made_recordings() -> Vec<(Recording, Target)> {
    let folder = super::made_folder();
    let lines = std::fs::read_to_string(folder.join("manifest.jsonl")).unwrap_or_default();
    let read = |line: &str| {
        let line: serde_json::Value = serde_json::from_str(line).ok()?;
        let said = word::find(line["word"].as_str()?, &Overrides::default()).ok()?;
        let target = Target {
            variants: said.variants.iter().map(|v| v.sounds().to_vec()).collect(),
            letters: Vec::new(),
        };
        Some((decode(&folder.join(line["audio"].as_str()?)).ok()?, target))
    };
    lines.lines().filter_map(read).collect()
}

/// Words of a list that is practised: a chain of a lesson has about as many.
const LISTED: usize = 6;

/// Runs over each recording, of which the quickest is told.
const RUNS: usize = 10;

/// What a second of sound costs, from samples to judgement, over the made recordings: asked about a word alone, and in a list.
/// Nothing where the model or the recordings cannot be read.
pub fn judging() -> Vec<PromiseRow> {
    let (Ok(mut ear), said, rules) = (Ear::new(), made_recordings(), Rules::default()) else {
        return Vec::new();
    };
    if said.is_empty() {
        return Vec::new();
    }
    let seconds: f64 = said.iter().map(|(r, _)| r.clip.seconds()).sum();
    // One that holds no speech costs its time too.
    let alone = said
        .iter()
        .map(|(recording, target)| quickest(RUNS, || ear.judge(recording, Some(target), Speaking::Whole, &rules)));
    let alone: f64 = alone.sum();
    let words: Vec<Target> = said.iter().map(|(_, target)| target.clone()).collect();
    let listed = said.iter().enumerate().map(|(at, (recording, target))| {
        let list: Vec<Target> = words.iter().cycle().skip(at).take(LISTED).cloned().collect();
        quickest(RUNS, || {
            ear.judge_among(recording, target, &list, Speaking::Whole, &rules)
        })
    });
    let listed: f64 = listed.sum();
    let rows = [
        ("one second of sound to its judgement, one core".to_owned(), alone),
        (format!("... in a list of {LISTED} words"), listed),
    ];
    let row = |(what, all)| PromiseRow::most(what, 1e3 * all / seconds, 15.0, "ms");
    rows.map(row).into()
}
