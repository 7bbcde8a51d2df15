//! A learner's vowels over the months.

use std::collections::BTreeMap;

use jiff::civil::Date;
use serde::Serialize;
use soundbead_data::Sound;

use super::super::time;
use super::super::voice::VowelMeasure;

/// One vowel in one month.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct VowelMonth {
    /// The month's first day.
    #[serde(with = "time::iso")]
    pub month: Date,
    /// The vowel that was meant.
    pub vowel: Sound,
    /// Geometric mean of F1, Hz.
    pub f1: f64,
    /// Geometric mean of F2, Hz.
    pub f2: f64,
    /// From how many measurements.
    pub times: usize,
}

/// Each vowel's mean in each month, by month and then by vowel. Means are geometric, as those of the norms are.
pub fn vowel_months(measures: &[VowelMeasure]) -> Vec<VowelMonth> {
    let mut sums: BTreeMap<(Date, Sound), (f64, f64, usize)> = BTreeMap::new();
    for m in measures {
        let sum = sums.entry((m.day.first_of_month(), m.vowel)).or_default();
        *sum = (sum.0 + m.f1.ln(), sum.1 + m.f2.ln(), sum.2 + 1);
    }
    let mean = |((month, vowel), (f1, f2, times)): ((Date, Sound), (f64, f64, usize))| VowelMonth {
        month,
        vowel,
        f1: (f1 / times as f64).exp(),
        f2: (f2 / times as f64).exp(),
        times,
    };
    sums.into_iter().map(mean).collect()
}
