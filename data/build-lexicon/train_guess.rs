//! Learns the letter-to-sound guess: writes data/tables/guess.bin and data/tables/stress.tsv.
//!
//!     cargo run --release -p soundbead-data --example train_guess
//!
//! One spelling in twenty, chosen by a hash of its letters (`held_out`, the same in the crate's tests), is never read.
//! 1. Letters are aligned to 0, 1 or 2 sounds each by expectation-maximisation.
//! 2. Chains of chunks (letter and its sounds) are counted up to six long; likelihoods by interpolated Witten-Bell
//!    (Witten and Bell 1991, IEEE Trans. Information Theory 37(4), 1085-1094).
//! 3. The n-grams that raise the training likelihood least over their back-off are dropped (weighted difference, Seymore
//!    and Rosenfeld 1996, ICSLP) until `KEPT` are left; back-off weights make up the rest.
//!
//! No random numbers: the same dictionary gives the same bytes.

use std::collections::{BTreeMap, HashMap};
use std::fmt::Write as _;
use std::path::Path;

use soundbead_data::guess::{CHUNKS_MAGIC, HISTORY, chunk_hash};
use soundbead_data::{Sound, lexicon};

/// n-grams kept: what fits 400 KB at four bytes each.
const KEPT: usize = 92_000;
const ALIGN_ROUNDS: usize = 8;
/// Chunks seen less often are taken for errors of the dictionary, and their words left out.
const RARE: usize = 8;
const EDGE: u16 = u16::MAX;

type Letters = Vec<u8>;
/// A chunk: letter, then sound indices.
type Chunk = Vec<u8>;
type Gram = Vec<u16>;

fn main() {
    let tables = Path::new(env!("CARGO_MANIFEST_DIR")).join("tables");
    let words = words();
    println!("{} pronunciations to learn from", words.len());
    let chains = align(&words);
    let chunks = chunks(&chains);
    let numbers: HashMap<&Chunk, u16> = chunks.iter().enumerate().map(|(i, c)| (c, i as u16)).collect();
    let coded: Vec<Gram> = chains.iter().filter_map(|chain| code(chain, &numbers)).collect();
    println!("{} chunks, {} chains", chunks.len(), coded.len());
    let model = Model::learn(&coded);
    let kept = model.keep(KEPT);
    let bytes = write_model(&chunks, &kept);
    println!(
        "{} n-grams kept of {}, {} bytes",
        kept.len(),
        model.likelihood.len(),
        bytes.len()
    );
    std::fs::write(tables.join("guess.bin"), bytes).expect("guess.bin");
    std::fs::write(tables.join("stress.tsv"), stress_table()).expect("stress.tsv");
}

/// Whether a spelling is kept from training: FNV-1a of its letters, one in twenty.
fn held_out(spelling: &str) -> bool {
    let hash = spelling.bytes().fold(0xcbf2_9ce4_8422_2325_u64, |h, b| {
        (h ^ u64::from(b)).wrapping_mul(0x0100_0000_01b3)
    });
    (hash >> 20) % 20 == 0
}

/// Spellings without marks, with the indices of their sounds.
fn words() -> Vec<(Letters, Vec<u8>)> {
    let plain = lexicon::words().filter(|e| e.spelling().bytes().all(|b| b.is_ascii_lowercase()));
    let trained = plain.filter(|e| !held_out(e.spelling()));
    trained
        .flat_map(|e| {
            e.variants().map(move |v| {
                (
                    e.spelling().as_bytes().to_vec(),
                    v.sounds().iter().map(|s| s.index() as u8).collect(),
                )
            })
        })
        .collect()
}

/// Steps of one word's lattice: from letter i with j sounds used, letter i spells the next `len`.
fn steps(letters: usize, sounds: usize) -> impl Iterator<Item = (usize, usize, usize)> {
    let cells = (0..letters).flat_map(move |i| (0..=sounds).map(move |j| (i, j)));
    cells.flat_map(move |(i, j)| (0..=2.min(sounds - j)).map(move |len| (i, j, len)))
}

fn chunk(letters: &[u8], sounds: &[u8], (i, j, len): (usize, usize, usize)) -> Chunk {
    let mut chunk = vec![letters[i]];
    chunk.extend_from_slice(&sounds[j..j + len]);
    chunk
}

