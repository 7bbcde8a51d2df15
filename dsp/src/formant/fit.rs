//! Resonances fitted to the levels of harmonics.
//!
//! A child's harmonics stand 200 to 350 Hz apart and so sample the vocal tract's response thinly; linear prediction is
//! then drawn to the harmonics themselves. El-Jaroudi and Makhoul (1991), "Discrete all-pole modeling", IEEE Trans.
//! Signal Processing 39, 411-423, fit the response at the harmonics only, and so does this. Four resonances and a
//! smooth slope for the source (a cascade as in Fant 1960, Acoustic Theory of Speech Production) are fitted to the
//! levels in dB. The fit is damped least squares (Levenberg 1944, Marquardt 1963) with broad prior ideas of each
//! quantity.

use super::harmonics::Harmonic;

/// Resonances fitted; the fourth only keeps the third honest.
pub const POLES: usize = 4;
/// Quantities besides each group's gain: four frequencies, four bandwidths (as logarithms), slope and rise.
const SHAPE: usize = 2 * POLES + 2;
const SLOPE: usize = 2 * POLES;
const RISE: usize = SLOPE + 1;
/// Most frames fitted together.
pub const MOST_FRAMES: usize = 3;
const SIZE: usize = SHAPE + MOST_FRAMES;

/// Usual bandwidths of the four resonances, in Hz, and the spread of their logarithms: a factor of 1.35 either way.
const BANDWIDTHS: [f64; POLES] = [75.0, 90.0, 140.0, 220.0];
const BANDWIDTH_SPREAD: f64 = 0.3;
/// Spread of the logarithms of the frequencies about a vowel's published means, and about a neutral tube's, of which less is
/// known. About what the published covariances give for one group of talkers, and twice that: a choice.
const KNOWN_SPREAD: [f64; POLES] = [0.25, 0.2, 0.12, 0.12];
/// See [`KNOWN_SPREAD`].
const TUBE_SPREAD: [f64; POLES] = [0.5, 0.5, 0.2, 0.15];
/// Mean and spread of the slope, in dB an octave.
const SLOPE_DB: [f64; 2] = [-6.0, 4.0];
/// Mean and spread of the rise, in dB at 5 kHz.
const RISE_DB: [f64; 2] = [8.0, 8.0];
/// Resonances nearer than this (as logarithms: 5 %) have changed places or run together.
const LEAST_APART: f64 = 0.05;
/// Spread of a harmonic's level that is loud and clear, in dB.
const SPREAD_DB: f64 = 1.5;
/// A harmonic counts less from this far under the loudest, in dB, ...
const FAINT_DB: f32 = 25.0;
/// ... by this much more spread for each dB.
const FAINT_SPREAD: f64 = 0.06;
/// Noise as strong as the harmonic moves its level by up to this much, in dB (20 / ln 10), ...
const NOISE_DB: f64 = 8.7;
/// ... which counts twice: the noise is known no better than within a factor of two.
const NOISE_WEIGHT: f64 = 2.0;
/// Rounds of the fit from a guess, and from another fit; most settle in fewer.
const ROUNDS: [usize; 2] = [14, 8];
/// Longest step of a round: frequencies and bandwidths as logarithms, the rest in dB. The model bends too much for more.
const LONGEST_STEP: [f64; 3] = [0.12, 0.4, 20.0];
/// Damping at the start, and the factors on it after a step that helped and one that did not (as in Marquardt 1963).
const DAMPING: f64 = 1e-2;
const DAMPING_BETTER: f64 = 0.3;
const DAMPING_WORSE: f64 = 8.0;
/// Damping is kept between these: under the first it does nothing, over the second no step is left.
const DAMPINGS: [f64; 2] = [1e-6, 1e6];
/// A round that gains less than this, in squared spreads, is the last.
const LEAST_GAIN: f64 = 1e-2;

/// What is thought of the quantities before a frame is seen.
#[derive(Debug, Clone, Copy)]
pub struct Prior {
    /// Mean and spread of each quantity.
    pub mean: [f64; SHAPE],
    /// See `mean`.
    pub spread: [f64; SHAPE],
}

impl Prior {
    /// About `centres`, in Hz; `known` if they are a vowel's published means, and not only a tube's.
    ///
    /// Bandwidths are those that sweep-tone measurements give (Fujimura and Lindqvist 1971, J. Acoust. Soc. Am. 49,
    /// 541-558), with a factor of 1.35 either way; the slope, in dB an octave, is the glottis' -12 and the lips' +6; the
    /// rise, in dB at 5 kHz, is what the resonances above the fourth add lower down (Fant's higher-pole correction,
    /// which grows with the square of the frequency). A slope that bends with the logarithm instead bends most at the
    /// lowest harmonics and misplaces F1 by 4 % in the median and 30 % at the worst.
    pub fn new(centres: [f64; POLES], known: bool) -> Prior {
        let mut mean = [0.0; SHAPE];
        let mut spread = [0.0; SHAPE];
        for k in 0..POLES {
            mean[k] = centres[k].ln();
            mean[POLES + k] = BANDWIDTHS[k].ln();
            spread[k] = if known { KNOWN_SPREAD[k] } else { TUBE_SPREAD[k] };
            spread[POLES + k] = BANDWIDTH_SPREAD;
        }
        [mean[SLOPE], spread[SLOPE]] = SLOPE_DB;
        [mean[RISE], spread[RISE]] = RISE_DB;
        Prior { mean, spread }
    }

