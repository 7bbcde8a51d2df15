//! The sixth listener: for each sound of the word that was asked for, the share of trained listeners who would call it right.
//!
//! A network of its own (`training/listener.py` is its twin) that never learned from dictionary labels alone: it was taught what
//! five listeners marked. It hears pairs of frames (20 ms), is told which sound is expected where, pools what it finds over each
//! sound and weighs it with the sounds beside.

use super::dense::{Dense, Matrix};
use super::store::Store;
use super::{CLASSES, ConvBlock, ModelError, SILENCE, Space, add, bend, stack_three};
use crate::ear::frame::FRAME_WIDTH;

/// Shares of listeners: right, accented, wrong or left out.
const VOTES: usize = 3;
/// Pairs of frames before and after a sound that are looked at for it.
const AROUND: f32 = 2.0;
/// Ways of choosing among the frames of a sound.
const GLANCES: usize = 2;
/// Layers that weigh a sound with those beside it.
const BESIDE: usize = 2;
/// Pairs of frames looked at before and after the word, once it is known which is asked about: more than the network's reach (0.8 s)
/// would change nothing.
const ASKED_AROUND: usize = 40;
/// Least length of a sound in pairs of frames, for its logarithm.
const SHORTEST: f32 = 0.5;

/// What trained listeners would say of one sound.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Mark {
    /// The share who would call it right.
    pub right: f32,
    /// The share who would call it accented.
    pub accented: f32,
    /// The share who would call it wrong, or left out.
    pub wrong: f32,
    /// The share who would hear a sound added before it.
    pub added_before: f32,
    /// The share who would hear a sound added after it; means something for the last sound alone.
    pub added_after: f32,
}

/// What was heard before anything is asked about: a row of channels for each pair of frames, one after another.
#[derive(Clone, Debug, Default)]
pub struct HeardChannels(Vec<f32>);

/// The network.
pub struct Listener {
    width: usize,
    hidden: usize,
    /// Channels of a sound.
    sound: usize,
    stem: Dense,
    hearing: Vec<ConvBlock>,
    knowing: Vec<ConvBlock>,
    /// A row for each class: what expecting it adds.
    asked: Vec<f32>,
    glance: Dense,
    pool: Dense,
    /// A row for each class, added to what is pooled.
    pool_sound: Vec<f32>,
    pool_length: Vec<f32>,
    beside: Vec<Dense>,
    mark: Dense,
}

/// Where one sound is expected, in pairs of frames.
#[derive(Clone, Copy)]
struct Expected {
    class: usize,
    start: f32,
    end: f32,
}

impl Expected {
    /// How much of pair `t` lies within `around` of the sound, 0 to 1.
    fn covers(&self, t: usize, around: f32) -> f32 {
        let t = t as f32;
        ((t + 1.0).min(self.end + around) - t.max(self.start - around)).clamp(0.0, 1.0)
    }
}

impl Listener {
    /// Reads the network, where the file has it.
    ///
    /// # Errors
    /// When a tensor is missing or of another size.
    pub fn read(store: &Store<'_>) -> Result<Option<Listener>, ModelError> {
        if !store.has("listener.stem.bias") {
            return Ok(None);
        }
        let width = store.get("listener.stem.bias")?.len();
        let hidden = store.get("listener.block0.up_bias")?.len();
        let sound = store.get("listener.pool.bias")?.len();
        let blocks = |dilations: &str, first: usize| -> Result<Vec<ConvBlock>, ModelError> {
            let dilations = store.get(dilations)?;
            let block = |(i, d): (usize, &f32)| {
                store.block(&format!("listener.block{}", first + i), *d as usize, width, hidden)
            };
            dilations.iter().enumerate().map(block).collect()
        };
        let hearing = blocks("listener.hearing", 0)?;
        let knowing = blocks("listener.knowing", hearing.len())?;
        let beside = |i: usize| {
            let (weight, bias) = (format!("listener.beside{i}.weight"), format!("listener.beside{i}.bias"));
            store.dense(&weight, &bias, 3 * sound, sound)
        };
        Ok(Some(Listener {
            width,
            hidden,
            sound,
            stem: store.dense("listener.stem.weight", "listener.stem.bias", 6 * FRAME_WIDTH, width)?,
            hearing,
            knowing,
            asked: store.sized("listener.asked", CLASSES * width)?,
            glance: Dense::new(
                Matrix::Floats(store.sized("listener.glance", width * GLANCES)?),
                vec![0.0; GLANCES],
            ),
            pool: store.dense(
                "listener.pool.weight",
                "listener.pool.bias",
                (1 + GLANCES) * width,
                sound,
            )?,
            pool_sound: store.sized("listener.pool.sound", CLASSES * sound)?,
            pool_length: store.sized("listener.pool.length", sound)?,
            beside: (0..BESIDE).map(beside).collect::<Result<_, _>>()?,
            mark: store.dense("listener.mark.weight", "listener.mark.bias", sound, VOTES + 2)?,
        }))
    }

