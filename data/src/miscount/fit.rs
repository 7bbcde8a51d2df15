//! Several causes estimated together: a logistic regression over words.
//!
//! What is fitted is the share of a word's tries that miss, from how long the word is and from what touches it. Each word
//! weighs once. Causes may only raise the share: one that is never seen in fifty words must not make room for another.

/// Pulls an effect towards none (a ridge; as a prior, a standard deviation of 2 on the scale of log odds): about as much as two
/// words' worth of doubt.
const RIDGE: f64 = 0.25;
/// Rounds of the fit: each improves every effect in turn. Far more than it takes to settle at three digits.
const ROUNDS: usize = 40;
/// Fewest words of a length from which its effect is told.
const ENOUGH: f64 = 5.0;
/// Chances nearer to 0 and 1 than this are not told apart.
const TINY: f64 = 1e-9;
/// The largest change of an effect in one step, on the scale of log odds: from afar Newton's step overshoots.
const STEP: f64 = 2.0;

/// Words that are alike in all that is looked at.
#[derive(Clone, Debug, PartialEq)]
pub struct Alike {
    /// Sounds beyond three, which most words of a first lesson have.
    pub longer: f64,
    /// Which causes touch them, one bit each, in the order in which they were given.
    pub touched: u128,
    /// Sum of the words' shares of misses.
    pub misses: f64,
    /// Words.
    pub words: f64,
}

/// The effects, on the scale of log odds.
#[derive(Clone, Debug, PartialEq)]
pub struct EffectFit {
    /// Whether the words' length is an effect of its own.
    by_length: bool,
    base: f64,
    longer: f64,
    causes: Vec<f64>,
}

impl EffectFit {
    /// Fits the share of misses of all words, from their length and the causes.
    pub fn of(all: &[Alike], causes: usize) -> EffectFit {
        EffectFit::but(all, causes, None, true)
    }

    /// The same without one of the causes, and without the length where it cannot be told apart.
    fn but(all: &[Alike], causes: usize, without: Option<usize>, by_length: bool) -> EffectFit {
        let mut fit = EffectFit {
            by_length,
            base: 0.0,
            longer: 0.0,
            causes: vec![0.0; causes],
        };
        for _ in 0..ROUNDS {
            // The base is not pulled, but for a word's worth of doubt where nothing was missed at all.
            fit.base += fit.step(all, |_| 1.0, 0.02 * fit.base, 0.02);
            if fit.by_length {
                fit.longer += fit.step(all, |a| a.longer, RIDGE * fit.longer, RIDGE);
            }
            for at in (0..causes).filter(|at| Some(*at) != without) {
                let has = |a: &Alike| f64::from(u8::from(a.touched >> at & 1 == 1));
                let moved = fit.causes[at] + fit.step(all, has, RIDGE * fit.causes[at], RIDGE);
                fit.causes[at] = moved.max(0.0);
            }
        }
        fit
    }

    /// The logarithm of how likely it makes what was counted, one try a word.
    fn likely(&self, all: &[Alike]) -> f64 {
        let each = all.iter().map(|a| {
            let p = self.chance(a.longer, a.touched).clamp(TINY, 1.0 - TINY);
            a.misses * p.ln() + (a.words - a.misses) * (1.0 - p).ln()
        });
        each.sum()
    }

    /// Newton's step for one effect.
    fn step(&self, all: &[Alike], x: impl Fn(&Alike) -> f64, pull: f64, stiff: f64) -> f64 {
        let (mut slope, mut curve) = (-pull, stiff);
        for a in all {
            let x = x(a);
            if x != 0.0 {
                let p = self.chance(a.longer, a.touched);
                slope += x * (a.misses - a.words * p);
                curve += x * x * a.words * p * (1.0 - p);
            }
        }
        (slope / curve).clamp(-STEP, STEP)
    }

