//! Whether the target was said: a small calibrated stage over what the readings around it scored.
//!
//! The forward scores say how much better one reading fits than another, but not how far to trust that: frames repeat
//! each other, and the best of three hundred wrong readings is often good by chance. So some twenty measures of the
//! comparison are weighed by a logistic regression (Platt 1999, *Probabilistic outputs for support vector machines*;
//! Cox 1958, J. R. Stat. Soc. B 20, 215-242) that was fitted on speakers kept from training (`measure calibrate`).

use soundbead_data::Sound;

use crate::align::log_sum;
use crate::count::{Calibration, Reading, Slip, near};
use crate::model::{CLASSES, Scores, class_of};

/// How many times likelier it is, before anything is heard, that a word was said right than that it was not: a choice,
/// nine of ten. It moves how sure the probabilities are, not which readings they put first.
pub const RIGHT_TO_WRONG: f32 = 9.0;
/// Comparisons of scores, the first of the measures.
const SCORES: usize = 12;
/// Measures that are not made from others.
const PLAIN: usize = SCORES + 7;
/// Measures of one comparison.
pub const MEASURES: usize = PLAIN + SCORES;
/// What each measure is, in order. The last twelve are the first twelve again where they are above 0, and 0 below: how
/// far another reading wins says something else than how far it loses. "Any" and "word" are sums over the readings of a
/// kind; "best" is the one that fits best, which says most where what was said is no word.
pub const NAMES: [&str; MEASURES] = [
    "any fewer",
    "any more",
    "any changed",
    "word fewer",
    "word more",
    "word changed",
    "any row",
    "odds",
    "best fewer",
    "best more",
    "best near",
    "best far",
    "second near",
    "weakest sound",
    "mean sound",
    "weakest against others",
    "mean against others",
    "shortest sound",
    "time a sound",
    "any fewer wins",
    "any more wins",
    "any changed wins",
    "word fewer wins",
    "word more wins",
    "word changed wins",
    "any row wins",
    "odds for",
    "best fewer wins",
    "best more wins",
    "best near wins",
    "best far wins",
];
/// Scores further apart than this, in nepers, say no more than that.
const FAR: f32 = 12.0;
/// Log-probability under which a sound is no less there than not at all.
const ABSENT: f32 = -8.0;

/// The weights of the measures.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Decision {
    /// Log-odds of "the target was said" where every measure is 0.
    pub bias: f32,
    /// What each measure adds.
    pub weights: [f32; MEASURES],
}

impl Decision {
    /// Probability that the target was said.
    pub fn probability(&self, measures: &[f32; MEASURES]) -> f32 {
        let odds = self.bias + self.weights.iter().zip(measures).map(|(w, m)| w * m).sum::<f32>();
        1.0 / (1.0 + (-odds).exp())
    }
}

/// What is compared, for one pronunciation of the target.
pub struct Comparison<'a> {
    /// The readings, the target's own among them; those that count as the target are marked in `own`.
    pub readings: &'a [Reading],
    /// For each reading, whether it counts as the target.
    pub own: &'a [bool],
    /// Natural log of the evidence for any row of sounds.
    pub row: f32,
    /// The target's sounds, and the frames where they lie.
    pub sounds: &'a [Sound],
    /// First and one past the last frame of each sound.
    pub cuts: &'a [(usize, usize)],
    /// Log-probabilities over time.
    pub scores: &'a Scores,
}