    /// A mark for each of `classes`, which lie at `cuts` (first and one past the last frame) in the frames that were `listened` to.
    pub fn marks(&self, listened: &HeardChannels, classes: &[usize], cuts: &[(usize, usize)]) -> Vec<Mark> {
        let (Some(first), Some(last)) = (cuts.first(), cuts.last()) else {
            return Vec::new();
        };
        let all = listened.0.len() / self.width;
        let begin = (first.0 / 2).saturating_sub(ASKED_AROUND).min(all);
        let end = (last.1.div_ceil(2) + ASKED_AROUND).min(all).max(begin);
        let pair = |frame: usize| frame as f32 / 2.0 - begin as f32;
        let expected = |(class, cut): (&usize, &(usize, usize))| Expected {
            class: *class,
            start: pair(cut.0),
            end: pair(cut.1),
        };
        let expected: Vec<Expected> = classes.iter().zip(cuts).map(expected).collect();
        let mut space = Space {
            x: listened.0[begin * self.width..end * self.width].to_vec(),
            ..Space::default()
        };
        let pairs = end - begin;
        self.expect(&expected, pairs, &mut space);
        let pooled = self.pooled(&expected, pairs, &mut space);
        let sounds = self.weighed(&expected, &pooled, &mut space);
        let mut logits = Vec::new();
        self.mark.apply(&sounds, expected.len(), &mut space.dense, &mut logits);
        logits.chunks_exact(VOTES + 2).map(mark_of).collect()
    }

    /// What is heard in `frames` (rows of [`FRAME_WIDTH`]), whatever is expected.
    pub fn hear(&self, frames: &[f32]) -> HeardChannels {
        let wide = 2 * FRAME_WIDTH;
        let pairs = frames.len().div_ceil(wide);
        let mut padded = frames.to_vec();
        padded.resize(pairs * wide, 0.0); // a frame too few for the last pair is zeros
        let mut space = Space::default();
        stack_three(&padded, pairs, wide, &mut space.stacked);
        self.stem.apply(&space.stacked, pairs, &mut space.dense, &mut space.x);
        bend(&mut space.x);
        for block in &self.hearing {
            block.add(pairs, self.width, self.hidden, &mut space);
        }
        HeardChannels(space.x)
    }

    /// Adds what is expected where, silence outside the word, and hears on in its light.
    fn expect(&self, expected: &[Expected], pairs: usize, space: &mut Space) {
        let row = |class: usize| &self.asked[class * self.width..(class + 1) * self.width];
        for (t, x) in space.x.chunks_exact_mut(self.width).enumerate() {
            let mut left = 1.0;
            for e in expected {
                let share = e.covers(t, 0.0);
                if share > 0.0 {
                    left -= share;
                    x.iter_mut().zip(row(e.class)).for_each(|(x, a)| *x += share * a);
                }
            }
            let silent = left.max(0.0);
            x.iter_mut().zip(row(SILENCE)).for_each(|(x, a)| *x += silent * a);
        }
        for block in &self.knowing {
            block.add(pairs, self.width, self.hidden, space);
        }
    }

    /// For each sound: the mean over its pairs of frames, and what each glance chooses among them and those around.
    fn pooled(&self, expected: &[Expected], pairs: usize, space: &mut Space) -> Vec<f32> {
        let (x, mut heat) = (&space.x, Vec::new());
        self.glance.apply(x, pairs, &mut space.dense, &mut heat);
        let mut out = Vec::with_capacity(expected.len() * (1 + GLANCES) * self.width);
        for e in expected {
            let share: Vec<f32> = (0..pairs).map(|t| e.covers(t, 0.0)).collect();
            let all = share.iter().sum::<f32>() + 1e-3;
            out.extend(self.weighted(x, |t| share[t] / all));
            for glance in 0..GLANCES {
                let near = |t: usize| e.covers(t, AROUND) > 0.0;
                let at = |t: usize| heat[t * GLANCES + glance];
                let top = (0..pairs).filter(|t| near(*t)).map(at).fold(f32::MIN, f32::max);
                let weight: Vec<f32> = (0..pairs)
                    .map(|t| if near(t) { (at(t) - top).exp() } else { 0.0 })
                    .collect();
                let all = weight.iter().sum::<f32>().max(f32::MIN_POSITIVE);
                out.extend(self.weighted(x, |t| weight[t] / all));
            }
        }
        out
    }

    /// The sum of rows of `x` by their weights.
    fn weighted(&self, x: &[f32], weight: impl Fn(usize) -> f32) -> Vec<f32> {
        let mut out = vec![0.0; self.width];
        for (t, row) in x.chunks_exact(self.width).enumerate() {
            let w = weight(t);
            if w > 0.0 {
                out.iter_mut().zip(row).for_each(|(o, x)| *o += w * x);
            }
        }
        out
    }

    /// Each sound's channels, weighed with those of the sounds beside it.
    fn weighed(&self, expected: &[Expected], pooled: &[f32], space: &mut Space) -> Vec<f32> {
        let n = expected.len();
        let mut z = Vec::new();
        self.pool.apply(pooled, n, &mut space.dense, &mut z);
        for (row, e) in z.chunks_exact_mut(self.sound).zip(expected) {
            let length = (e.end - e.start).max(SHORTEST).ln();
            let named = &self.pool_sound[e.class * self.sound..];
            for ((v, s), l) in row.iter_mut().zip(named).zip(&self.pool_length) {
                *v += s + length * l;
            }
        }
        bend(&mut z);
        let (mut stacked, mut found) = (Vec::new(), Vec::new());
        for layer in &self.beside {
            stack_three(&z, n, self.sound, &mut stacked);
            layer.apply(&stacked, n, &mut space.dense, &mut found);
            bend(&mut found);
            add(&mut z, &found);
        }
        z
    }
}

/// Logits to shares.
fn mark_of(logits: &[f32]) -> Mark {
    let top = logits[..VOTES].iter().fold(f32::MIN, |m, x| m.max(*x));
    let votes: [f32; VOTES] = std::array::from_fn(|i| (logits[i] - top).exp());
    let all: f32 = votes.iter().sum();
    let share = |logit: f32| 1.0 / (1.0 + (-logit).exp());
    Mark {
        right: votes[0] / all,
        accented: votes[1] / all,
        wrong: votes[2] / all,
        added_before: share(logits[VOTES]),
        added_after: share(logits[VOTES + 1]),
    }
}
