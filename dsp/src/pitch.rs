//! The pitch of a voice, frame by frame, built for children.
//!
//! Candidates are peaks of the normalised cross-correlation, and the track is the cheapest path through them. The
//! method is that of Talkin (1995), "A robust algorithm for pitch tracking (RAPT)", in Kleijn and Paliwal (eds), Speech
//! Coding and Synthesis, Elsevier, 495-518. Two things differ for children: the correlated span shortens with the
//! period tried, so that a quick glide at 350 Hz is not smeared, and the low-pass lets four harmonics of a high voice
//! through.

use crate::audio::RATE;

/// Lowest pitch looked for, in Hz.
pub const LOWEST_HZ: f32 = 70.0;
/// Highest pitch looked for, in Hz.
pub const HIGHEST_HZ: f32 = 600.0;
/// Seconds from one frame to the next.
pub const STEP_S: f32 = 0.01;
const HOP: usize = (RATE as f32 * STEP_S) as usize;

/// Pitch is looked for at half the rate, 8 kHz.
const HALF: f32 = RATE as f32 / 2.0;
const MIN_LAG: usize = (HALF / HIGHEST_HZ) as usize; // 13
const MAX_LAG: usize = (HALF / LOWEST_HZ) as usize + 1; // 115
/// Candidates a frame.
const MOST: usize = 6;
/// The low-pass lets what lies below this through, in Hz: four harmonics of a high voice.
const CUT_HZ: f32 = 1800.0;
/// High-pass against offset and hum's fundamental, in Hz.
const NO_HUM_HZ: f32 = 60.0;
/// Samples at 8 kHz over which a frame's power is taken (25 ms).
const POWER_SPAN: usize = 200;
/// Share of the loudest frame's power under which nothing is voice (50 dB).
const SILENT: f32 = 1e-5;
/// Correlation from which a peak is a candidate at all; well under [`VOICED_FROM`], so that the path may weigh it.
const LEAST_PEAK: f32 = 0.3;
/// Shortest and longest span correlated, in samples at 8 kHz (12 and 37.5 ms); two periods between them.
const SPAN: [usize; 2] = [96, 300];

/// One frame of a pitch track.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pitch {
    /// Middle of the frame, in seconds from the clip's start.
    pub time_s: f32,
    /// Pitch in Hz, [`LOWEST_HZ`] to [`HIGHEST_HZ`]; None where there is no voice.
    pub hz: Option<f32>,
    /// How periodic the frame is, 0 to 1, voiced or not.
    pub strength: f32,
}

/// Tracks the pitch of samples at 16 kHz; one frame every [`STEP_S`].
///
/// ```
/// use soundbead_dsp::pitch;
/// let hum: Vec<f32> = (0..8000).map(|i| if i % 64 == 0 { 0.5 } else { 0.0 }).collect(); // 250 pulses a second
/// let track = pitch::track(&hum);
/// assert!((track[25].hz.unwrap() - 250.0).abs() < 2.0);
/// ```
pub fn track(samples: &[f32]) -> Vec<Pitch> {
    let smooth = low_pass(samples);
    let slow: Vec<f32> = smooth.iter().step_by(2).copied().collect();
    let frames = samples.len() / HOP;
    let loudest = (0..frames).map(|t| power(&slow, t)).fold(0.0f32, f32::max);
    let found: Vec<Vec<Candidate>> = (0..frames).map(|t| candidates(&slow, &smooth, t, loudest)).collect();
    let path = cheapest(&found);
    let pitch = |(t, (c, pick)): (usize, (&Vec<Candidate>, Option<usize>))| Pitch {
        time_s: (t as f32 + 0.5) * STEP_S,
        hz: pick.map(|i| (HALF / c[i].lag).clamp(LOWEST_HZ, HIGHEST_HZ)),
        strength: c.iter().map(|c| c.r).fold(0.0, f32::max).clamp(0.0, 1.0),
    };
    found.iter().zip(path).enumerate().map(pitch).collect()
}

/// Median pitch of the voiced frames, in Hz.
pub fn median(track: &[Pitch]) -> Option<f32> {
    let mut hz: Vec<f32> = track.iter().filter_map(|p| p.hz).collect();
    if hz.is_empty() {
        return None;
    }
    hz.sort_by(f32::total_cmp);
    Some(hz[hz.len() / 2])
}

#[derive(Clone, Copy)]
struct Candidate {
    /// Period in samples at 8 kHz.
    lag: f32,
    /// Correlation there.
    r: f32,
}

/// What lies below [`CUT_HZ`], without offset and hum's fundamental.
fn low_pass(samples: &[f32]) -> Vec<f32> {
    const TAPS: usize = 31;
    let middle = (TAPS / 2) as f32;
    let cut = 2.0 * CUT_HZ / RATE as f32;
    let taps: [f32; TAPS] = std::array::from_fn(|i| {
        let x = i as f32 - middle;
        let pi = std::f32::consts::PI;
        let sinc = if x == 0.0 { cut } else { (pi * cut * x).sin() / (pi * x) };
        sinc * (0.54 + 0.46 * (pi * x / middle).cos())
    });
    let mean = samples.iter().map(|&x| f64::from(x)).sum::<f64>() / samples.len().max(1) as f64;
    let mut padded = vec![0.0f32; TAPS / 2];
    padded.extend(samples.iter().map(|&x| x - mean as f32));
    padded.resize(samples.len() + TAPS, 0.0);
    let pole = (-std::f32::consts::TAU * NO_HUM_HZ / RATE as f32).exp();
    let (mut x1, mut y1) = (0.0, 0.0);
    (0..samples.len())
        .map(|at| {
            let x: f32 = padded[at..at + TAPS].iter().zip(&taps).map(|(s, h)| s * h).sum();
            y1 = pole * (y1 + x - x1);
            x1 = x;
            y1
        })
        .collect()
}

