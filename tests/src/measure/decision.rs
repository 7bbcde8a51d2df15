//! Fitting the stage that says whether the target was said, and what different thresholds on it would give.

use serde::{Deserialize, Serialize};
use soundbead_dsp::ear::inside::{Decision, MEASURES, Measures, RIGHT_TO_WRONG};

/// One word asked about.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct Sample {
    /// Whose voice it is.
    pub speaker: String,
    /// Whether there was silence around the word, as there is where a word is said alone.
    pub alone: bool,
    /// How what was asked about differs from what was said.
    pub kind: SampleKind,
    /// Wrong readings of this kind that were asked of this word; together they weigh as much as one.
    pub among: usize,
    /// What was compared.
    pub measures: Measures,
    /// Of a real word beside, how the said word differs from it: see [`choice`].
    #[serde(default)]
    pub choice: Option<[f64; 3]>,
    /// Of sounds said one by one: how probable it is that there are as many pieces as asked for, and that the piece least like its sound
    /// is like it.
    #[serde(default)]
    pub pieces: Option<[f32; 2]>,
}

impl Sample {
    /// Whether it is a made word's: those have a synthesiser's name for a speaker, the readers of the corpus have numbers.
    pub fn made(&self) -> bool {
        !self.speaker.bytes().all(|b| b.is_ascii_digit())
    }
}

/// What is asked about, beside what was said.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum SampleKind {
    /// The same.
    Right,
    /// A real word with a sound fewer, more or changed, told from the word that was said.
    Word,
    /// The same readings, told from what is no word: a slip may make none, and there are no recordings of that, so the
    /// word that was said is held to be none.
    Strange,
    /// The same, where trained listeners mark a sound as wrong or added: a real slip.
    Slipped,
    /// One sound changed into one that is often taken for it, as children do most, told from what is no word.
    Near,
    /// The last sound not asked for though it was said, or one asked for after it that was not; told from what is no word.
    Ending,
}

/// Weight of a word said alone beside one cut out of a sentence: what is asked about in use is said alone.
pub const ALONE: f64 = 3.0;
/// Weights of the kinds of wrong readings beside each other: a choice. Without the near ones the fit learns to trust that
/// a slip makes a word, and affirms half of the near slips that make none.
fn share_of(kind: SampleKind) -> f64 {
    match kind {
        SampleKind::Right | SampleKind::Word | SampleKind::Slipped => 1.0,
        SampleKind::Strange | SampleKind::Ending => 0.5,
        SampleKind::Near => 0.25,
    }
}
/// Strength of the pull of each standardised weight to 0 (ridge; Hoerl, Kennard 1970, Technometrics 12, 55-67).
const RIDGE: f64 = 3.0;
/// Rounds of Newton's method; it settles in less than ten.
const ROUNDS: usize = 25;
const SIZE: usize = MEASURES + 1;

/// Fits the weights by logistic regression.
pub fn fit(samples: &[&Sample]) -> Decision {
    fit_of(samples, f64::from(RIGHT_TO_WRONG))
}

/// The same, for words that are right so many times as often as they are wrong.
pub fn fit_of(samples: &[&Sample], right_to_wrong: f64) -> Decision {
    let (mean, spread) = moments(samples);
    let row = |s: &Sample| -> [f64; SIZE] {
        let values = s.measures.values();
        std::array::from_fn(|i| match i {
            0 => 1.0,
            i => (f64::from(values[i - 1]) - mean[i - 1]) / spread[i - 1],
        })
    };
    let weigh = weigher(samples, right_to_wrong);
    let mut w = [0.0f64; SIZE];
    for _ in 0..ROUNDS {
        let (mut a, mut b) = ([[0.0f64; SIZE]; SIZE], [0.0f64; SIZE]);
        for s in samples {
            let x = row(s);
            let p = 1.0 / (1.0 + (-dot(&w, &x)).exp());
            let (slope, gap) = (
                weigh(s) * (p * (1.0 - p)).max(1e-9),
                weigh(s) * (f64::from(u8::from(s.kind == SampleKind::Right)) - p),
            );
            for i in 0..SIZE {
                b[i] += gap * x[i];
                (0..SIZE).for_each(|j| a[i][j] += slope * x[i] * x[j]);
            }
        }
        for i in 0..SIZE {
            let pull = if i == 0 { 1e-6 } else { RIDGE };
            a[i][i] += pull;
            b[i] -= pull * w[i];
        }
        let step = solve(a, b);
        w.iter_mut().zip(step).for_each(|(w, s)| *w += s);
    }
    let weights: [f64; MEASURES] = std::array::from_fn(|i| w[i + 1] / spread[i]);
    let bias = w[0] - weights.iter().zip(&mean).map(|(w, m)| w * m).sum::<f64>();
    Decision {
        bias: bias as f32,
        weights: Measures::from_values(weights.map(|w| w as f32)),
    }
}

