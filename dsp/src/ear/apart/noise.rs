//! The recording's own quiet, band by band, and how far each frame stands out of it.

use crate::ear::frame::{MELS, SCALE};

/// The louder bands: this many of [`MELS`].
const LOUDER: usize = 12;
/// Bands in a group.
const GROUP: usize = 8;
/// The treble begins at this band (about 2.4 kHz).
const TREBLE: usize = 30;
/// The noise of a band is not believed to vary less than this, in nepers.
const LEAST_SPREAD: f32 = 0.12;
/// Fewest frames that the noise is taken from.
const FEWEST: usize = 12;
/// Rounds in which the noise is taken from frames that did not stand out of it in the last.
const ROUNDS: usize = 3;

/// How far one frame stands out of the quiet.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Lift {
    /// Mean rise, in nepers, of the dozen bands that rise most over what one frame in five lies under.
    pub louder: f32,
    /// Mean rise of the group of bands that stands out most, in standard deviations of the noise.
    pub group: f32,
    /// Mean rise of the bands above 2.4 kHz, in standard deviations of the noise.
    pub treble: f32,
}

/// One frame in so many lies under the floor of the louder bands.
const FLOOR_IN: usize = 5;
/// Of ten frames, the quietest so many are the first guess at the noise.
const QUIETEST_IN_TEN: usize = 3;
/// A band lies at most so many standard deviations over the noise while the noise is being found, and afterwards: one band
/// must not carry a frame.
const MOST_SEEKING: f32 = 12.0;
/// See [`MOST_SEEKING`].
const MOST_FOUND: f32 = 8.0;
/// And at most so many under it.
const MOST_UNDER: f32 = -3.0;
/// A frame stands out of the noise where the mean of all bands does so by this many standard deviations, ...
const WHOLE_OUT: f32 = 1.0;
/// ... or that of a quarter of them by this many.
const QUARTER_OUT: f32 = 1.5;

type Bands = [f32; MELS];

/// How far each frame stands out. `features` are those of [`crate::ear::frame::Mel::frames`], two spectra a frame.
pub fn lift(features: &[f32]) -> Vec<Lift> {
    let frame = |f: &[f32]| -> Bands { std::array::from_fn(|b| 0.5 * SCALE * (f[b] + f[MELS + b])) };
    let frames: Vec<Bands> = features.chunks_exact(2 * MELS).map(frame).collect();
    if frames.is_empty() {
        return Vec::new();
    }
    let louder = smoothed(&louder(&frames), 1);
    let outside = outside(&frames, &noise(&frames), MOST_FOUND);
    let mean = |of: &[f32]| of.iter().sum::<f32>() / of.len() as f32;
    let groups = |o: &Bands| o.chunks_exact(GROUP).map(mean).fold(f32::MIN, f32::max);
    let outside = smoothed(&outside, 2);
    let one = |(louder, o): (&[f32; 1], &Bands)| Lift {
        louder: louder[0],
        group: groups(o),
        treble: mean(&o[TREBLE..]),
    };
    louder.iter().zip(&outside).map(one).collect()
}

/// Mean over each row and `reach` rows on both sides: the chance rises of noise are short.
fn smoothed<const N: usize>(rows: &[[f32; N]], reach: usize) -> Vec<[f32; N]> {
    let last = rows.len() - 1;
    let one = |t: usize| {
        let mut sum = [0.0f32; N];
        for k in 0..=2 * reach {
            let row = &rows[(t + k).saturating_sub(reach).min(last)];
            sum.iter_mut().zip(row).for_each(|(s, x)| *s += x);
        }
        sum.map(|s| s / (2 * reach + 1) as f32)
    };
    (0..rows.len()).map(one).collect()
}

fn louder(frames: &[Bands]) -> Vec<[f32; 1]> {
    let mut floor = [0.0f32; MELS];
    for (band, slot) in floor.iter_mut().enumerate() {
        let mut all: Vec<f32> = frames.iter().map(|f| f[band]).collect();
        let fifth = all.len() / FLOOR_IN;
        *slot = *all.select_nth_unstable_by(fifth, f32::total_cmp).1;
    }
    let rise = |frame: &Bands| {
        let mut rise: Bands = std::array::from_fn(|b| frame[b] - floor[b]);
        rise.select_nth_unstable_by(LOUDER, |a, b| b.total_cmp(a));
        [rise[..LOUDER].iter().sum::<f32>() / LOUDER as f32]
    };
    frames.iter().map(rise).collect()
}

