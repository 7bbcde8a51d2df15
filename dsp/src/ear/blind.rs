//! Counting without a target: how many sounds, whatever the word.
//!
//! Two ways of hearing are mixed: words of the dictionary, all of them at once on a tree of shared beginnings and
//! weighed by how common they are; and any sounds in a row, weighed by which follow which in English. Both are forward
//! sums, kept as scaled probabilities.

mod row;
mod tree;
mod vocabulary;

use serde::{Deserialize, Serialize};
use soundbead_data::{Rules, Sound};

use crate::ear::align::Lattice;
use crate::ear::model::{CLASSES, PathWeights};
pub use tree::GIVEN_UP;
pub use vocabulary::Vocabulary;

/// Most sounds that are counted.
pub const MOST: usize = 16;

/// How the two ways are weighed; set on speakers kept from training.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
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

/// What is heard without a target.
#[derive(Clone, Debug)]
pub struct Blind {
    /// `counts[k]`: probability of `k` sounds.
    pub counts: [f32; MOST + 1],
    /// Natural log of the whole evidence.
    #[cfg_attr(
        not(feature = "measure"),
        expect(dead_code, reason = "the tests hold the sums to it")
    )]
    pub total: f64,
    /// The most probable row of sounds of the most probable length.
    pub best: Vec<Sound>,
}

/// What is heard as any sounds in a row.
#[derive(Clone, Debug)]
pub struct RowCounts {
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
        let rows = (0..lattice.frames())
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
    count_among(Vocabulary::shared(), lattice, path, rules, calibration, GIVEN_UP)
}

/// [`count`] with another vocabulary, giving up beginnings less probable than `given_up` beside the best one.
pub fn count_among(
    vocabulary: &Vocabulary,
    lattice: &Lattice<'_>,
    path: &PathWeights,
    rules: &Rules,
    calibration: &BlindCalibration,
    given_up: f32,
) -> Blind {
    let linear = Linear::new(lattice, path, calibration.temperature);
    let follow = vocabulary.follow_weights(calibration.follow);
    let words = tree::forward(vocabulary, &linear, rules, calibration, given_up);
    let row = row::forward(&linear, &follow);
    let word_log = words.total + f64::from((1.0 - calibration.strange.exp()).ln());
    let row_log = row.total + f64::from(calibration.strange);
    let top = word_log.max(row_log);
    let (a, b) = ((word_log - top).exp() as f32, (row_log - top).exp() as f32);
    let counts: [f32; MOST + 1] = std::array::from_fn(|k| (a * words.counts[k] + b * row.counts[k]) / (a + b));
    let best = if a >= b && !words.best.is_empty() {
        words.best
    } else {
        let most = (1..=MOST)
            .max_by(|a, b| row.counts[*a].total_cmp(&row.counts[*b]))
            .unwrap_or(1);
        row::best(&linear, &follow, most)
    };
    Blind {
        counts,
        total: top + f64::from((a + b).ln()),
        best,
    }
}

/// Counts the sounds as any row of them, words or not: quick, and on the same scale as [`Lattice::score`].
pub fn row(lattice: &Lattice<'_>, path: &PathWeights, calibration: &BlindCalibration) -> RowCounts {
    let follow = Vocabulary::shared().follow_weights(calibration.follow);
    row::forward(&Linear::new(lattice, path, 1.0), &follow)
}