/// Weight of a sample: right and wrong in the ratio of `right_to_wrong`, their sum twice the number of right ones.
fn weigher(samples: &[&Sample], right_to_wrong: f64) -> impl Fn(&Sample) -> f64 {
    let plain = |s: &Sample| if s.alone { ALONE } else { 1.0 } / s.among.max(1) as f64;
    let sum = |kind: SampleKind| {
        let of = samples.iter().filter(|s| s.kind == kind);
        of.map(|s| plain(s)).sum::<f64>()
    };
    let right = sum(SampleKind::Right).max(1.0);
    let kinds = [
        SampleKind::Word,
        SampleKind::Strange,
        SampleKind::Slipped,
        SampleKind::Near,
        SampleKind::Ending,
    ];
    let wrong = kinds.map(|k| (k, sum(k)));
    let present = wrong.iter().filter(|(_, sum)| *sum > 0.0);
    let shares: f64 = present.map(|(kind, _)| share_of(*kind)).sum();
    let share = 1.0 / (1.0 + right_to_wrong);
    move |s| {
        let all = wrong.iter().find(|(k, _)| *k == s.kind).map(|(_, sum)| *sum);
        plain(s)
            * match all {
                None => 2.0 * (1.0 - share),
                Some(sum) => 2.0 * share * share_of(s.kind) / shares * right / sum,
            }
    }
}

fn moments(samples: &[&Sample]) -> ([f64; MEASURES], [f64; MEASURES]) {
    let n = samples.len().max(1) as f64;
    let values: Vec<[f32; MEASURES]> = samples.iter().map(|s| s.measures.values()).collect();
    let mean: [f64; MEASURES] = std::array::from_fn(|i| values.iter().map(|v| f64::from(v[i])).sum::<f64>() / n);
    let spread = std::array::from_fn(|i| {
        let squares = values.iter().map(|v| (f64::from(v[i]) - mean[i]).powi(2));
        (squares.sum::<f64>() / n).sqrt().max(1e-6)
    });
    (mean, spread)
}

fn dot(a: &[f64; SIZE], b: &[f64; SIZE]) -> f64 {
    a.iter().zip(b).map(|(x, y)| x * y).sum()
}

/// Weights of what tells a said word from another: by how much it is preferred (nepers), and the differences of two measures of the
/// sixth listener, `all_right` and `most_added`. Logistic regression without a constant, since neither word comes first.
pub fn choice(told: &[[f64; 3]]) -> [f64; 3] {
    let mut w = [1.0, 0.0, 0.0];
    for _ in 0..ROUNDS {
        let (mut a, mut b) = ([[0.0f64; 3]; 3], [0.0f64; 3]);
        for x in told {
            let p = 1.0 / (1.0 + (-x.iter().zip(&w).map(|(x, w)| x * w).sum::<f64>()).exp());
            for i in 0..3 {
                b[i] += (1.0 - p) * x[i];
                (0..3).for_each(|j| a[i][j] += (p * (1.0 - p)).max(1e-9) * x[i] * x[j]);
            }
        }
        (0..3).for_each(|i| a[i][i] += 1e-6);
        let step = solve(a, b);
        w.iter_mut().zip(step).for_each(|(w, s)| *w += s);
    }
    w
}

/// Gaussian elimination; `a` is positive definite, so no pivot is needed.
fn solve<const N: usize>(mut a: [[f64; N]; N], mut b: [f64; N]) -> [f64; N] {
    for i in 0..N {
        for k in i + 1..N {
            let f = a[k][i] / a[i][i];
            let above = a[i];
            a[k].iter_mut().zip(above).skip(i).for_each(|(x, y)| *x -= f * y);
            b[k] -= f * b[i];
        }
    }
    for i in (0..N).rev() {
        let known: f64 = (i + 1..N).map(|j| a[i][j] * b[j]).sum();
        b[i] = (b[i] - known) / a[i][i];
    }
    b
}

/// Each sample's probability from a fit to the other speakers: every eighth speaker is left out in turn.
pub fn crossed(samples: &[Sample]) -> Vec<f32> {
    crossed_with(samples, |some| {
        let fitted = fit(some);
        move |m: &Measures| fitted.probability(m)
    })
}

/// The same, by `fit`: it makes what gives a probability, of samples that it is handed.
pub fn crossed_with<P: Fn(&Measures) -> f32>(samples: &[Sample], fit: impl Fn(&[&Sample]) -> P) -> Vec<f32> {
    let mut who: Vec<&str> = samples.iter().map(|s| s.speaker.as_str()).collect();
    who.sort_unstable();
    who.dedup();
    let fold = |s: &Sample| who.binary_search(&s.speaker.as_str()).unwrap_or(0) % 8;
    let fits: Vec<P> = (0..8)
        .map(|k| fit(&samples.iter().filter(|s| fold(s) != k).collect::<Vec<_>>()))
        .collect();
    samples.iter().map(|s| fits[fold(s)](&s.measures)).collect()
}

