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
                bias: 3.582,
                weights: [
                    0.259, 0.000, 0.093, -0.003, 0.032, 0.003, -0.015, 0.047, -0.026, -0.107, -0.016, -0.088, 0.107,
                    0.698, -0.105, 0.146, -0.141, 0.135, 0.940, 0.267, 0.000, -0.179, -0.191, -0.295, -0.113, 0.132,
                    0.464, -0.443, -0.031, 0.085, 0.199,
                ],
            },
            blind: BlindCalibration {
                frequency: 0.5,
                strange: -3.0,
                follow: 1.0,
                temperature: 1.0,
            },
            apart: ApartCalibration {
                belief: 0.45,
                lift: 2.25,
                level: 1.1,
                group: 1.8,
                treble: 1.6,
                turn: -1.25,
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
