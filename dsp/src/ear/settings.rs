//! What was set on speakers kept from training, by `measure calibrate`. The numbers stand in the model's package; here are
//! their names.

use serde::{Deserialize, Serialize};

use crate::ear::apart::ApartCalibration;
use crate::ear::blind::BlindCalibration;
use crate::ear::count::Calibration;
use crate::ear::decide::{Decision, Measures, log_odds};
use crate::judgement::Speaking;

/// All that was set on speakers kept from training, in one place.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Settings {
    /// Around a target, for words said whole.
    pub target: Calibration,
    /// Whether the target was said and no other reading, for words said whole.
    pub decision: Decision,
    /// Whether trained listeners would mark no sound of it as wrong and none as added, for words said whole; none where they were
    /// not asked.
    #[serde(default)]
    pub slips: Option<Decision>,
    /// Without a target.
    pub blind: BlindCalibration,
    /// Sounds said apart.
    pub apart: ApartCalibration,
    /// Factor on forward scores when choosing between words.
    pub compare: f32,
    /// Added for each sound of a word when choosing between words, in nepers: makes up for a network that hears too few
    /// sounds (or, below 0, too many).
    pub each_sound: f32,
    /// Weight of the natural log of a trained listener calling every sound of a word right, when choosing between words.
    #[serde(default)]
    pub compare_right: f32,
    /// Weight of the log-odds of a sound being heard that the word does not have, where it is likeliest.
    #[serde(default)]
    pub compare_added: f32,
    /// Power on the probabilities of counts around a target; below 1, less sure.
    pub doubt_target: f32,
    /// The same without a target.
    pub doubt_blind: f32,
    /// Power on the probabilities of counts of a word drawn out, without a target.
    pub doubt_drawn: f32,
    /// Least probability at which the target's own sounds are said to be heard.
    pub affirm: f32,
    /// Least probability at which the target is contradicted.
    pub contradict: f32,
    /// The same two for words said whole, which the sixth listener decides.
    #[serde(default)]
    pub whole: Bounds,
    /// The same two for words drawn out, brought back to the length of whole ones.
    #[serde(default)]
    pub drawn: Bounds,
    /// How the sixth listener's share becomes the probability that is told.
    #[serde(default)]
    pub right: RightCalibration,
}

/// From which probability on a word's own sounds are said to be heard, and from which on it is contradicted.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Bounds {
    /// Least probability of the target's own sounds.
    pub affirm: f32,
    /// Least probability of anything else.
    pub contradict: f32,
}

impl Default for Bounds {
    /// As before words said whole had bounds of their own.
    fn default() -> Self {
        Bounds {
            affirm: 0.97,
            contradict: 0.8,
        }
    }
}

impl Settings {
    /// Probability that the target was said as it should be: that no other reading was said, and that nobody would mark a slip, where
    /// that can be asked. Each says what the other cannot, so that both must hold.
    pub fn same(&self, measures: &Measures) -> f32 {
        let no_slip = self.slips.map_or(1.0, |slips| slips.probability(measures));
        self.decision.probability(measures) * no_slip
    }

    /// The bounds for words said in this way.
    pub fn bounds(&self, speaking: Speaking) -> Bounds {
        match speaking {
            Speaking::Whole => self.whole,
            Speaking::Stretched => self.drawn,
            Speaking::Separate => Bounds {
                affirm: self.affirm,
                contradict: self.contradict,
            },
        }
    }
}

/// A line through log-odds (Platt 1999, *Probabilistic outputs for support vector machines*).
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct RightCalibration {
    /// Factor on the log-odds; below 1, less sure.
    pub slope: f32,
    /// Added to them.
    pub shift: f32,
}

impl Default for RightCalibration {
    fn default() -> Self {
        RightCalibration { slope: 1.0, shift: 0.0 }
    }
}

impl RightCalibration {
    /// The probability for a share of listeners.
    pub fn of(&self, share: f32) -> f32 {
        1.0 / (1.0 + (-(self.slope * log_odds(share) + self.shift)).exp())
    }
}