/// What one pair of thresholds gives.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct OperatingPoint {
    /// Least probability at which the target is affirmed, and greatest at which it is contradicted.
    pub affirm: f32,
    /// See `affirm`.
    pub contradict: f32,
    /// Of right readings: the share contradicted.
    pub right_contradicted: f64,
    /// Of wrong readings: the share affirmed.
    pub wrong_affirmed: f64,
    /// Of wrong readings that were answered: the share contradicted.
    pub caught: f64,
    /// Of wrong readings: the share answered.
    pub wrong_answered: f64,
}

/// Thresholds at which at most `contradicted` of the right readings are contradicted and `answered` of them answered.
pub fn point(right: &[f32], wrong: &[f32], contradicted: f64, answered: f64) -> OperatingPoint {
    let mut sorted = right.to_vec();
    sorted.sort_by(f32::total_cmp);
    let at = |i: usize| sorted.get(i).copied().unwrap_or(0.5);
    // Just under the reading that is the first to be spared; the wrong ones below it are caught.
    let spared = (contradicted * right.len() as f64 + 1e-9) as usize;
    let contradict = at(spared) - f32::EPSILON;
    let unsure = ((1.0 - answered) * right.len() as f64) as usize + spared;
    let affirm = at(unsure).max(contradict + f32::EPSILON);
    let share =
        |all: &[f32], f: &dyn Fn(f32) -> bool| all.iter().filter(|p| f(**p)).count() as f64 / all.len().max(1) as f64;
    let (low, high) = (share(wrong, &|p| p <= contradict), share(wrong, &|p| p >= affirm));
    OperatingPoint {
        affirm,
        contradict,
        right_contradicted: share(right, &|p| p <= contradict),
        wrong_affirmed: high,
        caught: low / (low + high).max(1e-9),
        wrong_answered: low + high,
    }
}

/// Prints what is caught for shares of right readings answered, at most one in a hundred of them contradicted.
pub fn print_curve(right: &[f32], wrong: &[f32]) {
    println!(
        "  at most 1 % of {} right readings contradicted; {} wrong ones:",
        right.len(),
        wrong.len()
    );
    println!("  right answered | wrong affirmed | caught of answered | wrong answered | affirm from | contradict to");
    for answered in [0.5, 0.6, 0.7, 0.75, 0.8, 0.85, 0.9, 0.95] {
        let p = point(right, wrong, 0.01, answered);
        println!(
            "  {:>12.0} % | {:>12.1} % | {:>16.1} % | {:>12.1} % | {:>11.3} | {:.3}",
            100.0 * answered,
            100.0 * p.wrong_affirmed,
            100.0 * p.caught,
            100.0 * p.wrong_answered,
            p.affirm,
            p.contradict
        );
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Two measures tell, one in each direction; the rest is noise from a fixed generator.
    fn samples() -> Vec<Sample> {
        let mut seed = 7u64;
        let mut noise = || {
            seed = seed.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1);
            (seed >> 40) as f32 / (1u64 << 24) as f32 * 2.0 - 1.0
        };
        (0..2_000)
            .map(|i| {
                let mut measures = [0.0; MEASURES];
                measures.iter_mut().for_each(|m| *m = noise());
                let right = measures[0] - 2.0 * measures[3] + 0.3 * noise() > 0.0;
                let speaker = format!("s{}", i % 20);
                Sample {
                    speaker,
                    alone: i % 2 == 0,
                    kind: if right { SampleKind::Right } else { SampleKind::Word },
                    among: 1,
                    measures: Measures::from_values(measures),
                    choice: None,
                    pieces: None,
                }
            })
            .collect()
    }

    #[test]
    fn the_fit_finds_what_tells_right_from_wrong() {
        let all = samples();
        let fitted = fit(&all.iter().collect::<Vec<_>>());
        let weights = fitted.weights.values();
        let ratio = weights[3] / weights[0];
        assert!((-2.4..-1.7).contains(&ratio), "{ratio}");
        assert!(weights.iter().skip(4).all(|w| w.abs() < 0.2 * weights[0]));
        let p = crossed(&all);
        let right = p
            .iter()
            .zip(&all)
            .filter(|(p, s)| (**p > 0.9) == (s.kind == SampleKind::Right))
            .count();
        assert!(right > 1_700, "{right}");
    }

    #[test]
    fn thresholds_keep_what_they_promise() {
        let right: Vec<f32> = (0..1000).map(|i| i as f32 / 1000.0).collect();
        let wrong: Vec<f32> = (0..1000).map(|i| i as f32 / 4000.0).collect();
        let p = point(&right, &wrong, 0.01, 0.8);
        assert!(
            p.right_contradicted <= 0.01 && (p.contradict - 0.01).abs() < 0.002,
            "{p:?}"
        );
        let answered = right.iter().filter(|x| **x >= p.affirm || **x <= p.contradict).count();
        assert!((795..=805).contains(&answered), "{answered}");
        assert!(
            (p.wrong_affirmed - 0.16).abs() < 0.02 && (p.caught - 0.2).abs() < 0.02,
            "{p:?}"
        );
    }
}
