//! The pitch of a word that is put together, evened out.
//!
//! Pitch-synchronous overlap-add (Moulines and Charpentier 1990, "Pitch-synchronous waveform processing techniques for
//! text-to-speech synthesis using diphones", Speech Communication 9, 453-467): pieces of two periods about one mark a
//! period are laid down again at the periods of the smoothed pitch.

use crate::audio::RATE;
use crate::pitch;

/// Frames over which the pitch is smoothed, as the standard deviation of a bell (90 ms): slower than a join, quicker
/// than the fall of a word.
const SMOOTH: f32 = 9.0;
/// Least change of pitch worth making, as a share.
const LEAST: f32 = 0.02;
/// Shortest voiced stretch that is touched, in frames.
const SHORTEST: usize = 4;
/// Samples from one frame of the pitch track to the next.
const HOP: usize = (RATE as f32 * pitch::STEP_S) as usize;

/// The samples with their pitch smoothed; as many as before.
pub fn even(samples: &[f32]) -> Vec<f32> {
    let own: Vec<Option<f32>> = pitch::track(samples).iter().map(|p| p.hz).collect();
    let smooth = smoothed(&own);
    let mut out = samples.to_vec();
    for span in voiced(&own) {
        let change = |t: &usize| own[*t].zip(smooth[*t]).map_or(0.0, |(a, b)| (b / a).ln().abs());
        if span.clone().map(|t| change(&t)).fold(0.0, f32::max) > LEAST {
            retune(samples, &own, &smooth, span, &mut out);
        }
    }
    out
}

/// Runs of voiced frames that are long enough.
fn voiced(own: &[Option<f32>]) -> Vec<std::ops::Range<usize>> {
    let mut runs: Vec<std::ops::Range<usize>> = Vec::new();
    for (t, hz) in own.iter().enumerate() {
        match (hz, runs.last_mut()) {
            (Some(_), Some(run)) if run.end == t => run.end = t + 1,
            (Some(_), _) => runs.push(t..t + 1),
            _ => {}
        }
    }
    runs.retain(|run| run.len() >= SHORTEST);
    runs
}

/// The mean of the logarithm of the pitch about each voiced frame; silence between counts for nothing.
fn smoothed(own: &[Option<f32>]) -> Vec<Option<f32>> {
    let reach = (3.0 * SMOOTH) as usize;
    let about = |t: usize| {
        let (mut sum, mut weight) = (0.0, 0.0);
        let from = t.saturating_sub(reach);
        for (near, hz) in own.iter().enumerate().take(t + reach + 1).skip(from) {
            let Some(hz) = hz else { continue };
            let w = (-0.5 * ((near as f32 - t as f32) / SMOOTH).powi(2)).exp();
            (sum, weight) = (sum + w * hz.ln(), weight + w);
        }
        own[t].map(|_| (sum / weight).exp())
    };
    (0..own.len()).map(about).collect()
}

/// Period in samples at a sample, between the frames of a run.
fn period(hz: &[Option<f32>], run: &std::ops::Range<usize>, at: usize) -> f32 {
    let t = (at / HOP).clamp(run.start, run.end - 1);
    hz[t].map_or(RATE as f32 / 200.0, |hz| RATE as f32 / hz)
}

/// Marks, one a period: where the samples are most like the period before, from the loudest place outwards.
fn marks(samples: &[f32], own: &[Option<f32>], run: &std::ops::Range<usize>) -> Vec<usize> {
    let (from, to) = (run.start * HOP, (run.end * HOP).min(samples.len()));
    let loudest = (from..to)
        .max_by(|a, b| samples[*a].abs().total_cmp(&samples[*b].abs()))
        .unwrap_or(from);
    let mut marks = vec![loudest];
    for forward in [false, true] {
        let mut at = loudest;
        loop {
            let step = period(own, run, at);
            let Some(next) = next_mark(samples, at, step, forward).filter(|next| (from..to).contains(next)) else {
                break;
            };
            marks.push(next);
            at = next;
        }
    }
    marks.sort_unstable();
    marks.dedup();
    marks
}

/// The place about one period on where the samples are most like those about `at`.
fn next_mark(samples: &[f32], at: usize, step: f32, forward: bool) -> Option<usize> {
    let half = (step / 2.0) as usize;
    let span = |at: usize| samples.get(at.checked_sub(half)?..at + half);
    let here = span(at)?;
    let places = ((0.85 * step) as usize..=(1.15 * step) as usize).filter_map(|s| match forward {
        true => at.checked_add(s),
        false => at.checked_sub(s),
    });
    let score = |place: &usize| {
        let there = span(*place)?;
        let product: f32 = here.iter().zip(there).map(|(a, b)| a * b).sum();
        let power: f32 = there.iter().map(|b| b * b).sum();
        Some(product / (power + 1e-9).sqrt())
    };
    places.max_by(|a, b| score(a).unwrap_or(f32::MIN).total_cmp(&score(b).unwrap_or(f32::MIN)))
}

/// Lays the periods of a run down again at the smoothed pitch.
fn retune(samples: &[f32], own: &[Option<f32>], smooth: &[Option<f32>], run: std::ops::Range<usize>, out: &mut [f32]) {
    let marks = marks(samples, own, &run);
    let (Some(first), Some(last)) = (marks.first().copied(), marks.last().copied()) else {
        return;
    };
    if marks.len() < 4 {
        return;
    }
    let mut laid = vec![0.0f32; last - first];
    let mut weight = vec![0.0f32; last - first];
    let mut at = first as f32;
    while at < last as f32 {
        let nearest = marks.partition_point(|m| (*m as f32) < at).min(marks.len() - 1);
        let before = marks[nearest.saturating_sub(1)];
        let mark = if (at - before as f32).abs() < (marks[nearest] as f32 - at).abs() {
            before
        } else {
            marks[nearest]
        };
        let width = period(own, &run, mark) as isize;
        for i in -width..width {
            let w = 0.5 + 0.5 * (std::f32::consts::PI * i as f32 / width as f32).cos();
            let (to, from) = (at as isize + i - first as isize, mark as isize + i);
            if let (Some(slot), Some(x)) = (
                usize::try_from(to).ok().filter(|to| *to < laid.len()),
                usize::try_from(from).ok().and_then(|from| samples.get(from)),
            ) {
                laid[slot] += w * x;
                weight[slot] += w;
            }
        }
        at += period(smooth, &run, at as usize);
    }
    blend(&laid, &weight, first, out);
}

/// Puts the run in place, crossing from and to what was there over 5 ms.
fn blend(laid: &[f32], weight: &[f32], first: usize, out: &mut [f32]) {
    const CROSS: f32 = 80.0;
    let n = laid.len();
    for (i, (x, w)) in laid.iter().zip(weight).enumerate() {
        let share = (i.min(n - 1 - i) as f32 / CROSS).min(1.0);
        let new = if *w > 0.05 { x / w.max(0.6) } else { out[first + i] };
        out[first + i] = out[first + i] * (1.0 - share) + new * share;
    }
}
