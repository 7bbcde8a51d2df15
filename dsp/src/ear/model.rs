//! The acoustic model: frames in, log-probabilities of 39 sounds and silence out.
//!
//! Depthwise-separable convolutions with one recurrent layer both ways over time (`training/network.py` is its twin). Its
//! middle may work on pairs of frames. Everything runs on one CPU core, in space that is kept between calls.

mod dense;
mod listener;
mod paired;
mod store;

use std::fmt;

use multiversion::multiversion;
use safetensors::SafeTensors;
use soundbead_data::Sound;

use crate::ear::frame::FRAME_WIDTH;
use dense::{Dense, DenseSpace};
use listener::Listener;
pub use listener::{HeardChannels, Mark};
use paired::Paired;
use store::Store;

/// Outputs of the model: silence first, then the sounds in ARPAbet order.
pub const CLASSES: usize = Sound::COUNT + 1;
/// The class of silence.
pub const SILENCE: usize = 0;

/// The output class of a sound.
pub fn class_of(sound: Sound) -> usize {
    sound.index() + 1
}

/// The output classes of a row of sounds.
pub fn classes_of(sounds: &[Sound]) -> Vec<usize> {
    sounds.iter().map(|s| class_of(*s)).collect()
}

/// Frames that each convolution over time hears.
const TAPS: usize = 7;
/// Added to a variance before its root, as the training framework does.
const LEAST_VARIANCE: f32 = 1e-5;

/// The model could not be used: a broken build, never the user's fault.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum ModelError {
    /// The file is no `safetensors` file, or a tensor is missing, of another size or of another kind of number.
    Weights(String),
    /// The calibration is missing, of another format, lacks a number, or is not the one whose id the file gives.
    Calibration(String),
    /// The calibration belongs to other weights.
    Unmatched {
        /// SHA-256 of the weights that it belongs to.
        wanted: String,
        /// SHA-256 of the weights in the file.
        found: String,
    },
}

impl fmt::Display for ModelError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            ModelError::Weights(what) => write!(f, "the acoustic model's weights are unusable: {what}"),
            ModelError::Calibration(what) => write!(f, "the acoustic model's calibration is unusable: {what}"),
            ModelError::Unmatched { wanted, found } => write!(
                f,
                "the acoustic model's calibration belongs to the weights {}, and the file holds the weights {}",
                short(wanted),
                short(found)
            ),
        }?;
        f.write_str("; build the program again from a clean checkout")
    }
}

/// The first twelve digits of a hash, enough to tell one from another.
fn short(hash: &str) -> &str {
    hash.get(..12).unwrap_or(hash)
}

impl std::error::Error for ModelError {}

/// Log-probabilities over time.
#[derive(Clone, Debug, Default)]
pub struct Scores {
    /// One row of [`CLASSES`] natural logs for each 10 ms frame.
    pub rows: Vec<[f32; CLASSES]>,
}

struct ConvBlock {
    dilation: usize,
    depth: Vec<f32>,
    depth_bias: Vec<f32>,
    gain: Vec<f32>,
    offset: Vec<f32>,
    up: Dense,
    down: Dense,
}

/// The recurrent layer, whose findings are added to what it hears.
struct WholeWord {
    recurrent: Recurrent,
    join: Dense,
}

struct Recurrent {
    size: usize,
    input: [Dense; 2],
    state: [StateWeights; 2],
}

/// What a state adds to the next: `weight` is inputs x outputs, row by row. There is one row of inputs at a time.
struct StateWeights {
    weight: Vec<f32>,
    bias: Vec<f32>,
}

/// How hypotheses are scored, learned together with the network (`training/sequence.py`).
#[derive(Clone, Debug)]
pub struct PathWeights {
    /// Natural log of staying in each class for another frame.
    pub stay: [f32; CLASSES],
    /// Natural log of leaving each class.
    pub leave: [f32; CLASSES],
    /// Natural log added when a sound begins.
    pub enter: [f32; CLASSES],
    /// The weight of the evidence of one frame.
    pub scale: f32,
    /// Natural log of each class's share of the training frames.
    pub prior: [f32; CLASSES],
}

/// The network with its working space.
pub struct Model {
    width: usize,
    hidden: usize,
    stem: Dense,
    before: Vec<ConvBlock>,
    paired: Option<Paired>,
    word: WholeWord,
    after: Vec<ConvBlock>,
    out_gain: Vec<f32>,
    out_offset: Vec<f32>,
    out: Dense,
    path: PathWeights,
    listener: Option<Listener>,
    space: Space,
}

