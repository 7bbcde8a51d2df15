//! How true the sorts, the word parts and the chains are: against lists made by hand before, and over many chains. Needs no
//! speech.

use std::collections::HashMap;

use soundbead_data::Rules;
use soundbead_data::chain::{Graph, Limits, WordList, neighbouring_sounds};
use soundbead_data::parts::{self, Families};
use soundbead_data::sort::{self, Corpus, Level, Member, SortStatus, Sorted};

/// The sorted words.
pub const SORTED: &str = include_str!("../../reference/sorts_gold.tsv");
/// The words taken apart, and those drawn at random later. All have been seen since; the heads of the last tell their first shares.
pub const APART: [(&str, &str); 8] = [
    ("words taken apart", include_str!("../../reference/parts_gold.tsv")),
    ("drawn at random", include_str!("../../reference/parts_fresh.tsv")),
    ("drawn again", include_str!("../../reference/parts_third.tsv")),
    ("drawn a fourth time", include_str!("../../reference/parts_fourth.tsv")),
    ("chosen of every kind", include_str!("../../reference/parts_fifth.tsv")),
    (
        "drawn from ranks 500 to 12,000",
        include_str!("../../reference/parts_sixth.tsv"),
    ),
    (
        "drawn from ranks 11,000 to 22,000",
        include_str!("../../reference/parts_seventh.tsv"),
    ),
    (
        "chosen from grades 3 to 6",
        include_str!("../../reference/parts_eighth.tsv"),
    ),
];

/// How a list came out.
#[derive(Clone, Debug, Default)]
pub struct SortScore {
    /// Rows of the list.
    pub of: usize,
    /// Those that the program has as the list has them.
    pub right: usize,
    /// The rest, each with what the program has.
    pub missed: Vec<String>,
}

impl SortScore {
    /// The share that is right, from 0 to 1.
    pub fn share(&self) -> f64 {
        self.right as f64 / self.of.max(1) as f64
    }

    fn add(&mut self, right: bool, missed: impl FnOnce() -> String) {
        self.of += 1;
        match right {
            true => self.right += 1,
            false => self.missed.push(missed()),
        }
    }

    fn print(&self, what: &str, misses: bool) {
        println!(
            "{what:<34} {:.1} % ({} of {})",
            100.0 * self.share(),
            self.right,
            self.of
        );
        if misses {
            self.missed.iter().for_each(|line| println!("    {line}"));
        }
    }
}

fn lines(text: &str) -> impl Iterator<Item = &str> {
    text.lines().filter(|line| !line.is_empty() && !line.starts_with('#'))
}

/// Each sort as a parent is shown it, and over every word.
struct ShownAndWhole {
    shown: Sorted,
    whole: Sorted,
}

/// The sorted words: the share in the right column, and in the right column with the right word about rules. A row is judged as
/// its sort stands at the widest level that leaves rare words out; a rarer word as it stands among all.
pub fn sorted(text: &str) -> (SortScore, SortScore) {
    let corpus = Corpus::new(&WordList::default());
    let (mut columns, mut rows) = (SortScore::default(), SortScore::default());
    let mut known: HashMap<&str, ShownAndWhole> = HashMap::new();
    for line in lines(text) {
        let [word, name, heading, status] = line.split('\t').collect::<Vec<_>>()[..] else {
            rows.add(false, || format!("{line}: not four fields"));
            continue;
        };
        let both = known.entry(name).or_insert_with(|| {
            let one = sort::find(name).unwrap_or_else(|| panic!("a sort `{name}`"));
            ShownAndWhole {
                shown: corpus.sort_at(one, Level::Bookish),
                whole: corpus.sort(one),
            }
        });
        // A word that the list lacks (a contraction) is in every level.
        let zipf = corpus.word(word).map_or(9.0, |k| k.zipf);
        let sorted = if Level::Bookish.has(word, zipf) {
            &both.shown
        } else {
            &both.whole
        };
        let found = places(sorted, word);
        let told: Vec<String> = found.iter().map(|(m, s)| format!("{} {s}", m.heading)).collect();
        let missed = || format!("{word} ({name}): {told:?}, wanted {heading} {status}");
        let here = |(m, _): &(&Member, &str)| m.heading == heading;
        let column = if status == "out" {
            found.is_empty()
        } else {
            found.iter().any(here)
        };
        let whole = column && (["out", "-"].contains(&status) || found.iter().any(|f| here(f) && f.1 == status));
        columns.add(column, missed);
        rows.add(whole, missed);
    }
    (columns, rows)
}

