//! How well misspellings are read: against the hand-made gold list, the whole dictionary, and a file of real misspellings.

use std::path::Path;
use std::time::Instant;

use soundbead_data::lexicon;
use soundbead_data::word::{self, Overrides};
use soundbead_data::writing::{self, Finding, SpellingAnalysis};

use super::hits::Hits;
use super::meant;

/// One labeled misspelling.
pub struct Labeled {
    /// The word.
    pub word: String,
    /// What was written.
    pub wrote: String,
    /// The finding at each sound, by name.
    pub findings: Vec<&'static str>,
    /// Letters added, each with the number of sounds before it.
    pub added: Vec<(String, usize)>,
}

/// The gold lists, by the name that the figures are printed under.
pub const LISTS: [(&str, &str); 7] = [
    ("gold", include_str!("../../reference/writing_gold.tsv")),
    ("fresh", include_str!("../../reference/writing_fresh.tsv")),
    ("third", include_str!("../../reference/writing_third.tsv")),
    ("fourth", include_str!("../../reference/writing_fourth.tsv")),
    ("fifth", include_str!("../../reference/writing_fifth.tsv")),
    ("sixth", include_str!("../../reference/writing_sixth.tsv")),
    ("seventh", include_str!("../../reference/writing_seventh.tsv")),
];

/// Reads a gold list; the head of `tests/reference/writing_gold.tsv` says its form.
///
/// # Panics
/// When a line is not of that form.
pub fn labeled(text: &str) -> Vec<Labeled> {
    let lines = text.lines().filter(|l| !l.is_empty() && !l.starts_with('#'));
    lines.map(one).collect()
}

fn one(line: &str) -> Labeled {
    let fields: Vec<&str> = line.split('\t').collect();
    let [word, wrote, tokens] = fields[..] else {
        panic!("not a labeled line: {line}")
    };
    let (mut findings, mut added) = (Vec::new(), Vec::new());
    for token in tokens.split(' ') {
        let code = token.split_once(':').map_or("k", |(_, code)| code);
        match (token, code) {
            ("-", _) => findings.push("omitted"),
            ("=", _) => findings.push(*findings.last().expect("a sound before =")),
            (_, "k") if token.starts_with('+') => added.push((token[1..].to_owned(), findings.len())),
            (_, "k") => findings.push("kept"),
            (_, "s") => findings.push("spelled_otherwise"),
            (_, "n") => findings.push("near_sound"),
            (_, "x") => findings.push("other_sound"),
            (_, "w") => findings.push("swapped"),
            _ => panic!("`{token}` in {line}"),
        }
    }
    Labeled {
        word: word.to_owned(),
        wrote: wrote.to_owned(),
        findings,
        added,
    }
}

/// Words wholly right and sounds right on a gold list; `each` is called for every word that is not.
///
/// A word read by a variant with another number of sounds than the label's has no sound right.
pub fn against(list: &[Labeled], mut each: impl FnMut(&Labeled, &SpellingAnalysis)) -> (Hits, Hits) {
    let (mut words, mut sounds) = (Hits::default(), Hits::default());
    for gold in list {
        let reading = read(&gold.word, &gold.wrote).unwrap_or_else(|what| panic!("{}: {what}", gold.word));
        let found: Vec<&str> = reading.sounds.iter().map(|w| w.finding.name()).collect();
        let added: Vec<(String, usize)> = reading.added.iter().map(|a| (a.wrote.clone(), a.after)).collect();
        let same = found.iter().zip(&gold.findings).filter(|(a, b)| a == b).count();
        sounds.add(
            if found.len() == gold.findings.len() { same } else { 0 },
            gold.findings.len(),
        );
        let right = found == gold.findings && added == gold.added;
        words.add(usize::from(right), 1);
        if !right {
            each(gold, &reading);
        }
    }
    (words, sounds)
}

/// Reads one pair; the error is the line a user would get.
///
/// # Errors
/// When word or writing cannot be used.
pub fn read(word: &str, wrote: &str) -> Result<SpellingAnalysis, String> {
    let word = word::find(word, &Overrides::default()).map_err(|e| e.to_string())?;
    writing::read(&word, wrote).map_err(|e| e.to_string())
}

