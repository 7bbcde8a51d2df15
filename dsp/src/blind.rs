//! Counting without a target: how many sounds, whatever the word.
//!
//! Two ways of hearing are mixed: words of the dictionary, all of them at once on a tree of shared beginnings and
//! weighed by how common they are; and any sounds in a row, weighed by which follow which in English. Both are forward
//! sums, kept as scaled probabilities.

use std::sync::OnceLock;

use soundbead_data::{Rules, Sound, lexicon};

use crate::align::Lattice;
use crate::model::{CLASSES, PathWeights, SILENCE, class_of};

/// Most sounds that are counted.
pub const MOST: usize = 16;
/// Words rarer than this on the Zipf scale (1 in 10 to the 6) are left to the row of any sounds.
const RAREST: f32 = 3.0;

/// How the two ways are weighed; set on speakers kept from training.
#[derive(Clone, Copy, Debug)]
pub struct BlindCalibration {
    /// Power on the frequency of words: 0 makes every word as likely.
    pub frequency: f32,
    /// Natural log of the share of readings that are no common word.
    pub strange: f32,
    /// Power on the likelihood that one sound follows another.
    pub follow: f32,
    /// Factor on the evidence.
    pub temperature: f32,
}

/// A node of the tree: a sound after its parent's.
struct Node {
    parent: u32,
    class: u8,
}

/// The words on a tree, and which sounds follow which.
pub struct Vocabulary {
    nodes: Vec<Node>,
    /// Node where the word ends, its Zipf frequency, its sounds as a range of `sounds`.
    words: Vec<(u32, f32, (u32, u32))>,
    sounds: Vec<Sound>,
    /// Natural log of each class after each; silence stands for the start and the end.
    follow: Vec<[f32; CLASSES]>,
}

impl Vocabulary {
    /// The vocabulary of the dictionary, made on first use and kept.
    pub fn shared() -> &'static Vocabulary {
        static SHARED: OnceLock<Vocabulary> = OnceLock::new();
        SHARED.get_or_init(Vocabulary::build)
    }

    fn build() -> Vocabulary {
        let mut rows: Vec<(Vec<Sound>, f32)> = Vec::new();
        for entry in lexicon::words().filter(|e| e.zipf() >= RAREST) {
            rows.extend(entry.variants().map(|p| (p.sounds().to_vec(), entry.zipf())));
        }
        rows.retain(|(sounds, _)| !sounds.is_empty() && sounds.len() <= MOST);
        rows.sort_by(|a, b| a.0.cmp(&b.0));
        let mut made = Vocabulary {
            nodes: Vec::new(),
            words: Vec::new(),
            sounds: Vec::new(),
            follow: Vec::new(),
        };
        let mut counts = vec![[0.3f32; CLASSES]; CLASSES];
        let mut open: Vec<(Sound, u32)> = Vec::new();
        for (sounds, zipf) in &rows {
            let shared = open.iter().zip(sounds).take_while(|((a, _), b)| a == *b).count();
            open.truncate(shared);
            for &sound in &sounds[shared..] {
                let parent = open.last().map_or(u32::MAX, |(_, node)| *node);
                made.nodes.push(Node {
                    parent,
                    class: class_of(sound) as u8,
                });
                open.push((sound, made.nodes.len() as u32 - 1));
            }
            let first = made.sounds.len() as u32;
            made.sounds.extend(sounds);
            let node = made.nodes.len() as u32 - 1;
            made.words.push((
                open.last().map_or(node, |(_, n)| *n),
                *zipf,
                (first, first + sounds.len() as u32),
            ));
            // Common words shape what is expected to follow what, but not in full proportion.
            let weight = 10f32.powf(0.4 * (zipf - RAREST));
            let classes = sounds.iter().map(|s| class_of(*s)).chain([SILENCE]);
            classes.fold(SILENCE, |before, now| {
                counts[before][now] += weight;
                now
            });
        }
        counts[SILENCE][SILENCE] = 0.0;
        made.follow = counts
            .iter()
            .map(|row| {
                let sum: f32 = row.iter().sum();
                row.map(|c| (c / sum).max(1e-9).ln())
            })
            .collect();
        made
    }

    fn follow_weights(&self, c: &BlindCalibration) -> Vec<[f32; CLASSES]> {
        self.follow.iter().map(|r| r.map(|x| (x * c.follow).exp())).collect()
    }

    fn word_sounds(&self, range: (u32, u32)) -> &[Sound] {
        &self.sounds[range.0 as usize..range.1 as usize]
    }
}

