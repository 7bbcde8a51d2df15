//! Forward sums over all words at once, on the tree of their beginnings.

use soundbead_data::{Rules, Sound};

use super::vocabulary::{RAREST, Vocabulary};
use super::{BlindCalibration, Linear, MOST};
use crate::model::SILENCE;

/// Beginnings that are less probable than this beside the best one are given up (about 20 nepers down; a word that
/// had fallen so far behind has not come back in any recording that was tried).
pub const GIVEN_UP: f32 = 2e-9;

/// What the words give.
pub struct Words {
    /// `counts[k]`: probability of `k` sounds.
    pub counts: [f32; MOST + 1],
    /// Natural log of the whole evidence.
    pub total: f64,
    /// The likeliest word's sounds.
    pub best: Vec<Sound>,
}

/// The states of one node: the first frame of its sound, the others, the silence after a word that ends there.
#[derive(Clone, Copy, Default)]
struct State {
    first: f32,
    rest: f32,
    done: f32,
}

/// The tree while frames go by. Only nodes that are alive are walked.
struct Walk<'a> {
    v: &'a Vocabulary,
    l: &'a Linear,
    states: Vec<State>,
    alive: Vec<u32>,
    is_alive: Vec<bool>,
    /// What left each node's sound in the last frame, in the order of `alive` as it was then.
    left: Vec<f32>,
    silence: f32,
    log: f64,
    given_up: f32,
}

impl Walk<'_> {
    fn wake(&mut self, nodes: std::ops::Range<u32>) {
        for node in nodes {
            if !std::mem::replace(&mut self.is_alive[node as usize], true) {
                self.alive.push(node);
            }
        }
    }

    fn step(&mut self, t: usize) {
        let (row, leave) = (&self.l.rows[t], &self.l.leave);
        let open = if t == 0 { 1.0 } else { self.silence * leave[SILENCE] };
        let quiet_stay = if t == 0 { 0.0 } else { self.l.stay[SILENCE] };
        for k in 0..self.alive.len() {
            let node = &self.v.nodes[self.alive[k] as usize];
            let left = self.states[self.alive[k] as usize].rest * leave[usize::from(node.class)];
            self.left[self.alive[k] as usize] = left;
            if left > self.given_up {
                self.wake(node.children.clone());
            }
        }
        if open > self.given_up {
            self.wake(0..self.v.roots);
        }
        let mut top = 0.0f32;
        for &i in &self.alive {
            let node = &self.v.nodes[i as usize];
            let (class, s) = (usize::from(node.class), &mut self.states[i as usize]);
            let from = self.left.get(node.parent as usize).copied().unwrap_or(open);
            if !node.words.is_empty() {
                s.done = (s.done * quiet_stay + self.left[i as usize]) * row[SILENCE];
            }
            s.rest = (s.rest * self.l.stay[class] + s.first) * row[class];
            s.first = from * self.l.enter[class] * row[class];
            top = top.max(s.rest).max(s.first).max(s.done);
        }
        self.silence *= row[SILENCE] * if t == 0 { 1.0 } else { self.l.stay[SILENCE] };
        self.scale(1.0 / top.max(self.silence).max(f32::MIN_POSITIVE));
    }

    /// Brings the best state to one and lets go of the hopeless.
    fn scale(&mut self, scale: f32) {
        self.log -= f64::from(scale.ln());
        self.silence *= scale;
        let (states, is_alive, left, least) = (&mut self.states, &mut self.is_alive, &mut self.left, self.given_up);
        self.alive.retain(|&i| {
            let s = &mut states[i as usize];
            (s.first, s.rest, s.done) = (s.first * scale, s.rest * scale, s.done * scale);
            let keep = s.first.max(s.rest).max(s.done) > least;
            if !keep {
                *s = State::default();
                (is_alive[i as usize], left[i as usize]) = (false, 0.0);
            }
            keep
        });
    }
}

/// Sums over the tree's words. `given_up`: see [`GIVEN_UP`]; 0 keeps every beginning.
pub fn forward(v: &Vocabulary, l: &Linear, rules: &Rules, c: &BlindCalibration, given_up: f32) -> Words {
    let n = v.nodes.len();
    let mut walk = Walk {
        v,
        l,
        states: vec![State::default(); n],
        alive: Vec::new(),
        is_alive: vec![false; n],
        left: vec![0.0; n],
        silence: 1.0,
        log: l.log_scale,
        given_up,
    };
    (0..l.rows.len()).for_each(|t| walk.step(t));
    let weight = |zipfs: &[f32]| -> f32 { zipfs.iter().map(|z| 10f32.powf(c.frequency * (z - RAREST))).sum() };
    let mut counts = [0.0f32; MOST + 1];
    let (mut sum, mut best) = (0.0f32, (0.0f32, u32::MAX));
    for &i in &walk.alive {
        let (node, s) = (&v.nodes[i as usize], walk.states[i as usize]);
        let zipfs = &v.zipfs[node.words.start as usize..node.words.end as usize];
        let p = (s.done + s.rest * l.leave[usize::from(node.class)]) * weight(zipfs);
        if p > 0.0 {
            counts[rules.count(&v.sounds(i), &[]).min(MOST)] += p;
            sum += p;
        }
        if p > best.0 {
            best = (p, i);
        }
    }
    let sum = sum.max(f32::MIN_POSITIVE);
    Words {
        counts: counts.map(|p| p / sum),
        total: walk.log + f64::from(sum.ln()) - f64::from(v.weight(c.frequency).ln()),
        best: v.sounds(best.1),
    }
}
