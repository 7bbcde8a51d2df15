//! How loud it is: the level meter beside the record button.

/// What the meter shows for silence, in dBFS.
pub const FLOOR_DBFS: f32 = -90.0;
/// How fast the shown level falls, in dB a second.
const FALL_DB_PER_S: f32 = 24.0;
/// How long the highest peak stays up, in seconds.
const HOLD_S: f32 = 1.5;
/// A sample this near to full scale counts as clipped.
const TOP: f32 = 0.999;
/// So many such samples in a row are clipping; one or two may be chance.
const RUN: usize = 3;

/// A level meter. Levels are in dB below full scale: a square wave at full scale has 0, a sine -3 (RMS) and 0 (peak).
#[derive(Clone, Debug)]
pub struct Meter {
    rms_dbfs: f32,
    peak_dbfs: f32,
    held_dbfs: f32,
    held_for_s: f32,
    run: usize,
    clipped: bool,
}

impl Default for Meter {
    fn default() -> Meter {
        Meter {
            rms_dbfs: FLOOR_DBFS,
            peak_dbfs: FLOOR_DBFS,
            held_dbfs: FLOOR_DBFS,
            held_for_s: 0.0,
            run: 0,
            clipped: false,
        }
    }
}

impl Meter {
    /// Takes the samples of the last `seconds`, all channels together.
    pub fn push(&mut self, samples: &[f32], seconds: f32) {
        if samples.is_empty() {
            return;
        }
        let power = samples.iter().map(|x| x * x).sum::<f32>() / samples.len() as f32;
        let peak = samples.iter().fold(0.0f32, |m, x| m.max(x.abs()));
        let fallen = self.rms_dbfs - FALL_DB_PER_S * seconds;
        self.rms_dbfs = (10.0 * power.log10()).max(fallen).max(FLOOR_DBFS);
        self.peak_dbfs = (20.0 * peak.log10()).max(FLOOR_DBFS);
        self.held_for_s += seconds;
        if self.peak_dbfs >= self.held_dbfs || self.held_for_s > HOLD_S {
            (self.held_dbfs, self.held_for_s) = (self.peak_dbfs, 0.0);
        }
        for x in samples {
            self.run = if x.abs() >= TOP { self.run + 1 } else { 0 };
            self.clipped |= self.run >= RUN;
        }
    }

    /// Mean level of the last samples; falls no faster than an eye can follow.
    pub fn rms_dbfs(&self) -> f32 {
        self.rms_dbfs
    }

    /// Highest peak of the last samples.
    pub fn peak_dbfs(&self) -> f32 {
        self.peak_dbfs
    }

    /// Highest peak of the last second and a half.
    pub fn held_dbfs(&self) -> f32 {
        self.held_dbfs
    }

    /// Whether full scale was reached three samples running since this meter was made.
    pub fn clipped(&self) -> bool {
        self.clipped
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// IEC 60268-18 and AES17 agree with arithmetic here: a full-scale sine peaks at 0 dB, its RMS is 3.01 dB lower
    /// where a square wave defines full scale (AES17 would define it by the sine).
    #[test]
    fn a_sine_reads_three_decibels_under_its_peak() {
        let sine: Vec<f32> = (0..1600)
            .map(|i| 0.5 * (i as f32 * std::f32::consts::TAU / 16.0).sin())
            .collect();
        let mut meter = Meter::default();
        meter.push(&sine, 0.1);
        assert!((meter.peak_dbfs() + 6.02).abs() < 0.01, "{}", meter.peak_dbfs());
        assert!((meter.rms_dbfs() + 9.03).abs() < 0.01, "{}", meter.rms_dbfs());
        assert!(!meter.clipped());
    }

    #[test]
    fn it_falls_slowly_and_holds_its_peak() {
        let mut meter = Meter::default();
        meter.push(&[0.5; 160], 0.01);
        meter.push(&[0.0; 1600], 0.1);
        assert!((meter.rms_dbfs() + 6.02 + 2.4).abs() < 0.01);
        assert!((meter.held_dbfs() + 6.02).abs() < 0.01);
        meter.push(&[0.0; 1600], 5.0);
        assert_eq!((meter.rms_dbfs(), meter.held_dbfs()), (FLOOR_DBFS, FLOOR_DBFS));
    }

    #[test]
    fn clipping_is_full_scale_three_samples_running_even_over_two_pushes() {
        let mut meter = Meter::default();
        meter.push(&[0.2, 1.0, 1.0], 0.01);
        assert!(!meter.clipped());
        meter.push(&[1.0, 0.1], 0.01);
        assert!(meter.clipped());
    }
}
