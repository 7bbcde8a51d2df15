//! A share and how far chance may have moved it.

use serde::{Serialize, Serializer, ser::SerializeStruct};

/// Two-sided 95 % of the normal distribution.
const Z: f64 = 1.959_963_984_540_054;

/// The 95 % interval of a share of `hits` in `n`, by Wilson's score (E. B. Wilson 1927, J. Am. Stat. Assoc. 22, 209-212),
/// without continuity correction. From 0 to 1 when `n` is 0.
pub fn wilson(hits: u64, n: u64) -> (f64, f64) {
    if n == 0 {
        return (0.0, 1.0);
    }
    let (n, p) = (n as f64, hits.min(n) as f64 / n as f64);
    let (z2, scale) = (Z * Z, 1.0 + Z * Z / n);
    let middle = (p + z2 / (2.0 * n)) / scale;
    let half = Z / scale * (p * (1.0 - p) / n + z2 / (4.0 * n * n)).sqrt();
    // At the ends the formula gives 0 and 1 exactly; floating point need not.
    let low = if hits == 0 { 0.0 } else { middle - half };
    let high = if p >= 1.0 { 1.0 } else { middle + half };
    (low.max(0.0), high.min(1.0))
}

/// So many of so many.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Share {
    /// How many.
    pub hits: u64,
    /// Of how many.
    pub of: u64,
}

impl Share {
    /// The share, 0 to 1; none of nothing.
    pub fn value(&self) -> Option<f64> {
        (self.of > 0).then(|| self.hits as f64 / self.of as f64)
    }

    /// Its 95 % interval; see [`wilson`].
    pub fn interval(&self) -> (f64, f64) {
        wilson(self.hits, self.of)
    }
}

/// Writes `{"hits", "of", "low", "high"}`; the interval with four places.
impl Serialize for Share {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        let round = |x: f64| (x * 1e4).round() / 1e4;
        let (low, high) = self.interval();
        let mut share = to.serialize_struct("Share", 4)?;
        share.serialize_field("hits", &self.hits)?;
        share.serialize_field("of", &self.of)?;
        share.serialize_field("low", &round(low))?;
        share.serialize_field("high", &round(high))?;
        share.end()
    }
}
