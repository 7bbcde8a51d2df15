//! Forward sums over all words at once, on the tree of their beginnings.

use soundbead_data::{Rules, Sound};

use super::vocabulary::{RAREST, Vocabulary};
use super::{BlindCalibration, Linear, MOST};
use crate::ear::model::{CLASSES, SILENCE};

/// Beginnings that are less probable than this beside the best one are given up. Over a hundred recordings of words the
/// probability of a count then moved by 0.001 in the mean, and by 0.02 at most.
pub const GIVEN_UP: f32 = 1e-6;

/// What leaves a sound wakes the sounds after it from this share of what is given up: a little earlier than they can matter.
const WAKE_AT: f32 = 0.2;

/// What the words give.
pub struct WordCounts {
    /// `counts[k]`: probability of `k` sounds.
    pub counts: [f32; MOST + 1],
    /// Natural log of the whole evidence.
    pub total: f64,
    /// The likeliest word's sounds.
    pub best: Vec<Sound>,
}

/// The states of one node: the first frame of its sound, the others, the silence after a word that ends there.
#[derive(Clone, Copy, Default)]
struct NodeState {
    first: f32,
    rest: f32,
    done: f32,
}

impl NodeState {
    fn top(&self) -> f32 {
        self.first.max(self.rest).max(self.done)
    }
}

/// The tree while frames go by. Only nodes that are alive are walked, a bit for each.
struct TreeWalk<'a> {
    v: &'a Vocabulary,
    l: &'a Linear,
    states: Vec<NodeState>,
    alive: Vec<u64>,
    silence: f32,
    /// The greatest state of the frame before, and the log of all that was divided out so far.
    top: f32,
    log: f64,
    given_up: f32,
}

impl TreeWalk<'_> {
    fn step(&mut self, t: usize) {
        let open = if t == 0 {
            1.0
        } else {
            self.silence * self.l.leave[SILENCE]
        };
        let least = self.given_up * self.top;
        if open > least {
            self.wake(0..self.v.roots);
        }
        // The best state is brought to one as it goes on.
        let scale = 1.0 / self.top.max(f32::MIN_POSITIVE);
        self.log -= f64::from(scale.ln());
        let row = self.l.rows[t].map(|e| e * scale);
        let quiet = if t == 0 { 0.0 } else { self.l.stay[SILENCE] };
        self.top = 0.0;
        // Children come after their parents: walked backwards, each sees its parent as it was a frame ago.
        for word in (0..self.alive.len()).rev() {
            let mut bits = self.alive[word];
            while bits != 0 {
                let bit = 63 - bits.leading_zeros();
                bits ^= 1 << bit;
                let i = word as u32 * 64 + bit;
                match self.moved(i, open, least, &row, quiet) {
                    Some(left) if left > WAKE_AT * self.given_up => self.wake(self.v.children(i)),
                    Some(_) => {}
                    None => self.alive[word] &= !(1 << bit),
                }
            }
        }
        self.silence *= row[SILENCE] * if t == 0 { 1.0 } else { self.l.stay[SILENCE] };
        self.top = self.top.max(self.silence);
    }

    /// Takes a node through a frame; what may leave its sound after it. None if the node is hopeless.
    fn moved(&mut self, i: u32, open: f32, least: f32, row: &[f32; CLASSES], quiet: f32) -> Option<f32> {
        let (node, l) = (self.v.nodes[i as usize], self.l);
        let from = match self.v.nodes.get(node.parent as usize) {
            Some(parent) => self.states[node.parent as usize].rest * l.leave[usize::from(parent.class)],
            None => open,
        };
        let (class, s) = (usize::from(node.class), &mut self.states[i as usize]);
        if s.top().max(from) <= least {
            *s = NodeState::default();
            return None;
        }
        if node.is_word {
            s.done = (s.done * quiet + s.rest * l.leave[class]) * row[SILENCE];
        }
        s.rest = (s.rest * l.stay[class] + s.first) * row[class];
        s.first = from * l.enter[class] * row[class];
        self.top = self.top.max(s.top());
        Some(s.rest * l.leave[class])
    }

    fn wake(&mut self, nodes: std::ops::Range<u32>) {
        nodes.for_each(|i| self.alive[i as usize / 64] |= 1 << (i % 64));
    }
}

/// Sums over the tree's words. `given_up`: see [`GIVEN_UP`]; 0 keeps every beginning.
pub fn forward(v: &Vocabulary, l: &Linear, rules: &Rules, c: &BlindCalibration, given_up: f32) -> WordCounts {
    let n = v.nodes.len();
    let mut walk = TreeWalk {
        v,
        l,
        states: vec![NodeState::default(); n],
        alive: vec![0; n.div_ceil(64)],
        silence: 1.0,
        top: 1.0,
        log: l.log_scale,
        given_up,
    };
    (0..l.rows.len()).for_each(|t| walk.step(t));
    let weight = |zipfs: &[f32]| -> f32 { zipfs.iter().map(|z| 10f32.powf(c.frequency * (z - RAREST))).sum() };
    let mut counts = [0.0f32; MOST + 1];
    let (mut sum, mut best) = (0.0f32, (0.0f32, u32::MAX));
    for (i, s) in (0..)
        .zip(&walk.states)
        .filter(|(i, s)| v.nodes[*i as usize].is_word && s.top() > 0.0)
    {
        let p = (s.done + s.rest * l.leave[usize::from(v.nodes[i as usize].class)]) * weight(v.zipfs(i));
        if p > 0.0 {
            counts[rules.count(&v.sounds(i), &[]).min(MOST)] += p;
            sum += p;
        }
        if p > best.0 {
            best = (p, i);
        }
    }
    let sum = sum.max(f32::MIN_POSITIVE);
    WordCounts {
        counts: counts.map(|p| p / sum),
        total: walk.log + f64::from(sum.ln()) - f64::from(v.weight(c.frequency).ln()),
        best: v.sounds(best.1),
    }
}