#[derive(Default)]
struct Space {
    stacked: Vec<f32>,
    x: Vec<f32>,
    y: Vec<f32>,
    h: Vec<f32>,
    feed: [Vec<f32>; 2],
    states: Vec<f32>,
    step: Vec<f32>,
    single: Vec<f32>,
    dense: DenseSpace,
}

impl Model {
    /// Reads weights from a `safetensors` file's bytes (floats of 16 or 32 bits, or 8-bit numbers with a scale for each
    /// column).
    ///
    /// # Errors
    /// When a tensor is missing or of another size than the rest imply.
    pub fn from_bytes(bytes: &[u8]) -> Result<Model, ModelError> {
        let file = SafeTensors::deserialize(bytes).map_err(|e| ModelError::Weights(e.to_string()))?;
        let store = Store(file);
        let width = store.get("stem.bias")?.len();
        let hidden = store.get("block0.up_bias")?.len();
        let dilations: Vec<usize> = store.get("shape.dilations")?.iter().map(|d| *d as usize).collect();
        let split = store.get("shape.before")?.first().map_or(0, |n| *n as usize);
        if split > dilations.len() {
            return Err(ModelError::Weights(
                "shape.before is larger than the number of blocks".into(),
            ));
        }
        let mut blocks = Vec::new();
        for (i, &dilation) in dilations.iter().enumerate() {
            blocks.push(store.block(&format!("block{i}"), dilation, width, hidden)?);
        }
        let after = blocks.split_off(split);
        let paired = Paired::read(&store, width)?;
        let heard = paired.as_ref().map_or(width, |p| p.width());
        Ok(Model {
            width,
            hidden,
            stem: store.dense("stem.weight", "stem.bias", 3 * FRAME_WIDTH, width)?,
            before: blocks,
            paired,
            word: store.whole_word(heard)?,
            after,
            out_gain: store.sized("out.gain", width)?,
            out_offset: store.sized("out.offset", width)?,
            out: store.dense("out.weight", "out.bias", width, CLASSES)?,
            path: store.path()?,
            listener: Listener::read(&store)?,
            space: Space::default(),
        })
    }

    /// How hypotheses are scored with this model's evidence.
    pub fn path(&self) -> &PathWeights {
        &self.path
    }

    /// What the listener hears in `frames`, whatever is asked about; nothing for a network without one.
    pub fn hear(&self, frames: &[f32]) -> HeardChannels {
        self.listener.as_ref().map(|l| l.hear(frames)).unwrap_or_default()
    }

    /// What trained listeners would say of each of `classes`, which lie at `cuts` in the frames: first and one past the last frame.
    /// `listened` is what [`Model::hear`] made of them. Empty for a network without a listener.
    pub fn marks(&self, listened: &HeardChannels, classes: &[usize], cuts: &[(usize, usize)]) -> Vec<Mark> {
        let listener = self.listener.as_ref();
        listener.map_or(Vec::new(), |l| l.marks(listened, classes, cuts))
    }

    /// Scores `frames` (rows of [`FRAME_WIDTH`], see [`crate::ear::frame::Mel::frames`]) into `out`.
    pub fn score(&mut self, frames: &[f32], out: &mut Scores) {
        let t = frames.len() / FRAME_WIDTH;
        out.rows.clear();
        if t == 0 {
            return;
        }
        let mut space = std::mem::take(&mut self.space);
        stack_three(frames, t, FRAME_WIDTH, &mut space.stacked);
        self.stem.apply(&space.stacked, t, &mut space.dense, &mut space.x);
        bend(&mut space.x);
        for block in &self.before {
            block.add(t, self.width, self.hidden, &mut space);
        }
        match &self.paired {
            Some(paired) => paired.add(t, &self.word, &mut space),
            None => self.word.add(t, self.width, &mut space),
        }
        for block in &self.after {
            block.add(t, self.width, self.hidden, &mut space);
        }
        for row in space.x.chunks_exact_mut(self.width) {
            normalise(row, &self.out_gain, &self.out_offset);
        }
        self.out.apply(&space.x, t, &mut space.dense, &mut space.y);
        out.rows.extend(space.y.chunks_exact(CLASSES).map(log_softmax));
        self.space = space;
    }
}

