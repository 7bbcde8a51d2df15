//! The lips from the front.

use super::curve::{self, mix};
use super::{Articulation, MouthPart, MouthPoint, MouthShape};

const CENTRE: MouthPoint = [0.5, 0.46];
/// Points along a lip, corner to corner.
const ALONG: usize = 40;

/// The lips of an articulation from the front, with what shows between them: areas in the order of painting.
pub fn lips(articulation: &Articulation) -> Vec<MouthShape> {
    let face = LipMeasures::new(articulation);
    let mut shapes = face.skin(articulation);
    shapes.push(face.between(MouthPart::Inside, |f, t| f.top(t), |f, t| f.bottom(t)));
    let tongue = face.tongue(articulation);
    let (upper, lower) = face.teeth(articulation);
    // The tongue lies behind the bottom teeth, but before them when it is between the teeth.
    let peeps = articulation.tip < 0.5 && articulation.tip_high > 0.5;
    if peeps {
        shapes.extend([lower, tongue, upper]);
    } else {
        shapes.extend([tongue, lower, upper]);
    }
    shapes.push(face.between(MouthPart::Lip, |f, t| f.outer_top(t), |f, t| f.top(t)));
    shapes.push(face.between(MouthPart::Lip, |f, t| f.bottom(t), |f, t| f.outer_bottom(t)));
    shapes
}

/// Measures of the lips; heights are from the line on which they meet, downward.
struct LipMeasures {
    /// Half the width of the mouth.
    half: f32,
    /// How far the top lip is raised, the bottom one lowered, in the middle.
    up: f32,
    down: f32,
    /// Thickness of each lip.
    top_thick: f32,
    bottom_thick: f32,
    /// How round the opening is: 0 a slit with pointed corners, 1 a ring.
    ring: f32,
}

impl LipMeasures {
    fn new(a: &Articulation) -> LipMeasures {
        let (ring, wide) = (a.round.max(0.0), (-a.round).max(0.0));
        LipMeasures {
            half: 0.30 * (1.0 - 0.46 * ring + 0.16 * wide) * (1.0 - 0.12 * a.jaw),
            up: mix(0.060 * a.lips, 0.046, a.tuck),
            down: mix(0.215 * a.lips, -0.024, a.tuck),
            top_thick: 0.078 + 0.014 * ring - 0.012 * wide,
            bottom_thick: 0.094 + 0.012 * ring - 0.012 * wide - 0.02 * a.tuck,
            ring,
        }
    }

    /// The face that the lips are part of: skin, the wings of the nose, the groove above the lip, the fold of the chin.
    fn skin(&self, a: &Articulation) -> Vec<MouthShape> {
        let line = |points: &[MouthPoint]| MouthShape {
            part: MouthPart::Line,
            points: curve::open(points),
        };
        let all = MouthShape {
            part: MouthPart::Head,
            points: vec![[0.0, 0.0], [1.0, 0.0], [1.0, 1.0], [0.0, 1.0]],
        };
        let lip = CENTRE[1] + self.outer_top(0.0);
        let chin = CENTRE[1] + self.outer_bottom(0.0) + 0.055;
        let drop = 0.10 * a.jaw;
        let wing =
            |way: f32| [[0.118, 0.0], [0.136, 0.058], [0.112, 0.112], [0.074, 0.118]].map(|[x, y]| [0.5 + way * x, y]);
        let groove = |way: f32| [[0.5 + way * 0.030, 0.150], [0.5 + way * 0.038, (lip - 0.014).max(0.17)]];
        vec![
            all,
            line(&wing(1.0)),
            line(&wing(-1.0)),
            line(&[[0.445, 0.124], [0.5, 0.140], [0.555, 0.124]]),
            line(&groove(1.0)),
            line(&groove(-1.0)),
            line(&[[0.41, chin], [0.5, chin + 0.014], [0.59, chin]]),
            line(&[
                [0.28, 0.845 + drop],
                [0.39, 0.882 + drop],
                [0.5, 0.892 + drop],
                [0.61, 0.882 + drop],
                [0.72, 0.845 + drop],
            ]),
        ]
    }

    /// How open the mouth is at `t`, -1 to 1 from corner to corner, as a share of the middle.
    fn bow(&self, t: f32) -> f32 {
        let slit = 1.0 - t * t;
        let ring = slit.max(0.0).sqrt();
        mix(slit, ring, 0.35 + 0.65 * self.ring)
    }

    fn top(&self, t: f32) -> f32 {
        -self.up * self.bow(t)
    }

    fn bottom(&self, t: f32) -> f32 {
        self.down * self.bow(t)
    }

    fn outer_top(&self, t: f32) -> f32 {
        // The dip in the middle of the top lip.
        let dip = 1.0 - 0.26 * (-(t / 0.17).powi(2)).exp();
        self.top(t) - self.top_thick * dip * (1.0 - t * t).max(0.0).powf(0.62)
    }

    fn outer_bottom(&self, t: f32) -> f32 {
        self.bottom(t) + self.bottom_thick * (1.0 - t * t).max(0.0).powf(0.55)
    }

    fn at(&self, t: f32, y: f32) -> MouthPoint {
        [CENTRE[0] + t * self.half, CENTRE[1] + y]
    }

    /// The area between two lines across the mouth; empty where the lower is above the upper.
    fn between(
        &self,
        part: MouthPart,
        top: impl Fn(&LipMeasures, f32) -> f32,
        bottom: impl Fn(&LipMeasures, f32) -> f32,
    ) -> MouthShape {
        let across = || (0..=ALONG).map(|i| 2.0 * i as f32 / ALONG as f32 - 1.0);
        let mut points: Vec<MouthPoint> = across().map(|t| self.at(t, top(self, t))).collect();
        points.extend(across().rev().map(|t| self.at(t, bottom(self, t).max(top(self, t)))));
        MouthShape { part, points }
    }

    /// The rows of teeth, each where it shows between the lips.
    fn teeth(&self, a: &Articulation) -> (MouthShape, MouthShape) {
        // Lips pushed forward to a ring hide the teeth.
        let edge = 0.018 - 0.060 * (self.ring - 0.4).max(0.0);
        let lower_edge = edge + 0.012 + 0.19 * a.jaw;
        let side = |t: f32| 0.012 * t * t;
        let upper = self.between(
            MouthPart::Tooth,
            |f, t| f.top(t),
            |f, t| f.bottom(t).min(edge - side(t)),
        );
        let lower = self.between(
            MouthPart::Tooth,
            |f, t| f.top(t).max(lower_edge + side(t)).min(f.bottom(t)),
            |f, t| f.bottom(t),
        );
        (upper, lower)
    }

    /// The tongue, where it shows: its tip, or the hump of its body behind.
    fn tongue(&self, a: &Articulation) -> MouthShape {
        let floor = 0.075 + 0.20 * a.jaw;
        let tip = a.tip_high * (1.0 - 0.25 * (a.tip - 1.0).max(0.0));
        let body = a.high * (1.0 - 0.55 * a.back);
        let top = mix(floor, 0.0, tip.max(0.85 * body));
        self.between(
            MouthPart::Tongue,
            |f, t| {
                let hump = top + 0.09 * (t / 0.8).powi(4);
                hump.max(f.top(t)).min(f.bottom(t))
            },
            |f, t| f.bottom(t),
        )
    }
}
