//! Any sounds in a row, a layer for each count: the sum over all of them, and the best one.

use soundbead_data::Sound;

use super::{Linear, MOST, RowCounts};
use crate::ear::model::{CLASSES, SILENCE};

/// A probability beside the best one that is not worth passing on: under the last digit of the sum.
const SPECK: f32 = 1e-20;
/// Probabilities are taken to be no less than this before their log, so that it is a number.
const LEAST: f32 = 1e-30;

type ClassRow = [f32; CLASSES];

/// Forward sums. `follow[p][q]`: how likely `q` is after `p`.
pub fn forward(l: &Linear, follow: &[ClassRow]) -> RowCounts {
    let mut first = [[0.0f32; CLASSES]; MOST + 1];
    let mut rest = [[0.0f32; CLASSES]; MOST + 1];
    let mut done = [0.0f32; MOST + 1];
    let (mut silence, mut log) = (1.0f32, l.log_scale);
    let ending = |rest: &ClassRow| -> f32 { (1..CLASSES).map(|p| rest[p] * l.leave[p] * follow[p][SILENCE]).sum() };
    for (t, row) in l.rows.iter().enumerate() {
        let open = if t == 0 { 1.0 } else { silence * l.leave[SILENCE] };
        let mut top = 0.0f32;
        // A sound takes two frames at least: further layers are still empty.
        for k in (1..=MOST.min(t / 2 + 1)).rev() {
            let enter = match k {
                1 => follow[SILENCE].map(|f| f * open),
                _ => entering(&rest[k - 1], l, follow),
            };
            done[k] = (done[k] * l.stay[SILENCE] + ending(&rest[k])) * row[SILENCE];
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
        let states = first.iter_mut().chain(&mut rest).flatten();
        states.chain(&mut done).for_each(|x| *x *= scale);
        silence *= scale;
    }
    let mut counts: [f32; MOST + 1] = std::array::from_fn(|k| done[k] + ending(&rest[k]));
    counts[0] = 0.0;
    let sum = counts.iter().sum::<f32>().max(f32::MIN_POSITIVE);
    RowCounts {
        counts: counts.map(|p| p / sum),
        total: log + f64::from(sum.ln()),
    }
}

fn entering(before: &ClassRow, l: &Linear, follow: &[ClassRow]) -> ClassRow {
    let mut enter = [0.0f32; CLASSES];
    for p in (1..CLASSES).filter(|&p| before[p] > SPECK) {
        let left = before[p] * l.leave[p];
        enter.iter_mut().zip(&follow[p]).for_each(|(e, f)| *e += left * f);
    }
    enter
}

/// Natural logs of all that a best way is made of.
struct LogWeights {
    rows: Vec<ClassRow>,
    stay: ClassRow,
    enter: ClassRow,
    /// `go[p][q]`: leaving `p` for `q`.
    go: Vec<ClassRow>,
}

impl LogWeights {
    fn new(l: &Linear, follow: &[ClassRow]) -> LogWeights {
        let ln = |x: &ClassRow| x.map(|v| v.max(LEAST).ln());
        let go = |(p, row): (usize, &ClassRow)| ln(row).map(|v| v + l.leave[p].max(LEAST).ln());
        LogWeights {
            rows: l.rows.iter().map(ln).collect(),
            stay: ln(&l.stay),
            enter: ln(&l.enter),
            go: follow.iter().enumerate().map(go).collect(),
        }
    }
}

/// The best way into one state: its value, and the frame at which its sound began.
#[derive(Clone, Copy)]
struct BestWay {
    value: f32,
    began: u32,
}

const NO_WAY: BestWay = BestWay {
    value: f32::MIN / 4.0,
    began: 0,
};

/// Where a sound that begins came from: the sound before it, and the frame at which that one began.
type CameFrom = (u8, u32);

/// The single best row of exactly `many` sounds (Viterbi).
pub fn best(l: &Linear, follow: &[ClassRow], many: usize) -> Vec<Sound> {
    let logs = LogWeights::new(l, follow);
    let mut first = vec![[NO_WAY; CLASSES]; many + 1];
    let mut rest = first.clone();
    // trail[t][k][q]: for sound q, k-th in the row, that begins at frame t.
    let mut trail: Vec<Vec<[CameFrom; CLASSES]>> = Vec::new();
    let (mut silence, mut end) = (0.0f32, (NO_WAY, 0usize));
    for (t, e) in logs.rows.iter().enumerate() {
        let mut came = vec![[(0, 0); CLASSES]; many + 1];
        let open = if t == 0 { 0.0 } else { silence };
        for k in (1..=many).rev() {
            for q in 1..CLASSES {
                let (value, from) = match k {
                    1 if t == 0 => (follow[SILENCE][q].max(LEAST).ln(), (0, 0)),
                    1 => (open + logs.go[SILENCE][q], (0, 0)),
                    _ => best_into(&rest[k - 1], &logs, q),
                };
                let (stays, begins) = (rest[k][q].value + logs.stay[q], first[k][q].value);
                rest[k][q] = BestWay {
                    value: begins.max(stays) + e[q],
                    began: if begins > stays {
                        first[k][q].began
                    } else {
                        rest[k][q].began
                    },
                };
                first[k][q] = BestWay {
                    value: value + logs.enter[q] + e[q],
                    began: t as u32,
                };
                came[k][q] = from;
            }
        }
        end.0.value += logs.stay[SILENCE];
        end = ended(end, &rest[many], &logs);
        end.0.value += e[SILENCE];
        silence += e[SILENCE] + if t == 0 { 0.0 } else { logs.stay[SILENCE] };
        trail.push(came);
    }
    end = ended(end, &rest[many], &logs);
    follow_back(&trail, end, many)
}

fn best_into(before: &[BestWay; CLASSES], logs: &LogWeights, q: usize) -> (f32, CameFrom) {
    let mut best = (NO_WAY.value, (0, 0));
    for (p, (way, go)) in before.iter().zip(&logs.go).enumerate().skip(1) {
        let value = way.value + go[q];
        if value > best.0 {
            best = (value, (p as u8, way.began));
        }
    }
    best
}

/// The better of having ended before and ending now.
fn ended(end: (BestWay, usize), last: &[BestWay; CLASSES], logs: &LogWeights) -> (BestWay, usize) {
    (1..CLASSES).fold(end, |best, q| {
        let value = last[q].value + logs.go[q][SILENCE];
        let began = last[q].began;
        if value > best.0.value {
            (BestWay { value, began }, q)
        } else {
            best
        }
    })
}

fn follow_back(trail: &[Vec<[CameFrom; CLASSES]>], end: (BestWay, usize), many: usize) -> Vec<Sound> {
    let (mut class, mut at) = (end.1, end.0.began as usize);
    let mut out = Vec::new();
    for k in (1..=many).rev() {
        out.extend(class.checked_sub(1).and_then(Sound::from_index));
        let (before, began) = trail[at][k][class];
        (class, at) = (usize::from(before), began as usize);
    }
    out.reverse();
    out
}