/// What is heard without a target.
#[derive(Clone, Debug)]
pub struct Blind {
    /// `counts[k]`: probability of `k` sounds.
    pub counts: [f32; MOST + 1],
    /// Natural log of the whole evidence.
    pub total: f64,
    /// The most probable row of sounds of the most probable length.
    pub best: Vec<Sound>,
}

/// What is heard as any sounds in a row.
#[derive(Clone, Debug)]
pub struct Row {
    /// `counts[k]`: probability of `k` sounds.
    pub counts: [f32; MOST + 1],
    /// Natural log of the whole evidence.
    pub total: f64,
}

/// Evidence as scaled probabilities, and the path's weights with it.
struct Linear {
    rows: Vec<[f32; CLASSES]>,
    log_scale: f64,
    stay: [f32; CLASSES],
    leave: [f32; CLASSES],
    enter: [f32; CLASSES],
}

impl Linear {
    fn new(lattice: &Lattice<'_>, path: &PathWeights, temperature: f32) -> Linear {
        let mut log_scale = 0.0f64;
        let rows = (0..lattice.len())
            .map(|t| {
                let row = lattice.row(t).map(|v| v * temperature);
                let top = row.iter().fold(f32::MIN, |m, v| m.max(*v));
                log_scale += f64::from(top);
                row.map(|v| (v - top).exp())
            })
            .collect();
        let exp = |w: &[f32; CLASSES]| w.map(|v| (v * temperature).exp());
        Linear {
            rows,
            log_scale,
            stay: exp(&path.stay),
            leave: exp(&path.leave),
            enter: exp(&path.enter),
        }
    }
}

/// Counts the sounds. `lattice` must hold at least one frame.
pub fn count(lattice: &Lattice<'_>, path: &PathWeights, rules: &Rules, calibration: &BlindCalibration) -> Blind {
    let vocabulary = Vocabulary::shared();
    let linear = Linear::new(lattice, path, calibration.temperature);
    let (words, word_total, best_word) = words_forward(vocabulary, &linear, rules, calibration);
    let row = row_forward(vocabulary, &linear, calibration);
    let word_log = word_total + f64::from((1.0 - calibration.strange.exp()).ln());
    let row_log = row.total + f64::from(calibration.strange);
    let top = word_log.max(row_log);
    let (a, b) = ((word_log - top).exp() as f32, (row_log - top).exp() as f32);
    let counts: [f32; MOST + 1] = std::array::from_fn(|k| (a * words[k] + b * row.counts[k]) / (a + b));
    let best = if a >= b && !best_word.is_empty() {
        best_word
    } else {
        let most = (1..=MOST)
            .max_by(|a, b| row.counts[*a].total_cmp(&row.counts[*b]))
            .unwrap_or(1);
        row_best(&linear, &vocabulary.follow_weights(calibration), most)
    };
    Blind {
        counts,
        total: top + f64::from((a + b).ln()),
        best,
    }
}

/// Counts the sounds as any row of them, words or not: quick, and on the same scale as [`Lattice::score`].
pub fn row(lattice: &Lattice<'_>, path: &PathWeights, calibration: &BlindCalibration) -> Row {
    row_forward(Vocabulary::shared(), &Linear::new(lattice, path, 1.0), calibration)
}

