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
                bias: 5.355,
                weights: [
                    0.043, -0.150, 0.233, -0.015, -0.021, -0.027, 0.091, 0.432, 0.803, 0.024, 0.039, 0.285,
                ],
            },
            blind: BlindCalibration {
                frequency: 0.5,
                strange: -4.0,
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
            doubt_target: 1.0,
            doubt_blind: 0.9,
            affirm: 0.95,
            contradict: 0.75,
        }
    }
}
