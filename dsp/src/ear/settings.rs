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
                bias: 3.224,
                weights: [
                    0.252, 0.059, 0.029, -0.004, 0.022, -0.021, -0.079, 0.131, -0.036, -0.183, 0.021, -0.094, 0.126,
                    0.952, 0.049, -0.081, -0.151, 0.256, 0.882, 0.613, 0.059, -0.026, -0.095, -0.218, 0.032, 0.206,
                    0.396, -0.813, -0.072, 0.003, 0.185,
                ],
            },
            decision_drawn: Decision {
                bias: 2.466,
                weights: [
                    0.305, 0.269, 0.074, -0.021, 0.026, 0.033, -0.096, 0.234, 0.257, -0.256, -0.336, -0.313, -0.013,
                    0.632, -0.303, 0.281, -0.168, 0.174, -0.067, -0.071, 0.269, 0.082, 0.181, -0.101, -0.237, 0.093,
                    -0.521, -0.324, 0.009, 0.410, 0.371,
                ],
            },
            blind: BlindCalibration {
                frequency: 0.5,
                strange: -6.0,
                follow: 0.5,
                temperature: 1.2,
            },
            apart: ApartCalibration {
                belief: 0.3,
                lift: 2.25,
                level: 1.1,
                group: 1.8,
                treble: 1.6,
                turn: -2.0,
                doubt: 0.60,
                unlike: 0.35,
                benefit: 10.0,
            },
            compare: 0.9,
            each_sound: 0.5,
            doubt_target: 1.0,
            doubt_blind: 0.65,
            drawn_weight: 0.8,
            doubt_drawn: 0.75,
            affirm: 0.97,
            contradict: 0.8,
        }
    }
}
