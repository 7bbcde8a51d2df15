//! What was set on speakers kept from training, by `measure calibrate`.

use crate::ear::apart::ApartCalibration;
use crate::ear::blind::BlindCalibration;
use crate::ear::count::Calibration;
use crate::ear::decide::{Decision, Measures};

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
                weights: Measures {
                    any_fewer: 0.252,
                    any_more: 0.059,
                    any_changed: 0.029,
                    word_fewer: -0.004,
                    word_more: 0.022,
                    word_changed: -0.021,
                    any_row: -0.079,
                    odds: 0.131,
                    best_fewer: -0.036,
                    best_more: -0.183,
                    best_near: 0.021,
                    best_far: -0.094,
                    second_near: 0.126,
                    weakest_sound: 0.952,
                    mean_sound: 0.049,
                    weakest_margin: -0.081,
                    mean_margin: -0.151,
                    shortest_sound: 0.256,
                    frames_a_sound: 0.882,
                    any_fewer_wins: 0.613,
                    any_more_wins: 0.059,
                    any_changed_wins: -0.026,
                    word_fewer_wins: -0.095,
                    word_more_wins: -0.218,
                    word_changed_wins: 0.032,
                    any_row_wins: 0.206,
                    odds_wins: 0.396,
                    best_fewer_wins: -0.813,
                    best_more_wins: -0.072,
                    best_near_wins: 0.003,
                    best_far_wins: 0.185,
                },
            },
            decision_drawn: Decision {
                bias: 2.466,
                weights: Measures {
                    any_fewer: 0.305,
                    any_more: 0.269,
                    any_changed: 0.074,
                    word_fewer: -0.021,
                    word_more: 0.026,
                    word_changed: 0.033,
                    any_row: -0.096,
                    odds: 0.234,
                    best_fewer: 0.257,
                    best_more: -0.256,
                    best_near: -0.336,
                    best_far: -0.313,
                    second_near: -0.013,
                    weakest_sound: 0.632,
                    mean_sound: -0.303,
                    weakest_margin: 0.281,
                    mean_margin: -0.168,
                    shortest_sound: 0.174,
                    frames_a_sound: -0.067,
                    any_fewer_wins: -0.071,
                    any_more_wins: 0.269,
                    any_changed_wins: 0.082,
                    word_fewer_wins: 0.181,
                    word_more_wins: -0.101,
                    word_changed_wins: -0.237,
                    any_row_wins: 0.093,
                    odds_wins: -0.521,
                    best_fewer_wins: -0.324,
                    best_more_wins: 0.009,
                    best_near_wins: 0.410,
                    best_far_wins: 0.371,
                },
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
