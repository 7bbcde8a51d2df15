//! The side view: a cut through the middle of the head, facing left.

use super::curve::{self, height, mix, mix_point};
use super::{Articulation, MouthPart, MouthPoint, MouthShape};

/// The joint about which the jaw turns, and how far at most, in radians.
const JOINT: MouthPoint = [0.80, 0.34];
const WIDEST: f32 = 0.17;

/// The roof of the mouth from the top teeth's edge to the end of the hard part.
const ROOF: [MouthPoint; 10] = [
    [0.180, 0.490],
    [0.234, 0.490],
    [0.250, 0.450],
    [0.272, 0.436],
    [0.298, 0.414],
    [0.330, 0.366],
    [0.380, 0.328],
    [0.440, 0.312],
    [0.500, 0.316],
    [0.545, 0.334],
];

/// The soft roof's lower side, tip, back and upper side; shut and hanging.
const SOFT_SHUT: [MouthPoint; 9] = [
    [0.545, 0.334],
    [0.605, 0.338],
    [0.652, 0.372],
    [0.676, 0.430],
    [0.700, 0.462],
    [0.716, 0.420],
    [0.751, 0.356],
    [0.700, 0.292],
    [0.600, 0.272],
];
const SOFT_HANGING: [MouthPoint; 9] = [
    [0.545, 0.334],
    [0.588, 0.364],
    [0.616, 0.414],
    [0.628, 0.468],
    [0.640, 0.500],
    [0.656, 0.466],
    [0.662, 0.404],
    [0.640, 0.330],
    [0.596, 0.280],
];

/// Where the soft roof grows out of the hard one, above.
const SOFT_ROOT: MouthPoint = [0.545, 0.276];

/// Height of the bottom lip.
const LIP: f32 = 0.076;

/// How far behind its foremost edge a lip ends.
const INNER: f32 = 0.040;

/// All the places that depend on the articulation.
struct HeadProfile<'a> {
    a: &'a Articulation,
}

/// The side view of an articulation: areas and lines in the order in which they are to be painted.
pub fn side(articulation: &Articulation) -> Vec<MouthShape> {
    let head = HeadProfile { a: articulation };
    let area = |part, points| MouthShape { part, points };
    let (above, below) = (head.face_above(), head.face_below());
    let mut cut = [above.clone(), below.clone()].concat();
    // The cut goes on beyond the frame at the top, the back and the foot.
    cut.extend([[1.0, 1.0], [1.0, 0.0]]);
    let mut soft = head.soft_edge();
    let soft_line = soft.clone();
    soft.push(SOFT_ROOT);
    let flap = head.flap();
    let mut shapes = vec![
        area(MouthPart::Head, cut),
        area(MouthPart::Hollow, head.nose()),
        area(MouthPart::Hollow, head.throat()),
        area(MouthPart::Line, head.back_wall()),
        area(MouthPart::Line, head.roof_line()),
        area(MouthPart::Line, head.front_wall()),
        area(MouthPart::Soft, flap.clone()),
        area(MouthPart::Line, flap),
        area(MouthPart::Tongue, head.tongue()),
        area(MouthPart::Soft, soft),
        area(MouthPart::Line, soft_line),
        area(MouthPart::Line, head.nose_floor()),
        area(MouthPart::Tooth, head.top_tooth()),
        area(MouthPart::Tooth, head.bottom_tooth()),
        area(MouthPart::LipCut, head.top_lip()),
        area(MouthPart::LipCut, head.bottom_lip()),
        area(MouthPart::Line, above),
        area(MouthPart::Line, below),
    ];
    shapes.extend(head.folds());
    shapes.extend(head.waves());
    shapes.extend(head.air());
    shapes
}

