//! What was set on speakers kept from training, by `measure calibrate`.

use crate::apart::ApartCalibration;
use crate::blind::BlindCalibration;
use crate::count::Calibration;
use crate::decide::Decision;

/// All that was set on speakers kept from training, in one place.
#[derive(Clone, Copy, Debug)]
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
    /// Least probability at which the target's own sounds are said to be heard.
    pub affirm: f32,
    /// Least probability at which the target is contradicted.
    pub contradict: f32,
}

impl Default for Settings {
    fn default() -> Self {
        Settings {
            target: Calibration {
                fewer: -1.0,
                more: -1.0,
                changed: -1.0,
                other: -8.0,
                temperature: 1.25,
                word: 30.0,
                frequency: 0.3,
            },
            decision: Decision {
                bias: 2.449,
                weights: [
                    0.242, 0.078, 0.088, 0.013, 0.022, -0.010, -0.011, 0.088, -0.061, -0.187, -0.003, -0.107, 0.114,
                    0.708, -0.094, 0.090, -0.137, 0.105, 1.099, 0.472, 0.078, -0.017, -0.192, -0.200, -0.033, 0.069,
                    0.507, -0.781, -0.110, 0.004, 0.210,
                ],
            },
            decision_drawn: Decision {
                bias: 5.334,
                weights: [
                    0.345, 0.195, -0.094, 0.005, 0.032, 0.009, 0.037, 0.205, 0.188, -0.062, -0.124, -0.123, 0.020,
                    0.708, -0.053, 0.099, -0.096, 0.143, -0.129, 0.159, 0.195, -0.098, -0.047, -0.068, -0.185, 0.100,
                    -0.396, -0.655, -0.086, 0.256, 0.295,
                ],
            },
            blind: BlindCalibration {
                frequency: 0.5,
                strange: -3.0,
                follow: 1.0,
                temperature: 1.0,
            },
            apart: ApartCalibration {
                belief: 0.3,
                lift: 2.25,
                level: 1.1,
                group: 1.0,
                treble: 1.6,
                turn: -2.0,
                doubt: 0.65,
                unlike: 0.35,
                benefit: 10.0,
            },
            compare: 1.0,
            each_sound: 0.5,
            doubt_target: 1.0,
            doubt_blind: 0.6,
            affirm: 0.97,
            contradict: 0.8,
        }
    }
}