    /// What a wider prior costs, so that fits under different ones can be compared.
    fn width(&self) -> f64 {
        2.0 * self.spread.iter().map(|s| s.ln()).sum::<f64>()
    }
}

/// A fitted set of resonances.
#[derive(Debug, Clone, Copy)]
pub struct ResonanceFit {
    p: [f64; SIZE],
    /// What the fit leaves unexplained, with what it strays from the prior; smaller is better.
    pub cost: f64,
    /// Root-mean-square difference from the harmonics, in dB, weighted.
    pub rms_db: f64,
}

impl ResonanceFit {
    /// Frequency of resonance `k` in Hz.
    pub fn hz(&self, k: usize) -> f32 {
        self.p[k].exp() as f32
    }

    /// Bandwidth of resonance `k` in Hz.
    pub fn bandwidth(&self, k: usize) -> f32 {
        self.p[POLES + k].exp() as f32
    }

    fn in_order(&self) -> bool {
        (1..POLES).all(|k| self.p[k] > self.p[k - 1] + LEAST_APART)
    }
}

/// Harmonics of one frame, with how much each is to be trusted, in dB.
pub struct HarmonicFrame {
    points: Vec<(f64, f64, f64)>,
    middle: f64,
}

impl HarmonicFrame {
    /// Weighs harmonics: those far below the loudest, or hardly clear of noise, count less.
    pub fn new(harmonics: &[Harmonic]) -> HarmonicFrame {
        let top = harmonics.iter().map(|h| h.db).fold(f32::MIN, f32::max);
        let points = harmonics.iter().map(|h| {
            let below = f64::from((top - h.db - FAINT_DB).max(0.0));
            let noise = NOISE_DB * 10f64.powf(-f64::from(h.clear_db.max(0.0)) / 20.0);
            (
                f64::from(h.hz),
                f64::from(h.db),
                SPREAD_DB + FAINT_SPREAD * below + NOISE_WEIGHT * noise,
            )
        });
        let points: Vec<_> = points.collect();
        let middle = points.iter().map(|p| p.1).sum::<f64>() / points.len().max(1) as f64;
        HarmonicFrame { points, middle }
    }
}

/// Fits from a starting guess of the frequencies, in Hz. None if the resonances end out of order.
pub fn from_start(frames: &[&HarmonicFrame], prior: &Prior, start: [f64; POLES]) -> Option<ResonanceFit> {
    let mut p = [0.0; SIZE];
    p[..SHAPE].copy_from_slice(&prior.mean);
    for k in 0..POLES {
        p[k] = start[k].ln();
    }
    level_out(frames, &mut p);
    improve(frames, prior, p, ROUNDS[0])
}

/// Fits from where another fit ended.
pub fn from_fit(frames: &[&HarmonicFrame], prior: &Prior, start: &ResonanceFit) -> Option<ResonanceFit> {
    let mut p = start.p;
    level_out(frames, &mut p);
    improve(frames, prior, p, ROUNDS[1])
}

/// Sets each frame's gain so that the model passes through its middle.
fn level_out(frames: &[&HarmonicFrame], p: &mut [f64; SIZE]) {
    for (j, frame) in frames.iter().enumerate() {
        p[SHAPE + j] = 0.0;
        let sum: f64 = frame.points.iter().map(|pt| model(p, j, pt.0, None)).sum();
        p[SHAPE + j] = frame.middle - sum / frame.points.len().max(1) as f64;
    }
}

/// Nepers of power to dB.
const DB: f64 = 10.0 / std::f64::consts::LN_10;

/// Level in dB at `f` Hz in frame `j`; writes the derivatives by each quantity if asked to.
fn model(p: &[f64; SIZE], j: usize, f: f64, mut gradient: Option<&mut [f64; SIZE]>) -> f64 {
    let mut db = p[SHAPE + j];
    let octaves = (f / 1000.0).log2();
    let rise = (f / 5000.0).powi(2);
    for k in 0..POLES {
        let (c2, b2) = ((2.0 * p[k]).exp(), (2.0 * p[POLES + k]).exp());
        let off = c2 - f * f;
        let d = off * off + b2 * f * f;
        db += DB * (c2 * c2 / d).ln();
        if let Some(g) = gradient.as_deref_mut() {
            g[k] = DB * (4.0 - 4.0 * c2 * off / d);
            g[POLES + k] = -DB * 2.0 * b2 * f * f / d;
        }
    }
    if let Some(g) = gradient {
        g[SLOPE] = octaves;
        g[RISE] = rise;
        g[SHAPE..].fill(0.0);
        g[SHAPE + j] = 1.0;
    }
    db + p[SLOPE] * octaves + p[RISE] * rise
}