/// Forward sums over the tree. Returns the counts' probabilities, the log of the evidence, and the likeliest word.
fn words_forward(
    v: &Vocabulary,
    l: &Linear,
    rules: &Rules,
    c: &BlindCalibration,
) -> ([f32; MOST + 1], f64, Vec<Sound>) {
    let n = v.nodes.len();
    let (mut first, mut rest) = (vec![0.0f32; n], vec![0.0f32; n]);
    let weights: Vec<f32> = v
        .words
        .iter()
        .map(|w| 10f32.powf(c.frequency * (w.1 - RAREST)))
        .collect();
    let all: f32 = weights.iter().sum();
    // What each word gathers: its own sound's last state, and the silence after it, summed by word.
    let mut done = vec![0.0f32; v.words.len()];
    let (mut silence, mut log) = (1.0f32, l.log_scale);
    for (t, row) in l.rows.iter().enumerate() {
        let open = if t == 0 { 1.0 } else { silence * l.leave[SILENCE] };
        for (k, w) in v.words.iter().enumerate() {
            let class = usize::from(v.nodes[w.0 as usize].class);
            let stay = if t > 0 { l.stay[SILENCE] } else { 0.0 };
            done[k] = (done[k] * stay + rest[w.0 as usize] * l.leave[class]) * row[SILENCE];
        }
        // Children come after their parents, so walking backwards sees each parent as it was a frame ago.
        let mut top = 0.0f32;
        for i in (0..n).rev() {
            let node = &v.nodes[i];
            let class = usize::from(node.class);
            let from = match node.parent {
                u32::MAX => open,
                p => rest[p as usize] * l.leave[usize::from(v.nodes[p as usize].class)],
            };
            rest[i] = (rest[i] * l.stay[class] + first[i]) * row[class];
            first[i] = from * l.enter[class] * row[class];
            top = top.max(rest[i]).max(first[i]);
        }
        silence *= row[SILENCE] * if t == 0 { 1.0 } else { l.stay[SILENCE] };
        top = done.iter().fold(top.max(silence), |m, d| m.max(*d));
        let scale = 1.0 / top.max(f32::MIN_POSITIVE);
        log -= f64::from(scale.ln());
        first
            .iter_mut()
            .chain(&mut rest)
            .chain(&mut done)
            .for_each(|x| *x *= scale);
        silence *= scale;
    }
    let mut counts = [0.0f32; MOST + 1];
    let (mut sum, mut best) = (0.0f32, (0.0f32, &[][..]));
    for ((w, done), weight) in v.words.iter().zip(&done).zip(&weights) {
        let class = usize::from(v.nodes[w.0 as usize].class);
        let p = (done + rest[w.0 as usize] * l.leave[class]) * weight / all;
        let sounds = v.word_sounds(w.2);
        counts[rules.count(sounds, &[]).min(MOST)] += p;
        sum += p;
        if p > best.0 {
            best = (p, sounds);
        }
    }
    let sum = sum.max(f32::MIN_POSITIVE);
    (counts.map(|p| p / sum), log + f64::from(sum.ln()), best.1.to_vec())
}

/// Forward sums over any sounds in a row, a layer for each count.
fn row_forward(v: &Vocabulary, l: &Linear, c: &BlindCalibration) -> Row {
    let follow = v.follow_weights(c);
    let mut first = [[0.0f32; CLASSES]; MOST + 1];
    let mut rest = [[0.0f32; CLASSES]; MOST + 1];
    let mut done = [0.0f32; MOST + 1];
    let (mut silence, mut log) = (1.0f32, l.log_scale);
    for (t, row) in l.rows.iter().enumerate() {
        let open = if t == 0 { 1.0 } else { silence * l.leave[SILENCE] };
        let mut top = 0.0f32;
        for k in (1..=MOST).rev() {
            let mut enter = [0.0f32; CLASSES];
            if k == 1 {
                (1..CLASSES).for_each(|q| enter[q] = open * follow[SILENCE][q]);
            } else {
                for p in (1..CLASSES).filter(|&p| rest[k - 1][p] > 1e-20) {
                    let left = rest[k - 1][p] * l.leave[p];
                    (1..CLASSES).for_each(|q| enter[q] += left * follow[p][q]);
                }
            }
            let left: f32 = (1..CLASSES).map(|p| rest[k][p] * l.leave[p] * follow[p][SILENCE]).sum();
            done[k] = (done[k] * l.stay[SILENCE] + left) * row[SILENCE];
            for q in 1..CLASSES {
                rest[k][q] = (rest[k][q] * l.stay[q] + first[k][q]) * row[q];
                first[k][q] = enter[q] * l.enter[q] * row[q];
                top = top.max(rest[k][q]).max(first[k][q]);
            }
            top = top.max(done[k]);
        }
        silence *= row[SILENCE] * if t == 0 { 1.0 } else { l.stay[SILENCE] };
        let scale = 1.0 / top.max(silence).max(f32::MIN_POSITIVE);
        log -= f64::from(scale.ln());
        first
            .iter_mut()
            .chain(&mut rest)
            .flatten()
            .chain(&mut done)
            .for_each(|x| *x *= scale);
        silence *= scale;
    }
    let mut counts: [f32; MOST + 1] = std::array::from_fn(|k| {
        done[k]
            + (1..CLASSES)
                .map(|p| rest[k][p] * l.leave[p] * follow[p][SILENCE])
                .sum::<f32>()
    });
    counts[0] = 0.0;
    let sum = counts.iter().sum::<f32>().max(f32::MIN_POSITIVE);
    let counts = counts.map(|p| p / sum);
    Row {
        counts,
        total: log + f64::from(sum.ln()),
    }
}

