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
                bias: 3.395,
                weights: [
                    0.216, 0.023, 0.097, -0.008, 0.023, -0.007, -0.023, 0.149, -0.062, -0.101, 0.009, -0.110, 0.113,
                    0.883, -0.019, -0.063, -0.131, 0.145, 0.831, 0.562, 0.023, -0.026, -0.104, -0.199, -0.002, 0.082,
                    0.452, -0.737, -0.012, 0.008, 0.172,
                ],
            },
            decision_drawn: Decision {
                bias: 5.447,
                weights: [
                    0.368, 0.107, -0.009, 0.004, 0.027, -0.007, 0.014, -0.011, 0.113, -0.047, -0.130, -0.110, 0.021,
                    0.637, 0.076, 0.157, -0.215, 0.103, -0.201, 0.262, 0.107, 0.001, -0.274, -0.171, -0.125, 0.000,
                    0.517, -0.715, -0.047, 0.144, 0.101,
                ],
            },
            blind: BlindCalibration {
                frequency: 0.7,
                strange: -4.5,
                follow: 0.5,
                temperature: 1.4,
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
            compare: 0.8,
            each_sound: 0.5,
            doubt_target: 1.0,
            doubt_blind: 0.55,
            drawn_weight: 0.65,
            doubt_drawn: 0.7,
            affirm: 0.97,
            contradict: 0.8,
        }
    }
}
