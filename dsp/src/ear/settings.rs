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
    /// Whether the target was said.
    pub decision: Decision,
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
                bias: 2.655,
                weights: [
                    0.266, 0.051, 0.085, 0.008, 0.024, -0.013, -0.014, 0.139, -0.078, -0.144, 0.007, -0.101, 0.097,
                    0.639, 0.096, 0.091, -0.199, 0.166, 1.088, 0.483, 0.051, -0.030, -0.163, -0.223, -0.006, 0.096,
                    0.414, -0.747, -0.033, 0.011, 0.157,
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
                lift: 2.75,
                level: 1.1,
                group: 1.8,
                treble: 1.6,
                turn: -2.0,
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