/// The best chain of chunks of each word that has one.
fn align(words: &[(Letters, Vec<u8>)]) -> Vec<Vec<Chunk>> {
    let mut weights: HashMap<Chunk, f64> = HashMap::new();
    for round in 0..ALIGN_ROUNDS {
        let mut counts: HashMap<Chunk, f64> = HashMap::new();
        for (letters, sounds) in words {
            // At first only the number of sounds says anything: one is likely, none or two are not.
            let weigh = |c: &Chunk| match round {
                0 => [0.1, 1.0, 0.01][c.len() - 1],
                _ => weights.get(c).copied().unwrap_or(1e-9),
            };
            vote(letters, sounds, weigh, &mut counts);
        }
        // Summed in sorted order: the last bit of a sum must not hang on the order of a hash table.
        let sorted: BTreeMap<&Chunk, f64> = counts.iter().map(|(c, n)| (c, *n)).collect();
        let mut totals = [0.0; 256];
        sorted.iter().for_each(|(c, n)| totals[usize::from(c[0])] += n);
        weights = sorted
            .into_iter()
            .map(|(c, n)| (c.clone(), n / totals[usize::from(c[0])]))
            .collect();
    }
    words.iter().filter_map(|(l, s)| best_chain(l, s, &weights)).collect()
}

/// Adds each chunk's share in all alignments of one word.
fn vote(letters: &[u8], sounds: &[u8], weigh: impl Fn(&Chunk) -> f64, counts: &mut HashMap<Chunk, f64>) {
    let width = sounds.len() + 1;
    let end = letters.len() * width + sounds.len();
    let (mut forward, mut backward) = (vec![0.0; end + 1], vec![0.0; end + 1]);
    forward[0] = 1.0;
    backward[end] = 1.0;
    let edges: Vec<_> = steps(letters.len(), sounds.len())
        .map(|step| {
            (
                step.0 * width + step.1,
                (step.0 + 1) * width + step.1 + step.2,
                chunk(letters, sounds, step),
            )
        })
        .map(|(from, to, chunk)| (from, to, weigh(&chunk), chunk))
        .collect();
    edges
        .iter()
        .for_each(|(from, to, weight, _)| forward[*to] += forward[*from] * weight);
    edges
        .iter()
        .rev()
        .for_each(|(from, to, weight, _)| backward[*from] += backward[*to] * weight);
    let total = forward[end];
    if total > 0.0 {
        for (from, to, weight, chunk) in edges {
            let share = forward[from] * weight * backward[to] / total;
            if share > 1e-6 {
                *counts.entry(chunk).or_default() += share;
            }
        }
    }
}

fn best_chain(letters: &[u8], sounds: &[u8], weights: &HashMap<Chunk, f64>) -> Option<Vec<Chunk>> {
    let width = sounds.len() + 1;
    let end = letters.len() * width + sounds.len();
    let mut best: Vec<(f64, usize, Chunk)> = vec![(0.0, 0, Vec::new()); end + 1];
    best[0].0 = 1.0;
    for step in steps(letters.len(), sounds.len()) {
        let (from, to) = (step.0 * width + step.1, (step.0 + 1) * width + step.1 + step.2);
        let chunk = chunk(letters, sounds, step);
        let score = best[from].0 * weights.get(&chunk).copied().unwrap_or(0.0);
        if score > best[to].0 {
            best[to] = (score, from, chunk);
        }
    }
    let (mut at, mut chain) = (end, Vec::new());
    while at > 0 && best[at].0 > 0.0 {
        chain.push(best[at].2.clone());
        at = best[at].1;
    }
    chain.reverse();
    (at == 0).then_some(chain)
}

/// All chunks that are not rare, sorted.
fn chunks(chains: &[Vec<Chunk>]) -> Vec<Chunk> {
    let mut counts: BTreeMap<&Chunk, usize> = BTreeMap::new();
    chains.iter().flatten().for_each(|c| *counts.entry(c).or_default() += 1);
    counts
        .into_iter()
        .filter(|&(_, n)| n >= RARE)
        .map(|(c, _)| c.clone())
        .collect()
}

/// A chain in numbers, with the edge at both ends; `None` when it has a rare chunk.
fn code(chain: &[Chunk], numbers: &HashMap<&Chunk, u16>) -> Option<Gram> {
    let mut coded = vec![EDGE];
    for chunk in chain {
        coded.push(*numbers.get(chunk)?);
    }
    coded.push(EDGE);
    Some(coded)
}

