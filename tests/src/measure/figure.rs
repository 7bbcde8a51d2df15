//! Figures with their intervals.

/// The interval of Wilson (1927), J. Am. Stat. Assoc. 22, 209-212, for `hits` of `n`, at 95 %: low and high, 0 to 1.
pub fn wilson(hits: usize, n: usize) -> (f64, f64) {
    if n == 0 {
        return (0.0, 1.0);
    }
    let (z, n) = (1.959_963_984_540_054, n as f64);
    let p = hits as f64 / n;
    let middle = (p + z * z / (2.0 * n)) / (1.0 + z * z / n);
    let half = z / (1.0 + z * z / n) * (p * (1.0 - p) / n + z * z / (4.0 * n * n)).sqrt();
    ((middle - half).max(0.0), (middle + half).min(1.0))
}

/// `82.4 % (78.1 to 86.0) of 330`.
pub fn share(hits: usize, n: usize) -> String {
    if n == 0 {
        return "none".into();
    }
    let (low, high) = wilson(hits, n);
    format!(
        "{:5.1} % ({:.1} to {:.1}) of {n}",
        100.0 * hits as f64 / n as f64,
        100.0 * low,
        100.0 * high
    )
}

/// The likeliest of counts with their probabilities, the first of equals; nought where there are none.
pub fn likeliest(counts: &[(usize, f32)]) -> (usize, f32) {
    counts.iter().fold((0, 0.0), |m, c| if c.1 > m.1 { *c } else { m })
}

/// Expected calibration error (Naeini, Cooper, Hauskrecht 2015, AAAI) over ten bins of equal width of the top
/// probability: the mean distance between how sure and how often right, weighed by the bins' sizes.
pub fn calibration_error(answers: &[(f32, bool)]) -> f64 {
    let mut bins = [(0.0f64, 0usize, 0usize); 10];
    for &(p, right) in answers {
        let bin = &mut bins[((p * 10.0) as usize).min(9)];
        *bin = (bin.0 + f64::from(p), bin.1 + usize::from(right), bin.2 + 1);
    }
    let gap = |b: &(f64, usize, usize)| (b.0 - b.1 as f64).abs();
    bins.iter().map(gap).sum::<f64>() / answers.len().max(1) as f64
}