impl Comparison<'_> {
    /// The measures, in the order of [`NAMES`].
    pub fn measures(&self, c: &Calibration) -> [f32; MEASURES] {
        let all = || self.readings.iter().zip(self.own);
        let best_own = |value: &dyn Fn(&Reading) -> f32| {
            all()
                .filter(|(_, own)| **own)
                .map(|(r, _)| value(r))
                .fold(f32::MIN, f32::max)
        };
        let own = best_own(&|r| r.score);
        let kind = |which: fn(Slip) -> bool, value: &dyn Fn(&Reading) -> Option<f32>| {
            let others = all().filter(|(r, own)| !**own && which(r.slip));
            let values: Vec<f32> = others.filter_map(|(r, _)| Some(r.score + value(r)?)).collect();
            (log_sum(values.iter().copied()) - own).clamp(-FAR, FAR)
        };
        let any = |which| kind(which, &|r| Some(r.likely.ln()));
        let word = |which| kind(which, &|r| r.zipf.map(|z| c.common(z)));
        let others: Vec<f32> = all().filter(|(_, own)| !**own).map(|(r, _)| r.weight(c)).collect();
        let against = log_sum(others.iter().copied().chain([c.other + c.temperature * self.row]));
        let odds = best_own(&|r| r.weight(c)) - against;
        let [fewer, more, near, far, second] = self.best(own).map(|v| v.clamp(-FAR, FAR));
        let [weakest, mean, weakest_odds, mean_odds] = self.beliefs();
        let (shortest, each) = self.lengths();
        let kinds: [fn(Slip) -> bool; 3] = [Slip::is_fewer, Slip::is_more, Slip::is_changed];
        let [a, b, d] = kinds.map(any);
        let [e, f, g] = kinds.map(word);
        let row = (self.row - own).clamp(-FAR, FAR);
        let odds = odds.clamp(-FAR, FAR);
        let scores = [a, b, d, e, f, g, row, odds, fewer, more, near, far];
        let rest = [second, weakest, mean, weakest_odds, mean_odds, shortest, each];
        std::array::from_fn(|i| match i {
            0..SCORES => scores[i],
            SCORES..PLAIN => rest[i - SCORES],
            _ => scores[i - PLAIN].max(0.0),
        })
    }

    /// How much better than the target the best reading fits with a sound left out, one added, one changed into a near
    /// one, one changed into any other; and the best with a near change at another place than the best of those.
    fn best(&self, own: f32) -> [f32; 5] {
        let mut best = [f32::MIN; 4];
        let mut near_at = vec![f32::MIN; self.sounds.len()];
        let others = self.readings.iter().zip(self.own).filter(|(_, own)| !**own);
        for (reading, _) in others {
            let kind = match reading.slip {
                Slip::None => continue,
                Slip::Fewer(_) => 0,
                Slip::More(..) => 1,
                Slip::Changed(at, sound) if near(self.sounds[at], sound) => {
                    near_at[at] = near_at[at].max(reading.score);
                    2
                }
                Slip::Changed(..) => 3,
            };
            best[kind] = best[kind].max(reading.score);
        }
        near_at.sort_by(|a, b| b.total_cmp(a));
        let second = near_at.get(1).copied().unwrap_or(f32::MIN);
        let [fewer, more, near, far] = best;
        [fewer, more, near, far, second].map(|score| score - own)
    }

    /// Over the frames of each of the target's sounds, its mean log-probability, and how far that lies above the best
    /// other class of each frame: of each, the least of the sounds, and their mean.
    fn beliefs(&self) -> [f32; 4] {
        let mean = |values: &[f32]| values.iter().sum::<f32>() / values.len().max(1) as f32;
        let of = |value: &dyn Fn(&[f32; CLASSES], usize) -> f32| -> Vec<f32> {
            let each = |(sound, &(from, to)): (&Sound, &(usize, usize))| {
                let rows = &self.scores.rows[from..to];
                mean(&rows.iter().map(|r| value(r, class_of(*sound))).collect::<Vec<_>>())
            };
            self.sounds.iter().zip(self.cuts).map(each).collect()
        };
        let least = |values: &[f32]| values.iter().copied().fold(-ABSENT, f32::min);
        let belief = of(&|row, class| row[class]);
        let odds = of(&|row, class| {
            let others = row.iter().enumerate().filter(|(c, _)| *c != class);
            row[class] - others.fold(f32::MIN, |m, (_, v)| m.max(*v))
        });
        [least(&belief), mean(&belief), least(&odds), mean(&odds)].map(|v| v.clamp(ABSENT, -ABSENT))
    }

    /// Natural logs of the frames of the shortest sound, and of the frames a sound.
    fn lengths(&self) -> (f32, f32) {
        let shortest = self.cuts.iter().map(|(a, b)| b - a).min().unwrap_or(1).max(1);
        let whole = self.cuts.first().zip(self.cuts.last()).map_or(1, |(a, b)| b.1 - a.0);
        let each = whole as f32 / self.sounds.len().max(1) as f32;
        ((shortest as f32).ln(), each.max(1.0).ln())
    }
}