impl ConvBlock {
    fn add(&self, t: usize, width: usize, hidden: usize, space: &mut Space) {
        space.y.clear();
        space.y.resize(t * width, 0.0);
        depthwise(
            &space.x,
            &self.depth,
            &self.depth_bias,
            self.dilation,
            width,
            &mut space.y,
        );
        for row in space.y.chunks_exact_mut(width) {
            normalise(row, &self.gain, &self.offset);
        }
        self.up.apply(&space.y, t, &mut space.dense, &mut space.h);
        debug_assert_eq!(space.h.len(), t * hidden);
        bend(&mut space.h);
        self.down.apply(&space.h, t, &mut space.dense, &mut space.y);
        add(&mut space.x, &space.y);
    }
}

impl WholeWord {
    fn add(&self, t: usize, width: usize, space: &mut Space) {
        self.recurrent.run(t, width, space);
        self.join.apply(&space.states, t, &mut space.dense, &mut space.y);
        add(&mut space.x, &space.y);
    }
}

impl Recurrent {
    /// Leaves rows of 2 x size in `space.states`: the pass forwards, then the pass backwards.
    fn run(&self, t: usize, width: usize, space: &mut Space) {
        debug_assert_eq!(space.x.len(), t * width);
        space.states.clear();
        space.states.resize(t * 2 * self.size, 0.0);
        space.step.resize(4 * self.size, 0.0);
        for way in 0..2 {
            self.input[way].apply(&space.x, t, &mut space.dense, &mut space.feed[way]);
            let (state, step) = space.step.split_at_mut(self.size);
            state.fill(0.0);
            for i in 0..t {
                let at = if way == 0 { i } else { t - 1 - i };
                step.copy_from_slice(&self.state[way].bias);
                row_times(state, &self.state[way].weight, step);
                let feed = &space.feed[way][at * 3 * self.size..(at + 1) * 3 * self.size];
                gates(state, feed, step);
                let out = (at * 2 + way) * self.size;
                space.states[out..out + self.size].copy_from_slice(state);
            }
        }
    }
}

/// Three neighbouring rows of `width` side by side, zeros outside.
fn stack_three(rows: &[f32], t: usize, width: usize, out: &mut Vec<f32>) {
    out.clear();
    out.resize(t * 3 * width, 0.0);
    for (i, row) in out.chunks_exact_mut(3 * width).enumerate() {
        for k in 0..3 {
            let from = i + k;
            if (1..=t).contains(&from) {
                let source = &rows[(from - 1) * width..from * width];
                row[k * width..(k + 1) * width].copy_from_slice(source);
            }
        }
    }
}

fn log_softmax(row: &[f32]) -> [f32; CLASSES] {
    let top = row.iter().fold(f32::MIN, |m, x| m.max(*x));
    let sum: f32 = row.iter().map(|x| (x - top).exp()).sum();
    let norm = top + sum.ln();
    std::array::from_fn(|i| row[i] - norm)
}

/// Hard swish, `x * clamp(x + 3, 0, 6) / 6`.
#[multiversion(targets("x86_64+avx512f", "x86_64+avx2+fma"))]
fn bend(x: &mut [f32]) {
    x.iter_mut().for_each(|v| *v *= (*v + 3.0).clamp(0.0, 6.0) / 6.0);
}

#[multiversion(targets("x86_64+avx512f", "x86_64+avx2+fma"))]
fn add(x: &mut [f32], y: &[f32]) {
    x.iter_mut().zip(y).for_each(|(a, b)| *a += b);
}

#[multiversion(targets("x86_64+avx2+fma"))]
fn normalise(row: &mut [f32], gain: &[f32], offset: &[f32]) {
    let n = row.len() as f32;
    let mean = row.iter().sum::<f32>() / n;
    let spread = row.iter().map(|x| (x - mean) * (x - mean)).sum::<f32>() / n;
    let scale = 1.0 / (spread + LEAST_VARIANCE).sqrt();
    for ((x, g), o) in row.iter_mut().zip(gain).zip(offset) {
        *x = (*x - mean) * scale * g + o;
    }
}

/// Each channel by itself over time: `depth` is TAPS x width.
#[multiversion(targets("x86_64+avx512f", "x86_64+avx2+fma"))]
fn depthwise(x: &[f32], depth: &[f32], bias: &[f32], dilation: usize, width: usize, out: &mut [f32]) {
    let t = x.len() / width;
    for (i, row) in out.chunks_exact_mut(width).enumerate() {
        row.copy_from_slice(bias);
        for (k, taps) in depth.chunks_exact(width).enumerate() {
            let at = i + k * dilation;
            let reach = (TAPS / 2) * dilation;
            if at >= reach && at - reach < t {
                let source = &x[(at - reach) * width..(at - reach + 1) * width];
                for ((r, w), s) in row.iter_mut().zip(taps).zip(source) {
                    *r += w * s;
                }
            }
        }
    }
}

