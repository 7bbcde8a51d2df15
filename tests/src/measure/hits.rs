//! Hits among tries, with their interval.

/// Hits among tries.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Hits {
    /// Right ones.
    pub right: usize,
    /// All.
    pub of: usize,
}

impl Hits {
    /// Adds hits.
    pub fn add(&mut self, right: usize, of: usize) {
        self.right += right;
        self.of += of;
    }

    /// The share of right ones, 0 to 1.
    pub fn share(self) -> f64 {
        self.right as f64 / self.of.max(1) as f64
    }

    /// The share with the 95 % interval of Wilson (1927), in percent.
    pub fn shown(self) -> String {
        let (n, p, z) = (self.of.max(1) as f64, self.share(), 1.96_f64);
        let middle = (p + z * z / (2.0 * n)) / (1.0 + z * z / n);
        let half = z / (1.0 + z * z / n) * (p * (1.0 - p) / n + z * z / (4.0 * n * n)).sqrt();
        let [low, high] = [middle - half, middle + half].map(|x| 100.0 * x);
        format!(
            "{:.1} % [{low:.1}, {high:.1}] ({} of {})",
            100.0 * p,
            self.right,
            self.of
        )
    }
}
