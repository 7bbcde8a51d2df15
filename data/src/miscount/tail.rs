//! How seldom chance would put so many hits on some words, and how many such questions may be asked at once.

/// How many of the words of a group count as hits, each word with weight 1: a word tried several times adds the share of its
/// tries. The sum is cut down to a whole number where it speaks for a claim, and rounded up where it speaks against one.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct WordSum {
    /// Sum of the words' shares.
    pub hits: f64,
    /// Words.
    pub of: usize,
}

impl WordSum {
    /// Adds one word with its share of hits, 0 to 1.
    pub fn put(&mut self, share: f64) {
        self.hits += share;
        self.of += 1;
    }

    /// The mean share of the words, 0 to 1; 0 of none.
    pub fn mean(&self) -> f64 {
        self.hits / self.of.max(1) as f64
    }

    fn cut(&self) -> usize {
        (self.hits + SLACK) as usize
    }
}

/// What sums of shares may be off by in floating point.
const SLACK: f64 = 1e-9;

/// The chance that `with` has its hits or more, were the same number of hits strewn at random over all words of both groups
/// (the exact test of R. A. Fisher 1935, *The Design of Experiments*; the hypergeometric distribution).
///
/// One try a word makes that test exact whatever each word's own chance of a miscount is, as long as that has nothing to do
/// with the group. A share of several tries varies less than one try does, so the chance that is given is then too high
/// rather than too low.
pub fn fisher(with: WordSum, without: WordSum) -> f64 {
    let hits = with.cut();
    let all = hits + (without.hits - SLACK).ceil().max(0.0) as usize;
    let words = with.of + without.of;
    let chance = |n: usize| choose(with.of, n) + choose(without.of, all - n) - choose(words, all);
    let most = all.min(with.of);
    let sum: f64 = (hits..=most)
        .filter(|n| all - n <= without.of)
        .map(|n| chance(n).exp())
        .sum();
    sum.min(1.0)
}

/// As [`fisher`], for as few hits or fewer.
pub fn fisher_few(with: WordSum, without: WordSum) -> f64 {
    let missed = |sum: WordSum| WordSum {
        hits: sum.of as f64 - sum.hits,
        of: sum.of,
    };
    fisher(missed(with), missed(without))
}

/// The logarithm of how many ways there are to take `k` of `n`.
fn choose(n: usize, k: usize) -> f64 {
    factorial(n) - factorial(k) - factorial(n - k)
}

/// The logarithm of the factorial: a sum for small numbers, Stirling's series to 1/(12 n) for others, which is then off by less than
/// 1e-8.
fn factorial(n: usize) -> f64 {
    if n < 200 {
        return (2..=n).map(|i| (i as f64).ln()).sum();
    }
    let n = n as f64;
    n * n.ln() - n + 0.5 * (std::f64::consts::TAU * n).ln() + 1.0 / (12.0 * n)
}

/// Which of some chances of error are small enough that all claims together err at most with chance `rate` (S. Holm 1979,
/// *Scandinavian Journal of Statistics* 6, 65-70).
pub fn held(chances: &[f64], rate: f64) -> Vec<bool> {
    let mut order: Vec<usize> = (0..chances.len()).collect();
    order.sort_by(|a, b| chances[*a].total_cmp(&chances[*b]));
    let mut held = vec![false; chances.len()];
    for (rank, at) in order.into_iter().enumerate() {
        if chances[at] > rate / (chances.len() - rank) as f64 {
            break;
        }
        held[at] = true;
    }
    held
}

#[cfg(test)]
mod tests {
    use super::*;

    fn sum(hits: f64, of: usize) -> WordSum {
        WordSum { hits, of }
    }

    #[test]
    fn fishers_own_example() {
        // R. A. Fisher 1935: the lady who tells all four cups of eight, 1 in 70; three or more of four, 17 in 70.
        assert!((fisher(sum(4.0, 4), sum(0.0, 4)) - 1.0 / 70.0).abs() < 1e-12);
        assert!((fisher(sum(3.0, 4), sum(1.0, 4)) - 17.0 / 70.0).abs() < 1e-12);
        assert!((fisher_few(sum(0.0, 4), sum(4.0, 4)) - 1.0 / 70.0).abs() < 1e-12);
        // Parts of words never speak for a claim.
        assert_eq!(fisher(sum(3.9, 4), sum(0.1, 4)), fisher(sum(3.0, 4), sum(1.0, 4)));
        assert!((fisher(sum(0.0, 300), sum(7.0, 500)) - 1.0).abs() < 1e-6);
    }

    /// 200! is 200 times 199!, though the one is summed and the other is Stirling's.
    #[test]
    fn the_factorial_of_a_large_number_goes_on_from_that_of_a_small_one() {
        for n in [200_usize, 201, 1000] {
            let step = factorial(n) - factorial(n - 1);
            assert!((step - (n as f64).ln()).abs() < 1e-7, "{n}: {step}");
        }
    }

    #[test]
    fn holm_stops_at_the_first_that_is_too_high() {
        // 0.01 <= 0.05 / 4, 0.015 <= 0.05 / 3, but 0.03 > 0.05 / 2.
        assert_eq!(held(&[0.03, 0.01, 0.04, 0.015], 0.05), [false, true, false, true]);
        assert_eq!(held(&[], 0.05), [false; 0]);
    }
}
