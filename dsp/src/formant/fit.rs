//! Resonances fitted to the levels of harmonics.
//!
//! A child's harmonics stand 200 to 350 Hz apart and so sample the vocal tract's response thinly; linear prediction is
//! then drawn to the harmonics themselves. El-Jaroudi and Makhoul (1991), "Discrete all-pole modeling", IEEE Trans.
//! Signal Processing 39, 411-423, fit the response at the harmonics only, and so does this: four resonances and a
//! smooth slope for the source (a cascade as in Fant 1960, Acoustic Theory of Speech Production), fitted to the levels
//! in dB by damped least squares (Levenberg 1944, Marquardt 1963) with broad prior ideas of each quantity.

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
            mean[POLES + k] = [75.0f64, 90.0, 140.0, 220.0][k].ln();
            spread[k] = if known {
                [0.25, 0.2, 0.12, 0.12][k]
            } else {
                [0.5, 0.5, 0.2, 0.15][k]
            };
            spread[POLES + k] = 0.3;
        }
        (mean[SLOPE], spread[SLOPE]) = (-6.0, 4.0);
        (mean[RISE], spread[RISE]) = (8.0, 8.0);
        Prior { mean, spread }
    }

    /// What a wider prior costs, so that fits under different ones can be compared.
    fn width(&self) -> f64 {
        2.0 * self.spread.iter().map(|s| s.ln()).sum::<f64>()
    }
}

/// A fitted set of resonances.
#[derive(Debug, Clone, Copy)]
pub struct Fit {
    p: [f64; SIZE],
    /// What the fit leaves unexplained, with what it strays from the prior; smaller is better.
    pub cost: f64,
    /// Root-mean-square difference from the harmonics, in dB, weighted.
    pub rms_db: f64,
}

impl Fit {
    /// Frequency of resonance `k` in Hz.
    pub fn hz(&self, k: usize) -> f32 {
        self.p[k].exp() as f32
    }

    /// Bandwidth of resonance `k` in Hz.
    pub fn bandwidth(&self, k: usize) -> f32 {
        self.p[POLES + k].exp() as f32
    }

    fn in_order(&self) -> bool {
        (1..POLES).all(|k| self.p[k] > self.p[k - 1] + 0.05)
    }
}

/// Harmonics of one frame, with how much each is to be trusted, in dB.
pub struct Frame {
    points: Vec<(f64, f64, f64)>,
    middle: f64,
}

impl Frame {
    /// Weighs harmonics: those far below the loudest, or hardly clear of noise, count less.
    pub fn new(harmonics: &[Harmonic]) -> Frame {
        let top = harmonics.iter().map(|h| h.db).fold(f32::MIN, f32::max);
        let points = harmonics.iter().map(|h| {
            let below = f64::from((top - h.db - 25.0).max(0.0));
            let noise = 8.7 * 10f64.powf(-f64::from(h.clear_db.max(0.0)) / 20.0);
            (f64::from(h.hz), f64::from(h.db), 1.5 + 0.06 * below + 2.0 * noise)
        });
        let points: Vec<_> = points.collect();
        let middle = points.iter().map(|p| p.1).sum::<f64>() / points.len().max(1) as f64;
        Frame { points, middle }
    }
}

/// Fits from a starting guess of the frequencies, in Hz. None if the resonances end out of order.
pub fn from_start(frames: &[&Frame], prior: &Prior, start: [f64; POLES]) -> Option<Fit> {
    let mut p = [0.0; SIZE];
    p[..SHAPE].copy_from_slice(&prior.mean);
    for k in 0..POLES {
        p[k] = start[k].ln();
    }
    level_out(frames, &mut p);
    improve(frames, prior, p, 14)
}

/// Fits from where another fit ended.
pub fn from_fit(frames: &[&Frame], prior: &Prior, start: &Fit) -> Option<Fit> {
    let mut p = start.p;
    level_out(frames, &mut p);
    improve(frames, prior, p, 8)
}

/// Sets each frame's gain so that the model passes through its middle.
fn level_out(frames: &[&Frame], p: &mut [f64; SIZE]) {
    for (j, frame) in frames.iter().enumerate() {
        p[SHAPE + j] = 0.0;
        let sum: f64 = frame.points.iter().map(|pt| model(p, j, pt.0, None)).sum();
        p[SHAPE + j] = frame.middle - sum / frame.points.len().max(1) as f64;
    }
}

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

fn cost(frames: &[&Frame], prior: &Prior, p: &[f64; SIZE]) -> (f64, f64) {
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

fn improve(frames: &[&Frame], prior: &Prior, mut p: [f64; SIZE], rounds: usize) -> Option<Fit> {
    let (mut best, mut rms) = cost(frames, prior, &p);
    let mut damping = 1e-2;
    for _ in 0..rounds {
        let Some(step) = step(frames, prior, &p, damping) else {
            break;
        };
        let mut q = p;
        for i in 0..SIZE {
            let most = if i < POLES {
                0.12
            } else if i < SLOPE {
                0.4
            } else {
                20.0
            };
            q[i] += step[i].clamp(-most, most);
        }
        let (c, r) = cost(frames, prior, &q);
        if c < best {
            let gain = best - c;
            (p, best, rms) = (q, c, r);
            damping = (damping * 0.3).max(1e-6);
            if gain < 1e-2 {
                break;
            }
        } else {
            damping *= 8.0;
            if damping > 1e6 {
                break;
            }
        }
    }
    let fit = Fit {
        p,
        cost: best,
        rms_db: rms,
    };
    fit.in_order().then_some(fit)
}

/// One damped step: solves the normal equations by Cholesky's factors.
fn step(frames: &[&Frame], prior: &Prior, p: &[f64; SIZE], damping: f64) -> Option<[f64; SIZE]> {
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
