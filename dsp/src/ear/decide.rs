//! Whether the target was said: a small calibrated stage over what the readings around it scored.
//!
//! The forward scores say how much better one reading fits than another, but not how far to trust that: frames repeat
//! each other, and the best of three hundred wrong readings is often good by chance. So some twenty measures of the
//! comparison are weighed by a logistic regression (Platt 1999, *Probabilistic outputs for support vector machines*;
//! Cox 1958, J. R. Stat. Soc. B 20, 215-242) that was fitted on speakers kept from training (`measure calibrate`).

use serde::{Deserialize, Serialize};
use soundbead_data::Sound;

use crate::ear::align::log_sum;
use crate::ear::count::{Calibration, ScoredReading, Slip, near};
use crate::ear::model::{CLASSES, Mark, Scores, class_of};

/// How many times likelier it is, before anything is heard, that a word was said right than that it was not: a choice,
/// nine of ten. It moves how sure the probabilities are, not which readings they put first.
pub const RIGHT_TO_WRONG: f32 = 9.0;

/// Writes the measures once: as a struct, as names and as numbers in order.
macro_rules! measures {
    ($($(#[$about:meta])* $name:ident,)*) => {
        /// Measures of one comparison, or one weight for each of them. Differences of scores are in nepers, above 0 where
        /// another reading wins. "Any" and "word" are sums over the readings of a kind; "best" is the one that fits best,
        /// which says most where what was said is no word. A weight that the model's package does not name is 0: a measure may be
        /// added before it is fitted.
        #[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
        #[serde(default, deny_unknown_fields)]
        pub struct Measures {
            $($(#[$about])* pub $name: f32,)*
        }

        /// How many measures there are.
        pub const MEASURES: usize = [$(stringify!($name)),*].len();

        impl Measures {
            /// The numbers, in the order of the fields.
            pub fn values(&self) -> [f32; MEASURES] {
                [$(self.$name),*]
            }

            /// From numbers in the order of the fields.
            #[cfg(feature = "measure")]
            pub fn from_values([$($name),*]: [f32; MEASURES]) -> Measures {
                Measures { $($name),* }
            }
        }
    };
}

measures! {
    /// All readings with a sound left out against the target.
    any_fewer,
    /// All with a sound added.
    any_more,
    /// All with a sound changed.
    any_changed,
    /// Those with a sound left out that make a word, weighed by how common it is.
    word_fewer,
    /// Words with a sound added.
    word_more,
    /// Words with a sound changed.
    word_changed,
    /// Any sounds in a row.
    any_row,
    /// Log-odds of the target by the readings' weights, priors included; above 0 for the target.
    odds,
    /// The best reading with a sound left out.
    best_fewer,
    /// The best with a sound added.
    best_more,
    /// The best with a sound changed into a near one.
    best_near,
    /// The best with a sound changed into any other.
    best_far,
    /// The best with a near change at another place than `best_near`.
    second_near,
    /// Of the target's sounds, the least mean log-probability over its frames.
    weakest_sound,
    /// The mean over the sounds of the same.
    mean_sound,
    /// Of the target's sounds, the least that it lies over the best other class of each frame.
    weakest_margin,
    /// The mean over the sounds of the same.
    mean_margin,
    /// Natural log of the frames of the shortest sound.
    shortest_sound,
    /// Natural log of the frames a sound.
    frames_a_sound,
    /// `any_fewer` where it is above 0, and 0 below, and so with the rest: how far another reading wins says something else
    /// than how far it loses.
    any_fewer_wins,
    /// See `any_fewer_wins`.
    any_more_wins,
    /// See `any_fewer_wins`.
    any_changed_wins,
    /// See `any_fewer_wins`.
    word_fewer_wins,
    /// See `any_fewer_wins`.
    word_more_wins,
    /// See `any_fewer_wins`.
    word_changed_wins,
    /// See `any_fewer_wins`.
    any_row_wins,
    /// See `any_fewer_wins`; here the target wins.
    odds_wins,
    /// See `any_fewer_wins`.
    best_fewer_wins,
    /// See `any_fewer_wins`.
    best_more_wins,
    /// See `any_fewer_wins`.
    best_near_wins,
    /// See `any_fewer_wins`.
    best_far_wins,
    /// Log-odds that a trained listener calls the word's weakest sound right ([`Mark`]).
    least_right,
    /// The same of its second weakest.
    second_right,
    /// Natural log of all its sounds being called right.
    all_right,
    /// The mean over its sounds of the same.
    mean_right,
    /// Natural log of none of its sounds being called wrong.
    none_wrong,
    /// Log-odds of the sound that is likeliest called wrong.
    most_wrong,
    /// Log-odds of a sound being heard that the word does not have, where it is likeliest.
    most_added,
    /// Natural log of the word's sounds.
    how_many,
}

/// Scores further apart than this, in nepers, say no more than that.
const FAR: f32 = 12.0;
/// Least share of listeners that is told from none, for its logarithm.
const NOBODY: f32 = 1e-4;
/// Log-probability under which a sound is no less there than not at all.
const ABSENT: f32 = -8.0;

/// The weights of the measures.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Decision {
    /// Log-odds of "the target was said" where every measure is 0.
    pub bias: f32,
    /// What each measure adds.
    pub weights: Measures,
}

impl Decision {
    /// Probability that the target was said.
    pub fn probability(&self, measures: &Measures) -> f32 {
        let weighed = self.weights.values().into_iter().zip(measures.values());
        let odds = self.bias + weighed.map(|(w, m)| w * m).sum::<f32>();
        1.0 / (1.0 + (-odds).exp())
    }
}

/// What is compared, for one pronunciation of the target.
pub struct Comparison<'a> {
    /// The readings, the target's own among them; those that count as the target are marked in `own`.
    pub readings: &'a [ScoredReading],
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
    /// What trained listeners would say of each sound; empty where they are not asked.
    pub marks: &'a [Mark],
}

/// Natural log of the odds of a share.
pub fn log_odds(share: f32) -> f32 {
    let share = share.clamp(NOBODY, 1.0 - NOBODY);
    (share / (1.0 - share)).ln()
}

/// What trained listeners would say of the sounds; nothing else is filled in.
pub fn marked(marks: &[Mark]) -> Measures {
    let Some(last) = marks.last() else {
        return Measures::default();
    };
    let mut right: Vec<f32> = marks.iter().map(|m| log_odds(m.right)).collect();
    right.sort_by(f32::total_cmp);
    let surely = log_odds(1.0);
    let logs = |of: fn(&Mark) -> f32| marks.iter().map(|m| of(m).max(NOBODY).ln()).sum::<f32>();
    let most = |of: fn(&Mark) -> f32| marks.iter().map(|m| log_odds(of(m))).fold(-surely, f32::max);
    let (n, all_right) = (marks.len() as f32, logs(|m| m.right));
    Measures {
        least_right: right[0],
        second_right: right.get(1).copied().unwrap_or(surely),
        all_right,
        mean_right: all_right / n,
        none_wrong: logs(|m| 1.0 - m.wrong),
        most_wrong: most(|m| m.wrong),
        most_added: most(|m| m.added_before).max(log_odds(last.added_after)),
        how_many: n.ln(),
        ..Measures::default()
    }
}

impl Measures {
    /// Fills in how far each other reading wins; 0 where it loses.
    fn with_wins(self) -> Measures {
        Measures {
            any_fewer_wins: self.any_fewer.max(0.0),
            any_more_wins: self.any_more.max(0.0),
            any_changed_wins: self.any_changed.max(0.0),
            word_fewer_wins: self.word_fewer.max(0.0),
            word_more_wins: self.word_more.max(0.0),
            word_changed_wins: self.word_changed.max(0.0),
            any_row_wins: self.any_row.max(0.0),
            odds_wins: self.odds.max(0.0),
            best_fewer_wins: self.best_fewer.max(0.0),
            best_more_wins: self.best_more.max(0.0),
            best_near_wins: self.best_near.max(0.0),
            best_far_wins: self.best_far.max(0.0),
            ..self
        }
    }
}

impl Comparison<'_> {
    /// The measures.
    pub fn measures(&self, c: &Calibration) -> Measures {
        let all = || self.readings.iter().zip(self.own);
        let best_own = |value: &dyn Fn(&ScoredReading) -> f32| {
            all()
                .filter(|(_, own)| **own)
                .map(|(r, _)| value(r))
                .fold(f32::MIN, f32::max)
        };
        let own = best_own(&|r| r.score);
        let kind = |which: fn(Slip) -> bool, value: &dyn Fn(&ScoredReading) -> Option<f32>| {
            let others = all().filter(|(r, own)| !**own && which(r.slip));
            let values: Vec<f32> = others.filter_map(|(r, _)| Some(r.score + value(r)?)).collect();
            (log_sum(values.iter().copied()) - own).clamp(-FAR, FAR)
        };
        let any = |which| kind(which, &|r| Some(r.likely.ln()));
        let word = |which| kind(which, &|r| r.zipf.map(|z| c.common(z)));
        let others: Vec<f32> = all().filter(|(_, own)| !**own).map(|(r, _)| r.weight(c)).collect();
        let against = log_sum(others.iter().copied().chain([c.other + c.temperature * self.row]));
        let odds = best_own(&|r| r.weight(c)) - against;
        let odds = odds.clamp(-FAR, FAR);
        let any_row = (self.row - own).clamp(-FAR, FAR);
        let kinds: [fn(Slip) -> bool; 3] = [Slip::is_fewer, Slip::is_more, Slip::is_changed];
        let [any_fewer, any_more, any_changed] = kinds.map(any);
        let [word_fewer, word_more, word_changed] = kinds.map(word);
        let [best_fewer, best_more, best_near, best_far, second_near] = self.best(own).map(|v| v.clamp(-FAR, FAR));
        let [weakest_sound, mean_sound, weakest_margin, mean_margin] = self.beliefs();
        let (shortest_sound, frames_a_sound) = self.lengths();
        Measures {
            any_fewer,
            any_more,
            any_changed,
            word_fewer,
            word_more,
            word_changed,
            any_row,
            odds,
            best_fewer,
            best_more,
            best_near,
            best_far,
            second_near,
            weakest_sound,
            mean_sound,
            weakest_margin,
            mean_margin,
            shortest_sound,
            frames_a_sound,
            ..marked(self.marks)
        }
        .with_wins()
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