    /// The share of misses that a word of this kind is to be expected to have.
    pub fn chance(&self, longer: f64, touched: u128) -> f64 {
        let causes = self.causes.iter().enumerate();
        let touch: f64 = causes.filter(|(at, _)| touched >> at & 1 == 1).map(|(_, e)| e).sum();
        1.0 / (1.0 + (-(self.base + self.longer * longer + touch)).exp())
    }
}

/// How seldom chance would make as much of a cause as there is, beside the words' length and the other causes: the ratio of the
/// likelihoods with it and without it (S. S. Wilks 1938, *Annals of Mathematical Statistics* 9, 60-62), to one side. Half of
/// exp(-D / 2) is never below the tail of the normal distribution that belongs to it.
pub fn beside(all: &[Alike], causes: usize, cause: usize) -> f64 {
    let by_length = length_apart(all, cause);
    let (with, without) = (
        EffectFit::but(all, causes, None, by_length),
        EffectFit::but(all, causes, Some(cause), by_length),
    );
    let gain = (with.likely(all) - without.likely(all)).max(0.0);
    0.5 * (-gain).exp()
}

/// Whether the cause can be told from the length of its words: there are words as long without it. Where there are none, the two
/// are one: of short words of one syllable, the longer ones are those with clusters.
fn length_apart(all: &[Alike], cause: usize) -> bool {
    let (with, without): (Vec<&Alike>, Vec<&Alike>) = all.iter().partition(|a| a.touched >> cause & 1 == 1);
    let words: f64 = with.iter().map(|a| a.words).sum();
    let usual = with.iter().map(|a| a.words * a.longer).sum::<f64>() / words.max(1.0);
    let as_long = without.iter().filter(|a| a.longer >= usual.floor());
    as_long.map(|a| a.words).sum::<f64>() >= ENOUGH
}

#[cfg(test)]
mod tests {
    use super::*;

    fn alike(longer: f64, touched: u128, misses: f64, words: f64) -> Alike {
        Alike {
            longer,
            touched,
            misses,
            words,
        }
    }

    #[test]
    fn without_causes_it_is_the_share_itself() {
        let fit = EffectFit::of(&[alike(0.0, 0, 10.0, 40.0)], 0);
        assert!((fit.chance(0.0, 0) - 0.25).abs() < 2e-3);
    }

    #[test]
    fn a_cause_is_apart_from_length_only_where_other_words_are_as_long() {
        let all = [alike(2.0, 0b10, 0.0, 10.0), alike(0.0, 0b01, 0.0, 10.0)];
        assert!(!length_apart(&all, 1), "only its own words are so long");
        assert!(length_apart(&all, 0), "others are longer than its words");
        let untouched = [alike(0.0, 0b1, 0.0, 10.0), alike(2.0, 0, 0.0, 10.0)];
        assert!(length_apart(&untouched, 0), "words that nothing touches are others too");
    }

    #[test]
    fn of_two_causes_the_one_that_does_it_is_told() {
        // Words that the first touches miss, with the second or without it; words of the second alone do not.
        let all = [
            alike(0.0, 0b00, 2.0, 40.0),
            alike(0.0, 0b01, 8.0, 10.0),
            alike(0.0, 0b11, 8.0, 10.0),
            alike(0.0, 0b10, 1.0, 20.0),
        ];
        let fit = EffectFit::of(&all, 2);
        assert!(fit.causes[0] > 2.5 && fit.causes[1] < 0.3, "{fit:?}");
        assert!(beside(&all, 2, 0) < 1e-4 && beside(&all, 2, 1) > 0.1);
        let long = [
            alike(0.0, 0, 4.0, 40.0),
            alike(1.0, 0, 20.0, 40.0),
            alike(2.0, 0, 34.0, 40.0),
            alike(2.0, 1, 9.0, 10.0),
        ];
        let fit = EffectFit::of(&long, 1);
        assert!(fit.longer > 1.0 && fit.causes[0] < 0.5, "{fit:?}");
    }
}