/// Prints every figure of reading misspellings; with `pairs`, also what a file of `word<TAB>written` lines comes to. Of `rows`, `misses`
/// shows what is read otherwise than labeled, and `meant` fits which word is proposed for letters that are none.
///
/// # Errors
/// When the file of pairs cannot be read.
pub fn run(pairs: Option<&Path>, rows: &str) -> Result<(), String> {
    let misses = rows == "misses";
    if rows == "meant" {
        let path = pairs.ok_or("--rows meant: give --pairs FILE, the misspellings to fit on")?;
        let text = std::fs::read_to_string(path).map_err(|e| format!("{}: {e}", path.display()))?;
        meant::fit(&text);
        meant::report(&text);
        return Ok(());
    }
    for (name, text) in LISTS {
        let show = |gold: &Labeled, reading: &SpellingAnalysis| {
            if misses {
                println!("  {} {}: {}", gold.word, gold.wrote, line(reading));
            }
        };
        let (words, sounds) = against(&labeled(text), show);
        println!("misspellings, {name} list: words wholly right {}", words.shown());
        println!("misspellings, {name} list: sounds right       {}", sounds.shown());
    }
    let (mut itself, began) = (Hits::default(), Instant::now());
    for entry in lexicon::words() {
        let right = read(entry.spelling(), entry.spelling()).is_ok_and(|r| r.right());
        itself.add(usize::from(right), 1);
    }
    let each = began.elapsed().as_secs_f64() / itself.of as f64;
    println!(
        "dictionary words against themselves: all kept {} of {}, {:.3} ms each",
        itself.right,
        itself.of,
        1e3 * each
    );
    pairs.map_or(Ok(()), real)
}

/// What a file of real misspellings comes to: how many can be read, how long one takes, how often each finding.
fn real(path: &Path) -> Result<(), String> {
    let text = std::fs::read_to_string(path).map_err(|e| format!("{}: {e}", path.display()))?;
    let (mut read_ok, mut readable, mut represented) = (Hits::default(), Hits::default(), Hits::default());
    let names = [
        "kept",
        "omitted",
        "spelled_otherwise",
        "near_sound",
        "other_sound",
        "swapped",
    ];
    let mut counts = [0_usize; 6];
    let began = Instant::now();
    for line in text.lines().skip(1) {
        let mut fields = line.split('\t');
        let (word, wrote) = (fields.next().unwrap_or(""), fields.next().unwrap_or(""));
        let reading = read(word, wrote);
        read_ok.add(usize::from(reading.is_ok()), 1);
        let Ok(reading) = reading else { continue };
        readable.add(usize::from(reading.readable), 1);
        represented.add(reading.represented(), reading.of());
        for w in &reading.sounds {
            counts[names.iter().position(|n| *n == w.finding.name()).unwrap_or(0)] += 1;
        }
    }
    let each = began.elapsed().as_secs_f64() / read_ok.of.max(1) as f64;
    println!(
        "real misspellings: read {} of {}, {:.3} ms each",
        read_ok.right,
        read_ok.of,
        1e3 * each
    );
    println!("real misspellings: readable {}", readable.shown());
    println!("real misspellings: sounds represented {}", represented.shown());
    for (name, count) in names.iter().zip(counts) {
        println!(
            "real misspellings: {name} {:.1} %",
            100.0 * count as f64 / represented.of.max(1) as f64
        );
    }
    meant::report(&text);
    Ok(())
}

/// A reading in one line, for looking at misses.
fn line(reading: &SpellingAnalysis) -> String {
    let sounds = reading.sounds.iter().map(|w| match w.finding {
        Finding::Kept => format!("{} {}", w.sound, w.wrote),
        finding => format!("{} {} for {} ({finding})", w.sound, w.wrote, w.letters),
    });
    let added = reading.added.iter().map(|a| format!("+{} after {}", a.wrote, a.after));
    sounds.chain(added).collect::<Vec<_>>().join(", ")
}