fn centre(t: usize) -> usize {
    (t * HOP + HOP / 2) / 2
}

fn power(slow: &[f32], t: usize) -> f32 {
    let from = centre(t).saturating_sub(POWER_SPAN / 2);
    let part = &slow[from.min(slow.len())..(from + POWER_SPAN).min(slow.len())];
    part.iter().map(|x| x * x).sum::<f32>() / part.len().max(1) as f32
}

fn candidates(slow: &[f32], smooth: &[f32], t: usize, loudest: f32) -> Vec<Candidate> {
    if loudest <= 0.0 || power(slow, t) < SILENT * loudest {
        return Vec::new();
    }
    let r: Vec<f32> = (MIN_LAG - 1..=MAX_LAG + 1)
        .map(|lag| correlation(slow, centre(t), lag))
        .collect();
    let mut found: Vec<Candidate> = (1..r.len() - 1)
        .filter(|&i| r[i] > LEAST_PEAK && r[i] >= r[i - 1] && r[i] > r[i + 1])
        .map(|i| Candidate {
            lag: (i + MIN_LAG - 1) as f32,
            r: r[i],
        })
        .collect();
    found.sort_by(|a, b| worth(b).total_cmp(&worth(a)));
    found.truncate(MOST);
    for c in &mut found {
        *c = sharpen(smooth, 2 * centre(t), *c);
    }
    found
}

/// The same peak at the full rate. At the half rate a period that falls between two samples seems less alike to its
/// repeat than two periods that fall on one, and an octave error follows.
fn sharpen(smooth: &[f32], middle: usize, c: Candidate) -> Candidate {
    let about = (2.0 * c.lag) as usize;
    let r: [f32; 5] = std::array::from_fn(|i| correlation(smooth, middle, about + i - 2));
    let i = (1..4).max_by(|&a, &b| r[a].total_cmp(&r[b])).unwrap_or(2);
    // The top of the parabola through three points.
    let (a, b, d) = (r[i - 1], r[i], r[i + 1]);
    let shift = (0.5 * (a - d) / (a - 2.0 * b + d).min(-1e-6)).clamp(-0.5, 0.5);
    Candidate {
        lag: ((about + i - 2) as f32 + shift) / 2.0,
        r: b - 0.25 * (a - d) * shift,
    }
}

/// Correlation of two spans a lag apart, placed evenly about `middle`. The span is two periods, within [`SPAN`].
fn correlation(slow: &[f32], middle: usize, lag: usize) -> f32 {
    let span = (2 * lag).clamp(SPAN[0], SPAN[1]);
    let from = middle as isize - ((span + lag) / 2) as isize;
    let from = from.clamp(0, (slow.len() as isize - (span + lag) as isize).max(0)) as usize;
    let Some(part) = slow.get(from..from + span + lag) else {
        return 0.0;
    };
    let (x, y) = (&part[..span], &part[lag..]);
    let (mut xy, mut xx, mut yy) = (0.0f32, 0.0f32, 0.0f32);
    for (a, b) in x.iter().zip(y) {
        xy += a * b;
        xx += a * a;
        yy += b * b;
    }
    xy / (xx * yy).sqrt().max(1e-9)
}

/// A period's repeats correlate as well as the period itself: the shorter is preferred, by this much an octave.
const OCTAVE_BIAS: f32 = 0.04;

fn worth(c: &Candidate) -> f32 {
    c.r - OCTAVE_BIAS * (c.lag / MIN_LAG as f32).log2()
}

/// Correlation that a frame must reach to count as voiced, all else equal.
const VOICED_FROM: f32 = 0.55;
/// Cost of starting or ending voice, in correlation: a frame or two of chance is not worth it.
const SWITCH: f32 = 0.15;
/// Cost of an octave's leap from one frame to the next, in correlation: no voice leaps in 10 ms.
const LEAP: f32 = 0.6;

/// The cheapest path: for every frame a candidate, or None for no voice (Viterbi's algorithm).
fn cheapest(found: &[Vec<Candidate>]) -> Vec<Option<usize>> {
    // State 0 is "no voice"; state i + 1 is candidate i.
    let mut cost = vec![0.0f32];
    let mut back: Vec<Vec<usize>> = Vec::with_capacity(found.len());
    for (t, now) in found.iter().enumerate() {
        let before: &[Candidate] = if t == 0 { &[] } else { &found[t - 1] };
        let mut next = Vec::with_capacity(now.len() + 1);
        let mut from = Vec::with_capacity(now.len() + 1);
        for state in 0..=now.len() {
            let step = |prev: usize| match (prev, state) {
                (0, 0) => 0.0,
                (0, _) | (_, 0) => SWITCH,
                (p, s) => LEAP * (before[p - 1].lag / now[s - 1].lag).log2().abs(),
            };
            let own = if state == 0 {
                0.0
            } else {
                VOICED_FROM - worth(&now[state - 1])
            };
            let best = (0..cost.len())
                .map(|p| (p, cost[p] + step(p)))
                .min_by(|a, b| a.1.total_cmp(&b.1));
            let (p, c) = best.unwrap_or((0, 0.0));
            next.push(c + own);
            from.push(p);
        }
        cost = next;
        back.push(from);
    }
    let mut state = (0..cost.len())
        .min_by(|&a, &b| cost[a].total_cmp(&cost[b]))
        .unwrap_or(0);
    let mut path = vec![None; found.len()];
    for t in (0..found.len()).rev() {
        path[t] = state.checked_sub(1);
        state = back[t][state];
    }
    path
}