/// The single best row of exactly `many` sounds (Viterbi).
fn row_best(l: &Linear, follow: &[[f32; CLASSES]], many: usize) -> Vec<Sound> {
    let ln = |x: f32| x.max(1e-30).ln();
    let width = (many + 1) * CLASSES;
    let (mut first, mut rest) = (vec![f32::MIN / 4.0; width], vec![f32::MIN / 4.0; width]);
    // Where the sound of each first state came from, and what started each last state: (frame, class) trails.
    let mut origin: Vec<Vec<u8>> = Vec::new();
    let (mut first_at, mut rest_at) = (vec![0u32; width], vec![0u32; width]);
    let (mut silence, mut end) = (0.0f32, (f32::MIN, 0usize, 0u32));
    let mut begun: Vec<Vec<u32>> = Vec::new();
    for (t, row) in l.rows.iter().enumerate() {
        let e = row.map(ln);
        let mut from = vec![0u8; width];
        let mut from_at = vec![0u32; width];
        for k in (1..=many).rev() {
            let mut best_entry = [(f32::MIN / 4.0, 0usize); CLASSES];
            for (q, slot) in best_entry.iter_mut().enumerate().skip(1) {
                if k == 1 {
                    *slot = (
                        silence + if t == 0 { 0.0 } else { ln(l.leave[SILENCE]) } + ln(follow[SILENCE][q]),
                        0,
                    );
                } else {
                    for p in 1..CLASSES {
                        let value = rest[(k - 1) * CLASSES + p] + ln(l.leave[p]) + ln(follow[p][q]);
                        if value > slot.0 {
                            *slot = (value, p);
                        }
                    }
                }
            }
            for q in 1..CLASSES {
                let i = k * CLASSES + q;
                if first[i] > rest[i] + ln(l.stay[q]) {
                    (rest[i], rest_at[i]) = (first[i] + e[q], first_at[i]);
                } else {
                    rest[i] += ln(l.stay[q]) + e[q];
                }
                first[i] = best_entry[q].0 + ln(l.enter[q]) + e[q];
                first_at[i] = t as u32;
                from[i] = best_entry[q].1 as u8;
                from_at[i] = if k == 1 {
                    0
                } else {
                    rest_at[(k - 1) * CLASSES + best_entry[q].1]
                };
            }
        }
        end.0 += ln(l.stay[SILENCE]);
        for (q, next) in follow.iter().enumerate().skip(1) {
            let i = many * CLASSES + q;
            let value = rest[i] + ln(l.leave[q]) + ln(next[SILENCE]);
            if value > end.0 {
                end = (value, q, rest_at[i]);
            }
        }
        end.0 += e[SILENCE];
        silence += e[SILENCE] + if t == 0 { 0.0 } else { ln(l.stay[SILENCE]) };
        origin.push(from);
        begun.push(from_at);
    }
    for (q, next) in follow.iter().enumerate().skip(1) {
        let i = many * CLASSES + q;
        let value = rest[i] + ln(l.leave[q]) + ln(next[SILENCE]);
        if value > end.0 {
            end = (value, q, rest_at[i]);
        }
    }
    let (mut class, mut at) = (end.1, end.2 as usize);
    let mut out = Vec::new();
    for k in (1..=many).rev() {
        out.extend(class.checked_sub(1).and_then(Sound::from_index));
        let i = k * CLASSES + class;
        let before = usize::from(origin[at][i]);
        at = begun[at][i] as usize;
        class = before;
    }
    out.reverse();
    out
}
