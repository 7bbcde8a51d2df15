//! The vowels that the program teaches: two published sets of measurements, pooled.
//!
//! The talkers of 1995 (see `table.rs`) came from one region, the upper Midwest, where *cat* has risen above *bed*. Those of
//! 1952 did not raise it. The mean of both puts the vowels in the order of the IPA chart, close to open, as the cards say.
//! Where the sets disagree, the pooled spread is wider, so that a vowel between two neighbors is not named too surely.
//!
//! 1952: Peterson and Barney, Control methods used in a study of the vowels, J. Acoust. Soc. Am. 24, 175-184, table II:
//! 33 men, 28 women and 15 children, ten vowels between h and d. The figures are from memory.

use std::sync::LazyLock;

use crate::sound::Sound;

use super::table::MEASURED_1995;
use super::{Norm, VoiceKind};

/// Means of F1, F2 and F3 in Hz of one vowel in 1952: men, women, children.
type Means1952 = (Sound, [[f32; 3]; 3]);

/// The ten vowels of 1952.
pub static MEASURED_1952: [Means1952; 10] = [
    (
        Sound::IY,
        [
            [270.0, 2290.0, 3010.0],
            [310.0, 2790.0, 3310.0],
            [370.0, 3200.0, 3730.0],
        ],
    ),
    (
        Sound::IH,
        [
            [390.0, 1990.0, 2550.0],
            [430.0, 2480.0, 3070.0],
            [530.0, 2730.0, 3600.0],
        ],
    ),
    (
        Sound::EH,
        [
            [530.0, 1840.0, 2480.0],
            [610.0, 2330.0, 2990.0],
            [690.0, 2610.0, 3570.0],
        ],
    ),
    (
        Sound::AE,
        [
            [660.0, 1720.0, 2410.0],
            [860.0, 2050.0, 2850.0],
            [1010.0, 2320.0, 3320.0],
        ],
    ),
    (
        Sound::AA,
        [
            [730.0, 1090.0, 2440.0],
            [850.0, 1220.0, 2810.0],
            [1030.0, 1370.0, 3170.0],
        ],
    ),
    (
        Sound::AO,
        [[570.0, 840.0, 2410.0], [590.0, 920.0, 2710.0], [680.0, 1060.0, 3180.0]],
    ),
    (
        Sound::UH,
        [
            [440.0, 1020.0, 2240.0],
            [470.0, 1160.0, 2680.0],
            [560.0, 1410.0, 3310.0],
        ],
    ),
    (
        Sound::UW,
        [[300.0, 870.0, 2240.0], [370.0, 950.0, 2670.0], [430.0, 1170.0, 3260.0]],
    ),
    (
        Sound::AH,
        [
            [640.0, 1190.0, 2390.0],
            [760.0, 1400.0, 2780.0],
            [850.0, 1590.0, 3360.0],
        ],
    ),
    (
        Sound::ER,
        [
            [490.0, 1350.0, 1690.0],
            [500.0, 1640.0, 1960.0],
            [560.0, 1820.0, 2160.0],
        ],
    ),
];

/// The means of 1952 for a voice and a vowel; `None` for the two vowels that move (EY, OW), which were not measured then.
pub fn means_1952(voice: VoiceKind, vowel: Sound) -> Option<[f32; 3]> {
    let (_, groups) = MEASURED_1952.iter().find(|(one, _)| *one == vowel)?;
    Some(match voice {
        VoiceKind::Man => groups[0],
        VoiceKind::Woman => groups[1],
        VoiceKind::Child => groups[2],
    })
}

/// Twelve vowels for each of three groups of talkers, in the order of the set of 1995.
pub static NORMS: LazyLock<Vec<Norm>> = LazyLock::new(|| MEASURED_1995.iter().map(pooled).collect());

/// One vowel of 1995 pooled with that of 1952, each set counting the same: the geometric mean of F1 to F3, and a covariance
/// that is the talkers' own and that of the two means about theirs. F4 was measured in 1995 alone.
fn pooled(own: &Norm) -> Norm {
    let Some(other) = means_1952(own.voice, own.vowel) else {
        return *own;
    };
    // Half the distance between the two means, in logarithms: each lies so far from their mean.
    let half: [f32; 3] = std::array::from_fn(|k| (other[k] / own.means_hz[k]).ln() / 2.0);
    let mut means_hz = own.means_hz;
    for (mean, half) in means_hz.iter_mut().zip(half) {
        *mean *= half.exp();
    }
    // The covariance is kept as 11, 12, 13, 22, 23, 33, times 10,000.
    let pairs = [(0, 0), (0, 1), (0, 2), (1, 1), (1, 2), (2, 2)];
    let covariance = std::array::from_fn(|at| {
        let (row, column) = pairs[at];
        own.covariance[at] + 1e4 * half[row] * half[column]
    });
    Norm {
        means_hz,
        covariance,
        ..*own
    }
}
