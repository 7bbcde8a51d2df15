//! What was set on speakers kept from training, by `measure calibrate`. The numbers stand in the model's package; here are
//! their names.

use serde::{Deserialize, Serialize};

use crate::ear::apart::ApartCalibration;
use crate::ear::blind::BlindCalibration;
use crate::ear::count::Calibration;
use crate::ear::decide::Decision;

/// All that was set on speakers kept from training, in one place.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Settings {
    /// Around a target, for words said whole.
    pub target: Calibration,
    /// Whether the target was said, for words said whole.
    pub decision: Decision,
    /// The same for words drawn out, whose evidence is weighed down.
    pub decision_drawn: Decision,
    /// Without a target.
    pub blind: BlindCalibration,
    /// Sounds said apart.
    pub apart: ApartCalibration,
    /// Factor on forward scores when choosing between words.
    pub compare: f32,
    /// Added for each sound of a word when choosing between words, in nepers: makes up for a network that hears too few
    /// sounds (or, below 0, too many).
    pub each_sound: f32,
    /// Power on the probabilities of counts around a target; below 1, less sure.
    pub doubt_target: f32,
    /// The same without a target.
    pub doubt_blind: f32,
    /// Factor on the evidence of each frame of a word drawn out, without a target: its frames repeat each other, and how many
    /// sounds share them is not known.
    pub drawn_weight: f32,
    /// Power on the probabilities of counts of a word drawn out, without a target.
    pub doubt_drawn: f32,
    /// Least probability at which the target's own sounds are said to be heard.
    pub affirm: f32,
    /// Least probability at which the target is contradicted.
    pub contradict: f32,
}