/// The places of a word in a sort, with what is said of each.
fn places<'s>(sorted: &'s Sorted, word: &str) -> Vec<(&'s Member, &'static str)> {
    let all = sorted.columns.iter().chain(&sorted.others).flat_map(|c| &c.members);
    let status = |member| match sorted.status(member) {
        SortStatus::Keeps => "keeps",
        SortStatus::Breaks => "breaks",
        SortStatus::Open => "open",
    };
    all.filter(|m| m.word.eq_ignore_ascii_case(word))
        .map(|m| (m, status(m)))
        .collect()
}

/// The words taken apart: right where the program's sum is one of those that the list allows.
pub fn apart(text: &str) -> SortScore {
    let mut score = SortScore::default();
    for (word, allowed) in lines(text).filter_map(|line| line.split_once('\t')) {
        let found = parts::take_apart(word).sum();
        score.add(allowed.split('|').any(|one| one == found), || {
            format!("{word}: {found}, wanted {allowed}")
        });
    }
    score
}

/// Words of a measured practice chain.
const LONG: usize = 8;
/// Chains drawn for the share of steps.
const CHAINS: u64 = 200;

/// Of the steps of practice chains drawn by chance, how many change letters over other sounds too.
pub fn steps(graph: &Graph) -> SortScore {
    let mut score = SortScore::default();
    for seed in 1..=CHAINS {
        let Ok(chain) = graph.practice(None, LONG, &Limits::default(), seed) else {
            continue;
        };
        for step in chain.steps.iter().filter_map(|s| s.letters.as_ref()) {
            score.add(!step.others, String::new);
        }
    }
    score
}

/// Of the pairs of neighbouring sounds, those that have a practice chain of six words with two steps or more between them.
pub fn contrasts(graph: &Graph) -> SortScore {
    let mut score = SortScore::default();
    for pair in neighbouring_sounds() {
        let limits = Limits {
            contrasts: vec![pair],
            ..Limits::default()
        };
        let chain = graph.practice(None, 6, &limits, 1);
        let swaps = |chain: &soundbead_data::chain::Chain| {
            let ends = chain.steps.iter().filter_map(|s| s.change).map(|c| (c.from, c.to));
            ends.filter(|(from, to)| {
                let (a, b) = (Some(pair.0), Some(pair.1));
                (*from, *to) == (a, b) || (*from, *to) == (b, a)
            })
            .count()
        };
        let found = chain.as_ref().map_or(0, swaps);
        score.add(found >= 2, || format!("{} {}: {found} steps", pair.0, pair.1));
    }
    score
}

/// Prints every figure; with `misses` what was wrong.
pub fn run(misses: bool) {
    let (columns, rows) = sorted(SORTED);
    columns.print("sorted: column", false);
    rows.print("sorted: column and rule", misses);
    for (name, text) in APART {
        apart(text).print(name, misses);
    }
    let graph = Graph::new(&WordList::default(), &Rules::default());
    let steps = steps(&graph);
    steps.print("chain steps, other letters stay", false);
    println!(
        "chain steps that change others too {:.1} %",
        100.0 * (1.0 - steps.share())
    );
    contrasts(&graph).print("contrasts with a chain", misses);
    println!("\nwhat combines with what, counted on the common words");
    for counted in parts::counts(&Families::new(&WordList::default())) {
        let exceptions: Vec<&str> = counted.exceptions.iter().map(String::as_str).take(6).collect();
        println!(
            "{}: {}: {} of {}; not {}",
            counted.when,
            counted.then,
            counted.holds,
            counted.of,
            exceptions.join(" ")
        );
    }
}