struct Model {
    counts: HashMap<Gram, f64>,
    /// Interpolated likelihood of each n-gram's last chunk after the others.
    likelihood: HashMap<Gram, f64>,
}

impl Model {
    fn learn(chains: &[Gram]) -> Model {
        let mut counts: HashMap<Gram, f64> = HashMap::new();
        for chain in chains {
            for end in 1..chain.len() {
                for len in 1..=(HISTORY + 1).min(end + 1) {
                    *counts.entry(chain[end + 1 - len..=end].to_vec()).or_default() += 1.0;
                }
            }
        }
        // How often each history was met, and with how many different followers.
        let mut histories: HashMap<&[u16], (f64, f64)> = HashMap::new();
        for (gram, count) in &counts {
            let met = histories.entry(&gram[..gram.len() - 1]).or_default();
            *met = (met.0 + count, met.1 + 1.0);
        }
        let mut order: Vec<&Gram> = counts.keys().collect();
        order.sort_by_key(|g| g.len());
        let mut likelihood: HashMap<Gram, f64> = HashMap::new();
        for gram in order {
            let (met, kinds) = histories[&gram[..gram.len() - 1]];
            let lower = if gram.len() == 1 { 1e-4 } else { likelihood[&gram[1..]] };
            likelihood.insert(gram.clone(), (counts[gram] + kinds * lower) / (met + kinds));
        }
        Model { counts, likelihood }
    }

    /// The `count` n-grams worth most, each with its likelihood and, as a history, its back-off weight.
    fn keep(&self, count: usize) -> HashMap<Gram, (f64, f64)> {
        let mut worth: Vec<(f64, &Gram)> = Vec::new();
        for (gram, p) in &self.likelihood {
            let gain = match gram.len() {
                1 => f64::INFINITY,
                _ => self.counts[gram] * (p / self.backed_off(gram)).ln().abs(),
            };
            worth.push((gain, gram));
        }
        worth.sort_by(|a, b| b.0.total_cmp(&a.0).then_with(|| a.1.cmp(b.1)));
        worth.truncate(count);
        let kept: HashMap<Gram, f64> = worth.iter().map(|(_, g)| ((*g).clone(), self.likelihood[*g])).collect();
        self.with_backoff(kept)
    }

    /// What the model would say of `gram` without it: Witten-Bell's own back-off.
    fn backed_off(&self, gram: &Gram) -> f64 {
        let history = &gram[..gram.len() - 1];
        let met = self.counts.get(history).copied().unwrap_or(1.0);
        let p = self.likelihood[gram];
        let lower = self.likelihood[&gram[1..]];
        // Share left for the unseen after this history, from p = (c + t q) / (n + t).
        let seen = self.counts[gram] / met;
        (((p - seen) / (lower - seen)).clamp(0.05, 1.0) * lower).max(1e-9)
    }

    /// Gives each history the weight that makes its likelihoods sum to one.
    fn with_backoff(&self, kept: HashMap<Gram, f64>) -> HashMap<Gram, (f64, f64)> {
        let mut sums: HashMap<Gram, (f64, f64)> = HashMap::new();
        let mut order: Vec<&Gram> = kept.keys().filter(|g| g.len() > 1).collect();
        order.sort_by_key(|g| (g.len(), (*g).clone()));
        let mut done: HashMap<Gram, (f64, f64)> = kept.iter().map(|(g, p)| (g.clone(), (*p, 1.0))).collect();
        let mut at = 0;
        for len in 2..=HISTORY + 1 {
            while at < order.len() && order[at].len() == len {
                let gram = order[at];
                let lower = look_up(&done, &gram[1..]);
                let sum = sums.entry(gram[..len - 1].to_vec()).or_default();
                *sum = (sum.0 + kept[gram], sum.1 + lower);
                at += 1;
            }
            for (history, (p, q)) in sums.iter().filter(|(h, _)| h.len() == len - 1) {
                let weight = ((1.0 - p).max(1e-3) / (1.0 - q).max(1e-3)).clamp(1e-4, 7.0);
                done.entry(history.clone()).or_insert((f64::NAN, 1.0)).1 = weight;
            }
        }
        done
    }
}