/// A difference beyond this many spreads is an odd harmonic (an antiresonance, noise) and pulls no harder.
const OUTLIER: f64 = 3.0;

fn cost(frames: &[&HarmonicFrame], prior: &Prior, p: &[f64; SIZE]) -> (f64, f64) {
    let (mut total, mut square, mut weight) = (0.0, 0.0, 0.0);
    for (j, frame) in frames.iter().enumerate() {
        for &(f, db, spread) in &frame.points {
            let off = model(p, j, f, None) - db;
            let e = (off / spread).abs();
            // Huber's loss.
            total += if e < OUTLIER {
                e * e
            } else {
                OUTLIER * (2.0 * e - OUTLIER)
            };
            square += off * off / spread;
            weight += 1.0 / spread;
        }
    }
    let stray = (0..SHAPE)
        .map(|i| ((p[i] - prior.mean[i]) / prior.spread[i]).powi(2))
        .sum::<f64>();
    (total + stray + prior.width(), (square / weight.max(1e-9)).sqrt())
}

fn improve(frames: &[&HarmonicFrame], prior: &Prior, mut p: [f64; SIZE], rounds: usize) -> Option<ResonanceFit> {
    let (mut best, mut rms) = cost(frames, prior, &p);
    let mut damping = DAMPING;
    for _ in 0..rounds {
        let Some(step) = step(frames, prior, &p, damping) else {
            break;
        };
        let mut q = p;
        for i in 0..SIZE {
            let most = match i {
                0..POLES => LONGEST_STEP[0],
                POLES..SLOPE => LONGEST_STEP[1],
                _ => LONGEST_STEP[2],
            };
            q[i] += step[i].clamp(-most, most);
        }
        let (c, r) = cost(frames, prior, &q);
        if c < best {
            let gain = best - c;
            (p, best, rms) = (q, c, r);
            damping = (damping * DAMPING_BETTER).max(DAMPINGS[0]);
            if gain < LEAST_GAIN {
                break;
            }
        } else {
            damping *= DAMPING_WORSE;
            if damping > DAMPINGS[1] {
                break;
            }
        }
    }
    let fit = ResonanceFit {
        p,
        cost: best,
        rms_db: rms,
    };
    fit.in_order().then_some(fit)
}

/// One damped step: solves the normal equations by Cholesky's factors.
fn step(frames: &[&HarmonicFrame], prior: &Prior, p: &[f64; SIZE], damping: f64) -> Option<[f64; SIZE]> {
    let mut a = [[0.0f64; SIZE]; SIZE];
    let mut b = [0.0f64; SIZE];
    let mut g = [0.0f64; SIZE];
    for (j, frame) in frames.iter().enumerate() {
        for &(f, db, spread) in &frame.points {
            let off = db - model(p, j, f, Some(&mut g));
            let e = (off / spread).abs();
            let w = if e < OUTLIER { 1.0 } else { OUTLIER / e } / (spread * spread);
            for r in 0..SIZE {
                let wg = w * g[r];
                b[r] += wg * off;
                for c in 0..=r {
                    a[r][c] += wg * g[c];
                }
            }
        }
    }
    for i in 0..SHAPE {
        let w = prior.spread[i].powi(-2);
        a[i][i] += w;
        b[i] -= w * (p[i] - prior.mean[i]);
    }
    for (i, row) in a.iter_mut().enumerate() {
        row[i] += damping * row[i] + 1e-9;
    }
    solve(a, b)
}

fn solve(mut a: [[f64; SIZE]; SIZE], mut b: [f64; SIZE]) -> Option<[f64; SIZE]> {
    for r in 0..SIZE {
        for c in 0..=r {
            let sum: f64 = (0..c).map(|k| a[r][k] * a[c][k]).sum();
            if r == c {
                let d = a[r][r] - sum;
                if d <= 0.0 || !d.is_finite() {
                    return None;
                }
                a[r][r] = d.sqrt();
            } else {
                a[r][c] = (a[r][c] - sum) / a[c][c];
            }
        }
    }
    for r in 0..SIZE {
        let sum: f64 = (0..r).map(|k| a[r][k] * b[k]).sum();
        b[r] = (b[r] - sum) / a[r][r];
    }
    for r in (0..SIZE).rev() {
        let sum: f64 = (r + 1..SIZE).map(|k| a[k][r] * b[k]).sum();
        b[r] = (b[r] - sum) / a[r][r];
    }
    b.iter().all(|x| x.is_finite()).then_some(b)
}
