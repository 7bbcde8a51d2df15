//! Resonators, and the shaping of a finished sound.

use std::f32::consts::{PI, TAU};

use crate::audio::RATE;

/// Klatt's resonator (1980, equation 1), gain 1 at 0 Hz, or its inverse.
#[derive(Clone, Copy, Default)]
pub struct Resonator {
    a: f32,
    b: f32,
    c: f32,
    one: f32,
    two: f32,
}

impl Resonator {
    /// Sets frequency and bandwidth in Hz; what is inside goes on ringing.
    pub fn set(&mut self, hz: f32, bandwidth: f32) {
        let r = (-PI * bandwidth / RATE as f32).exp();
        self.c = -r * r;
        self.b = 2.0 * r * (TAU * hz / RATE as f32).cos();
        self.a = 1.0 - self.b - self.c;
    }

    pub fn new(hz: f32, bandwidth: f32) -> Resonator {
        let mut made = Resonator::default();
        made.set(hz, bandwidth);
        made
    }

    pub fn next(&mut self, x: f32) -> f32 {
        let y = self.a * x + self.b * self.one + self.c * self.two;
        (self.two, self.one) = (self.one, y);
        y
    }

    /// The antiresonator of the same frequency and bandwidth (equation 4).
    pub fn next_inverse(&mut self, x: f32) -> f32 {
        let y = (x - self.b * self.one - self.c * self.two) / self.a;
        (self.two, self.one) = (self.one, x);
        y
    }
}

/// Resonators one after another.
pub struct Cascade(Vec<Resonator>);

impl Cascade {
    pub fn new(n: usize) -> Cascade {
        Cascade(vec![Resonator::default(); n])
    }

    /// Sets the frequencies and bandwidths, as many as there are resonators.
    pub fn set(&mut self, resonances: &[(f32, f32)]) {
        for (one, (hz, bandwidth)) in self.0.iter_mut().zip(resonances) {
            one.set(*hz, *bandwidth);
        }
    }

    pub fn next(&mut self, x: f32) -> f32 {
        self.0.iter_mut().fold(x, |x, one| one.next(x))
    }
}

/// Fades in and out over these seconds.
pub fn fade(x: &mut [f32], rise_s: f32, fall_s: f32) {
    let n = x.len();
    let shape = |i: usize, seconds: f32| {
        let share = (i as f32 / (seconds * RATE as f32)).min(1.0);
        0.5 - 0.5 * (PI * share).cos()
    };
    for (i, v) in x.iter_mut().enumerate() {
        *v *= shape(i, rise_s) * shape(n - 1 - i, fall_s);
    }
}

/// Scales so that the loudest sample is `peak`.
pub fn level(x: &mut [f32], peak: f32) {
    let top = x.iter().fold(0.0f32, |top, v| top.max(v.abs()));
    if top > 0.0 {
        x.iter_mut().for_each(|v| *v *= peak / top);
    }
}
