//! What drives the filter: the glottis, and noise.

use crate::audio::RATE;

/// Flow through the glottis, differentiated (the radiation of the lips is a differentiation).
pub struct Glottis {
    /// Share of the period gone by.
    phase: f64,
    tilt: f32,
    drift: Noise,
    wander: f32,
}

/// Share of a period during which the glottis is open.
const OPEN: f64 = 0.6;
/// Each sample is made of so many, so that high harmonics do not fold back.
const OVER: usize = 8;

impl Glottis {
    pub fn new() -> Glottis {
        Glottis {
            phase: 0.0,
            tilt: 0.0,
            drift: Noise::new(11),
            wander: 0.0,
        }
    }

    /// The next sample at this pitch in Hz. The pitch wanders by half a percent, as a voice's does.
    pub fn next(&mut self, pitch: f32) -> f32 {
        self.wander += 0.002 * (self.drift.next() - self.wander);
        let step = f64::from(pitch * (1.0 + 0.1 * self.wander)) / (RATE as f64 * OVER as f64);
        let mut sum = 0.0;
        for _ in 0..OVER {
            self.phase = (self.phase + step).fract();
            sum += slope(self.phase);
        }
        // A soft corner at closing (Klatt's spectral tilt).
        self.tilt += 0.72 * ((sum / OVER as f64) as f32 - self.tilt);
        self.tilt
    }
}

/// Slope of KLGLOTT88's flow, t² - t³ over the open part.
fn slope(phase: f64) -> f64 {
    if phase >= OPEN {
        return 0.0;
    }
    let t = phase / OPEN;
    2.0 * t - 3.0 * t * t
}

/// White noise from a small fixed generator (xorshift64*), so that a sound is always the same.
pub struct Noise(u64);

impl Noise {
    pub fn new(seed: u64) -> Noise {
        Noise(seed.wrapping_mul(0x9E37_79B9_7F4A_7C15) | 1)
    }

    /// -1 to 1, evenly.
    pub fn next(&mut self) -> f32 {
        self.0 ^= self.0 >> 12;
        self.0 ^= self.0 << 25;
        self.0 ^= self.0 >> 27;
        (self.0.wrapping_mul(0x2545_F491_4F6C_DD1D) >> 40) as f32 / (1u64 << 23) as f32 - 1.0
    }
}
