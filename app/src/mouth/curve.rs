//! Smooth lines through points.

use super::MouthPoint;

/// Points between two given ones.
const STEPS: usize = 8;

/// A closed smooth line through the points (Catmull and Rom 1974).
pub fn closed(points: &[MouthPoint]) -> Vec<MouthPoint> {
    let n = points.len();
    let at = |i: usize| points[i % n];
    (0..n)
        .flat_map(|i| piece([at(i + n - 1), at(i), at(i + 1), at(i + 2)]))
        .collect()
}

/// An open smooth line through the points, both ends included.
pub fn open(points: &[MouthPoint]) -> Vec<MouthPoint> {
    let last = points.len() - 1;
    let at = |i: isize| points[i.clamp(0, last as isize) as usize];
    let mut line: Vec<MouthPoint> = (0..last as isize)
        .flat_map(|i| piece([at(i - 1), at(i), at(i + 1), at(i + 2)]))
        .collect();
    line.push(points[last]);
    line
}

/// The piece from the second point to before the third.
fn piece([a, b, c, d]: [MouthPoint; 4]) -> impl Iterator<Item = MouthPoint> {
    (0..STEPS).map(move |i| {
        let t = i as f32 / STEPS as f32;
        std::array::from_fn(|k| {
            let (a, b, c, d) = (a[k], b[k], c[k], d[k]);
            b + 0.5 * t * (c - a + t * (2.0 * a - 5.0 * b + 4.0 * c - d + t * (3.0 * (b - c) + d - a)))
        })
    })
}

/// The height at `x` of a line that runs to the right, its ends going on level.
pub fn height(line: &[MouthPoint], x: f32) -> f32 {
    let after = line.iter().position(|p| p[0] >= x);
    match after {
        Some(0) => line[0][1],
        None => line[line.len() - 1][1],
        Some(i) => {
            let (a, b) = (line[i - 1], line[i]);
            mix(a[1], b[1], (x - a[0]) / (b[0] - a[0]).max(1e-6))
        }
    }
}

/// `share` of the way from `a` to `b`.
pub fn mix(a: f32, b: f32, share: f32) -> f32 {
    a + share * (b - a)
}

/// The same for points.
pub fn mix_point(a: MouthPoint, b: MouthPoint, share: f32) -> MouthPoint {
    [mix(a[0], b[0], share), mix(a[1], b[1], share)]
}