impl HeadProfile<'_> {
    /// A place on the jaw, given where it is with the teeth together.
    fn on_jaw(&self, [x, y]: MouthPoint) -> MouthPoint {
        let angle = WIDEST * self.a.jaw;
        let (dx, dy) = (x - JOINT[0], y - JOINT[1]);
        [
            JOINT[0] + dx * angle.cos() + dy * angle.sin(),
            JOINT[1] - dx * angle.sin() + dy * angle.cos(),
        ]
    }

    /// How far forward the lips are pushed.
    fn push(&self) -> f32 {
        0.04 * self.a.round.max(0.0) - 0.006 * self.a.round.min(0.0).abs()
    }

    /// The lower edge of the top lip.
    fn top_edge(&self) -> MouthPoint {
        [0.150 - self.push(), 0.466 - 0.022 * self.a.lips - 0.016 * self.a.tuck]
    }

    /// The upper edge of the bottom lip: below the other by the gap, or under the teeth.
    fn bottom_edge(&self) -> MouthPoint {
        let [x, y] = self.top_edge();
        let free = [x + 0.004, y + 0.004 + 0.135 * self.a.lips];
        mix_point(free, [0.196, 0.494], self.a.tuck)
    }

    /// The face from the forehead to inside the top lip.
    fn face_above(&self) -> Vec<MouthPoint> {
        let [x, y] = self.top_edge();
        curve::open(&[
            [0.335, 0.0],
            [0.262, 0.058],
            [0.232, 0.130],
            [0.165, 0.215],
            [0.100, 0.285],
            [0.104, 0.320],
            [0.160, 0.340],
            [0.163, 0.385],
            [x + 0.004, y - 0.052],
            [x - 0.011, y - 0.028],
            [x - 0.008, y - 0.008],
            [x + 0.014, y + 0.001],
            [x + INNER, y - 0.003],
        ])
    }

    /// The face from inside the bottom lip to the neck.
    fn face_below(&self) -> Vec<MouthPoint> {
        let [x, y] = self.bottom_edge();
        curve::open(&[
            [x + INNER, y + 0.003],
            [x + 0.016, y],
            [x - 0.006, y + 0.008],
            [x - 0.010, y + 0.030],
            [x + 0.002, y + LIP * 0.78],
            [x + 0.030, y + LIP + 0.010],
            self.on_jaw([0.160, 0.672]),
            self.on_jaw([0.196, 0.742]),
            self.on_jaw([0.300, 0.775]),
            mix_point(self.on_jaw([0.420, 0.800]), [0.440, 0.845], 0.6),
            [0.500, 0.905],
            [0.505, 1.0],
        ])
    }

    /// The upper side of the nose, from the nostril to the back.
    fn nose_top() -> Vec<MouthPoint> {
        curve::open(&[
            [0.128, 0.330],
            [0.150, 0.296],
            [0.215, 0.232],
            [0.330, 0.168],
            [0.480, 0.150],
            [0.620, 0.172],
            [0.715, 0.222],
            [0.752, 0.300],
        ])
    }

    fn nose(&self) -> Vec<MouthPoint> {
        let mut line = Self::nose_top();
        line.push([0.752, 0.345]);
        line.push([0.690, 0.300]);
        line.extend(self.nose_floor().into_iter().rev());
        line
    }

    /// The lower side of the nose, from the nostril to where the soft roof begins.
    fn nose_floor(&self) -> Vec<MouthPoint> {
        curve::open(&[
            [0.170, 0.336],
            [0.250, 0.300],
            [0.340, 0.256],
            [0.480, 0.246],
            [0.545, 0.254],
            mix_point([0.600, 0.272], [0.596, 0.280], self.a.nose),
        ])
    }

    /// Top of the nose, back of the throat, windpipe.
    fn back_wall(&self) -> Vec<MouthPoint> {
        let mut line = Self::nose_top();
        line.extend(Self::throat_back());
        line
    }

    fn throat_back() -> Vec<MouthPoint> {
        curve::open(&[
            [0.752, 0.345],
            [0.750, 0.480],
            [0.744, 0.640],
            [0.734, 0.780],
            [0.712, 0.880],
            [0.708, 1.0],
        ])
    }

    /// From behind the top teeth to where the soft roof begins.
    fn roof_line(&self) -> Vec<MouthPoint> {
        curve::open(&ROOF[2..])
    }

    /// From the windpipe along the floor of the mouth to the bottom teeth.
    fn front_wall(&self) -> Vec<MouthPoint> {
        let mut line = vec![[0.622, 1.0]];
        line.extend(curve::open(&[
            [0.622, 0.900],
            [0.606, 0.800],
            [0.560, 0.740],
            mix_point(self.on_jaw([0.420, 0.690]), [0.420, 0.690], 0.4),
            self.on_jaw([0.300, 0.640]),
            self.on_jaw([0.260, 0.575]),
            self.on_jaw([0.254, 0.556]),
            self.on_jaw([0.224, 0.552]),
        ]));
        line
    }

    /// Mouth and throat: everything that the tongue, teeth and soft roof are painted onto.
    fn throat(&self) -> Vec<MouthPoint> {
        let (top, bottom) = (self.top_edge(), self.bottom_edge());
        let mut line = vec![
            [(bottom[0] + INNER).max(0.205), bottom[1] + 0.014],
            [bottom[0] + INNER, bottom[1] + 0.003],
            [top[0] + INNER, top[1] - 0.003],
            [(top[0] + INNER).max(0.205), top[1] - 0.010],
            [0.213, 0.450],
        ];
        line.extend(self.roof_line());
        line.extend([[0.575, 0.300], [0.690, 0.285], [0.752, 0.300]]);
        line.extend(Self::throat_back());
        line.extend(self.front_wall());
        line
    }

    /// The soft roof's line, shut or hanging or between.
    fn soft_line(&self) -> [MouthPoint; 9] {
        std::array::from_fn(|i| mix_point(SOFT_SHUT[i], SOFT_HANGING[i], self.a.nose))
    }

    /// Its outline from the hard roof around and back.
    fn soft_edge(&self) -> Vec<MouthPoint> {
        curve::open(&self.soft_line())
    }

    /// The flap that covers the windpipe in swallowing; it leans with the root of the tongue.
    fn flap(&self) -> Vec<MouthPoint> {
        let lean = 0.5 * (self.root_x() - 0.60);
        curve::closed(&[
            [0.606, 0.812],
            [0.618 + 0.3 * lean, 0.752],
            [0.640 + lean, 0.690],
            [0.660 + lean, 0.656],
            [0.672 + lean, 0.662],
            [0.664 + lean, 0.704],
            [0.648 + 0.5 * lean, 0.764],
            [0.632, 0.826],
        ])
    }

    /// The lowest the roof comes at `x`, hard or soft.
    fn roof(&self, x: f32) -> f32 {
        if x <= ROOF[9][0] {
            return height(&ROOF, x);
        }
        let soft = self.soft_line();
        height(&soft[..4], x)
    }

    fn root_x(&self) -> f32 {
        let drawn = 1.2 * (self.a.back - 0.5) + 0.6 * (0.5 - self.a.high);
        (0.606 + 0.062 * drawn).clamp(0.555, 0.672)
    }

    fn tip(&self) -> MouthPoint {
        let places = [[0.0, 0.188], [1.0, 0.268], [2.0, 0.306], [3.0, 0.352]];
        let x = height(&places, self.a.tip);
        let low = self.on_jaw([0.264, 0.535]);
        let touch = [x, self.roof(x)];
        // Between the teeth the tip lies on the bottom ones.
        mix_point([mix(low[0], x, 0.4 * self.a.tip_high), low[1]], touch, self.a.tip_high)
    }

    /// The highest part of the tongue's body.
    fn peak(&self) -> MouthPoint {
        let x = 0.375 + 0.225 * self.a.back;
        let floor = 0.560 + 0.055 * self.a.jaw;
        [x, mix(floor, self.roof(x), self.a.high)]
    }

    fn tongue(&self) -> Vec<MouthPoint> {
        let (tip, peak, root) = (self.tip(), self.peak(), self.root_x());
        // A tip that is raised leaves a hollow behind it, deeper the farther back it points, as for r.
        let hollow = (0.022 + 0.030 * (self.a.tip - 1.2).max(0.0)) * self.a.tip_high;
        let rise = 0.40 + 0.30 * self.a.high * (1.0 - self.a.tip_high);
        let blade = [mix(tip[0], peak[0], 0.45), mix(tip[1], peak[1], rise) + hollow];
        let behind = self.behind(peak);
        // Under a raised tip is air; under one at rest, the floor.
        let under = self.on_jaw([mix(0.270, 0.304, self.a.tip_high), mix(0.596, 0.632, self.a.tip_high)]);
        let line = curve::closed(&[
            under,
            [mix(tip[0], under[0], 0.45) + 0.010, mix(tip[1], under[1], 0.42)],
            // The tip is as round as a fingertip.
            [tip[0] + 0.006, tip[1] + 0.027],
            [tip[0] - 0.003, tip[1] + 0.014],
            [tip[0] + 0.001, tip[1] + 0.004],
            [tip[0] + 0.010, tip[1]],
            blade,
            peak,
            behind,
            [mix(behind[0], root, 0.60) + 0.012, mix(behind[1], 0.690, 0.50)],
            [root, 0.700],
            [0.606, 0.770],
            [0.572, 0.806],
            [0.500, 0.810],
            mix_point(self.on_jaw([0.400, 0.762]), [0.400, 0.780], 0.4),
            self.on_jaw([0.314, 0.708]),
            self.on_jaw([mix(0.272, 0.280, self.a.tip_high), 0.656]),
        ]);
        // Flesh stops where it meets the roof.
        line.into_iter().map(|[x, y]| [x, self.under_roof(x, y)]).collect()
    }

    /// Where the body of the tongue turns down into the throat: below the hanging soft roof if it hangs.
    fn behind(&self, peak: MouthPoint) -> MouthPoint {
        let x = (peak[0] + 0.110).min(0.645);
        let y = peak[1] + 0.036 + 0.030 * self.a.high + 0.5 * (peak[0] + 0.110 - x);
        [x, mix(y, y.max(0.505), self.a.nose)]
    }

    fn under_roof(&self, x: f32, y: f32) -> f32 {
        let end = self.soft_line()[3][0];
        if x < end && y < 0.60 { y.max(self.roof(x)) } else { y }
    }

    /// A front tooth, from the gum down to its edge.
    fn top_tooth(&self) -> Vec<MouthPoint> {
        let front = curve::open(&[[0.214, 0.446], [0.210, 0.466], [0.216, 0.486], [0.222, 0.490]]);
        let back = curve::open(&[[0.222, 0.490], [0.234, 0.474], [0.250, 0.450], [0.233, 0.441]]);
        [front, back].concat()
    }

    fn bottom_tooth(&self) -> Vec<MouthPoint> {
        let front = curve::open(&[[0.224, 0.556], [0.222, 0.526], [0.227, 0.504], [0.233, 0.498]]);
        let back = curve::open(&[[0.233, 0.498], [0.241, 0.512], [0.254, 0.556], [0.240, 0.562]]);
        [front, back].concat().into_iter().map(|p| self.on_jaw(p)).collect()
    }

    /// The red of the top lip: bounded in front by the line of the face, behind by the flesh before the teeth.
    fn top_lip(&self) -> Vec<MouthPoint> {
        let [x, y] = self.top_edge();
        curve::closed(&[
            [x + 0.004, y - 0.052],
            [x - 0.011, y - 0.028],
            [x - 0.008, y - 0.008],
            [x + 0.014, y + 0.001],
            [x + 0.040, y - 0.003],
            [x + 0.046, y - 0.014],
            [x + 0.034, y - 0.026],
            [x + 0.022, y - 0.042],
        ])
    }

    /// The red of the bottom lip, likewise.
    fn bottom_lip(&self) -> Vec<MouthPoint> {
        let [x, y] = self.bottom_edge();
        curve::closed(&[
            [x + 0.016, y],
            [x - 0.006, y + 0.008],
            [x - 0.010, y + 0.030],
            [x + 0.002, y + LIP * 0.78],
            [x + 0.022, y + LIP * 0.72],
            [x + 0.034, y + 0.038],
            [x + 0.046, y + 0.020],
            [x + 0.040, y + 0.003],
        ])
    }

    /// Two lips across the windpipe, together when the voice buzzes.
    fn folds(&self) -> [MouthShape; 2] {
        let reach = mix(0.018, 0.042, self.a.voice);
        let wedge = |wall: f32, way: f32| MouthShape {
            part: MouthPart::Fold,
            points: vec![
                [wall, 0.908],
                [wall + way * reach, 0.921],
                [wall + way * reach, 0.931],
                [wall, 0.944],
            ],
        };
        [wedge(0.622, 1.0), wedge(0.709, -1.0)]
    }

    /// Rings beside the throat while the voice buzzes.
    fn waves(&self) -> Vec<MouthShape> {
        let rings = if self.a.voice > 0.5 { 3 } else { 0 };
        let ring = |i: usize| {
            let radius = 0.030 + 0.026 * i as f32;
            let arc = |step: i32| {
                let angle = std::f32::consts::PI + 0.13 * step as f32;
                [0.608 + radius * angle.cos(), 0.926 + radius * angle.sin()]
            };
            MouthShape {
                part: MouthPart::Wave,
                points: (-5..=5).map(arc).collect(),
            }
        };
        (0..rings).map(ring).collect()
    }

    /// What leaves by the mouth, smooth or hissing, and by the nose.
    fn air(&self) -> Vec<MouthShape> {
        let mut lines = Vec::new();
        let (top, bottom) = (self.top_edge(), self.bottom_edge());
        let y = 0.5 * (top[1] + bottom[1]);
        let x = top[0] - 0.020;
        if self.a.hiss > 0.5 {
            for (i, slope) in [-0.22f32, 0.02, 0.26].into_iter().enumerate() {
                let zigzag = |k: i32| {
                    let along = 0.014 * k as f32;
                    let side = if k % 2 == 0 { 0.005 } else { -0.005 };
                    [x - along, y + slope * along + 0.020 * (i as f32 - 1.0) + side]
                };
                lines.push(MouthShape {
                    part: MouthPart::Hiss,
                    points: (0..7).map(zigzag).filter(|p| p[0] > 0.0).collect(),
                });
            }
        } else if self.a.breath > 0.5 {
            lines.push(arrow([x, y], [0.025, y + 0.012]));
        }
        if self.a.nose > 0.5 {
            lines.push(arrow([0.118, 0.345], [0.062, 0.405]));
        }
        lines
    }
}

/// A line with a head at its end.
fn arrow(from: MouthPoint, to: MouthPoint) -> MouthShape {
    let (dx, dy) = (to[0] - from[0], to[1] - from[1]);
    let long = (dx * dx + dy * dy).sqrt().max(1e-6);
    let (ux, uy) = (0.022 * dx / long, 0.022 * dy / long);
    let barb = |side: f32| [to[0] - ux - side * 0.7 * uy, to[1] - uy + side * 0.7 * ux];
    MouthShape {
        part: MouthPart::Air,
        points: vec![from, to, barb(1.0), to, barb(-1.0)],
    }
}