/// `out += row x matrix`, the matrix row by row.
#[multiversion(targets("x86_64+avx512f", "x86_64+avx2+fma"))]
fn row_times(row: &[f32], matrix: &[f32], out: &mut [f32]) {
    let width = out.len();
    // Four rows of the matrix at a time: a quarter of the passes over `out`.
    let (fours, rest) = row.as_chunks::<4>();
    for (x, weights) in fours.iter().zip(matrix.chunks_exact(4 * width)) {
        let (front, back) = weights.split_at(2 * width);
        let ((a, b), (c, d)) = (front.split_at(width), back.split_at(width));
        for ((((o, a), b), c), d) in out.iter_mut().zip(a).zip(b).zip(c).zip(d) {
            *o += (x[0] * a + x[1] * b) + (x[2] * c + x[3] * d);
        }
    }
    for (x, weights) in rest.iter().zip(matrix.chunks_exact(width).skip(4 * fours.len())) {
        out.iter_mut().zip(weights).for_each(|(o, w)| *o += x * w);
    }
}

/// One step of the gated unit (Cho et al. 2014, arXiv:1406.1078, reset applied after the product).
#[multiversion(targets("x86_64+avx512f", "x86_64+avx2+fma"))]
fn gates(state: &mut [f32], feed: &[f32], step: &[f32]) {
    let n = state.len();
    let (feed_reset, feed_update, feed_fresh) = (&feed[..n], &feed[n..2 * n], &feed[2 * n..3 * n]);
    let (step_reset, step_update, step_fresh) = (&step[..n], &step[n..2 * n], &step[2 * n..3 * n]);
    for i in 0..n {
        let reset = sigmoid(feed_reset[i] + step_reset[i]);
        let update = sigmoid(feed_update[i] + step_update[i]);
        // tanh(x) = 2 sigmoid(2x) - 1
        let fresh = 2.0 * sigmoid(2.0 * (feed_fresh[i] + reset * step_fresh[i])) - 1.0;
        state[i] = (1.0 - update) * fresh + update * state[i];
    }
}

#[inline(always)]
fn sigmoid(x: f32) -> f32 {
    1.0 / (1.0 + exp(-x))
}

/// `e^x` to seven digits, without a branch, so that eight are taken at once: `2^n` from the exponent's bits times a
/// polynomial on half an octave either way (the coefficients are those of Taylor's series).
#[inline(always)]
fn exp(x: f32) -> f32 {
    // Adding and taking away 1.5 * 2^23 rounds to a whole number.
    const ROUND: f32 = 12_582_912.0;
    // e^88 is past what 32 bits hold.
    let x = x.clamp(-87.0, 87.0);
    let rounded = x * std::f32::consts::LOG2_E + ROUND;
    let n = rounded - ROUND;
    // ln 2 in two parts, so that little is lost in the difference.
    let r = x - n * 0.693_359_4 + n * 2.121_944_4e-4;
    let p = 1.0 + r * (1.0 + r * (0.5 + r * (1.0 / 6.0 + r * (1.0 / 24.0 + r * (1.0 / 120.0 + r / 720.0)))));
    // The whole number stands in the last bits of `rounded`; the exponent's bias is 127.
    p * f32::from_bits(rounded.to_bits().wrapping_add(127) << 23)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_quick_exponential_is_the_library_s() {
        for i in -8_600..8_600 {
            let x = i as f32 / 100.0;
            assert!((exp(x) / x.exp() - 1.0).abs() < 1e-6, "{x}: {} {}", exp(x), x.exp());
        }
        assert!(sigmoid(-1e4) < 1e-30 && sigmoid(1e4) == 1.0);
    }

    #[test]
    fn rows_by_fours_are_rows_by_one() {
        let value = |i: usize| ((i * 37 % 101) as f32 - 50.0) / 50.0;
        for (inputs, outputs) in [(1, 3), (4, 5), (6, 7), (11, 2)] {
            let row: Vec<f32> = (0..inputs).map(value).collect();
            let matrix: Vec<f32> = (0..inputs * outputs).map(|i| value(i + 7)).collect();
            let mut out = vec![0.5; outputs];
            row_times(&row, &matrix, &mut out);
            for (o, got) in out.iter().enumerate() {
                let want: f32 = 0.5 + (0..inputs).map(|i| row[i] * matrix[i * outputs + o]).sum::<f32>();
                assert!((got - want).abs() < 1e-5, "{inputs} x {outputs}: {got} {want}");
            }
        }
    }
}
