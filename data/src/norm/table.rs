//! Published formants of American English vowels, as group figures.
//!
//! Computed by `tests/reference/vowel_norms.py` from Hillenbrand, Getty, Clark, Wheeler (1995), J. Acoust. Soc. Am. 97,
//! 3099-3111: 45 men, 48 women, 46 children of ten to twelve, each saying the twelve vowels between h and d.

use crate::sound::Sound;

use super::{Glide, Norm, VoiceKind};

/// Geometric means of F1 to F4 in Hz, and 10,000 times the covariance of ln F1, ln F2, ln F3 (11, 12, 13, 22, 23, 33).
const fn norm(voice: VoiceKind, vowel: Sound, means_hz: [f32; 4], covariance: [f32; 6]) -> Norm {
    Norm {
        voice,
        vowel,
        means_hz,
        covariance,
    }
}

/// Where a vowel starts and ends, at a fifth and at four fifths of its length.
const fn glide(voice: VoiceKind, vowel: Sound, from_hz: [f32; 3], to_hz: [f32; 3]) -> Glide {
    Glide {
        voice,
        vowel,
        from_hz,
        to_hz,
    }
}

/// Twelve vowels for each of three groups of talkers, as measured in 1995. `pooled.rs` makes of them what the program uses.
pub static MEASURED_1995: [Norm; 36] = [
    norm(
        VoiceKind::Man,
        Sound::IY,
        [339.4, 2308.5, 2994.2, 3645.1],
        [57.12, -1.72, 0.82, 31.83, 6.38, 44.09],
    ),
    norm(
        VoiceKind::Man,
        Sound::IH,
        [428.2, 2030.5, 2683.9, 3622.3],
        [53.64, -3.68, 3.04, 33.68, 18.61, 22.12],
    ),
    norm(
        VoiceKind::Man,
        Sound::EY,
        [476.6, 2086.6, 2687.7, 3638.6],
        [68.98, -18.00, 7.16, 44.01, 21.86, 31.75],
    ),
    norm(
        VoiceKind::Man,
        Sound::EH,
        [586.6, 1799.1, 2600.5, 3690.7],
        [45.28, 10.36, 12.44, 40.60, 21.17, 27.59],
    ),
    norm(
        VoiceKind::Man,
        Sound::AE,
        [590.0, 1925.8, 2591.9, 3630.4],
        [49.57, -8.55, -3.69, 45.61, 20.82, 26.98],
    ),
    norm(
        VoiceKind::Man,
        Sound::AA,
        [754.1, 1304.2, 2530.6, 3674.8],
        [64.39, 17.00, 10.12, 75.56, -15.41, 34.64],
    ),
    norm(
        VoiceKind::Man,
        Sound::AO,
        [655.1, 1021.2, 2514.9, 3513.0],
        [26.13, 6.10, 12.70, 41.54, -5.63, 51.52],
    ),
    norm(
        VoiceKind::Man,
        Sound::OW,
        [495.9, 905.0, 2454.9, 3377.4],
        [76.80, 68.37, 8.40, 122.59, 7.79, 35.86],
    ),
    norm(
        VoiceKind::Man,
        Sound::UH,
        [468.5, 1118.8, 2431.4, 3393.2],
        [36.64, 10.30, 2.80, 72.82, -4.27, 27.89],
    ),
    norm(
        VoiceKind::Man,
        Sound::UW,
        [378.2, 986.1, 2351.5, 3365.7],
        [78.11, 36.98, 12.09, 124.73, 1.42, 32.92],
    ),
    norm(
        VoiceKind::Man,
        Sound::AH,
        [620.7, 1178.2, 2543.6, 3557.9],
        [23.65, -1.48, 7.90, 53.43, -1.26, 32.57],
    ),
    norm(
        VoiceKind::Man,
        Sound::ER,
        [474.6, 1367.7, 1707.3, 3335.2],
        [39.10, 2.53, 12.59, 32.48, 15.64, 39.63],
    ),
    norm(
        VoiceKind::Woman,
        Sound::IY,
        [433.6, 2752.2, 3364.6, 4324.7],
        [91.05, 6.94, 4.90, 27.85, 19.51, 49.64],
    ),
    norm(
        VoiceKind::Woman,
        Sound::IH,
        [483.1, 2364.5, 3051.5, 4323.2],
        [49.49, -1.74, 10.67, 39.57, 25.66, 36.76],
    ),
    norm(
        VoiceKind::Woman,
        Sound::EY,
        [533.4, 2512.3, 3044.6, 4292.7],
        [130.81, -12.46, -11.14, 38.99, 24.66, 35.68],
    ),
    norm(
        VoiceKind::Woman,
        Sound::EH,
        [723.5, 2057.9, 2947.1, 4295.2],
        [98.14, -7.13, 12.50, 47.25, 18.84, 39.21],
    ),
    norm(
        VoiceKind::Woman,
        Sound::AE,
        [674.9, 2327.1, 2966.2, 4308.1],
        [94.30, -25.78, -6.06, 47.33, 29.15, 43.84],
    ),
    norm(
        VoiceKind::Woman,
        Sound::AA,
        [911.9, 1520.7, 2817.8, 4271.8],
        [100.53, 30.50, 4.35, 68.77, 1.25, 34.19],
    ),
    norm(
        VoiceKind::Woman,
        Sound::AO,
        [797.9, 1181.7, 2811.6, 3934.6],
        [79.92, 60.92, 1.12, 110.32, 0.82, 54.44],
    ),
    norm(
        VoiceKind::Woman,
        Sound::OW,
        [549.6, 1028.4, 2822.2, 3921.6],
        [221.51, 127.37, 1.71, 140.90, 2.42, 44.67],
    ),
    norm(
        VoiceKind::Woman,
        Sound::UH,
        [517.1, 1220.5, 2823.8, 4054.0],
        [60.58, 36.30, 1.12, 132.90, 5.28, 40.51],
    ),
    norm(
        VoiceKind::Woman,
        Sound::UW,
        [458.0, 1088.5, 2731.9, 4102.9],
        [75.86, -5.76, -1.16, 306.76, 8.57, 26.31],
    ),
    norm(
        VoiceKind::Woman,
        Sound::AH,
        [758.0, 1410.9, 2895.8, 4124.3],
        [57.86, 24.69, 17.35, 69.27, 18.52, 36.37],
    ),
    norm(
        VoiceKind::Woman,
        Sound::ER,
        [524.7, 1585.6, 1925.5, 3910.8],
        [74.64, -4.59, 9.70, 47.95, 31.83, 45.68],
    ),
    norm(
        VoiceKind::Child,
        Sound::IY,
        [451.0, 3068.3, 3691.8, 4585.4],
        [111.63, -2.75, -0.08, 39.86, 28.24, 59.50],
    ),
    norm(
        VoiceKind::Child,
        Sound::IH,
        [511.8, 2551.5, 3403.1, 4556.6],
        [57.12, -9.91, 9.47, 40.00, 17.39, 33.55],
    ),
    norm(
        VoiceKind::Child,
        Sound::EY,
        [559.8, 2629.3, 3314.4, 4404.2],
        [114.22, -3.18, 8.48, 27.45, 23.06, 52.19],
    ),
    norm(
        VoiceKind::Child,
        Sound::EH,
        [733.7, 2273.6, 3291.0, 4637.6],
        [165.01, 6.92, 34.25, 47.93, 16.90, 38.38],
    ),
    norm(
        VoiceKind::Child,
        Sound::AE,
        [721.0, 2485.5, 3280.3, 4434.5],
        [136.64, -9.85, -0.75, 39.83, 32.33, 52.37],
    ),
    norm(
        VoiceKind::Child,
        Sound::AA,
        [982.5, 1681.4, 2934.8, 4236.9],
        [156.81, 22.80, 28.15, 90.38, 34.98, 76.79],
    ),
    norm(
        VoiceKind::Child,
        Sound::AO,
        [830.3, 1296.2, 2941.9, 4019.7],
        [142.64, 97.92, 32.15, 162.93, 26.97, 81.55],
    ),
    norm(
        VoiceKind::Child,
        Sound::OW,
        [592.5, 1129.3, 3009.5, 4167.9],
        [117.02, 99.98, 10.69, 193.67, 17.73, 44.11],
    ),
    norm(
        VoiceKind::Child,
        Sound::UH,
        [568.2, 1494.6, 3068.7, 4296.5],
        [89.02, 53.51, 22.45, 152.99, 30.65, 47.86],
    ),
    norm(
        VoiceKind::Child,
        Sound::UW,
        [490.6, 1371.4, 2982.1, 4254.6],
        [78.72, 40.22, -7.60, 557.00, 37.87, 51.09],
    ),
    norm(
        VoiceKind::Child,
        Sound::AH,
        [734.9, 1532.7, 3111.7, 4289.2],
        [133.59, 35.08, 34.36, 76.56, 24.66, 44.30],
    ),
    norm(
        VoiceKind::Child,
        Sound::ER,
        [587.4, 1717.7, 2146.0, 3778.6],
        [87.57, 11.78, 30.81, 55.47, 42.46, 80.32],
    ),
];

/// The two vowels of the table that move, for each of three groups of talkers.
pub static GLIDES: [Glide; 6] = [
    glide(
        VoiceKind::Man,
        Sound::EY,
        [477.3, 2092.0, 2695.3],
        [398.5, 2236.3, 2737.4],
    ),
    glide(
        VoiceKind::Man,
        Sound::OW,
        [510.1, 933.2, 2450.5],
        [433.7, 891.5, 2443.7],
    ),
    glide(
        VoiceKind::Woman,
        Sound::EY,
        [533.0, 2498.8, 3048.0],
        [450.3, 2660.2, 3071.3],
    ),
    glide(
        VoiceKind::Woman,
        Sound::OW,
        [600.8, 1072.2, 2812.7],
        [470.6, 991.3, 2802.5],
    ),
    glide(
        VoiceKind::Child,
        Sound::EY,
        [562.2, 2631.4, 3313.6],
        [484.6, 2797.0, 3345.0],
    ),
    glide(
        VoiceKind::Child,
        Sound::OW,
        [625.7, 1164.2, 3006.1],
        [520.8, 1099.7, 3023.2],
    ),
];