/// Likelihood in the kept model: longest known n-gram with the back-off weights of the histories passed over.
fn look_up(done: &HashMap<Gram, (f64, f64)>, gram: &[u16]) -> f64 {
    let mut weight = 1.0;
    for from in 0..gram.len() {
        if let Some((p, _)) = done.get(&gram[from..]).filter(|(p, _)| !p.is_nan()) {
            return weight * p;
        }
        weight *= done.get(&gram[from..gram.len() - 1]).map_or(1.0, |(_, b)| *b);
    }
    weight * 1e-7
}

/// The layout is told in data/src/guess/table.rs.
fn write_model(chunks: &[Chunk], grams: &HashMap<Gram, (f64, f64)>) -> Vec<u8> {
    let mut bytes = CHUNKS_MAGIC.to_vec();
    bytes.extend((chunks.len() as u16).to_le_bytes());
    for chunk in chunks {
        bytes.extend([chunk[0], chunk.len() as u8 - 1]);
        bytes.extend(&chunk[1..]);
    }
    let mut rows: Vec<(u32, [u8; 2])> = Vec::new();
    for (gram, (p, backoff)) in grams {
        // A history that is not itself kept has no likelihood: the largest minus log stands for it.
        let minus_log = if p.is_nan() {
            255.0
        } else {
            (-p.ln() * 16.0).round().clamp(0.0, 255.0)
        };
        let backoff = (-backoff.ln() * 16.0 + 32.0).round().clamp(0.0, 255.0);
        rows.push((chunk_hash(gram), [minus_log as u8, backoff as u8]));
    }
    rows.sort();
    bytes.extend((rows.len() as u32).to_le_bytes());
    for bucket in 0..=4096_u32 {
        let before = rows.partition_point(|(hash, _)| (hash >> 20) < bucket);
        bytes.extend((before as u32).to_le_bytes());
    }
    for (hash, [likelihood, backoff]) in rows {
        bytes.extend(((hash >> 4) as u16).to_le_bytes());
        bytes.extend([likelihood, backoff]);
    }
    bytes
}

/// For each number of vowels and ending of up to four letters: the vowel stressed most, where shorter endings say otherwise.
fn stress_table() -> String {
    let mut counts: BTreeMap<(usize, Vec<u8>), BTreeMap<usize, usize>> = BTreeMap::new();
    for entry in lexicon::words().filter(|e| !held_out(e.spelling())) {
        let letters: Letters = entry.spelling().bytes().filter(u8::is_ascii_lowercase).collect();
        let Some(said) = entry.variants().next() else { continue };
        let pairs = said
            .sounds()
            .iter()
            .zip(said.stress())
            .filter(|(s, _): &(&Sound, _)| s.is_vowel());
        let marks: Vec<u8> = pairs.map(|(_, &m)| m).collect();
        let Some(main) = marks.iter().position(|&m| m == 1).filter(|_| marks.len() > 1) else {
            continue;
        };
        for len in 0..=4.min(letters.len()) {
            let key = (marks.len(), letters[letters.len() - len..].to_vec());
            *counts.entry(key).or_default().entry(main).or_default() += 1;
        }
    }
    let top = |c: &BTreeMap<usize, usize>| {
        c.iter()
            .max_by_key(|(at, n)| (**n, usize::MAX - **at))
            .map(|(at, _)| *at)
    };
    let mut text = String::from(
        "# Made by data/build-lexicon/train_guess.rs: vowels in the word, its last letters, stressed vowel from 0.\n",
    );
    let mut known: HashMap<(usize, Vec<u8>), usize> = HashMap::new();
    let mut keys: Vec<_> = counts.keys().collect();
    keys.sort_by_key(|(vowels, ending)| (ending.len(), *vowels, ending.clone()));
    for key in keys {
        let (vowels, ending) = key;
        let Some(at) = top(&counts[key]).filter(|_| counts[key].values().sum::<usize>() >= 6) else {
            continue;
        };
        let shorter = (1..=ending.len()).find_map(|cut| known.get(&(*vowels, ending[cut..].to_vec())).copied());
        if shorter != Some(at) {
            known.insert(key.clone(), at);
            writeln!(text, "{vowels}\t{}\t{at}", String::from_utf8_lossy(ending)).expect("a string takes all");
        }
    }
    text
}
