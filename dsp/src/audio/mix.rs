//! Many channels to one.
//!
//! The rule, in order: a channel's constant offset does not count; channels more than 20 dB below the loudest are left
//! out (a dead microphone adds only noise); a channel that runs against the loudest (correlation below -0.5) is turned
//! over, as a miswired lead does that; the rest are averaged; and if the average is still more than 6 dB below the
//! loudest channel, the loudest alone is used.

/// How the channels of a recording were made into one.
#[derive(Debug, Clone, PartialEq)]
pub enum Mix {
    /// There was one channel.
    Mono,
    /// The average of several; `used` are their numbers from 0, `turned` those of them turned over.
    Average {
        /// Channels that went into the average.
        used: Vec<usize>,
        /// Those among them whose sign was turned over.
        turned: Vec<usize>,
    },
    /// One channel alone, by its number from 0.
    One(usize),
}

/// A channel this share of the loudest's power, or less, holds only noise: 20 dB.
const DEAD: f64 = 0.01;
/// Channels within this share of the loudest are equal: the first of them leads.
const EQUAL: f64 = 0.99;
/// A channel that correlates so with the loudest runs against it.
const AGAINST: f64 = -0.5;
/// An average of less than this share of the loudest's power has lost the sound: 6 dB.
const LOST: f64 = 0.25;

/// Mixes channels of equal length, which are used up.
pub fn to_mono(mut channels: Vec<Vec<f32>>) -> (Vec<f32>, Mix) {
    if channels.len() <= 1 {
        return (channels.pop().unwrap_or_default(), Mix::Mono);
    }
    let means: Vec<f64> = channels.iter().map(|c| mean(c)).collect();
    let powers: Vec<f64> = channels.iter().zip(&means).map(|(c, &m)| power(c, m)).collect();
    let most = powers.iter().copied().fold(0.0, f64::max);
    // The first of all but equals, so that a lead turned over against it is the one turned back.
    let best = powers.iter().position(|&p| p >= EQUAL * most).unwrap_or(0);
    if powers[best] == 0.0 {
        return (channels.swap_remove(best), Mix::One(best));
    }
    let used: Vec<usize> = (0..channels.len())
        .filter(|&i| powers[i] >= DEAD * powers[best])
        .collect();
    let turned: Vec<usize> = used
        .iter()
        .copied()
        .filter(|&i| {
            let r = product(&channels[i], means[i], &channels[best], means[best]);
            r < AGAINST * (powers[i] * powers[best]).sqrt()
        })
        .collect();
    let mixed = average(&channels, &used, &turned);
    let kept = power(&mixed, mean(&mixed));
    if used.len() == 1 || kept < LOST * powers[best] {
        return (channels.swap_remove(best), Mix::One(best));
    }
    (mixed, Mix::Average { used, turned })
}

fn average(channels: &[Vec<f32>], used: &[usize], turned: &[usize]) -> Vec<f32> {
    let mut out = vec![0.0f32; channels[0].len()];
    let share = 1.0 / used.len() as f32;
    for &i in used {
        let gain = if turned.contains(&i) { -share } else { share };
        for (o, &x) in out.iter_mut().zip(&channels[i]) {
            *o += gain * x;
        }
    }
    out
}

fn mean(x: &[f32]) -> f64 {
    x.iter().map(|&v| f64::from(v)).sum::<f64>() / x.len().max(1) as f64
}

fn power(x: &[f32], mean: f64) -> f64 {
    product(x, mean, x, mean)
}

/// Mean product about the means.
fn product(x: &[f32], mx: f64, y: &[f32], my: f64) -> f64 {
    let sum: f64 = x
        .iter()
        .zip(y)
        .map(|(&a, &b)| (f64::from(a) - mx) * (f64::from(b) - my))
        .sum();
    sum / x.len().max(1) as f64
}