/// Mean and standard deviation of each band in the quiet: first the quietest three frames in ten, then all that do not
/// stand out.
fn noise(frames: &[Bands]) -> [Bands; 2] {
    let level = |f: &Bands| f.iter().sum::<f32>() / MELS as f32;
    let mut levels: Vec<f32> = frames.iter().map(level).collect();
    let quietest = levels.len() * QUIETEST_IN_TEN / 10;
    let limit = *levels.select_nth_unstable_by(quietest, f32::total_cmp).1;
    let first: Vec<&Bands> = frames.iter().filter(|f| level(f) <= limit).collect();
    let mut found = moments(&first);
    for _ in 0..ROUNDS {
        let outside = smoothed(&outside(frames, &found, MOST_SEEKING), 1);
        let stands_out = |o: &Bands| {
            let quarter = |of: &[f32]| of.iter().sum::<f32>() / of.len() as f32;
            level(o) >= WHOLE_OUT || o.chunks_exact(MELS / 4).map(quarter).any(|q| q >= QUARTER_OUT)
        };
        let quiet: Vec<&Bands> = frames
            .iter()
            .zip(&outside)
            .filter(|(_, o)| !stands_out(o))
            .map(|x| x.0)
            .collect();
        if quiet.len() < FEWEST {
            return moments(&first);
        }
        found = moments(&quiet);
    }
    found
}

fn moments(frames: &[&Bands]) -> [Bands; 2] {
    let n = frames.len().max(1) as f32;
    let mean: Bands = std::array::from_fn(|b| frames.iter().map(|f| f[b]).sum::<f32>() / n);
    let spread = std::array::from_fn(|b| {
        let squares: f32 = frames.iter().map(|f| (f[b] - mean[b]).powi(2)).sum();
        (squares / n).sqrt().max(LEAST_SPREAD)
    });
    [mean, spread]
}

/// How far each band lies over the noise, in its standard deviations, from [`MOST_UNDER`] to `most`.
fn outside(frames: &[Bands], [mean, spread]: &[Bands; 2], most: f32) -> Vec<Bands> {
    let one = |f: &Bands| std::array::from_fn(|b| ((f[b] - mean[b]) / spread[b]).clamp(MOST_UNDER, most));
    frames.iter().map(one).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Frames of noise that wavers by a tenth of a neper; from 100 to 120 the bands in `raised` lie higher by `by`.
    fn features(raised: std::ops::Range<usize>, by: f32) -> Vec<f32> {
        let waver = |i: usize| ((i as f32 * 12.9898).sin() * 43_758.547).fract() * 0.3;
        let value = |i: usize| {
            let (t, band) = (i / (2 * MELS), i % MELS);
            let up = if (100..120).contains(&t) && raised.contains(&band) {
                by
            } else {
                0.0
            };
            (waver(i) + up) / SCALE
        };
        (0..300 * 2 * MELS).map(value).collect()
    }

    #[test]
    fn a_weak_treble_stands_out_and_noise_does_not() {
        let lift = lift(&features(32..48, 0.4));
        assert_eq!(lift.len(), 300);
        let inside: f32 = lift[104..116].iter().map(|l| l.treble).sum::<f32>() / 12.0;
        assert!(inside > 1.5, "{inside}");
        let most = lift[..90]
            .iter()
            .chain(&lift[130..])
            .map(|l| l.group)
            .fold(0.0, f32::max);
        assert!(most < 1.0, "{most}");
        assert!(lift[110].group > 1.5 && lift[110].louder > lift[50].louder + 0.2);
    }

    #[test]
    fn silence_without_any_noise_is_no_lift() {
        assert!(lift(&[]).is_empty());
        assert!(lift(&vec![0.7; 40 * 2 * MELS]).iter().all(|l| *l == Lift::default()));
    }
}
